"""What decides whether the parts hold: shells and wraps, base and bolts, laminate, sun, loads."""

from __future__ import annotations

from typing import Any

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, choice, count, quantity, ratio
from foilwright.build.schema.people import PRACTICE
from foilwright.core.data import table

GIVEN = "a load case is not built"
DAY = "the day decides"
JUDGED = "engineering judgement, see the load cases"
MATERIALS = (
    "aluminium",
    "carbon laminate",
    "glass laminate",
    "printed pla",
    "printed petg",
    "timber",
    "stainless steel",
    "printed abs",
    "printed asa",
    "printed pc",
    "printed pa12",
    "printed pa12-cf",
    "printed pa6-cf",
    "printed pet-cf",
    "aluminium 6082",
    "aluminium 5083",
    "glass laminate by hand",
    "carbon laminate by hand",
    "birch plywood",
    "stainless steel cold drawn",
)
"""Stuff of parts that carry load; a maker's own stand in the tables ``materials``."""
LAMINATES = (*(name for name in MATERIALS if "laminate" in name), "glass mat")
FOAMS = table("materials/foams").texts["material"]
PATTERNS = table("materials/infill").texts["pattern"]
SIZES = table("fasteners").texts["size"]
GRADES = table("fastener_grades").texts["grade"]
COLOURS = ("white", "aged white", "light grey", "mid grey", "black", "bare carbon", "polished aluminium")
INSERTS = table("board_inserts").texts["insert"]
DIRECTIONS = ("standing", "lying")


def made_of(says: str, value: str, low: str, high: str, *, names: tuple[str, ...] = MATERIALS) -> Any:
    """Return a field that names a material of the book or a maker's own."""
    return choice(says, names, default=assume(value, low, high, PRACTICE), stuff=True)


def wall() -> Any:
    """Return the field of a wall."""
    return quantity(
        "m",
        "thickness of the wall; what is solid then follows from wall and infill (left out: from fill)",
        ("0.4 mm", "60 mm"),
        "2.4 mm",
    )


def infill() -> Any:
    """Return the field of an infill."""
    return ratio("share of the inside of a print that is filled (left out: nothing inside the wall)", (0.05, 1.0), 0.2)


def pattern() -> Any:
    """Return the field of the pattern of an infill."""
    return choice("pattern of the infill (left out: gyroid)", PATTERNS)


def print_direction(left_out: str) -> Any:
    """Return the field of the direction of a print."""
    return choice(
        f"how a print stood on the bed: standing is loaded across its layers (left out: {left_out})", DIRECTIONS
    )


def wrap() -> Any:
    """Return the field of the layers laid over a part."""
    return count("layers of the laminate's cloth laid over it (left out: none)", (0, 12), 2)


