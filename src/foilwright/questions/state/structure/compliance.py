"""Sections of mast and wings, and how stiffly base, mast, wings and fuselage hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core import solve
from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.craft import Craft, Surface
from foilwright.craft.structure import Shell
from foilwright.physics import beam, laminate, material
from foilwright.questions.state.flex import Bends, Flex
from foilwright.questions.state.structure.stuff import Bears

FIBRE = {"glass": 2560.0, "carbon": 1800.0}
"""Density of fibres [kg/m^3]."""
RESIN = 1150.0
"""Density of cured epoxy [kg/m^3]."""
ALONG: Array = np.array([0.0, 0.3, 0.6, 0.85, 1.0])
"""Stations of a half wing, share of its length from the middle."""
ROD_PLACES: Array = np.array([0.2, 0.32, 0.44])
PLATE_PLACE, DUCT_PLACE = 0.32, 0.30
"""Places of rods, flat bar and duct in the mast, share of the chord from its nose."""
THINNEST = 2e-3
"""What must stay of a solid print around a rod or bar on either side [m]."""
STANDS_FOR = 0.7
"""Station of a half wing whose torsion stiffness stands for the whole."""
STIFF_FLANGE, PRINTED_FLANGE = 2e5, 1e4
"""Stiffness of a flange of metal or laminate, and of a print, against turning [N m/rad] (judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """What runs along the inside of the mast and fits it worst (n,)."""

    thick: Array  # m
    room: Array  # m, height between the walls there
    is_duct: npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Compliance:
    """Sections, and springs (n,)."""

    mast: beam.Section  # (n, 1)
    mast_bare: beam.Section | None  # without its wrap; None where none is wrapped
    wings: beam.Section  # (2 n, stations), wing then stabiliser
    wings_bare: beam.Section | None
    ply: Array  # m, thickness of a layer of cloth
    base: Array  # N m/rad
    euler: Array  # N, thrust at which the mast buckles sideways
    ahead: Array  # (2 n,) m, shear centre of wing and stabiliser aft of their lift
    twist: Array  # (2 n,) N m^2, torsion stiffness that stands for wing and stabiliser
    flex: Flex
    inside: Inside


def compliance(craft: Craft, stuffs: dict[str, Bears]) -> Compliance:
    """Return sections and springs of every design."""
    s = craft.structure
    fibre = np.array([FIBRE[name.split()[0]] for name in _laid(s.laminate.stuff.names)])
    ply = laminate.ply(
        cloth_mass=s.laminate.cloth, fibre_mass_share=s.laminate.fibre_share, fibre_density=fibre,
        resin_density=np.asarray(RESIN),
    ).thickness  # fmt: skip
    walls = wall_thickness(craft)
    mast = _mast(craft, stuffs, walls, ply * s.mast.wrap)
    bare = _mast(craft, stuffs, walls, np.zeros_like(ply)) if (s.mast.wrap > 0.0).any() else None
    wraps = np.concatenate([ply * s.wing.wrap, ply * s.stabiliser.wrap])
    wings = _wings(craft, stuffs, walls, wraps)
    base = _base(craft, stuffs["base"])
    column = beam.euler_load(bending_stiffness=mast.stiff_flat[:, 0], length=craft.mast.length)
    along = wings.shear_centre_x - 0.25 * np.concatenate([chords(craft.wing), chords(craft.stabiliser)])
    ahead = along.mean(axis=1)
    twist = solve.rows(np.full((ahead.size, 1), STANDS_FOR), ALONG, wings.stiff_twist)[:, 0]
    return Compliance(
        mast=mast, mast_bare=bare, wings=wings,
        wings_bare=_wings(craft, stuffs, walls, np.zeros_like(wraps)) if (wraps > 0.0).any() else None,
        ply=ply, base=base, euler=1.0 / (1.0 / column + craft.mast.length / base), ahead=ahead,
        twist=twist, flex=_flex(craft, mast, twist, ahead, base), inside=_inside(craft, walls),
    )  # fmt: skip


def _flex(craft: Craft, mast: beam.Section, twist: Array, ahead: Array, base: Array) -> Flex:
    """Return what foils and mast turn by in pitch under what they carry."""
    n, length, stiff = craft.designs, craft.mast.length, mast.stiff_edge[:, 0]
    shaft = np.clip(-craft.pod.z, 0.0, length)
    span = np.concatenate([craft.wing.span, craft.stabiliser.span])
    chord, half = np.concatenate([craft.wing.area, craft.stabiliser.area]) / span, 0.5 * span
    lift = ahead * chord * half * half / ((0.5 * np.pi) ** 2 * twist)
    moment = chord * chord * half * half / (3.0 * twist)
    force = fuselage_flex(craft)
    rows = slice(0, n), slice(n, 2 * n)
    surfaces = [Bends(force=push, lift=lift[at], moment=moment[at]) for push, at in zip(force, rows, strict=True)]
    return Flex(
        wing=surfaces[0], stabiliser=surfaces[1], couple=length / stiff + 1.0 / base,
        thrust=shaft * shaft / (2.0 * stiff) + shaft / base, drag=length * length / (2.0 * stiff) + length / base,
        axis=craft.mast.x - 0.5 * craft.mast.chord,
    )  # fmt: skip


def fuselage_flex(craft: Craft) -> tuple[Array, Array]:
    """Return how far the fuselage, held at the mast, turns wing and stabiliser nose up for their lift [rad/N]."""
    f, mast = craft.fuselage, craft.mast
    moment = np.pi / 64.0 * f.diameter**4 * (1.0 - (1.0 - f.fill) ** 2)
    ahead, behind = craft.wing.x - mast.x, mast.x - mast.chord - craft.stabiliser.x
    give = 1.0 / (2.0 * f.modulus * moment)
    return np.maximum(ahead, 0.0) ** 2 * give, -(np.maximum(behind, 0.0) ** 2) * give


def wall_thickness(craft: Craft) -> Array:
    """Return the walls of mast, wing and stabiliser, one after the other (3 n,) [m]."""
    s, wing, tail = craft.structure, craft.wing, craft.stabiliser
    return beam.shell_wall(
        sections=(*craft.mast.section, *wing.section, *tail.section),
        chord=np.concatenate([craft.mast.chord, wing.area / wing.span, tail.area / tail.span]),
        share=np.concatenate([each.wall for each in (s.mast, s.wing, s.stabiliser)]),
    )


def _laid(names: Sequence[str]) -> list[str]:
    return [name if name.split()[0] in FIBRE else "glass" for name in names]


def _walls(shells: Sequence[Shell], bears: Sequence[Bears], walls: Array, stations: int) -> dict[str, Any]:
    """Return wall and core of stacked shells (rows, stations); ``walls`` (rows,) [m]."""
    modulus, shear = (np.concatenate([getattr(b, name) for b in bears]) for name in ("modulus", "shear_modulus"))
    share = material.infill(
        share=np.concatenate([each.infill for each in shells]),
        patterns=tuple(name for each in shells for name in each.pattern),
    ).modulus
    wide = {
        "wall": walls, "wall_modulus": modulus, "wall_shear_modulus": shear,
        "core_modulus": share * modulus, "core_shear_modulus": share * shear,
    }  # fmt: skip
    return {name: np.broadcast_to(values[:, None], (values.size, stations)) for name, values in wide.items()}


def _wrapped(stuffs: dict[str, Bears], wrap: Array) -> dict[str, Any]:
    times = wrap.size // stuffs["laminate"].modulus.size
    return {
        "wrap": wrap[:, None], "wrap_modulus": np.tile(stuffs["laminate"].modulus, times)[:, None],
        "wrap_shear_modulus": np.tile(stuffs["laminate"].shear_modulus, times)[:, None],
    }  # fmt: skip


def _mast(craft: Craft, stuffs: dict[str, Bears], walls: Array, wrap: Array) -> beam.Section:
    return beam.foil_section(**mast_given(craft, stuffs, walls, wrap))


def mast_given(craft: Craft, stuffs: dict[str, Bears], walls: Array, wrap: Array) -> dict[str, Any]:
    """Return what the section of the mast is made of, as ``beam.foil_section`` takes it (n, 1)."""
    s, chord = craft.structure, craft.mast.chord[:, None]
    return {
        "sections": craft.mast.section, "chord": chord, "duct": s.spar.duct[:, None], "duct_place": DUCT_PLACE,
        "bars": _bars(craft, stuffs["spar"]),
        **_walls([s.mast], [stuffs["mast"]], walls[: craft.designs], 1), **_wrapped(stuffs, wrap),
    }  # fmt: skip


def _bars(craft: Craft, bears: Bears) -> beam.Bars | None:
    """Return rods and flat bar of the mast (n, 1, 4); None where none has any."""
    spar, chord = craft.structure.spar, craft.mast.chord
    if not ((spar.rods > 0.0).any() or (spar.plate_width > 0.0).any()):
        return None
    there = np.arange(ROD_PLACES.size) < spar.rods[:, None]
    rods = beam.round_bar(diameter=np.where(there, spar.rod_diameter[:, None], 0.0))
    flat = beam.rectangle(
        width=np.maximum(spar.plate_width, 1e-9)[:, None],
        height=np.where(spar.plate_width > 0.0, spar.plate_thickness, 1e-9)[:, None],
    )
    shape = beam.Shape(
        **{
            name: np.concatenate([getattr(rods, name), getattr(flat, name)], axis=1)[:, None, :]
            for name in beam.Shape.__slots__
        }
    )
    place = np.concatenate([chord[:, None] * ROD_PLACES, chord[:, None] * PLATE_PLACE], axis=1)[:, None, :]
    has = np.concatenate([there, (spar.plate_width > 0.0)[:, None]], axis=1)[:, None, :]
    return beam.Bars(
        shape=shape, x=place, z=np.zeros(1), modulus=has * bears.modulus[:, None, None],
        shear_modulus=has * bears.shear_modulus[:, None, None],
    )  # fmt: skip


def chords(surface: Surface) -> Array:
    """Return the chords of a half wing at ``ALONG`` (n, stations) [m]."""
    middle = 2.0 * surface.area / (surface.span * (1.0 + surface.taper))
    return middle[:, None] * (1.0 - (1.0 - surface.taper[:, None]) * ALONG)


def _wings(craft: Craft, stuffs: dict[str, Bears], walls: Array, wrap: Array) -> beam.Section:
    return beam.foil_section(**wings_given(craft, stuffs, walls, wrap))


def wings_given(craft: Craft, stuffs: dict[str, Bears], walls: Array, wrap: Array) -> dict[str, Any]:
    """Return what wing and stabiliser are made of, as ``beam.foil_section`` takes it (2 n, stations)."""
    s = craft.structure
    both = (craft.wing, craft.stabiliser)
    return {
        "sections": (*craft.wing.section, *craft.stabiliser.section),
        "chord": np.concatenate([chords(each) for each in both]),
        **_walls([s.wing, s.stabiliser], [stuffs["wing"], stuffs["stabiliser"]], walls[craft.designs :], ALONG.size),
        **_wrapped(stuffs, wrap),
    }  # fmt: skip


def _base(craft: Craft, bears: Bears) -> Array:
    book = table("board_inserts")
    at = [book.texts["insert"].index(name) for name in craft.structure.base.insert]
    flange = np.where([each in ("metal", "laminate") for each in bears.kinds], STIFF_FLANGE, PRINTED_FLANGE)
    return 1.0 / (1.0 / book.columns["stiffness"][at] + 1.0 / flange)


def _inside(craft: Craft, walls: Array) -> Inside:
    chord, spar = craft.mast.chord, craft.structure.spar
    solid = np.minimum(walls[: craft.designs], THINNEST)
    thick = np.maximum(
        np.where(spar.rods > 0.0, spar.rod_diameter, 0.0), np.where(spar.plate_width > 0.0, spar.plate_thickness, 0.0)
    )
    at_bars, at_duct = (
        np.maximum(beam.room(sections=craft.mast.section, chord=chord, place=place * chord, wall=solid), 1e-6)
        for place in (PLATE_PLACE, DUCT_PLACE)
    )
    is_duct = spar.duct / at_duct > thick / at_bars
    return Inside(thick=np.where(is_duct, spar.duct, thick), room=np.where(is_duct, at_duct, at_bars), is_duct=is_duct)
