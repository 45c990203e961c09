"""Mast, wing, stabiliser, fuselage and pod."""

from __future__ import annotations

from typing import Any, ClassVar

from pydantic import model_validator
from pydantic_core import PydanticCustomError

from foilwright.build.schema import structure
from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, choice, count, quantity, ratio
from foilwright.build.schema.people import PRACTICE
from foilwright.build.schema.structure import SIZES
from foilwright.core.data import table

SECTIONS = table("sections").texts["section"]
SYMMETRICAL = tuple(name for name in SECTIONS if name.startswith("naca00"))
FINISHES = ("polished", "sanded", "printed")


class Surface(Block):
    """A lifting surface, written by exactly two of area, span, aspect_ratio and mean_chord."""

    SIZES: ClassVar[tuple[str, ...]] = ("area", "span", "aspect_ratio", "mean_chord")

    area: float | None = quantity("m^2", "area seen from above", ("30 cm^2", "5000 cm^2"), "1450 cm^2")
    span: float | None = quantity("m", "from tip to tip", ("0.1 m", "2.5 m"), "90 cm")
    aspect_ratio: float | None = ratio("span squared over area, in place of area or span", (1.5, 20.0), 6.0)
    mean_chord: float | None = quantity(
        "m", "mean chord: area over span, in place of area or span", ("2 cm", "40 cm"), "16 cm"
    )
    taper: float | None = ratio(
        "chord at the tip over chord in the middle",
        (0.15, 1.0),
        0.5,
        default=assume(0.5, 0.35, 0.8, PRACTICE),
    )
    sweep: float | None = quantity(
        "rad",
        "backward sweep of the quarter-chord line",
        ("0 deg", "30 deg"),
        "5 deg",
        default=assume("0 deg", "0 deg", "10 deg", PRACTICE),
    )
    dihedral: float | None = quantity(
        "rad",
        "upward angle of each half (negative: downward)",
        ("-15 deg", "15 deg"),
        "0 deg",
        default=assume("0 deg", "-5 deg", "5 deg", PRACTICE),
    )
    twist: float | None = quantity(
        "rad",
        "angle of the tip minus angle of the middle (negative: washed out)",
        ("-6 deg", "3 deg"),
        "-1 deg",
        default=assume("0 deg", "-2 deg", "1 deg", PRACTICE),
    )
    finish: str | None = choice(
        "surface: polished, sanded, or printed as it comes",
        FINISHES,
        default=assume("sanded", "printed", "polished", PRACTICE),
    )
    incidence: float | None = quantity(
        "rad",
        "rigged angle of its chord to the bottom of the board (nose up positive)",
        ("-8 deg", "8 deg"),
        "1 deg",
        default=assume("0 deg", "-1 deg", "1 deg", PRACTICE),
        beach=True,
    )
    material: str | None = structure.made_of("what it is made of", "glass laminate", "printed pla", "carbon laminate")
    fill: float | None = quantity(
        "1",
        "share of the section that is solid material",
        ("5 %", "100 %"),
        "60 %",
        default=assume("60 %", "35 %", "100 %", PRACTICE),
    )
    mass: float | None = quantity(
        "kg",
        "weighed mass (left out: computed)",
        ("0.02 kg", "15 kg"),
        "1.1 kg",
        fixed="a weighed mass is a fact",
    )
    wall: float | None = structure.wall()
    infill: float | None = structure.infill()
    infill_pattern: str | None = structure.pattern()
    print: str | None = structure.print_direction("lying")
    wrap: int | None = structure.wrap()

    @model_validator(mode="after")
    def _two_sizes(self) -> Any:
        written = [name for name in self.SIZES if getattr(self, name) is not None]
        if len(written) != 2:
            raise PydanticCustomError(
                "sizes", "{got}", {"got": f"{len(written)} of its sizes ({', '.join(written) or 'none'})"}
            )
        return self


class Wing(Surface):
    """The main wing."""

    section: str | None = choice(
        "section shape of the wing, or one of your own: [sections.NAME]",
        SECTIONS,
        default=assume("naca2412", "naca2410", "naca4412", PRACTICE),
        shape="sections",
    )
    ahead: float = quantity(
        "m",
        "its quarter chord ahead of the mast's leading edge (negative: behind)",
        ("-0.6 m", "0.8 m"),
        "5 cm",
        required=True,
    )