class Base(Block):
    """The flange of the mast, its bolts, and the insert in the board."""

    length: float | None = quantity(
        "m", "length of the flange", ("4 cm", "50 cm"), "19 cm", default=assume("19 cm", "15 cm", "24 cm", PRACTICE)
    )
    width: float | None = quantity(
        "m", "width of the flange", ("3 cm", "30 cm"), "11 cm", default=assume("11 cm", "8 cm", "13 cm", PRACTICE)
    )
    thickness: float | None = quantity(
        "m", "thickness of the flange", ("1 mm", "40 mm"), "8 mm", default=assume("8 mm", "6 mm", "12 mm", PRACTICE)
    )
    material: str | None = made_of("what the flange is made of", "aluminium", "printed pla", "stainless steel")
    print: str | None = print_direction("standing")
    bolts: int | None = count(
        "number of bolts, in two rows along the board", (4, 12), 4, default=assume(4, 4, 6, PRACTICE)
    )
    bolt_size: str | None = choice("thread of the bolts", SIZES, default=assume("M8", "M6", "M8", PRACTICE))
    bolt_grade: str | None = choice("grade of the bolts", GRADES, default=assume("a4-70", "a2-70", "a4-80", PRACTICE))
    pitch_x: float | None = quantity(
        "m",
        "distance of the first bolts from the last along the board",
        ("2 cm", "45 cm"),
        "165 mm",
        default=assume("165 mm", "120 mm", "200 mm", PRACTICE),
    )
    pitch_y: float | None = quantity(
        "m",
        "distance of the two rows of bolts across",
        ("1 cm", "25 cm"),
        "90 mm",
        default=assume("90 mm", "60 mm", "100 mm", PRACTICE),
    )
    washers: str | None = choice(
        "what lies under the heads of the bolts: none, large washers, or a metal plate",
        ("none", "large", "plate"),
        default=assume("large", "none", "plate", PRACTICE),
    )
    tightened: str | None = choice(
        "when the bolts were tightened: once, or again after a day when the parts had settled",
        ("once", "again"),
        default=assume("once", "once", "again", PRACTICE),
    )
    isolated: str | None = choice(
        "unlike metals at the base: isolated by grease, sleeves or a glass ply, or bare",
        ("isolated", "bare"),
        default=assume("bare", "bare", "isolated", "the cautious case"),
    )
    insert: str | None = choice(
        "what holds the bolts in the board",
        INSERTS,
        default=assume("plywood plate", "skin only", "full-height block", PRACTICE),
    )
    insert_length: float | None = quantity(
        "m", "length of the insert", ("4 cm", "1 m"), "30 cm", default=assume("30 cm", "20 cm", "40 cm", PRACTICE)
    )
    insert_width: float | None = quantity(
        "m", "width of the insert", ("3 cm", "70 cm"), "20 cm", default=assume("20 cm", "12 cm", "30 cm", PRACTICE)
    )
    insert_thickness: float | None = quantity(
        "m",
        "depth of the insert; a full-height block has that of the board (left out: 15 mm)",
        ("3 mm", "25 cm"),
        "15 mm",
    )


class Laminate(Block):
    """The cloth and resin of the board's skin and of wraps."""

    material: str | None = made_of(
        "kind of laminate", "glass laminate by hand", "glass mat", "carbon laminate", names=LAMINATES
    )
    resin: str | None = choice(
        "resin of the skin and of wraps",
        ("epoxy", "polyester", "vinylester"),
        default=assume("epoxy", "polyester", "epoxy", PRACTICE),
    )
    cloth: float | None = quantity(
        "kg/m^2",
        "dry mass of one layer of cloth",
        ("0.02 kg/m^2", "1.2 kg/m^2"),
        "200 g/m^2",
        default=assume("200 g/m^2", "160 g/m^2", "300 g/m^2", PRACTICE),
    )
    post_cure: float | None = quantity(
        "K", "warmest cure that it was given (left out: none, as warm as the room)", ("15 degC", "90 degC"), "60 degC"
    )


class Sun(Block):
    """The sun in which the craft lies on the beach, and the colour of its parts."""

    irradiance: float | None = quantity(
        "W/m^2",
        "sunlight on the parts",
        ("0 W/m^2", "1200 W/m^2"),
        "800 W/m^2",
        fixed=DAY,
        default=assume("800 W/m^2", "500 W/m^2", "1000 W/m^2", "clear summer days in the middle latitudes"),
    )
    air_temperature: float | None = quantity(
        "K",
        "temperature of the air",
        ("-10 degC", "50 degC"),
        "25 degC",
        fixed=DAY,
        default=assume("25 degC", "18 degC", "35 degC", PRACTICE),
    )
    wind: float | None = quantity(
        "m/s",
        "wind over the parts lying on the beach",
        ("0 m/s", "15 m/s"),
        "1 m/s",
        fixed=DAY,
        default=assume("1 m/s", "0 m/s", "3 m/s", PRACTICE),
    )
    board: str | None = choice("colour of the deck", COLOURS, default=assume("white", "white", "black", PRACTICE))
    mast: str | None = choice(
        "colour of mast and base", COLOURS, default=assume("mid grey", "white", "black", PRACTICE)
    )
    wings: str | None = choice(
        "colour of wing, stabiliser and fuselage", COLOURS, default=assume("mid grey", "white", "black", PRACTICE)
    )


