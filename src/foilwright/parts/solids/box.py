"""The watertight box: tub with rim, channel of the seal and bosses, and its lid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.parts.solids import kernel, read
from foilwright.parts.solids.kernel import Array, Shape
from foilwright.parts.solids.piece import Body, Drawing, Printing, fit
from foilwright.parts.solids.read import Make, Printer
from foilwright.parts.solids.wings import PEG_DEPTH, peg_body

RIM = 0.012
"""Least thickness of the rim [m]."""
UNDER = 0.003
"""Least rim under the channel of the seal [m]."""
LAND = 0.003
"""Rim left beside the channel of the seal [m]."""
CORNER = 0.020
SCREW = 0.005
"""Screw where the build names no insert [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxJob:
    """The box; lengths in metres."""

    printer: Printer
    wall: Make
    lid: Make
    lid_length: float  # between its rows of fastenings
    lid_width: float
    lid_thickness: float
    wall_thickness: float
    depth: float  # inside, from rim to floor
    channel: float  # width of the seal's channel
    channel_depth: float
    cord: bool
    screws: int  # 0: latches or clamps
    through: bool
    insert: float  # diameter, 0: none
    insert_length: float
    clearance: float
    part: str  # name of the listed part that is this box
    volume: float  # m^3, of that part
    mass: float  # kg, of that part

    @property
    def boss(self) -> float:
        """Return the radius of a boss [m]."""
        return max(0.9 * (self.insert or SCREW), 0.005)

    @property
    def screw(self) -> float:
        """Return the diameter of the screws [m]."""
        if not self.insert:
            return SCREW
        return 0.004 if self.insert < 0.0065 else 0.005

    def outside(self) -> tuple[float, float]:
        """Return length and width of rim and lid [m]."""
        more = 2.0 * (self.boss + 0.002) if self.screws else 0.012
        return self.lid_length + more, self.lid_width + more

    def opening(self) -> tuple[float, float]:
        """Return length and width of the opening [m]."""
        less = 2.0 * ((self.boss if self.screws else 0.0) + self.channel + 2.0 * LAND)
        return self.lid_length - less, self.lid_width - less

    def rim(self) -> float:
        """Return the thickness of the rim [m]."""
        return max(RIM, self.channel_depth + UNDER)

    def room(self) -> float:
        """Return the room inside, below the rim [m^3]."""
        return _area(self.opening(), CORNER) * self.depth

    def around(self) -> float:
        """Return the volume of tub and lid as the hull's foam meets them [m^3]."""
        tub = _area([side + 2.0 * self.wall_thickness for side in self.opening()], CORNER + self.wall_thickness)
        top = _area(self.outside(), CORNER + self.channel)
        return tub * (self.depth + self.wall_thickness - self.rim()) + top * (self.rim() + self.lid_thickness)

    def tub_mass(self) -> float:
        """Return the mass of the finished tub, rim and all [kg]: a printed former and what is laid over it."""
        shell = max(
            self.around() - self.room() - _area(self.outside(), CORNER + self.channel) * self.lid_thickness, 0.0
        )
        rim = _area(self.outside(), CORNER + self.channel) - _area(self.opening(), CORNER)
        if self.wall.kind != "laminate":
            return shell * self.wall.density
        former = (shell - rim * self.rim()) * min(fit("tub") / self.wall_thickness, 1.0) + rim * self.rim()
        return former * read.density(self.printer.filament) + (shell - former) * self.wall.density

    def lid_mass(self) -> float:
        """Return the mass of the lid [kg]."""
        return _area(self.outside(), CORNER + self.channel) * self.lid_thickness * self.lid.density

    def fastenings(self) -> Array:
        """Return the places of the screws, evenly round the lid (n, 2) [m]."""
        a, b = 0.5 * self.lid_length, 0.5 * self.lid_width
        ring = np.array([[a, 0.0], [a, b], [-a, b], [-a, -b], [a, -b], [a, 0.0]])
        down = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(ring, axis=0)).sum(axis=1))])
        at = down[-1] * (np.arange(self.screws) + 0.5) / max(self.screws, 1)
        return np.column_stack([np.interp(at, down, ring[:, k]) for k in (0, 1)])


