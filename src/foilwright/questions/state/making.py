"""What it takes to make the craft, by bounds: sheets, cloth, resin, prints, hours, money; nothing is nested here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import laminate, material, workshop
from foilwright.questions.state.weights import Weights
from foilwright.shape import board as hull
from foilwright.shape.mass import COPPER, Masses

Flag = npt.NDArray[np.bool_]

METALS = ("aluminium", "aluminium 6082", "aluminium 5083", "stainless steel", "stainless steel cold drawn", "steel")
GROUPS = {
    "aluminium": METALS[:3], "steel": METALS[3:],
    "carbon": ("carbon laminate", "carbon laminate by hand", "carbon rods"),
    "glass": ("glass laminate", "glass laminate by hand", "glass mat"), "timber": ("timber", "birch plywood"),
}  # fmt: skip
"""Materials that are bought alike."""
BASE_PLIES = 2
"""Layers over the whole deck; the others lie where the rider stands (the usual schedule of a board)."""
REACH, PATCH, RAIL = 0.20, 0.08, 0.05
"""How far the plies under the feet reach beyond the stance, the patch beyond the insert, and plies round a rail [m]."""
SEAL, FILL_COAT, GLUE = 0.15, 0.12, 0.20
"""Resin that seals foam, that fills the weave, and that glues layers of foam [kg/m^2] (common practice)."""
LOST = 0.25
"""Resin left in pots, brushes and rags over what stays in the laminate (common practice 0.2 to 0.35)."""
PAINT = 0.20
"""Filler and paint [kg/m^2]."""
SHEET_FILL, CLOTH_FILL = 0.70, 0.75
"""Share of sheets and of cloth that is used when whole pieces are cut from them; the parts nest for real."""
BEAD, TRAVEL = 1.1, 1.35
"""Width of a bead over the nozzle, and time with travel over that of laying down (common practice)."""
SMALL_PRINTS = 4.0e-4
"""Jigs, covers and gauges, plastic in them [m^3] (judgement)."""
BATCH, SPREAD_RATE = 0.25, 6.0e-4
"""Largest batch that is mixed [kg], and how fast one pair of hands spreads it, 36 g a minute [kg/s] (judgement)."""
SMALLEST_BATCH = 0.1
"""Smallest batch that is mixed [kg]."""
CLEAR = 0.03
"""Joints keep this far from the mast zone and from the feet [m]."""
PRINTING_DAY = 12.0 / 24.0
"""Share of the time that a home printer prints (it is watched)."""
LAY_UPS = 6.0
"""Cures that wait for each other: sealing, bottom, deck, patches and filling, fill coat, and the wings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Making:
    """What it takes to make each design; arrays (n,)."""

    layers: Array  # of foam through the thickness
    foam_area: Array  # m^2 of all layers
    sheets: Array  # number
    zone_width: Array  # m across that must be without a joint
    ply_area: Array  # m^2 of cloth on the craft
    cloth_length: Array  # m off the roll
    resin: Array  # kg mixed, with what is lost
    skin_mass: Array  # kg/m^2 by the schedule
    skin_area: Array  # m^2
    spread_time: Array  # s, of one batch
    batch_time: Array  # s, that it can be worked
    mix_error: Array  # share of the hardener
    printed: Flag  # something that carries load is printed
    printed_mast: Flag
    printed_wing: Flag
    printed_base: Flag
    mast_piece: Array  # m
    mast_room: Array  # m
    flat_room: Array  # m along the bed
    wing_chord: Array  # m at the root
    nozzle: Array  # K, that the hottest of its plastics needs
    chamber: Flag  # one of them needs a warm housing
    print_mass: Array  # kg
    print_time: Array  # s of a printer
    hands: Array  # s of work
    cures: Array  # s of waiting
    weeks: Array  # s from the start to the water
    money: Array  # in the workshop's currency
    metal: Flag
    copper_area: Array  # m^2 of the thickest lead
    quantities: Mapping[str, Array]  # by the keys of tasks and prices


