"""What the makers of solids are told: plain values of one craft, so that a piece knows what it rests on."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from foilwright.craft import Craft, Surface
from foilwright.craft.structure import Seat, Shell
from foilwright.parts.solids.kernel import Array
from foilwright.physics import beam
from foilwright.questions.state import State
from foilwright.questions.state.structure.stuff import kind
from foilwright.shape import foil, split

Floats = tuple[float, ...]
SLACK = 1e-6
"""What two lengths may differ by and still be the same [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printer:
    """Room and nozzle of the printer, and what is printed where no table names a print."""

    x: float  # m, free strip taken off
    y: float
    z: float
    nozzle: float
    fit: float  # m, on each side
    filament: str

    def lies(self, length: float, width: float) -> bool:
        """Return whether a footprint fits on the bed, turned as it likes."""
        room = {"bed_length": np.asarray(self.x + SLACK), "bed_width": np.asarray(self.y + SLACK)}
        return bool(split.turned_fit(length=np.asarray(length), width=np.asarray(width), **room))

    def longest(self, width: float) -> float:
        """Return the longest footprint of a width [m]."""
        room = {"bed_length": np.asarray(self.x), "bed_width": np.asarray(self.y)}
        return float(split.longest_turned(width=np.asarray(width), **room))


@dataclass(frozen=True, slots=True, kw_only=True)
class Make:
    """What a part is made of, and how it is printed or laid up."""

    material: str
    kind: str  # print, laminate, metal, wood
    density: float
    fill: float
    wall: float  # m, at its mean chord
    infill: float
    pattern: str
    standing: bool

    @property
    def printed(self) -> bool:
        """Return whether it comes from the printer."""
        return self.kind == "print"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wing:
    """A lifting surface; lengths in metres, angles in radians."""

    name: str
    section: str
    area: float
    span: float
    taper: float
    sweep: float
    dihedral: float
    twist: float
    incidence: float
    x: float  # quarter chord of the root, from the tail
    z: float
    mass: float  # kg, of the craft
    volume: float  # m^3, of the craft
    make: Make
    bolts: int
    bolt: str  # their thread
    seat: float  # m, its seat on the fuselage, across

    def rows(self, coordinates: Array, *, both: bool = True) -> Array:
        """Return the outlines at the stations that the models use, from starboard to port tip (m, k, 3)."""
        port = foil.loft(stations=self.stations(), coordinates=coordinates)[0]
        return np.concatenate([port[:0:-1] * [1.0, -1.0, 1.0], port]) if both else port

    def stations(self) -> foil.Stations:
        """Return the stations of the port half."""
        return foil.stations(
            area=np.array([self.area]), span=np.array([self.span]), taper=np.array([self.taper]),
            sweep=np.array([self.sweep]), dihedral=np.array([self.dihedral]), twist=np.array([self.twist]),
        )  # fmt: skip

    def chord(self, y: float) -> float:
        """Return the chord at a distance from the middle [m]."""
        made = self.stations()
        return float(np.interp(abs(y), made.y[0], made.chord[0]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Mast:
    """The strut, its spar and its load."""

    section: str
    length: float
    chord: float
    mass: float
    volume: float
    make: Make
    pieces: int
    duct: float
    rods: Floats  # places behind the nose [m]
    rod: float  # diameter
    plate: Floats  # place behind the nose, width, thickness; empty: none
    place: Floats  # below the board
    load: Floats  # what of the strength is used there, over the most that is used anywhere
    socket: float
    fuselage: float  # diameter
    pegs: int  # of metal in each joint, 0: none
    peg: Floats  # diameter, depth in each length
    ties: int  # threaded rods all along, 0: none
    tie: str  # their thread

    def unloaded(self) -> Mast:
        """Return the same mast for pieces that no load has a say in."""
        return replace(self, place=(), load=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """The flange of the mast."""

    make: Make
    length: float
    width: float
    thickness: float
    bolts: int
    size: str
    pitch_x: float
    pitch_y: float
    washers: str
    washer: float  # diameter of a large one

    def holes(self) -> Array:
        """Return the places of the bolts about the middle of the flange (n, 2), x forward [m]."""
        along = np.linspace(0.5, -0.5, max(self.bolts // 2, 2)) * self.pitch_x
        return np.array([(x, side * 0.5 * self.pitch_y) for x in along for side in (1.0, -1.0)])


def sealed(craft: Craft) -> tuple[str, float, float]:
    """Return name, volume [m^3] and mass [kg] of the largest sealed part in the hull; volume 0 where there is none."""
    parts = craft.parts
    if not parts.names:
        return "", 0.0, 0.0
    room = np.where(parts.in_hull[0] & parts.sealed[0], np.nan_to_num(parts.volume[0]), 0.0)
    k = int(room.argmax())
    return parts.names[k], float(room[k]), float(parts.mass[0, k])


def printer(craft: Craft) -> Printer:
    """Return the printer of the workshop."""
    w = craft.workshop
    edge = float(w.bed_edge[0])
    return Printer(
        x=float(w.bed_x[0]) - 2.0 * edge, y=float(w.bed_y[0]) - 2.0 * edge, z=float(w.bed_z[0]),
        nozzle=float(w.nozzle[0]), fit=float(w.fit[0]), filament=w.filament[0],
    )  # fmt: skip


def wing(state: State, name: str) -> Wing:
    """Return wing or stabiliser."""
    surface: Surface = getattr(state.craft, name)
    shell: Shell = getattr(state.craft.structure, name)
    seat: Seat = getattr(state.craft.structure.fixings, name)
    piece = state.weights.masses.pieces[name]
    mean = float(surface.area[0] / surface.span[0])
    return Wing(
        name=name, section=surface.section[0], incidence=float(surface.incidence[0]),
        **{k: float(getattr(surface, k)[0]) for k in ["area", "span", "taper", "sweep", "dihedral", "twist", "x", "z"]},
        mass=float(piece.mass[0]), volume=float(piece.volume[0]),
        bolts=int(seat.bolts[0]),
        bolt=seat.size[0],
        seat=float(seat.width[0]),
        make=_shell(shell, surface.section[0], mean, float(surface.density[0]), float(surface.fill[0])),
    )  # fmt: skip


def _shell(shell: Shell, section: str, chord: float, density: float, fill: float) -> Make:
    wall = beam.shell_wall(sections=(section,), chord=np.array([chord]), share=shell.wall[:1])
    material = shell.stuff.names[0]
    return Make(
        material=material, kind=kind(material), density=density, fill=fill, wall=float(wall[0]),
        infill=float(shell.infill[0]), pattern=shell.pattern[0], standing=bool(shell.standing[0]),
    )  # fmt: skip


def mast(state: State) -> Mast:
    """Return the mast with the moments that it was held to."""
    from foilwright.questions.state.structure.compliance import PLATE_PLACE, ROD_PLACES  # noqa: PLC0415
    from foilwright.questions.state.structure.strength import along_mast  # noqa: PLC0415

    craft, spar, fixings = state.craft, state.craft.structure.spar, state.craft.structure.fixings
    chord, piece = float(craft.mast.chord[0]), state.weights.masses.pieces["mast"]
    down = along_mast(state.cases, state.mast)
    width = float(spar.plate_width[0])
    plate = (PLATE_PLACE * chord, width, float(spar.plate_thickness[0])) if width > 0.0 else ()
    return Mast(
        section=craft.mast.section[0], length=float(craft.mast.length[0]), chord=chord, mass=float(piece.mass[0]),
        volume=float(section_area(craft.mast.section[0]) * chord**2 * craft.mast.length[0]),
        make=_shell(
            craft.structure.mast, craft.mast.section[0], chord, float(craft.mast.density[0]), float(craft.mast.fill[0])
        ),
        pieces=int(craft.structure.joints.pieces[0]), duct=float(spar.duct[0]),
        rods=tuple(float(p) * chord for p in ROD_PLACES[: int(spar.rods[0])]), rod=float(spar.rod_diameter[0]),
        pegs=int(fixings.pegs[0]), peg=(float(fixings.peg_diameter[0]), float(fixings.peg_depth[0])),
        ties=int(fixings.tie_rods[0]), tie=fixings.tie_rod_size[0],
        plate=plate, place=_rounded(down["below_board"], 1e-3), load=_rounded(down["used"] / down["used"].max(), 0.02),
        socket=float(craft.structure.joints.socket[0]), fuselage=float(craft.fuselage.diameter[0]),
    )  # fmt: skip


def section_area(name: str) -> float:
    """Return the area of a section at chord 1."""
    from foilwright.shape.mass import section_factor  # noqa: PLC0415

    return float(section_factor((name,), "area")[0])


def _rounded(values: Array, step: float) -> Floats:
    """Return values in steps: what moves less moves no joint."""
    return tuple(round(round(float(v) / step) * step, 9) for v in values)


def base(state: State) -> Base:
    """Return the flange and its bolts."""
    from foilwright.core.data import table  # noqa: PLC0415

    b = state.craft.structure.base
    fasteners = table("fasteners")
    material = b.stuff.names[0]
    return Base(
        make=plain(material, standing=bool(b.standing[0])),
        bolts=int(b.bolts[0]), size=b.size[0], washers=b.washers[0],
        washer=float(fasteners.columns["washer_diameter"][fasteners.texts["size"].index(b.size[0])]),
        **{k: float(getattr(b, k)[0]) for k in ["length", "width", "thickness", "pitch_x", "pitch_y"]},
    )  # fmt: skip


def plain(material: str, *, standing: bool = False) -> Make:
    """Return a part that is solid throughout."""
    return Make(
        material=material, kind=kind(material), density=density(material), fill=1.0, wall=0.0, infill=1.0,
        pattern="rectilinear", standing=standing,
    )  # fmt: skip


def density(material: str) -> float:
    """Return the density of a material of the book [kg/m^3]."""
    from foilwright.physics import material as book  # noqa: PLC0415

    return float(book.gather(names=(material,)).density[0])


def filled(make: Make, fill: float) -> Make:
    """Return a part of which only a share is solid."""
    return replace(make, fill=fill)
