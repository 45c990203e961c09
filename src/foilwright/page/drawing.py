"""The craft drawn to scale from the side, from above and from ahead, with water, rider, forces and what fails."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from foilwright.core.model import Array
from foilwright.page import figure, forces
from foilwright.page.forces import CM
from foilwright.page.inputs import TABLE_OF
from foilwright.page.look import many, sign, verdict
from foilwright.page.marks import button, given, safe
from foilwright.page.side import Moment, Views
from foilwright.questions import report
from foilwright.questions.report import Ranked

Box = tuple[float, float, float, float]
Place = Callable[[float, float, float], tuple[float, float]]
SIGHTS = {"side": "Side", "top": "Top", "front": "Front", "turn": "In space"}
BAD = ("fails", "unknown", "slim")
BEYOND = 900
"""How far water is drawn beyond a drawing that is narrower than its place [cm]."""
MOST = 3
"""Findings told of a part that is pointed at."""
TYPE = 8.8 / 260.0
"""Size of the type over the width of the sheet."""
DRAWN = (
    "board",
    "base",
    "mast",
    "wing",
    "stabiliser",
    "fuselage",
    "pod",
    "motor",
    "propeller",
    "pack",
    "controller",
    "rider",
)
HINT = "Point at a part, tap it, or step to it with the Tab key, to see its numbers. A broken outline fails."
HINT_SOLID = (
    "Point at a part or press its name to see its numbers; drag, or use the arrow keys, to turn. Hatched parts fail."
)
WITHIN = {"base": "mast", "motor": "pod"}
"""Parts that lie within another in the drawing."""


def told(found: Ranked, sight: str = "side") -> str:
    """Return what is told of each part; the one that is pointed at is shown.

    Parts that cannot be pointed at have a button; in space, which no key steps through, all have one.
    """
    parts = worst(found)
    hint = HINT_SOLID if sight == "turn" else HINT
    blocks = [f'<div class="told" data-told=""><p class="quiet">{hint}</p></div>']
    own: dict[str, Ranked] = {part: [] for part in parts}
    for each in found:
        own[WITHIN.get(each[0].part, each[0].part)].append(each)
    blocks += [_about(part, word, own[part]) for part, word in parts.items()]
    solid = sight == "turn"
    listed = [part for part, word in parts.items() if (part not in DRAWN and word in BAD) or (solid and part in DRAWN)]
    buttons = "".join(
        f'<button type="button" class="chip" {given(about=part)}>{safe(part)} {sign(parts[part])}<span class="hidden">'
        f"{parts[part]}</span></button>"
        for part in listed
    )
    title = "Parts:" if solid else "Not drawn:"
    rest = f'<p class="chips"><span class="quiet">{title}</span> {buttons}</p>' if listed else ""
    return f'<div class="tellings">{"".join(blocks)}</div>{rest}'


def _about(part: str, word: str, own: Ranked) -> str:
    lines = "".join(
        f"<li>{verdict(each)} {safe(finding.name)}: {safe(report.said(finding, 0))}</li>"
        for finding, each in own[:MOST]
    )
    inputs = button("Its inputs", "field", kind="small plain", path=f"{TABLE_OF.get(part, part)}.any")
    rest = f'<span class="quiet">and {many(len(own) - MOST, "finding")} more</span>' if len(own) > MOST else ""
    return (
        f'<div class="told" data-told="{safe(part)}" hidden><h3>{safe(part)} {verdict(word)}</h3><ul>'
        f'{lines}</ul><p class="row">{rest}{inputs}</p></div>'
    )


def drawn(views: Views, found: Ranked, sight: str, speed: float) -> str:
    """Return the drawing from one side, with the speed to choose."""
    moment = views.at(speed)
    parts = worst(found)
    buttons = "".join(
        f'<li><button type="button" class="tab" aria-pressed="{"true" if name == sight else "false"}" '
        f"{given(do='sight', value=name)}>{title}</button></li>"
        for name, title in SIGHTS.items()
    )
    body = {"side": _side, "top": _top, "front": _front}.get(sight)
    picture = "" if body is None else body(views, moment, parts)
    return (
        f'<section aria-labelledby="drawn"><div class="row spread"><h2 id="drawn">The craft</h2>'
        f'<ul class="tabs small">{buttons}</ul></div>{picture}'
        f"{_speed(views, moment) if body else ''}</section>"
    )


def worst(found: Ranked) -> dict[str, str]:
    """Return the worst verdict of each part, of what lies within it too."""
    words: dict[str, str] = {}
    for finding, word in found:
        words.setdefault(WITHIN.get(finding.part, finding.part), word)
    return words


def _speed(views: Views, moment: Moment) -> str:
    top = min(views.steps[-1].speed, 1.15 * views.band[1] if math.isfinite(views.band[1]) else math.inf)
    flies = math.isfinite(views.take_off)
    told = f"{3.6 * moment.speed:.1f} km/h, {moment.told}" if moment.speed else moment.told
    if not flies and moment.speed:
        told += "; it does not take off"
    rows = "".join(
        f'<li><i class="stroke {forces.kind(load)}" aria-hidden="true"></i>{safe(load.name)} '
        f"<b>{report.amount(math.hypot(load.ahead, load.up), 'N')}</b></li>"
        for load in moment.loads
    )
    return (
        f'<div class="speed"><label for="speed">Speed</label><input id="speed" type="range" min="0" max="{top:.3f}" '
        f'step="{top / 80.0:.4f}" value="{moment.speed:.3f}" data-keep {given(do="speed")} '
        f'aria-valuetext="{safe(told)}"><output for="speed">{safe(told)}</output></div>'
        f'<ul class="loads" aria-label="Forces at this speed">{rows}</ul>'
    )


def _group(part: str, parts: dict[str, str], inner: str) -> str:
    word = parts.get(part, "")
    told = f"{part}: {word}" if word else part
    return f'<g class="piece {word}" tabindex="0" role="img" aria-label="{safe(told)}" {given(about=part)}>{inner}</g>'


def _line(points: Sequence[tuple[float, float]], *, closed: bool = True) -> str:
    told = "L".join(f"{CM * x:.1f} {-CM * y:.1f}" for x, y in points)
    return f'<path d="M{told}{"z" if closed else ""}"/>'


def _rectangle(x: float, y: float, wide: float, high: float, *, round_: float = 0.0) -> str:
    """Return a rectangle about its lower left corner, in metres."""
    return (
        f'<rect x="{CM * x:.1f}" y="{-CM * (y + high):.1f}" width="{CM * wide:.1f}" height="{CM * high:.1f}"'
        f' rx="{CM * round_:.1f}"/>'
    )


def _sheet(box: Box, inner: str, label: str) -> str:
    """Return a drawing whose box is given in metres: left, bottom, right, top; half a metre is marked."""
    left, bottom, right, top = (CM * each for each in box)
    rule = (
        f'<g class="rule" transform="translate({right - 60:.0f} {-bottom - 10:.0f})"><path d="M0 0H50M0 -3V3M50 -3V3"/>'
        '<text x="25" y="-5" text-anchor="middle">50 cm</text></g>'
    )
    return (
        f'<svg class="craft" style="--letter:{_letter(box):.2f}px" viewBox="{left:.0f} {-top:.0f} '
        f'{right - left:.0f} {top - bottom:.0f}" role="group" '
        f'aria-label="{safe(label)}">{inner}{rule}</svg>'
    )


def _letter(box: Box) -> float:
    """Return the size of the type of a drawing [cm]."""
    return TYPE * CM * (box[2] - box[0])


def _sea(height: float, low: float) -> str:
    """Return the water from its surface down to the foot of the drawing, as wide as the window may be."""
    deep = CM * max(height - low, 0.0) + BEYOND
    return f'<rect class="water" x="{-BEYOND}" y="{-CM * height:.1f}" width="{2 * BEYOND}" height="{deep:.1f}"/>'


def _water(box: Box, height: float, told: str, *, kind: str = "", turn: float = 0.0) -> str:
    """Return the line of the water at a height, turned about the tail where the craft lay otherwise then [deg]."""
    y, aside = -CM * height, (CM * box[2] - 3.0, "end") if kind else (CM * box[0] + 3.0, "start")
    return (
        f'<g transform="rotate({turn:.2f})">'
        f'<path class="waterline {kind}" d="M{-BEYOND} {y:.1f}H{BEYOND}"/>'
        f'<text class="line" x="{aside[0]:.0f}" y="{y - 2.5:.1f}" text-anchor="{aside[1]}">{safe(told)}</text></g>'
    )


def _other(views: Views, moment: Moment) -> tuple[str, Moment] | None:
    """Return how the craft lies at rest, where it is moving; in flight, where it is not."""
    if moment.told.startswith("at rest"):
        slow, fast = views.band
        flight = views.at(0.5 * (slow + fast)) if math.isfinite(slow + fast) else None
        return ("water in flight", flight) if flight is not None and flight.told == "in flight" else None
    return None if "sinks" in views.rest.told else ("water at rest", views.rest)


def _where(moment: Moment) -> str:
    return "water at rest" if moment.told.startswith("at rest") else f"water at {3.6 * moment.speed:.0f} km/h"


def _side(views: Views, moment: Moment, parts: dict[str, str]) -> str:
    length, deck, low = float(views.x[-1]), float(views.deck[0]), views.wing.z - 0.36
    box = (-0.45, low, length + 0.35, deck + views.rider[0] + 0.1)
    water = _sea(moment.waterline, low)
    lines, letter = _water(box, moment.waterline, _where(moment)), _letter(box)
    x, y, wide = CM * box[0], -CM * moment.waterline, forces.LETTER * letter * len(_where(moment))
    words = [(x, y - letter - 3.0, x + wide, y)]
    other = _other(views, moment)
    if other is not None:
        turn = other[1].trim - moment.trim
        lines += _water(box, other[1].waterline, other[0], kind="other", turn=math.degrees(turn))
        x, y = CM * box[2], -CM * other[1].waterline + CM * box[2] * math.sin(turn)
        words.append((x - forces.LETTER * letter * len(other[0]), y - letter - 3.0, x, y))
    inner = _side_pieces(views, moment, parts)
    turned = f'<g transform="rotate({-math.degrees(moment.trim):.2f})">{inner}</g>'
    sheet = (CM * box[0], -CM * box[3], CM * box[2], -CM * box[1])
    name = f"The craft from the side, {moment.told}"
    return _sheet(box, water + turned + lines + forces.drawn(moment, sheet, letter, words), name)


def _side_pieces(views: Views, moment: Moment, parts: dict[str, str]) -> str:
    outline = [*zip(views.x, views.bottom, strict=True), *reversed([*zip(views.x, views.deck, strict=True)])]
    lead, chord, length, _ = views.mast
    rear, long, thick, height = views.fuselage
    middle, pod_long, pod_thick, pod_z = views.pod
    at, across = views.propeller
    tall, stance, width = views.rider
    pieces = [
        _group("mast", parts, _line([(lead, 0.0), (lead, -length), (lead - chord, -length), (lead - chord, 0.0)])),
        _group("fuselage", parts, _rectangle(rear, height - 0.5 * thick, long, thick, round_=0.5 * thick)),
        _group("pod", parts, _rectangle(middle - 0.5 * pod_long, pod_z - 0.5 * pod_thick, pod_long, pod_thick,
                                        round_=0.4 * pod_thick)),
        _group("propeller", parts, _rectangle(at - 0.012, pod_z - 0.5 * across, 0.024, across, round_=0.012)),
        _group("wing", parts, _section(views.wing.loft[0]) + _section(views.wing.loft[-1])),
        _group("stabiliser", parts, _section(views.stabiliser.loft[0]) + _section(views.stabiliser.loft[-1])),
        _group("board", parts, _line(outline)),
        *_stowed(views, parts, lambda x, _, z: (x, z)),
        _group("rider", parts, _rider(figure.aside(tall, moment.place, stance, width, moment.posture), views)),
    ]  # fmt: skip
    return "".join(pieces)


def _section(points: Array) -> str:
    return _line([(float(x), float(z)) for x, z in points[:, (0, 2)]])


def _stowed(views: Views, parts: dict[str, str], place: Place) -> list[str]:
    """Return what lies in the board, as boxes as large as such a mass is."""
    out = []
    for part, name, x, y, z, mass in views.boxes:
        side = (mass / 1800.0) ** (1.0 / 3.0)
        u, v = place(x, y, z)
        box = _rectangle(u - 0.9 * side, v - 0.35 * side, 1.8 * side, 0.7 * side, round_=0.01)
        if part == "part":
            out.append(f'<g class="stowed"><title>{safe(name)}, {mass:.2g} kg</title>{box}</g>')
        else:
            out.append(_group(part, parts, box))
    return out


def _rider(shown: figure.Figure, views: Views) -> str:
    """Return a figure on the deck, as lines as thick as limbs."""
    (limbs, face), deck = shown, float(views.deck[0])
    lines = "".join(_line([(x, deck + z) for x, z in limb], closed=False) for limb in limbs)
    head = f'<circle cx="{CM * face[0]:.1f}" cy="{-CM * (deck + face[1]):.1f}" r="{6.2 * views.rider[0]:.1f}"/>'
    return f'<g class="limbs">{lines}</g>{head}'


def _top(views: Views, moment: Moment, parts: dict[str, str]) -> str:
    half = max(0.5 * _span(views), float(views.half_beam.max())) + 0.1
    box = (min(-0.3, views.stabiliser.x - 0.2), -half - 0.2, float(views.x[-1]) + 0.15, half + 0.12)
    board = [*zip(views.x, views.half_beam, strict=True), *reversed([*zip(views.x, -views.half_beam, strict=True)])]
    rear, long, thick, _ = views.fuselage
    lead, chord, _, wide = views.mast
    middle, pod_long, pod_thick, _ = views.pod
    inner = (
        _group("wing", parts, _plan(views.wing.loft)) + _group("stabiliser", parts, _plan(views.stabiliser.loft))
        + _group("fuselage", parts, _rectangle(rear, -0.5 * thick, long, thick, round_=0.5 * thick))
        + _group("pod", parts, _rectangle(middle - 0.5 * pod_long, -0.5 * pod_thick, pod_long, pod_thick, round_=0.02))
        + f'<g class="over">{_group("board", parts, _line(board))}</g>'
        + _group("mast", parts, _rectangle(lead - chord, -0.5 * wide, chord, wide, round_=0.5 * wide))
        + "".join(_stowed(views, parts, lambda x, y, _: (x, y))) + _stance(views, moment, half)
    )  # fmt: skip
    return _sheet(box, inner, f"The craft from above, {moment.told}")


def _span(views: Views) -> float:
    return 2.0 * float(max(views.wing.loft[..., 1].max(), views.stabiliser.loft[..., 1].max()))


def _plan(loft: Array) -> str:
    """Return the outline of a surface from above, both halves."""
    front = [(float(section[:, 0].max()), float(section[0, 1])) for section in loft]
    back = [(float(section[:, 0].min()), float(section[0, 1])) for section in loft]
    port = [*front, *reversed(back)]
    return _line([*port, *((x, -y) for x, y in reversed(port))])


def _stance(views: Views, moment: Moment, half: float) -> str:
    """Return where the feet stand, how far apart, and where the weight is at this speed."""
    _, middle, width = views.rider
    rear, front, at, edge = CM * (middle - 0.5 * width), CM * (middle + 0.5 * width), CM * moment.place, CM * half
    feet = "".join(
        f'<ellipse cx="{x:.1f}" cy="{y:.0f}" rx="5" ry="12" transform="rotate({turn} {x:.1f} {y:.0f})"/>'
        for x, y, turn in ((front, 3.0, -25), (rear, -3.0, -70))
    )
    return (
        f'<g class="feet">{feet}<path class="weight" d="M{at - 4:.1f} 0h8M{at:.1f} -4v8"/>'
        f'<path d="M{at:.1f} -4V{-edge + 1:.1f}"/><path class="size" d="M{rear:.1f} {edge:.1f}H{front:.1f}'
        f'M{rear:.1f} {edge - 3:.1f}v6M{front:.1f} {edge - 3:.1f}v6"/></g>'
        f'<text x="{at:.1f}" y="{-edge - 1:.1f}" text-anchor="middle">rider\'s weight</text>'
        f'<text x="{0.5 * (rear + front):.1f}" y="{edge + 11:.1f}" text-anchor="middle">'
        f"stance {CM * width:.0f} cm</text>"
    )


def _front(views: Views, moment: Moment, parts: dict[str, str]) -> str:
    half = max(0.5 * _span(views), float(views.half_beam.max())) + 0.12
    low, deck, tall = views.wing.z - 0.35, float(views.deck[0]), views.rider[0]
    room = max(half, 0.5 * (deck + tall + 0.1 - low))
    box = (-room, low, room, deck + tall + 0.1)
    widest = int(np.argmax(views.half_beam))
    beam, bottom, top = float(views.half_beam[widest]), float(views.bottom[widest]), float(views.deck[widest])
    length, wide = views.mast[2:]
    pod_thick, pod_z = views.pod[2:]
    level = _level(views, moment)
    water = _sea(level, low)
    lines = _water(box, level, _where(moment))
    other = _other(views, moment)
    if other is not None:
        lines += _water(box, _level(views, other[1]), other[0], kind="other")
    inner = (
        _group("stabiliser", parts, _ahead(views.stabiliser.loft)) + _group("wing", parts, _ahead(views.wing.loft))
        + _group("mast", parts, _rectangle(-0.5 * wide, -length, wide, length))
        + _group("propeller", parts, _disc(pod_z, views.propeller[1], "swept"))
        + _group("pod", parts, _disc(pod_z, pod_thick))
        + _group("board", parts, _rectangle(-beam, bottom, 2.0 * beam, top - bottom, round_=0.03))
        + _group("rider", parts, _rider(figure.ahead(tall, moment.posture), views))
    )  # fmt: skip
    return _sheet(box, water + inner + lines, f"The craft from ahead, {moment.told}")


def _level(views: Views, moment: Moment) -> float:
    """Return how high the water stands at the mast, in the axes of the board."""
    lead, chord, *_ = views.mast
    return (moment.waterline - (lead - 0.5 * chord) * math.sin(moment.trim)) / math.cos(moment.trim)


def _disc(height: float, across: float, kind: str = "") -> str:
    return f'<circle class="{kind}" cx="0" cy="{-CM * height:.1f}" r="{0.5 * CM * across:.1f}"/>'


def _ahead(loft: Array) -> str:
    """Return the outline of a surface from ahead, both halves."""
    upper = [(float(section[0, 1]), float(section[:, 2].max())) for section in loft]
    lower = [(float(section[0, 1]), float(section[:, 2].min())) for section in loft]
    port = [*upper, *reversed(lower)]
    return _line([*port, *((-y, z) for y, z in reversed(port))])
