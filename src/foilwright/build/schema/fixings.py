"""What holds the parts below the board together: bolts at the roots of the wings, pegs and rods in a printed mast."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, choice, count, quantity
from foilwright.build.schema.people import PRACTICE
from foilwright.build.schema.structure import SIZES

HOLDS = ("through bolts", "heat-set inserts")


class Fixings(Block):
    """Bolts, inserts, pegs and tie rods below the board."""

    wing_bolts: int | None = count("bolts that hold the wing", (1, 8), 3, default=assume(3, 2, 4, PRACTICE))
    wing_bolt_size: str | None = choice("their thread", SIZES, default=assume("M8", "M6", "M8", PRACTICE))
    wing_hold: str | None = choice(
        "what they are screwed into: bolts through metal, or heat-set inserts in a print",
        HOLDS,
        default=assume("through bolts", "heat-set inserts", "through bolts", PRACTICE),
    )
    wing_seat: float | None = quantity(
        "m",
        "width of the seat of the wing on the fuselage, across",
        ("1 cm", "20 cm"),
        "50 mm",
        default=assume("50 mm", "40 mm", "80 mm", PRACTICE),
    )
    stabiliser_bolts: int | None = count("bolts that hold the stabiliser", (1, 6), 2, default=assume(2, 1, 3, PRACTICE))
    stabiliser_bolt_size: str | None = choice("their thread", SIZES, default=assume("M6", "M5", "M6", PRACTICE))
    stabiliser_hold: str | None = choice(
        "what they are screwed into: bolts through metal, or heat-set inserts in a print",
        HOLDS,
        default=assume("through bolts", "heat-set inserts", "through bolts", PRACTICE),
    )
    stabiliser_seat: float | None = quantity(
        "m",
        "width of the seat of the stabiliser on the fuselage, across",
        ("5 mm", "20 cm"),
        "30 mm",
        default=assume("30 mm", "25 mm", "50 mm", PRACTICE),
    )
    pegs: int | None = count("pegs across each joint of a printed mast (left out: none)", (0, 6), 2)
    peg_diameter: float | None = quantity("m", "diameter of a peg (left out: 8 mm)", ("3 mm", "25 mm"), "8 mm")
    peg_depth: float | None = quantity(
        "m", "how deep it sits in each length (left out: two diameters)", ("4 mm", "15 cm"), "20 mm"
    )
    tie_rods: int | None = count("threaded rods that press the lengths of a mast together (left out: none)", (0, 6), 3)
    tie_rod_size: str | None = choice("their thread (left out: M6)", SIZES)
