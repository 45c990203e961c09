"""A maker's own section: its coordinate file, and the same tables as the shipped sections have."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from foilwright.core.errors import DataError, PlaceError
from foilwright.core.model import Array
from foilwright.physics.section import FINISHES, SectionTables
from foilwright.shape.foil import section_outline
from foilwright.study.polars import pressure_curve, solved_polar

PANEL_POINTS = 121
FEWEST_POINTS = 20


def read_coordinates(path: Path) -> Array:
    """Return the outline of a coordinate file, from the trailing edge over the top and back.

    The file has one point a line, x and z in any one unit, after an optional line with a name:
    either all around from the trailing edge, or the upper side and then the lower side, each from
    the nose, after a line with the two numbers of points. The outline is set to chord 1.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    (k, 2) array
        x aft of the nose and z above the chord line [chord].
    """
    try:
        lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError as error:
        raise PlaceError(f"{path} cannot be read: {error.strerror or error}") from error
    pairs = []
    for number, line in enumerate(lines, 1):
        words = line.replace(",", " ").split()
        try:
            pairs.append([float(word) for word in words[:2]])
        except ValueError:
            if pairs:
                raise DataError(f"{path}, line {number}: got {line.strip()!r}; allowed: x and z") from None
            continue
        if len(words) < 2:
            pairs.pop()
    points = np.array(pairs, dtype=np.float64).reshape(-1, 2)
    if len(points) and points[0].min() >= 2.0 and points[0].sum() == len(points) - 1:
        upper, lower = np.split(points[1:], [int(points[0, 0])])
        points = np.concatenate([upper[::-1], lower[1:]])
    return _checked(path, points)


def _checked(path: Path, points: Array) -> Array:
    """Return the points at chord 1 with the nose at 0, over the top first."""
    if len(points) < FEWEST_POINTS or not np.all(np.isfinite(points)):
        raise DataError(
            f"{path}: got {len(points)} points; allowed: at least {FEWEST_POINTS}, each x and z, "
            "from the trailing edge over the top and back (example: 1.0000 0.0013)"
        )
    chord = np.ptp(points[:, 0])
    nose = int(np.argmin(points[:, 0]))
    if chord <= 0.0 or not 0 < nose < len(points) - 1 or abs(points[0, 0] - points[-1, 0]) > 0.02 * chord:
        raise DataError(f"{path}: the points do not run from the trailing edge to the nose and back")
    out = (points - np.array([points[nose, 0], points[nose, 1]])) / chord
    x, z = out.T
    if np.dot(x, np.roll(z, -1)) < np.dot(np.roll(x, -1), z):
        out = out[::-1]
    return np.asarray(out)


def closed(coordinates: Array, points: int = PANEL_POINTS) -> Array:
    """Return the outline with its trailing edge closed and half-cosine spacing, for a panel method.

    The gap is closed with the fourth power of the distance behind the nose, as NACA sections are.

    Parameters
    ----------
    coordinates : (k, 2) array
        Outline from the trailing edge over the top and back [chord].
    points : int
        Points a side [-].

    Returns
    -------
    (2 points - 1, 2) array
        Outline [chord].
    """
    nose = int(np.argmin(coordinates[:, 0]))
    share = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, points)))
    middle = 0.5 * (coordinates[0] + coordinates[-1])
    sides = []
    for side in (coordinates[nose::-1], coordinates[nose:]):
        length = side[-1, 0] - side[0, 0]
        along = np.sqrt(np.maximum(side[:, 0] - side[0, 0], 0.0) / length)
        x = side[0, 0] + length * share
        z = np.interp(np.sqrt(share), along, side[:, 1])
        sides.append(np.stack([x, z], axis=-1) + (middle - side[-1]) * share[:, None] ** 4)
    upper, lower = sides
    return np.concatenate([upper[::-1], lower[1:]])


def tables_from_coordinates(path: Path, *, finish: str) -> SectionTables:
    """Return the tables of a maker's own section; needs the extra ``sections``.

    Parameters
    ----------
    path : Path
        Coordinate file, see ``read_coordinates``.
    finish : str
        ``polished``, ``sanded`` or ``printed`` [-].

    Returns
    -------
    SectionTables
        n = 1; give it to ``section.gather`` as ``own``.
    """
    if finish not in FINISHES:
        raise DataError(f"there is no finish {finish}; allowed: {', '.join(FINISHES)}")
    coordinates = read_coordinates(path)
    outline = section_outline(coordinates=coordinates)
    thickness = float(outline.thickness)
    polar = solved_polar(coordinates=coordinates, thickness=thickness, finish=finish)
    return SectionTables.from_polar(
        incidence=polar.incidence,
        lift=polar.lift,
        drag=polar.drag,
        moment=polar.moment,
        pressure=pressure_curve(coordinates=closed(coordinates)),
        thickness=thickness,
        area_factor=float(outline.area),
    )