def making(craft: Craft, weights: Weights) -> Making:
    """Return what it takes to make a craft."""
    shop, s = craft.workshop, craft.structure
    book = weights.masses
    boards = book.stations
    skin = np.asarray(hull.surface_area(boards))
    count, foam = _foam(boards, shop.sheet_thickness)
    plies = _plies(craft, boards)
    share = s.laminate.fibre_share
    dry = plies * s.laminate.cloth
    wet = np.asarray(workshop.resin_mass(dry_cloth=dry, fibre_mass_share=share, lost=np.zeros(())))
    resin = (wet + (SEAL + FILL_COAT) * skin + GLUE * np.maximum(foam - foam / count, 0.0)) * (1.0 + LOST)
    sheets = np.ceil(foam / (SHEET_FILL * shop.sheet_length * shop.sheet_width) - 1e-9)
    prints = _prints(craft, book)
    board_plies = plies - _wraps(craft)
    quantities = _quantities(
        craft, book, layers=count, foam_area=foam, skin_area=skin, ply_area=plies, resin=resin,
        foam_volume=sheets * shop.sheet_length * shop.sheet_width * shop.sheet_thickness, print_mass=prints.mass,
    )  # fmt: skip
    hands = 3600.0 * _summed("workshop/tasks", "outset", "each", quantities)
    cure = np.asarray(workshop.cure(cure_time=shop.cure_time, temperature=shop.room_temperature))
    cures = (LAY_UPS + np.maximum(count - 1.0, 0.0)) * cure
    week = 7.0 * 24.0 * 3600.0
    calendar = hands / shop.hours_a_week * week
    batch_time = workshop.working_time(
        pot_life=shop.pot_life, batch=np.full(craft.designs, BATCH), temperature=shop.room_temperature
    )
    return Making(
        layers=count, foam_area=foam, sheets=sheets, zone_width=_zone(craft), ply_area=plies,
        cloth_length=plies / (CLOTH_FILL * shop.cloth_width), resin=resin,
        skin_mass=(board_plies * s.laminate.cloth / share) / skin + SEAL + FILL_COAT + PAINT, skin_area=skin,
        spread_time=np.full(craft.designs, BATCH / SPREAD_RATE), batch_time=batch_time,
        mix_error=np.asarray(
            workshop.mix_error(
                batch=np.full(craft.designs, SMALLEST_BATCH), mix_ratio=shop.mix_ratio, scale_step=shop.scale
            )
        ),
        printed=prints.any, printed_mast=prints.mast, printed_wing=prints.wing, printed_base=prints.base,
        mast_piece=craft.mast.length / np.maximum(s.joints.pieces, 1.0), mast_room=prints.mast_room,
        flat_room=prints.flat_room, wing_chord=_root_chord(craft), nozzle=prints.nozzle, chamber=prints.chamber,
        print_mass=prints.mass, print_time=prints.time, hands=hands, cures=cures,
        weeks=np.maximum(np.maximum(calendar, cures), _printing(craft, prints.time)),
        money=_summed("workshop/prices", "", "price", quantities) * shop.price_level * (1.0 + shop.reserve),
        metal=_any_of(craft, METALS),
        copper_area=np.maximum(np.nan_to_num(craft.harness.main_area), np.nan_to_num(craft.harness.lead_area)),
        quantities=quantities,
    )  # fmt: skip


def _foam(boards: hull.Stations, thickness: Array) -> tuple[Array, Array]:
    """Return the number of foam layers, and the area of all of them: each only where it is foam."""
    t = thickness[:, None]
    there = np.ceil(boards.deck / t - 1e-9) - np.floor(boards.bottom / t + 1e-9)
    area = np.sum(boards.weight * 2.0 * np.maximum(boards.half_beam, 0.0) * there, axis=1)
    return np.ceil(boards.deck.max(axis=1) / thickness - 1e-9), np.asarray(area)


def _plies(craft: Craft, boards: hull.Stations) -> Array:
    """Return the area of all cloth on the craft."""
    lam, base = craft.structure.laminate, craft.structure.base
    run = np.hypot(np.diff(boards.x, axis=1), np.diff(boards.half_beam, axis=1)).sum(axis=1)
    side = 2.0 * run + 2.0 * boards.half_beam[:, 0]
    height = craft.board.thickness
    deck = np.asarray(hull.deck_area(boards)) + side * RAIL
    bottom = np.asarray(hull.bottom_area(boards)) + side * (height + RAIL)
    stood_on = (craft.rider.stance_width + 2.0 * REACH) * 0.9 * craft.board.width
    patch = (base.insert_length + 2.0 * PATCH) * (base.insert_width + 2.0 * PATCH)
    whole = np.minimum(lam.deck, BASE_PLIES)
    area: Array = whole * deck + (lam.deck - whole) * stood_on + lam.bottom * bottom + 2.0 * patch
    return area + _wraps(craft)


