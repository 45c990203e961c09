"""Charging, keeping and carrying a pack: time, match, balance, cold, energy classes, sources."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.core.model import Array, Mask, model
from foilwright.physics.cell import CellTables, Kinds, gather, limits
from foilwright.physics.pack import resistance as pack_resistance

Number = Array | float
Flags = npt.NDArray[np.bool_]
STEPS = 200
APART = 0.005
"""Difference between a charger's and the pack's full voltage that still counts as a match [-]."""
STORED = (0.30, 0.60)
"""Charge at which a pack keeps best [-] (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeTime:
    """A charge at constant current, then constant voltage (n,).

    ``time`` of all and ``steady_time`` at constant current [s]; ``end_charge`` [-]; ``energy`` into the
    pack and ``heat`` lost in it [J]; ``found`` False where the charger cannot reach the end asked.
    """

    time: Array
    steady_time: Array
    end_charge: Array
    energy: Array
    heat: Array
    found: Flags
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """A charger against a pack (n,).

    ``full_voltage`` of the pack [V], ``voltage_gap`` of the charger over it [V], ``current_share`` of the
    charging current that the pack bears [-]; ``fits`` where both are right.
    """

    full_voltage: Array
    voltage_gap: Array
    current_share: Array
    fits: Flags


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """Charging at a temperature (n,): ``current_share`` and ``voltage_share`` of the usual [-]; 0: do not charge."""

    current_share: Array
    voltage_share: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Carriage:
    """How a battery may be carried: ``size`` is small, middle or large, as in ``data/wiring/transport.csv`` [-]."""

    size: npt.NDArray[np.str_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sourced:
    """A charge from a source away from the mains (n,).

    ``power`` into the charger [W]; ``time`` [s], infinite where there is no power; ``share`` of the energy
    asked that the source holds, at most 1 [-].
    """

    power: Array
    time: Array
    share: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Storage:
    """Bringing a pack to where it keeps (n,).

    ``target`` charge [-], ``energy`` to take out, negative to put in [J], ``time`` at the power given [s].
    """

    target: Array
    energy: Array
    time: Array


@model(
    source="constant current, then constant voltage on the open-circuit curve and sustained resistance of the cell",
    valid={
        "temperature": (273.15, 318.15, "cells are charged between 0 and 45 C only"),
        "charge": (0.0, 1.0, "charge runs from 0 to 1"),
    },
    decides=("temperature",),
)
def charge_time(
    *,
    cell: CellTables | Kinds,
    series: Number,
    parallel: Number,
    capacity: Number,
    current: Number,
    voltage: Number,
    start_charge: Number,
    end_charge: Number,
    temperature: Number,
    power: Number = np.inf,
    leads: Number = 0.0,
) -> ChargeTime:
    r"""Return how long a charger takes.

    Parameters
    ----------
    cell : CellTables or str
        Tables of the cells of each design, or a kind of cell [-].
    series, parallel : int or (n,) arrays
        Cells in series, and side by side [-].
    capacity : float or (n,) array
        Of one cell [A*s].
    current : float or (n,) array
        Of the charger [A].
    voltage : float or (n,) array
        At which the charger holds [V].
    start_charge, end_charge : float or (n,) arrays
        State of charge at the start, and at which to stop [-].
    temperature : float or (n,) array
        Temperature of the cells [K].
    power : float or (n,) array
        Largest output of the charger; infinite for none [W].
    leads : float or (n,) array
        Links and leads of the pack [ohm].

    Returns
    -------
    ChargeTime
        Times [s], charge [-], energies [J].

    Notes
    -----
    .. math:: t = Q \int \frac{ds}{\min(I,\ (V - V_0(s))/R(s),\ I_P(s))}

    where :math:`I_P` is the current at which the output power is met. Integrated by the midpoint rule.
    """
    tables = cell if isinstance(cell, CellTables) else gather(kinds=cell)
    given = (series, parallel, capacity, current, voltage, start_charge, end_charge, temperature, power, leads)
    shape = np.broadcast_shapes(tables.kind.shape, *(np.shape(one) for one in given))
    first, last = (np.broadcast_to(np.asarray(one, dtype=np.float64), shape) for one in (start_charge, end_charge))
    share = (np.arange(STEPS) + 0.5) / STEPS
    s = first[..., None] + (last - first)[..., None] * share
    wide = {
        name: np.asarray(one, dtype=np.float64)[..., None]
        for name, one in {
            "series": series, "parallel": parallel, "leads": leads, "capacity": capacity, "current": current,
            "voltage": voltage, "power": power, "temperature": temperature,
        }.items()
    }  # fmt: skip
    below, part = tables.place(s)
    rest = wide["series"] * tables.read(tables.rows_voltage, tables.row(s.ndim) + below, part)
    ohms = _resistance(tables, s, wide)
    held = (wide["voltage"] - rest) / ohms
    watts = wide["power"]
    capped = np.where(np.isfinite(watts), 2.0 * watts, 0.0)
    by_power = np.where(np.isfinite(watts), capped / (rest + np.sqrt(rest * rest + 2.0 * capped * ohms)), np.inf)
    flow = np.minimum(np.minimum(wide["current"], held), by_power)
    reach = flow > 0.0
    found = np.asarray(reach.all(axis=-1))
    step = wide["capacity"] * wide["parallel"] * (last - first)[..., None] / STEPS
    seconds = step / np.where(reach, flow, 1.0)
    steady = np.where(flow >= wide["current"], seconds, 0.0).sum(axis=-1)
    amps = np.where(reach, flow, 0.0)
    return ChargeTime(
        time=np.where(found, seconds.sum(axis=-1), np.nan),
        steady_time=steady,
        end_charge=np.where(reach, s + 0.5 * (last - first)[..., None] / STEPS, first[..., None]).max(axis=-1),
        energy=np.where(found, ((rest + amps * ohms) * step).sum(axis=-1), np.nan),
        heat=np.where(found, (amps * ohms * step).sum(axis=-1), np.nan),
        found=found,
        outside=charge_time.mask(temperature=temperature, charge=start_charge),
    )


def _resistance(tables: CellTables, charge: Array, wide: dict[str, Array]) -> Array:
    """Return the pack's resistance over charge (..., m)."""
    one = tables.reference_resistance * tables.nominal_capacity
    kind = np.asarray(tables.kind)
    single = pack_resistance(
        cell=tables if kind.ndim == 0 else _deep(tables),
        charge=charge,
        temperature=wide["temperature"],
        cell_resistance=(np.asarray(one)[..., None] if kind.ndim else one) / wide["capacity"],
        series=wide["series"],
        parallel=wide["parallel"],
        leads=wide["leads"],
    )
    return np.asarray(single)


def _deep(tables: CellTables) -> CellTables:
    """Return the tables with a last axis for charge behind the designs."""
    return replace(
        tables,
        kind=tables.kind[..., None],
        activation_energy=tables.activation_energy[..., None],
        reference_resistance=tables.reference_resistance[..., None],
    )


@model(source="charge that a bypass takes from the fullest cells: Q = I t")
def balance_time(*, capacity: Number, spread: Number, balance_current: Number) -> Array:
    """Return how long balancing takes.

    Parameters
    ----------
    capacity : float or (n,) array
        Of one group of cells side by side [A*s].
    spread : float or (n,) array
        Difference of charge between the fullest and the emptiest group [-].
    balance_current : float or (n,) array
        Of the protection board's bypass: 0.03 to 0.1 A is usual [A].

    Returns
    -------
    float or (n,) array
        Time [s].
    """
    time: Array = np.asarray(capacity) * np.asarray(spread) / np.asarray(balance_current)
    return time


@model(source="full voltage by chemistry (data/cells/limits.csv) times cells in series; half a percent apart")
def match(*, kinds: Kinds, series: Number, voltage: Number, current: Number, charge_limit: Number) -> Match:
    """Return whether a charger suits a pack.

    Parameters
    ----------
    kinds : str or (n,) sequence of str
        Kind of cell by chemistry and form [-].
    series : int or (n,) array
        Cells in series [-].
    voltage : float or (n,) array
        At which the charger holds [V].
    current : float or (n,) array
        Of the charger [A].
    charge_limit : float or (n,) array
        Charging current that the pack bears [A].

    Returns
    -------
    Match
        Voltages [V] and share of the current [-].
    """
    full = np.asarray(limits(kinds=kinds).charge_end) * np.asarray(series)
    gap = np.asarray(voltage) - full
    share = np.asarray(current) / np.asarray(charge_limit)
    return Match(
        full_voltage=full,
        voltage_gap=gap,
        current_share=share,
        fits=np.asarray((np.abs(gap) <= APART * full) & (share <= 1.0)),
    )


@model(source="JEITA practice for charging over temperature: data/wiring/charge_temperature.csv")
def allowed_charge(*, temperature: Number) -> Allowed:
    """Return the share of current and voltage with which cells may be charged.

    Parameters
    ----------
    temperature : float or (n,) array
        Temperature of the cells [K].

    Returns
    -------
    Allowed
        Shares [-].
    """
    columns = table("wiring/charge_temperature").columns
    band = np.searchsorted(columns["low"], np.asarray(temperature), side="right") - 1
    return Allowed(current_share=columns["current_share"][band], voltage_share=columns["voltage_share"][band])


@model(source="ICAO Technical Instructions and IATA Dangerous Goods Regulations: 100 and 160 Wh")
def transport_class(*, energy: Number) -> Carriage:
    """Return the class by which a battery may be carried.

    Parameters
    ----------
    energy : float or (n,) array
        That the battery holds by its label [J].

    Returns
    -------
    Carriage
        Size [-].
    """
    listed = table("wiring/transport")
    place = np.searchsorted(listed.columns["up_to"], np.asarray(energy, dtype=np.float64), side="left")
    names = np.array(listed.texts["class"])
    return Carriage(size=np.asarray(names[np.minimum(place, names.size - 1)]))


@model(source="energy balance; sources by kind: data/wiring/charge_sources.csv")
def from_source(*, source: str, energy: Number, charger_power: Number, charger_efficiency: Number = 0.9) -> Sourced:
    """Return how a charge goes from a source away from the mains.

    Parameters
    ----------
    source : str
        One of those in ``data/wiring/charge_sources.csv`` [-].
    energy : float or (n,) array
        To be put into the pack [J].
    charger_power : float or (n,) array
        Output of the charger [W].
    charger_efficiency : float or (n,) array
        Of the charger [-].

    Returns
    -------
    Sourced
        Power [W], time [s], share [-].
    """
    listed = table("wiring/charge_sources")
    if source not in listed.texts["source"]:
        raise DataError(f"a source is one of {', '.join(listed.texts['source'])}, not {source!r}")
    row = listed.texts["source"].index(source)
    given, held, passed = (listed.columns[name][row] for name in ("power", "energy", "efficiency"))
    asked, own = np.asarray(energy, dtype=np.float64), np.asarray(charger_efficiency, dtype=np.float64)
    output = np.minimum(np.asarray(charger_power, dtype=np.float64), given * passed * own)
    share = np.minimum(held * passed * own / asked, 1.0)
    return Sourced(
        power=output / own,
        time=np.where(output > 0.0, asked * share / np.where(output > 0.0, output, 1.0), np.inf),
        share=share,
    )


@model(source="rated power of the panels times hours of full sun, less heat, angle, dirt and conversion")
def solar_energy(*, power: Number, sun_hours: Number, efficiency: Number = 0.75) -> Array:
    """Return what panels give in a day.

    Parameters
    ----------
    power : float or (n,) array
        On the label of the panels [W].
    sun_hours : float or (n,) array
        Energy of the sun on the panels in a day over 1000 W/m2: 1 in winter, 5 on a clear summer's day [s].
    efficiency : float or (n,) array
        Left of the label's power over such a day [-].

    Returns
    -------
    float or (n,) array
        Energy [J].
    """
    energy: Array = np.asarray(power) * np.asarray(sun_hours) * np.asarray(efficiency)
    return energy


@model(source="common practice: lithium-ion cells keep best between 30 and 60 % charge, cool")
def storage(*, charge: Number, energy: Number, power: Number) -> Storage:
    """Return what brings a pack to the charge at which it keeps.

    Parameters
    ----------
    charge : float or (n,) array
        State of charge [-].
    energy : float or (n,) array
        That the full pack holds [J].
    power : float or (n,) array
        At which it is emptied or filled [W].

    Returns
    -------
    Storage
        Charge [-], energy [J], time [s]; the nearest end of the range is the target.
    """
    now = np.asarray(charge, dtype=np.float64)
    target = np.minimum(np.maximum(now, STORED[0]), STORED[1])
    out = (now - target) * np.asarray(energy)
    return Storage(target=target, energy=out, time=np.abs(out) / np.asarray(power))
