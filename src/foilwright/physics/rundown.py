"""How a pack runs down: charge and temperature stepped for all designs at once.

Heun's method (explicit trapezoid, second order in the step) for charge; the temperature of the
one lump of cells follows the exact exponential of its cooling, with the heat averaged alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, Mask
from foilwright.physics.cell import GAS_CONSTANT, REFERENCE_TEMPERATURE, CellTables

Flag = npt.NDArray[np.bool_]
Code = npt.NDArray[np.int8]
Number = Array | float
ENDLESS = 1e30  # stands for an infinite limit, so that differences stay finite


class Stop(IntEnum):
    """The limit that a run met first."""

    NONE = 0
    COLLAPSE = 1
    CHARGE = 2
    VOLTAGE = 3
    HEAT = 4
    CURRENT = 5
    TIME = 6


class State(NamedTuple):
    """A pack (nodes, n) or (n,): charge, temperature [K], voltages [V], current [A], room to collapse."""

    charge: Array
    temperature: Array
    open_voltage: Array
    voltage: Array
    current: Array
    spare: Array


class End(NamedTuple):
    """Where a run ended (n,): state, time [s], energies [J], highest current [A], limit met."""

    state: State
    time: Array
    energy_out: Array
    energy_lost: Array
    highest: Array
    why: Code


class Curve(NamedTuple):
    """Curves of a run (nodes, n): time [s], charge [-], voltage [V], current [A], temperature [K]."""

    time: Array
    charge: Array
    voltage: Array
    current: Array
    temperature: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Discharge:
    """A discharge to its first limit (n,).

    ``time`` [s]; ``energy_out`` at the terminals, ``energy_lost`` in resistance and ``open_energy``
    (charge drawn times open voltage) [J]; state at the end: charge [-], voltage [V], current [A],
    temperature [K]; ``why`` is the limit met (``Stop``), ``found`` False where there was none.
    """

    time: Array
    energy_out: Array
    energy_lost: Array
    open_energy: Array
    end_charge: Array
    end_voltage: Array
    end_current: Array
    end_temperature: Array
    found: Flag
    why: Code
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Ride:
    """A ride through legs: curves (n, legs * (steps + 1)), and when it ended (n,).

    From the first limit on, the curves repeat the state there, time included. ``time`` [s],
    ``state_of_charge`` [-], ``voltage`` [V], ``current`` [A], ``temperature`` [K].
    ``finished``: every leg was ridden. ``ride_time`` [s] and energies [J] are of the legs;
    ``why`` is the limit that ended them (``Stop``; 0 none). ``run_time`` [s] goes on at the
    power of the last leg to a limit, ``run_why``; NaN and ``found`` False where none is met.
    """

    time: Array
    state_of_charge: Array
    voltage: Array
    current: Array
    temperature: Array
    finished: Flag
    why: Code
    ride_time: Array
    energy_out: Array
    energy_lost: Array
    run_time: Array
    run_why: Code
    found: Flag
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """A pack under load (n,), SI: what its state depends on, and its limits.

    ``load`` is power [W] if ``at_power``, else current [A]. ``cells`` is the resistance of the
    cells at 25 C and charge 0.5 without ``leads`` [ohm], ``capacity`` that of the pack [A*s]. ``row`` is where
    the cell's rows begin in the flat tables, ``slope`` its activation energy over the gas constant [K].
    """

    tables: CellTables
    series: Array
    cells: Array
    leads: Array
    capacity: Array
    heat_capacity: Array
    cooling: Array
    ambient: Array
    stop_charge: Array
    stop_voltage: Array
    temperature_limit: Array
    current_limit: Array
    at_power: bool
    row: npt.NDArray[np.intp]
    slope: Array

    @classmethod
    def of(
        cls,
        *,
        at_power: bool,
        tables: CellTables,
        series: Number,
        parallel: Number,
        capacity: Number | None,
        cell_resistance: Number | None,
        leads: Number,
        limits: tuple[Number, Number, Number, Number],
        heat: tuple[Number, Number, Number],
        start: tuple[Number, ...],
    ) -> tuple[Pack, list[Array]]:
        """Return a pack with infinite limits made finite, and start values in the shape of the designs.

        ``limits``: stop charge, stop voltage, temperature and current; ``heat``: heat capacity,
        cooling, ambient temperature.
        """
        one = tables.reference_resistance if cell_resistance is None else cell_resistance
        amount = tables.reference_capacity if capacity is None else capacity
        given = (series, parallel, amount, one, leads, *limits, *heat, *start)
        arrays = [np.minimum(np.asarray(x, dtype=np.float64), ENDLESS) for x in given]
        shape = np.broadcast_shapes(tables.kind.shape, *(x.shape for x in arrays))
        row, beside, amount, one, lead, charge, voltage, hot, most, store, cooling, ambient, *first = arrays
        pack = cls(
            tables=tables,
            series=row,
            cells=row * one / beside,
            leads=lead,
            capacity=beside * amount,
            heat_capacity=store,
            cooling=cooling,
            ambient=ambient,
            stop_charge=charge,
            stop_voltage=voltage,
            temperature_limit=hot,
            current_limit=most,
            at_power=at_power,
            row=tables.row(0),
            slope=tables.activation_energy / GAS_CONSTANT,
        )
        return pack, [np.broadcast_to(x, shape) for x in first]

    def open_energy(self, charge: Array) -> Array:
        """Return the energy at open voltage from charge 0 up to a charge [J]."""
        tables = self.tables
        rows = tables.rows_voltage
        width = 1.0 / (tables.charge.size - 1)
        whole = np.zeros_like(rows)
        whole[:, 1:] = np.cumsum(0.5 * width * (rows[:, 1:] + rows[:, :-1]), axis=1)
        below, share = tables.place(charge)
        at = below + tables.row(0)
        low = rows.take(at)
        part = share * width * (low + 0.5 * share * (rows.take(at + 1) - low))
        energy: Array = self.capacity * self.series * (whole.take(at) + part)
        return energy

    def source(self, charge: Array, temperature: Array) -> tuple[Array, Array]:
        """Return the open voltage, and the resistance of the cells alone; leading axes are free."""
        tables = self.tables
        below, share = tables.place(charge)
        at = below + self.row
        warm = np.exp(self.slope * (1.0 / temperature - 1.0 / REFERENCE_TEMPERATURE))
        rest = self.series * tables.read(tables.rows_voltage, at, share)
        return rest, self.cells * tables.read(tables.rows_sustained, at, share) * warm

    def drawn(self, rest: Array, total: Array, load: Array) -> tuple[Array, Array]:
        """Return the current, and what is left to the collapse of the voltage (below 0: collapsed)."""
        if self.at_power:
            spare = rest * rest - 4.0 * total * load
            current = 2.0 * load / (rest + np.sqrt(np.maximum(spare, 0.0)))
            return np.minimum(current, rest / (2.0 * np.maximum(total, 1e-12))), spare
        return np.broadcast_to(load, rest.shape), rest - total * load

    def flow(self, charge: Array, temperature: Array, load: Array) -> tuple[Array, Array]:
        """Return the current and the heating of the cells."""
        rest, cells = self.source(charge, temperature)
        current, _ = self.drawn(rest, cells + self.leads, load)
        return current, current * current * cells

    def state(self, charge: Array, temperature: Array, load: Array) -> State:
        """Return all that is known of the pack at a charge and temperature under a load."""
        rest, cells = self.source(charge, temperature)
        total = cells + self.leads
        current, spare = self.drawn(rest, total, load)
        return State(charge, temperature, rest, rest - current * total, current, spare)

    def rise(self, step: Array) -> Array:
        """Return the temperature gained over a step by each watt net of the cooling at its start."""
        ratio = self.cooling * step / self.heat_capacity
        mean = np.where(ratio > 1e-9, -np.expm1(-ratio) / np.maximum(ratio, 1e-9), 1.0)
        return mean * step / self.heat_capacity

    def room(self, state: State, left: Array) -> Array:
        """Return what is left to each limit (6, n), in the order of ``Stop``; ``left`` is time."""
        return np.stack(
            np.broadcast_arrays(
                state.spare,
                state.charge - self.stop_charge,
                state.voltage - self.stop_voltage,
                self.temperature_limit - state.temperature,
                self.current_limit - state.current,
                left,
            )
        )

    def by_charge(self, charge: Array, temperature: Array, load: Array, duration: Array, steps: int) -> End:
        """Run down to the stop charge in equal steps of charge, or to an earlier limit."""
        fall = np.maximum(charge - self.stop_charge, 0.0) / steps
        charges = charge - fall * np.arange(steps + 1).reshape(-1, *(1,) * charge.ndim)
        drawn = self.capacity * fall
        warm = np.empty(charges.shape)
        warm[0] = temperature
        current, heat = self.flow(charge, temperature, load)
        for k in range(steps):
            first = drawn / np.where(current > 0.0, current, 1.0)
            cooled = self.cooling * (warm[k] - self.ambient)
            guess = warm[k] + (heat - cooled) * self.rise(first)
            current, later = self.flow(charges[k + 1], guess, load)
            step = 0.5 * (first + drawn / np.where(current > 0.0, current, 1.0))
            warm[k + 1] = warm[k] + (0.5 * (heat + later) - cooled) * self.rise(step)
            heat = later
        state = self.state(charges, warm, load)
        inverse = 1.0 / np.where(state.current > 0.0, state.current, 1.0)
        time = np.zeros(charges.shape)
        np.cumsum(0.5 * drawn * (inverse[1:] + inverse[:-1]), axis=0, out=time[1:])
        moves = load > 0.0
        end, _ = self._cut(state, load, time, np.arange(steps + 1) == 0, np.where(moves, duration, -1.0))
        why = np.where(moves, np.where(end.why == Stop.NONE, Stop.CHARGE, end.why), Stop.NONE)
        return end._replace(why=why.astype(np.int8))

    def by_time(
        self, charge: Array, temperature: Array, loads: Array, durations: Array, steps: int
    ) -> tuple[End, Curve]:
        """Run through legs (n, legs), each in equal steps of time, to the end or the first limit."""
        legs = loads.shape[-1]
        nodes = legs * (steps + 1)
        charges, warm, time = (np.empty((nodes, *charge.shape)) for _ in range(3))
        charges[0], warm[0], clock = charge, temperature, np.zeros(charge.shape)
        for leg in range(legs):
            load, step = loads[..., leg], durations[..., leg] / steps
            per, gain = step / self.capacity, self.rise(step)
            k = leg * (steps + 1)
            if leg:
                charges[k], warm[k] = charges[k - 1], warm[k - 1]
            time[k] = clock
            current, heat = self.flow(charges[k], warm[k], load)
            for _ in range(steps):
                cooled = self.cooling * (warm[k] - self.ambient)
                guess = warm[k] + (heat - cooled) * gain
                after, later = self.flow(charges[k] - per * current, guess, load)
                charges[k + 1] = charges[k] - 0.5 * per * (current + after)
                warm[k + 1] = warm[k] + (0.5 * (heat + later) - cooled) * gain
                k, current, heat = k + 1, after, later
                clock = clock + step
                time[k] = clock
        load = np.repeat(np.moveaxis(loads, -1, 0), steps + 1, axis=0)
        fresh = np.arange(nodes) % (steps + 1) == 0
        return self._cut(self.state(charges, warm, load), load, time, fresh, np.asarray(2.0 * ENDLESS))

    def _cut(self, state: State, load: Array, time: Array, fresh: Flag, duration: Array) -> tuple[End, Curve]:
        """End a run (nodes, n) at the first limit; from there on its curves repeat the end.

        ``fresh`` nodes begin a leg: what they violate, they violate at once.
        """
        hit = (state.voltage < self.stop_voltage) | (state.temperature > self.temperature_limit)
        hit |= (state.current > self.current_limit) | (state.spare < 0.0)
        hit |= (state.charge < self.stop_charge - 1e-12) | (time > duration)
        met = np.asarray(hit.any(axis=0))
        node = np.where(met, hit.argmax(axis=0), len(time) - 1)
        before = np.where(fresh[node], node, node - 1)
        a, b = (State(*(_at(line, nodes) for line in state)) for nodes in (before, node))
        start, stop = _at(time, before), _at(time, node)
        share, why = _first_limit(self.room(a, duration - start), self.room(b, duration - stop), met)
        charge, warm = (x + share * (y - x) for x, y in zip(a[:2], b[:2], strict=True))
        end = self.state(charge, warm, _at(np.broadcast_to(load, time.shape), node))
        over = start + share * (stop - start)
        if met.any():
            gone = np.arange(len(time)).reshape(-1, *(1,) * node.ndim) >= node
            state = State(*(np.where(gone, last, line) for last, line in zip(end, state, strict=True)))
            time = np.where(gone, over, time)
        span = 0.5 * (time[1:] - time[:-1])
        power, lost = state.voltage * state.current, (state.open_voltage - state.voltage) * state.current
        summed = [(span * (line[1:] + line[:-1])).sum(axis=0) for line in (power, lost)]
        curve = Curve(time, state.charge, state.voltage, state.current, state.temperature)
        return End(end, over, summed[0], summed[1], state.current.max(axis=0), why), curve


def _at(values: Array, nodes: npt.NDArray[np.intp]) -> Array:
    """Return one node (n,) of each curve (nodes, n)."""
    one: Array = np.take_along_axis(values, nodes[None], axis=0)[0]
    return one


def _first_limit(before: Array, after: Array, met: Flag) -> tuple[Array, Code]:
    """Return the share of a step (n,) at which room (6, n) first runs out (1 if not), and the limit."""
    short = (after < 0.0) & met
    left = np.maximum(before, 0.0)
    share = np.where(short, left / (left + np.maximum(-after, 0.0) + 1e-300), 2.0)
    row = share.argmin(axis=0)
    why = np.where(short.any(axis=0), row + 1, Stop.NONE).astype(np.int8)
    return np.minimum(_at(share, row), 1.0), why
