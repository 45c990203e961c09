"""`dry`: does the box keep water out and pressure in bounds?"""

from __future__ import annotations

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.physics import air, box, seal
from foilwright.physics.box.lid import REFERENCE_TEMPERATURE
from foilwright.questions.afloat import HULL, MASS
from foilwright.questions.finding import Beyond, Finding, Maker, used
from foilwright.questions.state import State
from foilwright.questions.state.dryness import LOW_PARTS
from foilwright.questions.state.level import is_named
from foilwright.questions.stated import first_open, governing

LID = "box.lid_length box.lid_width box.lid_thickness box.lid_material"
LID_PATHS = tuple(LID.split())
SHUT = "box.closed_temperature box.dew_point water.temperature"
SUN = "box.closed_temperature box.dew_point box.hottest"
VENT = f"box.vent box.vent_area box.vent_height box.cooling_time box.air_volume {HULL} {MASS}"
FALL = "box.depth ride.leg"
SEAL = "box.seal box.seal_width box.seal_thickness box.seal_squeeze box.cord_hardness box.groove_depth box.groove_width"
FASTENED = "box.fastenings box.flange_width box.hottest"
PLATES = "Rectangular plates, simply supported (Timoshenko & Woinowsky-Krieger 1959; Roark 2012)"
GAS_LAW = "Perfect gas at constant volume, vapour by Magnus (WMO No. 8, 2018)"
BOW_SHARE, HEEL_SHARE = 1.0 / 200.0, 1.0 / 100.0
"""Bow over the short side that seal and screws bear, and under a heel for a moment [-]; practice."""
DROP = 1e-6
"""Water on the electronics that does harm, some twenty drops [m^3]; estimate."""
SPOON = 5e-6
"""Water in an hour that a box may let in, a teaspoon [m^3]; estimate."""
HOUR = 3600.0
TESTS = (
    "a hold weaker than numeral 7 of IEC 60529",
    "a hold like numeral 7 of IEC 60529, 1 m for 30 min",
    "a hold harder than numeral 7 of IEC 60529",
)


class Dry:
    """The watertight box."""

    name = "dry"
    asks = "Does the box keep water out and pressure in bounds: lid, seal, screws, glands, trapped air, a venting cell?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        _air(make, state)
        _lid(make, state)
        _seal(make, state)
        _fastenings(make, state)
        _wires(make, state)
        _venting(make, state)
        _inside(make, state)
        _outside(make, state)
        return make.made


def beyond_air(state: State) -> tuple[Beyond, ...]:
    """Return what the model of the trapped air says about the values it was used at."""
    return used(
        air.trapped_air, closed_temperature=state.craft.box.closed_temperature, temperature=state.craft.box.hottest
    )


def beyond_lid(state: State, bow: Array) -> tuple[Beyond, ...]:
    """Return what the plate says about its bow, thickness and temperature."""
    b, plate = state.craft.box, state.dryness.lid
    warm = Beyond(
        model="box.lid", variable="temperature", value=np.maximum(b.hottest, REFERENCE_TEMPERATURE) - plate.hottest,
        low=-np.inf, high=0.0, means="the lid is so warm that it softens at once", decides=False,
    )  # fmt: skip
    return (
        *used(box.lid, deflection_ratio=np.abs(bow) / b.lid_thickness, thickness_ratio=b.lid_thickness / plate.short),
        warm,
    )


def _air(make: Maker, state: State) -> None:
    """Add what the trapped air does to the lid when water cools it, and the vent."""
    b, t, plate = state.craft.box, state.dryness.trapped, state.dryness.lid
    missing, open_ = first_open(state.craft, *LID_PATHS)
    cases = ("no vent that works above the water", "with the vent")
    make.add(
        "suction", name="Inward pressure when the water cools the trapped air", part="lid", meaning="breaks",
        demand=-t.cold, capacity=plate.lasting / plate.stress, unit="Pa", required=0.5,
        required_why="lasting stress of sheet is known to a third; close the box cool, give it a vent, or thicken"
        " the lid",
        source=f"{GAS_LAW}; {PLATES}", model="air.trapped_air", inputs=f"{SHUT} {VENT} {LID}", cases=cases,
        case=t.vents.astype(np.intp), missing=missing, is_missing=open_, beyond=beyond_air(state),
    )  # fmt: skip
    tight = is_named(b.vent, "none", "")
    entry = _membrane(b.vent)
    make.add(
        "vent", name="Water against the vent's membrane in a fall", part="vent", meaning="breaks",
        demand=state.dryness.water_pressure, capacity=entry, unit="Pa", required=0.5,
        required_why="membranes of one grade differ, and dirt lets water through sooner",
        source="Still water and a share of the dynamic pressure; grades of porous membranes, common practice",
        model="box.design_pressure", inputs=f"box.vent {FALL} water.kind", applies=~tight,
    )  # fmt: skip


