"""The plies of the board and of wraps: where they lie, their shapes, the resin of each lay-up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.parts.foam.layers import shape_of
from foilwright.parts.paper.drawing import Drawing, Point
from foilwright.physics import workshop
from foilwright.questions.state.making import (
    BASE_PLIES,
    BATCH,
    FILL_COAT,
    LOST,
    PATCH,
    RAIL,
    REACH,
    SEAL,
    Making,
    ply_mass,
)
from foilwright.shape.nest import Nest, Piece, nest

DROP = 0.02
"""Each ply that ends on the board is so much shorter than the one below, on every side [m]."""
GIRTH = 2.06
"""Girth of a section over its chord."""
CUT = 6.0
"""The roll is cut into lengths of at most this, or of the longest ply [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ply:
    """One cut of cloth and how often it is cut; half widths along its length [m]."""

    name: str
    zone: str
    count: int
    outline: tuple[Point, ...]
    area: float  # m^2 of one

    @property
    def size(self) -> tuple[float, float]:
        """Its length and width [m]."""
        xs, ys = [x for x, _ in self.outline], [y for _, y in self.outline]
        return max(xs) - min(xs), max(ys) - min(ys)


@dataclass(frozen=True, slots=True, kw_only=True)
class LayUp:
    """One go: cloth, resin and hardener, batches."""

    name: str
    plies: str
    area: float  # m^2
    cloth: float  # kg
    mixed: float  # kg
    resin: float  # kg
    hardener: float  # kg
    batches: int


def plies(craft: Craft) -> tuple[Ply, ...]:
    """Return every cut of cloth."""
    shape, lam, base = shape_of(craft), craft.structure.laminate, craft.structure.base
    deck, bottom = int(lam.deck[0]), int(lam.bottom[0])
    whole = min(deck, BASE_PLIES)
    out = [
        _shaped("bottom", "bottom, up the sides and round onto the deck", bottom,
                shape.x, shape.half + (shape.deck - shape.bottom) + RAIL),
        _shaped("deck", "deck, down over the rail", whole, shape.x, shape.half + RAIL),
    ]  # fmt: skip
    length = float(craft.rider.stance_width[0]) + 2.0 * REACH
    width = 0.9 * float(craft.board.width[0])
    for k in range(deck - whole):
        out.append(
            _rectangle(
                f"feet {k + 1}", "deck where the rider stands", 1, length - 2.0 * DROP * k, width - 2.0 * DROP * k
            )
        )
    patch = float(base.insert_length[0]) + 2.0 * PATCH, float(base.insert_width[0]) + 2.0 * PATCH
    out.append(_rectangle("mast patch", "over the insert, one on the bottom and one on the deck", 2, *patch))
    s = craft.structure
    for name, shell, girth, long in (
        ("mast wrap", s.mast, GIRTH * craft.mast.chord[0], craft.mast.length[0]),
        ("wing wrap", s.wing, GIRTH * craft.wing.area[0] / craft.wing.span[0], craft.wing.span[0]),
        (
            "stabiliser wrap", s.stabiliser, GIRTH * craft.stabiliser.area[0] / craft.stabiliser.span[0],
            craft.stabiliser.span[0],
        ),
    ):  # fmt: skip
        if shell.wrap[0] > 0.0:
            out.append(_rectangle(name, name.replace(" wrap", ", all round"), int(shell.wrap[0]), long, girth))
    return tuple(one for one in out if one.count > 0)


def _shaped(name: str, zone: str, count: int, x: Array, half: Array) -> Ply:
    up = [(float(a), float(b)) for a, b in zip(x, half, strict=True)]
    down = [(a, -b) for a, b in reversed(up)]
    return Ply(name=name, zone=zone, count=count, outline=(*up, *down), area=_area(x, half))


def _area(x: Array, half: Array) -> float:
    return float(np.sum(np.diff(x) * (half[1:] + half[:-1])))


def _rectangle(name: str, zone: str, count: int, length: float, width: float) -> Ply:
    long, wide = float(length), float(width)
    corners = ((0.0, -0.5 * wide), (long, -0.5 * wide), (long, 0.5 * wide), (0.0, 0.5 * wide))
    return Ply(name=name, zone=zone, count=count, outline=corners, area=long * wide)


def on_roll(cuts: Sequence[Ply], craft: Craft) -> tuple[Nest, dict[str, Ply]]:
    """Return all cuts on the roll, wide ones in strips that lap; and which ply each belongs to."""
    wide, lap = float(craft.workshop.cloth_width[0]), float(craft.workshop.overlap[0])
    pieces: list[Piece] = []
    belongs: dict[str, Ply] = {}
    for ply in cuts:
        long, across = ply.size
        strips = int(workshop.strips(width=np.array(across), roll_width=np.array(wide), lap=np.array(lap)))
        each = (across + (strips - 1) * lap) / strips
        for k in range(ply.count):
            for j in range(strips):
                number = f" {k + 1}" if ply.count > 1 else ""
                name = f"{ply.name}{number}" + (f", strip {j + 1}/{strips}" if strips > 1 else "")
                belongs[name] = ply
                pieces.append(Piece(name=name, along=long, across=each))
    longest = max((one.along for one in pieces), default=CUT)
    return nest(pieces, along=max(CUT, longest), across=wide), belongs


def lengths(made: Nest) -> list[float]:
    """Return the lengths that are cut off the roll [m]."""
    return [max(one.x + one.along for one in made.placed if one.sheet == number) for number in range(made.sheets)]


def roll_drawing(made: Nest, belongs: dict[str, Ply], craft: Craft) -> Drawing:
    """Return the lengths off the roll below each other, with the cuts on them."""
    wide = float(craft.workshop.cloth_width[0])
    step = wide + 0.35
    out = Drawing(name="cloth on the roll", enlarge=20.0)
    for number, length in enumerate(lengths(made)):
        out.box((0.0, -number * step), (length, wide - number * step), "frame")
        told = f"length {number + 1}: {length:.2f} m off the roll"
        out.say((0.0, wide + 0.12 - number * step), told, anchor="start")
    for one in made.placed:
        ply = belongs[one.piece.name]
        whole = abs(one.piece.across - ply.size[1]) < 1e-6
        low = (one.x, one.y - one.sheet * step)
        if whole:
            out.line(_moved(ply.outline, low, one.turned), "cut", closed=True, fill="#eef3f7")
        out.box(low, (low[0] + one.along, low[1] + one.across), "hidden" if whole else "cut")
        out.say((low[0] + 0.5 * one.along, low[1] + 0.5 * one.across), one.piece.name, size=2.4)
    return out


def _moved(outline: Sequence[Point], at: Point, turned: bool) -> list[Point]:
    left, low, high = min(x for x, _ in outline), min(y for _, y in outline), max(y for _, y in outline)
    if turned:
        return [(at[0] + high - y, at[1] + x - left) for x, y in outline]
    return [(at[0] + x - left, at[1] + y - low) for x, y in outline]


def lay_ups(cuts: Sequence[Ply], craft: Craft, m: Making) -> tuple[LayUp, ...]:
    """Return the resin of each go, in the order in which they are done."""
    skin = float(m.skin_area[0])
    goes = [
        ("seal the foam", (), SEAL * skin), ("bottom", ("bottom", "mast patch"), 0.0),
        ("deck", ("deck", "feet"), 0.0), ("fill coat", (), FILL_COAT * skin),
        ("wraps", ("mast wrap", "wing wrap", "stabiliser wrap"), 0.0),
    ]  # fmt: skip
    out = []
    for name, zones, coat in goes:
        here = [one for one in cuts if any(one.name.startswith(zone) for zone in zones)]
        area = sum(one.count * one.area for one in here)
        if not here and not coat:
            continue
        cloth = area * float(craft.structure.laminate.cloth[0])
        share = craft.structure.laminate.fibre_share[:1]
        mixed = float(
            np.asarray(workshop.resin_mass(dry_cloth=np.array([cloth]), fibre_mass_share=share, lost=np.array(LOST)))[0]
        )
        mixed += coat * (1.0 + LOST)
        made = workshop.mix(batch=np.array([mixed]), mix_ratio=craft.workshop.mix_ratio[:1])
        told = ", ".join(f"{one.count} x {one.name}" for one in here) or "brushed or squeegeed"
        out.append(
            LayUp(
                name=name, plies=told, area=area or skin, cloth=cloth, mixed=mixed, resin=float(made.resin[0]),
                hardener=float(made.hardener[0]), batches=math.ceil(mixed / BATCH - 1e-9),
            )
        )  # fmt: skip
    return tuple(out)


def thickness(craft: Craft) -> tuple[float, float]:
    """Return thickness [m] and mass [kg/m^2] of one wetted ply."""
    one = ply_mass(craft)
    return float(np.asarray(one.thickness)[0]), float(np.asarray(one.mass)[0])
