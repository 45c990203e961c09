"""Jigs: drilling jigs, female section gauges, and cradles that hold a phone level at the rigged angles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.parts.solids import kernel
from foilwright.parts.solids.box import CORNER, BoxJob, slab
from foilwright.parts.solids.kernel import Array, Shape
from foilwright.parts.solids.mast import MastJob, section
from foilwright.parts.solids.piece import Body, Drawing, Printing, fit
from foilwright.parts.solids.read import Printer
from foilwright.parts.solids.wings import WingJob, bolts, coordinates, solid

PLATE = 0.006
BOSS, BOSS_UP = 0.007, 0.012
"""Radius of a guide of the drill, and its height above the plate [m]."""
GAUGE = 0.004
GAUGE_ROOM = 0.012
GAUGE_STATIONS = (0.1, 0.5, 0.9)
"""Stations of the gauges, share of the half span."""
JIG_WIDE = 0.024
"""Half the width of a jig on a wing [m]."""
PHONE = (0.11, 0.07)
"""Platform of a cradle, along and across [m]."""
LIP = 0.004


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeJob:
    """What gauges are made for: outlines by name, nose at 0, x aft [m]."""

    name: str
    section: str
    chords: tuple[tuple[str, float], ...]
    both: bool  # upper and lower differ
    printer: Printer


def _plain(printer: Printer, stands: str, support: str = "", infill: float = 0.15) -> Printing:
    return Printing(material=printer.filament, wall=0.0012, infill=infill, stands=stands, support=support)


# ---- drilling ---------------------------------------------------------------


def base_jig(job: MastJob) -> Drawing:
    """Draw the jig that guides a drill through the holes of the base."""
    base, mast, x = job.base, job.mast, -0.5 * job.mast.chord
    a, b = 0.5 * base.length, 0.5 * base.width
    shape = kernel.round_block((x - a, -b, 0.0), (x + a, b, PLATE), 0.012)
    places = base.holes()
    shape = kernel.join(
        shape, *(kernel.cylinder((x + p, q, 0.0), (0.0, 0.0, PLATE + BOSS_UP), BOSS) for p, q in places)
    )
    window = kernel.prism(section(mast, -1.0, grown=0.0005), (0.0, 0.0, 2.0), smooth=True)
    tools = [kernel.cylinder((x + p, q, -0.1), (0.0, 0.0, 0.3), 0.5 * fit("pilot")) for p, q in places]
    tools += [_notch(x + a, 0.0), _notch(x - a, 0.0), _notch(x, b), _notch(x, -b)]
    shape = kernel.cut(shape, window, *tools)
    fits = job.printer.lies(base.length, base.width)
    notes = [
        "Notches stand on the centre lines; the window shows where the mast stands, its round end "
        f"forward. Drill 3 mm through the guides, take it off, open to {fit(f'bolt hole {base.size}') * 1e3:.1f} mm.",
    ]
    if not fits:
        notes.append("It is larger than the bed: print it on a larger printer or use the paper template.")
    how = _plain(job.printer, "flat, guides up", infill=0.3)
    return Drawing(bodies=(Body(name="base-jig", shape=shape, printing=how),), notes=tuple(notes),
                   numbers={"volume": kernel.measure(shape).volume})  # fmt: skip


def _notch(x: float, y: float) -> Shape:
    return kernel.placed(
        kernel.box((-0.002, -0.002, -0.1), (0.002, 0.002, 0.1)),
        turn=kernel.rotation((0.0, 0.0, 1.0), np.pi / 4.0),
        move=(x, y, 0.0),
    )


def wing_jig(job: WingJob) -> Drawing:
    """Draw the jig that sits on a wing's root and guides the drill for its bolts."""
    wing = job.wing
    root = wing.chord(0.0)
    fore, aft = 0.25 * root + 0.008, -0.42 * root
    top = float(coordinates(wing.section)[:, 1].max()) * root + 0.006
    block = kernel.box((aft, -JIG_WIDE, 0.0), (fore, JIG_WIDE, top))
    guides = [kernel.cylinder((x, 0.0, 0.0), (0.0, 0.0, top + 0.010), BOSS) for x, _ in bolts(wing)]
    shape = kernel.join(block, *guides)
    shape = kernel.cut(shape, solid(wing))
    tools = [kernel.cylinder((x, 0.0, -0.1), (0.0, 0.0, 0.3), 0.5 * fit("pilot")) for x, _ in bolts(wing)]
    tools += [_notch(fore, 0.0), _notch(aft, 0.0)]
    shape = kernel.largest(kernel.cut(shape, *tools))
    notes = (
        "It sits on the upper side, hooked over the nose, its notches on the centre line; one layer "
        "of tape inside makes it slide. Drill 3 mm square to the chord, open to "
        f"{bolts(wing)[0][1] * 1e3:.1f} mm.",
    )
    how = _plain(job.printer, "on its side: the face that fits the wing prints without support", infill=0.3)
    turn = kernel.rotation((1.0, 0.0, 0.0), 0.5 * np.pi)
    return Drawing(bodies=(Body(name=f"{wing.name}-jig", shape=shape, printing=how, turn=turn),), notes=notes,
                   numbers={"volume": kernel.measure(shape).volume})  # fmt: skip