def _membrane(names: tuple[str, ...]) -> Array:
    """Return the lowest pressure at which water comes through a membrane."""
    grades = table("box/vents")
    rows = [grades.texts["membrane"].index(name) if name in grades.texts["membrane"] else 0 for name in names]
    return grades.columns["entry_low"][rows]


def _lid(make: Maker, state: State) -> None:
    """Add bow and stress of the lid in each case."""
    b, t, plate = state.craft.box, state.dryness.trapped, state.dryness.lid
    missing, open_ = first_open(state.craft, *LID_PATHS)
    stood = is_named(b.lid_place, "stood on")
    case, bow, allowed, needs = governing(
        [-t.cold * plate.bow, t.warm * plate.warm_bow], [BOW_SHARE * plate.short, BOW_SHARE * plate.short], [0.25, 0.25]
    )
    make.add(
        "lid_bow", name="Bow of the lid in its middle under the trapped air", part="lid", meaning="breaks", demand=bow,
        capacity=allowed, unit="m", required=needs,
        required_why="a lid that bows by 1/200 of its width lifts its rim off the seal; close the box cool and shade"
        " it,"
        " give it a vent, or thicken the lid",
        source=f"{PLATES}; limit by common practice", model="box.lid", inputs=f"{SHUT} box.hottest {VENT} {LID}",
        cases=("inward, cooled by the water", "outward, warmed by the sun"), case=case, beyond=beyond_lid(state, bow),
        missing=missing, is_missing=open_,
    )  # fmt: skip
    make.add(
        "heel", name="Bow of the warm lid under a heel", part="lid", meaning="breaks", demand=plate.heel_bow,
        capacity=HEEL_SHARE * plate.short, unit="m", required=0.0,
        required_why="the seal may open for a moment, but the lid must not touch what lies under it",
        source=f"{PLATES}; limit by common practice", model="box.heel_on_lid",
        inputs=f"{LID} box.lid_place box.hottest rider.mass rider.kit_mass", missing=missing, is_missing=open_,
        applies=stood, beyond=beyond_lid(state, plate.heel_bow),
    )  # fmt: skip
    warm = plate.softened
    case, stress, bears, needs = governing(
        [state.dryness.inward * plate.stress, t.warm * plate.stress, np.where(stood, plate.heel_stress, 0.0)],
        [plate.strength, plate.lasting * warm, plate.strength * warm], [1.0, 0.5, 1.0],
    )  # fmt: skip
    make.add(
        "lid_stress", name="Stress of the lid", part="lid", meaning="breaks", demand=stress, capacity=bears, unit="Pa",
        required=needs, required_why="notches at screw holes, ageing and blows are not in it",
        source=f"{PLATES}; strengths in data/box/lids.csv", model="box.lid",
        inputs=f"{SHUT} box.hottest {VENT} {LID} box.lid_place {FALL} rider.mass rider.kit_mass",
        cases=("pushed under and struck in a fall", "outward, air warmed by the sun", "a heel in the middle, warm"),
        case=case, beyond=beyond_lid(state, bow), missing=missing, is_missing=open_,
    )  # fmt: skip


