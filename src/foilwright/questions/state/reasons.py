"""What stops a take-off run: the limit whose relief, all others kept, is least.

A cell is one speed and trim of a run. A run is found where each speed up to a take-off has a cell
that keeps every limit. Reliefs are shares of the limit, places in ``PLACE_SCALE``.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, Mask
from foilwright.craft import Craft
from foilwright.physics.water import GRAVITY
from foilwright.questions.state.drive import DriveState
from foilwright.questions.state.weights import Weights

Flag = npt.NDArray[np.bool_]
Index = npt.NDArray[np.intp]

LIMITS = ("thrust", "stall", "reach", "nose dives", "tail drags", "ventilation", "shallow water", "sinks")
"""What can break in a cell."""
REASONS = ("", *LIMITS, "lift before stall", "sag", "current limit")
"""What stops a run; nothing, a limit, too little lift, or why the thrust lacks."""
SET_LIMITS = (2, 3)
"""Codes of what holds full throttle back that the maker sets: current of the motor, of the pack."""
GROWTHS, HALVINGS = (0.03, 0.1, 0.2, 0.35, 0.6, 1.0, 1.7, 3.0), 4
"""Growths of the wing to try, and how often the first that serves is halved towards the one before."""
FOLLOWS = 0.9
"""Share of a wing's growth that its lift follows: it feels surface and own weight more (estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Every cell (n, V, T)."""

    board_load: Array  # N, negative where the wing carries more than all
    foil_lift: Array  # N
    wing_lift: Array  # N, of that
    wing_drag: Array  # N
    board_drag: Array  # N, in chop
    tail_stall: Array  # by how much the stabiliser's limit is broken
    drag: Array  # N, all of it
    foil_drag: Array  # N, of what hangs below and of the air
    place: Array  # m, of the rider's weight
    load_point: Array  # m
    relief: Array  # (8, n, V, T), by how much each limit is broken, <= 0 where it holds
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """What stops each run (n,); 0 where it is found."""

    reason: Index  # into REASONS
    relief: Array  # by how much the reason must be relieved
    alone: Flag  # relieving it alone is enough


def stop(
    craft: Craft, weights: Weights, drive: DriveState, grid: Grid, found: Flag, speeds: Array, trims: Array
) -> Stop:
    """Return what stops each run that is not found."""
    reason, relief, alone = np.zeros(found.size, dtype=np.intp), np.zeros(found.size), found.copy()
    rows = np.flatnonzero(~found)
    if rows.size:
        lost = Grid(**{item.name: _rows(getattr(grid, item.name), rows) for item in fields(Grid)})
        holds = lost.relief <= 0.0
        wing = _larger_wing(lost, holds, *_room(craft, weights, lost, rows, trims))
        named, relief[rows], alone[rows], at, drag = _named(lost, holds, wing)
        reason[rows] = np.where(named == 1, _thrust_reason(drive, rows, at, speeds, drag), named)
    return Stop(reason=reason, relief=relief, alone=alone)


def _rows(values: Any, rows: Index) -> Any:
    return values[:, rows] if values.ndim == 4 else values[rows]


def _room(craft: Craft, weights: Weights, grid: Grid, rows: Index, trims: Array) -> tuple[Array, Array, Array]:
    """Return the ends of the reach, and how far the rider's weight must move as the wing doubles."""
    posture = weights.posture.astype(np.intp)[rows]
    aft, forward, x, z, weight = (
        values[:, None, None]
        for values in (
            weights.aft[rows, posture], weights.forward[rows, posture], craft.wing.x[rows],
            craft.wing.z[rows], weights.rider[rows] * GRAVITY,
        )
    )  # fmt: skip
    return aft, forward, grid.wing_lift * (x - grid.load_point - z * np.tan(trims)) / weight


def _named(grid: Grid, holds: Flag, wing: Array) -> tuple[Index, Array, Flag, Index, Array]:
    """Return the reason, its relief, whether that is enough, and at which speed and drag thrust lacks most.

    A wing that stalls before it carries all is too small; the limit of stall is named where the
    stabiliser stalls.
    """
    flying = grid.board_load <= 0.0
    broken = (~holds).sum(axis=0)
    reliefs = []
    for k, limit in enumerate(LIMITS):
        others = (broken - ~holds[k]) == 0
        if limit == "stall":
            others &= holds[k] | (grid.tail_stall > 0.0)
        way = np.where(others, np.maximum(grid.relief[k], 0.0), np.inf)
        end = np.where(flying, way, np.inf)
        reliefs.append(_least(way, end))
        if limit == "thrust":
            at, drag = _where_most(way, end, grid.drag)
    table = np.stack([*reliefs, wing], axis=1)
    alone: Flag = np.asarray(np.isfinite(table).any(axis=1))
    worst = np.where(alone[:, None], table, _worst(grid, flying))
    return worst.argmin(axis=1) + 1, worst.min(axis=1), alone, at, drag