def _wraps(craft: Craft) -> Array:
    """Return the area of the cloth wrapped round mast, wing and stabiliser."""
    s = craft.structure
    return (
        s.mast.wrap * 2.06 * craft.mast.chord * craft.mast.length
        + s.wing.wrap * 2.06 * craft.wing.area + s.stabiliser.wrap * 2.06 * craft.stabiliser.area
    )  # fmt: skip


def _zone(craft: Craft) -> Array:
    """Return the width that must be without a joint along the board: insert and feet."""
    return np.maximum(craft.structure.base.insert_width, craft.rider.foot_length) + 2.0 * CLEAR


def _root_chord(craft: Craft) -> Array:
    """Return the larger root chord of wing and stabiliser."""
    return np.maximum(*(2.0 * each.area / (each.span * (1.0 + each.taper)) for each in (craft.wing, craft.stabiliser)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Prints:
    any: Flag
    mast: Flag
    wing: Flag
    base: Flag
    mast_room: Array
    flat_room: Array
    nozzle: Array
    chamber: Flag
    mass: Array
    time: Array


def _prints(craft: Craft, book: Masses) -> _Prints:
    """Return what the printer has to do, and the room that it has."""
    shop, s, pieces = craft.workshop, craft.structure, book.pieces
    x, y = (np.round(side - 2.0 * shop.bed_edge, 9) for side in (shop.bed_x, shop.bed_y))
    lies = np.maximum(np.maximum(x, y), np.sqrt(2.0) * np.minimum(x, y) - craft.mast.chord)
    listed = table("workshop/prints")
    kinds = listed.texts["material"]
    is_printed = dict.fromkeys(kinds, 1.0)
    mast, wing, tail, base, tube, mount = (
        _by_name(names, is_printed) > 0.0
        for names in (
            s.mast.stuff.names, s.wing.stuff.names, s.stabiliser.stuff.names, s.base.stuff.names, s.fuselage.names,
            s.joints.mount.names,
        )
    )  # fmt: skip
    loaded = mast | wing | tail | base | tube | mount
    prints = (shop.printers > 0.0).astype(np.float64)
    flange = s.base.length * s.base.width * s.base.thickness * 1200.0
    mass = (
        mast * pieces["mast"].mass + wing * pieces["wing"].mass + tail * pieces["stabiliser"].mass
        + tube * pieces["fuselage"].mass + base * flange + prints * SMALL_PRINTS * 1250.0
    )  # fmt: skip
    names = (s.mast.stuff, s.wing.stuff, s.stabiliser.stuff, s.base.stuff, s.fuselage, s.joints.mount)
    nozzle, chamber = _asked(listed.columns, kinds, (*(each.names for each in names), shop.filament))
    return _Prints(
        any=loaded, mast=mast, wing=wing | tail, base=base,
        mast_room=np.where(s.mast.standing, shop.bed_z, lies), flat_room=np.maximum(x, y), nozzle=nozzle,
        chamber=chamber, mass=mass,
        time=TRAVEL * np.asarray(
            workshop.print_time(
                printed_volume=mass / 1250.0, bead_width=BEAD * shop.nozzle, bead_height=shop.layer,
                nozzle_speed=shop.print_speed,
            )
        ),
    )  # fmt: skip


def _asked(columns: Mapping[str, Array], kinds: Sequence[str], names: Sequence[tuple[str, ...]]) -> tuple[Array, Flag]:
    """Return the hottest nozzle that the plastics of each design need, and whether one needs a warm housing."""
    heat = dict(zip(kinds, columns["nozzle"].tolist(), strict=True))
    warm = dict(zip(kinds, columns["chamber"].tolist(), strict=True))
    needs = np.max([_by_name(each, heat) for each in names], axis=0)
    return needs, np.max([_by_name(each, warm) for each in names], axis=0) > 0.0


def _printing(craft: Craft, seconds: Array) -> Array:
    """Return how long the printers take, watched as home printers are."""
    return seconds / (np.maximum(craft.workshop.printers, 1.0) * PRINTING_DAY)


def _by_name(names: Sequence[str], of: Mapping[str, float]) -> Array:
    """Return a number for each name, 0 for one that is not listed."""
    if len(names) == 1:
        return np.array([of.get(names[0], 0.0)])
    return np.array([of.get(name, 0.0) for name in names])


def _any_of(craft: Craft, kinds: Sequence[str]) -> Flag:
    """Return where mast, base, fuselage or motor housing is of one of some materials."""
    s, of = craft.structure, dict.fromkeys(kinds, 1.0)
    names = (s.mast.stuff.names, s.base.stuff.names, s.fuselage.names, s.joints.mount.names)
    return np.asarray(np.max([_by_name(each, of) for each in names], axis=0) > 0.0)


def _quantities(craft: Craft, book: Masses, **known: Array) -> dict[str, Array]:
    """Return every quantity that hours and prices are reckoned by."""
    s, d, p, pieces = craft.structure, craft.drive, craft.pack, book.pieces
    one = np.ones(craft.designs)
    cells = p.series * p.parallel
    flange = s.base.length * s.base.width * s.base.thickness
    of = (
        (s.mast.stuff.names, pieces["mast"].mass), (s.wing.stuff.names, pieces["wing"].mass),
        (s.stabiliser.stuff.names, pieces["stabiliser"].mass), (s.fuselage.names, pieces["fuselage"].mass),
        (s.base.stuff.names, flange * np.asarray(material.gather(names=s.base.stuff.names).density)),
    )  # fmt: skip
    groups = {
        group: np.sum([_by_name(names, dict.fromkeys(kinds, 1.0)) * mass for names, mass in of], axis=0)
        for group, kinds in GROUPS.items()
    }
    carbon = _by_name(s.laminate.stuff.names, dict.fromkeys(GROUPS["carbon"], 1.0))
    strings = craft.harness.modules_side_by_side
    return {
        **known, **groups, "once": one, "cells": cells, "bolts": s.base.bolts + s.joints.mount_bolts,
        "pockets": 1.0 + np.sum(craft.parts.in_hull, axis=1) * one,
        "foil_area": craft.wing.area + craft.stabiliser.area,
        "glass_area": (1.0 - carbon) * known["ply_area"] / CLOTH_FILL,
        "carbon_area": carbon * known["ply_area"] / CLOTH_FILL,
        "motor": d.motor_mass, "gears": (np.abs(d.gear_ratio - 1.0) > 1e-9) * one,
        "controller_current": np.nan_to_num(d.battery_current_limit, nan=100.0),
        "cell_charge": cells * p.capacity / 3600.0,
        "copper": 3.0 * COPPER * d.phase_area * d.phase_length
        + 4.0 * COPPER * strings * craft.harness.lead_area * craft.harness.lead_length,
        "contacts": craft.harness.contacts * 2.0 * (strings * craft.harness.modules_in_series + 1.0) + 3.0,
        "fuses": strings * one,
        "charger_power": np.nan_to_num(craft.charger.voltage * craft.charger.current, nan=200.0),
    }  # fmt: skip


def _summed(name: str, outset: str, each: str, quantities: Mapping[str, Array]) -> Array:
    """Return the sum over a table: so much at the outset, and so much for each unit."""
    rows = table(name)
    amounts = np.stack(np.broadcast_arrays(*(quantities[key] for key in rows.texts["key"])))
    start = float(rows.columns[outset].sum()) if outset else 0.0
    return start + np.asarray(rows.columns[each] @ amounts)


def ply_mass(craft: Craft) -> laminate.Ply:
    """Return thickness and masses of one ply of the board's skin."""
    carbon = _by_name(craft.structure.laminate.stuff.names, dict.fromkeys(GROUPS["carbon"], 1.0)) > 0.0
    return laminate.ply(
        cloth_mass=craft.structure.laminate.cloth, fibre_mass_share=craft.structure.laminate.fibre_share,
        fibre_density=np.where(carbon, 1800.0, 2560.0), resin_density=np.full(craft.designs, 1150.0),
    )  # fmt: skip