def _seal(make: Maker, state: State) -> None:
    """Add squeeze, crowding and pressure of the seal."""
    b, s = state.craft.box, state.sealing
    kinds = ("sponge", "cord")
    missing, open_ = first_open(state.craft, "box.seal")
    all_missing, any_open = first_open(state.craft, "box.seal", "box.fastenings", *LID_PATHS)
    squeezed = used(seal.sponge_pressure, squeeze=np.where(s.cord, 0.3, s.squeeze))
    make.add(
        "squeeze", name="Squeeze left in an aged seal between two fastenings", part="seal", meaning="breaks",
        demand=s.least, capacity=s.left, unit="1", required=0.5,
        required_why="sets of rubber differ, and a flange is never flat; test: paper strips, then a vacuum hold",
        source="Beam between fastenings, seal makers' design guides; compression set as ASTM D395",
        model="seal.squeeze_left",
        inputs=f"{SEAL} box.seal_set {FASTENED} {LID}", cases=kinds, case=s.cord.astype(np.intp),
        missing=all_missing, is_missing=any_open, beyond=squeezed,
    )  # fmt: skip
    make.add(
        "seal_room", name="Squeeze of a sponge, or a cord's share of its groove", part="seal", meaning="breaks",
        demand=s.crowding, capacity=s.room, unit="1", required=0.05,
        required_why="crushed sponge takes a set, and a full groove bends the lid; stop blocks hold the height",
        source="Seal makers: sponge to 50 %, grooves filled to 85 %", model="seal.cord_groove", inputs=SEAL,
        cases=kinds,
        case=s.cord.astype(np.intp), missing=missing, is_missing=open_, beyond=squeezed,
    )  # fmt: skip
    make.add(
        "seal_pressure", name="Pressure of the aged seal against water in a fall", part="seal", meaning="breaks",
        demand=state.dryness.water_pressure, capacity=s.contact, unit="Pa", required=0.25,
        required_why="a seal keeps out less than it presses; the low end of its grade is taken",
        source="Grades of ASTM D1056; cords by Lindley 1967; still water and a share of the dynamic pressure",
        model="seal.sponge_pressure", inputs=f"{SEAL} box.seal_set {FASTENED} {LID} {FALL} water.kind",
        missing=all_missing, is_missing=any_open, beyond=squeezed,
    )  # fmt: skip
    screws = is_named(b.fastening, "screws in inserts", "screws through")
    hole_missing, hole_open = first_open(state.craft, "box.lid_length", "box.lid_width", "box.lid_material")
    make.add(
        "growth", name="Room of the screw holes for the lid to grow", part="lid", meaning="breaks", demand=s.growth,
        capacity=b.hole_clearance, unit="m", required=0.0,
        required_why="a sheet that cannot grow cracks from its holes; the box is taken not to grow",
        source="Linear expansion, data/box/lids.csv", model="box.hole_clearance",
        inputs=f"box.hole_clearance {LID} box.fastening box.hottest water.temperature", applies=screws,
        missing=hole_missing, is_missing=hole_open,
    )  # fmt: skip


def _fastenings(make: Maker, state: State) -> None:
    """Add pitch and force of screws, clamps or latches."""
    b, s = state.craft.box, state.sealing
    missing, open_ = first_open(state.craft, "box.fastenings", "box.seal", *LID_PATHS)
    make.add(
        "pitch", name="Distance of the lid's fastenings", part="fastenings", meaning="breaks", demand=s.pitch,
        capacity=s.pitch_most, unit="m", required=0.0,
        required_why="a quarter of the squeeze may go between two of them; practice stops at 80 mm, stiff lids at"
        " 100 mm",
        source="Beam between fastenings, seal makers' design guides; common practice", model="seal.fastening_pitch",
        inputs=f"{SEAL} {FASTENED} {LID}", missing=missing, is_missing=open_,
    )  # fmt: skip
    in_inserts = is_named(b.fastening, "screws in inserts")
    force = "Seal and pressure of the warm air on the lid, shared by all fastenings"
    forces = f"{SEAL} {FASTENED} {LID} {SUN} {VENT} box.fastening"
    missing, open_ = first_open(
        state.craft, "box.fastening", "box.fastenings", "box.seal", *LID_PATHS, "box.fastening_limit"
    )
    make.add(
        "fastening", name="Force on one screw, clamp or latch, box warm", part="fastenings", meaning="breaks",
        demand=s.each, capacity=b.fastening_limit, unit="N", required=0.5,
        required_why="they do not share alike, and the seal's high end presses harder after a fresh closing",
        source=force, model="seal.closing_force", inputs=f"{forces} box.fastening_limit", missing=missing,
        is_missing=open_, applies=~in_inserts,
    )  # fmt: skip
    missing, open_ = first_open(
        state.craft,
        "box.fastenings",
        "box.seal",
        *LID_PATHS,
        "box.insert_diameter",
        "box.insert_length",
        "box.insert_host",
    )
    make.add(
        "insert", name="Pull on one threaded insert, box warm", part="fastenings", meaning="breaks", demand=s.each,
        capacity=s.insert, unit="N", required=0.25,
        required_why="a quarter of the mean pull-out is used already; they do not share alike; proof: pull one out"
        " of a scrap",
        source=f"{force}; shear of the host around the insert", model="joint.insert_pull_out",
        inputs=f"{forces} box.insert_diameter box.insert_length box.insert_host", missing=missing, is_missing=open_,
        applies=in_inserts,
    )  # fmt: skip


