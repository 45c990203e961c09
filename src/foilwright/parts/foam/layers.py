"""The board as layers of foam: their outlines by height, joints between pieces, pockets cut into them."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.parts.paper.drawing import Point
from foilwright.questions.state.making import CLEAR
from foilwright.shape import board as hull
from foilwright.shape.nest import joints, ways_to_cut

STATIONS = 257
FOOT = 0.12
"""Width of a foot along the board [m]."""
LEAST_STRIP = 0.06
"""Narrowest strip of foam that is glued on [m]."""
FLOOR = 0.02
"""Foam left under the box where the build states none [m]."""
STRINGER = (0.02, 0.85)
"""From where to where a stringer runs, shares of the length from the tail."""
CABLE = 0.025
"""Width and depth of the channel for the leads [m]."""
TENFOLD, QUARTER = 10.0, 0.25
"""Joints of neighbouring layers are ten sheet thicknesses or a quarter of the board apart, whichever is less."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """The board of one design along its length."""

    x: Array  # m
    half: Array  # m
    bottom: Array  # m
    deck: Array  # m
    rail: Array  # m, radius of the lower edge

    def half_at(self, height: float) -> Array:
        """Return the half width at a height, NaN where there is no board [m]."""
        up = height - self.bottom
        radius = np.maximum(self.rail, 1e-9)
        cut = radius - np.sqrt(np.maximum(radius**2 - np.maximum(radius - up, 0.0) ** 2, 0.0))
        return np.where((up >= -1e-9) & (height <= self.deck + 1e-9), np.maximum(self.half - cut, 0.0), np.nan)

    def across(self, place: float) -> tuple[float, float, float]:
        """Return half width, bottom and deck at a place [m]."""
        half, bottom, deck = (float(np.interp(place, self.x, each)) for each in (self.half, self.bottom, self.deck))
        return half, bottom, deck


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A rectangle in which nothing is jointed [m]."""

    name: str
    low: Point
    high: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """What is cut out of the foam: a rectangle from one height to another [m]."""

    name: str
    low: Point
    high: Point
    floor: float
    top: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FoamPiece:
    """One piece of one layer: its outline [m]."""

    name: str
    layer: int
    outline: tuple[Point, ...]

    @property
    def size(self) -> tuple[float, float]:
        """Its length and width [m]."""
        xs, ys = [x for x, _ in self.outline], [y for _, y in self.outline]
        return max(xs) - min(xs), max(ys) - min(ys)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer of foam: heights, span, half width as cut, joints and pieces [m]."""

    number: int
    low: float
    high: float
    x: Array
    half: Array  # as it is cut: the widest of its faces
    lower: Array  # half width of its lower face, NaN where it is cut away
    upper: Array
    across: tuple[float, ...]  # joints across, of the main strip
    along: tuple[float, ...]  # joints along, by their y
    pieces: tuple[FoamPiece, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """All layers, what is cut into them, and how far their joints are apart."""

    shape: Shape
    layers: tuple[Layer, ...]
    zones: tuple[Zone, ...]
    pockets: tuple[Pocket, ...]
    stagger: float
    wanted: float
    planed: float  # m, taken off the top layer


def shape_of(craft: Craft) -> Shape:
    """Return the board of the first design."""
    b = craft.board
    made = hull.stations(
        length=b.length[:1], width=b.width[:1], thickness=b.thickness[:1], tail_width=b.tail_width[:1],
        nose_width=b.nose_width[:1], wide_point=b.wide_point[:1], nose_rocker=b.nose_rocker[:1],
        rocker_start=b.rocker_start[:1], nose_thickness=b.nose_thickness[:1], rail_radius=b.rail_radius[:1],
        count=STATIONS,
    )  # fmt: skip
    return Shape(
        x=made.x[0], half=np.maximum(made.half_beam[0], 0.0), bottom=made.bottom[0], deck=made.deck[0],
        rail=made.rails[0],
    )  # fmt: skip


def zones_of(craft: Craft) -> tuple[Zone, ...]:
    """Return where no joint may be: the mast zone and the feet."""
    base, rider = craft.structure.base, craft.rider
    middle, across = _mast_middle(craft), 0.5 * float(base.insert_width[0]) + CLEAR
    reach = 0.5 * float(base.insert_length[0]) + CLEAR
    out = [Zone(name="mast zone", low=(middle - reach, -across), high=(middle + reach, across))]
    stance, foot = float(craft.mast.x[0] + rider.stance[0]), 0.5 * float(rider.foot_length[0]) + CLEAR
    for name, side in (("rear foot", -0.5), ("front foot", 0.5)):
        at = stance + side * float(rider.stance_width[0])
        out.append(Zone(name=name, low=(at - 0.5 * FOOT - CLEAR, -foot), high=(at + 0.5 * FOOT + CLEAR, foot)))
    return tuple(out)


def _mast_middle(craft: Craft) -> float:
    return float(craft.mast.x[0] - 0.5 * craft.mast.chord[0])


def pockets_of(craft: Craft, shape: Shape) -> tuple[Pocket, ...]:
    """Return what is cut into the foam: insert, box, and the channel for the leads between them."""
    base, at = craft.structure.base, _mast_middle(craft)
    _, low, deck = shape.across(at)
    out: list[Pocket] = []
    if base.insert[0] != "skin only":
        full = base.insert[0] == "full-height block"
        length, width = (0.5 * float(each[0]) for each in (base.insert_length, base.insert_width))
        top = deck if full else low + float(base.insert_thickness[0])
        out.append(
            Pocket(name=base.insert[0], low=(at - length, -width), high=(at + length, width), floor=low, top=top)
        )
    slot = float(craft.workshop.stringer[0])
    if np.isfinite(slot):
        ends = STRINGER[0] * float(shape.x[-1]), STRINGER[1] * float(shape.x[-1])
        tall = float(shape.deck[shape.x <= ends[1]].max())
        out.append(Pocket(name="stringer", low=(ends[0], -0.5 * slot), high=(ends[1], 0.5 * slot), floor=0.0, top=tall))
    box = _box(craft, shape)
    if box is not None:
        out.append(box)
        start, end = sorted((box.low[0] if box.low[0] > at else box.high[0], at))
        top = shape.across(0.5 * (start + end))[2]
        out.append(
            Pocket(
                name="channel for the leads", low=(start, -0.5 * CABLE), high=(end, 0.5 * CABLE), floor=top - CABLE,
                top=top,
            )
        )  # fmt: skip
    return tuple(out)


def _box(craft: Craft, shape: Shape) -> Pocket | None:
    """Return the pocket of the largest sealed part in the hull; its plan has the proportions of the lid."""
    parts = craft.parts
    room = np.where(parts.in_hull[0] & parts.sealed[0], parts.volume[0], 0.0) if parts.names else np.zeros(1)
    k = int(room.argmax())
    if room[k] <= 0.0:
        return None
    at, side = float(parts.x[0, k]), float(parts.y[0, k])
    _, bottom, deck = shape.across(at)
    floor = float(craft.box.floor[0])
    deep = deck - bottom - (floor if np.isfinite(floor) and floor > 0.0 else FLOOR)
    lid = float(craft.box.lid_length[0]), float(craft.box.lid_width[0])
    ratio = lid[0] / lid[1] if all(np.isfinite(lid)) and lid[1] > 0.0 else 1.5
    width = float(np.sqrt(room[k] / deep / ratio))
    length = ratio * width
    return Pocket(
        name=parts.names[k], low=(at - 0.5 * length, side - 0.5 * width), high=(at + 0.5 * length, side + 0.5 * width),
        floor=deck - deep, top=deck,
    )  # fmt: skip


def blank(craft: Craft) -> Blank:
    """Return the board as layers of the maker's sheets, joints staggered and out of the zones."""
    shop, shape = craft.workshop, shape_of(craft)
    thickness, kerf = float(shop.sheet_thickness[0]), float(shop.kerf[0])
    room = float(shop.sheet_length[0]) - 2.0 * kerf, float(shop.sheet_width[0]) - 2.0 * kerf
    zones = zones_of(craft)
    count = int(np.ceil(shape.deck.max() / thickness - 1e-9))
    spans = [_span(shape, k * thickness, (k + 1) * thickness) for k in range(count)]
    wanted = min(TENFOLD * thickness, QUARTER * float(craft.board.length[0]))
    free = [(zone.low[0], zone.high[0]) for zone in zones]
    cut = joints([(float(x[0]), float(x[-1])) for x, *_ in spans], longest=room[0], free_of=free, stagger=wanted)
    zone = max(zone.high[1] for zone in zones)
    layers = []
    for k, (x, half, lower, upper) in enumerate(spans):
        along = _along(k, float(half.max()), room[1], zone)
        pieces = _pieces(k, x, half, along, cut.places, room[0])
        layers.append(
            Layer(
                number=k + 1, low=k * thickness, high=(k + 1) * thickness, x=x, half=half, lower=lower, upper=upper,
                across=cut.places[k], along=along, pieces=pieces,
            )
        )  # fmt: skip
    return Blank(
        shape=shape, layers=tuple(layers), zones=zones, pockets=pockets_of(craft, shape), stagger=cut.stagger,
        wanted=wanted, planed=count * thickness - float(shape.deck.max()),
    )  # fmt: skip


