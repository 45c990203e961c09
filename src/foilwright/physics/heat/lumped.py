"""Networks of lumps: steady temperatures, and temperatures over time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core import solve
from foilwright.core.errors import ModelError
from foilwright.core.model import Array, model

Index = npt.NDArray[np.intp]
Flag = npt.NDArray[np.bool_]
Number = Array | Index | float
PASSES = 30
RELAX = 0.7
LEAST = 1e-3
"""Difference of temperature below which a natural film does not fade further [K]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Steady:
    """Steady temperatures of all nodes (..., N) [K]; ``change`` of the last pass (...,) [K]."""

    temperature: Array
    change: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Warming:
    """Temperatures over time: ``time`` (..., s + 1) [s], ``temperature`` (..., s + 1, N) [K]."""

    time: Array
    temperature: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """When a limit is met: ``time`` (...,) [s], NaN and ``found`` False where it is not."""

    time: Array
    found: Flag


@dataclass(frozen=True, slots=True, kw_only=True)
class Lumps:
    """Structure of a network of lumps."""

    incidence: Array  # (b, N)
    conductance: Array  # (..., b), at the reference difference
    exponent: Array  # (b,)
    reference: float
    fixed: Index
    free: Index
    bends: bool  # whether a link grows with the difference of temperature

    @staticmethod
    def of(
        *,
        ends: tuple[Number, Number],
        conductance: Number,
        exponent: Number,
        fixed: Number,
        nodes: int,
        reference: float,
    ) -> Lumps:
        """Return the network; every link has two nodes, and some node is held."""
        one, other = (np.asarray(end).astype(np.intp) for end in ends)
        held = np.atleast_1d(np.asarray(fixed)).astype(np.intp)
        links = np.arange(one.size)
        if one.shape != other.shape or held.size == 0:
            raise ModelError("each link needs two nodes, and one node at least has a temperature that is held")
        incidence = np.zeros((one.size, nodes))
        incidence[links, one] += 1.0
        incidence[links, other] -= 1.0
        return Lumps(
            incidence=incidence,
            conductance=np.asarray(conductance, dtype=np.float64),
            exponent=np.asarray(exponent, dtype=np.float64) + np.zeros(one.size),
            reference=reference,
            fixed=held,
            free=np.flatnonzero(np.bincount(held, minlength=nodes) == 0),
            bends=bool(np.any(np.asarray(exponent) != 0.0)),
        )

    def at(self, temperature: Array) -> Array:
        """Return the conductances (..., b) at temperatures (..., N)."""
        if not self.bends:
            return self.conductance
        rise = np.maximum(np.abs((self.incidence @ temperature[..., None])[..., 0]), LEAST)
        return np.asarray(self.conductance * (rise / self.reference) ** self.exponent)

    def matrix(self, conductance: Array) -> Array:
        """Return (..., N, N): heat that leaves each node by temperatures."""
        return np.asarray((self.incidence.T * conductance[..., None, :]) @ self.incidence)

    def split(self, conductance: Array, held: Array) -> tuple[Array, Array]:
        """Return the matrix of the free nodes, and the heat that the held ones send them."""
        whole = self.matrix(conductance)
        rows = whole[..., self.free, :]
        return rows[..., self.free], -(rows[..., self.fixed] @ held[..., None])[..., 0]


def _held(network: Lumps, held: Array, shape: tuple[int, ...], nodes: int) -> Array:
    out = np.zeros((*shape, nodes))
    out[..., network.fixed] = held
    return out


@model(source="Fourier's and Newton's laws on lumps; natural films grow with a power of the difference")
def steady(
    *,
    node: Number,
    neighbour: Number,
    conductance: Number,
    heat: Number,
    fixed: Number,
    fixed_temperature: Number,
    exponent: Number = 0.0,
    reference_difference: float = 10.0,
) -> Steady:
    r"""Return the steady temperatures of a network of lumps.

    Parameters
    ----------
    node, neighbour : (b,) int arrays
        Nodes at the two ends of each link, numbered from 0 [-].
    conductance : (b,) or (..., b) array
        Heat flow over difference of temperature; with an exponent, at the reference difference [W/K].
    heat : (N,) or (..., N) array
        Heat made in each node [W].
    fixed : (f,) int array
        Nodes whose temperature is held, such as air and water [-].
    fixed_temperature : (f,) or (..., f) array
        Their temperatures [K].
    exponent : float or (b,) array
        Growth of a link with the difference: 0 constant, 0.25 a natural laminar film [-].
    reference_difference : float
        Difference at which a growing link has its conductance [K].

    Returns
    -------
    Steady
        Temperatures [K] and the last change [K].

    Notes
    -----
    .. math:: \sum_j G_{ij} (|\Delta T|/\Delta T_0)^n (T_i - T_j) = Q_i
    """
    made, held = np.asarray(heat, dtype=np.float64), np.asarray(fixed_temperature, dtype=np.float64)
    nodes = made.shape[-1]
    network = Lumps.of(
        ends=(node, neighbour), conductance=conductance, exponent=exponent, fixed=fixed, nodes=nodes,
        reference=reference_difference,
    )  # fmt: skip
    shape = np.broadcast_shapes(made.shape[:-1], held.shape[:-1], network.conductance.shape[:-1])
    now = _held(network, held, shape, nodes)
    links = np.broadcast_to(network.conductance, (*shape, network.exponent.size))
    change = np.zeros(shape)
    for _ in range(PASSES if network.bends else 1):
        inner, sent = network.split(links, np.broadcast_to(held, (*shape, held.shape[-1])))
        fresh = np.linalg.solve(inner, (made[..., network.free] + sent)[..., None])[..., 0]
        change = np.abs(fresh - now[..., network.free]).max(axis=-1)
        now[..., network.free] = fresh
        aim = network.at(now)
        links = aim if not network.bends else links ** (1.0 - RELAX) * aim**RELAX
    return Steady(temperature=now, change=change if network.bends else np.zeros(shape))


