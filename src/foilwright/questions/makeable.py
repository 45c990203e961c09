"""`makeable`: can this workshop make it?"""

from __future__ import annotations

import numpy as np

from foilwright.core.data import table
from foilwright.physics import workshop
from foilwright.questions.finding import Finding, Maker, used
from foilwright.questions.state import State
from foilwright.questions.state.making import BATCH, CLEAR, LAY_UPS, Making

BOUND = "Bounds from areas, lengths and masses; the parts are nested and split for real by foilwright parts"
FILAMENT = "Labels of filaments, common practice: data/workshop/prints.csv"
LABEL = "Label of the resin; rule of ten kelvin"
JUDGED = "Hours that home builders tell, judgement: data/workshop/tasks.csv"
BED = "workshop.bed_x workshop.bed_y workshop.bed_z workshop.bed_edge"
SKIN = "laminate.cloth laminate.material board.deck_layers board.bottom_layers"
BOARD = "board.length board.width board.thickness"


class Makeable:
    """Printer, sheets, cloth, resin, tools, mass, time and money."""

    name = "makeable"
    asks = "Can this workshop make it: print volume, sheets, cloth, resin, tools, time, mass, money?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        _printer(make, state, state.making)
        _sheets(make, state, state.making)
        _resin(make, state, state.making)
        _tools(make, state, state.making)
        _effort(make, state, state.making)
        return make.made


def _printer(make: Maker, state: State, m: Making) -> None:
    shop, base = state.craft.workshop, state.craft.structure.base
    stuffs = "mast.material wing.material stabiliser.material base.material fuselage.material pod.material"
    make.add(
        "print.printer", name="A printer for the parts that are printed", part="prints", meaning="stops",
        demand=m.printed.astype(np.float64), capacity=shop.printers, unit="1", required=0.0,
        required_why="one is enough; a second halves the waiting", source=BOUND, inputs=f"workshop.printers {stuffs}",
        applies=m.printed,
    )  # fmt: skip
    make.add(
        "print.mast", name="Length of a printed piece of the mast against the printer", part="mast", meaning="stops",
        demand=m.mast_piece, capacity=m.mast_room, unit="m", required=0.0,
        required_why="hold reckons with joints between so many lengths; more of them are weaker", source=BOUND,
        inputs=f"mast.length mast.pieces mast.print {BED}", applies=m.printed_mast,
    )  # fmt: skip
    make.add(
        "print.wing", name="Root chord of the printed wings against the bed", part="wing", meaning="stops",
        demand=m.wing_chord, capacity=m.flat_room, unit="m", required=0.0,
        required_why="a wing is split along its span, never along its chord", source=BOUND,
        inputs=f"wing.area wing.span wing.taper stabiliser.area stabiliser.span {BED}", applies=m.printed_wing,
    )  # fmt: skip
    make.add(
        "print.base", name="Length of the printed flange against the bed", part="base", meaning="stops",
        demand=base.length, capacity=m.flat_room, unit="m", required=0.0,
        required_why="a flange in two pieces does not hold the mast", source=BOUND, inputs=f"base.length {BED}",
        applies=m.printed_base,
    )  # fmt: skip
    any_print = m.printed | (shop.printers > 0.0)
    make.add(
        "print.heat", name="Heat of the nozzle that its plastics need", part="prints", meaning="stops",
        kind="difference", scale=20.0, demand=m.nozzle, capacity=shop.nozzle_temperature, unit="K", required=0.0,
        required_why="layers that were laid too cold part across the print", source=FILAMENT,
        inputs=f"workshop.nozzle_temperature workshop.filament {stuffs}", applies=any_print,
        temperature=m.nozzle,
    )  # fmt: skip
    cold = m.chamber & ~shop.warm_chamber
    make.add(
        "print.chamber", name="A warm housing for plastics that warp", part="prints", meaning="breaks",
        kind="difference", demand=np.ones(make.designs), capacity=np.where(cold, 0.0, 1.0), unit="1", required=0.0,
        required_why="ABS, ASA, PC and most polyamides warp and split between layers in a draught; their fumes do"
        " not belong in a living room",
        source=FILAMENT, inputs=f"workshop.chamber workshop.filament {stuffs}", applies=any_print,
    )  # fmt: skip


