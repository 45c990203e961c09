"""Resistance of the board from rest over the hump to planing, and what comes on top of it.

Angles are radians at the interface and degrees only inside the formulas of Savitsky. The load is the
part of the weight that the board carries; x is counted forward from the tail.
"""

from foilwright.physics.resistance.allowances import (
    ROUNDED_EDGE_BAND,
    Chop,
    PrePlaning,
    RoundedEdge,
    chop_factor,
    cylinder_drag_coefficient,
    legs,
    mercier_savitsky,
    rounded_edge,
)
from foilwright.physics.resistance.hull import (
    Board,
    Displacement,
    board,
    displacement,
    skimming,
)
from foilwright.physics.resistance.planing import (
    Planing,
    friction_line,
    planing,
    planing_at_trim,
)
from foilwright.physics.resistance.waves import (
    PatchWave,
    ShallowWater,
    WaveCoefficient,
    hump_froude,
    patch_wave,
    patch_wave_coefficient,
    shallow_water,
)

__all__ = [
    "ROUNDED_EDGE_BAND",
    "Board",
    "Chop",
    "Displacement",
    "PatchWave",
    "Planing",
    "PrePlaning",
    "RoundedEdge",
    "ShallowWater",
    "WaveCoefficient",
    "board",
    "chop_factor",
    "cylinder_drag_coefficient",
    "displacement",
    "friction_line",
    "hump_froude",
    "legs",
    "mercier_savitsky",
    "patch_wave",
    "patch_wave_coefficient",
    "planing",
    "planing_at_trim",
    "rounded_edge",
    "shallow_water",
    "skimming",
]
