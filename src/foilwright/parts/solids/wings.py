"""Wing and stabiliser: the finished shape, printed lengths, or a printed core under a laminate."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.parts.solids import kernel
from foilwright.parts.solids.kernel import Array, Shape
from foilwright.parts.solids.piece import Body, Drawing, Printing, fit
from foilwright.parts.solids.read import Printer, Wing
from foilwright.shape import foil, split

POINTS = 57
"""Points a side of a section that is lofted smoothly; with fewer the kernel calls some outlines crossed."""
CORE_POINTS = 15
FIRST_BOLT, LAST_BOLT = 0.20, 0.54
"""Places of the first and the last bolt to the fuselage behind the nose, in chords (judgement)."""
PEG_PLACES = (0.22, 0.50)
PEG_SHARE, THICKEST, THINNEST = 0.5, 0.006, 0.002
"""Diameter of a peg over the height of the section there, and its bounds [m]."""
PEG_DEPTH = 2.5
"""Depth of a peg in each piece over its diameter."""
LEAST_LENGTH, LEAST_LYING = 0.04, 0.10
"""Shortest length that is cut, and the shortest for which a surface is laid on the bed [m]."""

ALONG = "lying, layers along the span: as its strength was held to"
ACROSS = "standing on its cut, loaded across its layers"


@dataclass(frozen=True, slots=True, kw_only=True)
class WingJob:
    """A surface and the printer that it is cut up for."""

    wing: Wing
    printer: Printer


def coordinates(section: str, points: int = POINTS, edge: float | None = None) -> Array:
    """Return the outline of a section at chord 1."""
    return np.asarray(foil.section_coordinates(section=section, points=points, trailing_edge=edge))


def solid(wing: Wing) -> Shape:
    """Return the finished surface without holes."""
    return kernel.loft(list(wing.rows(coordinates(wing.section))))


def bolts(wing: Wing) -> list[tuple[float, float]]:
    """Return the places of the bolts from the root's quarter chord, forward, and their holes' diameters [m]."""
    root, d = wing.chord(0.0), fit(f"bolt hole {wing.bolt}")
    places = np.linspace(FIRST_BOLT, LAST_BOLT, wing.bolts) if wing.bolts > 1 else [0.3]
    return [(float(0.25 - place) * root, d) for place in places]


def drilled(shape: Shape, wing: Wing) -> Shape:
    """Return a surface with its bolt holes."""
    deep = 0.5 * wing.chord(0.0)
    return kernel.cut(
        shape, *(kernel.cylinder((x, 0.0, -deep), (0.0, 0.0, 2.0 * deep), 0.5 * d) for x, d in bolts(wing))
    )


def finished(job: WingJob) -> Drawing:
    """Draw the surface as it meets the water."""
    wing = job.wing
    plain = kernel.measure(solid(wing))
    shape = drilled(solid(wing), wing)
    made = kernel.measure(shape)
    numbers = {
        "volume": plain.volume, "craft_volume": wing.volume, "area": made.area, "mass": wing.mass,
        "span": float(made.size[1]),
    }  # fmt: skip
    root = wing.chord(0.0)
    told = " and ".join(f"{(0.25 * root - x) * 1e3:.0f}" for x, _ in bolts(wing))
    notes = (
        f"{wing.bolts} bolts {wing.bolt} hold it on the fuselage, {told} mm behind the nose; countersink "
        "them by the heads you have.",
        "STEP and STL are the skin as the answers take it: to print, mill, mould or measure by.",
    )
    return Drawing(bodies=(Body(name=wing.name, shape=shape, mass=wing.mass),), numbers=numbers, notes=notes)


# ---- printed lengths --------------------------------------------------------


def cuts(job: WingJob, *, tallest: float | None = None, end: float | None = None) -> list[float]:
    """Return the places of the joints of the port half [m]: none in the middle, where it is bent most."""
    wing, half = job.wing, 0.5 * job.wing.span
    end = half if end is None else end
    longest = tallest if tallest is not None else _room(job)
    y = np.linspace(0.0, half, 61)
    found = split.joints(
        length=end,
        longest=longest,
        first_longest=0.5 * longest,
        least=LEAST_LENGTH,
        place=y,
        load=(1.0 - y / half) ** 2,
    )
    return [round(float(v), 4) for v in found if wing.span > longest]


def _lying(job: WingJob) -> float:
    """Return the longest piece that lies on the bed [m]."""
    wing = job.wing
    return 0.98 * job.printer.longest(wing.chord(0.0) + wing.span * 0.25 * np.tan(abs(wing.sweep)))


def upright(job: WingJob) -> bool:
    """Return whether the lengths stand: as the build says, or because the chord leaves no room to lie."""
    return job.wing.make.standing or _lying(job) < LEAST_LYING


def _room(job: WingJob) -> float:
    """Return the longest piece of a surface [m]."""
    return 0.98 * job.printer.z if upright(job) else _lying(job)


def printed(job: WingJob) -> Drawing:
    """Draw the lengths that a printed surface is glued from."""
    wing, printer = job.wing, job.printer
    places = cuts(job)
    pegs: list[Peg] = []
    for y in places:
        pegs += pegs_at(wing, y)
    ends = [-0.5 * wing.span, *(-y for y in places[::-1]), *places, 0.5 * wing.span]
    stands = upright(job)
    turn = kernel.rotation((1.0, 0.0, 0.0), 0.5 * np.pi) if stands else np.eye(3)
    make = wing.make
    how = Printing(
        material=make.material, wall=make.wall, infill=make.infill,
        fill=make.fill,
        pattern=make.pattern,
        stands=ACROSS if stands else ALONG,
        support="" if stands else "under nose and trailing edge, a brim; inside, what carries the roof",
    )  # fmt: skip
    bodies = [
        Body(
            name=f"{wing.name}-{label}",
            shape=_length(wing, coordinates(wing.section), a, b, pegs),
            printing=how,
            turn=_stand(turn, a, b),
        )
        for label, a, b in zip(labels(len(ends) - 1), ends, ends[1:], strict=False)
    ]
    notes = [_told_joints(places, pegs), thin_edge(wing, printer)]
    if stands and not make.standing:
        notes.append(
            "Its chord leaves no room to lie on the bed, so it stands, weak across its layers: write "
            f'{wing.name}.print = "standing" and ask whether it holds.'
        )
    return Drawing(bodies=(*bodies, *peg_bodies(wing, wing.name, pegs, make.material)),
        numbers={"volume": sum(kernel.measure(b.shape).volume for b in bodies), "mass": wing.mass},
        notes=tuple(n for n in notes if n))  # fmt: skip


def _stand(turn: Array, a: float, b: float) -> Array:
    """Return how a length stands: on the end nearer to the middle."""
    flipped = kernel.rotation((1.0, 0.0, 0.0), -0.5 * np.pi)
    return flipped if not np.allclose(turn, np.eye(3)) and a + b < 0.0 else turn


def thin_edge(wing: Wing, printer: Printer) -> str:
    """Return a word on a trailing edge that is thinner than the nozzle's line."""
    end = foil.section_surface(section=wing.section, x=np.array([1.0]))
    edge = float(end.upper_z[0] - end.lower_z[0]) * wing.chord(0.5 * wing.span)
    if edge >= printer.nozzle:
        return ""
    return (
        f"The trailing edge is down to {edge * 1e3:.1f} mm, thinner than one line of the nozzle: "
        "slice it with thin walls allowed and finish it with filler and glass."
    )