def _sheets(make: Maker, state: State, m: Making) -> None:
    shop, board = state.craft.workshop, state.craft.board
    given = np.isfinite(shop.sheets)
    make.add(
        "foam.sheets", name="Sheets of foam against those at hand", part="board", meaning="annoys",
        demand=m.sheets, capacity=np.where(given, shop.sheets, 1.0), unit="1", required=0.0,
        required_why="the share of a sheet that is used is reckoned with 70 %", source=BOUND,
        inputs=f"workshop.sheets workshop.sheet_length workshop.sheet_width workshop.sheet_thickness {BOARD}",
        applies=given,
    )  # fmt: skip
    make.add(
        "foam.joints", name="Width of foam without a joint under mast and feet", part="board", meaning="breaks",
        demand=m.zone_width, capacity=shop.sheet_width, unit="m", required=0.0,
        required_why=f"no joint in the mast zone or under the feet, {100.0 * CLEAR:.0f} cm clear of both",
        source="Practice of board builders", inputs="workshop.sheet_width base.insert_width rider.foot_length",
    )  # fmt: skip
    listed = table("workshop/cutters")
    deepest = dict(zip(listed.texts["cutter"], listed.columns["deepest"].tolist(), strict=True))
    make.add(
        "foam.cutter", name="Thickness of a sheet against what its cutter cuts square", part="board",
        meaning="annoys", demand=shop.sheet_thickness,
        capacity=np.array([deepest[name] for name in shop.foam_cutter]), unit="m", required=0.0,
        required_why="a leaning cut is glue or sanding later", source="Practice: data/workshop/cutters.csv",
        inputs="workshop.sheet_thickness workshop.foam_cutter",
    )  # fmt: skip
    make.add(
        "bench", name="Length of the board against the bench", part="board", meaning="annoys", demand=board.length,
        capacity=shop.bench, unit="m", required=0.0,
        required_why="a blank that hangs over bends while its layers are glued", source="Geometry",
        inputs="board.length workshop.bench",
    )  # fmt: skip
    roll = np.isfinite(shop.cloth_length)
    make.add(
        "cloth.length", name="Cloth off the roll against what is at hand", part="board", meaning="annoys",
        demand=m.cloth_length, capacity=np.where(roll, shop.cloth_length, 1.0), unit="m", required=0.0,
        required_why="three quarters of the cloth are used when whole shapes are cut", source=BOUND,
        inputs=f"workshop.cloth_length workshop.cloth_width {SKIN} {BOARD}", applies=roll,
    )  # fmt: skip


def _resin(make: Maker, state: State, m: Making) -> None:
    shop, lam = state.craft.workshop, state.craft.structure.laminate
    batch = np.full(make.designs, BATCH)
    make.add(
        "resin.working", name=f"Time to spread a batch of {1000.0 * BATCH:.0f} g against its working time",
        part="laminate", meaning="stops", demand=m.spread_time, capacity=m.batch_time, unit="s", required=0.2,
        required_why="one pair of hands spreads some 36 g a minute; a cup that turns warm is set outdoors",
        source=LABEL, model=workshop.working_time.name, inputs="workshop.pot_life workshop.room_temperature",
        beyond=used(workshop.working_time, temperature=shop.room_temperature, batch=batch),
    )  # fmt: skip
    make.add(
        "resin.cold", name="Room above the coldest at which the resin cures", part="laminate", meaning="breaks",
        kind="difference", scale=20.0, demand=np.zeros(make.designs),
        capacity=shop.room_temperature - shop.least_temperature, unit="K", required=2.0,
        required_why="nights are colder; resin that never cures through stays soft and peels",
        source=LABEL, inputs="workshop.least_temperature workshop.room_temperature",
    )  # fmt: skip
    both = np.isfinite(lam.post_cure) & np.isfinite(shop.warmest_cure)
    make.add(
        "resin.post_cure", name="Warmth of the cure that hold reckons with", part="laminate", meaning="breaks",
        kind="difference", scale=20.0, demand=np.where(both, lam.post_cure, 0.0),
        capacity=np.where(both, shop.warmest_cure, 1.0), unit="K", required=0.0,
        required_why="without it the laminate softens some 15 K above the room it cured in",
        source="Softening of room-cured epoxies", inputs="laminate.post_cure workshop.warmest_cure", applies=both,
        temperature=np.where(both, lam.post_cure, 0.0),
    )  # fmt: skip
    make.add(
        "resin.scale", name="Error of the hardener in a batch of 100 g, by the scale", part="laminate",
        meaning="breaks", demand=m.mix_error, capacity=np.full(make.designs, 0.03), unit="1", required=0.2,
        required_why="epoxies bear an error of some 3 % before they stay soft", source="Labels of epoxies, practice",
        model=workshop.mix_error.name, inputs="workshop.scale workshop.mix_ratio",
    )  # fmt: skip


