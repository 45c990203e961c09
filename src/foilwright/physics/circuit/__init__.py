"""The electrical network solved as a circuit: steady, joined step by step, and in its first moments."""

from foilwright.physics.circuit.branches import Branches
from foilwright.physics.circuit.moments import (
    CapacitorLoad,
    Inrush,
    Precharging,
    capacitor_load,
    inrush,
    lead_loop,
    pair_inductance,
    precharge,
)
from foilwright.physics.circuit.nodal import Shorts, Solution, shorts, solve
from foilwright.physics.circuit.order import Joining, Plan, plug_in

__all__ = [
    "Branches",
    "CapacitorLoad",
    "Inrush",
    "Joining",
    "Plan",
    "Precharging",
    "Shorts",
    "Solution",
    "capacitor_load",
    "inrush",
    "lead_loop",
    "pair_inductance",
    "plug_in",
    "precharge",
    "shorts",
    "solve",
]
