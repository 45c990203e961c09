"""Masses, centres and displaced volumes of the parts, from geometry and stuff unless weighed.

Axes: x forward from the tail, y to port, z up from the bottom at the tail.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.craft import Craft, Surface
from foilwright.shape import board as hull
from foilwright.shape import foil, own

Array = npt.NDArray[np.float64]

STATIONS = 17
"""Stations of the board: against 129 of them volume differs by 5e-6, freeboard at rest by 1 um, trim by 1e-4 deg."""
COPPER = 8960.0
"""Density of copper [kg/m^3]."""
CENTROID = 0.42
"""Centroid of a foil section behind its nose, in chords (four-digit family)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One part of the craft; arrays (n,)."""

    mass: Array  # kg
    x: Array  # m
    y: Array  # m
    z: Array  # m
    volume: Array  # m^3, displaced outside the hull when under water


@dataclass(frozen=True, slots=True, kw_only=True)
class Masses:
    """The whole craft without rider; arrays (n,)."""

    pieces: dict[str, Piece]
    mass: Array  # kg, with what was not thought of
    planned: Array  # kg, without it
    x: Array  # m, balance point
    y: Array  # m
    z: Array  # m
    radius: Array  # m, of gyration in pitch about the balance point
    stations: hull.Stations
    hull_volume: Array  # m^3
    foam_volume: Array  # m^3
    free_volume: Array  # m^3, air in the hull that would fill if every box leaked


def section_factor(names: tuple[str, ...], column: str) -> Array:
    """Return a property of the named sections at chord 1: ``area`` or ``thickness``."""
    sections = table("sections")
    known = dict(zip(sections.texts["section"], sections.columns[column], strict=True))
    place = ("thickness", "area").index(column)
    return np.array([known[name] if name in known else own.measures(name)[place] for name in names])


def hull_stations(craft: Craft) -> hull.Stations:
    """Return the stations of the board."""
    b = craft.board
    return hull.stations(
        length=b.length, width=b.width, thickness=b.thickness, tail_width=b.tail_width, nose_width=b.nose_width,
        wide_point=b.wide_point, nose_rocker=b.nose_rocker, rocker_start=b.rocker_start,
        nose_thickness=b.nose_thickness, rail_radius=b.rail_radius, count=STATIONS,
    )  # fmt: skip


def masses(craft: Craft) -> Masses:
    """Return masses, centres and displaced volumes of a craft without rider."""
    stations = hull_stations(craft)
    volume = hull.volume(stations)
    pockets = np.sum(craft.parts.volume * craft.parts.in_hull, axis=1)
    foam = np.maximum(volume - pockets, 0.0)
    pieces = {
        "board": _board(craft, stations, foam),
        "mast": _mast(craft),
        "wing": _surface(craft.wing),
        "stabiliser": _surface(craft.stabiliser),
        "fuselage": _fuselage(craft),
        "pod": _pod(craft),
        **_electric(craft),
        **_listed(craft),
    }
    planned = sum_of(pieces, "mass")
    x, y, z = (moment_of(pieces, axis) / planned for axis in ("x", "y", "z"))
    mass = np.where(
        np.isnan(craft.mass_ratio), planned * (1.0 + craft.board.not_thought_of), planned * craft.mass_ratio
    )
    x = np.where(np.isnan(craft.balance_shift), x, x + craft.balance_shift)
    spread = np.zeros_like(planned)
    for piece in pieces.values():
        spread = spread + piece.mass * ((piece.x - x) ** 2 + (piece.z - z) ** 2)
    spread = spread + pieces["board"].mass * craft.board.length**2 / 16.0
    return Masses(
        pieces=pieces, mass=mass, planned=planned, x=x, y=y, z=z, radius=np.sqrt(spread / planned),
        stations=stations, hull_volume=volume, foam_volume=foam,
        free_volume=np.sum(craft.parts.free_volume * craft.parts.in_hull, axis=1),
    )  # fmt: skip


def sum_of(pieces: dict[str, Piece], what: str) -> Array:
    """Return the sum of one property over the pieces, added up in the same order for one design and for many."""
    return np.asarray(sum(getattr(piece, what) for piece in pieces.values()))


def moment_of(pieces: dict[str, Piece], axis: str) -> Array:
    """Return the sum of mass times place over the pieces."""
    return np.asarray(sum(piece.mass * getattr(piece, axis) for piece in pieces.values()))


def _board(craft: Craft, stations: hull.Stations, foam: Array) -> Piece:
    b = craft.board
    x, z = hull.centre(stations)
    mass = (b.foam_density * foam + b.skin_mass * hull.surface_area(stations)) * b.mass_ratio
    return Piece(mass=mass, x=x, y=np.zeros_like(x), z=z, volume=np.zeros_like(x))


def _surface(wing: Surface) -> Piece:
    shape = foil.stations(
        area=wing.area, span=wing.span, taper=wing.taper, sweep=wing.sweep, dihedral=wing.dihedral, twist=wing.twist
    )
    volume = np.asarray(foil.volume(stations=shape, area_factor=section_factor(wing.section, "area")))
    plan = foil.planform(stations=shape)
    chord = np.asarray(plan.mean_aerodynamic_chord)
    return Piece(
        mass=volume * wing.fill * wing.density * wing.mass_ratio,
        x=wing.x + np.asarray(plan.x) - (CENTROID - 0.25) * chord,
        y=np.zeros_like(volume),
        z=wing.z + np.asarray(plan.y) * np.tan(wing.dihedral),
        volume=volume,
    )


def _mast(craft: Craft) -> Piece:
    m = craft.mast
    volume = section_factor(m.section, "area") * m.chord**2 * m.length
    return Piece(
        mass=volume * m.fill * m.density * m.mass_ratio,
        x=m.x - CENTROID * m.chord,
        y=np.zeros_like(volume),
        z=-0.5 * m.length,
        volume=np.where(m.sealed, volume, volume * m.fill),
    )


def _fuselage(craft: Craft) -> Piece:
    f = craft.fuselage
    volume = np.pi / 4.0 * f.diameter**2 * f.length
    return Piece(
        mass=volume * f.fill * f.density * f.mass_ratio,
        x=craft.wing.x - 0.5 * f.arm,
        y=np.zeros_like(volume),
        z=craft.wing.z,
        volume=volume * f.fill,
    )


def _pod(craft: Craft) -> Piece:
    p, d = craft.pod, craft.drive
    return Piece(
        mass=p.mass + d.motor_mass + d.propeller_mass,
        x=p.x,
        y=np.zeros_like(p.x),
        z=p.z,
        volume=np.pi / 4.0 * p.diameter**2 * p.length * 0.85,
    )


def _electric(craft: Craft) -> dict[str, Piece]:
    p, d = craft.pack, craft.drive
    none = np.zeros(craft.designs)
    cells = p.series * p.parallel * p.cell_mass
    leads = 3.0 * COPPER * d.phase_area * d.phase_length
    return {
        "pack": Piece(mass=cells * (1.0 + p.packaging) * p.mass_ratio, x=p.x, y=none, z=p.z, volume=none),
        "controller": Piece(mass=d.controller_mass, x=d.controller_x, y=none, z=d.controller_z, volume=none),
        "phase leads": Piece(
            mass=leads, x=craft.mast.x - 0.5 * craft.mast.chord, y=none, z=-0.5 * craft.mast.length, volume=none
        ),
    }


def _listed(craft: Craft) -> dict[str, Piece]:
    parts = craft.parts
    outside = np.where(parts.below & ~parts.floods, parts.volume, 0.0)
    return {
        f"part.{name}": Piece(
            mass=parts.mass[:, k], x=parts.x[:, k], y=parts.y[:, k], z=parts.z[:, k], volume=outside[:, k]
        )
        for k, name in enumerate(parts.names)
    }
