"""A line drawing at full size, in metres: written as SVG and DXF, and placed on pages."""

from __future__ import annotations

import html
import io
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from foilwright.core.extras import need

Point = tuple[float, float]

STYLES: dict[str, tuple[str, float, str]] = {
    "cut": ("#123047", 0.5, ""), "joint": ("#8a3b00", 0.4, "6 2 1 2"), "inner": ("#123047", 0.25, ""),
    "hidden": ("#55626c", 0.25, "3 2"), "zone": ("#8a3b00", 0.25, "1.5 1.5"), "middle": ("#55626c", 0.18, "8 2 2 2"),
    "frame": ("#9aa7b1", 0.25, ""), "measure": ("#55626c", 0.18, ""), "bar": ("#000000", 0.6, ""),
    "good": ("#2a78d6", 0.7, ""), "bad": ("#b85c00", 0.7, ""),
}  # fmt: skip
"""What a line means: colour, width [mm], dashes [mm]."""
COLOURS = {"cut": 7, "joint": 30, "inner": 5, "hidden": 8, "zone": 30, "middle": 8, "frame": 9, "measure": 8, "bar": 7}
"""Colour numbers of DXF layers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line through points [m]."""

    points: tuple[Point, ...]
    style: str = "cut"
    closed: bool = False
    fill: str = ""
    radius: float = 0.0  # m, of a circle whose first point lies to the right of its centre; 0 where it is none


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Words at a point [m]; the size is that on paper [mm]."""

    at: Point
    told: str
    size: float = 3.0
    anchor: str = "middle"  # start, middle, end
    turned: bool = False


@dataclass(slots=True, kw_only=True)
class Drawing:
    """Lines and words; y goes up. Words of a plan are so many times larger in a DXF, which is at full size."""

    name: str
    enlarge: float = 1.0
    lines: list[Line] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)

    def line(
        self, points: Iterable[Sequence[float]], style: str = "cut", *, closed: bool = False, fill: str = ""
    ) -> None:
        """Add a line."""
        told = tuple((float(x), float(y)) for x, y in points)
        self.lines.append(Line(points=told, style=style, closed=closed, fill=fill))

    def box(self, low: Point, high: Point, style: str = "cut", *, fill: str = "") -> None:
        """Add a rectangle between two corners."""
        corners = (low, (high[0], low[1]), high, (low[0], high[1]))
        self.line(corners, style, closed=True, fill=fill)

    def circle(self, at: Point, radius: float, style: str = "cut") -> None:
        """Add a circle: of 48 straight lines on paper, a true one in a DXF."""
        turns = [2.0 * math.pi * k / 48 for k in range(48)]
        told = tuple((at[0] + radius * math.cos(a), at[1] + radius * math.sin(a)) for a in turns)
        self.lines.append(Line(points=told, style=style, closed=True, radius=radius))

    def cross(self, at: Point, arm: float = 0.005, style: str = "measure") -> None:
        """Add a cross."""
        self.line([(at[0] - arm, at[1]), (at[0] + arm, at[1])], style)
        self.line([(at[0], at[1] - arm), (at[0], at[1] + arm)], style)

    def say(self, at: Point, told: str, *, size: float = 3.0, anchor: str = "middle", turned: bool = False) -> None:
        """Add words."""
        self.words.append(Words(at=(float(at[0]), float(at[1])), told=told, size=size, anchor=anchor, turned=turned))

    def measure(self, first: Point, last: Point, told: str, *, size: float = 2.6) -> None:
        """Add a measured distance along x or y, with ticks at its ends."""
        along_x = abs(last[0] - first[0]) >= abs(last[1] - first[1])
        self.line([first, last], "measure")
        reach = 0.006 * max(self._scale(), 1e-9)
        for x, y in (first, last):
            ends = [(x, y - reach), (x, y + reach)] if along_x else [(x - reach, y), (x + reach, y)]
            self.line(ends, "measure")
        middle = (0.5 * (first[0] + last[0]), 0.5 * (first[1] + last[1]))
        self.say(middle, told, size=size, turned=not along_x)

    def _scale(self) -> float:
        low, high = self.extent()
        return max(high[0] - low[0], high[1] - low[1], 0.1) / 1.0

    def extent(self) -> tuple[Point, Point]:
        """Return the lower left and the upper right corner of lines and words."""
        points = [point for line in self.lines for point in line.points] + [one.at for one in self.words]
        points = points or [(0.0, 0.0), (0.1, 0.1)]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return (min(xs), min(ys)), (max(xs), max(ys))


def svg(drawing: Drawing, *, wide: float = 0.0) -> str:
    """Return a drawing as SVG: at full size in millimetres, or as wide as asked [mm]."""
    (left, low), (right, high) = drawing.extent()
    edge = 0.02 * max(right - left, high - low, 1e-3) + (0.004 if not wide else 0.0)
    left, low, right, high = left - edge, low - edge, right + edge, high + edge
    scale = wide / ((right - left) * 1000.0) if wide else 1.0
    size = ((right - left) * 1000.0 * scale, (high - low) * 1000.0 * scale)
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size[0]:.2f}mm" height="{size[1]:.2f}mm"'
        f' viewBox="0 0 {size[0]:.2f} {size[1]:.2f}" role="img">',
        f"<title>{html.escape(drawing.name)}</title>",
    ]

    def at(point: Point) -> tuple[float, float]:
        return (point[0] - left) * 1000.0 * scale, (high - point[1]) * 1000.0 * scale

    for line in drawing.lines:
        colour, width, dashes = STYLES[line.style]
        told = " ".join(f"{x:.2f},{y:.2f}" for x, y in map(at, line.points))
        dash = f' stroke-dasharray="{dashes}"' if dashes else ""
        shape = "polygon" if line.closed else "polyline"
        fill = line.fill or "none"
        out.append(
            f'<{shape} points="{told}" fill="{fill}" stroke="{colour}" stroke-width="{width}"{dash}'
            ' stroke-linejoin="round"/>'
        )
    for one in drawing.words:
        x, y = at(one.at)
        turn = f' transform="rotate(-90 {x:.2f} {y:.2f})"' if one.turned else ""
        halo = ' stroke="#ffffff" stroke-width="0.8" paint-order="stroke"'
        out.append(
            f'<text x="{x:.2f}" y="{y:.2f}" dy="0.35em" font-family="sans-serif" font-size="{one.size}"'
            f' text-anchor="{one.anchor}" fill="#123047"{halo}{turn}>{html.escape(one.told)}</text>'
        )
    out.append("</svg>")
    return "\n".join(out) + "\n"


def dxf(drawing: Drawing) -> bytes:
    """Return a drawing as DXF in millimetres, one layer for each meaning of a line; the same one, the same bytes."""
    ezdxf = need("ezdxf", extra="parts")
    from ezdxf.enums import TextEntityAlignment  # noqa: PLC0415

    options = ezdxf.options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        document: Any = ezdxf.new("R2010", units=4)
        space = document.modelspace()
        for name in sorted({line.style for line in drawing.lines} | {"words"}):
            document.layers.add(name, color=COLOURS.get(name, 7))
        for line in drawing.lines:
            points = [(x * 1000.0, y * 1000.0) for x, y in line.points]
            if line.radius:
                centre = (points[0][0] - line.radius * 1000.0, points[0][1])
                space.add_circle(centre, line.radius * 1000.0, dxfattribs={"layer": line.style})
                continue
            space.add_lwpolyline(points, close=line.closed, dxfattribs={"layer": line.style})
        align = {"start": TextEntityAlignment.MIDDLE_LEFT, "end": TextEntityAlignment.MIDDLE_RIGHT}
        for one in drawing.words:
            text = space.add_text(
                one.told,
                height=one.size * drawing.enlarge,
                rotation=90 if one.turned else 0,
                dxfattribs={"layer": "words"},
            )
            place = (one.at[0] * 1000.0, one.at[1] * 1000.0)
            text.set_placement(place, align=align.get(one.anchor, TextEntityAlignment.MIDDLE_CENTER))
        for name in sorted(document.entitydb.dxf_types_in_use()):  # else in the order of a set, another each run
            document.classes.add_class(name)
        told = io.StringIO()
        document.write(told)
    finally:
        options.write_fixed_meta_data_for_testing = before
    return told.getvalue().encode("utf-8")


def on_page(drawing: Drawing, *, wide: float, tall: float = 1e9) -> dict[str, Any]:
    """Return a drawing for the typesetter, as wide and as tall as there is room [mm]."""
    (left, low), (right, high) = drawing.extent()
    scale = min(wide / max((right - left) * 1000.0, 1e-6), tall / max((high - low) * 1000.0, 1e-6))
    lines = [
        {
            "points": [[(x - left) * 1000.0 * scale, (high - y) * 1000.0 * scale] for x, y in line.points],
            "colour": STYLES[line.style][0], "width": STYLES[line.style][1],
            "dash": [float(part) for part in STYLES[line.style][2].split()], "closed": line.closed, "fill": line.fill,
        }
        for line in drawing.lines
    ]  # fmt: skip
    words = [
        {
            "x": (one.at[0] - left) * 1000.0 * scale, "y": (high - one.at[1]) * 1000.0 * scale, "told": one.told,
            "size": one.size, "anchor": one.anchor, "turned": one.turned,
        }
        for one in drawing.words
    ]  # fmt: skip
    return {
        "wide": (right - left) * 1000.0 * scale, "tall": (high - low) * 1000.0 * scale, "lines": rounded(lines),
        "words": rounded(words), "scale": scale,
    }  # fmt: skip


def rounded(tree: Any) -> Any:
    """Return a tree with its numbers to a micrometre, so that the same drawing is the same text."""
    if isinstance(tree, dict):
        return {key: rounded(value) for key, value in tree.items()}
    if isinstance(tree, list | tuple):
        return [rounded(value) for value in tree]
    return round(tree, 3) if isinstance(tree, float) else tree