def _span(shape: Shape, low: float, high: float) -> tuple[Array, Array, Array, Array]:
    """Return places, half width as cut, and those of the lower and upper face of a layer."""
    there = (shape.bottom < high - 1e-6) & (shape.deck > low + 1e-6)
    first, last = np.flatnonzero(there)[[0, -1]]
    keep = slice(first, last + 1)
    heights = np.linspace(low, high, 9)
    faces = np.stack([shape.half_at(height)[keep] for height in heights])
    with_any = np.where(np.isnan(faces), 0.0, faces).max(axis=0)
    return shape.x[keep], np.maximum(with_any, 0.0), faces[0], faces[-1]


def _along(number: int, half: float, room: float, zone: float) -> tuple[float, ...]:
    """Return the joints along a layer, to one side and the other in turn; none where the sheet is wide enough."""
    if 2.0 * half <= room:
        return ()
    side = 1.0 if number % 2 == 0 else -1.0
    shift = 0.35 if number % 4 < 2 else 0.75
    widest = min(room - half, half - LEAST_STRIP)
    if widest >= zone:
        return (side * (zone + shift * (widest - zone)),)
    reach = min(0.5 * room, half - LEAST_STRIP) - (0.0 if number % 2 == 0 else LEAST_STRIP)
    return (-reach, reach)


