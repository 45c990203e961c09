"""How the modules, the controller and the receiver are joined, joint by joint where it matters; the charger."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, choice, count, flag, quantity, ratio, text
from foilwright.build.schema.people import PRACTICE
from foilwright.build.schema.power import CELL_KINDS, LIMIT
from foilwright.core.data import table
from foilwright.network import KINDS

FUSES = table("wiring/fuses").texts["kind"]
SOURCES = table("wiring/charge_sources").texts["source"]
ELEMENTS = tuple(sorted(kind.__name__.lower() for kind in KINDS))


class Wires(Block):
    """The wiring in its short form: modules, contacts, leads, fuses, switch, phases."""

    phase_area: float | None = quantity(
        "m^2",
        "copper area of one phase lead",
        ("0.5 mm^2", "50 mm^2"),
        "6 mm^2",
        default=assume("6 mm^2", "4 mm^2", "10 mm^2", PRACTICE),
    )
    phase_length: float | None = quantity(
        "m",
        "length of one phase lead",
        ("5 cm", "3 m"),
        "1.2 m",
        default=assume("1.2 m", "0.8 m", "1.6 m", PRACTICE),
    )
    modules_in_series: int | None = count("modules of the pack in series", (1, 8), 2, default=assume(1, 1, 2, PRACTICE))
    modules_side_by_side: int | None = count(
        "strings of modules side by side", (1, 6), 2, default=assume(1, 1, 3, PRACTICE)
    )
    contacts: int | None = count(
        "pairs of contacts side by side at each joint", (1, 6), 1, default=assume(1, 1, 2, PRACTICE)
    )
    contact_diameter: float | None = quantity(
        "m",
        "diameter of the bullet contacts",
        ("3.5 mm", "8 mm"),
        "6 mm",
        default=assume("6 mm", "4 mm", "8 mm", PRACTICE),
    )
    contact_wear: str | None = choice(
        "state of the contacts: new, or worn, salted or loose",
        ("new", "worn"),
        default=assume("new", "new", "worn", PRACTICE),
    )
    contact_cover: str | None = choice(
        "whether the contacts on the side of the pack are covered or bare",
        ("covered", "bare"),
        default=assume("covered", "covered", "bare", PRACTICE),
    )
    contact_resistance: float | None = quantity(
        "ohm",
        "resistance of one pair of contacts (left out: by diameter and wear)",
        ("0.01 mohm", "20 mohm"),
        "0.2 mohm",
    )
    lead_area: float | None = quantity(
        "m^2",
        "copper area of the leads of one string",
        ("0.9 mm^2", "100 mm^2"),
        "10 mm^2",
        default=assume("10 mm^2", "6 mm^2", "16 mm^2", PRACTICE),
    )
    lead_length: float | None = quantity(
        "m",
        "length of the lead from a string to where the strings meet, one way",
        ("1 cm", "3 m"),
        "0.30 m",
        default=assume("0.30 m", "0.1 m", "0.6 m", PRACTICE),
    )
    stub_length: float | None = quantity(
        "m",
        "length of lead from the plus pole of a string to its fuse",
        ("1 mm", "3 m"),
        "0.08 m",
        default=assume("0.08 m", "0.02 m", "0.3 m", PRACTICE),
    )
    jumper_length: float | None = quantity(
        "m",
        "length of the jumper between two modules in series",
        ("1 cm", "2 m"),
        "0.15 m",
        default=assume("0.15 m", "0.05 m", "0.4 m", PRACTICE),
    )
    main_area: float | None = quantity(
        "m^2",
        "copper area of one lead to the controller",
        ("0.9 mm^2", "100 mm^2"),
        "16 mm^2",
        default=assume("16 mm^2", "8 mm^2", "25 mm^2", PRACTICE),
    )
    main_length: float | None = quantity(
        "m",
        "length of the leads to the controller, one way",
        ("1 cm", "3 m"),
        "0.25 m",
        default=assume("0.25 m", "0.1 m", "0.6 m", PRACTICE),
    )
    inputs: int | None = count(
        "pairs of leads to the controller, side by side", (1, 4), 1, default=assume(1, 1, 2, PRACTICE)
    )
    insulation: float | None = quantity(
        "K",
        "temperature that the insulation of the leads and what touches it bear",
        ("60 degC", "200 degC"),
        "105 degC",
        default=assume("105 degC", "80 degC", "125 degC", "class 105 in air, 80 degC beside foam; " + PRACTICE),
    )
    fuse_rating: float | None = quantity(
        "A", "rating of the fuse of each string (0 A: there is none)", ("0 A", "600 A"), "80 A"
    )
    fuse_kind: str | None = choice("kind of fuse, for the usual ratings of its kind", FUSES)
    fuse_voltage: float | None = quantity(
        "V",
        "direct voltage printed on the fuse (left out: the usual one of its kind)",
        ("5 V", "1000 V"),
        "72 V",
        fixed=LIMIT,
    )
    fuse_interrupting: float | None = quantity(
        "A",
        "short-circuit current that the fuse can break (left out: the usual one of its kind)",
        ("50 A", "200000 A"),
        "10000 A",
        fixed=LIMIT,
    )
    main_switch: str | None = choice("what parts the pack from the controller", ("switch", "loop key", "none"))
    precharge: float | None = quantity(
        "ohm", "resistor that fills the controller's capacitors (0 ohm: there is none)", ("0 ohm", "1000 ohm"), "47 ohm"
    )
    precharge_energy: float | None = quantity(
        "J", "energy of one pulse that this resistor bears", ("0.1 J", "5000 J"), "20 J", fixed=LIMIT
    )
    receiver_feed: str | None = choice(
        "what feeds the receiver (left out: as radio.receiver_supply says)",
        ("the pack through a step-down", "own battery through a step-down", "own battery"),
    )
    receiver_cells: int | None = count(
        "cells in series in a battery of the receiver's own", (1, 6), 2, default=assume(1, 1, 2, PRACTICE)
    )
    receiver_limit: float | None = quantity(
        "V",
        "highest voltage that the receiver bears",
        ("3 V", "40 V"),
        "6 V",
        fixed=LIMIT,
        default=assume("6 V", "5.5 V", "8.4 V", PRACTICE),
    )
    step_down_limit: float | None = quantity(
        "V", "highest voltage at the input of the step-down supply", ("5 V", "400 V"), "75 V", fixed=LIMIT
    )
    receiver_area: float | None = quantity(
        "m^2",
        "copper area of the leads that feed the receiver",
        ("0.9 mm^2", "10 mm^2"),
        "1 mm^2",
        default=assume("1 mm^2", "0.9 mm^2", "2.5 mm^2", PRACTICE),
    )
    receiver_fuse: float | None = quantity(
        "A",
        "rating of the fuse in the receiver's feed (0 A: there is none)",
        ("0 A", "30 A"),
        "3 A",
        default=assume("3 A", "1 A", "5 A", PRACTICE),
    )
    signal_ground: str | None = choice(
        "whether the minus of a receiver's own battery is joined to that of the controller",
        ("joined", "parted"),
        default=assume("joined", "joined", "parted", PRACTICE),
    )
    poles: str | None = choice(
        "whether both poles of the pack float, or one is tied to water or to metal in it",
        ("floating", "tied to the water"),
        default=assume("floating", "floating", "tied to the water", PRACTICE),
    )
    rotation: str | None = choice(
        "sense of the shaft in a test with forward throttle, seen from behind: right is clockwise",
        ("right", "left"),
        beach=True,
    )
    braking: str | None = choice(
        "whether the controller brakes by the motor",
        ("on", "off"),
        beach=True,
        default=assume("off", "off", "on", PRACTICE),
    )
    voltage_apart: float | None = quantity(
        "V",
        "how far apart the strings may be when they are joined, for each cell",
        ("0 V", "1.5 V"),
        "0.02 V",
        beach=True,
        default=assume("0.02 V", "0 V", "0.05 V", PRACTICE),
    )
    resistance_spread: float | None = quantity(
        "1",
        "how much more resistance the oldest string has than the others",
        ("0 %", "300 %"),
        "10 %",
        default=assume("10 %", "0 %", "50 %", PRACTICE),
    )


class Joint(Block):
    """One element of the wiring that is not as in the short form, new or left out."""

    name: str = text("name of an element of the short form, or of a new one", "series jumper", required=True)
    kind: str | None = choice("what a new element is", ELEMENTS)
    left_out: bool | None = flag("true where this element of the short form is not there")
    start: str | None = text("joint at its start; plus of a module, a battery or a load", "module 2.1 plus")
    end: str | None = text("joint at its end; minus of a module, a battery or a load", "module 1.1 minus")
    cell: str | None = choice("kind of cell in a module", CELL_KINDS)
    series: int | None = count("cells in series in a module", (1, 28), 7)
    parallel: int | None = count("cells side by side in a module", (1, 60), 4)
    capacity: float | None = quantity("A*s", "capacity of a module", ("0.1 Ah", "2000 Ah"), "20 Ah")
    charge: float | None = quantity("1", "charge of a module now", ("0 %", "100 %"), "90 %", beach=True)
    open_voltage: float | None = quantity(
        "V", "voltage of a module at rest, now (left out: by its charge)", ("0.5 V", "130 V"), "28.7 V", beach=True
    )
    full_voltage: float | None = quantity(
        "V", "voltage of a full module (left out: by its kind of cell)", ("1 V", "130 V"), "29.4 V"
    )
    charge_limit: float | None = quantity(
        "A", "charging current that a module bears", ("0.05 A", "500 A"), "10 A", fixed=LIMIT
    )
    current_limit: float | None = quantity(
        "A", "current that a module, or a controller from the pack, bears", ("0.5 A", "1000 A"), "60 A", fixed=LIMIT
    )
    resistance: float | None = quantity(
        "ohm", "resistance of a module, contact, switch or resistor", ("0.001 mohm", "1000 ohm"), "25 mohm"
    )
    area: float | None = quantity("m^2", "copper area of a lead", ("0.9 mm^2", "100 mm^2"), "10 mm^2")
    length: float | None = quantity("m", "length of a lead", ("1 mm", "5 m"), "0.15 m")
    bundled: int | None = count("leads that carry current and lie together", (1, 24), 3)
    sheathed: bool | None = flag("true where a lead runs in a sheath all the way")
    diameter: float | None = quantity("m", "diameter of a contact", ("3.5 mm", "8 mm"), "6 mm")
    worn: bool | None = flag("true where a contact is worn")
    insulated: bool | None = flag("false where a contact is bare")
    rating: float | None = quantity("A", "rating of a fuse", ("0.1 A", "600 A"), "60 A")
    voltage_limit: float | None = quantity(
        "V", "voltage that a fuse, controller, supply or receiver bears", ("1 V", "1000 V"), "72 V", fixed=LIMIT
    )
    voltage_low: float | None = quantity("V", "least voltage of a receiver", ("1 V", "20 V"), "4.5 V")
    current: float | None = quantity("A", "current that a receiver draws", ("0.1 mA", "20 A"), "0.1 A")
    interrupting: float | None = quantity(
        "A", "current that a fuse can break", ("50 A", "200000 A"), "10000 A", fixed=LIMIT
    )
    braking: bool | None = flag("true where a controller brakes by the motor")
    sense: float | None = ratio(
        "sense of the shaft: 1 clockwise seen from behind, -1 the other way (in place of wires.rotation)",
        (-1.0, 1.0),
        1.0,
    )
    wanted: float | None = ratio(
        "hand that the motor is asked for: 1 right, -1 left (in place of propeller.hand)", (-1.0, 1.0), 1.0
    )


class Charger(Block):
    """The charger, and how the pack is charged, kept and carried."""

    voltage: float | None = quantity("V", "voltage at which the charger holds", ("3 V", "150 V"), "54.6 V", fixed=LIMIT)
    current: float | None = quantity("A", "charging current", ("0.1 A", "200 A"), "5 A", fixed=LIMIT)
    efficiency: float | None = quantity(
        "1",
        "share of the power that the charger passes on",
        ("50 %", "100 %"),
        "90 %",
        default=assume("90 %", "85 %", "94 %", PRACTICE),
    )
    temperature: float | None = quantity(
        "K",
        "temperature of the cells while they are charged",
        ("-20 degC", "60 degC"),
        "18 degC",
        beach=True,
        default=assume("18 degC", "5 degC", "30 degC", PRACTICE),
    )
    time: float | None = quantity(
        "s",
        "time in which the pack shall be full again",
        ("10 min", "48 h"),
        "8 h",
        beach=True,
        default=assume("10 h", "4 h", "14 h", "over night"),
    )
    protection: str | None = choice(
        "what watches each cell while it is charged", ("a board in each module", "a balance lead", "nothing")
    )
    balance_current: float | None = quantity(
        "A",
        "current by which full cells are bypassed",
        ("5 mA", "5 A"),
        "60 mA",
        default=assume("60 mA", "30 mA", "100 mA", "protection boards, common practice"),
    )
    cell_spread: float | None = quantity(
        "1",
        "difference of charge between the fullest and the emptiest cells",
        ("0 %", "50 %"),
        "2 %",
        default=assume("2 %", "0.5 %", "5 %", PRACTICE),
    )
    source: str | None = choice(
        "what feeds the charger",
        SOURCES,
        beach=True,
        default=assume("mains socket", "mains socket", SOURCES[-1], PRACTICE),
    )
    place: str | None = choice(
        "where the pack is charged, and whether someone is there and awake",
        ("outdoors, watched", "shed, watched", "dwelling, watched", "unwatched"),
        beach=True,
        default=assume("dwelling, watched", "outdoors, watched", "unwatched", PRACTICE),
    )
    state: str | None = choice(
        "state of the pack before it is charged",
        ("dry", "wet", "knocked or swollen"),
        beach=True,
        default=assume("dry", "dry", "wet", PRACTICE),
    )
    stored_charge: float | None = quantity(
        "1",
        "charge at which the pack is kept between rides",
        ("0 %", "100 %"),
        "50 %",
        beach=True,
        default=assume("50 %", "30 %", "100 %", PRACTICE),
    )
    carriage: str | None = choice(
        "how the pack travels",
        ("own vehicle", "public transport", "aircraft", "parcel"),
        beach=True,
        default=assume("own vehicle", "own vehicle", "parcel", PRACTICE),
    )