@model(source="implicit Euler's method, whole and halved steps extrapolated (second order, damps all modes)")
def transient(
    *,
    node: Number,
    neighbour: Number,
    conductance: Number,
    heat: Number,
    fixed: Number,
    fixed_temperature: Number,
    heat_capacity: Number,
    start_temperature: Number,
    time: Number,
    exponent: Number = 0.0,
    reference_difference: float = 10.0,
) -> Warming:
    """Return the temperatures of a network of lumps over time.

    Parameters
    ----------
    node, neighbour : (b,) int arrays
        Nodes at the two ends of each link, numbered from 0 [-].
    conductance : (b,) or (..., b) array
        Heat flow over difference of temperature; with an exponent, at the reference difference [W/K].
    heat : (1, N) or (..., s, N) array
        Heat made in each node during each step; one row holds for all steps [W].
    fixed : (f,) int array
        Nodes whose temperature is held [-].
    fixed_temperature : (f,) or (..., f) array
        Their temperatures [K].
    heat_capacity : (N,) or (..., N) array
        Mass times specific heat of each node; 0 where it follows at once [J/K].
    start_temperature : float or (N,) or (..., N) array
        At the start [K].
    time : (s + 1,) or (..., s + 1) array
        From 0, growing [s].
    exponent : float or (b,) array
        Growth of a link with the difference: 0 constant, 0.25 a natural laminar film [-].
    reference_difference : float
        Difference at which a growing link has its conductance [K].

    Returns
    -------
    Warming
        Time [s] and temperatures [K].
    """
    made, held = np.asarray(heat, dtype=np.float64), np.asarray(fixed_temperature, dtype=np.float64)
    stores, clock = np.asarray(heat_capacity, dtype=np.float64), np.asarray(time, dtype=np.float64)
    nodes, steps = made.shape[-1], clock.shape[-1] - 1
    network = Lumps.of(
        ends=(node, neighbour), conductance=conductance, exponent=exponent, fixed=fixed, nodes=nodes,
        reference=reference_difference,
    )  # fmt: skip
    first = np.asarray(start_temperature, dtype=np.float64)
    shape = np.broadcast_shapes(
        made.shape[:-2], held.shape[:-1], network.conductance.shape[:-1], stores.shape[:-1],
        clock.shape[:-1], first.shape[:-1],
    )  # fmt: skip
    made = np.broadcast_to(made, (*shape, steps, nodes))
    held = np.broadcast_to(held, (*shape, held.shape[-1]))
    stores = np.broadcast_to(stores, (*shape, nodes))[..., network.free]
    now = np.array(np.broadcast_to(first, (*shape, nodes)))
    now[..., network.fixed] = held
    out = [now]
    for k in range(steps):
        rate = stores / (clock[..., k + 1] - clock[..., k])[..., None]
        load = made[..., k, :][..., network.free]
        whole, half = _euler(network, now, held=held, load=load, rates=np.stack([rate, 2.0 * rate]))
        (twice,) = _euler(network, half, held=held, load=load, rates=2.0 * rate[None])
        now = 2.0 * twice - whole
        out.append(now)
    return Warming(time=clock, temperature=np.stack(out, axis=-2))


def _euler(network: Lumps, now: Array, *, held: Array, load: Array, rates: Array) -> Array:
    """Return the temperatures after implicit steps of several lengths (k, ..., N), films as at their beginning.

    ``rates`` (k, ..., free) are heat stored over length of the step [W/K].
    """
    inner, sent = network.split(network.at(now), held)
    count = np.arange(rates.shape[-1])
    left = np.array(np.broadcast_to(inner, (*rates.shape, rates.shape[-1])))
    left[..., count, count] += rates
    right = rates * now[..., network.free] + load + sent
    out = np.array(np.broadcast_to(now, (*rates.shape[:-1], now.shape[-1])))
    out[..., network.free] = np.linalg.solve(left, right[..., None])[..., 0]
    return out


@model(source="linear interpolation between the steps")
def time_to_limit(*, time: Number, temperature: Number, temperature_limit: Number) -> Reached:
    """Return when a temperature first meets its limit.

    Parameters
    ----------
    time : (s,) or (..., s) array
        Growing [s].
    temperature : (..., s) array
        Over time [K].
    temperature_limit : float or (...,) array
        Limit [K].

    Returns
    -------
    Reached
        Time [s]; the first one where the limit is met from the start.
    """
    over = np.asarray(temperature, dtype=np.float64) - np.asarray(temperature_limit, dtype=np.float64)[..., None]
    root = solve.first_crossing(np.asarray(time, dtype=np.float64), over)
    return Reached(time=root.value, found=root.found)
