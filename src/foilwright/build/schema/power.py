"""Motor, gear, propeller, controller, cells and pack."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, choice, count, quantity, ratio
from foilwright.build.schema.people import PRACTICE
from foilwright.core.data import table

CELL_KINDS = table("cells/kinds").texts["kind"]
SEATS = table("heat/derating").texts["place"]
LIMIT = "a limit comes with the part"


class Motor(Block):
    """The motor, by its constants."""

    speed_constant: float = quantity(
        "rad/s/V",
        "speed of rotation a volt, without load",
        ("20 rpm/V", "3000 rpm/V"),
        "110 rpm/V",
        required=True,
    )
    resistance: float = quantity(
        "ohm",
        "resistance between two phase leads at 20 degC",
        ("0.3 mohm", "500 mohm"),
        "25 mohm",
        required=True,
    )
    idle_current: float | None = quantity(
        "A",
        "current without load, part that does not grow with speed, in water",
        ("0 A", "30 A"),
        "1.5 A",
        default=assume("1.5 A", "0.8 A", "4 A", "engineering estimate for 24 to 60 V motors"),
    )
    idle_slope: float | None = quantity(
        "A*s/rad",
        "growth of the idle current with speed",
        ("0 A*s/rad", "0.05 A*s/rad"),
        "0.003 A*s/rad",
        default=assume("0.003 A*s/rad", "0.001 A*s/rad", "0.008 A*s/rad", "engineering estimate"),
    )
    pole_pairs: int | None = count("pairs of magnet poles", (1, 40), 7, default=assume(7, 2, 14, PRACTICE))
    mass: float = quantity("kg", "mass of the motor", ("0.1 kg", "8 kg"), "1.5 kg", required=True)
    current_limit: float | None = quantity(
        "A", "current that it bears continuously in water", ("5 A", "400 A"), "80 A", fixed=LIMIT
    )
    winding_limit: float | None = quantity(
        "K",
        "highest winding temperature",
        ("60 degC", "200 degC"),
        "100 degC",
        fixed=LIMIT,
        default=assume("100 degC", "90 degC", "130 degC", "IEC 60034-1 class 130 with allowance for the magnets"),
    )
    thermal_resistance: float | None = quantity(
        "K/W",
        "thermal resistance from winding to water",
        ("0.02 K/W", "5 K/W"),
        "0.35 K/W",
        default=assume("0.35 K/W", "0.2 K/W", "0.6 K/W", "engineering estimate for a water-wetted housing"),
    )


class Gear(Block):
    """The reduction between motor and propeller; left out, the drive is direct."""

    ratio: float | None = ratio(
        "motor turns for one turn of the propeller",
        (1.0, 12.0),
        4.0,
        default=assume(1.0, 1.0, 1.0, "direct drive"),
    )
    efficiency: float | None = quantity(
        "1",
        "share of the power that passes",
        ("80 %", "100 %"),
        "96 %",
        default=assume(
            "97 %", "95 %", "98 %", "gear makers' range for one planetary stage; 100 % where the ratio is 1"
        ),
    )


class Propeller(Block):
    """The propeller, as a member of the B-series."""

    diameter: float = quantity("m", "diameter of the propeller", ("6 cm", "40 cm"), "16 cm", required=True)
    pitch: float = quantity("m", "pitch: way of one turn without slip", ("3 cm", "56 cm"), "15 cm", required=True)
    blades: int = count("number of blades", (2, 6), 3, required=True)
    area_ratio: float | None = ratio(
        "expanded blade area over disc area", (0.3, 1.05), 0.5, default=assume(0.5, 0.35, 0.65, PRACTICE)
    )
    finish: str | None = choice(
        "surface of the blades: polished, sanded, or printed as it comes",
        ("polished", "sanded", "printed"),
        default=assume("sanded", "printed", "polished", PRACTICE),
    )
    material: str | None = choice(
        "what it is made of",
        ("aluminium", "stainless steel", "carbon laminate", "glass laminate", "printed petg", "printed pla"),
        default=assume("glass laminate", "printed pla", "aluminium", PRACTICE),
    )
    mass: float | None = quantity(
        "kg",
        "mass of the propeller",
        ("0.01 kg", "3 kg"),
        "0.2 kg",
        default=assume("0.2 kg", "0.08 kg", "0.5 kg", PRACTICE),
    )
    root_chord: float | None = quantity(
        "m", "chord of a blade at the hub (left out: that of the series)", ("5 mm", "120 mm"), "30 mm"
    )
    root_thickness: float | None = quantity(
        "m",
        "thickness of a blade at the hub",
        ("1 mm", "40 mm"),
        "7 mm",
        default=assume("7 mm", "5 mm", "9 mm", PRACTICE),
    )
    hub_diameter: float | None = quantity(
        "m",
        "diameter of the hub",
        ("8 mm", "120 mm"),
        "45 mm",
        default=assume("45 mm", "30 mm", "70 mm", PRACTICE),
    )
    hand: str | None = choice(
        "hand of the propeller: right turns clockwise seen from behind when it drives ahead",
        ("right", "left"),
        default=assume("right", "right", "left", PRACTICE),
    )
    nut_thread: str | None = choice("hand of the thread of the propeller nut", ("right", "left"))
    nut_lock: str | None = choice(
        "what keeps the nut on besides friction", ("pin", "tab washer", "locking insert", "none")
    )
    shaft_diameter: float | None = quantity(
        "m",
        "diameter of the shaft",
        ("4 mm", "40 mm"),
        "10 mm",
        default=assume("10 mm", "8 mm", "12 mm", PRACTICE),
    )
    pin_diameter: float | None = quantity("m", "diameter of the drive pin through the shaft", ("1 mm", "12 mm"), "4 mm")
    thrust_bearing: str | None = choice(
        "directions in which the shaft's bearing takes thrust", ("both ways", "ahead only", "none")
    )
    bearing_load: float | None = quantity(
        "N", "thrust that the bearing may carry", ("50 N", "50 kN"), "2500 N", fixed=LIMIT
    )


class Controller(Block):
    """The motor controller."""

    battery_current_limit: float | None = quantity(
        "A", "set limit of the current from the pack", ("5 A", "500 A"), "90 A", beach=True
    )
    phase_current_limit: float | None = quantity(
        "A", "set limit of the current into the motor", ("5 A", "800 A"), "120 A", beach=True
    )
    voltage_limit: float | None = quantity("V", "highest supply voltage", ("10 V", "150 V"), "60 V", fixed=LIMIT)
    electrical_speed_limit: float | None = quantity(
        "rad/s",
        "highest electrical speed (motor speed times pole pairs)",
        ("5000 rpm", "400000 rpm"),
        "120000 rpm",
        fixed=LIMIT,
    )
    duty_limit: float | None = quantity(
        "1",
        "highest share of the supply voltage passed on",
        ("50 %", "100 %"),
        "95 %",
        beach=True,
        default=assume("95 %", "90 %", "97 %", PRACTICE),
    )
    path_resistance: float | None = quantity(
        "ohm",
        "resistance of the switches in the current path",
        ("0.2 mohm", "50 mohm"),
        "4 mohm",
        default=assume("4 mohm", "2 mohm", "8 mohm", "engineering estimate"),
    )
    standby: float | None = quantity(
        "W",
        "power of its own electronics and the supply of the receiver",
        ("0 W", "60 W"),
        "8 W",
        default=assume("8 W", "5 W", "10 W", "engineering estimate"),
    )
    mass: float | None = quantity(
        "kg",
        "mass of the controller",
        ("0.02 kg", "4 kg"),
        "0.5 kg",
        default=assume("0.5 kg", "0.2 kg", "1 kg", PRACTICE),
    )
    x: float | None = quantity(
        "m",
        "place of the controller, forward from the tail",
        ("-0.2 m", "3 m"),
        "0.9 m",
        default=assume("0.9 m", "0.6 m", "1.2 m", PRACTICE),
    )
    z: float | None = quantity(
        "m",
        "height of the controller above the bottom at the tail",
        ("-1.4 m", "0.5 m"),
        "8 cm",
        default=assume("8 cm", "5 cm", "12 cm", PRACTICE),
    )
    capacitance: float | None = quantity(
        "F",
        "capacitance at the input of the controller",
        ("10 uF", "50 mF"),
        "1 mF",
        default=assume("1 mF", "0.5 mF", "5 mF", PRACTICE),
    )
    pulse_frequency: float | None = quantity(
        "1/s",
        "frequency of the pulses with which the controller feeds the motor",
        ("4 kHz", "100 kHz"),
        "16 kHz",
        default=assume("16 kHz", "8 kHz", "32 kHz", PRACTICE),
    )
    seat: str | None = choice(
        "where the controller sits: in the box, on a plate that water wets, in mast or pod, in a stream of air",
        SEATS,
        default=assume("closed box", "closed box", "mast or pod", "the cautious case"),
    )
    temperature_limit: float | None = quantity(
        "K",
        "temperature at which the controller cuts back or fails",
        ("50 degC", "150 degC"),
        "90 degC",
        fixed=LIMIT,
        default=assume(
            "90 degC", "80 degC", "100 degC", "power transistors and capacitors are derated from 80 to 100 degC"
        ),
    )
    label_current: float | None = quantity(
        "A", "continuous motor current on the label of the controller", ("5 A", "1000 A"), "120 A", fixed=LIMIT
    )
    skin_area: float | None = quantity(
        "m^2",
        "surface of the controller that meets the air of the box",
        ("5 cm^2", "2000 cm^2"),
        "200 cm^2",
        default=assume("200 cm^2", "100 cm^2", "400 cm^2", PRACTICE),
    )
    sink_area: float | None = quantity(
        "m^2",
        "surface of the fins of a sink in the box (0 cm^2: there is none)",
        ("0 cm^2", "20000 cm^2"),
        "1000 cm^2",
        default=assume("0 cm^2", "0 cm^2", "1500 cm^2", "none unless stated"),
    )
    sink_mass: float | None = quantity(
        "kg",
        "mass of that sink",
        ("0 kg", "10 kg"),
        "0.3 kg",
        default=assume("0.3 kg", "0.1 kg", "1 kg", PRACTICE),
    )
    plate_area: float | None = quantity(
        "m^2",
        "surface of plate, mast or pod by which the controller meets the water",
        ("5 cm^2", "3000 cm^2"),
        "100 cm^2",
        default=assume("100 cm^2", "50 cm^2", "300 cm^2", PRACTICE),
    )
    plate_mass: float | None = quantity(
        "kg",
        "mass of that plate, or of the part of mast or pod that warms with it",
        ("10 g", "10 kg"),
        "0.2 kg",
        default=assume("0.2 kg", "0.1 kg", "1 kg", PRACTICE),
    )
    pad_resistance: float | None = quantity(
        "K/W",
        "thermal resistance from the controller to that plate, through pad or potting",
        ("0.01 K/W", "5 K/W"),
        "0.1 K/W",
        default=assume("0.15 K/W", "0.07 K/W", "0.5 K/W", "pads of 1 to 3 W/(m K), 0.5 to 2 mm thick"),
    )
    plate_wet: float | None = quantity(
        "1",
        "share of a plate under the board that spray wets while it flies",
        ("0 %", "100 %"),
        "30 %",
        default=assume("30 %", "10 %", "60 %", "engineering estimate"),
    )


class Cell(Block):
    """One cell of the pack."""

    kind: str = choice("chemistry and build of the cell", CELL_KINDS, required=True)
    capacity: float = quantity("A*s", "capacity of one cell", ("0.5 Ah", "120 Ah"), "4.2 Ah", required=True)
    mass: float = quantity("kg", "mass of one cell", ("0.01 kg", "5 kg"), "70 g", required=True)
    resistance: float | None = quantity(
        "ohm",
        "lasting resistance of one cell at 25 degC and half charge (left out: the kind's, by capacity)",
        ("0.1 mohm", "300 mohm"),
        "22 mohm",
    )
    current_limit: float | None = quantity(
        "A", "current that one cell bears continuously", ("0.5 A", "1000 A"), "20 A", fixed=LIMIT
    )
    charge_limit: float | None = quantity(
        "A", "current with which one cell may be charged", ("0.05 A", "500 A"), "2.1 A", fixed=LIMIT
    )
    temperature_limit: float | None = quantity(
        "K",
        "highest cell temperature in discharge",
        ("40 degC", "80 degC"),
        "60 degC",
        fixed=LIMIT,
        default=assume("60 degC", "55 degC", "60 degC", "cell makers' discharge range -20 to 60 degC"),
    )


class Pack(Block):
    """The pack: cells in series and in parallel, where it sits, how it is used."""

    series: int = count("cells in series", (3, 28), 13, required=True)
    parallel: int = count("cells in parallel", (1, 60), 6, required=True)
    x: float = quantity("m", "place of its centre, forward from the tail", ("-0.2 m", "3 m"), "1.0 m", required=True)
    z: float | None = quantity(
        "m",
        "height of its centre above the bottom at the tail",
        ("-1.2 m", "0.5 m"),
        "8 cm",
        default=assume("8 cm", "5 cm", "12 cm", PRACTICE),
    )
    packaging: float | None = quantity(
        "1",
        "mass of holders, links, leads and cover, share of the cells' mass",
        ("0 %", "150 %"),
        "30 %",
        default=assume(
            "30 %", "15 %", "50 %", "finished packs carry 65 to 80 % of a cell's energy per mass; " + PRACTICE
        ),
    )
    link_resistance: float | None = quantity(
        "ohm",
        "resistance of all links, leads and contacts from pack to controller",
        ("0 mohm", "100 mohm"),
        "10 mohm",
        default=assume("10 mohm", "5 mohm", "15 mohm", PRACTICE),
    )
    temperature: float | None = quantity(
        "K",
        "temperature of the cells at the start of the ride",
        ("-10 degC", "45 degC"),
        "15 degC",
        beach=True,
        default=assume("15 degC", "5 degC", "25 degC", PRACTICE),
    )
    cooling: float | None = quantity(
        "1",
        "heat that the pack gives off, share of what bare cells in still air would",
        ("0 %", "300 %"),
        "20 %",
        default=assume("20 %", "0 %", "60 %", "engineering estimate for a closed box"),
    )
    start_charge: float | None = quantity(
        "1",
        "charge at the start of the ride",
        ("20 %", "100 %"),
        "100 %",
        beach=True,
        default=assume("100 %", "95 %", "100 %", PRACTICE),
    )
    stop_charge: float | None = quantity(
        "1",
        "charge at which the ride ends at the latest",
        ("0 %", "50 %"),
        "10 %",
        beach=True,
        default=assume("10 %", "5 %", "20 %", PRACTICE),
    )
    stop_voltage: float | None = quantity(
        "V",
        "voltage of a cell under load at which the controller stops (left out: the kind's)",
        ("1.8 V", "3.6 V"),
        "3.0 V",
        beach=True,
    )
    mass: float | None = quantity(
        "kg",
        "weighed mass of the pack (left out: computed)",
        ("0.3 kg", "60 kg"),
        "7.4 kg",
        fixed="a weighed mass is a fact",
    )
