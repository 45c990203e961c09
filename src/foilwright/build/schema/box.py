"""The watertight box: its lid, its seal, what holds it shut, the air in it, and what comes through its walls."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, choice, count, quantity, ratio
from foilwright.build.schema.people import PRACTICE
from foilwright.build.schema.power import LIMIT
from foilwright.core.data import table

LIDS = table("box/lids").texts["material"]
SEALS = (
    *(f"sponge {grade}".replace("sponge silicone", "silicone") for grade in table("box/sponge").texts["grade"]),
    "cord",
)
HOSTS = ("printed pla", "printed petg", "printed abs", "printed asa", "printed pa12", "birch plywood", "glass laminate")
WALLS = (
    "printed petg", "printed pla", "printed abs", "glass laminate", "carbon laminate", "plywood", "extruded foam",
    "aluminium 5052", "stainless steel",
)  # fmt: skip
CAUTIOUS = "the cautious case"


class Box(Block):
    """The box that keeps pack, controller and receiver dry."""

    lid_length: float | None = quantity(
        "m", "length of the lid between its rows of fastenings", ("4 cm", "1.2 m"), "30 cm"
    )
    lid_width: float | None = quantity(
        "m", "width of the lid between its rows of fastenings", ("4 cm", "0.8 m"), "20 cm"
    )
    lid_thickness: float | None = quantity("m", "thickness of the lid", ("0.5 mm", "40 mm"), "6 mm")
    lid_material: str | None = choice("what the lid is made of", LIDS)
    lid_place: str | None = choice(
        "whether a foot may come down on the lid",
        ("stood on", "out of reach"),
        default=assume("stood on", "stood on", "out of reach", CAUTIOUS),
    )
    seal: str | None = choice("closed-cell strip by its grade (sponge or silicone), or a round cord in a groove", SEALS)
    seal_width: float | None = quantity(
        "m", "width of a sponge strip", ("3 mm", "60 mm"), "12 mm", default=assume("12 mm", "8 mm", "20 mm", PRACTICE)
    )
    seal_thickness: float | None = quantity(
        "m",
        "thickness of a sponge strip when free, or diameter of a cord",
        ("1 mm", "30 mm"),
        "6 mm",
        default=assume("6 mm", "3 mm", "10 mm", PRACTICE),
    )
    seal_squeeze: float | None = quantity(
        "1",
        "compression of a sponge strip when the lid is shut, share of its thickness",
        ("10 %", "70 %"),
        "35 %",
        default=assume("35 %", "25 %", "50 %", "seal makers: 25 to 50 %, aim at 35 %"),
    )
    seal_set: float | None = quantity(
        "1",
        "share of that compression that no longer springs back",
        ("0 %", "90 %"),
        "15 %",
        default=assume("15 %", "5 %", "40 %", "ASTM D395 sets of sponge and cord; " + PRACTICE),
    )
    cord_hardness: float | None = ratio(
        "hardness of a cord (Shore A)", (20.0, 80.0), 60.0, default=assume(60.0, 50.0, 70.0, PRACTICE)
    )
    groove_depth: float | None = quantity(
        "m", "depth of the groove of a cord (left out: three quarters of the cord)", ("0.5 mm", "25 mm"), "4.5 mm"
    )
    groove_width: float | None = quantity(
        "m", "width of the groove of a cord (left out: 1.4 times the cord)", ("0.5 mm", "40 mm"), "8.5 mm"
    )
    flange_width: float | None = quantity(
        "m",
        "width of the strip of lid that bends along the seal",
        ("5 mm", "120 mm"),
        "30 mm",
        default=assume("30 mm", "20 mm", "50 mm", PRACTICE),
    )
    fastening: str | None = choice(
        "what holds the lid shut", ("screws in inserts", "screws through", "clamps", "latches")
    )
    fastenings: int | None = count("screws, clamps or latches around the lid", (1, 80), 14)
    fastening_limit: float | None = quantity(
        "N", "lasting force that one screw, clamp or latch holds", ("5 N", "20 kN"), "200 N", fixed=LIMIT
    )
    insert_diameter: float | None = quantity("m", "outer diameter of a threaded insert", ("2 mm", "20 mm"), "5.6 mm")
    insert_length: float | None = quantity("m", "length of a threaded insert in its host", ("2 mm", "40 mm"), "8 mm")
    insert_host: str | None = choice("what the inserts sit in", HOSTS)
    hole_clearance: float | None = quantity(
        "m",
        "diameter of a screw hole in the lid less that of the screw",
        ("0 mm", "6 mm"),
        "1 mm",
        default=assume("0.5 mm", "0.2 mm", "1 mm", "ISO 273, fine to coarse holes of M4 and M5"),
    )
    air_volume: float | None = quantity(
        "m^3",
        "air in the closed box (left out: the free volume of the sealed parts in the hull)",
        ("0.2 L", "80 L"),
        "6 L",
    )
    closed_temperature: float | None = quantity(
        "K",
        "temperature of the air in the box when the lid is shut",
        ("-5 degC", "60 degC"),
        "20 degC",
        beach=True,
        default=assume("25 degC", "15 degC", "45 degC", PRACTICE),
    )
    dew_point: float | None = quantity(
        "K",
        "dew point of the air that is shut in (the weather report tells it)",
        ("-20 degC", "35 degC"),
        "11 degC",
        beach=True,
        default=assume("11 degC", "3 degC", "19 degC", "summer air of a temperate climate"),
    )
    hottest: float | None = quantity(
        "K",
        "warmest air in the closed box, ashore in the sun",
        ("15 degC", "60 degC"),
        "50 degC",
        beach=True,
        default=assume("50 degC", "35 degC", "60 degC", PRACTICE),
    )
    cooling_time: float | None = quantity(
        "s",
        "time in which the air in the box takes on the temperature of the water",
        ("30 s", "2 h"),
        "10 min",
        default=assume("10 min", "3 min", "30 min", "engineering estimate"),
    )
    vent: str | None = choice(
        "membrane through which the box breathes, by how open it is",
        ("none", "tight", "middling", "open"),
        default=assume("none", "none", "open", CAUTIOUS),
    )
    vent_area: float | None = quantity(
        "m^2",
        "free area of the vent",
        ("1 mm^2", "2000 mm^2"),
        "80 mm^2",
        default=assume("80 mm^2", "20 mm^2", "300 mm^2", PRACTICE),
    )
    vent_height: float | None = quantity(
        "m",
        "height of the vent above the bottom at the tail",
        ("0 m", "0.4 m"),
        "13 cm",
        default=assume("13 cm", "8 cm", "18 cm", PRACTICE),
    )
    depth: float | None = quantity(
        "m",
        "how deep the lid is pushed under in a fall or when the board turns over",
        ("0.05 m", "3 m"),
        "0.5 m",
        default=assume("0.5 m", "0.2 m", "1.5 m", PRACTICE),
    )
    floor: float | None = quantity(
        "m",
        "height of the floor of the box above the bottom at the tail",
        ("0 mm", "0.3 m"),
        "2 cm",
        default=assume("2 cm", "5 mm", "5 cm", PRACTICE),
    )
    gland_limit: float | None = quantity(
        "Pa", "pressure that the glands of the wires hold", ("1 kPa", "5 MPa"), "100 kPa", fixed=LIMIT
    )
    gland_height: float | None = quantity(
        "m",
        "height of the lowest gland above the bottom at the tail",
        ("0 m", "0.4 m"),
        "7 cm",
        default=assume("7 cm", "2 cm", "12 cm", PRACTICE),
    )
    duct: str | None = choice(
        "mouth of the duct in the mast that leads up to the gland",
        ("plugged", "flush", "faces forward"),
        default=assume("faces forward", "plugged", "faces forward", CAUTIOUS),
    )
    wire_block: str | None = choice(
        "what keeps water from creeping between the strands of the motor's wires",
        ("potted", "solid studs", "none"),
        default=assume("none", "potted", "none", CAUTIOUS),
    )
    strand_diameter: float | None = quantity(
        "m",
        "diameter of one strand of the motor's wires",
        ("0.03 mm", "1 mm"),
        "0.08 mm",
        default=assume("0.08 mm", "0.05 mm", "0.25 mm", "IEC 60228 class 6 and silicone-insulated wire"),
    )
    relief_area: float | None = quantity(
        "m^2",
        "free opening of the relief that lets a failing cell's gas out (0 mm^2: none)",
        ("0 mm^2", "20000 mm^2"),
        "500 mm^2",
    )
    relief_pressure: float | None = quantity(
        "Pa", "pressure at which that relief opens", ("0 kPa", "200 kPa"), "10 kPa", fixed=LIMIT
    )
    desiccant: float | None = quantity(
        "kg", "dry mass of drying gel in the box (0 g: none)", ("0 g", "2 kg"), "20 g", beach=True
    )
    damp: float | None = quantity(
        "kg",
        "water that wet parts and hands bring in",
        ("0 g", "200 g"),
        "1 g",
        beach=True,
        default=assume("1 g", "0 g", "5 g", PRACTICE),
    )
    wall_material: str | None = choice(
        "what the walls of the box are made of, for the heat that they pass",
        WALLS,
        default=assume("printed petg", "printed petg", "aluminium 5052", PRACTICE),
    )
    wall_thickness: float | None = quantity(
        "m",
        "thickness of the walls that meet the air outside",
        ("0.5 mm", "60 mm"),
        "4 mm",
        default=assume("4 mm", "2 mm", "8 mm", PRACTICE),
    )
    air_area: float | None = quantity(
        "m^2",
        "area of lid and walls that meet the air outside",
        ("50 cm^2", "2 m^2"),
        "800 cm^2",
        default=assume("800 cm^2", "400 cm^2", "2000 cm^2", "the lid of a box let into the deck"),
    )
