"""The propeller: series coefficients, drag corrections, cavitation, inflow, blades and retention."""

from foilwright.physics.propeller.blade import (
    BearingLoad,
    BladeStress,
    blade_stress,
    nut_hand,
    shear_pin,
    thrust_bearing_load,
    thrust_sense,
    tip_deflection,
)
from foilwright.physics.propeller.cavitation import (
    breakdown_limit,
    burrill_limit,
    burrill_line,
    cavitation_loading,
    cavitation_number,
    keller_area_ratio,
)
from foilwright.physics.propeller.correction import (
    Correction,
    reynolds_correction,
    series_correction,
)
from foilwright.physics.propeller.inflow import (
    Interaction,
    figure_of_merit,
    ideal_bollard_thrust,
    ideal_efficiency,
    immersion_loss,
    interaction,
)
from foilwright.physics.propeller.series import (
    Coefficients,
    Ducted,
    OpenWater,
    area_beyond,
    collapse,
    collapse_ducted,
    ducted,
    open_water,
    zero_thrust_advance,
)

__all__ = [
    "BearingLoad",
    "BladeStress",
    "Coefficients",
    "Correction",
    "Ducted",
    "Interaction",
    "OpenWater",
    "area_beyond",
    "blade_stress",
    "breakdown_limit",
    "burrill_limit",
    "burrill_line",
    "cavitation_loading",
    "cavitation_number",
    "collapse",
    "collapse_ducted",
    "ducted",
    "figure_of_merit",
    "ideal_bollard_thrust",
    "ideal_efficiency",
    "immersion_loss",
    "interaction",
    "keller_area_ratio",
    "nut_hand",
    "open_water",
    "reynolds_correction",
    "series_correction",
    "shear_pin",
    "thrust_bearing_load",
    "thrust_sense",
    "tip_deflection",
    "zero_thrust_advance",
]
