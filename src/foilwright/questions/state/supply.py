"""The pack as the drive sees it: a source with a resistance, at half of the usable charge."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.assemble.drawn import Drawn
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import cell as cells
from foilwright.physics import pack as packs
from foilwright.physics.water import GRAVITY
from foilwright.questions.state.network import NetworkState, lead_temperature, network_state
from foilwright.questions.state.weights import Weights

HALF = 0.5
"""Share of the usable charge that is gone when take-off and flight are asked."""
USUAL_GLIDE, USUAL_SPEED, USUAL_EFFICIENCY = 9.0, 6.5, 0.55
"""Glide ratio, speed [m/s] and efficiency at which copper and cells settle while the drive is not known."""
BOX_RISE = 12.0
"""Air in the box above that around it while it flies [K]."""
COUNTED = 10.0
"""Warming of the cells that is counted on at most [K]."""
SPECIFIC_HEAT = 1000.0
"""Of a cell [J/(kg K)] (Maleki et al. 1999: 960 to 1040)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CellState:
    """One cell of the pack, by its kind and what is stated of it; arrays (n,)."""

    tables: cells.CellTables
    limits: cells.CellLimits
    resistance: Array  # ohm, sustained, 25 degC, half charge


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyState:
    """Pack and cells; arrays (n,)."""

    tables: cells.CellTables
    limits: cells.CellLimits
    cell_resistance: Array  # ohm, sustained, 25 degC, half charge
    leads: Array  # ohm, of links, leads and contacts
    charge: Array  # at which take-off and flight are asked
    network: NetworkState
    usual_current: Array  # A, of steady flight, at which copper and cells were warmed
    supply: packs.Supply
    full_voltage: Array  # V, at the start of the ride, no load
    stop_voltage: Array  # V, of the pack
    label_energy: Array  # J, capacity times voltage at half charge
    cell_mass: Array  # kg, all cells
    heat_capacity: Array  # J/K


def cell_state(craft: Craft) -> CellState:
    """Return the cells of a craft."""
    p = craft.pack
    tables = cells.gather(kinds=p.kind)
    by_kind = tables.reference_resistance * tables.nominal_capacity / p.capacity
    resistance = np.where(np.isnan(p.cell_resistance), by_kind, p.cell_resistance) * craft.factors.pack_resistance
    return CellState(tables=tables, limits=cells.limits(kinds=p.kind), resistance=resistance)


def supply_state(craft: Craft, weights: Weights, drawn: tuple[Drawn, ...], cell: CellState) -> SupplyState:
    """Return the supply of a craft, its copper and cells as warm as steady flight makes them."""
    p = craft.pack
    tables, limits, resistance = cell.tables, cell.limits, cell.resistance
    stop = np.where(np.isnan(p.stop_voltage), limits.stop, p.stop_voltage) * p.series
    charge = p.start_charge - HALF * (p.start_charge - p.stop_charge)
    mass = p.series * p.parallel * p.cell_mass
    rest = np.asarray(packs.open_voltage(cell=tables, charge=charge, series=1.0))
    current = usual_current(craft, weights, rest * p.series)
    warm = _warm(craft, tables, charge, resistance, current, mass * SPECIFIC_HEAT)
    one = {
        "cell": tables, "charge": charge, "temperature": warm, "cell_resistance": resistance, "series": 1.0,
        "parallel": 1.0, "leads": 0.0,
    }  # fmt: skip
    lasting = np.asarray(packs.resistance(**one))  # type: ignore[arg-type]
    copper = lead_temperature(
        craft.harness.main_area,
        current / craft.harness.inputs,
        np.maximum(craft.water.temperature, craft.cooling.air_temperature) + BOX_RISE,
    )
    network = network_state(craft, drawn, cell_voltage=rest, cell_resistance=lasting, copper_temperature=copper)
    burst = np.asarray(packs.resistance(**one, lasting="burst"))  # type: ignore[arg-type]
    middle = packs.open_voltage(cell=tables, charge=np.full(craft.designs, 0.5), series=p.series)
    return SupplyState(
        tables=tables,
        limits=limits,
        cell_resistance=resistance,
        leads=network.leads,
        charge=charge,
        network=network,
        usual_current=current,
        supply=packs.Supply(
            open_voltage=network.open_voltage,
            resistance=network.resistance,
            burst_resistance=p.series / p.parallel * burst + network.leads,
            current_limit=p.cell_current_limit * p.parallel,
            charge=charge,
            temperature=warm,
            outside=packs.supply.mask(temperature=warm, charge=charge),
        ),
        full_voltage=np.asarray(packs.open_voltage(cell=tables, charge=p.start_charge, series=p.series)),
        stop_voltage=stop,
        label_energy=np.asarray(middle * p.capacity * p.parallel),
        cell_mass=mass,
        heat_capacity=mass * SPECIFIC_HEAT,
    )


def usual_current(craft: Craft, weights: Weights, voltage: Array) -> Array:
    """Return the current of steady flight, before the drive is known (n,) [A]."""
    power = weights.total * GRAVITY / USUAL_GLIDE * USUAL_SPEED / USUAL_EFFICIENCY
    return np.minimum(power / voltage, np.nan_to_num(craft.drive.battery_current_limit, nan=np.inf))


def _warm(
    craft: Craft, tables: cells.CellTables, charge: Array, resistance: Array, current: Array, store: Array
) -> Array:
    """Return the temperature of the cells with half of the usable charge gone (n,) [K].

    The heat of a steady current is I R Q, whatever its time; what the pack gives off meanwhile is left
    out of it by the share of the cooling that is stated. No more than ``COUNTED`` is counted on: a take-off
    may come before the pack is warm.
    """
    p = craft.pack
    start = packs.resistance(
        cell=tables, charge=charge, temperature=p.temperature, cell_resistance=resistance, series=p.series,
        parallel=p.parallel, leads=0.0,
    )  # fmt: skip
    drawn = HALF * (p.start_charge - p.stop_charge) * p.capacity * p.parallel
    rise = current * np.asarray(start) * drawn / store
    kept = np.clip(1.0 - p.cooling, 0.3, 1.0)
    return p.temperature + np.minimum(kept * rise, COUNTED)
