"""The mast: printed lengths with their channels, flange and socket, or the shape of one that is laid up."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from foilwright.parts.solids import kernel
from foilwright.parts.solids.kernel import Array, Shape
from foilwright.parts.solids.piece import Body, Drawing, Printing, fit
from foilwright.parts.solids.read import Base, Mast, Printer
from foilwright.parts.solids.wings import PEG_DEPTH, POINTS, coordinates, inside, peg_body
from foilwright.shape import foil, split

DUCT_PLACE = 0.30
"""Place of the duct behind the nose, in chords: that of the answers."""
TIE_PLACES = (0.20, 0.44, 0.56, 0.14, 0.38, 0.50)
"""Places of tie rods behind the nose, in chords, in the order in which they are taken (judgement)."""
PEGS_APART = 0.24
"""Distance of the outermost pegs, in chords: that of the answers."""
COLLAR, SPREAD = 0.025, 0.010
"""Height and width of the slope where the mast meets its flange [m]."""
SLEEVE_WALL = 0.006
SLEEVE_PLACE = 0.45
SLEEVE_BOLT = "M5"
LEAST_LENGTH = 0.06


@dataclass(frozen=True, slots=True, kw_only=True)
class MastJob:
    """The mast, its flange and the printer."""

    mast: Mast
    base: Base
    printer: Printer


def section(mast: Mast, z: float, *, grown: float = 0.0, points: int = POINTS) -> Array:
    """Return the outline at a height, nose at x = 0, grown square to its skin [m]."""
    flat = coordinates(mast.section, points) * mast.chord
    if grown:
        step = np.gradient(flat, axis=0)
        step /= np.linalg.norm(step, axis=1, keepdims=True)
        flat = flat + grown * np.column_stack([step[:, 1], -step[:, 0]])
    return np.column_stack([-flat[:, 0], flat[:, 1], np.full(len(flat), z)])


def solid(mast: Mast) -> Shape:
    """Return the mast without holes, from the bottom of the board (z = 0) to the plane of the wing."""
    return kernel.prism(section(mast, -mast.length), (0.0, 0.0, mast.length), smooth=True)


def finished(job: MastJob) -> Drawing:
    """Draw the outside of a mast that is not printed."""
    mast = job.mast
    shape = solid(mast)
    made = kernel.measure(shape)
    notes = ("The outside as the answers take it: for a plug, a mould or a milled core.",)
    numbers = {"volume": made.volume, "craft_volume": mast.volume, "area": made.area, "mass": mast.mass}
    return Drawing(bodies=(Body(name="mast", shape=shape, mass=mast.mass),), numbers=numbers, notes=notes)


# ---- what is inside ---------------------------------------------------------


def channels(mast: Mast) -> list[Shape]:
    """Return the holes for rods, bar and duct, all the way through."""
    low, up = -mast.length - 0.05, np.array([0.0, 0.0, mast.length + 0.1])
    gap = fit("rod")
    out = [kernel.cylinder((-x, 0.0, low), up, 0.5 * mast.rod + gap) for x in mast.rods]
    if mast.duct > 0.0:
        out.append(kernel.cylinder((-DUCT_PLACE * mast.chord, 0.0, low), up, 0.5 * mast.duct))
    out += [kernel.cylinder((-x, 0.0, low), up, 0.5 * fit(f"bolt hole {mast.tie}")) for x in ties(mast)]
    if mast.plate:
        x, wide, thick = mast.plate
        out.append(
            kernel.box(
                (-x - 0.5 * wide - gap, -0.5 * thick - gap, low), (-x + 0.5 * wide + gap, 0.5 * thick + gap, 0.05)
            )
        )
    return out


def ties(mast: Mast) -> list[float]:
    """Return the places of the threaded rods behind the nose [m]: clear of the duct as far as they can be."""
    return [share * mast.chord for share in TIE_PLACES[: mast.ties]]


def room(mast: Mast, place: float) -> float:
    """Return the thickness of the section at a distance behind the nose [m]."""
    side = foil.section_surface(section=mast.section, x=np.array([place / mast.chord]))
    return float(side.upper_z[0] - side.lower_z[0]) * mast.chord


def tight(mast: Mast) -> list[str]:
    """Return words on channels that leave too little skin."""
    told = [(f"a rod of {mast.rod * 1e3:.0f} mm", x, mast.rod) for x in mast.rods]
    if mast.duct > 0.0:
        told.append((f"the duct of {mast.duct * 1e3:.0f} mm", DUCT_PLACE * mast.chord, mast.duct))
    if mast.plate:
        told.append((f"the bar of {mast.plate[2] * 1e3:.0f} mm", mast.plate[0], mast.plate[2]))
    told += [(f"a tie rod {mast.tie}", x, fit(f"bolt hole {mast.tie}")) for x in ties(mast)]
    if mast.pegs:
        told += [
            (f"a peg of {mast.peg[0] * 1e3:.0f} mm", place * mast.chord, mast.peg[0]) for place in peg_places(mast)
        ]
    skin = fit("skin")
    return [
        f"Beside {name} only {max(0.5 * (room(mast, x) - thick), 0.0) * 1e3:.1f} mm of print stay on each side."
        for name, x, thick in told
        if 0.5 * (room(mast, x) - thick) < skin
    ]


# ---- printed ----------------------------------------------------------------


def cuts(job: MastJob) -> list[float]:
    """Return the distances of the joints below the board [m]."""
    mast, room_up = job.mast, 0.98 * job.printer.z
    longest = room_up if mast.make.standing else 0.98 * job.printer.longest(mast.chord)
    found = split.joints(
        length=mast.length + sleeve_radius(mast), longest=longest, first_longest=longest, least=LEAST_LENGTH,
        place=np.array(mast.place), load=np.array(mast.load), pieces=mast.pieces,
    )  # fmt: skip
    return [round(float(v), 4) for v in found]


def sleeve_radius(mast: Mast) -> float:
    """Return the outer radius of the socket for the fuselage [m]."""
    return 0.5 * mast.fuselage + fit("rod") + SLEEVE_WALL


def printed(job: MastJob) -> Drawing:
    """Draw the lengths of a printed mast: flange at the head, channels through, socket at the foot."""
    mast, base, printer = job.mast, job.base, job.printer
    flange = base.make.printed and printer.lies(base.length, base.width)
    whole = _with_socket(mast, _with_flange(mast, base) if flange else solid(mast))
    whole = kernel.cut(whole, *channels(mast))
    places = cuts(job)
    held = mast.rods or mast.plate or mast.pegs or mast.ties
    pegs = [] if held else [p for y in places for p in _pegs(mast, y)]
    if mast.pegs:
        whole = kernel.cut(whole, *_metal_pegs(mast, places))
    for x, down, d in pegs:
        deep = PEG_DEPTH * d
        hole = kernel.cylinder((x, 0.0, -down - deep), (0.0, 0.0, 2.0 * deep), 0.5 * d + fit("peg"))
        whole = kernel.cut(whole, hole)
    edges = [1.0, *(-y for y in places), -2.0]
    make = mast.make
    how = Printing(
        material=make.material, wall=make.wall, infill=make.infill,
        fill=make.fill, pattern=make.pattern,
        stands="standing, loaded across its layers" if make.standing else "lying, layers along it",
        support="" if make.standing else "under its nose",
    )  # fmt: skip
    flip, flat = np.diag([1.0, -1.0, -1.0]), kernel.rotation((1.0, 0.0, 0.0), 0.5 * np.pi)
    bodies = []
    for k, (top, low) in enumerate(itertools.pairwise(edges), 1):
        shape = kernel.common(whole, kernel.box((-1.0, -1.0, low), (1.0, 1.0, top)))
        last = k == len(edges) - 1
        own = how if not last or not make.standing else _foot(how)
        turn = flip if make.standing and not last else np.eye(3) if make.standing else flat
        bodies.append(Body(name=f"mast-{k}", shape=shape, printing=own, turn=_upside(turn, last=last)))
    bodies += _peg_bodies(pegs, make.material)
    plain = kernel.measure(solid(mast))
    numbers = {
        "volume": plain.volume, "craft_volume": mast.volume, "area": plain.area, "mass": mast.mass,
        "lengths": len(places) + 1.0, "stated": float(mast.pieces),
    }  # fmt: skip
    return Drawing(bodies=tuple(bodies), numbers=numbers, notes=tuple(_notes(job, places, pegs, flange=flange)))


def _upside(turn: Array, *, last: bool) -> Array:
    """Return how a length stands: the head on its flange, the others on their upper cut, the foot on its cut too."""
    return np.diag([1.0, -1.0, -1.0]) if last and np.allclose(turn, np.eye(3)) else turn


def _foot(how: Printing) -> Printing:
    return Printing(
        material=how.material, wall=how.wall, infill=how.infill, pattern=how.pattern, stands=how.stands,
        support="under the ends of the socket",
    )  # fmt: skip


def _with_flange(mast: Mast, base: Base) -> Shape:
    """Return mast and flange as one, with a slope between them that takes the notch out."""
    plate = flange_plate(mast, base)
    t, far = base.thickness, COLLAR
    slope = kernel.loft([section(mast, -t, grown=SPREAD), section(mast, -t - far, grown=0.0)])
    rim = kernel.box((-0.5 * mast.chord - 0.5 * base.length, -0.5 * base.width, -t - far),
                     (-0.5 * mast.chord + 0.5 * base.length, 0.5 * base.width, 0.0))  # fmt: skip
    made = kernel.join(plate, kernel.common(slope, rim), solid(mast))
    return kernel.cut(made, *bolt_heads(mast, base))


def bolt_heads(mast: Mast, base: Base) -> list[Shape]:
    """Return room for the heads and washers of the bolts where the slope would be in their way."""
    t = base.thickness
    return [
        kernel.cylinder(
            (x - 0.5 * mast.chord, y, -t - 2.0 * COLLAR), (0.0, 0.0, 2.0 * COLLAR), 0.5 * base.washer + 0.0005
        )
        for x, y in base.holes()
        if abs(y) < 0.5 * base.washer + SPREAD + 0.5 * room(mast, 0.3 * mast.chord)
    ]


def flange_plate(mast: Mast, base: Base) -> Shape:
    """Return the plate of the flange with its holes, under the board."""
    x, t = -0.5 * mast.chord, base.thickness
    low = (x - 0.5 * base.length, -0.5 * base.width, -t)
    plate = kernel.round_block(low, (x + 0.5 * base.length, 0.5 * base.width, 0.0), 0.012)
    d = fit(f"bolt hole {base.size}")
    holes = [kernel.cylinder((x + a, b, -2.0 * t), (0.0, 0.0, 4.0 * t), 0.5 * d) for a, b in base.holes()]
    return kernel.cut(plate, *holes)


def _with_socket(mast: Mast, shape: Shape) -> Shape:
    """Return the mast with a sleeve at its foot that takes the fuselage, and two cross bolts."""
    r, half = sleeve_radius(mast), max(mast.socket, 0.5 * mast.chord - 0.02)
    x, z = -SLEEVE_PLACE * mast.chord, -mast.length
    sleeve = kernel.cylinder((x - half, 0.0, z), (2.0 * half, 0.0, 0.0), r)
    bore = kernel.cylinder((x - half - 0.2, 0.0, z), (2.0 * half + 0.4, 0.0, 0.0), 0.5 * mast.fuselage + fit("rod"))
    d = fit(f"bolt hole {SLEEVE_BOLT}")
    cross = [kernel.cylinder((x + s * 0.75 * half, -2.0 * r, z), (0.0, 4.0 * r, 0.0), 0.5 * d) for s in (1.0, -1.0)]
    return kernel.cut(kernel.join(shape, sleeve), bore, *cross)


def peg_places(mast: Mast) -> list[float]:
    """Return the places of the pegs of metal behind the nose, in chords: about the duct."""
    half = 0.5 * PEGS_APART if mast.pegs > 1 else 0.0
    return [float(v) for v in DUCT_PLACE + np.linspace(-half, half, mast.pegs)]


def _metal_pegs(mast: Mast, places: list[float]) -> list[Shape]:
    d, deep = mast.peg
    return [
        kernel.cylinder((-place * mast.chord, 0.0, -y - deep), (0.0, 0.0, 2.0 * deep), 0.5 * d + fit("rod"))
        for y in places
        for place in peg_places(mast)
    ]


def _pegs(mast: Mast, down: float) -> list[tuple[float, float, float]]:
    """Return place, depth and diameter of the pegs of a joint, clear of the duct."""
    out = []
    for place in (0.16, 0.48):
        d = min(0.006, np.floor(0.45 * room(mast, place * mast.chord) * 2000.0) / 2000.0)
        apart = abs(place - DUCT_PLACE) * mast.chord
        if d >= 0.002 and apart > 0.5 * (mast.duct + d) + 0.001:
            out.append((-place * mast.chord, down, float(d)))
    return out


def _peg_bodies(pegs: list[tuple[float, float, float]], material: str) -> list[Body]:
    return [
        peg_body(f"mast-peg-{k}", d, 2.0 * PEG_DEPTH * d - 0.001, material, sum(1 for p in pegs if p[2] == d),
                 place=(0.06, 0.06, -0.05 * k))
        for k, d in enumerate(sorted({p[2] for p in pegs}), 1)
    ]  # fmt: skip


def _notes(job: MastJob, places: list[float], pegs: list[tuple[float, float, float]], *, flange: bool) -> list[str]:
    mast = job.mast
    out = tight(mast)
    if places:
        load = np.interp(places, mast.place, mast.load)
        told = " and ".join(f"{y * 1e3:.0f}" for y in places)
        out.append(
            f"Joints {told} mm below the board; the load there is up to "
            f"{load.max() / max(mast.load):.0%} of that at the board."
        )
        held = mast.length / max(mast.pieces, 1)
        if len(places) + 1 > mast.pieces:
            out.append(
                f"The printer needs {len(places) + 1} lengths, the build says {mast.pieces}: write mast.pieces = "
                f"{len(places) + 1} and ask whether it holds."
            )
        elif places[0] < held - 1e-4:
            out.append(f"The answers took the first joint {held * 1e3:.0f} mm below the board; here it is nearer.")
        out.append(_lined_up(mast, printed=bool(pegs)))
    if not flange:
        out.append("Its flange is a part of its own.")
    d = SLEEVE_BOLT
    out.append(f"Two {d} bolts cross the socket and the fuselage; drill the fuselage through the socket.")
    return out


def _lined_up(mast: Mast, *, printed: bool) -> str:
    """Return what lines the joints up."""
    if mast.pegs:
        d, deep = mast.peg
        return (
            f"{mast.pegs} pegs of stainless rod in each joint, {d * 1e3:.0f} mm thick and {2e3 * deep:.0f} mm long, "
            "bought and glued with epoxy."
        )
    if mast.ties:
        return f"{mast.ties} threaded rods {mast.tie} run all along and press the lengths together."
    if printed:
        return "Pegs line the joints up; print them lying, glue with epoxy. The answers do not count on them."
    return "Rods or bar run through every joint and line it up."


# ---- core -------------------------------------------------------------------


def core(job: MastJob) -> Drawing:
    """Draw the core of a laminated mast: what of the section is not laminate."""
    mast, printer = job.mast, job.printer
    made, deep = inside(mast.section, 1.0 - mast.make.fill)
    flat = np.column_stack([-made[:, 0] * mast.chord, made[:, 1] * mast.chord, np.full(len(made), -mast.length)])
    whole = kernel.prism(flat, (0.0, 0.0, mast.length))
    longest = 0.98 * printer.z
    places = split.joints(
        length=mast.length, longest=longest, first_longest=longest, least=LEAST_LENGTH, place=np.array(mast.place),
        load=np.array(mast.load),
    )  # fmt: skip
    edges = [1.0, *(-float(y) for y in places), -2.0]
    how = Printing(
        material=printer.filament, wall=2.0 * printer.nozzle, infill=0.08,
        stands="standing: the laminate carries the load, the core its shape",
    )  # fmt: skip
    bodies = [
        Body(name=f"mast-core-{k}", shape=kernel.common(whole, kernel.box((-1, -1, b), (1, 1, a))), printing=how)
        for k, (a, b) in enumerate(itertools.pairwise(edges), 1)
    ]
    inner = kernel.measure(whole).volume
    notes = (
        f"Laminate lies {deep * mast.chord * 1e3:.1f} mm thick on it: {mast.make.fill:.0%} of the section.",
        "Bed the leads in a groove sanded along it before the last side is closed. Butt the lengths, "
        "glue and tape them.",
    )
    numbers = {"volume": inner, "laminate_mass": (mast.volume - inner) * mast.make.density, "mass": mast.mass}
    return Drawing(bodies=tuple(bodies), numbers=numbers, notes=notes)