def labels(count: int) -> list[str]:
    """Return names of lengths from starboard to port."""
    if count == 1:
        return ["whole"]
    half = count // 2
    middle = ["middle"] if count % 2 else []
    return [f"right-{k}" for k in range(half, 0, -1)] + middle + [f"left-{k}" for k in range(1, half + 1)]


def _length(wing: Wing, section: Array, a: float, b: float, pegs: list[Peg], *, smooth: bool = True) -> Shape:
    """Return what lies between two places along the span, with its holes for pegs and bolts."""
    rows = wing.rows(section)
    y = rows[:, 0, 1]
    inner = np.flatnonzero((y > a + 1e-6) & (y < b - 1e-6))
    shape = kernel.loft([_between(rows, y, a), *rows[inner], _between(rows, y, b)], smooth=smooth)
    for peg in pegs:
        for side in (1.0, -1.0):
            if min(abs(side * peg.y - a), abs(side * peg.y - b)) < 1e-6:
                shape = kernel.cut(shape, peg.hole(side))
    return drilled(shape, wing) if a < 0.0 < b else shape


def _between(rows: Array, y: Array, at: float) -> Array:
    """Return the outline at a place along the span: ruled between stations."""
    k = int(np.clip(np.searchsorted(y, at) - 1, 0, len(y) - 2))
    share = (at - y[k]) / (y[k + 1] - y[k])
    out: Array = rows[k] + share * (rows[k + 1] - rows[k])
    return out


