"""Sections of several materials, cantilevers, stress, buckling and divergence."""

from foilwright.physics.beam.bending import Bend, Twist, cantilever, twisted
from foilwright.physics.beam.foil import CORE, WALL, WRAP, Bars, foil_section, room
from foilwright.physics.beam.limits import (
    ENDS,
    divergence,
    euler_load,
    magnification,
    natural_frequency,
    utilisation,
    wall_buckling,
)
from foilwright.physics.beam.shapes import Section, Shape, Stress, layered, rectangle, round_bar, stresses
from foilwright.physics.beam.shell import shell_share, shell_wall

__all__ = [
    "CORE",
    "ENDS",
    "WALL",
    "WRAP",
    "Bars",
    "Bend",
    "Section",
    "Shape",
    "Stress",
    "Twist",
    "cantilever",
    "divergence",
    "euler_load",
    "foil_section",
    "layered",
    "magnification",
    "natural_frequency",
    "rectangle",
    "room",
    "round_bar",
    "shell_share",
    "shell_wall",
    "stresses",
    "twisted",
    "utilisation",
    "wall_buckling",
]