def _tools(make: Maker, state: State, m: Making) -> None:
    shop = state.craft.workshop
    able = np.array([name != "none" for name in shop.metalwork])
    make.add(
        "tools.metal", name="Metal parts can be cut and drilled, or made outside", part="base", meaning="stops",
        kind="difference", demand=np.ones(make.designs), capacity=able.astype(np.float64), unit="1", required=0.0,
        required_why="mast, flange, tube or motor housing of metal are sawn, filed and drilled at least",
        source="The materials of the parts",
        inputs="workshop.metalwork mast.material base.material fuselage.material pod.material", applies=m.metal,
    )  # fmt: skip
    listed = table("workshop/crimpers")
    largest = dict(zip(listed.texts["crimper"], listed.columns["area"].tolist(), strict=True))
    make.add(
        "tools.crimp", name="Thickest lead against the tool that crimps its lugs", part="wires", meaning="burns",
        demand=m.copper_area, capacity=np.array([largest[name] for name in shop.crimper]), unit="m^2", required=0.0,
        required_why="a crimp pressed with too small a tool warms until it burns off",
        source="Practice of the trade: data/workshop/crimpers.csv",
        inputs="workshop.crimper wires.main_area wires.lead_area",
    )  # fmt: skip


def _effort(make: Maker, state: State, m: Making) -> None:
    shop, board = state.craft.workshop, state.craft.board
    planned = state.weights.masses.planned
    make.add(
        "skin.mass", name="Mass of the scheduled skin beyond what was reckoned, against the reserve", part="board",
        meaning="stops", demand=np.maximum(m.skin_mass - board.skin_mass, 0.0) * m.skin_area,
        capacity=planned * board.not_thought_of, unit="kg", required=0.2,
        required_why="areas and resin are known to a fifth; what it takes of the reserve is not there for the rest",
        source="Plies by zone at the fibre share of the laminate, seal, fill coat and paint",
        model=workshop.resin_mass.name, inputs=f"board.skin_mass board.not_thought_of {SKIN} {BOARD}",
        applies=np.isclose(board.mass_ratio, 1.0) & (board.not_thought_of > 0.0),
    )  # fmt: skip
    asked = np.isfinite(shop.time)
    work = m.hands / shop.hours_a_week * 7.0 * 86400.0
    case = np.where(work >= m.weeks * (1.0 - 1e-9), 0, np.where(m.cures >= m.weeks * (1.0 - 1e-9), 1, 2))
    make.add(
        "time", name="Time from the first cut to the water", part="workshop", meaning="annoys", demand=m.weeks,
        capacity=np.where(asked, shop.time, 1.0), unit="s", required=0.2,
        required_why=f"hours are known to a third; {LAY_UPS:.0f} cures and those of the foam wait for each other",
        source=JUDGED, inputs=f"workshop.time workshop.hours_a_week workshop.cure_time workshop.printers {BOARD}",
        cases=("the hours of work", "the cures", "the printer"), case=case.astype(np.intp), applies=asked,
    )  # fmt: skip
    limited = np.isfinite(shop.budget)
    make.add(
        "money", name="Money for all that the craft is made of", part="workshop", meaning="annoys", demand=m.money,
        capacity=np.where(limited, shop.budget, 1.0), unit="1", required=0.1,
        required_why="prices are known to a third; what you own comes off (see the list of foilwright parts)",
        source="Hobby trade, judgement: data/workshop/prices.csv",
        inputs=f"workshop.budget workshop.price_level workshop.reserve pack.series pack.parallel {BOARD}",
        applies=limited,
    )  # fmt: skip