# ---- pegs -------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Peg:
    """A round peg across a joint, port side; it lies along y."""

    x: float
    y: float
    z: float
    diameter: float

    @property
    def depth(self) -> float:
        """Return how deep it sits in each piece [m]."""
        return PEG_DEPTH * self.diameter

    def hole(self, side: float) -> Shape:
        """Return its hole, to port (1) or starboard (-1)."""
        start = (self.x, side * self.y - self.depth, self.z)
        return kernel.cylinder(start, (0.0, 2.0 * self.depth, 0.0), 0.5 * self.diameter + fit("peg"))


def pegs_at(wing: Wing, y: float, under: float = 0.0) -> list[Peg]:
    """Return the pegs of one joint, as thick as what lies so deep under the skin takes; none where it is too thin."""
    made = wing.stations()
    chord = wing.chord(y)
    x0, z0, twist = (float(np.interp(y, made.y[0], values[0])) for values in (made.x, made.z, made.twist))
    out = []
    for place in PEG_PLACES:
        side = foil.section_surface(section=wing.section, x=np.array([place]))
        up, high = (
            0.5 * float(side.upper_z[0] + side.lower_z[0]),
            (float(side.upper_z[0] - side.lower_z[0]) - 2.0 * under) * chord,
        )
        thick = min(THICKEST, np.floor(PEG_SHARE * high * 2000.0) / 2000.0)
        if thick < THINNEST:
            continue
        aft, rise = (place - 0.25) * chord, up * chord
        x = x0 - (aft * np.cos(twist) + rise * np.sin(twist))
        z = z0 + rise * np.cos(twist) - aft * np.sin(twist)
        out.append(Peg(x=x, y=y, z=z, diameter=float(thick)))
    return out


def peg_bodies(wing: Wing, name: str, pegs: list[Peg], material: str) -> list[Body]:
    """Return the pegs to print, one body a size, with a flat to lie on; two of each, port and starboard."""
    sizes, aft = sorted({peg.diameter for peg in pegs}), -0.85 * wing.chord(0.0) - 0.012
    out = []
    for k, d in enumerate(sizes, 1):
        count = 2 * sum(1 for peg in pegs if peg.diameter == d)
        out.append(
            peg_body(f"{name}-peg-{k}", d, 2.0 * PEG_DEPTH * d - 0.001, material, count, place=(aft, 0.02 * k, 0.0))
        )
    return out


def peg_body(
    name: str, diameter: float, length: float, material: str, count: int, *, place: tuple[float, float, float]
) -> Body:
    """Return a peg that lies on a flat: its layers run along it, so that it shears across them."""
    x, y, z = place
    bar = kernel.cylinder((x - 0.5 * length, y, z), (length, 0.0, 0.0), 0.5 * diameter)
    low = z - 0.5 * diameter
    flat = kernel.box((x - length, y - diameter, low - 0.001), (x + length, y + diameter, low + 0.12 * diameter))
    how = Printing(material=material, infill=1.0, stands="lying on its flat, layers along it")
    return Body(name=name, shape=kernel.cut(bar, flat), printing=how, count=count)


def _told_joints(places: list[float], pegs: list[Peg]) -> str:
    if not places:
        return "It fits the printer in one piece."
    told = " and ".join(f"{y * 1e3:.0f}" for y in places)
    with_pegs = "pegs of the print, lying, glued with epoxy" if pegs else "too thin for pegs: butted, glued and taped"
    return f"Joints {told} mm from the middle on either side, none where it is bent most; {with_pegs}."


# ---- cores ------------------------------------------------------------------


def inside(section: str, share: float, points: int = CORE_POINTS) -> tuple[Array, float]:
    """Return the outline that lies equally deep under a section and takes up a share of it, and how deep [chord]."""
    area = float(foil.section_outline(coordinates=coordinates(section)).area)
    low, high = 0.0, 0.5
    for _ in range(40):
        deep = 0.5 * (low + high)
        got = _under(section, deep, points)
        taken = 0.0 if got is None else float(foil.section_outline(coordinates=got).area) / area
        low, high = (deep, high) if taken > share else (low, deep)
    out = _under(section, low, points)
    return (np.zeros((0, 2)) if out is None else out), low


