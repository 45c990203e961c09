"""The fuselage: a printed bar with its pockets, or the seats that put wing and stabiliser on a bought tube."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from foilwright.parts.solids import kernel
from foilwright.parts.solids.kernel import Shape
from foilwright.parts.solids.piece import Body, Drawing, Printing, fit
from foilwright.parts.solids.read import Make, Printer, Wing
from foilwright.parts.solids.wings import PEG_DEPTH, bolts, coordinates, peg_body
from foilwright.shape import split

SEAT_WALL = 0.006
SEAT_LENGTH = 0.80
"""Length of a seat over the root chord."""
LEAST_UNDER = 0.004
"""Least material under a wing on a seat [m]."""
LEAST_LENGTH = 0.06
MORE_LENGTHS = 2
"""Lengths beyond the fewest that are tried to keep joints out of the pockets."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FuselageJob:
    """The fuselage and what sits on it; x forward from the wing's quarter chord."""

    make: Make
    diameter: float
    length: float
    arm: float
    mast: float  # middle of the mast's chord, from the wing's quarter chord
    socket: float  # on either side of it
    mass: float
    printer: Printer
    wing: Wing
    stabiliser: Wing

    @property
    def front(self) -> float:
        """Return its forward end [m]: as far ahead of the wing as behind the stabiliser."""
        return 0.5 * (self.length - self.arm)


def bar(job: FuselageJob) -> Shape:
    """Return the plain bar, its ends rounded."""
    r = 0.5 * job.diameter
    a, b = job.front - job.length, job.front
    t = np.linspace(0.0, 0.5 * np.pi, 13)
    nose = np.column_stack([b - r + r * np.sin(t), r * np.cos(t)])
    tail = np.column_stack([a + r - r * np.sin(t[::-1]), r * np.cos(t[::-1])])
    profile = np.concatenate([tail, nose])
    profile[0, 1] = profile[-1, 1] = 0.0
    return kernel.revolve(profile)


def pocket(wing: Wing, x: float, z: float, gap: float, wide: float) -> Shape:
    """Return the room that a wing needs from its lower skin upwards, at its rigged angle."""
    flat = coordinates(wing.section, 31)
    root = wing.chord(0.0)
    lower = flat[30:]
    aft, up = (lower[:, 0] - 0.25) * root, lower[:, 1] * root
    aft = np.where(aft > 0.70 * root, aft + gap, aft)
    cos, sin = np.cos(wing.incidence), np.sin(wing.incidence)
    px, pz = x - (aft * cos + up * sin), z + up * cos - aft * sin - gap
    px[0] += gap
    over = z + 0.3
    ring = np.concatenate([np.column_stack([px, pz]), [[px[-1], over], [px[0], over]]])
    points = np.column_stack([ring[:, 0], np.full(len(ring), -wide), ring[:, 1]])
    return kernel.prism(points, (0.0, 2.0 * wide, 0.0))


def _bolts(wing: Wing, x: float) -> list[Shape]:
    cos = np.cos(wing.incidence)
    return [kernel.cylinder((x + a * cos, 0.0, -0.2), (0.0, 0.0, 0.5), 0.5 * d) for a, d in bolts(wing)]