def _pieces(
    number: int, x: Array, half: Array, along: tuple[float, ...], cut: tuple[tuple[float, ...], ...], room: float
) -> tuple[FoamPiece, ...]:
    """Return the pieces of a layer: strips between the joints along, cut at the joints across."""
    bounds = [-float("inf"), *sorted(along), float("inf")]
    out: list[FoamPiece] = []
    for low, high in itertools.pairwise(bounds):
        main = low < 0.0 < high
        spans = _runs(x, half, low, high)
        for start, end in spans:
            places = cut[number] if main else _beside(number, (start, end), cut, room)
            ends = [start, *(place for place in places if start < place < end), end]
            for a, b in itertools.pairwise(ends):
                name = f"{number + 1}{'abcdefgh'[len(out)]}"
                out.append(FoamPiece(name=name, layer=number + 1, outline=_outline(x, half, a, b, low, high)))
    return tuple(out)


def _runs(x: Array, half: Array, low: float, high: float) -> list[tuple[float, float]]:
    """Return from where to where a strip is there."""
    nearest = 0.0 if low < 0.0 < high else min(abs(low), abs(high))
    there = half > nearest + 1e-4
    places = np.flatnonzero(there)
    return [(float(x[places[0]]), float(x[places[-1]]))] if places.size > 1 else []


def _beside(
    number: int, span: tuple[float, float], cut: tuple[tuple[float, ...], ...], room: float
) -> tuple[float, ...]:
    """Return joints of a side strip, as far as can be from those of its own layer and its neighbours."""
    near = [place for k in (number - 1, number, number + 1) if 0 <= k < len(cut) for place in cut[k]]

    def apart(option: tuple[float, ...]) -> float:
        return min((abs(a - b) for a in option for b in near), default=1e9)

    return max(ways_to_cut(span, room, ()), key=lambda one: (round(apart(one), 6), one))


def _outline(x: Array, half: Array, start: float, end: float, low: float, high: float) -> tuple[Point, ...]:
    """Return the outline of a piece between two places and two lines along the board."""
    places = np.unique(np.concatenate([[start], x[(x > start) & (x < end)], [end]]))
    edge = np.interp(places, x, half)
    top, bottom = np.minimum(edge, high), np.maximum(-edge, low)
    there = top - bottom > 1e-6
    places, top, bottom = places[there], top[there], bottom[there]
    up = [(float(a), float(b)) for a, b in zip(places, top, strict=True)]
    down = [(float(a), float(b)) for a, b in zip(places[::-1], bottom[::-1], strict=True)]
    return (*down[::-1], *up[::-1])
