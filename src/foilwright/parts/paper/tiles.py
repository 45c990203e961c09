"""Drawings at full size on sheets of paper: tiles with registration marks and a check bar of 100 mm."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from foilwright.parts.paper.drawing import STYLES, Drawing, Point, rounded
from foilwright.parts.paper.typeset import typeset

PAPERS = {"a4": (297.0, 210.0), "letter": (279.4, 215.9)}
"""Paper lying on its long side [mm]."""
EDGE, FOOT = 10.0, 20.0
"""Edge that printers leave white, and the foot with bar and words [mm]."""
BAR = 100.0
"""Length of the check bar [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One sheet of paper: what of the drawing it shows [m]."""

    column: int
    row: int
    low: Point
    high: Point


def room(paper: str) -> tuple[float, float]:
    """Return the part of a sheet that shows the drawing [m]."""
    wide, tall = PAPERS[paper]
    return (wide - 2.0 * EDGE) / 1000.0, (tall - EDGE - FOOT) / 1000.0


def tiles(drawing: Drawing, paper: str) -> list[Tile]:
    """Return the sheets of paper that show something of a drawing, row by row from the lower left."""
    wide, tall = room(paper)
    (left, low), (right, high) = drawing.extent()
    columns, rows = (max(1, math.ceil(size / one - 1e-9)) for size, one in ((right - left, wide), (high - low, tall)))
    made = [
        Tile(
            column=i, row=j, low=(left + i * wide, low + j * tall), high=(left + (i + 1) * wide, low + (j + 1) * tall)
        )
        for j in range(rows) for i in range(columns)
    ]  # fmt: skip
    return [
        tile for tile in made if any(True for line in drawing.lines for _ in clipped(line.points, tile, line.closed))
    ]


def clipped(points: Sequence[Point], tile: Tile, closed: bool) -> Iterator[list[Point]]:
    """Yield the parts of a line that lie on a tile."""
    run: list[Point] = []
    ring = [*points, points[0]] if closed else list(points)
    for first, last in itertools.pairwise(ring):
        part = _segment(first, last, tile)
        if part is None:
            if len(run) > 1:
                yield run
            run = []
            continue
        if run and run[-1] == part[0]:
            run.append(part[1])
        else:
            if len(run) > 1:
                yield run
            run = list(part)
    if len(run) > 1:
        yield run


def _segment(first: Point, last: Point, tile: Tile) -> tuple[Point, Point] | None:
    """Return the part of a segment on a tile (Liang and Barsky 1984)."""
    start, end = 0.0, 1.0
    step = (last[0] - first[0], last[1] - first[1])
    for axis in (0, 1):
        for sign, limit in ((-1.0, tile.low[axis]), (1.0, tile.high[axis])):
            toward, room_left = sign * step[axis], sign * (limit - first[axis])
            if toward == 0.0:
                if room_left < 0.0:
                    return None
                continue
            at = room_left / toward
            if toward > 0.0:
                end = min(end, at)
            else:
                start = max(start, at)
    if start >= end:
        return None
    at_start = first if start == 0.0 else (first[0] + start * step[0], first[1] + start * step[1])
    at_end = last if end == 1.0 else (first[0] + end * step[0], first[1] + end * step[1])
    return at_start, at_end


def pdf(drawings: Sequence[Drawing], *, paper: str, head: str) -> bytes:
    """Return drawings at full size as a PDF, an overview of the tiles first; needs the extra ``parts``."""
    pages: list[dict[str, Any]] = []
    for drawing in drawings:
        made = tiles(drawing, paper)
        for number, tile in enumerate(made, 1):
            pages.append(_page(drawing, tile, number, len(made), _plan(made, tile)))
    wide, tall = PAPERS[paper]
    told = {"head": head, "wide": wide, "tall": tall, "edge": EDGE, "foot": FOOT, "bar": BAR, "pages": pages}
    return typeset("parts/tiles.typ", rounded(told))


def _plan(made: Sequence[Tile], here: Tile) -> list[list[int]]:
    """Return a small plan of the tiles: 0 none, 1 one, 2 this one, from the top row down."""
    columns, rows = (max(getattr(tile, axis) for tile in made) + 1 for axis in ("column", "row"))
    there = {(tile.row, tile.column): 1 for tile in made} | {(here.row, here.column): 2}
    return [[there.get((row, column), 0) for column in range(columns)] for row in reversed(range(rows))]


def _page(drawing: Drawing, tile: Tile, number: int, count: int, plan: list[list[int]]) -> dict[str, Any]:
    def local(point: Point) -> list[float]:
        return [(point[0] - tile.low[0]) * 1000.0, (tile.high[1] - point[1]) * 1000.0]

    lines = [
        {
            "points": [local(point) for point in part], "colour": STYLES[line.style][0], "width": STYLES[line.style][1],
            "dash": [float(one) for one in STYLES[line.style][2].split()],
        }
        for line in drawing.lines
        for part in clipped(line.points, tile, line.closed)
    ]  # fmt: skip
    words = [
        {"x": local(one.at)[0], "y": local(one.at)[1], "told": one.told, "size": one.size, "anchor": one.anchor,
         "turned": one.turned}
        for one in drawing.words
        if all(tile.low[k] <= one.at[k] < tile.high[k] for k in (0, 1))
    ]  # fmt: skip
    name = f"{drawing.name}: row {tile.row + 1}, column {tile.column + 1}" if count > 1 else drawing.name
    return {"name": name, "number": number, "count": count, "plan": plan, "lines": lines, "words": words}
