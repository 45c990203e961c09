"""The watertight box: heads of water, its lid, leaks and wicking strands, a cell that vents."""

from foilwright.physics.box.heads import (
    DesignPressure,
    DuctHead,
    Likeness,
    design_pressure,
    duct_head,
    head,
    immersion_likeness,
    jet_pressure,
    slam_pressure,
)
from foilwright.physics.box.leak import (
    VacuumHold,
    WaterEntry,
    Wick,
    capillary_rise,
    strand_wick,
    vacuum_hold,
    water_entry,
)
from foilwright.physics.box.lid import Lid, heel_on_lid, hole_clearance, lid, warm_modulus
from foilwright.physics.box.venting import (
    cell_gas,
    closed_vent_pressure,
    relief_area,
    relief_pressure,
    venting_time,
)

__all__ = [
    "DesignPressure",
    "DuctHead",
    "Lid",
    "Likeness",
    "VacuumHold",
    "WaterEntry",
    "Wick",
    "capillary_rise",
    "cell_gas",
    "closed_vent_pressure",
    "design_pressure",
    "duct_head",
    "head",
    "heel_on_lid",
    "hole_clearance",
    "immersion_likeness",
    "jet_pressure",
    "lid",
    "relief_area",
    "relief_pressure",
    "slam_pressure",
    "strand_wick",
    "vacuum_hold",
    "venting_time",
    "warm_modulus",
    "water_entry",
]