def _area(size: Sequence[float], corner: float) -> float:
    """Return the area of a rectangle with round corners [m^2]."""
    return float(size[0] * size[1] - (4.0 - np.pi) * corner * corner)


def slab(size: tuple[float, float], low: float, high: float, corner: float) -> Shape:
    """Return a slab with round corners from one height to another."""
    a, b = 0.5 * size[0], 0.5 * size[1]
    return kernel.round_block((-a, -b, low), (a, b, high), max(corner, 0.001))


def tub(job: BoxJob) -> Drawing:
    """Draw the tub, in as many pieces as the bed asks for."""
    wall = fit("tub") if job.wall.kind == "laminate" else job.wall_thickness
    opening, outside, rim = job.opening(), job.outside(), job.rim()
    around = (opening[0] + 2.0 * wall, opening[1] + 2.0 * wall)
    shape = kernel.join(
        slab(around, -job.depth - wall, 0.0, CORNER + wall), slab(outside, -rim, 0.0, CORNER + job.channel)
    )
    places = job.fastenings() if job.screws else np.zeros((0, 2))
    if job.screws and not job.through:
        shape = kernel.join(
            shape,
            *(
                kernel.cylinder((x, y, 0.0), (0.0, 0.0, -max(rim, job.insert_length + 0.005)), job.boss)
                for x, y in places
            ),
        )
    shape = kernel.cut(shape, slab(opening, -job.depth, 0.1, CORNER), _channel(job), *_screw_holes(job, places))
    return _split(job, shape, outside, wall)


def _screw_holes(job: BoxJob, places: Array) -> list[Shape]:
    if job.through or not job.insert:
        d, deep = job.screw + 0.0005, 0.2
    else:
        d, deep = job.insert - fit("insert"), job.insert_length + 0.002
    return [kernel.cylinder((x, y, 0.05), (0.0, 0.0, -0.05 - deep), 0.5 * d) for x, y in places]


def _channel(job: BoxJob) -> Shape:
    """Return the room of the seal in the rim: it shuts on the rim when the seal is squeezed as meant."""
    a, b = job.opening()
    low = (a + 2.0 * LAND, b + 2.0 * LAND)
    wide = (low[0] + 2.0 * job.channel, low[1] + 2.0 * job.channel)
    outer = slab(wide, -job.channel_depth, 0.02, CORNER + LAND + job.channel)
    return kernel.cut(outer, slab(low, -0.1, 0.1, CORNER + LAND))


def _split(job: BoxJob, shape: Shape, outside: tuple[float, float], wall: float) -> Drawing:
    """Return the tub in pieces."""
    printed = job.wall.printed or job.wall.kind == "laminate"
    material = job.wall.material if job.wall.printed else job.printer.filament
    upright = "rim down: the channel prints on the bed, no support but under the bosses' ends"
    how = Printing(material=material, wall=wall, infill=1.0, stands=upright) if printed else None
    nx = next(n for n in range(1, 9) if job.printer.lies(outside[0] / n, min(outside[1], job.printer.y)))
    ny = next(n for n in range(1, 9) if job.printer.lies(outside[0] / nx, outside[1] / n))
    xs, ys = (np.linspace(-0.5, 0.5, n + 1) * side for n, side in ((nx, outside[0]), (ny, outside[1])))
    pegged = wall >= 0.003
    if printed and pegged and nx * ny > 1:
        shape = kernel.cut(shape, *_peg_holes(job, xs[1:-1], ys[1:-1]))
    flip = np.diag([1.0, -1.0, -1.0])
    bodies = []
    pieces = [(i, j) for i in range(nx) for j in range(ny)] if printed else [(0, 0)]
    for k, (i, j) in enumerate(pieces, 1):
        part = shape
        if printed and len(pieces) > 1:
            part = kernel.common(shape, kernel.box((xs[i], ys[j], -1.0), (xs[i + 1], ys[j + 1], 1.0)))
        bodies.append(Body(name=f"box-{k}" if len(pieces) > 1 else "box", shape=part, printing=how, turn=flip))
    if printed and pegged and len(pieces) > 1:
        count = 2 * (2 * (nx - 1) + 2 * (ny - 1))
        bodies.append(
            peg_body(
                "box-peg", PEG, 2.0 * PEG_DEPTH * PEG - 0.001, material, count, place=(0.0, 0.62 * outside[1], 0.0)
            )
        )
    room = job.room()
    notes = [_shuts(job), f"Room inside, below the rim: {room * 1e3:.1f} L.", *_part(job)]
    if job.wall.kind == "laminate":
        notes.append(
            f"The print is the former, {wall * 1e3:.1f} mm thin; {job.wall.material} is laid over it outside to "
            f"{job.wall_thickness * 1e3:.1f} mm in all. Joints are taped and glued; the laminate seals them."
        )
    elif not printed:
        notes.append(f"The tub is {job.wall.material}: STEP and STL for the shop that makes it.")
    elif len(pieces) > 1:
        notes.append(
            "Glue the pieces on a flat plate, rim down, with epoxy; then fillet every seam inside: prints leak."
        )
    notes.append("Test it empty under water before a cell goes in.")
    volume = kernel.measure(shape).volume
    numbers = {
        "volume": volume,
        "room": room,
        "around": job.around(),
        "craft_around": job.volume,
        "mass": job.tub_mass(),
    }
    return Drawing(bodies=tuple(bodies), numbers=numbers, notes=tuple(notes))