# ---- phone ------------------------------------------------------------------


def cradle(job: WingJob) -> Drawing:
    """Draw the block that sits on a wing and is level when the wing stands at its rigged angle."""
    wing = job.wing
    root = wing.chord(0.0)
    turn = kernel.rotation((0.0, 1.0, 0.0), -wing.incidence)
    seat = kernel.placed(solid(wing), turn=turn)
    long = min(PHONE[0], 0.72 * root)
    middle = (0.25 - 0.42) * root
    height = float(coordinates(wing.section)[:, 1].max()) * root + abs(np.sin(wing.incidence)) * 0.5 * root + 0.012
    a, b = 0.5 * long, 0.5 * PHONE[1]
    shape = kernel.round_block((middle - a, -b, -0.002), (middle + a, b, height + LIP), 0.006)
    tray = kernel.box((middle - a + 0.003, -1.0, height), (middle + a - 0.003, 1.0, 1.0))
    shape = kernel.cut(shape, seat, tray, _notch(middle + a, 0.0))
    below = kernel.placed(kernel.box((-1.0, -1.0, -1.0), (1.0, 1.0, 0.0)), turn=turn)
    shape = kernel.largest(kernel.cut(shape, below))
    angle = np.degrees(wing.incidence)
    notes = (
        f"Level when the {wing.name} stands {angle:+.2f} deg to the bottom of the board. Set the "
        "board level by a phone on its bottom first; what the phone shows on the cradle is how far "
        "off the rigged angle is.",
        "It sits over the middle on the upper side, the end with the notch forward.",
    )
    how = _plain(job.printer, "on its side: both faces print without support")
    side = kernel.rotation((1.0, 0.0, 0.0), 0.5 * np.pi)
    return Drawing(bodies=(Body(name=f"{wing.name}-cradle", shape=shape, printing=how, turn=side),), notes=notes,
                   numbers={"volume": kernel.measure(shape).volume, "angle": wing.incidence})  # fmt: skip


# ---- gauges -----------------------------------------------------------------


def gauges(job: GaugeJob) -> Drawing:
    """Draw female gauges: plates with half of the section cut out, upper and lower."""
    bodies, shift = [], 0.0
    how = _plain(job.printer, "flat")
    long = 0.0
    for number, (label, chord) in enumerate(job.chords, 1):
        for side in ("upper", "lower") if job.both else ("half",):
            sign = -1.0 if side == "lower" else 1.0
            shape, high = _gauge(job.section, chord, sign, number)
            shift -= high if sign > 0.0 else 0.006
            low = kernel.placed(shape, move=(0.0, shift, 0.0))
            bodies.append(Body(name=f"{job.name}-gauge-{label}-{side}", shape=low, printing=how))
            shift -= 0.006 if sign > 0.0 and not job.both else 0.0 if sign > 0.0 else high + 0.006
            long = max(long, chord + 2.0 * GAUGE_ROOM)
    told = ", ".join(f"{label} {chord * 1e3:.0f} mm" for label, chord in job.chords)
    notes = [
        f"Chords: {told}. One to three holes tell them apart, nose at the rounded corner; the "
        "straight edge is the chord line.",
        f"They are {fit('gauge') * 1e3:.1f} mm larger than the finished skin: chalk the edge, sand where it rubs off.",
    ]
    if not job.printer.lies(long, 0.04):
        notes.append(
            "The longest is longer than the bed's diagonal: cut it from sheet after the STL or a paper template."
        )
    volume = sum(kernel.measure(body.shape).volume for body in bodies)
    return Drawing(bodies=tuple(bodies), numbers={"volume": volume}, notes=tuple(notes))