def _wires(make: Maker, state: State) -> None:
    """Add what comes in along the wires."""
    g, b = state.dryness.gland, state.craft.box
    missing, open_ = first_open(state.craft, "box.gland_limit")
    case, pressure, holds, needs = governing([g.duct, g.deep], [b.gland_limit, b.gland_limit], [0.5, 0.5])
    make.add(
        "gland", name="Water against the glands of the wires", part="glands", meaning="breaks", demand=pressure,
        capacity=holds, unit="Pa", required=needs,
        required_why="a gland holds less when the wire bends at it; one round jacket to a gland, a drip loop behind it",
        source="Bernoulli along a duct without flow; hydrostatics", model="box.duct_head",
        inputs=f"box.gland_limit box.gland_height box.duct {FALL} water.kind",
        cases=("ram water up the mast's duct as the board touches down", "pushed under in a fall"), case=case,
        missing=missing, is_missing=open_,
    )  # fmt: skip
    make.add(
        "wick", name="Water that creeps between the strands in a ride", part="wires", meaning="breaks",
        demand=g.wicked, capacity=np.full(make.designs, DROP), unit="m^3", required=1.0,
        required_why="bundles differ; test: one end in coloured water overnight, the other on white paper",
        source="Poiseuille between round strands (Shah & London 1978); harm by an estimate", model="box.strand_wick",
        inputs="box.wire_block box.strand_diameter wires.phase_area wires.phase_length box.gland_height ride.leg"
        " water.kind",
    )  # fmt: skip


def _venting(make: Maker, state: State) -> None:
    """Add the pressure of a failing cell's gas."""
    b, s = state.craft.box, state.sealing
    none = b.relief_area <= 0.0
    path, open_ = first_open(state.craft, "box.relief_area")
    opens, opens_open = first_open(state.craft, "box.relief_pressure")
    lid, lid_open = first_open(state.craft, *LID_PATHS)
    volume_open = np.isnan(state.dryness.trapped.volume)
    named = [(path, open_), (opens, opens_open & ~none), ("box.air_volume", volume_open & ~open_), (lid, lid_open)]
    missing = next((path for path, flag in named if flag.any()), "")
    make.add(
        "relief", name="Gas of one failing cell against what holds the lid", part="relief", meaning="burns",
        demand=s.vented, capacity=s.gives_way, unit="Pa", required=0.5,
        required_why="gas and haste are taken at their quick end; open a swollen or flooded box outdoors, by its"
        " relief, face away",
        source="Koch, Fill and Birke 2018; Golubkov et al. 2014; Sturk et al. 2019; flow of a perfect gas through an"
        " orifice",
        model="box.relief_pressure",
        inputs=f"box.relief_area box.relief_pressure box.air_volume cell.kind cell.capacity {LID} {SEAL} box.hottest"
        " box.fastenings box.fastening_limit box.insert_diameter box.insert_length box.insert_host",
        cases=("no relief: the box is shut", "through the relief"), case=(~none).astype(np.intp), missing=missing,
        is_missing=np.any([flag for _, flag in named], axis=0),
    )  # fmt: skip


