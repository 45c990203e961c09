"""Forces on the drawing of the craft: arrows where they act, each with name and value where these hide least."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from foilwright.page.marks import safe
from foilwright.page.side import Load, Moment
from foilwright.questions import report

CM = 100.0
REACH = 70.0
"""Length of the arrow of the whole weight [cm]."""
LEAST = 0.002
"""Share of the whole weight below which a force is not drawn."""
KINDS = {"weight": "weight", "thrust": "thrust", "full": "thrust", "lift": "lift", "carried": "lift", "drag": "drag"}
SHORT = {
    "weight of the craft": "craft", "weight of the rider": "rider", "lift of the wing": "wing lift",
    "lift of wing and stabiliser": "foil lift", "lift of the stabiliser": "stabiliser",
    "carried by the board": "board lift",
}  # fmt: skip
LETTER, LINE = 0.57, 1.15
"""Width and height of a letter, in sizes of the type."""

Box = tuple[float, float, float, float]
"""Left, top, right, bottom, as the drawing counts [cm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrow:
    """A force as it is drawn: from here to there [cm], downwards positive."""

    load: Load
    size: float
    x: float
    y: float
    dx: float
    dy: float

    @property
    def told(self) -> str:
        """Name and value."""
        return f"{SHORT.get(self.load.name, self.load.name)} {report.amount(self.size, 'N')}"


def kind(load: Load) -> str:
    """Return what kind of force it is: weight, thrust, lift or drag."""
    return KINDS[load.name.split()[0]]


def drawn(moment: Moment, sheet: Box, letter: float, words: Sequence[Box]) -> str:
    """Return the forces of a moment as arrows on the craft as it lies.

    ``letter`` is the size of the type [cm]; ``words`` are the places where others stand already.
    """
    arrows = list(_arrows(moment))
    taken = [*words]
    out = []
    for arrow in sorted(arrows, key=lambda each: -each.size):
        box, anchor = min(_places(arrow, letter), key=lambda each: _hides(each[0], arrow, arrows, taken, sheet))
        taken.append(box)
        out.append(_arrow(arrow, box, anchor, letter))
    return "".join(out)


def _arrows(moment: Moment) -> Iterator[Arrow]:
    whole = sum(-load.up for load in moment.loads if load.name.startswith("weight")) or 1.0
    sine, cosine = math.sin(moment.trim), math.cos(moment.trim)
    for load in moment.loads:
        size = math.hypot(load.ahead, load.up)
        if size < LEAST * whole:
            continue
        x, y = CM * (load.x * cosine - load.z * sine), -CM * (load.x * sine + load.z * cosine)
        reach = REACH * max(size / whole, 0.12)
        yield Arrow(load=load, size=size, x=x, y=y, dx=load.ahead / size * reach, dy=-load.up / size * reach)


def _places(arrow: Arrow, letter: float) -> Iterator[tuple[Box, str]]:
    """Return where the words of an arrow may stand, best first, each with the end at which they begin."""
    wide, high, gap = LETTER * letter * len(arrow.told), LINE * letter, 0.4 * letter
    tip, middle, foot = ((arrow.x + share * arrow.dx, arrow.y + share * arrow.dy) for share in (1.0, 0.5, 0.0))
    if abs(arrow.dx) > abs(arrow.dy):
        ahead = math.copysign(1.0, arrow.dx)
        for x, y, way in ((tip[0] + ahead * gap, tip[1], ahead), (foot[0] - ahead * gap, foot[1], -ahead)):
            yield (x, y - 0.5 * high, x + way * wide, y + 0.5 * high) if way > 0 else (
                x - wide, y - 0.5 * high, x, y + 0.5 * high
            ), "start" if way > 0 else "end"  # fmt: skip
        for y in (middle[1] - gap - high, middle[1] + gap):
            yield (middle[0] - 0.5 * wide, y, middle[0] + 0.5 * wide, y + high), "middle"
        return
    down = math.copysign(1.0, arrow.dy)
    for x, y in (tip, (tip[0], tip[1] - 1.2 * down * high), middle, foot):
        yield (x + gap, y - 0.5 * high, x + gap + wide, y + 0.5 * high), "start"
        yield (x - gap - wide, y - 0.5 * high, x - gap, y + 0.5 * high), "end"
    for lift in (0.7, 1.9, 3.1):
        y = tip[1] + down * lift * high
        yield (x - 0.5 * wide, y - 0.5 * high, x + 0.5 * wide, y + 0.5 * high), "middle"


def _hides(box: Box, own: Arrow, arrows: Sequence[Arrow], taken: Sequence[Box], sheet: Box) -> float:
    """Return how much is hidden by words in a box: other words, shafts, the edge of the sheet."""
    words = sum(_common(box, other) for other in taken)
    shafts = sum(_crosses(box, arrow) for arrow in arrows if arrow is not own)
    area = (box[2] - box[0]) * (box[3] - box[1])
    return 5.0 * words + 0.6 * area * shafts + 20.0 * (area - _common(box, sheet))


def _common(one: Box, other: Box) -> float:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return max(wide, 0.0) * max(high, 0.0)


def _crosses(box: Box, arrow: Arrow) -> bool:
    """Say whether an arrow runs through a box."""
    for share in range(21):
        x, y = arrow.x + 0.05 * share * arrow.dx, arrow.y + 0.05 * share * arrow.dy
        if box[0] - 1.0 <= x <= box[2] + 1.0 and box[1] <= y <= box[3]:
            return True
    return False


def _arrow(arrow: Arrow, box: Box, anchor: str, letter: float) -> str:
    long = math.hypot(arrow.dx, arrow.dy)
    ux, uy = arrow.dx / long, arrow.dy / long
    tip = arrow.x + arrow.dx, arrow.y + arrow.dy
    u, v = tip[0] - 6.5 * ux, tip[1] - 6.5 * uy
    corners = (tip, (u - 3.4 * uy, v + 3.4 * ux), (u + 3.4 * uy, v - 3.4 * ux))
    head = "L".join(f"{a:.1f} {b:.1f}" for a, b in corners)
    x = {"start": box[0], "end": box[2], "middle": 0.5 * (box[0] + box[2])}[anchor]
    return (
        f'<g class="force {kind(arrow.load)}"><title>{safe(arrow.load.name)} {report.amount(arrow.size, "N")}</title>'
        f'<path class="shaft" d="M{arrow.x:.1f} {arrow.y:.1f}L{u:.1f} {v:.1f}"/><path class="tip" d="M{head}z"/>'
        f'<text x="{x:.1f}" y="{box[3] - 0.32 * letter:.1f}" text-anchor="{anchor}">{safe(arrow.told)}</text></g>'
    )
