"""Mast and pod: profile, spray and junction drag, side force, ventilation, cavitation."""

from foilwright.physics.strut.air import (
    SideSlip,
    cavitation_number,
    inception_speed,
    side_slip_limit,
    ventilation_indicator,
)
from foilwright.physics.strut.drag import (
    Spray,
    junction_drag,
    pod_drag,
    profile_drag,
    spray_drag,
    spray_drag_band,
    wall_junction_drag,
)
from foilwright.physics.strut.side import side_force, side_force_slope

__all__ = [
    "SideSlip",
    "Spray",
    "cavitation_number",
    "inception_speed",
    "junction_drag",
    "pod_drag",
    "profile_drag",
    "side_force",
    "side_force_slope",
    "side_slip_limit",
    "spray_drag",
    "spray_drag_band",
    "ventilation_indicator",
    "wall_junction_drag",
]
