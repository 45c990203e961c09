"""Every field of the build file; a default, a range and a meaning live here and nowhere else."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from foilwright.build.schema.base import Block
from foilwright.build.schema.box import Box
from foilwright.build.schema.factors import Factors
from foilwright.build.schema.field import Assumed, Meta, span, text
from foilwright.build.schema.fixings import Fixings
from foilwright.build.schema.foils import Fuselage, Mast, Pod, Stabiliser, Surface, Wing
from foilwright.build.schema.hull import Board, Part
from foilwright.build.schema.materials import BOOK, Material
from foilwright.build.schema.measured import Measured
from foilwright.build.schema.people import Leg, Ride, Rider, Targets, Water
from foilwright.build.schema.power import CELL_KINDS, Cell, Controller, Gear, Motor, Pack, Propeller
from foilwright.build.schema.radio import Radio
from foilwright.build.schema.sections import Section
from foilwright.build.schema.structure import Base, Laminate, Loads, Sun
from foilwright.build.schema.wiring import Charger, Joint, Wires
from foilwright.build.schema.workshop import Workshop

__all__ = [
    "BEHIND",
    "BOOK",
    "CELL_KINDS",
    "LISTS",
    "NAMED",
    "OPTIONAL",
    "ORDER",
    "TABLES",
    "Assumed",
    "Block",
    "Joint",
    "Leg",
    "Meta",
    "Part",
    "Root",
    "Surface",
    "span",
]


class Root(Block):
    """The whole build file."""

    format: Literal[1]
    name: str | None = text("name of the build (left out: that of the file)", "lake")
    water: Water
    rider: Rider
    board: Board
    part: tuple[Part, ...] = ()
    mast: Mast
    wing: Wing
    stabiliser: Stabiliser
    fuselage: Fuselage = Fuselage()
    pod: Pod = Pod()
    motor: Motor
    gear: Gear = Gear()
    propeller: Propeller
    controller: Controller = Controller()
    cell: Cell
    pack: Pack
    wires: Wires = Wires()
    joint: tuple[Joint, ...] = ()
    charger: Charger = Charger()
    box: Box = Box()
    radio: Radio = Radio()
    ride: Ride
    targets: Targets = Targets()
    base: Base = Base()
    fixings: Fixings = Fixings()
    laminate: Laminate = Laminate()
    sun: Sun = Sun()
    loads: Loads = Loads()
    factors: Factors = Factors()
    workshop: Workshop = Workshop()
    measured: Measured = Measured()
    sections: dict[str, Section] = Field(default_factory=dict)
    materials: dict[str, Material] = Field(default_factory=dict)


TABLES: dict[str, type[Block]] = {
    "water": Water,
    "rider": Rider,
    "board": Board,
    "mast": Mast,
    "wing": Wing,
    "stabiliser": Stabiliser,
    "fuselage": Fuselage,
    "pod": Pod,
    "motor": Motor,
    "gear": Gear,
    "propeller": Propeller,
    "controller": Controller,
    "cell": Cell,
    "pack": Pack,
    "wires": Wires,
    "charger": Charger,
    "box": Box,
    "radio": Radio,
    "ride": Ride,
    "targets": Targets,
    "base": Base,
    "fixings": Fixings,
    "laminate": Laminate,
    "sun": Sun,
    "loads": Loads,
    "factors": Factors,
    "workshop": Workshop,
    "measured": Measured,
}
"""The plain tables by name, in the order of the file."""

LISTS: dict[str, type[Block]] = {"part": Part, "joint": Joint, "ride.leg": Leg}
"""The lists of tables; an entry is addressed by its ``name``: ``part.battery.x``."""

BEHIND: dict[str, tuple[str, ...]] = {"board": ("part",), "wires": ("joint",), "ride": ("ride.leg",)}
"""The lists that stand behind a table in a new file."""

NAMED: dict[str, type[Block]] = {"sections": Section, "materials": Material}
"""Tables of tables, each under a name of its own: ``materials.NAME.tension``."""

OPTIONAL = frozenset(
    {
        "fuselage",
        "pod",
        "gear",
        "controller",
        "wires",
        "charger",
        "box",
        "radio",
        "targets",
        "base",
        "fixings",
        "laminate",
        "sun",
        "loads",
        "factors",
        "workshop",
        "measured",
    }
)
"""Tables that may be left out altogether."""

ORDER: tuple[tuple[str, str, str], ...] = (
    ("rider.prone_from", "at most", "rider.prone_to"),
    ("rider.kneeling_from", "at most", "rider.kneeling_to"),
    ("board.tail_width", "at most", "board.width"),
    ("board.nose_width", "at most", "board.width"),
    ("board.nose_thickness", "at most", "board.thickness"),
    ("part.free_volume", "at most", "part.volume"),
    ("propeller.pin_diameter", "less than", "propeller.shaft_diameter"),
    ("propeller.shaft_diameter", "less than", "propeller.hub_diameter"),
    ("propeller.hub_diameter", "less than", "propeller.diameter"),
    ("pack.stop_charge", "less than", "pack.start_charge"),
    ("box.lid_width", "at most", "box.lid_length"),
    ("radio.receiver_least", "less than", "radio.receiver_voltage"),
)
"""Fields that contradict each other unless the first is at most, or less than, the second."""