def _larger_wing(grid: Grid, holds: Flag, aft: Array, forward: Array, shift: Array) -> Array:
    """Return by how much the wing must be larger, at the same angles; infinite where no size serves.

    The load that it takes off the board takes drag with it, in proportion: the slowest that drag falls.
    """
    others = holds[1] & np.all(holds[3:], axis=0)
    load, lift = np.maximum(grid.board_load, 0.0), FOLLOWS * grid.wing_lift
    empty = load / np.maximum(lift, 1.0)
    saves = np.where(load > 0.0, grid.board_drag * lift / np.maximum(load, 1.0), 0.0) - grid.wing_drag
    over = grid.drag * grid.relief[0] / (1.0 + grid.relief[0])

    def rises(growth: Array) -> Flag:
        used = np.minimum(growth[:, None, None], empty)
        place = grid.place + used * shift
        holding = others & (over <= used * saves) & (place >= aft) & (place <= forward)
        end = (holding & (empty <= growth[:, None, None])).any(axis=2)
        way = np.logical_and.accumulate(holding.any(axis=2), axis=1)
        return np.asarray(end[:, 0] | (end[:, 1:] & way[:, :-1]).any(axis=1))

    low, high = np.zeros(load.shape[0]), np.full(load.shape[0], np.inf)
    for step in GROWTHS:
        enough = np.isinf(high) & rises(np.full_like(low, step))
        high = np.where(enough, step, high)
        low = np.where(np.isinf(high), step, low)
    for _ in range(HALVINGS):
        middle = np.where(np.isinf(high), low, 0.5 * (low + high))
        enough = rises(middle) & np.isfinite(high)
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    return high


def _least(way: Array, end: Array) -> Array:
    """Return the least relief with which every speed up to a take-off can be passed."""
    return np.asarray(np.maximum(_before(way), end.min(axis=2)).min(axis=1))


def _before(way: Array) -> Array:
    """Return the relief with which all lower speeds can be passed (n, V)."""
    passing = np.maximum.accumulate(way.min(axis=2), axis=1)
    return np.concatenate([np.zeros_like(passing[:, :1]), passing[:, :-1]], axis=1)


def _where_most(way: Array, end: Array, drag: Array) -> tuple[Index, Array]:
    """Return the speed that decides the relief along the way, and the drag there."""
    rows, places = np.arange(way.shape[0]), np.arange(way.shape[1])
    arriving = end.min(axis=2)
    last = np.maximum(_before(way), arriving).argmin(axis=1)[:, None]
    cost = np.where(places == last, arriving, np.where(places < last, way.min(axis=2), -np.inf))
    at = cost.argmax(axis=1)
    trim = np.where(at[:, None] == last, end[rows, at], way[rows, at]).argmin(axis=1)
    return at, drag[rows, at, trim]


def _worst(grid: Grid, flying: Flag) -> Array:
    """Where several limits break together: the one that breaks most in the cell that breaks least."""
    most = grid.relief.max(axis=0)
    cell = most.reshape(most.shape[0], -1)
    barred = np.where(flying.reshape(cell.shape), cell, np.inf)
    at = np.where(np.isfinite(barred).any(axis=1), barred.argmin(axis=1), cell.argmin(axis=1))
    reliefs = grid.relief.reshape(len(LIMITS), cell.shape[0], -1)
    there = np.take_along_axis(reliefs, at[None, :, None], axis=2)[..., 0]
    named = np.where(there == there.max(axis=0), there, np.inf).T
    return np.concatenate([named, np.full((at.size, 1), np.inf)], axis=1)


def _thrust_reason(drive: DriveState, rows: Index, at: Index, speeds: Array, drag: Array) -> Index:
    """Where thrust is what lacks: say whether a set current limit or sag takes it."""
    limited = np.isin(drive.binding[rows, at], SET_LIMITS)
    every = np.full(drive.binding.shape[0], speeds[0])
    every[rows] = speeds[at]
    sags = drive.unsagged(every)[rows] >= drag
    return np.where(limited, REASONS.index("current limit"), np.where(sags, REASONS.index("sag"), 1))
