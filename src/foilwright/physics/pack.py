"""A pack of equal cells: its source, and how charge, voltage and temperature run down under load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.errors import ModelError
from foilwright.core.model import Array, Mask, Model, model
from foilwright.physics.cell import LASTING, CellTables, Kinds, gather, temperature_factor
from foilwright.physics.rundown import ENDLESS, Discharge, Number, Pack, Ride, State, Stop

Flag = npt.NDArray[np.bool_]
Cell = CellTables | Kinds
TEMPERATURE = (263.15, 333.15, "no resistance was computed below -10 C; cells are stopped above 60 C")
CHARGE = (0.05, 1.0, "the resistance is held at its value at charge 0.05 below it")
RATE = (0.0, 1.0, "the current is above the rate at which the resistance of this kind was checked")


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What a controller sees of a pack (n,).

    Open voltage [V], sustained and 10 s resistance [ohm], current limit [A]; ``charge`` [-] and
    ``temperature`` [K] are those at which it holds.
    """

    open_voltage: Array
    resistance: Array
    burst_resistance: Array
    current_limit: Array
    charge: Array
    temperature: Array
    outside: Mask


def _tables(cell: Cell) -> CellTables:
    return cell if isinstance(cell, CellTables) else gather(kinds=cell)


@model(
    source="open-circuit curves of open parameter sets, data/cells; series sum",
    valid={"charge": (0.0, 1.0, "charge runs from 0 to 1")},
    decides=("charge",),
)
def open_voltage(*, cell: Cell, charge: Number, series: Number) -> Array:
    """Return the voltage of a pack at rest.

    Parameters
    ----------
    cell : CellTables or str
        Tables of the cells of each design, or a kind of cell [-].
    charge : float or (n,) or (n, k) array
        State of charge [-].
    series : int or (n,) array
        Cells in series [-].

    Returns
    -------
    float or array
        Voltage [V]; NaN outside the charge axis.
    """
    tables, s = _tables(cell), np.asarray(charge, dtype=np.float64)
    below, share = tables.place(s)
    voltage: Array = np.asarray(series) * tables.read(tables.rows_voltage, tables.row(s.ndim) + below, share)
    return np.where((s >= 0.0) & (s <= 1.0), voltage, np.nan)


@model(
    source="shapes from open parameter sets, data/cells; R = Ns Rc / Np + leads",
    valid={"temperature": TEMPERATURE, "charge": CHARGE},
)
def resistance(
    *,
    cell: Cell,
    charge: Number,
    temperature: Number,
    cell_resistance: Number | None = None,
    series: Number,
    parallel: Number,
    leads: Number,
    lasting: str = "sustained",
) -> Array:
    """Return the resistance of a pack.

    Parameters
    ----------
    cell : CellTables or str
        Tables of the cells of each design, or a kind of cell [-].
    charge : float or (n,) array
        State of charge [-].
    temperature : float or (n,) array
        Temperature of the cells [K].
    cell_resistance : float or (n,) array, optional
        Sustained resistance of one cell at 25 C and charge 0.5, with tabs; of the kind if not given [ohm].
    series, parallel : int or (n,) arrays
        Cells in series, and side by side [-].
    leads : float or (n,) array
        Links and leads of the pack [ohm].
    lasting : str
        How long the current lasts: sustained (a discharge), burst (10 s) or instant [-].

    Returns
    -------
    float or (n,) array
        Resistance at the terminals [ohm].
    """
    if lasting not in LASTING:
        raise ModelError(f"a resistance is one of {', '.join(LASTING)}, not {lasting!r}")
    tables = _tables(cell)
    rows = getattr(tables, f"rows_{lasting}")
    one = tables.reference_resistance if cell_resistance is None else np.asarray(cell_resistance)
    below, share = tables.place(np.asarray(charge, dtype=np.float64))
    shape = tables.read(rows, tables.row(below.ndim) + below, share)
    warm = temperature_factor(temperature=np.asarray(temperature), activation_energy=tables.activation_energy)
    out: Array = np.asarray(series) / np.asarray(parallel) * one * shape * np.asarray(warm) + leads
    return out


