"""Friction line and the planing bottom of Savitsky (1964)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.physics.resistance import prismatic
from foilwright.physics.resistance.prismatic import RADIAN

_PLANING_LIMITS = {
    "speed_coefficient": (0.60, 13.0, "speed outside the planing tests"),
    "trim": (2.0 * RADIAN, 15.0 * RADIAN, "trim outside the 2 to 15 degrees of the planing tests"),
    "wetted_ratio": (0.0, 4.0, "wetted length above four beams"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Planing:
    """A prismatic bottom planing.

    trim [rad], wetted_length [m] (mean of keel and chine), wetted_ratio [-] (over beam), load_point [m]
    ahead of the transom, friction [N] along the bottom, resistance [N], outside.
    """

    trim: Array
    wetted_length: Array
    wetted_ratio: Array
    load_point: Array
    friction: Array
    resistance: Array
    outside: Mask


@model(
    source="ITTC 1957, model-ship correlation line",
    valid={"reynolds": (1e5, 1e10, "Reynolds number outside the friction line")},
)
def friction_line(*, reynolds: Array) -> Array:
    r"""Return the friction coefficient of a wetted surface.

    Parameters
    ----------
    reynolds : float or array
        Reynolds number on wetted length [-].

    Returns
    -------
    float or array
        Friction force over dynamic pressure and wetted area [-].

    Notes
    -----
    .. math:: C_F = 0.075 / (\log_{10} Re - 2)^2
    """
    line: Array = 0.075 / (np.log10(reynolds) - 2.0) ** 2
    return line


@model(source="Savitsky 1964, Marine Technology 1, 71, equations 15 to 37", valid=_PLANING_LIMITS)
def planing_at_trim(
    *, load: Array, speed: Array, beam: Array, trim: Array, deadrise: Array, density: Array,
    kinematic_viscosity: Array, roughness_allowance: Array | float = 0.0,
) -> Planing:  # fmt: skip
    r"""Return wetted length, load point and resistance of a planing bottom held at a trim.

    Parameters
    ----------
    load : float or array
        Vertical force carried by the bottom [N].
    speed : float or array
        Speed through water [m/s].
    beam : float or array
        Beam of the wetted bottom, mean over the wetted length [m].
    trim : float or array
        Angle of the bottom, nose up [rad]; below 0.1 degree evaluated at 0.1 degree (outside).
    deadrise : float or array
        Angle of the bottom's V, 0 for a flat bottom [rad].
    density : float or array
        Water density [kg/m^3].
    kinematic_viscosity : float or array
        Kinematic viscosity of the water [m^2/s].
    roughness_allowance : float or array
        Addition to the friction coefficient [-]: 0.0004 for a painted boat, 0 for a sanded board.

    Returns
    -------
    Planing
        Angles [rad], lengths [m], forces [N], of the broadcast shape.

    Notes
    -----
    .. math:: C_{L0} = \tau^{1.1} (0.0120 \lambda^{1/2} + 0.0055 \lambda^{5/2}/C_V^2)

    .. math:: R = W \tan\tau + D_f/\cos\tau

    Where the mean bottom speed of the paper would fall below 0.7 of the speed (wetted lengths of a
    few per cent of the beam) it is continued so that it stays above zero.
    """
    speed, beam, trim, deadrise = (np.asarray(v, dtype=np.float64) for v in (speed, beam, trim, deadrise))
    tau = np.maximum(trim, 0.1 * RADIAN)
    squared = prismatic.squared(speed, beam)
    power = (tau / RADIAN) ** 1.1
    root = prismatic.root_of_wetted_ratio(prismatic.lift(load, speed, beam, deadrise, density) / power, squared)
    friction = prismatic.bottom_friction(
        root=root, power=power, speed=speed, beam=beam, trim=tau, deadrise=deadrise,
        roughness_allowance=np.asarray(roughness_allowance), density=density,
        kinematic_viscosity=kinematic_viscosity,
    )  # fmt: skip
    ratio = root * root
    return Planing(
        trim=np.broadcast_to(trim, ratio.shape),
        wetted_length=ratio * beam,
        wetted_ratio=ratio,
        load_point=prismatic.centre(ratio, squared) * beam,
        friction=friction,
        resistance=np.maximum(load, 0.0) * np.tan(tau) + friction / np.cos(tau),
        outside=planing_at_trim.mask(speed_coefficient=np.sqrt(squared), trim=trim, wetted_ratio=ratio),
    )


@model(source="Savitsky 1964, Marine Technology 1, 71, equations 15 to 37", valid=_PLANING_LIMITS)
def planing(
    *, load: Array, speed: Array, beam: Array, load_point: Array, deadrise: Array, density: Array,
    kinematic_viscosity: Array, roughness_allowance: Array | float = 0.0,
) -> Planing:  # fmt: skip
    r"""Return trim, wetted length and resistance of a planing bottom loaded at a point.

    Parameters
    ----------
    load : float or array
        Vertical force carried by the bottom [N].
    speed : float or array
        Speed through water [m/s].
    beam : float or array
        Beam of the wetted bottom, mean over the wetted length [m].
    load_point : float or array
        Where the load acts, ahead of the transom, all moments taken in [m].
    deadrise : float or array
        Angle of the bottom's V, 0 for a flat bottom [rad].
    density : float or array
        Water density [kg/m^3].
    kinematic_viscosity : float or array
        Kinematic viscosity of the water [m^2/s].
    roughness_allowance : float or array
        Addition to the friction coefficient [-].

    Returns
    -------
    Planing
        Angles [rad], lengths [m], forces [N], of the broadcast shape.

    Notes
    -----
    The wetted ratio follows from the load point alone (the function is monotone), the trim from the lift:

    .. math:: l/b = 0.75 \lambda - \lambda^3/(5.21 C_V^2 + 2.39 \lambda^2)
    """
    speed, beam, deadrise = (np.asarray(v, dtype=np.float64) for v in (speed, beam, deadrise))
    squared = prismatic.squared(speed, beam)
    point = np.maximum(np.asarray(load_point), 0.0) / beam
    ratio = point / 0.6 + 0.0 * squared
    for _ in range(8):
        square = ratio * ratio
        under = 5.21 * squared + 2.39 * square
        slope = 0.75 - square * (15.63 * squared + 2.39 * square) / (under * under)
        ratio = np.maximum(ratio - (prismatic.centre(ratio, squared) - point) / slope, 0.0)
    root = np.sqrt(ratio)
    per_power = 0.0120 * root + 0.0055 * ratio * ratio * root / squared
    power = prismatic.lift(load, speed, beam, deadrise, density) / np.maximum(per_power, 1e-12)
    trim = power ** (1 / 1.1) * RADIAN
    steep = np.minimum(trim, 80.0 * RADIAN)
    friction = prismatic.bottom_friction(
        root=root, power=power, speed=speed, beam=beam, trim=steep, deadrise=deadrise,
        roughness_allowance=np.asarray(roughness_allowance), density=density,
        kinematic_viscosity=kinematic_viscosity,
    )  # fmt: skip
    return Planing(
        trim=trim,
        wetted_length=ratio * beam,
        wetted_ratio=ratio,
        load_point=prismatic.centre(ratio, squared) * beam,
        friction=friction,
        resistance=np.maximum(load, 0.0) * np.tan(steep) + friction / np.cos(steep),
        outside=planing.mask(speed_coefficient=np.sqrt(squared), trim=trim, wetted_ratio=ratio),
    )