def _of_case(field: str) -> Any:
    """Return the default of a factor from the table of load cases."""
    book = table("load_cases")
    row = book.texts["field"].index(field)
    value, low, high = (_plain(book.texts[name][row]) for name in ("default", "low", "high"))
    return assume(value, low, high, f"judgement: {book.texts['reason'][row]}")


def _plain(text: str) -> str | float:
    return text if " " in text else float(text)


class Loads(Block):
    """Factors of the load cases: what rider, water and hands do to the parts."""

    rides: int | None = count(
        "rides that the parts shall last", (1, 5000), 100, default=assume(100, 50, 300, PRACTICE), fixed=GIVEN
    )
    thrust_shock: float | None = ratio(
        "thrust while the propeller bites again, over the steady one",
        (1.0, 2.5),
        1.2,
        default=_of_case("thrust_shock"),
        fixed=GIVEN,
    )
    pitch_reach: float | None = quantity(
        "m",
        "how far fore or aft a thrown rider's weight acts",
        ("5 cm", "80 cm"),
        "40 cm",
        default=_of_case("pitch_reach"),
        fixed=GIVEN,
    )
    roll_reach: float | None = quantity(
        "m",
        "how far to the side a thrown rider's weight acts",
        ("5 cm", "60 cm"),
        "28 cm",
        default=_of_case("roll_reach"),
        fixed=GIVEN,
    )
    dynamic: float | None = ratio(
        "how much a moving rider adds to their weight",
        (1.0, 3.0),
        1.5,
        default=assume(1.5, 1.2, 2.0, JUDGED),
        fixed=GIVEN,
    )
    bank: float | None = quantity(
        "rad", "bank of a hard turn", ("0 deg", "65 deg"), "45 deg", default=_of_case("bank"), fixed=GIVEN
    )
    touchdown: float | None = ratio(
        "load on the wing in a touchdown, over the whole weight",
        (1.0, 8.0),
        3.0,
        default=_of_case("touchdown"),
        fixed=GIVEN,
    )
    uneven: float | None = ratio(
        "share of that load on one half of the wing",
        (0.5, 1.0),
        0.6,
        default=assume(0.6, 0.5, 0.7, JUDGED),
        fixed=GIVEN,
    )
    stabiliser: float | None = ratio(
        "greatest load on the stabiliser, over the whole weight",
        (0.02, 2.0),
        0.3,
        default=assume(0.3, 0.2, 0.5, JUDGED),
        fixed=GIVEN,
    )
    yaw: float | None = ratio(
        "drag at the middle of one half of the wing, over the whole weight",
        (0.0, 1.0),
        0.1,
        default=_of_case("yaw"),
        fixed=GIVEN,
    )
    fall: float | None = ratio(
        "force of a heel or knee in a fall, over the rider's weight",
        (1.0, 6.0),
        2.0,
        default=assume(2.0, 1.5, 3.0, JUDGED),
        fixed=GIVEN,
    )
    slam: float | None = quantity(
        "Pa",
        "greatest pressure of a slam on the bottom",
        ("1 kPa", "600 kPa"),
        "100 kPa",
        default=assume(
            "100 kPa", "50 kPa", "200 kPa", "half the density times the square of 2 to 3 m/s, times 5 to 15"
        ),
        fixed=GIVEN,
    )
    ground_speed: float | None = quantity(
        "m/s",
        "speed at which it runs aground",
        ("0 m/s", "12 m/s"),
        "5 m/s",
        default=assume("5 m/s", "3 m/s", "8 m/s", JUDGED),
        fixed=GIVEN,
    )
    handling: float | None = ratio(
        "how roughly the craft is carried: load over the weight of what hangs",
        (1.0, 5.0),
        2.0,
        default=_of_case("handling"),
        fixed=GIVEN,
    )
