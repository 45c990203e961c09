"""Side force of a mast that pierces the surface."""

from __future__ import annotations

import functools

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array, model

TWO_PI = 2.0 * np.pi
LIMITS = {
    "draft_over_chord": (0.46, 31.0, "wetted length outside the table of struts"),
    "draft_froude": (2.5, np.inf, "slower than the limit of high Froude number"),
}


@functools.cache
def _excess() -> tuple[Array, Array]:
    """Return closeness c/(c + d) and the excess of the table."""
    columns = table("strut_side_force").columns
    return columns["closeness"], columns["excess"]


@model(
    source="vortex lattice after Falkner 1943, ARC R&M 1910, with opposite image",
    valid=LIMITS,
    decides=("draft_over_chord",),
)
def side_force_slope(*, draft: Array, chord: Array, section_slope: Array | float = TWO_PI) -> Array:
    r"""Return the side-force slope of the wetted part of a mast at high Froude number.

    Parameters
    ----------
    draft : float or array
        Wetted length of the mast [m].
    chord : float or array
        Chord of the mast [m].
    section_slope : float or array
        Lift slope of the section [1/rad].

    Returns
    -------
    array
        Slope on dynamic pressure, draft and chord [1/rad]; NaN outside the table.

    Notes
    -----
    .. math:: \frac{1}{C_{Y\beta}} = \frac{1}{a_0} + \frac{e(c/d)}{\pi} \frac{c}{d}

    The pressure vanishes at the surface, so the loading does. A wing at the lower end holds the
    flow: up to 20 to 30 % more. Lift of the side edge, which shows below two chords of draft, is
    left out.
    """
    draft, chord = np.asarray(draft), np.asarray(chord)
    nodes, values = _excess()
    excess = np.interp(chord / (chord + draft), nodes, values, left=np.nan, right=np.nan)
    slope: Array = 1.0 / (1.0 / np.asarray(section_slope) + excess * chord / (np.pi * draft))
    return slope


@model(
    source="vortex lattice after Falkner 1943, ARC R&M 1910, with opposite image",
    valid=LIMITS | {"side_slip": (-0.14, 0.14, "side-slip beyond 8 deg: stall or ventilation")},
    decides=("draft_over_chord",),
)
def side_force(
    *,
    draft: Array,
    chord: Array,
    side_slip: Array,
    speed: Array,
    density: Array,
    section_slope: Array | float = TWO_PI,
    end_plate: Array | float = 1.0,
) -> Array:
    """Return the side force of the wetted part of a mast.

    Parameters
    ----------
    draft : float or array
        Wetted length of the mast [m].
    chord : float or array
        Chord of the mast [m].
    side_slip : float or array
        Angle between the mast and its path [rad].
    speed : float or array
        Speed through the water [m/s].
    density : float or array
        Density of the water [kg/m^3].
    section_slope : float or array
        Lift slope of the section [1/rad].
    end_plate : float or array
        Gain from the wing at the lower end, 1 to 1.3 [-].

    Returns
    -------
    array
        Side force [N].
    """
    slope = side_force_slope.function(draft=draft, chord=chord, section_slope=section_slope)
    force: Array = 0.5 * density * np.square(speed) * draft * chord * slope * side_slip * end_plate
    return force
