"""Templates at full size: half outline, rocker, and sections of the rail."""

from __future__ import annotations

import numpy as np

from foilwright.craft import Craft
from foilwright.parts.foam.layers import Blank
from foilwright.parts.paper.drawing import Drawing

SECTIONS = (0.02, 0.2, 0.4, 0.6, 0.75, 0.88)
"""Where rail sections are drawn, as shares of the length from the tail."""
RAIL = 0.16
"""How much of a section is drawn, in from the rail [m]."""


def outline(blank: Blank) -> Drawing:
    """Return the half outline: turn the template over for the other side."""
    s = blank.shape
    out = Drawing(name="half outline")
    out.line([(0.0, 0.0), *zip(s.x, s.half, strict=True)], "cut")
    out.line([(0.0, 0.0), (float(s.x[-1]), 0.0)], "middle")
    out.say((0.12, 0.012), "middle line: fold or butt the other half here", size=3.8)
    for layer in blank.layers:
        for end in (float(layer.x[0]), float(layer.x[-1])):
            if 0.01 < end < s.x[-1] - 0.01:
                out.line([(end, 0.0), (end, float(np.interp(end, s.x, s.half)))], "hidden")
                out.say((end, 0.05 + 0.03 * layer.number), f"layer {layer.number} ends", size=3.6, turned=True)
        for place in layer.across:
            out.line([(place, 0.0), (place, float(np.interp(place, s.x, s.half)))], "joint")
            out.say((place, 0.05 + 0.045 * layer.number), f"joint of layer {layer.number}", size=3.6, turned=True)
        for along in layer.along:
            inside = layer.x[layer.half > abs(along)]
            out.line([(float(inside[0]), abs(along)), (float(inside[-1]), abs(along))], "joint")
            side = "port" if along > 0 else "starboard"
            out.say(
                (float(inside[0]) + 0.07 + 0.1 * (layer.number % 2), abs(along) + 0.006),
                f"joint along of layer {layer.number}, {side}",
                size=3.6,
            )
    for zone in blank.zones:
        out.line(
            [(zone.low[0], 0.0), (zone.low[0], zone.high[1]), (zone.high[0], zone.high[1]), (zone.high[0], 0.0)], "zone"
        )
        out.say((0.5 * (zone.low[0] + zone.high[0]), zone.high[1] - 0.008), f"{zone.name}: no joint", size=3.6)
    for pocket in blank.pockets:
        low, high = pocket.low[0], pocket.high[0]
        out.line([(low, 0.0), (low, pocket.high[1]), (high, pocket.high[1]), (high, 0.0)], "inner")
        deep = f"{1000.0 * (pocket.top - pocket.floor):.0f} mm deep"
        out.say((0.5 * (low + high), max(pocket.high[1] - 0.006, 0.010)), f"{pocket.name}, {deep}", size=3.6)
    return out


def rocker(blank: Blank) -> Drawing:
    """Return the side view: bottom and deck along the middle, with the glue lines of the layers."""
    s = blank.shape
    out = Drawing(name="rocker and deck line")
    out.line([*zip(s.x, s.bottom, strict=True), *zip(s.x[::-1], s.deck[::-1], strict=True)], "cut", closed=True)
    for layer in blank.layers[:-1]:
        there = (s.bottom < layer.high) & (s.deck > layer.high)
        run = s.x[there]
        if run.size:
            out.line([(float(run[0]), layer.high), (float(run[-1]), layer.high)], "joint")
            out.say(
                (float(run[0]) + 0.03, layer.high + 0.004), f"layer {layer.number} up to here", size=3.6, anchor="start"
            )
    for place in np.arange(0.0, s.x[-1] + 1e-9, 0.1):
        _, low, high = blank.shape.across(float(place))
        out.line([(place, low), (place, high)], "measure")
        out.say((place, low + 0.012), f"{1000 * place:.0f}: {1000 * low:.1f} up", size=3.4, turned=True)
    return out


def sections(blank: Blank, craft: Craft) -> list[Drawing]:
    """Return the rail at some places: cut out the hollow, hold it against the board while shaping."""
    made = []
    length = float(craft.board.length[0])
    for number, share in enumerate(SECTIONS, 1):
        place = share * length
        half, low, high = blank.shape.across(place)
        heights = np.linspace(low, high, 61)
        radius = float(np.interp(place, blank.shape.x, blank.shape.rail))
        up = np.maximum(radius - (heights - low), 0.0)
        edge = half - (radius - np.sqrt(np.maximum(radius**2 - up**2, 0.0)))
        inner = max(half - RAIL, 0.0)
        out = Drawing(name=f"rail section {number}, {1000 * place:.0f} mm from the tail")
        out.line([(inner, low), *zip(edge, heights, strict=True), (inner, high)], "cut")
        out.line([(inner, low), (inner, high)], "middle")
        out.box((inner - 0.01, low - 0.012), (half + 0.03, high + 0.005), "frame")
        out.say((inner + 0.05, 0.5 * (low + high)), f"{1000 * (half - inner):.0f} mm of {1000 * half:.0f} mm", size=3.8)
        out.say((inner + 0.06, low - 0.006), f"{1000 * low:.1f} mm above the bottom at the tail", size=3.8)
        made.append(out)
    return made