def _gauge(name: str, chord: float, sign: float, number: int) -> tuple[Shape, float]:
    """Return one plate, its straight edges on the chord line, and its height [m]."""
    flat = _half(name, sign) * chord
    gap = fit("gauge")
    step = np.gradient(flat, axis=0)
    step /= np.linalg.norm(step, axis=1, keepdims=True)
    grown = flat + gap * sign * np.column_stack([-step[:, 1], step[:, 0]])
    grown[0] = (-gap, 0.0)
    far = float(np.abs(grown[:, 1]).max()) + GAUGE_ROOM
    end = chord + GAUGE_ROOM
    out = np.array([[end, 0.0], [end, sign * far], [-0.7 * GAUGE_ROOM, sign * far], [-GAUGE_ROOM, sign * (far - 0.004)],
                    [-GAUGE_ROOM, 0.0]])  # fmt: skip
    tail = [[chord + gap, grown[-1, 1]], [chord + gap, 0.0]]
    ring = np.concatenate([grown, tail, out])
    ring[:, 0] *= -1.0
    shape = kernel.prism(np.column_stack([ring, np.zeros(len(ring))]), (0.0, 0.0, GAUGE))
    marks = [
        kernel.cylinder((-chord - 0.5 * GAUGE_ROOM + 0.006 * k, sign * (far - 0.005), -0.1), (0.0, 0.0, 0.2), 0.0015)
        for k in range(number)
    ]
    return kernel.cut(shape, *marks), far


def _half(name: str, sign: float) -> Array:
    """Return one side of a section, nose first; what runs ahead of the nose or across the chord line is left out."""
    flat = coordinates(name, 31)
    side = flat[30::-1] if sign > 0.0 else flat[30:]
    kept = np.concatenate([[True], np.diff(np.maximum.accumulate(side[:, 0])) > 1e-9])
    side = side[kept]
    return np.column_stack([side[:, 0], np.where(side[:, 1] * sign > 0.0, side[:, 1], 0.0)]) if sign < 0.0 else side


# ---- lid --------------------------------------------------------------------

FENCE, FENCE_DOWN = 0.004, 0.005
"""Thickness of the fence that hooks over the lid's edge, and how far it reaches down [m]."""
FRAME, FRAME_DEEP = 0.030, 0.008
"""Width of the frame that lies on the lid, and its thickness, which guides the drill [m]."""


def lid_jig(job: BoxJob) -> Drawing:
    """Draw the frame that hooks over the edge of a lid and guides the drill for its screws, in corners that fit."""
    long, wide = job.outside()
    gap, corner = job.printer.fit, CORNER + job.channel
    outer = (long + 2.0 * (FENCE + gap), wide + 2.0 * (FENCE + gap))
    shape = slab(outer, -FENCE_DOWN, FRAME_DEEP, corner + FENCE + gap)
    inside = (long - 2.0 * FRAME, wide - 2.0 * FRAME)
    lid = slab((long + 2.0 * gap, wide + 2.0 * gap), -0.1, 0.0, corner + gap)
    places = job.fastenings()
    tools = [kernel.cylinder((x, y, -0.1), (0.0, 0.0, 0.3), 0.5 * fit("pilot")) for x, y in places]
    shape = kernel.cut(shape, lid, slab(inside, -0.1, 0.1, CORNER), *tools)
    count = [next(n for n in range(1, 9) if job.printer.lies(outer[0] / n, min(outer[1], job.printer.y))), 1]
    count[1] = next(n for n in range(1, 9) if job.printer.lies(outer[0] / count[0], outer[1] / n))
    edges = [_between_screws(places[:, k], outer[k], count[k]) for k in (0, 1)]
    how = _plain(job.printer, "upside down, the fence up: no support", infill=0.3)
    cells = [(i, j) for i in range(count[0]) for j in range(count[1])]
    bodies = [
        Body(
            name=f"lid-jig-{k}" if len(cells) > 1 else "lid-jig",
            shape=kernel.common(
                shape, kernel.box((edges[0][i], edges[1][j], -1.0), (edges[0][i + 1], edges[1][j + 1], 1.0))
            ),
            printing=how, turn=np.diag([1.0, -1.0, -1.0]),
        )
        for k, (i, j) in enumerate(cells, 1)
    ]  # fmt: skip
    notes = [
        f"Hook it over the edges of the lid; {job.screws} holes of {fit('pilot') * 1e3:.1f} mm are where the screws "
        "go. Drill the lid, clamp it to the rim, drill on through the same holes; open the lid's to "
        f"{(job.screw + job.clearance) * 1e3:.1f} mm.",
    ]
    if len(cells) > 1:
        notes.append(
            f"It comes in {len(cells)} pieces, each with its own fence: tape each down by itself, ends touching."
        )
    volume = sum(kernel.measure(body.shape).volume for body in bodies)
    return Drawing(bodies=tuple(bodies), numbers={"volume": volume}, notes=tuple(notes))


def _between_screws(places: Array, side: float, count: int) -> list[float]:
    """Return where a side is parted: near even lengths, clear of every guide."""
    edges = [-0.6 * side]
    for even in np.linspace(-0.5, 0.5, count + 1)[1:-1] * side:
        tries = even + np.linspace(-0.06, 0.06, 61)
        room = np.abs(tries[:, None] - places[None, :]).min(axis=1)
        good = room > BOSS
        best = np.where(good, np.abs(tries - even), 1.0 - room)
        edges.append(float(tries[best.argmin()]))
    return [*edges, 0.6 * side]
