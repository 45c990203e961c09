"""Lifting surfaces below a free surface: lift slope, induced and wave drag, downwash, roll."""

from foilwright.physics.lifting.downwash import downwash, downwash_factor
from foilwright.physics.lifting.planform import Planform, lifting_line_slope, taper_factors
from foilwright.physics.lifting.roll import RollError, roll_damping, roll_damping_strip, twist_error_roll
from foilwright.physics.lifting.surface import (
    SurfaceLift,
    section_lift_factor,
    surface_drag_factor,
    surface_lift_band,
    surface_lift_factor,
)
from foilwright.physics.lifting.wing import Slope, Wing, height_stiffness, slope_and_drag, wing

__all__ = [
    "Planform",
    "RollError",
    "Slope",
    "SurfaceLift",
    "Wing",
    "downwash",
    "downwash_factor",
    "height_stiffness",
    "lifting_line_slope",
    "roll_damping",
    "roll_damping_strip",
    "section_lift_factor",
    "slope_and_drag",
    "surface_drag_factor",
    "surface_lift_band",
    "surface_lift_factor",
    "taper_factors",
    "twist_error_roll",
    "wing",
]