def _under(section: str, deep: float, points: int) -> Array | None:
    """Return the outline at a depth under the skin, blunt at both ends; None where nothing is left."""
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, 401)))
    s = foil.section_surface(section=section, x=x)
    up_x, up_z = _pushed(s.upper_x, s.upper_z, -deep)
    low_x, low_z = _pushed(s.lower_x, s.lower_z, deep)
    grid = np.linspace(0.0, 1.0, 1601)
    top = np.interp(grid, *_rising(up_x, up_z), left=-1.0, right=-1.0)
    bottom = np.interp(grid, *_rising(low_x, low_z), left=1.0, right=1.0)
    left = np.flatnonzero(top - bottom > 0.012)
    if left.size < 40:
        return None
    first, last = grid[left[0]], grid[left[-1]]
    along = first + (last - first) * 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, points)))
    upper = np.column_stack([along, np.interp(along, grid, top)])
    lower = np.column_stack([along, np.interp(along, grid, bottom)])
    return np.concatenate([upper[::-1], lower])


def _pushed(x: Array, z: Array, by: float) -> tuple[Array, Array]:
    dx, dz = np.gradient(x), np.gradient(z)
    long = np.hypot(dx, dz)
    return x - by * dz / long, z + by * dx / long


def _rising(x: Array, z: Array) -> tuple[Array, Array]:
    """Return the part of a curve that runs aft."""
    ahead = np.maximum.accumulate(x)
    kept = np.concatenate([[True], np.diff(ahead) > 0.0])
    return x[kept], z[kept]


def core_height(wing: Wing) -> float:
    """Return how thick the core is at the root [m]; 0 where the laminate fills the section."""
    if wing.make.kind != "laminate" or wing.make.fill >= 1.0:
        return 0.0
    made, _ = inside(wing.section, 1.0 - wing.make.fill)
    if not len(made):
        return 0.0
    n = len(made) // 2
    return float((made[:n][::-1, 1] - made[n:, 1]).max()) * wing.chord(0.0)


def core(job: WingJob) -> Drawing:
    """Draw the core that a laminated surface is laid over: as much of each section as is not laminate."""
    wing, printer = job.wing, job.printer
    made, deep = inside(wing.section, 1.0 - wing.make.fill)
    whole = kernel.loft(list(wing.rows(made)), smooth=False)
    places = cuts(job, tallest=0.98 * printer.z)
    pegs = [peg for y in places for peg in pegs_at(wing, y, deep)]
    ends = [-0.5 * wing.span, *(-y for y in places[::-1]), *places, 0.5 * wing.span]
    how = Printing(
        material=printer.filament, wall=2.0 * printer.nozzle, infill=0.08,
        stands="standing on its cut: the laminate carries the load, the core its shape",
    )  # fmt: skip
    up = kernel.rotation((1.0, 0.0, 0.0), 0.5 * np.pi)
    bodies = [
        Body(
            name=f"{wing.name}-core-{label}",
            shape=_length(wing, made, a, b, pegs, smooth=False),
            printing=how,
            turn=_stand(up, a, b),
        )
        for label, a, b in zip(labels(len(ends) - 1), ends, ends[1:], strict=False)
    ]
    outer, inner = kernel.measure(solid(wing)).volume, kernel.measure(whole).volume
    mean = wing.area / wing.span
    notes = (
        f"Laminate lies {deep * mean * 1e3:.1f} mm thick on it at the mean chord "
        f"({deep * wing.chord(0.0) * 1e3:.1f} mm at the root): {wing.make.fill:.0%} of the section, "
        "as the answers take it. Sand to the gauges.",
        "The mass of the core is not in the computed mass of the craft; weigh the finished part and write it down.",
        _told_joints(places, pegs),
    )  # fmt: skip
    numbers = {
        "volume": inner, "laminate_mass": (outer - inner) * wing.make.density, "mass": wing.mass,
    }  # fmt: skip
    return Drawing(
        bodies=(*bodies, *peg_bodies(wing, f"{wing.name}-core", pegs, printer.filament)), numbers=numbers, notes=notes
    )
