"""The craft drawn to scale from the side, from above and from ahead, with water, rider, forces and what fails."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from foilwright.core.model import Array
from foilwright.page.inputs import TABLE_OF
from foilwright.page.look import many, sign, verdict
from foilwright.page.marks import button, given, safe
from foilwright.page.side import Load, Moment, Points, Views
from foilwright.questions import report
from foilwright.questions.report import Ranked

CM = 100.0
Place = Callable[[float, float, float], tuple[float, float]]
SIGHTS = {"side": "Side", "top": "Top", "front": "Front", "turn": "In space"}
MOST = 3
"""Findings told of a part that is pointed at."""
REACH = 70.0
"""Length of the arrow of the whole weight [cm]."""
KINDS = {"weight": "weight", "thrust": "thrust", "full": "thrust", "lift": "lift", "carried": "lift", "drag": "drag"}
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
HINT = "Point at a part, or step to it with the Tab key, to see its numbers. A broken outline fails."
WITHIN = {"base": "mast", "motor": "pod"}
"""Parts that lie within another in the drawing."""


def told(found: Ranked) -> str:
    """Return what is told of each part; the one that is pointed at is shown."""
    return _told(_parts(found), found)


def drawn(views: Views, found: Ranked, sight: str, speed: float) -> str:
    """Return the drawing from one side, with the speed to choose."""
    moment = views.at(speed)
    parts = _parts(found)
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
        f"{_speed(views, moment) if sight == 'side' else ''}</section>"
    )


def _parts(found: Ranked) -> dict[str, str]:
    """Return the worst verdict of each part, of what lies within it too."""
    worst: dict[str, str] = {}
    for finding, word in found:
        worst.setdefault(WITHIN.get(finding.part, finding.part), word)
    return worst


def _speed(views: Views, moment: Moment) -> str:
    top = min(views.steps[-1].speed, 1.15 * views.band[1] if math.isfinite(views.band[1]) else math.inf)
    flies = math.isfinite(views.take_off)
    told = f"{3.6 * moment.speed:.1f} km/h, {moment.told}" if moment.speed else moment.told
    if not flies and moment.speed:
        told += "; it does not take off"
    rows = "".join(
        f'<tr><th scope="row"><i class="stroke {_kind(load)}" aria-hidden="true"></i>{safe(load.name)}</th>'
        f"<td>{report.amount(math.hypot(load.ahead, load.up), 'N')}</td></tr>"
        for load in moment.loads
    )
    return (
        f'<div class="speed"><label for="speed">Speed</label><input id="speed" type="range" min="0" max="{top:.3f}" '
        f'step="{top / 80.0:.4f}" value="{moment.speed:.3f}" data-keep {given(do="speed")} '
        f'aria-valuetext="{safe(told)}"><output for="speed">{safe(told)}</output></div>'
        f'<table class="loads"><caption class="hidden">Forces at this speed</caption><tbody>{rows}</tbody></table>'
    )


def _told(parts: dict[str, str], found: Ranked) -> str:
    """Return what is told of each part; the one that is pointed at is shown."""
    blocks = [f'<div class="told" data-told=""><p class="quiet">{HINT}</p></div>']
    for part, word in parts.items():
        own = [(finding, each) for finding, each in found if WITHIN.get(finding.part, finding.part) == part]
        lines = "".join(
            f"<li>{verdict(each)} {safe(finding.name)}: {safe(report.said(finding, 0))}</li>"
            for finding, each in own[:MOST]
        )
        place = f"{TABLE_OF.get(part, part)}.any"
        inputs = button("Its inputs", "field", kind="small plain", path=place)
        rest = f'<p class="quiet">and {many(len(own) - MOST, "finding")} more</p>' if len(own) > MOST else ""
        blocks.append(
            f'<div class="told" data-told="{safe(part)}" hidden><h3>{safe(part)} {verdict(word)}</h3><ul>'
            f"{lines}</ul>{rest}"
            f'<p class="row">{inputs}</p></div>'
        )
    others = "".join(
        f'<button type="button" class="chip" {given(about=part)}>{safe(part)} {sign(word)}<span class="hidden">'
        f'{word}</span>'
        "</button>"
        for part, word in parts.items() if part not in DRAWN and word in ("fails", "unknown", "slim")
    )  # fmt: skip
    rest = f'<p class="chips"><span class="quiet">Not drawn:</span> {others}</p>' if others else ""
    return f'{rest}<div class="tellings">{"".join(blocks)}</div>'


def _kind(load: Load) -> str:
    return KINDS[load.name.split()[0]]


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


def _sheet(box: tuple[float, float, float, float], inner: str, label: str) -> str:
    """Return a drawing whose box is given in metres: left, bottom, right, top; one metre is marked."""
    left, bottom, right, top = (CM * each for each in box)
    rule = (
        f'<g class="rule" transform="translate({right - 60:.0f} {-bottom - 10:.0f})"><path d="M0 0H50M0 -3V3M50 -3V3"/>'
        '<text x="25" y="-5" text-anchor="middle">50 cm</text></g>'
    )
    return (
        f'<svg class="craft" style="--u:{(right - left) / 260.0:.3f}" viewBox="{left:.0f} {-top:.0f} '
        f'{right - left:.0f} {top - bottom:.0f}" role="group" '
        f'aria-label="{safe(label)}">{inner}{rule}</svg>'
    )


def _side(views: Views, moment: Moment, parts: dict[str, str]) -> str:
    length = float(views.x[-1])
    deck = float(views.deck[0])
    low = views.wing.z - 0.42
    box = (-0.45, low, length + 0.35, deck + views.rider[0] + 0.14)
    water = (
        f'<rect class="water" x="{CM * box[0]:.0f}" y="{-CM * moment.waterline:.1f}" '
        f'width="{CM * (box[2] - box[0]):.0f}" '
        f'height="{CM * (moment.waterline - low):.1f}"/>'
    )
    line = f'<path class="waterline" d="M{CM * box[0]:.0f} {-CM * moment.waterline:.1f}H{CM * box[2]:.0f}"/>'
    inner = _side_pieces(views, moment, parts)
    turned = f'<g transform="rotate({-math.degrees(moment.trim):.2f})">{inner}</g>'
    name = f"The craft from the side, {moment.told}"
    return _sheet(box, water + turned + line + _arrows(moment), name)


def _side_pieces(views: Views, moment: Moment, parts: dict[str, str]) -> str:
    outline = [*zip(views.x, views.bottom, strict=True), *reversed([*zip(views.x, views.deck, strict=True)])]
    lead, chord, length, _ = views.mast
    rear, long, thick, height = views.fuselage
    middle, pod_long, pod_thick, pod_z = views.pod
    at, across = views.propeller
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
        _group("rider", parts, _rider(views, moment)),
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


def _rider(views: Views, moment: Moment) -> str:
    """Return the rider as a figure of thick lines, in the posture of the moment, the weight where it must be."""
    tall, middle, width = views.rider
    deck, at = float(views.deck[0]), moment.place
    make = {"prone": _prone, "kneeling": _kneeling}.get(moment.posture)
    limbs, face = _standing(tall, at, middle, width) if make is None else make(tall, at)
    lines = "".join(_line([(x, deck + z) for x, z in limb], closed=False) for limb in limbs)
    head = f'<circle cx="{CM * face[0]:.1f}" cy="{-CM * (deck + face[1]):.1f}" r="{6.2 * tall:.1f}"/>'
    return f'<g class="limbs">{lines}</g>{head}'


Figure = tuple[list[Points], tuple[float, float]]
"""Limbs as lines, and the head; heights above the deck."""


def _prone(tall: float, at: float) -> Figure:
    feet, crown = at - 0.52 * tall, at + 0.44 * tall
    body: Points = [(feet, 0.05), (at - 0.05, 0.09), (crown - 0.16, 0.12)]
    arm: Points = [(crown - 0.22, 0.12), (crown - 0.12, 0.02), (crown + 0.05, 0.02)]
    return [body, arm], (crown, 0.2)


def _kneeling(tall: float, at: float) -> Figure:
    body: Points = [(at - 0.32, 0.04), (at + 0.1, 0.05), (at - 0.06, 0.16 * tall), (at + 0.05, 0.45 * tall)]
    arm: Points = [(at + 0.04, 0.44 * tall), (at + 0.2, 0.27 * tall), (at + 0.12, 0.16 * tall)]
    return [body, arm], (at + 0.09, 0.54 * tall)


def _standing(tall: float, at: float, middle: float, width: float) -> Figure:
    hip, neck = (at - 0.03, 0.47 * tall), (at + 0.06, 0.79 * tall)
    limbs: list[Points] = [
        [(foot + toe, 0.02), (foot, 0.02), (0.5 * (foot + at) + bend, 0.25 * tall), hip]
        for foot, toe, bend in ((middle + 0.5 * width, 0.06, 0.12), (middle - 0.5 * width, -0.06, 0.03))
    ]
    arms: list[Points] = [[neck, (at + 0.28, 0.6 * tall)], [neck, (at - 0.18, 0.58 * tall)]]
    return [*limbs, [hip, neck], *arms], (at + 0.09, 0.87 * tall)


def _arrows(moment: Moment) -> str:
    """Return the forces as arrows with their values, where they act on the craft as it lies."""
    whole = sum(-load.up for load in moment.loads if load.name.startswith("weight")) or 1.0
    sine, cosine = math.sin(moment.trim), math.cos(moment.trim)
    furthest = min(load.x for load in moment.loads if load.name.startswith("weight"))
    out = []
    for load in moment.loads:
        size = math.hypot(load.ahead, load.up)
        if size < 0.002 * whole:
            continue
        x, y = CM * (load.x * cosine - load.z * sine), -CM * (load.x * sine + load.z * cosine)
        reach = REACH * max(size / whole, 0.12)
        dx, dy = load.ahead / size * reach, -load.up / size * reach
        out.append(_arrow(load, (x, y), (dx, dy), size, left=load.up < 0.0 and load.x <= furthest))
    return "".join(out)


def _arrow(load: Load, at: tuple[float, float], reach: tuple[float, float], size: float, *, left: bool) -> str:
    (x, y), (dx, dy) = at, reach
    long = math.hypot(dx, dy)
    ux, uy = dx / long, dy / long
    u, v = x + dx - 5.5 * ux, y + dy - 5.5 * uy
    corners = ((x + dx, y + dy), (u - 3.2 * uy, v + 3.2 * ux), (u + 3.2 * uy, v - 3.2 * ux))
    head = "L".join(f"{a:.1f} {b:.1f}" for a, b in corners)
    if abs(dx) > abs(dy):
        side, anchor = (3.0, "start") if dx > 0 else (-3.0, "end")
        place = f'x="{x + dx + side:.1f}" y="{y + dy + 3.0:.1f}" text-anchor="{anchor}"'
    else:
        aside, anchor = (-5.0, "end") if left else (5.0, "start")
        place = f'x="{x + dx + aside:.1f}" y="{y + dy + (7.0 if dy > 0 else -1.0):.1f}" text-anchor="{anchor}"'
    told = report.amount(size, "N")
    return (
        f'<g class="force {_kind(load)}"><title>{safe(load.name)} {told}</title>'
        f'<path class="shaft" d="M{x:.1f} {y:.1f}L{u:.1f} {v:.1f}"/><path class="tip" d="M{head}z"/>'
        f"<text {place}>{told}</text></g>"
    )


def _top(views: Views, moment: Moment, parts: dict[str, str]) -> str:
    half = max(0.5 * _span(views), float(views.half_beam.max())) + 0.1
    box = (min(-0.3, views.stabiliser.x - 0.2), -half - 0.12, float(views.x[-1]) + 0.15, half)
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
        + "".join(_stowed(views, parts, lambda x, y, _: (x, y))) + _feet(views, moment)
    )  # fmt: skip
    return _sheet(box, inner, "The craft from above")


def _span(views: Views) -> float:
    return 2.0 * float(max(views.wing.loft[..., 1].max(), views.stabiliser.loft[..., 1].max()))


def _plan(loft: Array) -> str:
    """Return the outline of a surface from above, both halves."""
    front = [(float(section[:, 0].max()), float(section[0, 1])) for section in loft]
    back = [(float(section[:, 0].min()), float(section[0, 1])) for section in loft]
    port = [*front, *reversed(back)]
    return _line([*port, *((x, -y) for x, y in reversed(port))])


def _feet(views: Views, moment: Moment) -> str:
    _, middle, width = views.rider
    feet = "".join(
        f'<ellipse cx="{CM * (middle + side * 0.5 * width):.1f}" cy="{side * 3:.0f}" rx="5" ry="12" '
        f'transform="rotate({-25 if side > 0 else -70} {CM * (middle + side * 0.5 * width):.1f} {side * 3:.0f})"/>'
        for side in (1.0, -1.0)
    )
    place = f'<path class="weight" d="M{CM * moment.place - 4:.1f} 0h8M{CM * moment.place:.1f} -4v8"/>'
    return f'<g class="feet">{feet}{place}<title>where the feet stand, and the weight at this speed</title></g>'


def _front(views: Views, _: Moment, parts: dict[str, str]) -> str:
    half = max(0.5 * _span(views), float(views.half_beam.max())) + 0.12
    low, deck = views.wing.z - 0.35, float(views.deck[0])
    box = (-half, low, half, deck + 0.3)
    widest = int(np.argmax(views.half_beam))
    beam, bottom, top = float(views.half_beam[widest]), float(views.bottom[widest]), float(views.deck[widest])
    length, wide = views.mast[2:]
    pod_thick, pod_z = views.pod[2:]
    across = views.propeller[1]
    flight = next((each for each in views.steps if each.told == "in flight"), None)
    lines = [("at rest", views.rest.waterline)]
    if flight is not None:
        lines.append(("in flight", flight.waterline - views.wing.x * math.sin(flight.trim)))
    water = "".join(
        f'<path class="waterline" d="M{-CM * half:.0f} {-CM * z:.1f}H{CM * half:.0f}"/>'
        f'<text class="line" x="{CM * half - 3:.0f}" y="{-CM * z - 3:.1f}" text-anchor="end">water {name}</text>'
        for name, z in lines
    )
    inner = (
        _group("stabiliser", parts, _ahead(views.stabiliser.loft)) + _group("wing", parts, _ahead(views.wing.loft))
        + _group("mast", parts, _rectangle(-0.5 * wide, -length, wide, length))
        + _group("propeller", parts, _disc(pod_z, across, "swept")) + _group("pod", parts, _disc(pod_z, pod_thick))
        + _group("board", parts, _rectangle(-beam, bottom, 2.0 * beam, top - bottom, round_=0.03)) + water
    )  # fmt: skip
    return _sheet(box, inner, "The craft from ahead, with the water at rest and in flight")


def _disc(height: float, across: float, kind: str = "") -> str:
    return f'<circle class="{kind}" cx="0" cy="{-CM * height:.1f}" r="{0.5 * CM * across:.1f}"/>'


def _ahead(loft: Array) -> str:
    """Return the outline of a surface from ahead, both halves."""
    upper = [(float(section[0, 1]), float(section[:, 2].max())) for section in loft]
    lower = [(float(section[0, 1]), float(section[:, 2].min())) for section in loft]
    port = [*upper, *reversed(lower)]
    return _line([*port, *((-y, z) for y, z in reversed(port))])