def _inside(make: Maker, state: State) -> None:
    """Add damp, leaks and what stands lowest."""
    b, d = state.craft.box, state.dryness
    t = d.trapped
    unfilled = np.isnan(t.volume)
    missing = "box.air_volume" if unfilled.any() else ""
    no_gel, gel_open = first_open(state.craft, "box.desiccant")
    gel = air.desiccant_mass(
        volume=t.volume, temperature=b.closed_temperature, humidity=t.humidity, openings=np.ones(make.designs),
        damp=b.damp,
    )  # fmt: skip
    make.add(
        "condensation", name="Drying gel for the damp that is shut in", part="box", meaning="annoys",
        demand=np.where((t.closed.dew > 0.0) | (b.damp > 0.0), gel, 0.0), capacity=b.desiccant, unit="kg", required=0.0,
        required_why="three times what the damp needs is asked already; dry gel and box after each opening",
        source="Vapour by Magnus (WMO No. 8, 2018); silica gel takes up 12 % at 24 % humidity",
        model="air.desiccant_mass",
        inputs=f"box.desiccant box.damp box.air_volume {SHUT}", missing=no_gel or missing,
        is_missing=gel_open | unfilled,
    )  # fmt: skip
    paths = ("measured.box_vacuum", "measured.box_vacuum_left", "measured.box_vacuum_time")
    path, open_ = first_open(state.craft, *paths)
    make.add(
        "leak", name="Water in an hour afloat through the leak that a vacuum hold told", part="box", meaning="stops",
        demand=np.maximum(d.leak, 0.0) * HOUR, capacity=np.full(make.designs, SPOON), unit="m^3", required=1.0,
        required_why="path and hole differ; hold 20 kPa below outside for 30 min, read pressure and temperature; no"
        " jets, no heat",
        source="Perfect gas; Poiseuille and orifice flow of air and water; IEC 60529 for the likeness",
        model="box.vacuum_hold",
        inputs=f"{' '.join(paths)} measured.box_vacuum_warming box.air_volume {SHUT} {VENT}", cases=TESTS,
        case=np.select([d.hold.numeral >= 8.0, d.hold.numeral >= 7.0], [2, 1], 0).astype(np.intp),
        missing=path or missing, is_missing=open_ | unfilled, applies=np.isfinite(b.vacuum),
        beyond=used(box.vacuum_hold, vacuum=0.5 * (b.vacuum + b.vacuum_left), time=b.vacuum_time),
    )  # fmt: skip
    path, open_ = first_open(state.craft, "box.lid_length", "box.lid_width")
    make.add(
        "lowest", name="What stands lowest, above half a litre of water", part="box", meaning="burns",
        kind="difference",
        scale=0.01, demand=d.puddle, capacity=d.lowest, unit="m", required=0.005,
        required_why="the board trims and heels; salt water on live parts makes heat and gas",
        source="Half a litre on the floor under the lid; half heights of the parts are estimates", model="box.head",
        inputs="box.floor box.lid_length box.lid_width pack.z controller.z radio.receiver_height",
        cases=LOW_PARTS, case=d.lowest_part, missing=path, is_missing=open_,
    )  # fmt: skip


def _outside(make: Maker, state: State) -> None:
    """Add the parts outside the box."""
    craft = state.craft
    missing, open_ = first_open(craft, "pod.seal_limit")
    make.add(
        "pod", name="Water against seals and joints of the motor's housing", part="pod", meaning="stops",
        demand=state.dryness.pod, capacity=craft.pod.seal_limit, unit="Pa", required=0.5,
        required_why="lips wear and joints age; test: the hold of the box, made on the housing, shaft turning",
        source=f"Hydrostatics and stagnation pressure; {GAS_LAW}", model="box.head",
        inputs=f"pod.seal_limit pod.filling pod.above_wing mast.length {SHUT} ride.leg {HULL} {MASS}",
        missing=missing, is_missing=open_, applies=~is_named(craft.pod.filling, "water"),
    )  # fmt: skip
    missing, open_ = first_open(craft, "radio.transmitter_rating")
    numeral = np.array([float(rating[-1]) if rating else np.nan for rating in craft.radio.transmitter_rating])
    make.add(
        "transmitter", name="A transmitter made to be dropped in the water", part="transmitter", meaning="hurts",
        kind="difference", demand=np.ones(make.designs), capacity=np.where(numeral >= 7.0, 1.0, 0.0), unit="1",
        required=0.0,
        required_why="wet electronics may send any throttle; test: a bucket for 30 min, controller off, then every"
        " function",
        source="IEC 60529, numeral 7: 1 m for 30 min", model="box.immersion_likeness",
        inputs="radio.transmitter_rating",
        missing=missing, is_missing=open_,
    )  # fmt: skip
