"""What lies within a section's outline at each depth below its skin: the ground of every shell.

A wall, a wrap of glass and a core are the material between two depths, so each is the difference of
two rows of one table; the table of a section is made once a process.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.errors import ModelError
from foilwright.core.model import Array
from foilwright.shape.foil import section_coordinates

OUTWARD = 0.08
"""How far outside the outline the table reaches [chord]."""
OUTER_ROWS = 17
INNER_ROWS = 49
POINTS = 161
AREA, FIRST_X, FIRST_Z, FLAT, EDGE, TORSION, PERIMETER, TOP, BOTTOM, NOSE, TAIL = range(11)
"""Columns: area; its first moments; second moments about the chord line and the nose; torsion constant of
the solid within; length of the contour; its highest, lowest, foremost and aftmost place. All at chord 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Insets:
    """Tables of sections over the depth below the skin; the depths of each are its own."""

    deepest: Array
    """(s,) half the greatest thickness [chord]."""
    values: Array
    """(s, rows, 11) [chord, to the power of the column]."""
    grid: Array
    """(k,) places along the chord [chord]."""
    thickness: Array
    """(s, k) thickness of the section there [chord]."""


def insets(sections: Sequence[str]) -> tuple[Insets, npt.NDArray[np.intp]]:
    """Return the tables of the different sections named, and which of them each name is."""
    names = tuple(dict.fromkeys(sections))
    if not names:
        raise ModelError("a part needs the name of its section")
    place = {name: k for k, name in enumerate(names)}
    which = np.array([place[name] for name in sections], dtype=np.intp)
    return _built_in_together(names), which


@functools.cache
def _built_in_together(names: tuple[str, ...]) -> Insets:
    return _stacked([_built_in(name) for name in names])


@functools.cache
def _built_in(name: str) -> Insets:
    return _tabulate(np.asarray(section_coordinates(section=name, points=POINTS)))


def _stacked(each: Sequence[Insets]) -> Insets:
    return Insets(
        deepest=np.concatenate([one.deepest for one in each]),
        values=np.concatenate([one.values for one in each]),
        grid=each[0].grid,
        thickness=np.concatenate([one.thickness for one in each]),
    )


def _tabulate(coordinates: Array) -> Insets:
    """Tabulate one outline, given from the trailing edge over the top and back [chord]."""
    nose = int(np.argmin(coordinates[:, 0]))
    upper, lower = coordinates[nose::-1], coordinates[nose:]
    grid = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, 2 * POINTS)))
    top, bottom = (np.interp(grid, side[:, 0], side[:, 1]) for side in (upper, lower))
    middle = 0.5 * (top + bottom)
    deepest = 0.5 * float((top - bottom).max())
    rows = [_around(_shifted(upper, -d, 1.0), _shifted(lower, -d, -1.0)) for d in _outer_depths()]
    for depth in deepest * np.linspace(0.0, 1.0, INNER_ROWS):
        sides = []
        for points, sign in ((upper, 1.0), (lower, -1.0)):
            moved = _shifted(points, -depth, sign)
            inside = sign * (moved[:, 1] - np.interp(moved[:, 0], grid, middle)) > 0.0
            kept = moved[inside]
            sides.append(np.interp(grid, kept[:, 0], kept[:, 1], np.nan, np.nan) if len(kept) > 1 else grid * np.nan)
        rows.append(_within(grid, *sides))
    return Insets(deepest=np.array([deepest]), values=np.array(rows)[None], grid=grid, thickness=(top - bottom)[None])


def _outer_depths() -> Array:
    return np.linspace(-OUTWARD, 0.0, OUTER_ROWS)[:-1]


def _shifted(points: Array, outward: float, sign: float) -> Array:
    """Return one side of an outline moved along its normals."""
    along = np.gradient(points, axis=0)
    length = np.hypot(along[:, 0], along[:, 1])
    normal = sign * np.stack([-along[:, 1], along[:, 0]], axis=1) / length[:, None]
    normal[0] = (-1.0, 0.0)
    return np.asarray(points + outward * normal)


def _around(upper: Array, lower: Array) -> Array:
    """Return the row of a contour outside the outline."""
    outline = np.concatenate([upper[::-1], lower[1:]])
    x, z = outline.T
    x2, z2 = np.roll(x, -1), np.roll(z, -1)
    cross = x * z2 - x2 * z
    area = 0.5 * cross.sum()
    first_x, first_z = ((x + x2) * cross).sum() / 6.0, ((z + z2) * cross).sum() / 6.0
    flat = ((z * z + z * z2 + z2 * z2) * cross).sum() / 12.0
    edge = ((x * x + x * x2 + x2 * x2) * cross).sum() / 12.0
    around = np.hypot(x2 - x, z2 - z).sum()
    ends = (z.max(), z.min(), x.min(), x.max())
    across = np.linspace(ends[2], ends[3], 2 * POINTS)
    high = np.interp(across, upper[:, 0], upper[:, 1]) - np.interp(across, lower[:, 0], lower[:, 1])
    torsion = _solid_torsion(area, across, high)
    return np.array([area, first_x, first_z, flat, edge, torsion, around, *ends])


def _within(x: Array, top: Array, bottom: Array) -> Array:
    """Return the row of a contour inside the outline, from both of its sides over the chord."""
    with np.errstate(invalid="ignore"):
        there = top > bottom
    if there.sum() < 2:
        return np.zeros(11)
    top, bottom = (np.where(there, side, 0.0) for side in (top, bottom))
    high = top - bottom
    area = float(np.trapezoid(high, x))
    first_x = np.trapezoid(high * x, x)
    first_z = np.trapezoid(0.5 * (top * top - bottom * bottom), x)
    flat = np.trapezoid((top**3 - bottom**3) / 3.0, x)
    edge = np.trapezoid(high * x * x, x)
    inner = x[there]
    around = sum(np.hypot(np.diff(inner), np.diff(side[there])).sum() for side in (top, bottom))
    around += high[there][0] + high[there][-1]
    torsion = _solid_torsion(area, inner, high[there])
    ends = (top[there].max(), bottom[there].min(), inner[0], inner[-1])
    return np.array([area, first_x, first_z, flat, edge, torsion, around, *ends])


def _solid_torsion(area: float, x: Array, high: Array) -> float:
    """Return the torsion constant of a thin solid section (Roark, table of torsion, thin airfoil)."""
    flat = float(np.trapezoid(high**3, x)) / 12.0
    out: float = 4.0 * flat / (1.0 + 16.0 * flat / (area * float(x[-1] - x[0]) ** 2))
    return out


def at_depth(table: Insets, which: npt.NDArray[np.intp], depth: Array) -> Array:
    """Return the row at a depth below the skin (negative: outside), all at chord 1.

    ``which`` broadcasts with ``depth``; a depth beyond the deepest place has nothing below it.
    """
    deepest = table.deepest[which]
    share = np.where(
        depth < 0.0,
        (depth / OUTWARD + 1.0) * (OUTER_ROWS - 1.0),
        OUTER_ROWS - 1.0 + depth / deepest * (INNER_ROWS - 1.0),
    )
    last = OUTER_ROWS + INNER_ROWS - 2
    share = np.clip(share, 0.0, last)
    row = np.minimum(share.astype(np.intp), last - 1)
    share = (share - row)[..., None]
    low = table.values[which, row]
    return np.asarray(low + share * (table.values[which, row + 1] - low))
