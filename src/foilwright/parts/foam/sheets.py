"""Pieces of foam on the maker's sheets, and what each layer looks like from above."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.parts.foam.layers import Blank, FoamPiece, Layer, Pocket
from foilwright.parts.paper.drawing import Drawing, Point
from foilwright.shape.nest import Nest, Piece, Placed, nest

GAP = 0.12
"""Distance between two sheets or layers in a drawing [m]."""


def nested(blank: Blank, craft: Craft) -> Nest:
    """Return all pieces of foam on sheets."""
    shop = craft.workshop
    pieces = [
        Piece(name=one.name, along=one.size[0], across=one.size[1]) for layer in blank.layers for one in layer.pieces
    ]
    return nest(pieces, along=float(shop.sheet_length[0]), across=float(shop.sheet_width[0]), kerf=float(shop.kerf[0]))


def on_sheet(piece: FoamPiece, placed: Placed) -> list[Point]:
    """Return the outline of a piece where it lies on its sheet, the sheet's corner at the origin."""
    left, low = min(x for x, _ in piece.outline), min(y for _, y in piece.outline)
    if placed.turned:
        high = max(y for _, y in piece.outline)
        return [(placed.x + high - y, placed.y + x - left) for x, y in piece.outline]
    return [(placed.x + x - left, placed.y + y - low) for x, y in piece.outline]


def sheets_drawing(blank: Blank, made: Nest, craft: Craft) -> Drawing:
    """Return all sheets below each other with their pieces."""
    long, wide = float(craft.workshop.sheet_length[0]), float(craft.workshop.sheet_width[0])
    pieces = {one.name: one for layer in blank.layers for one in layer.pieces}
    out = Drawing(name="foam on sheets", enlarge=10.0)
    for number in range(made.sheets):
        column, row = number % 2, number // 2
        right, down = column * (long + GAP), -row * (wide + GAP)
        out.box((right, down), (right + long, down + wide), "frame")
        told = f"sheet {number + 1}: {long * 1000:.0f} x {wide * 1000:.0f} x {blank.layers[0].high * 1000:.0f} mm"
        out.say((right, down + wide + 0.03), told, size=3.4, anchor="start")
        for one in made.placed:
            if one.sheet == number:
                outline = [(x + right, y + down) for x, y in on_sheet(pieces[one.piece.name], one)]
                out.line(outline, "cut", closed=True, fill="#eef3f7")
                middle = (right + one.x + 0.5 * one.along, down + one.y + 0.5 * one.across)
                out.say(middle, one.piece.name, size=3.6)
    return out


def layers_drawing(blank: Blank) -> Drawing:
    """Return every layer from above, bottom layer first, with joints, zones, pockets and where it is planed."""
    out = Drawing(name="layers of foam", enlarge=10.0)
    step = 2.0 * float(blank.shape.half.max()) + GAP
    for k, layer in enumerate(blank.layers):
        _one_layer(out, blank, layer, (0.0 if k % 2 == 0 else float(blank.shape.x[-1]) + GAP, -(k // 2) * step))
    return out


def _one_layer(out: Drawing, blank: Blank, layer: Layer, at: Point) -> None:
    def put(points: Sequence[Sequence[float]]) -> list[Point]:
        return [(x + at[0], y + at[1]) for x, y in points]

    top = at[1] + float(blank.shape.half.max())
    told = f"layer {layer.number}: {layer.low * 1000:.0f} to {layer.high * 1000:.0f} mm above the bottom at the tail"
    out.say((at[0], top + 0.04), told, size=3.6, anchor="start")
    for piece in layer.pieces:
        out.line(put(piece.outline), "cut", closed=True, fill="#eef3f7")
    for zone in blank.zones:
        low, high = put((zone.low, zone.high))
        out.box(low, high, "zone")
    for pocket in cut_by(blank.pockets, layer):
        low, high = put((pocket.low, pocket.high))
        out.box(low, high, "inner")
        out.say(put([(0.5 * (pocket.low[0] + pocket.high[0]), pocket.high[1] + 0.02)])[0], pocket.name, size=2.6)
    for face in (layer.lower, layer.upper):
        _face(out, layer.x, layer.half, face, at)
    for piece in layer.pieces:
        xs, ys = [x for x, _ in piece.outline], [y for _, y in piece.outline]
        lean = 0.18 * (max(xs) - min(xs))
        out.say(put([(min(xs) + lean, 0.5 * (min(ys) + max(ys)))])[0], piece.name, size=3.6)
    out.line(put([(0.0, 0.0), (float(blank.shape.x[-1]), 0.0)]), "middle")


def _face(out: Drawing, x: Array, half: Array, face: Array, at: Point) -> None:
    """Draw a face where it is narrower than the cut: rail steps, and the line up to which the rocker is planed."""
    there = np.isfinite(face)
    if not there.any():
        return
    inside = there & (face < half - 5e-4)
    for side in (1.0, -1.0):
        for run in np.split(np.flatnonzero(inside), np.flatnonzero(np.diff(np.flatnonzero(inside)) > 1) + 1):
            if run.size > 1:
                out.line([(x[k] + at[0], side * face[k] + at[1]) for k in run], "hidden")
    last = int(np.flatnonzero(there)[-1])
    if last < x.size - 2:
        out.line([(x[last] + at[0], -half[last] + at[1]), (x[last] + at[0], half[last] + at[1])], "hidden")


def cut_by(pockets: Sequence[Pocket], layer: Layer) -> list[Pocket]:
    """Return the pockets that are cut into a layer."""
    return [one for one in pockets if one.floor < layer.high - 1e-6 and one.top > layer.low + 1e-6]
