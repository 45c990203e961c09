"""Phases of a ride found from the data: rest, displacement, hump, flying; falls; and steady stretches in them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.study.learn.tracks import STEP, Series

PHASES = ("rest", "displacement", "hump", "flying")
REST, DISPLACEMENT, HUMP, FLYING = range(4)
STAYS = 0.985
"""Chance that a phase goes on for another step (a phase lasts half a minute; judgement)."""
STILL = 0.35
"""Speed of a drifting craft [m/s]."""
FALLS_FROM, FALLS_TO, FALLS_IN = 3.5, 1.2, 2.5
"""A fall: from this speed to that [m/s] within this time [s]."""
STEADY, EVEN = 0.12, 0.25
"""Acceleration [m/s^2] and scatter of the speed [m/s] up to which a stretch is steady."""
STRETCH = 4.0
"""Least length of a steady stretch [s]."""
MOST = 12
"""Stretches that are read, the longest of each kind."""
TURNED = 1.0
"""Spread of headings (1 less the length of their mean) from which on a current can be told."""
ON = 2.0
"""Amps from which on the drive pushes [A]."""
ONE_LINE = 0.1
"""Share of the headings across the main one below which the legs lie along one line."""
WARM = 120.0
"""Time under way from which on a stretch counts as late [s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """Speeds at which the craft changes its way of moving, as the models have it [m/s]."""

    hump: float
    take_off: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A steady stretch; volts, amps and throttle are NaN where not logged."""

    phase: int
    speed: float  # m/s through the water
    acceleration: float
    seconds: float
    late: bool
    volts: float
    amps: float
    throttle: float
    height: float
    used: float  # A s, taken from the pack since the start


@dataclass(frozen=True, slots=True, kw_only=True)
class Ride:
    """A day cut into phases."""

    time: Array
    speed: Array  # m/s through the water
    phase: npt.NDArray[np.intp]
    falls: Array  # times
    current: tuple[float, float]  # m/s east and north, of the water
    current_known: bool
    stretches: tuple[Stretch, ...]
    series: Series

    @property
    def flew(self) -> float:
        """Return the time in flight [s]."""
        return float((self.phase == FLYING).sum() * STEP)


def ride(series: Series, marks: Marks, *, may_fly: bool = True) -> Ride:
    """Return a day cut into phases.

    Parameters
    ----------
    series : Series
        On an even clock.
    marks : Marks
        Of the models; they are taken with a quarter of doubt.
    may_fly : bool
        Whether it may have flown; a sheet that says that it never did settles it.
    """
    ground = np.hypot(series.east, series.north)
    own = series.columns.get("speed", np.full(series.time.size, np.nan))
    current, known = current_of(series.east, series.north)
    through = np.hypot(series.east - current[0], series.north - current[1]) if known else ground
    speed = np.where(np.isfinite(through), through, own)
    phase = phases(speed, series.columns.get("height"), marks, may_fly=may_fly)
    return Ride(
        time=series.time, speed=speed, phase=phase, falls=series.time[falls(speed)], current=current,
        current_known=known, stretches=stretches(speed, phase, series), series=series,
    )  # fmt: skip


def current_of(east: Array, north: Array) -> tuple[tuple[float, float], bool]:
    """Return the velocity of the water, from the fastest velocities over ground in all directions.

    Through the water a craft at its usual pace is as fast one way as the other: the ends of its velocities
    lie on a circle about the current. Without legs in different directions nothing is known.
    """
    speed = np.hypot(east, north)
    fine = np.isfinite(speed)
    if fine.sum() < 40:
        return (0.0, 0.0), False
    steady = fine & (speed > 0.75 * np.nanpercentile(speed[fine], 95.0))
    e, n = east[steady], north[steady]
    if e.size < 20:
        return (0.0, 0.0), False
    heading = np.arctan2(n, e)
    spread = 1.0 - abs(np.mean(np.exp(1j * heading)))
    if spread < TURNED * 0.5:
        return (0.0, 0.0), False
    design = np.column_stack([2.0 * e, 2.0 * n, np.ones(e.size)])
    for _ in range(3):
        found = np.linalg.lstsq(design, e * e + n * n, rcond=None)[0]
        off = np.hypot(e - found[0], n - found[1]) - np.sqrt(max(found[2] + found[0] ** 2 + found[1] ** 2, 0.0))
        keep = np.abs(off) <= max(2.0 * np.median(np.abs(off)), 0.1)
        design, e, n = design[keep], e[keep], n[keep]
    found[:2] = _along_legs(found[:2], e, n)
    strength = float(np.hypot(found[0], found[1]))
    return ((float(found[0]), float(found[1])), True) if strength < 1.5 else ((0.0, 0.0), False)


def _along_legs(current: Array, east: Array, north: Array) -> Array:
    """Return a current without what legs out and back along one line cannot tell: its part across them."""
    ahead = np.stack([east, north]) - current[:, None]
    ahead /= np.maximum(np.hypot(*ahead), 1e-6)
    values, axes = np.linalg.eigh(ahead @ ahead.T / east.size)
    if values[0] > ONE_LINE:
        return current
    along = axes[:, 1]
    way = along @ np.stack([east, north])
    out, back = way[way > 0.0], way[way <= 0.0]
    if not out.size or not back.size:
        return np.zeros(2)
    return np.asarray(0.5 * (np.median(out) + np.median(back)) * along)


def phases(speed: Array, height: Array | None, marks: Marks, *, may_fly: bool) -> npt.NDArray[np.intp]:
    """Return the likeliest phase of each step: speeds speak for phases, and phases last."""
    take_off = marks.take_off if np.isfinite(marks.take_off) else 1.3 * marks.hump
    middle = np.array([0.0, 0.45 * marks.hump, 0.5 * (marks.hump + 0.9 * take_off), 1.25 * take_off])
    wide = np.array([STILL, 0.35 * marks.hump, 0.25 * marks.hump, 0.25 * take_off])
    known = np.isfinite(speed)
    apart = (np.where(known, speed, 0.0)[:, None] - middle) / wide
    score = np.where(known[:, None], -0.5 * np.minimum(apart * apart, 30.0) - np.log(wide), 0.0)
    if height is not None:
        seen = np.isfinite(height)
        up = np.where(seen, np.clip((np.nan_to_num(height) - 0.05) / 0.05, -4.0, 4.0), 0.0)
        score[:, FLYING] += up
        score[:, HUMP] -= np.maximum(up, 0.0)
    if not may_fly:
        score[:, FLYING] = -1e6
    return _likeliest(score)


def _likeliest(score: Array) -> npt.NDArray[np.intp]:
    """Return the path of phases that scores most with the price of each change (Viterbi)."""
    steps, count = score.shape
    price = np.log((1.0 - STAYS) / (count - 1)) - np.log(STAYS)
    best = score[0].copy()
    came = np.zeros((steps, count), dtype=np.intp)
    own = np.arange(count)
    for k in range(1, steps):
        top = int(best.argmax())
        change = best[top] + price
        stays = best >= change
        came[k] = np.where(stays, own, top)
        best = np.where(stays, best, change) + score[k]
    out = np.empty(steps, dtype=np.intp)
    out[-1] = best.argmax()
    for k in range(steps - 1, 0, -1):
        out[k - 1] = came[k, out[k]]
    return out


def falls(speed: Array) -> npt.NDArray[np.intp]:
    """Return the steps at which a fall begins."""
    ahead = int(FALLS_IN / STEP)
    later = np.concatenate([speed[ahead:], np.full(ahead, np.nan)])
    falling = np.nan_to_num(speed, nan=0.0) > FALLS_FROM
    falling &= np.nan_to_num(later, nan=99.0) < FALLS_TO
    return np.flatnonzero(falling & ~np.concatenate([[False], falling[:-1]]))


def stretches(speed: Array, phase: npt.NDArray[np.intp], series: Series) -> tuple[Stretch, ...]:
    """Return steady stretches of one phase, alike ones as their mean, the longest first."""
    size = int(STRETCH / STEP)
    count = speed.size // size
    if not count:
        return ()
    cut = speed[: count * size].reshape(count, size)
    kind = phase[: count * size].reshape(count, size)
    t = (np.arange(size) - 0.5 * (size - 1)) * STEP
    rate = cut @ t / (t @ t)
    on = np.nan_to_num(series.columns["amps"]) > ON if "amps" in series.columns else phase > REST
    under_way = np.cumsum(on)[: count * size].reshape(count, size)[:, 0] * STEP
    columns = {name: _means(series.columns.get(name), count, size) for name in ("volts", "amps", "throttle", "height")}
    amps = series.columns.get("amps")
    drawn = None if amps is None or not np.isfinite(amps).any() else np.cumsum(np.nan_to_num(amps)) * STEP
    columns["used"] = _means(drawn, count, size)
    scatter = np.std(cut - cut.mean(axis=1, keepdims=True) - rate[:, None] * t, axis=1)
    pushed = np.nan_to_num(columns["throttle"], nan=1.0) > 0.1
    if np.isfinite(columns["amps"]).any():
        pushed &= np.nan_to_num(columns["amps"], nan=0.0) > ON
    held = _scatter(series.columns.get("throttle"), count, size) < 0.04
    fine = np.isfinite(cut).all(axis=1) & (np.abs(rate) < STEADY) & (scatter < EVEN) & held
    fine &= (kind == kind[:, :1]).all(axis=1) & (kind[:, 0] > REST) & pushed & (cut.mean(axis=1) > 0.8)
    groups: dict[tuple[int, int, int, bool], list[int]] = {}
    for k in np.flatnonzero(fine):
        share = columns["throttle"][k]
        pace, held_at = round(float(cut[k].mean()) * 2), round(float(np.nan_to_num(share)) * 10)
        key = (int(kind[k, 0]), pace, held_at, bool(under_way[k] > WARM))
        groups.setdefault(key, []).append(int(k))
    longest = sorted(groups.items(), key=lambda each: -len(each[1]))[:MOST]
    return tuple(
        Stretch(
            phase=key[0], speed=float(cut[rows].mean()), acceleration=float(rate[rows].mean()),
            seconds=len(rows) * STRETCH, late=key[3],
            **{name: float(np.mean(values[rows])) for name, values in columns.items()},
        )
        for key, rows in longest
    )  # fmt: skip


def _means(values: Array | None, count: int, size: int) -> Array:
    if values is None:
        return np.full(count, np.nan)
    return np.asarray(values[: count * size].reshape(count, size).mean(axis=1))


def _scatter(values: Array | None, count: int, size: int) -> Array:
    if values is None:
        return np.zeros(count)
    return np.asarray(np.nan_to_num(values[: count * size].reshape(count, size).std(axis=1), nan=0.0))
