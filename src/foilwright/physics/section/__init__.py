"""Sections in flow: stored polars, fast tables of them, friction and finish, potential flow."""

from foilwright.physics.section.friction import (
    blunt_edge_drag,
    flat_plate_friction,
    laminar_plate_friction,
    mccroskey_drag,
    mccroskey_slope,
    profile_drag_without_polar,
    rough_plate_friction,
    roughness_allowed,
    roughness_ratio,
    tripping_height,
)
from foilwright.physics.section.stored import Polar, polar, pressure_minimum, profile_drag
from foilwright.physics.section.tables import (
    FINISHES,
    LIFT_AXIS,
    REYNOLDS_AXIS,
    Characteristics,
    SectionTables,
    characteristics_at,
    drag_at,
    gather,
    pressure_at,
)
from foilwright.physics.section.theory import Flow, ThinSection, panel, thin_section

__all__ = [
    "FINISHES",
    "LIFT_AXIS",
    "REYNOLDS_AXIS",
    "Characteristics",
    "Flow",
    "Polar",
    "SectionTables",
    "ThinSection",
    "blunt_edge_drag",
    "characteristics_at",
    "drag_at",
    "flat_plate_friction",
    "gather",
    "laminar_plate_friction",
    "mccroskey_drag",
    "mccroskey_slope",
    "panel",
    "polar",
    "pressure_at",
    "pressure_minimum",
    "profile_drag",
    "profile_drag_without_polar",
    "rough_plate_friction",
    "roughness_allowed",
    "roughness_ratio",
    "thin_section",
    "tripping_height",
]