class Stabiliser(Surface):
    """The small wing behind."""

    area: float | None = quantity("m^2", "area seen from above", ("30 cm^2", "5000 cm^2"), "300 cm^2")
    span: float | None = quantity("m", "from tip to tip", ("0.1 m", "2.5 m"), "42 cm")
    mean_chord: float | None = quantity(
        "m", "mean chord: area over span, in place of area or span", ("2 cm", "40 cm"), "7 cm"
    )
    section: str | None = choice(
        "section shape of the stabiliser, or one of your own: [sections.NAME]",
        SECTIONS,
        default=assume("naca0010", "naca0009", "naca0012", PRACTICE),
        shape="sections",
    )
    arm: float = quantity(
        "m", "from the wing's quarter chord back to its own", ("0.2 m", "1.4 m"), "62 cm", required=True
    )
    height: float | None = quantity(
        "m",
        "height above the plane of the wing",
        ("-0.2 m", "0.3 m"),
        "0 cm",
        default=assume("0 cm", "-3 cm", "3 cm", PRACTICE),
    )


class Mast(Block):
    """The strut between board and wing."""

    length: float = quantity(
        "m",
        "from the bottom of the board to the plane of the wing",
        ("0.2 m", "1.4 m"),
        "75 cm",
        required=True,
    )
    chord: float = quantity("m", "chord of the mast", ("4 cm", "25 cm"), "12 cm", required=True)
    x: float = quantity(
        "m",
        "its leading edge at the board, forward from the tail",
        ("0.05 m", "2.5 m"),
        "0.62 m",
        required=True,
    )
    section: str | None = choice(
        "section shape of the mast (symmetrical), or one of your own: [sections.NAME]",
        SYMMETRICAL,
        default=assume("naca0012", "naca0010", "naca0015", PRACTICE),
        shape="symmetrical",
    )
    finish: str | None = choice(
        "surface: polished, sanded, or printed as it comes",
        FINISHES,
        default=assume("sanded", "printed", "polished", PRACTICE),
    )
    material: str | None = structure.made_of("what it is made of", "aluminium", "printed pla", "carbon laminate")
    fill: float | None = quantity(
        "1",
        "share of the section that is solid material",
        ("5 %", "100 %"),
        "40 %",
        default=assume("40 %", "30 %", "100 %", PRACTICE),
    )
    floods: str | None = choice(
        "what water does with its hollow inside: sealed keeps it out, drains lets it run off, floods fills up",
        ("sealed", "drains", "floods"),
        default=assume("floods", "sealed", "floods", PRACTICE),
    )
    mass: float | None = quantity(
        "kg",
        "weighed mass (left out: computed)",
        ("0.05 kg", "20 kg"),
        "2.1 kg",
        fixed="a weighed mass is a fact",
    )
    wall: float | None = structure.wall()
    infill: float | None = structure.infill()
    infill_pattern: str | None = structure.pattern()
    print: str | None = structure.print_direction("standing")
    wrap: int | None = structure.wrap()
    duct: float | None = quantity(
        "m",
        "diameter of the duct for the leads, in a solid or filled mast (left out: none)",
        ("2 mm", "40 mm"),
        "12 mm",
    )
    rods: int | None = count("rods along it inside (left out: none)", (0, 3), 2)
    rod_diameter: float | None = quantity("m", "diameter of a rod (left out: 6 mm)", ("2 mm", "20 mm"), "6 mm")
    plate_width: float | None = quantity(
        "m", "width along the chord of a flat bar inside (left out: none)", ("5 mm", "15 cm"), "40 mm"
    )
    plate_thickness: float | None = quantity(
        "m", "thickness of the flat bar (left out: 5 mm)", ("1 mm", "20 mm"), "5 mm"
    )
    rod_material: str | None = choice(
        "what rods and flat bar are made of (left out: stainless steel cold drawn)",
        ("stainless steel cold drawn", "stainless steel", "steel", "aluminium", "aluminium 6082", "carbon rods"),
    )
    pieces: int | None = count("lengths that it is printed in and joined from (left out: one)", (1, 6), 3)
    joint: float | None = ratio(
        "share of its strength that a joint between lengths reaches (left out: a half)",
        (0.0, 1.0),
        0.5,
        fixed="a test tells it",
    )