def printed(job: FuselageJob) -> Drawing:
    """Draw the lengths of a printed fuselage."""
    gap, wide = job.printer.fit, job.diameter
    plain = bar(job)
    height = job.stabiliser.z - job.wing.z
    whole = kernel.cut(plain, pocket(job.wing, 0.0, 0.0, gap, wide), *_bolts(job.wing, 0.0))
    low = abs(height) < 0.4 * job.diameter
    if low:
        whole = kernel.cut(
            whole, pocket(job.stabiliser, -job.arm, height, gap, wide), *_bolts(job.stabiliser, -job.arm)
        )
    places = cuts(job)
    d = max(np.floor(0.16 * job.diameter * 2000.0) / 2000.0, 0.003)
    deep = PEG_DEPTH * d
    for x in places:
        for y in (-0.20, 0.20):
            start = (x - deep, y * job.diameter, -0.30 * job.diameter)
            whole = kernel.cut(whole, kernel.cylinder(start, (2.0 * deep, 0.0, 0.0), 0.5 * d + fit("peg")))
    edges = [9.0, *places, -9.0]
    how = Printing(
        material=job.make.material,
        wall=0.002,
        infill=job.make.fill,
        fill=job.make.fill,
        stands="lying, layers along it: as its strength was held to"
        if not job.make.standing
        else "standing, across its layers",
        support="" if job.make.standing else "along its underside",
    )
    turn = kernel.rotation((0.0, 1.0, 0.0), -0.5 * np.pi) if job.make.standing else np.eye(3)
    bodies = [
        Body(
            name=f"fuselage-{k}",
            shape=kernel.common(whole, kernel.box((b, -1, -1), (a, 1, 1))),
            printing=how,
            turn=turn,
        )
        for k, (a, b) in enumerate(itertools.pairwise(edges), 1)
    ]
    if places:
        bodies.append(
            peg_body(
                "fuselage-peg",
                float(d),
                2.0 * PEG_DEPTH * d - 0.001,
                job.make.material,
                2 * len(places),
                place=(-0.5 * job.arm, 1.6 * job.diameter, 0.0),
            )
        )
    made = kernel.measure(plain)
    numbers = {"volume": made.volume, "craft_volume": np.pi / 4.0 * job.diameter**2 * job.length, "area": made.area,
               "mass": job.mass, "lengths": len(places) + 1.0,
               "bridged": float(sum(_held_there(job, x) for x in places))}  # fmt: skip
    return Drawing(bodies=tuple(bodies), numbers=numbers, notes=_notes(job, places, low=low))


def cuts(job: FuselageJob) -> list[float]:
    """Return the joints, from the nose aft: away from the mast, where it is bent most, and from the pockets.

    Where the fewest lengths put a joint under a wing, one or two lengths more are tried.
    """
    fewest = _joints(job, 1)
    tries = (fewest, *(_joints(job, len(fewest) + 1 + more) for more in range(1, MORE_LENGTHS + 1)))
    return next((places for places in tries if not any(_in_pocket(job, x) for x in places)), fewest)


def _joints(job: FuselageJob, pieces: int) -> list[float]:
    """Return the joints of at least so many lengths."""
    longest = 0.98 * (job.printer.z if job.make.standing else job.printer.longest(job.diameter))
    down = np.linspace(0.0, job.length, 241)
    x = job.front - down
    ahead = np.clip(1.0 - (x - job.mast) / max(-job.mast, 1e-3), 0.0, 1.0)
    behind = np.clip(1.0 - (job.mast - x) / max(job.arm + job.mast, 1e-3), 0.0, 1.0)
    load = np.where(x > job.mast, ahead, behind)
    load = np.where([_in_pocket(job, one) for one in x], load + 1.0, load)
    load = np.where(np.abs(x - job.mast) < job.socket + 0.01, load + 2.0, load)
    found = split.joints(
        length=job.length, longest=longest, first_longest=longest, least=LEAST_LENGTH, place=down, load=load,
        pieces=pieces,
    )  # fmt: skip
    return [round(job.front - float(v), 4) for v in found]


def _in_pocket(job: FuselageJob, x: float) -> bool:
    """Return whether a place lies in the pocket of wing or stabiliser."""
    edge = 0.012
    return any(
        at - 0.75 * wing.chord(0.0) - edge < x < at + 0.25 * wing.chord(0.0) + edge
        for wing, at in ((job.wing, 0.0), (job.stabiliser, -job.arm))
    )


def _held_there(job: FuselageJob, x: float) -> bool:
    """Return whether a place lies in a pocket or in the socket of the mast."""
    return _in_pocket(job, x) or abs(x - job.mast) < job.socket


