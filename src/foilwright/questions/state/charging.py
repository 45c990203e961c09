"""Charging after the ride: the charger against the pack, times, sources, keeping and carrying."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import charging
from foilwright.questions.state.ride import RideState
from foilwright.questions.state.supply import SupplyState

Index = npt.NDArray[np.intp]

FULL = 0.995
"""Charge at which a charge counts as done; the last of it is balancing."""
BAG = {"public transport": 360e3, "aircraft": 360e3, "parcel": 0.0}
"""Energy of one battery that may travel so, by way [J]: 100 Wh; a home-built pack may not be sent at all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeState:
    """Charging of every design (n,)."""

    match: charging.Match
    limit: Array  # A, that the pack bears at its temperature; NaN where not stated
    allowed: charging.Allowed
    time: Array  # s, to full, with its source; NaN where it never is
    reaches: npt.NDArray[np.bool_]  # the charger can fill the pack
    balance: Array  # s
    energy: Array  # J, into the pack
    source_share: Array  # of that energy that the source holds
    after: Array  # K, cells at the end of the ride
    storage: charging.Storage
    module_energy: Array  # J, of one module by its label
    size: npt.NDArray[np.str_]  # class of one module by its energy
    carried: Array  # J, energy of one battery that may travel as it is stated


def charge_state(craft: Craft, supply: SupplyState, ride: RideState) -> ChargeState:
    """Return charging after the ride."""
    c, p = craft.charger, craft.pack
    allowed = charging.allowed_charge(temperature=c.temperature)
    bears = c.cell_limit * p.parallel
    match = charging.match(
        kinds=p.kind, series=p.series, voltage=c.voltage, current=c.current, charge_limit=np.nan_to_num(bears, nan=1e9)
    )
    known = ~(np.isnan(c.voltage) | np.isnan(c.current))
    voltage, current = np.where(known, c.voltage, match.full_voltage), np.where(known, c.current, 1.0)
    output = voltage * current
    by_source = _sourced(c.source, np.ones_like(output), output, c.efficiency)[0] * c.efficiency
    start = np.clip(ride.end_charge, 0.0, FULL - 0.01)
    charge = charging.charge_time(
        cell=supply.tables, series=p.series, parallel=p.parallel, capacity=p.capacity,
        current=current, voltage=voltage, start_charge=start,
        end_charge=np.full(craft.designs, FULL),
        temperature=np.maximum(c.temperature, 273.15), power=by_source, leads=supply.leads,
    )  # fmt: skip
    energy = np.where(charge.found, charge.energy, (FULL - start) * supply.label_energy)
    share = _sourced(c.source, energy, output, c.efficiency)[1]
    module = supply.label_energy / (craft.harness.modules_in_series * craft.harness.modules_side_by_side)
    return ChargeState(
        match=match, limit=bears * allowed.current_share, allowed=allowed, time=charge.time, reaches=charge.found,
        balance=np.asarray(
            charging.balance_time(
                capacity=p.capacity * p.parallel, spread=c.cell_spread, balance_current=c.balance_current
            )
        ),
        energy=energy, source_share=share, after=ride.ride.temperature[:, -1],
        storage=charging.storage(charge=c.stored_charge, energy=supply.label_energy, power=output),
        module_energy=module, size=charging.transport_class(energy=module).size,
        carried=np.array([BAG.get(way, np.inf) for way in c.carriage]),
    )  # fmt: skip


def _sourced(sources: tuple[str, ...], energy: Array, output: Array, efficiency: Array) -> tuple[Array, Array]:
    """Return power into the charger [W] and share of the energy that each design's source holds."""
    power, share = np.empty_like(output), np.empty_like(output)
    for source in dict.fromkeys(sources):
        rows = np.array([each == source for each in sources])
        found = charging.from_source(
            source=source, energy=energy[rows], charger_power=output[rows], charger_efficiency=efficiency[rows]
        )
        power[rows], share[rows] = found.power, found.share
    return power, share


def rules() -> dict[str, str]:
    """Return what holds for the carriage of a battery, by the class of its energy."""
    listed = table("wiring/transport")
    return dict(zip(listed.texts["class"], listed.texts["rule"], strict=True))
