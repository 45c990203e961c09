"""The board and the parts fixed to it."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, choice, count, quantity, ratio, text
from foilwright.build.schema.people import PRACTICE
from foilwright.build.schema.structure import FOAMS, made_of


class Board(Block):
    """Outline, thickness, foam and skin of the board."""

    length: float = quantity("m", "length from tail to nose", ("0.9 m", "3.2 m"), "1.70 m", required=True)
    width: float = quantity("m", "greatest width", ("0.35 m", "1.1 m"), "70 cm", required=True)
    thickness: float = quantity("m", "greatest thickness", ("4 cm", "25 cm"), "14 cm", required=True)
    tail_width: float = quantity("m", "width at the tail", ("0.1 m", "1.1 m"), "50 cm", required=True)
    nose_width: float = quantity("m", "width 30 cm behind the nose", ("0.1 m", "1.1 m"), "48 cm", required=True)
    wide_point: float | None = ratio(
        "where the board is widest, share of the length from the tail",
        (0.3, 0.7),
        0.5,
        default=assume(0.5, 0.4, 0.55, PRACTICE),
    )
    nose_rocker: float | None = quantity(
        "m",
        "height of the bottom at the nose",
        ("0 cm", "40 cm"),
        "12 cm",
        default=assume("12 cm", "6 cm", "20 cm", PRACTICE),
    )
    rocker_start: float | None = ratio(
        "where the bottom begins to rise, share of the length from the tail",
        (0.2, 0.9),
        0.55,
        default=assume(0.55, 0.45, 0.70, PRACTICE),
    )
    nose_thickness: float | None = quantity(
        "m",
        "thickness at the nose",
        ("1 cm", "20 cm"),
        "6 cm",
        default=assume("6 cm", "4 cm", "9 cm", PRACTICE),
    )
    rail_radius: float | None = quantity(
        "m",
        "radius of the lower rail",
        ("0 mm", "80 mm"),
        "25 mm",
        default=assume("25 mm", "5 mm", "50 mm", PRACTICE),
    )
    tail_edge_radius: float | None = quantity(
        "m",
        "radius of the lower edge at the tail",
        ("0 mm", "40 mm"),
        "4 mm",
        default=assume("4 mm", "1 mm", "15 mm", PRACTICE),
    )
    foam_density: float | None = quantity(
        "kg/m^3",
        "density of the foam core",
        ("10 kg/m^3", "150 kg/m^3"),
        "32 kg/m^3",
        default=assume("32 kg/m^3", "25 kg/m^3", "38 kg/m^3", "EN 13164 boards, makers' data sheets"),
    )
    foam_uptake: float | None = quantity(
        "1",
        "water that the foam can take up through a damaged skin, share of its volume",
        ("0 %", "20 %"),
        "1 %",
        default=assume("1 %", "0.3 %", "4 %", "ASTM C578, total immersion"),
    )
    skin_mass: float | None = quantity(
        "kg/m^2",
        "mass of the skin (cloth, resin, filler, paint) per square metre of surface",
        ("0 kg/m^2", "8 kg/m^2"),
        "1.1 kg/m^2",
        default=assume("1.1 kg/m^2", "0.8 kg/m^2", "2.0 kg/m^2", PRACTICE),
    )
    finish: str | None = choice(
        "surface of the bottom",
        ("sanded", "painted", "rough"),
        default=assume("sanded", "sanded", "rough", PRACTICE),
    )
    form_factor: float | None = ratio(
        "extra friction of a blunt board over a flat plate",
        (0.0, 0.6),
        0.15,
        default=assume(0.15, 0.10, 0.30, "engineering estimate for blunt flat boards"),
        fixed="it belongs to the model",
    )
    not_thought_of: float | None = quantity(
        "1",
        "mass that was not thought of, share of the craft's planned mass (0 when the craft has been weighed)",
        ("0 %", "60 %"),
        "20 %",
        default=assume("20 %", "15 %", "30 %", PRACTICE),
        fixed="nobody plans what they do not think of",
    )
    mass: float | None = quantity(
        "kg",
        "weighed mass of the bare board (left out: computed)",
        ("1 kg", "60 kg"),
        "9.5 kg",
        fixed="a weighed mass is a fact",
    )
    foam: str | None = made_of("kind of foam", "xps 300", "eps 20", "xps 500", names=FOAMS)
    deck_layers: int | None = count(
        "layers of the laminate's cloth on the deck where the rider stands",
        (1, 16),
        4,
        default=assume(4, 2, 6, PRACTICE),
    )
    pad: float | None = quantity("m", "thickness of a soft pad on the deck (left out: none)", ("1 mm", "60 mm"), "8 mm")
    bottom_layers: int | None = count(
        "layers of the laminate's cloth on the bottom", (1, 16), 2, default=assume(2, 2, 4, PRACTICE)
    )


class Part(Block):
    """A thing in, on or below the board."""

    name: str = text("name of the part", "battery box", required=True)
    mass: float = quantity("kg", "mass of the part", ("0.001 kg", "60 kg"), "1.4 kg", required=True)
    x: float = quantity("m", "place of its centre, forward from the tail", ("-0.5 m", "3.5 m"), "0.95 m", required=True)
    y: float | None = quantity(
        "m",
        "place of its centre to port",
        ("-0.6 m", "0.6 m"),
        "0 m",
        default=assume("0 m", "-2 cm", "2 cm", PRACTICE),
    )
    z: float | None = quantity(
        "m",
        "height of its centre above the bottom at the tail",
        ("-1.5 m", "1.0 m"),
        "8 cm",
        default=assume("8 cm", "4 cm", "14 cm", PRACTICE),
    )
    place: str | None = choice(
        "where it is: in the hull, on the deck, or below the hull",
        ("hull", "deck", "below"),
        default=assume("hull", "hull", "deck", PRACTICE),
        fixed="it belongs to the layout",
    )
    water: str | None = choice(
        "what water does with it: sealed keeps it out, drains lets it run off, floods fills up",
        ("sealed", "drains", "floods"),
        default=assume("drains", "sealed", "floods", PRACTICE),
    )
    volume: float | None = quantity(
        "m^3",
        "outer volume of the part (a box in the hull replaces foam)",
        ("0 L", "120 L"),
        "12 L",
        default=assume("0 L", "0 L", "0 L", "no volume unless stated"),
    )
    free_volume: float | None = quantity(
        "m^3",
        "air inside that water would fill if it leaked",
        ("0 L", "120 L"),
        "6 L",
        default=assume("0 L", "0 L", "0 L", "no free volume unless stated"),
    )