class Fuselage(Block):
    """The tube or bar that joins wing and stabiliser."""

    diameter: float | None = quantity(
        "m", "mean diameter", ("8 mm", "100 mm"), "30 mm", default=assume("30 mm", "20 mm", "45 mm", PRACTICE)
    )
    length: float | None = quantity(
        "m",
        "length over all (left out: the stabiliser's arm and a chord)",
        ("0.2 m", "1.8 m"),
        "75 cm",
        fixed="it follows from the places of wing and stabiliser",
    )
    material: str | None = structure.made_of("what it is made of", "aluminium", "printed pla", "carbon laminate")
    fill: float | None = quantity(
        "1",
        "share of the section that is solid material",
        ("5 %", "100 %"),
        "50 %",
        default=assume("50 %", "30 %", "100 %", PRACTICE),
    )
    mass: float | None = quantity(
        "kg",
        "weighed mass (left out: computed)",
        ("0.02 kg", "10 kg"),
        "0.9 kg",
        fixed="a weighed mass is a fact",
    )
    print: str | None = structure.print_direction("lying")
    socket: float | None = quantity(
        "m",
        "length that it sits in its socket on either side of the mast",
        ("1 cm", "30 cm"),
        "70 mm",
        default=assume("70 mm", "50 mm", "100 mm", PRACTICE),
    )


class Pod(Block):
    """The housing of the motor under water."""

    diameter: float | None = quantity(
        "m",
        "diameter of the motor housing",
        ("2 cm", "16 cm"),
        "75 mm",
        default=assume("75 mm", "60 mm", "95 mm", PRACTICE),
    )
    length: float | None = quantity(
        "m",
        "length of the motor housing",
        ("5 cm", "60 cm"),
        "22 cm",
        default=assume("22 cm", "15 cm", "32 cm", PRACTICE),
    )
    above_wing: float | None = quantity(
        "m",
        "height of the shaft above the plane of the wing",
        ("-0.1 m", "0.8 m"),
        "10 cm",
        default=assume("10 cm", "0 cm", "20 cm", PRACTICE),
    )
    ahead: float | None = quantity(
        "m",
        "centre of the housing ahead of the mast's leading edge (negative: behind)",
        ("-0.5 m", "0.5 m"),
        "-6 cm",
        default=assume("-6 cm", "-15 cm", "5 cm", PRACTICE),
    )
    propeller: str | None = choice(
        "where the propeller sits: behind the housing or ahead of it",
        ("behind", "ahead"),
        default=assume("behind", "behind", "ahead", PRACTICE),
    )
    mass: float | None = quantity(
        "kg",
        "mass of housing and seals, without the motor",
        ("0.05 kg", "8 kg"),
        "0.8 kg",
        default=assume("0.8 kg", "0.4 kg", "1.5 kg", PRACTICE),
    )
    seal_limit: float | None = quantity(
        "Pa",
        "pressure that the seals of the housing and its joints hold",
        ("1 kPa", "3 MPa"),
        "50 kPa",
        fixed="a limit comes with the part",
    )
    filling: str | None = choice(
        "what fills the housing",
        ("air", "oil", "water"),
        default=assume("air", "air", "oil", PRACTICE),
    )
    mount: str | None = choice(
        "how the motor is held: bolts through metal, or heat-set inserts in a print",
        ("through bolts", "heat-set inserts"),
        default=assume("through bolts", "heat-set inserts", "through bolts", PRACTICE),
    )
    mount_size: str | None = choice(
        "thread of the screws that hold the motor", SIZES, default=assume("M4", "M4", "M6", PRACTICE)
    )
    mount_bolts: int | None = count("screws that hold the motor", (2, 8), 4, default=assume(4, 3, 6, PRACTICE))
    mount_circle: float | None = quantity(
        "m",
        "diameter of the circle of those screws",
        ("1 cm", "14 cm"),
        "40 mm",
        default=assume("40 mm", "25 mm", "60 mm", PRACTICE),
    )
    material: str | None = structure.made_of("what holds the motor", "aluminium", "printed pla", "aluminium")
