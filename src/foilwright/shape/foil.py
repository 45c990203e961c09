"""Sections and planforms: coordinates, the spanwise rule, areas and volumes.

Axes of a section: x from the nose aft, z up, both in chords. Axes of a planform: x forward,
y to port, z up, from the quarter chord of the root; a wing is the port half and its mirror image.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from foilwright.core.errors import DataError
from foilwright.core.model import Array, model
from foilwright.shape import own

ABBOTT = "Abbott & von Doenhoff 1959, Theory of Wing Sections, ch. 6"
OWN_EDGE = 0.021
"""Thickness of the trailing edge of a four-digit section over its thickness [-]."""
TIP_CHORD = 0.25
"""Chord at the end of a rounded tip over the chord of the straight outline there [-]."""
STRAIGHT_STATIONS = 5
TIP_STATIONS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class FourDigit:
    """Parameters of a NACA four-digit section, all over the chord [-]."""

    camber: float
    camber_place: float
    thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """Points of both sides of a section at the same place along the chord, in chords."""

    upper_x: Array
    upper_z: Array
    lower_x: Array
    lower_z: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """What the closed outline of a section amounts to, at chord 1."""

    area: Array
    """Area [chord^2]."""
    perimeter: Array
    """Length of the outline, trailing edge included [chord]."""
    thickness: Array
    """Greatest height across the chord line, measured square to it [chord]."""
    centroid_x: Array
    """Centroid behind the nose [chord]."""
    centroid_z: Array
    """Centroid above the chord line [chord]."""
    second_moment_flat: Array
    """Second moment of area about the chordwise axis through the centroid (bending up) [chord^4]."""
    second_moment_edge: Array
    """Second moment of area about the axis square to the chord (bending aft) [chord^4]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stations:
    """Stations of the port half, from root to tip; each array is (n, m)."""

    y: Array
    """Distance from the middle [m]."""
    chord: Array
    """Chord [m]."""
    x: Array
    """Quarter chord forward of that of the root [m]."""
    z: Array
    """Quarter chord above that of the root [m]."""
    twist: Array
    """Incidence against the root, nose up [rad]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Planform:
    """Whole-wing measures of the ruled loft; each array is (n,)."""

    area: Array
    """Projected area of both halves [m^2]."""
    span: Array
    """Span [m]."""
    aspect_ratio: Array
    """Span squared over area [-]."""
    mean_chord: Array
    """Area over span [m]."""
    mean_aerodynamic_chord: Array
    """Integral of chord squared over area [m]."""
    root_chord: Array
    """Chord in the middle [m]."""
    tip_chord: Array
    """Chord of the last station [m]."""
    x: Array
    """Quarter chord of the mean aerodynamic chord forward of that of the root [m]."""
    y: Array
    """Distance of the centroid of one half from the middle [m]."""


def four_digit(*, section: str) -> FourDigit:
    """Return the parameters that a designation such as ``naca2412`` stands for [-].

    Parameters
    ----------
    section : str
        Designation, with or without ``naca`` [-].
    """
    found = re.fullmatch(r"(?:naca)?(\d)(\d)(\d\d)", section.lower().replace(" ", ""))
    if found is None or int(found[3]) == 0 or (found[1] == "0") != (found[2] == "0"):
        raise DataError(f"{section} is not a four-digit section; an example: naca2412")
    camber, place, thickness = (int(found[k]) for k in (1, 2, 3))
    return FourDigit(camber=camber / 100.0, camber_place=place / 10.0, thickness=thickness / 100.0)


def section_thickness(*, section: str) -> float:
    """Return the greatest thickness of a four-digit section or of a maker's own [chord].

    Parameters
    ----------
    section : str
        Designation, for example ``naca2412`` [-].
    """
    return own.measures(section)[0] if own.kept(section) else four_digit(section=section).thickness


@model(source=f"{ABBOTT}, eqs. 6.2 to 6.4", valid={"x": (0.0, 1.0)}, decides=("x",))
def section_surface(*, section: str, x: Array, trailing_edge: float | None = None) -> Surface:
    """Return the points of both sides of a four-digit section, or of a maker's own.

    Parameters
    ----------
    section : str
        Designation, for example ``naca2412`` [-].
    x : float or array
        Place along the chord of the point on the mean line, 0 at the nose [chord].
    trailing_edge : float, optional
        Thickness of the trailing edge [chord]; left out, the section's own (0.0021 for a thickness
        of 0.10); 0 closes it. The difference goes into the last coefficient of the polynomial.

    Returns
    -------
    Surface
        Of the shape of ``x`` [chord].
    """
    if own.kept(section):
        x = np.asarray(x, dtype=np.float64)
        upper, lower = own.sides_of(section, x, trailing_edge)
        return Surface(upper_x=x, upper_z=upper, lower_x=x, lower_z=lower)
    shape = four_digit(section=section)
    tau, m, p = shape.thickness, shape.camber, shape.camber_place
    edge = OWN_EDGE * tau if trailing_edge is None else trailing_edge
    x = np.asarray(x, dtype=np.float64)
    last = 0.1036 - edge / (10.0 * tau)
    half = 5.0 * tau * (0.2969 * np.sqrt(x) + x * (-0.1260 + x * (-0.3516 + x * (0.2843 - x * last))))
    if m > 0.0:
        share = np.where(x < p, m / (p * p), m / ((1.0 - p) * (1.0 - p)))
        line = share * (np.where(x < p, 0.0, 1.0 - 2.0 * p) + 2.0 * p * x - x * x)
        angle = np.arctan(2.0 * share * (p - x))
    else:
        line = angle = np.zeros_like(x)
    aft, up = half * np.sin(angle), half * np.cos(angle)
    return Surface(upper_x=x - aft, upper_z=line + up, lower_x=x + aft, lower_z=line - up)


@model(source=f"{ABBOTT}, eqs. 6.2 to 6.4; half-cosine spacing")
def section_coordinates(*, section: str, points: int = 101, trailing_edge: float | None = None) -> Array:
    """Return the outline of a four-digit section or of a maker's own, from the trailing edge over the top and back.

    Parameters
    ----------
    section : str
        Designation, for example ``naca2412`` [-].
    points : int
        Points a side, nose and trailing edge included [-].
    trailing_edge : float, optional
        Thickness of the trailing edge [chord]; left out, the section's own; 0 closes it.

    Returns
    -------
    (2 points - 1, 2) array
        x aft of the nose and z above the chord line [chord].
    """
    if own.kept(section):
        return own.outline_of(section, points, trailing_edge)
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, points)))
    side = section_surface(section=section, x=x, trailing_edge=trailing_edge)
    upper = np.stack([side.upper_x, side.upper_z], axis=-1)
    lower = np.stack([side.lower_x, side.lower_z], axis=-1)
    return np.concatenate([upper[::-1], lower[1:]])


@model(source="polygon moments by Green's theorem; second moments by the parallel axis rule")
def section_outline(*, coordinates: Array) -> Outline:
    """Return area, perimeter, thickness, centroid and second moments of a closed outline.

    Parameters
    ----------
    coordinates : (k, 2) array
        Outline from the trailing edge over the top and back; it is closed by a straight line [chord].

    Returns
    -------
    Outline
        At chord 1; multiply by chord to the stated power [chord].
    """
    x, z = np.asarray(coordinates, dtype=np.float64).T
    x2, z2 = np.roll(x, -1), np.roll(z, -1)
    cross = x * z2 - x2 * z
    area = 0.5 * cross.sum()
    cx = ((x + x2) * cross).sum() / (6.0 * area)
    cz = ((z + z2) * cross).sum() / (6.0 * area)
    about_x = ((z * z + z * z2 + z2 * z2) * cross).sum() / 12.0
    about_z = ((x * x + x * x2 + x2 * x2) * cross).sum() / 12.0
    nose = int(np.argmin(x))
    across = np.linspace(x.min(), x.max(), 2001)[1:-1]
    height = np.interp(across, x[nose::-1], z[nose::-1]) - np.interp(across, x[nose:], z[nose:])
    return Outline(
        area=np.asarray(area),
        perimeter=np.asarray(np.hypot(x2 - x, z2 - z).sum()),
        thickness=np.asarray(height.max()),
        centroid_x=np.asarray(cx),
        centroid_z=np.asarray(cz),
        second_moment_flat=np.asarray(about_x - area * cz * cz),
        second_moment_edge=np.asarray(about_z - area * cx * cx),
    )


@model(source="straight taper; tip rounded by an ellipse; chords scaled to the stated area of the ruled loft")
def stations(
    *,
    area: Array,
    span: Array,
    taper: Array,
    sweep: Array | float = 0.0,
    dihedral: Array | float = 0.0,
    twist: Array | float = 0.0,
    tip_rounding: Array | float = 0.0,
) -> Stations:
    """Return the stations of a wing: the one spanwise rule, for models, solids and templates.

    Between stations everything is ruled (straight lines). Chord and twist run linearly from root
    to tip; within the rounded part the chord is that of the straight outline times an ellipse that
    ends at a quarter of it. The chords are scaled so that the ruled outline has the stated area.

    Parameters
    ----------
    area : (n,) array
        Projected area of both halves [m^2].
    span : (n,) array
        Span, tip to tip [m].
    taper : (n,) array
        Tip chord over root chord of the straight outline [-].
    sweep : (n,) array
        Sweep of the quarter-chord line, aft [rad].
    dihedral : (n,) array
        Rise of the quarter-chord line towards the tip [rad].
    twist : (n,) array
        Incidence of the tip against the root, nose up; washout is negative [rad].
    tip_rounding : (n,) array
        Share of the half span that is rounded, 0 for a cut tip [-].

    Returns
    -------
    Stations
        Each array (n, 5) where no tip is rounded, otherwise (n, 11) with the last six of a cut tip in
        one place [m], [rad].
    """
    area, span, taper, sweep, dihedral, twist, rounding = (
        column[..., None]
        for column in np.broadcast_arrays(
            *(np.atleast_1d(np.asarray(v, dtype=np.float64)) for v in (area, span, taper, sweep, dihedral)),
            *(np.atleast_1d(np.asarray(v, dtype=np.float64)) for v in (twist, tip_rounding)),
        )
    )
    share = np.linspace(0.0, 1.0, STRAIGHT_STATIONS) * (1.0 - rounding)
    factor = np.ones_like(share)
    if np.any(rounding > 0.0):
        s = np.sin(0.5 * np.pi * np.arange(1, TIP_STATIONS + 1) / TIP_STATIONS)
        round_off = np.sqrt(1.0 - (1.0 - TIP_CHORD * TIP_CHORD) * s * s)
        share = np.concatenate([share, 1.0 - rounding * (1.0 - s)], axis=-1)
        factor = np.concatenate([factor, np.where(rounding > 0.0, round_off, 1.0)], axis=-1)
    y = 0.5 * span * share
    ratio = (1.0 - (1.0 - taper) * share) * factor
    strip = np.diff(y, axis=-1)
    unscaled = (strip * (ratio[..., 1:] + ratio[..., :-1])).sum(axis=-1, keepdims=True)
    return Stations(
        y=y, chord=ratio * area / unscaled, x=-y * np.tan(sweep), z=y * np.tan(dihedral), twist=twist * share
    )


@model(source="exact integrals over straight-sided strips")
def planform(*, stations: Stations) -> Planform:
    """Return area, chords and centres of a wing from its stations.

    Parameters
    ----------
    stations : Stations
        Arrays (n, m) [m].

    Returns
    -------
    Planform
        Arrays (n,) [m], [m^2].
    """
    strip = np.diff(stations.y, axis=-1)
    c1, c2 = stations.chord[..., :-1], stations.chord[..., 1:]

    def moment(value: Array) -> Array:
        first, last = value[..., :-1], value[..., 1:]
        each = c1 * (2.0 * first + last) + c2 * (first + 2.0 * last)
        return np.asarray((strip * each).sum(axis=-1) / 3.0)

    area = (strip * (c1 + c2)).sum(axis=-1)
    span = 2.0 * stations.y[..., -1]
    return Planform(
        area=area,
        span=span,
        aspect_ratio=span * span / area,
        mean_chord=area / span,
        mean_aerodynamic_chord=moment(stations.chord) / area,
        root_chord=stations.chord[..., 0],
        tip_chord=stations.chord[..., -1],
        x=moment(stations.x) / area,
        y=moment(stations.y) / area,
    )


@model(source="exact for a ruled loft of one section: the blend of two similar figures is similar")
def volume(*, stations: Stations, area_factor: Array | float) -> Array:
    r"""Return the volume inside the ruled loft through the stations.

    Parameters
    ----------
    stations : Stations
        Arrays (n, m) [m], [rad].
    area_factor : float or (n,) array
        Area of the section over chord squared [-].

    Returns
    -------
    (n,) array
        Both halves [m^3].

    Notes
    -----
    .. math:: V = 2 k \sum \Delta y (c_1^2 + c_1 c_2 \cos\Delta\theta + c_2^2) / 3
    """
    strip = np.diff(stations.y, axis=-1)
    turn = np.cos(np.diff(stations.twist, axis=-1))
    c1, c2 = stations.chord[..., :-1], stations.chord[..., 1:]
    squares = (strip * (c1 * c1 + c1 * c2 * turn + c2 * c2)).sum(axis=-1)
    out: Array = np.asarray(area_factor) * squares * (2.0 / 3.0)
    return out


@model(source="outline length times strip width along the span, and both cut tips; slant of the strips left out")
def wetted_area(*, stations: Stations, perimeter_factor: Array | float, area_factor: Array | float) -> Array:
    """Return the skin area of a wing, both tips closed by a flat face.

    Parameters
    ----------
    stations : Stations
        Arrays (n, m) [m].
    perimeter_factor : float or (n,) array
        Length of the outline of the section over the chord [-].
    area_factor : float or (n,) array
        Area of the section over chord squared [-].

    Returns
    -------
    (n,) array
        Both halves [m^2].
    """
    along = np.hypot(np.diff(stations.y, axis=-1), np.diff(stations.z, axis=-1))
    chords = (along * (stations.chord[..., :-1] + stations.chord[..., 1:])).sum(axis=-1)
    tip = stations.chord[..., -1]
    out: Array = np.asarray(perimeter_factor) * chords + 2.0 * np.asarray(area_factor) * tip * tip
    return out


@model(source="section turned about its quarter chord and set at its station")
def loft(*, stations: Stations, coordinates: Array) -> Array:
    """Return the outline of every station in space; solids and templates rule between them.

    Parameters
    ----------
    stations : Stations
        Arrays (n, m) [m], [rad].
    coordinates : (k, 2) array
        Outline of the section [chord].

    Returns
    -------
    (n, m, k, 3) array
        x forward, y to port, z up from the quarter chord of the root [m].
    """
    outline = np.asarray(coordinates, dtype=np.float64)
    chord, twist = stations.chord[..., None], stations.twist[..., None]
    aft, up = (outline[:, 0] - 0.25) * chord, outline[:, 1] * chord
    cos, sin = np.cos(twist), np.sin(twist)
    x = stations.x[..., None] - (aft * cos + up * sin)
    z = stations.z[..., None] + up * cos - aft * sin
    return np.stack([x, np.broadcast_to(stations.y[..., None], x.shape), z], axis=-1)