def _notes(job: FuselageJob, places: list[float], *, low: bool) -> tuple[str, ...]:
    out = [
        f"Pocket of the wing rigged at {np.degrees(job.wing.incidence):+.1f} deg, of the stabiliser at "
        f"{np.degrees(job.stabiliser.incidence):+.1f} deg, both to the bottom of the board. The wings "
        "drop in from above."
    ]
    if not low:
        out.append("The stabiliser sits clear of the fuselage: it needs a post of its own, which is not drawn.")
    if places:
        told = ", ".join(f"{(job.front - x) * 1e3:.0f}" for x in places)
        out.append(
            f"Joints {told} mm behind its nose, clear of the socket of the mast, where it is bent most; two pegs each."
        )
        if any(_in_pocket(job, x) for x in places):
            out.append(
                "The bed is so short that a joint falls under a wing: the bolts must go through the "
                "wing, which bridges it; a bought tube would be the better fuselage."
            )
    out.append(
        "Pockets take away half of the bar under the wings: the answers take the full bar, which the "
        "glued wing makes up for."
    )
    return tuple(out)


# ---- seats on a tube --------------------------------------------------------


def rise(job: FuselageJob, wing: Wing) -> float:
    """Return how far the plane of a wing lies above the axis of the tube on its seat [m]."""
    lower = float(coordinates(wing.section)[:, 1].min()) * wing.chord(0.0)
    tilt = abs(np.sin(wing.incidence)) * 0.5 * wing.chord(0.0)
    return float(0.5 * job.diameter + LEAST_UNDER - lower + tilt)


def seats(job: FuselageJob) -> Drawing:
    """Draw the seats of wing and stabiliser on a bought tube."""
    beside = -0.75 * job.wing.chord(0.0) - 0.03
    made = [_seat(job, job.wing, 0.0), _seat(job, job.stabiliser, beside - 0.2 * job.stabiliser.chord(0.0))]
    numbers = {"volume": sum(kernel.measure(body.shape).volume for body in made)}
    told = " and ".join(f"{rise(job, w) * 1e3:.0f} mm" for w in (job.wing, job.stabiliser))
    notes = (
        f"They put the wings {told} above the axis of the tube at their rigged angles; hang the tube "
        "as much lower where the plane of the wing is to stay.",
        "The bolts go through wing, seat and tube and carry the load; the seat only spreads it: bed it in epoxy.",
    )
    return Drawing(bodies=tuple(made), numbers=numbers, notes=notes)


def _seat(job: FuselageJob, wing: Wing, x: float) -> Body:
    """Return the seat of a wing whose quarter chord stands at a place."""
    root, r, up = wing.chord(0.0), 0.5 * job.diameter, rise(job, wing)
    fore, aft = 0.18 * root, (SEAT_LENGTH - 0.18) * root
    half = max(r + SEAT_WALL, 0.5 * wing.seat)
    low = -0.35 * r
    block = kernel.round_block((x - aft, -half, low), (x + fore, half, up + 0.12 * root), 0.012)
    tube = kernel.cylinder((x - 2.0 * root, 0.0, 0.0), (4.0 * root, 0.0, 0.0), r + job.printer.fit)
    shape = kernel.cut(block, tube, pocket(wing, x, up, job.printer.fit, 2.0 * half), *_bolts(wing, x))
    shape = kernel.common(shape, kernel.box((x - 1.0, -1.0, -1.0), (x + 1.0, 1.0, up + 0.03 * root)))
    how = Printing(
        material=job.printer.filament, wall=0.002, infill=0.4,
        stands="on its front end: tube and wing side print without support",
    )  # fmt: skip
    return Body(
        name=f"seat-{wing.name}",
        shape=kernel.largest(shape),
        printing=how,
        turn=kernel.rotation((0.0, 1.0, 0.0), 0.5 * np.pi),
    )
