"""Heat: films of air and water, sun on a surface, boxes, plates and fins, networks of lumps over time."""

from foilwright.physics.heat.bodies import (
    box_resistance,
    conduction,
    fin_efficiency,
    finned_area,
    lead_temperature,
    plate_to_water,
    pod_resistance,
    radiation_film,
    sun_rise,
    winding_temperature,
)
from foilwright.physics.heat.films import (
    Fluid,
    cross_cylinder,
    fluid,
    forced_film,
    forced_plate,
    horizontal_cylinder,
    horizontal_plate,
    natural_film,
    vertical_plate,
)
from foilwright.physics.heat.losses import Derated, controller_heat, derated_current, fuse_heat, supply_heat
from foilwright.physics.heat.lumped import Reached, Steady, Warming, steady, time_to_limit, transient
from foilwright.physics.heat.placement import NODES, CoolingNetwork, cooling_network
from foilwright.physics.heat.sun import sunlit_temperature

__all__ = [
    "NODES",
    "CoolingNetwork",
    "Derated",
    "Fluid",
    "Reached",
    "Steady",
    "Warming",
    "box_resistance",
    "conduction",
    "controller_heat",
    "cooling_network",
    "cross_cylinder",
    "derated_current",
    "fin_efficiency",
    "finned_area",
    "fluid",
    "forced_film",
    "forced_plate",
    "fuse_heat",
    "horizontal_cylinder",
    "horizontal_plate",
    "lead_temperature",
    "natural_film",
    "plate_to_water",
    "pod_resistance",
    "radiation_film",
    "steady",
    "sun_rise",
    "sunlit_temperature",
    "supply_heat",
    "time_to_limit",
    "transient",
    "vertical_plate",
    "winding_temperature",
]
