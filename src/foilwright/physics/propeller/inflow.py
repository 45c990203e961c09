"""Momentum limits, the flow around the pod, and a disc that comes near the surface."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model


@dataclass(frozen=True, slots=True, kw_only=True)
class Interaction:
    """Wake fraction and thrust deduction [-], each with the low and high end of its band."""

    wake: Array
    wake_low: Array
    wake_high: Array
    thrust_deduction: Array
    thrust_deduction_low: Array
    thrust_deduction_high: Array
    outside: Mask


@model(source="Rankine 1865, Froude 1889: actuator disc")
def ideal_efficiency(*, thrust: Array, density: Array, diameter: Array, advance_speed: Array) -> Array:
    r"""Return the efficiency that no open propeller can exceed.

    Parameters
    ----------
    thrust : (...,) array
        Thrust [N].
    density : (...,) array
        Density of the water [kg/m^3].
    diameter : (...,) array
        Diameter of the disc [m].
    advance_speed : (...,) array
        Speed of the inflow [m/s].

    Returns
    -------
    (...,) array
        Thrust times speed over least power; 0 at rest under thrust [-].

    Notes
    -----
    .. math:: \eta = 2 / (1 + \sqrt{1 + C_T}), \quad C_T = T / (\tfrac12 \rho A V_A^2)
    """
    speed = np.asarray(advance_speed, dtype=np.float64)
    loaded = 8.0 * np.asarray(thrust) / (np.pi * density * np.asarray(diameter) ** 2)
    total = np.sqrt(speed * speed + loaded)
    return np.asarray(np.where(total + speed > 0.0, 2.0 * speed / np.maximum(speed + total, 1e-300), 1.0))


@model(source="actuator disc at rest; duct by its ratio of exit to disc area (Oosterveld 1970)")
def ideal_bollard_thrust(*, power: Array, density: Array, diameter: Array, exit_ratio: Array) -> Array:
    r"""Return the most thrust at rest that a power can give.

    Parameters
    ----------
    power : (...,) array
        Power at the shaft [W].
    density : (...,) array
        Density of the water [kg/m^3].
    diameter : (...,) array
        Diameter of the disc [m].
    exit_ratio : (...,) array
        Area of the far slipstream over disc area: 0.5 open, 1.0 to 1.2 in a nozzle [-].

    Returns
    -------
    (...,) array
        Thrust [N].

    Notes
    -----
    .. math:: P = T^{3/2} / (2 \sqrt{\rho A s})
    """
    disc = 0.25 * np.pi * np.asarray(diameter) ** 2
    return np.asarray(np.cbrt(4.0 * np.asarray(power) ** 2 * density * disc * exit_ratio))


@model(source="actuator disc at rest; an open propeller does not reach 0.75")
def figure_of_merit(*, thrust_coefficient: Array, torque_coefficient: Array) -> Array:
    r"""Return the power that an ideal disc would need at rest over the power taken.

    Parameters
    ----------
    thrust_coefficient, torque_coefficient : (...,) arrays
        Open-water coefficients at zero advance ratio [-].

    Returns
    -------
    (...,) array
        Figure of merit [-].

    Notes
    -----
    .. math:: K_T^{3/2} / (2 \pi \sqrt{\pi/2}\, K_Q)
    """
    thrust = np.asarray(thrust_coefficient)
    least = thrust * np.sqrt(thrust / (0.5 * np.pi))
    return np.asarray(least / (2.0 * np.pi * np.asarray(torque_coefficient)))


@model(
    source="Fleischer 1973, Minsaas et al. 1983: thrust of a propeller that breaks the surface",
    valid={
        "shaft_depth": (0.0, 1e6, "the shaft is above the water: the propeller will suck air"),
    },
)
def immersion_loss(*, shaft_depth: Array, diameter: Array) -> Array:
    r"""Return the share of its thrust that a propeller keeps as its disc nears the surface.

    Parameters
    ----------
    shaft_depth : (...,) array
        Depth of the shaft below the surface, negative above it [m].
    diameter : (...,) array
        Diameter [m].

    Returns
    -------
    (...,) array
        Share of the deep thrust that remains: 1 when deep, 0 clear of the water [-].

    Notes
    -----
    .. math:: \beta = 1 - 0.675 (1 - 0.769 h/R)^{1.258} \quad (h/R < 1.3)
    """
    immersion = 2.0 * np.asarray(shaft_depth, dtype=np.float64) / diameter
    lost = 0.675 * np.maximum(1.0 - 0.769 * immersion, 0.0) ** 1.258
    return np.asarray(np.clip(1.0 - lost, 0.0, 1.0))


@model(
    source="momentum deficit of the pod's wake, slipstream drag of what lies behind (algebra); bands judged",
    valid={"drag_share": (0.0, 0.12, "more drag in the propeller's disc than a slender pod has")},
)
def interaction(*, drag_area: Array, diameter: Array, tractor: Array) -> Interaction:
    r"""Return wake fraction and thrust deduction of a propeller on a pod, with their bands.

    A propeller behind the pod works in its wake; one ahead washes it. For a pusher the thrust
    deduction, for a tractor the wake fraction is a judged constant.

    Parameters
    ----------
    drag_area : (n,) array
        Sum of drag coefficient times area of what lies within the disc's stream tube: pod and the
        part of the mast [m^2].
    diameter : (n,) array
        Diameter of the propeller [m].
    tractor : (n,) array
        1 where the propeller is ahead of the pod, 0 where behind [-].

    Returns
    -------
    Interaction
        Wake fraction and thrust deduction with bands [-].

    Notes
    -----
    .. math:: w = \sum C_D S / (2 A) \text{ (pusher)}, \qquad t = \sum C_D S / A \text{ (tractor)}
    """
    share = np.asarray(drag_area) / (0.25 * np.pi * np.asarray(diameter) ** 2)
    ahead = np.asarray(tractor) > 0.5
    return Interaction(
        wake=np.where(ahead, 0.0, 0.5 * share),
        wake_low=np.where(ahead, -0.02, 0.2 * share),
        wake_high=np.where(ahead, 0.02, 1.2 * share),
        thrust_deduction=np.where(ahead, share, 0.03),
        thrust_deduction_low=np.where(ahead, 0.5 * share, 0.01),
        thrust_deduction_high=np.where(ahead, 1.5 * share, 0.08),
        outside=interaction.mask(drag_share=share),
    )
