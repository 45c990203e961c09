"""What blade friction and finish change against the tested series."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array, Mask, model
from foilwright.physics.propeller.series import powers

SERIES_REYNOLDS = 2.0e6
LEAST_REYNOLDS = 5.0e4
SMOOTHEST = 1.0e-9
TURBULENT_REYNOLDS = 2.0e5
CHORD_FACTOR = 2.073
"""Chord at 0.75 radius of the series times blades, over area ratio and diameter [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """Changes to add to thrust and torque coefficient [-], and the chord Reynolds number [-]."""

    thrust_coefficient: Array
    torque_coefficient: Array
    reynolds: Array
    outside: Mask


def chord_ratio(area_ratio: Array, blades: Array) -> Array:
    """Return chord at 0.75 radius over diameter of the series [-]."""
    return np.asarray(CHORD_FACTOR * area_ratio / blades)


def series_thickness(chord: Array, blades: Array) -> Array:
    """Return thickness over chord at 0.75 radius of the series, from chord over diameter [-]."""
    return np.asarray((0.0185 - 0.00125 * blades) / chord)


def smooth_friction(reynolds: Array) -> Array:
    """Return 0.044 Rn^(-1/6) - 5 Rn^(-2/3), held below a Reynolds number of 5e4."""
    root = np.cbrt(np.sqrt(np.maximum(reynolds, LEAST_REYNOLDS)))
    square = root * root
    out: Array = 0.044 / root - 5.0 / (square * square)
    return out


def rough_friction(chord_over_grain: Array) -> Array:
    """Return (1.89 + 1.62 log10 c/kp)^-2.5."""
    base = 1.89 + 1.62 * np.log10(chord_over_grain)
    return np.asarray(1.0 / (base * base * np.sqrt(base)))


@model(
    source="ITTC 1978 performance prediction (ITTC 7.5-02-03-01.4): drag of smooth and rough blades",
    valid={
        "reynolds": (
            TURBULENT_REYNOLDS,
            1e9,
            "the blade's boundary layer is partly laminar and may separate",
        ),
        "roughness": (0.0, 200e-6, "rougher than as-printed layers"),
    },
)
def reynolds_correction(
    *,
    advance_speed: Array,
    shaft_speed: Array,
    diameter: Array,
    pitch_ratio: Array,
    area_ratio: Array,
    blades: Array,
    thickness_ratio: Array,
    roughness: Array,
    kinematic_viscosity: Array,
) -> Correction:
    r"""Return what blade drag changes against the series as tested at a Reynolds number of 2e6.

    Inputs broadcast. The rough formula is an upper bound of the loss. Below a Reynolds number of
    5e4 the drag is held; below 2e5 the mask is set.

    Parameters
    ----------
    advance_speed : (...,) array
        Speed of the inflow [m/s].
    shaft_speed : (...,) array
        Angular speed of the propeller [rad/s].
    diameter : (...,) array
        Diameter [m].
    pitch_ratio, area_ratio : (...,) arrays
        Pitch over diameter, and expanded blade area over disc area [-].
    blades : (...,) array
        Number of blades [-].
    thickness_ratio : (...,) array
        Thickness over chord at 0.75 radius of the blade as made [-].
    roughness : (...,) array
        Height of the blade's surface roughness; 30e-6 for a finished blade [m].
    kinematic_viscosity : (...,) array
        Of the water [m^2/s].

    Returns
    -------
    Correction
        Additions to thrust and torque coefficient, chord Reynolds number [-].

    Notes
    -----
    .. math::
        \Delta K_T = -0.30\, \Delta C_D (P/D)(cZ/D), \quad \Delta K_Q = 0.25\, \Delta C_D (cZ/D)
    """
    chord = chord_ratio(area_ratio, blades)
    tip = 0.375 * shaft_speed * diameter
    speed = np.sqrt(advance_speed * advance_speed + tip * tip)
    reynolds = chord * diameter * speed / kinematic_viscosity
    rough = rough_friction(chord * diameter / np.maximum(roughness, SMOOTHEST))
    friction = np.maximum(smooth_friction(reynolds), rough)
    tested = 2.0 * (1.0 + 2.0 * series_thickness(chord, blades)) * smooth_friction(np.asarray(SERIES_REYNOLDS))
    drag = 2.0 * (1.0 + 2.0 * thickness_ratio) * friction - tested
    solidity = chord * blades
    return Correction(
        thrust_coefficient=-0.30 * drag * pitch_ratio * solidity,
        torque_coefficient=0.25 * drag * solidity,
        reynolds=reynolds,
        outside=reynolds_correction.mask(reynolds=reynolds, roughness=roughness),
    )


@functools.cache
def _scale_terms(name: str) -> tuple[Array, tuple[Array, ...]]:
    columns = table(f"propeller/{name}").columns
    exponents = ("advance", "pitch", "area", "blades", "scale")
    return columns["value"], tuple(columns[k].astype(int) for k in exponents)


@model(
    source="Oosterveld and van Oossanen 1975; Carlton, Marine Propellers and Propulsion, eq. 6.18",
    valid={"reynolds": (2.0e6, 2.0e9, "the published correction starts at a Reynolds number of 2e6")},
    decides=("reynolds",),
)
def series_correction(
    *, advance: Array, pitch_ratio: Array, area_ratio: Array, blades: Array, reynolds: Array
) -> Correction:
    """Return the published change of the series from a Reynolds number of 2e6 up to 2e9.

    Parameters
    ----------
    advance : (...,) array
        Advance ratio [-].
    pitch_ratio, area_ratio : (...,) arrays
        Pitch over diameter, and expanded blade area over disc area [-].
    blades : (...,) array
        Number of blades [-].
    reynolds : (...,) array
        Reynolds number of the chord at 0.75 radius [-].

    Returns
    -------
    Correction
        Additions to thrust and torque coefficient, and the Reynolds number as given [-].
    """
    scale = np.log10(reynolds) - 0.301
    bases = np.broadcast_arrays(advance, pitch_ratio, area_ratio, blades, scale)
    at = [powers(np.asarray(b, dtype=np.float64), 6) for b in bases]

    def change(name: str) -> Array:
        value, exponents = _scale_terms(name)
        product = value * np.ones_like(at[0][..., :1])
        for base, exponent in zip(at, exponents, strict=True):
            product = product * base[..., exponent]
        return np.asarray(product.sum(axis=-1))

    return Correction(
        thrust_coefficient=change("scale_thrust"),
        torque_coefficient=change("scale_torque"),
        reynolds=np.asarray(reynolds, dtype=np.float64),
        outside=series_correction.mask(reynolds=reynolds),
    )
