"""Plates under even pressure: lids, hatches, flanges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.errors import ModelError
from foilwright.core.model import Array, Mask, model

EDGES = ("supported", "clamped")
THIN = {
    "deflection_ratio": (0.0, 0.5, "deflection beyond half the thickness: the plate also stretches"),
    "thickness_ratio": (0.0, 0.25, "a plate thicker than a quarter of its width"),
}
REFERENCE_POISSON = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A plate under even pressure."""

    stress: Array
    """stress, greatest in bending [Pa]."""
    deflection: Array
    """deflection in the middle [m]."""
    reaction: Array
    """reaction of the edge, greatest a length; of clamped edges pressure times half the width [N/m]."""
    outside: Mask


def _edges(edge: str | Sequence[str]) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Return whether edges are clamped."""
    names = np.asarray(edge)
    if not set(names.ravel().tolist()) <= set(EDGES):
        raise ModelError(f"the edge of a plate is one of: {', '.join(EDGES)}")
    return np.asarray(names == "clamped")


@model(
    source="Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, ch. 5 and 6; Roark, table 11.4: "
    "coefficients computed by scripts/write_plates.py",
    valid=THIN,
)
def plate(
    *,
    width: Array,
    length: Array,
    thickness: Array,
    modulus: Array,
    pressure: Array,
    edge: str | Sequence[str],
    poisson: Array | float = REFERENCE_POISSON,
) -> Plate:
    r"""Return stress and deflection of a rectangular plate under even pressure.

    Parameters
    ----------
    width, length : float or array
        Its two sides, in any order [m].
    thickness : float or array
        Thickness [m].
    modulus : float or array
        Young's modulus [Pa].
    pressure : float or array
        Pressure on one face [Pa].
    edge : str or sequence of str
        ``supported`` (may turn) or ``clamped``, one for all or one a design [-].
    poisson : float or array
        Lateral contraction; scales the deflection, the stress is that of 0.3 [-].

    Returns
    -------
    Plate
        Fields with their units in the class [SI].

    Notes
    -----
    .. math:: \sigma = \beta q w^2 / t^2, \quad y = \alpha q w^4 / E t^3
    """
    width, length, t = (np.asarray(v, dtype=np.float64) for v in (width, length, thickness))
    short, long = np.minimum(width, length), np.maximum(width, length)
    share, clamped = short / long, _edges(edge)
    columns = table("plates").columns

    def read(name: str) -> Array:
        by = [np.interp(share, columns["share"], columns[f"{kind}_{name}"]) for kind in EDGES]
        return np.where(clamped, by[1], by[0])

    lateral = (1.0 - np.square(poisson)) / (1.0 - REFERENCE_POISSON**2)
    square = short * short
    deflection = read("deflection") * lateral * pressure * square * square / (modulus * t * t * t)
    held = np.interp(share, columns["share"], columns["supported_reaction"])
    return Plate(
        stress=read("stress") * pressure * square / (t * t),
        deflection=deflection,
        reaction=np.where(clamped, 0.5, held) * pressure * short,
        outside=plate.mask(deflection_ratio=np.abs(deflection) / t, thickness_ratio=t / short),
    )


@model(source="Roark's Formulas for Stress and Strain, 7th ed., table 11.2, cases 10a and 10b", valid=THIN)
def round_plate(
    *,
    diameter: Array,
    thickness: Array,
    modulus: Array,
    pressure: Array,
    edge: str | Sequence[str],
    poisson: Array | float = REFERENCE_POISSON,
) -> Plate:
    r"""Return stress and deflection of a round plate under even pressure.

    Parameters
    ----------
    diameter : float or array
        Diameter between the edges that hold it [m].
    thickness : float or array
        Thickness [m].
    modulus : float or array
        Young's modulus [Pa].
    pressure : float or array
        Pressure on one face [Pa].
    edge : str or sequence of str
        ``supported`` (may turn) or ``clamped``, one for all or one a design [-].
    poisson : float or array
        Lateral contraction [-].

    Returns
    -------
    Plate
        Fields with their units in the class [SI].

    Notes
    -----
    .. math:: \sigma = \frac{3 (3 + \nu)}{8} \frac{q a^2}{t^2} \; (\text{clamped } \tfrac{3}{4}), \quad
              y = \frac{q a^4}{64 D} \frac{5 + \nu}{1 + \nu} \; (\text{clamped } \tfrac{q a^4}{64 D})
    """
    radius, t = 0.5 * np.asarray(diameter, dtype=np.float64), np.asarray(thickness, dtype=np.float64)
    nu, clamped = np.asarray(poisson, dtype=np.float64), _edges(edge)
    stiff = modulus * t * t * t / (12.0 * (1.0 - nu * nu))
    square = radius * radius
    deflection = pressure * square * square / (64.0 * stiff) * np.where(clamped, 1.0, (5.0 + nu) / (1.0 + nu))
    return Plate(
        stress=pressure * square / (t * t) * np.where(clamped, 0.75, 0.375 * (3.0 + nu)),
        deflection=deflection,
        reaction=0.5 * pressure * radius * np.ones(clamped.shape),
        outside=round_plate.mask(deflection_ratio=np.abs(deflection) / t, thickness_ratio=0.5 * t / radius),
    )