PEG = 0.0025


def _peg_holes(job: BoxJob, xs: Array, ys: Array) -> list[Shape]:
    """Return holes of pegs in the rim across every joint."""
    a, b = job.opening()
    z, r, deep = -0.75 * job.rim(), 0.5 * PEG + fit("peg"), PEG_DEPTH * PEG
    beside = 0.5 * (LAND + job.channel)
    out = [
        kernel.cylinder((x - deep, s * (0.5 * b + beside), z), (2.0 * deep, 0.0, 0.0), r)
        for x in xs
        for s in (1.0, -1.0)
    ]
    return out + [
        kernel.cylinder((s * (0.5 * a + beside), y - deep, z), (0.0, 2.0 * deep, 0.0), r)
        for y in ys
        for s in (1.0, -1.0)
    ]


def _part(job: BoxJob) -> list[str]:
    """Return how tub and lid compare with the listed part that they are."""
    if job.volume <= 0.0:
        return ["No sealed part in the hull is listed that this could be: list it, with its volume and mass."]
    return [
        f"Tub and lid take up {job.around() * 1e3:.1f} L, {job.around() / job.volume - 1.0:+.1%} from the part "
        f"{job.part}; they weigh some {job.tub_mass() + job.lid_mass():.1f} kg of its {job.mass:.1f} kg."
    ]


def _shuts(job: BoxJob) -> str:
    kind = "cord" if job.cord else "strip"
    return (
        f"The channel takes the {kind}: {job.channel * 1e3:.1f} mm wide, "
        f"{job.channel_depth * 1e3:.1f} mm deep; lid and rim meet when it is squeezed as the answers take it."
    )


def lid(job: BoxJob) -> Drawing:
    """Draw the lid."""
    size = job.outside()
    shape = slab(size, 0.0, job.lid_thickness, CORNER + job.channel)
    if job.screws:
        d = job.screw + job.clearance
        shape = kernel.cut(
            shape, *(kernel.cylinder((x, y, -0.1), (0.0, 0.0, 0.3), 0.5 * d) for x, y in job.fastenings())
        )
    made = kernel.measure(shape)
    mass = made.volume * job.lid.density
    held = f"{job.screws} screws of {job.screw * 1e3:.0f} mm" if job.screws else "latches or clamps, which are bought"
    notes = (
        f"{job.lid.material.capitalize()}, {job.lid_thickness * 1e3:.1f} mm, held by {held}; drill it through the rim.",
    )
    printed = job.lid.printed and job.printer.lies(*size)
    how = Printing(material=job.lid.material, wall=0.002, infill=1.0, stands="flat") if printed else None
    return Drawing(bodies=(Body(name="lid", shape=shape, printing=how, mass=mass),),
                   numbers={"mass": mass, "area": made.area, "volume": made.volume}, notes=notes)  # fmt: skip