@model(
    source="Thevenin source by series-parallel sums of equal cells",
    valid={"temperature": TEMPERATURE, "charge": CHARGE},
)
def supply(
    *,
    cell: Cell,
    charge: Number,
    temperature: Number,
    cell_resistance: Number | None = None,
    series: Number,
    parallel: Number,
    leads: Number,
    current_limit: Number,
) -> Supply:
    """Return a pack as the source that a controller sees.

    Parameters
    ----------
    cell : CellTables or str
        Tables of the cells of each design, or a kind of cell [-].
    charge : float or (n,) array
        State of charge [-].
    temperature : float or (n,) array
        Temperature of the cells [K].
    cell_resistance : float or (n,) array, optional
        Sustained resistance of one cell at 25 C and charge 0.5; of the kind if not given [ohm].
    series, parallel : int or (n,) arrays
        Cells in series, and side by side [-].
    leads : float or (n,) array
        Links and leads of the pack [ohm].
    current_limit : float or (n,) array
        Largest current of the pack [A].

    Returns
    -------
    Supply
        Open voltage [V], resistances [ohm], current limit [A].
    """
    tables = _tables(cell)
    sustained, burst = (
        resistance(
            cell=tables,
            charge=charge,
            temperature=temperature,
            cell_resistance=cell_resistance,
            series=series,
            parallel=parallel,
            leads=leads,
            lasting=lasting,
        )
        for lasting in ("sustained", "burst")
    )
    rest = open_voltage(cell=tables, charge=charge, series=series)
    return Supply(
        open_voltage=np.asarray(rest),
        resistance=np.asarray(sustained),
        burst_resistance=np.asarray(burst),
        current_limit=np.asarray(current_limit, dtype=np.float64),
        charge=np.asarray(charge, dtype=np.float64),
        temperature=np.asarray(temperature, dtype=np.float64),
        outside=supply.mask(temperature=temperature, charge=charge),
    )


@model(
    source="Rint model of a pack, heat balance of one lump (Bernardi 1985 without entropy); Heun's method",
    valid={"temperature": TEMPERATURE, "charge": CHARGE, "rate": RATE},
)
def discharge(
    *,
    cell: Cell,
    series: Number,
    parallel: Number,
    power: Number | None = None,
    current: Number | None = None,
    temperature: Number,
    capacity: Number | None = None,
    cell_resistance: Number | None = None,
    leads: Number = 0.0,
    start_charge: Number = 1.0,
    stop_charge: Number = 0.0,
    stop_voltage: Number = 0.0,
    temperature_limit: Number = np.inf,
    current_limit: Number = np.inf,
    duration: Number = np.inf,
    heat_capacity: Number = np.inf,
    cooling: Number = 0.0,
    ambient: Number | None = None,
    steps: int = 64,
) -> Discharge:
    """Return a discharge at constant power, or constant current, to the first limit.

    Stepped over charge; the error falls with the square of the number of steps.

    Parameters
    ----------
    cell : CellTables or str
        Tables of the cells of each design, or a kind of cell [-].
    series, parallel : int or (n,) arrays
        Cells in series, and side by side [-].
    power : float or (n,) array, optional
        Power at the terminals, above zero; this or ``current`` [W].
    current : float or (n,) array, optional
        Current of the pack, above zero; this or ``power`` [A].
    temperature : float or (n,) array
        Temperature of the cells at the start [K].
    capacity : float or (n,) array, optional
        Of one cell, between the voltages of charge 0 and 1; of the kind if not given [A*s].
    cell_resistance : float or (n,) array, optional
        Sustained resistance of one cell at 25 C and charge 0.5; of the kind if not given [ohm].
    leads : float or (n,) array
        Links and leads of the pack [ohm].
    start_charge, stop_charge : float or (n,) arrays
        State of charge at the start, and at which to stop [-].
    stop_voltage : float or (n,) array
        Voltage at the terminals at which to stop [V].
    temperature_limit : float or (n,) array
        Temperature of the cells at which to stop [K].
    current_limit : float or (n,) array
        Current of the pack at which to stop [A].
    duration : float or (n,) array
        Time at which to stop [s].
    heat_capacity : float or (n,) array
        Mass times specific heat of the cells; infinite keeps their temperature [J/K].
    cooling : float or (n,) array
        Heat flow from the cells to the surroundings over the difference of temperature [W/K].
    ambient : float or (n,) array, optional
        Temperature of the surroundings; that of the start if not given [K].
    steps : int
        Equal steps of charge [-].

    Returns
    -------
    Discharge
        Time [s], energies [J], state at the end, and the limit met.
    """
    asked = current if power is None else power
    if asked is None or not (power is None or current is None):
        raise ModelError("a discharge has either a power or a current")
    pack, (charge, warmth, load, longest) = Pack.of(
        at_power=power is not None,
        tables=_tables(cell),
        series=series,
        parallel=parallel,
        capacity=capacity,
        cell_resistance=cell_resistance,
        leads=leads,
        limits=(stop_charge, stop_voltage, temperature_limit, current_limit),
        heat=(heat_capacity, cooling, temperature if ambient is None else ambient),
        start=(start_charge, temperature, asked, duration),
    )
    end = pack.by_charge(charge, warmth, load, longest, steps)
    state = end.state
    found = end.why != Stop.NONE
    return Discharge(
        time=np.where(found, end.time, np.nan),
        energy_out=end.energy_out,
        energy_lost=end.energy_lost,
        open_energy=pack.open_energy(charge) - pack.open_energy(state.charge),
        end_charge=state.charge,
        end_voltage=state.voltage,
        end_current=state.current,
        end_temperature=state.temperature,
        found=found,
        why=end.why,
        outside=_outside(discharge, pack, warmth, state, end.highest),
    )


