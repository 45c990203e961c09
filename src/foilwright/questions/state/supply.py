"""The pack as the drive sees it: a source with a resistance, at half of the usable charge."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import cell as cells
from foilwright.physics import pack as packs

HALF = 0.5
"""Share of the usable charge that is gone when take-off and flight are asked."""
SPECIFIC_HEAT = 1000.0
"""Of a cell [J/(kg K)] (Maleki et al. 1999: 960 to 1040)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyState:
    """Pack and cells; arrays (n,)."""

    tables: cells.CellTables
    limits: cells.CellLimits
    cell_resistance: Array  # ohm, sustained, 25 degC, half charge
    charge: Array  # at which take-off and flight are asked
    supply: packs.Supply
    full_voltage: Array  # V, at the start of the ride, no load
    stop_voltage: Array  # V, of the pack
    label_energy: Array  # J, capacity times voltage at half charge
    cell_mass: Array  # kg, all cells
    heat_capacity: Array  # J/K


def supply_state(craft: Craft) -> SupplyState:
    """Return the supply of a craft."""
    p = craft.pack
    tables = cells.gather(kinds=p.kind)
    limits = cells.limits(kinds=p.kind)
    by_kind = tables.reference_resistance * tables.nominal_capacity / p.capacity
    resistance = np.where(np.isnan(p.cell_resistance), by_kind, p.cell_resistance)
    stop = np.where(np.isnan(p.stop_voltage), limits.stop, p.stop_voltage) * p.series
    charge = p.start_charge - HALF * (p.start_charge - p.stop_charge)
    supply = packs.supply(
        cell=tables, charge=charge, temperature=p.temperature, cell_resistance=resistance, series=p.series,
        parallel=p.parallel, leads=p.link_resistance, current_limit=p.cell_current_limit * p.parallel,
    )  # fmt: skip
    mass = p.series * p.parallel * p.cell_mass
    middle = packs.open_voltage(cell=tables, charge=np.full(craft.designs, 0.5), series=p.series)
    return SupplyState(
        tables=tables,
        limits=limits,
        cell_resistance=resistance,
        charge=charge,
        supply=supply,
        full_voltage=np.asarray(packs.open_voltage(cell=tables, charge=p.start_charge, series=p.series)),
        stop_voltage=stop,
        label_energy=np.asarray(middle * p.capacity * p.parallel),
        cell_mass=mass,
        heat_capacity=mass * SPECIFIC_HEAT,
    )
