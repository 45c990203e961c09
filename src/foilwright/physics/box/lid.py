"""The lid as a plate: under pressure, under a heel, when warm, and the room it needs to grow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array, Mask, model
from foilwright.physics.joint.plates import REFERENCE_POISSON, THIN, plate

REFERENCE_TEMPERATURE = 296.15
"""Temperature of the moduli of lids [K]."""
SOFTENS = (263.15, 343.15, "the stiffness of lids is known from -10 to 70 C at most")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lid:
    """A lid under load: ``stress`` [Pa], ``deflection`` in the middle [m]; both have the load's sign."""

    stress: Array
    deflection: Array
    outside: Mask


def _warm(modulus: Array, temperature: Array | float, softening: Array | float) -> Array:
    warm: Array = np.asarray(modulus) * np.exp(
        -np.asarray(softening) * (np.asarray(temperature) - REFERENCE_TEMPERATURE)
    )
    return warm


@model(
    source="plate under even pressure, Timoshenko & Woinowsky-Krieger 1959, ch. 5 and 6; "
    "modulus over temperature an estimate",
    valid={**THIN, "temperature": SOFTENS},
)
def lid(
    *,
    width: Array,
    length: Array,
    thickness: Array,
    modulus: Array,
    pressure: Array,
    edge: str | Sequence[str] = "supported",
    temperature: Array | float = REFERENCE_TEMPERATURE,
    softening: Array | float = 0.0,
) -> Lid:
    r"""Return stress and bow of a rectangular lid under pressure, as stiff as its temperature leaves it.

    Parameters
    ----------
    width, length : float or array
        Sides of the lid between its rows of screws, in any order [m].
    thickness : float or array
        Thickness [m].
    modulus : float or array
        Young's modulus at 23 C [Pa].
    pressure : float or array
        Pressure over the whole lid, positive inward [Pa].
    edge : str or sequence of str
        ``supported`` or ``clamped``; a screwed lid on a soft seal lies between, near the first [-].
    temperature : float or array
        Temperature of the lid [K].
    softening : float or array
        Loss of modulus by kelvin, at 23 C [1/K].

    Returns
    -------
    Lid
        Stress [Pa] and deflection [m].

    Notes
    -----
    .. math:: \sigma = \beta p b^2 / t^2, \quad y = \alpha p b^4 / (E(T)\, t^3)

    Poisson's ratio 0.3; a ratio of 0.4 adds 4 % to the stress and takes 8 % from the bow.
    """
    bent = plate.function(
        width=width,
        length=length,
        thickness=thickness,
        modulus=_warm(modulus, temperature, softening),
        pressure=pressure,
        edge=edge,
    )
    thick = np.asarray(thickness)
    mask = lid.mask(
        deflection_ratio=np.abs(bent.deflection) / thick,
        thickness_ratio=thick / np.minimum(width, length),
        temperature=temperature,
    )
    return Lid(stress=bent.stress, deflection=bent.deflection, outside=mask)


@model(source="Roark, Formulas for Stress and Strain, 8th ed. 2012, table 11.4, case 1b", valid=THIN)
def heel_on_lid(
    *, width: Array, length: Array, thickness: Array, modulus: Array, force: Array, patch_radius: Array
) -> Lid:
    r"""Return stress and bow of a simply supported lid with a heel in the middle.

    Parameters
    ----------
    width, length : float or array
        Sides of the lid between its rows of screws [m].
    thickness : float or array
        Thickness [m].
    modulus : float or array
        Young's modulus at its temperature [Pa].
    force : float or array
        Force of the heel [N].
    patch_radius : float or array
        Radius of the round patch that carries it, about 25 mm [m].

    Returns
    -------
    Lid
        Stress [Pa] and deflection [m].

    Notes
    -----
    .. math::
        \sigma = \frac{3 W}{2 \pi t^2}\left((1+\nu) \ln \frac{2b}{\pi r_0'} + \beta\right), \quad
        y = \alpha W b^2 / (E t^3)

    For a patch smaller than half the thickness :math:`r_0' = \sqrt{1.6 r_0^2 + t^2} - 0.675 t`.
    """
    short, thick = np.minimum(width, length), np.asarray(thickness)
    nodes, share = table("box/heel_plates").columns, short / np.maximum(width, length)
    term, bow = (np.interp(share, nodes["share"], nodes[name]) for name in ("term", "deflection"))
    small = np.sqrt(1.6 * np.square(patch_radius) + np.square(thick)) - 0.675 * thick
    radius = np.where(np.asarray(patch_radius) < 0.5 * thick, small, patch_radius)
    spread = (1.0 + REFERENCE_POISSON) * np.log(2.0 * short / (np.pi * radius)) + term
    deflection = bow * force * np.square(short) / (np.asarray(modulus) * thick**3)
    return Lid(
        stress=1.5 / np.pi * np.asarray(force) / np.square(thick) * spread,
        deflection=deflection,
        outside=heel_on_lid.mask(deflection_ratio=np.abs(deflection) / thick, thickness_ratio=thick / short),
    )


@model(
    source="estimate: logarithm of the modulus linear in temperature, slopes from data-sheet curves",
    valid={"temperature": SOFTENS},
)
def warm_modulus(*, modulus: Array, temperature: Array, softening: Array) -> Array:
    r"""Return the modulus of a lid when it is warm.

    Parameters
    ----------
    modulus : float or array
        Young's modulus at 23 C [Pa].
    temperature : float or array
        Temperature of the lid [K].
    softening : float or array
        Loss of modulus by kelvin, at 23 C [1/K].

    Returns
    -------
    float or array
        Young's modulus [Pa].

    Notes
    -----
    .. math:: E = E_{23} \exp(-k (T - 296.15))

    Near its glass transition a plastic softens at once; ``hottest`` of the table of lids ends the law.
    """
    return _warm(modulus, temperature, softening)


@model(source="linear expansion")
def hole_clearance(*, length: Array, expansion: Array, temperature_range: Array) -> Array:
    r"""Return how much wider than its screw the farthest hole of a lid must be.

    Parameters
    ----------
    length : float or array
        Distance of the farthest holes [m].
    expansion : float or array
        Expansion of the lid less that of the box by kelvin [1/K].
    temperature_range : float or array
        Warmest less coldest temperature [K].

    Returns
    -------
    float or array
        Diameter of the hole less that of the screw [m].

    Notes
    -----
    .. math:: \Delta d = \alpha\, \Delta T\, L
    """
    clearance: Array = np.asarray(length) * expansion * temperature_range
    return clearance