@model(
    source="Rint model of a pack, heat balance of one lump (Bernardi 1985 without entropy); Heun's method",
    valid={"temperature": TEMPERATURE, "charge": CHARGE, "rate": RATE},
)
def ride(
    *,
    cell: Cell,
    series: Number,
    parallel: Number,
    power: Array,
    duration: Array,
    ridden: Flag | None = None,
    temperature: Number,
    capacity: Number | None = None,
    cell_resistance: Number | None = None,
    leads: Number,
    start_charge: Number = 1.0,
    stop_charge: Number,
    stop_voltage: Number,
    temperature_limit: Number = np.inf,
    current_limit: Number = np.inf,
    heat_capacity: Number,
    cooling: Number,
    ambient: Number,
    steps: int = 24,
) -> Ride:
    """Return a ride through legs of constant power, and how long it could go on at the last one.

    Stepped over time within each leg; the error falls with the square of the number of steps.

    Parameters
    ----------
    cell : CellTables or str
        Tables of the cells of each design, or a kind of cell [-].
    series, parallel : int or (n,) arrays
        Cells in series, and side by side [-].
    power : (n, legs) or (legs,) array
        Power at the terminals in each leg [W].
    duration : (n, legs) or (legs,) array
        Time of each leg [s].
    ridden : (n, legs) or (legs,) bool array, optional
        Which legs a design has, where they are padded; all if not given [-].
    temperature : float or (n,) array
        Temperature of the cells at the start [K].
    capacity : float or (n,) array, optional
        Of one cell, between the voltages of charge 0 and 1; of the kind if not given [A*s].
    cell_resistance : float or (n,) array, optional
        Sustained resistance of one cell at 25 C and charge 0.5; of the kind if not given [ohm].
    leads : float or (n,) array
        Links and leads of the pack [ohm].
    start_charge, stop_charge : float or (n,) arrays
        State of charge at the start, and at which to stop [-].
    stop_voltage : float or (n,) array
        Voltage at the terminals at which to stop [V].
    temperature_limit : float or (n,) array
        Temperature of the cells at which to stop [K].
    current_limit : float or (n,) array
        Current of the pack at which to stop [A].
    heat_capacity : float or (n,) array
        Mass times specific heat of the cells; infinite keeps their temperature [J/K].
    cooling : float or (n,) array
        Heat flow from the cells to the surroundings over the difference of temperature [W/K].
    ambient : float or (n,) array
        Temperature of the surroundings [K].
    steps : int
        Equal steps of time in a leg [-].

    Returns
    -------
    Ride
        Curves over time [s], the limit met, energies [J], run time [s].
    """
    kept = np.asarray(duration) > 0.0 if ridden is None else np.asarray(ridden) & (np.asarray(duration) > 0.0)
    kept, loads, durations = np.broadcast_arrays(kept, np.asarray(power, dtype=np.float64), duration)
    latest = np.maximum.accumulate(np.where(kept, np.arange(kept.shape[-1]), 0), axis=-1)
    loads = np.take_along_axis(loads, latest, axis=-1)
    durations = np.where(kept, durations, 0.0)
    pack, (charge, warmth, final) = Pack.of(
        at_power=True,
        tables=_tables(cell),
        series=series,
        parallel=parallel,
        capacity=capacity,
        cell_resistance=cell_resistance,
        leads=leads,
        limits=(stop_charge, stop_voltage, temperature_limit, current_limit),
        heat=(heat_capacity, cooling, ambient),
        start=(start_charge, temperature, loads[..., -1]),
    )
    wide = (*charge.shape, loads.shape[-1])
    loads, durations = np.broadcast_to(loads, wide), np.broadcast_to(durations, wide)
    end, curve = pack.by_time(charge, warmth, loads, durations, steps)
    finished = end.why == Stop.NONE
    more = pack.by_charge(end.state.charge, end.state.temperature, final, np.asarray(ENDLESS), steps)
    run_why = np.where(finished, more.why, end.why)
    found = run_why != Stop.NONE
    return Ride(
        **{name: np.moveaxis(getattr(curve, name), 0, -1) for name in ("time", "voltage", "current")},
        state_of_charge=np.moveaxis(curve.charge, 0, -1),
        temperature=np.moveaxis(curve.temperature, 0, -1),
        finished=finished,
        why=end.why,
        ride_time=end.time,
        energy_out=end.energy_out,
        energy_lost=end.energy_lost,
        run_time=np.where(found, end.time + np.where(finished, more.time, 0.0), np.nan),
        run_why=run_why,
        found=found,
        outside=_outside(ride, pack, warmth, end.state, end.highest),
    )


def _outside(
    function: Model[..., Discharge] | Model[..., Ride], pack: Pack, start: Array, end: State, most: Array
) -> Mask:
    """Return the limits of validity that a run left: temperature at both ends, last charge, highest rate."""
    rate = most / pack.capacity / pack.tables.checked_rate
    mask = function.mask(temperature=end.temperature, charge=end.charge, rate=rate)
    return np.asarray(mask | function.mask(temperature=start), dtype=np.uint64)
