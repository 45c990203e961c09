"""Plies, laminates and sandwiches of foam and laminate."""

from foilwright.physics.laminate.ply import (
    GlassLaminate,
    Ply,
    Stack,
    across_modulus,
    glass_rules,
    mass_share,
    mixed_modulus,
    ply,
    stack,
)
from foilwright.physics.laminate.sandwich import (
    CASES,
    Dent,
    Sandwich,
    SandwichBeam,
    heel,
    sandwich,
    sandwich_beam,
    wrinkling,
)

__all__ = [
    "CASES",
    "Dent",
    "GlassLaminate",
    "Ply",
    "Sandwich",
    "SandwichBeam",
    "Stack",
    "across_modulus",
    "glass_rules",
    "heel",
    "mass_share",
    "mixed_modulus",
    "ply",
    "sandwich",
    "sandwich_beam",
    "stack",
    "wrinkling",
]
