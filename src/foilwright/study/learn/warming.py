"""How much warmer the parts got in a ride, from the temperatures of a log."""

from __future__ import annotations

import numpy as np

from foilwright.core import units
from foilwright.core.model import Array
from foilwright.study.learn.seen import Reading
from foilwright.study.learn.segment import ON, STILL, Ride
from foilwright.study.learn.tracks import STEP

PARTS = {"controller": (1.0, 0.15), "motor": (2.0, 0.3), "pack": (2.0, 0.15)}
"""Part to the power of the current with which its heat rises, and the error of its warming as a share: a mean of the
heat stands for its course, and a sensor on a motor is not in its winding (judgement)."""
LEAST, SOONEST = 3.0, 60.0
"""Warming [K], and time to it [s], from which on it tells something."""
SENSOR = 1.0
"""Error of a sensor [K]."""
SETTLED = 10.0
"""Time over which a temperature is taken as its median [s]."""
FULL = 0.95


def warmings(ridden: Ride, name: str, scene: int) -> list[Reading]:
    """Return the warming of each part whose temperature was logged, up to its warmest."""
    drawn = _drawn(ridden)
    if drawn is None:
        return []
    under_way = np.flatnonzero((drawn > ON) | (np.nan_to_num(ridden.speed) > STILL))
    out = []
    for part in PARTS:
        shown = ridden.series.columns.get(f"{part}_temperature")
        if shown is not None and under_way.size and np.isfinite(shown).any():
            out += _warming(ridden, shown, drawn, int(under_way[0]), part, name, scene)
    return out


def _drawn(ridden: Ride) -> Array | None:
    """Return the current; nothing where it was not logged."""
    amps = ridden.series.columns.get("amps")
    return None if amps is None or not np.isfinite(amps).any() else np.maximum(np.nan_to_num(amps), 0.0)


def _most(ridden: Ride, drawn: Array) -> float:
    """Return the current at full throttle, or the most that was drawn where no throttle was logged."""
    throttle = ridden.series.columns.get("throttle", np.full(drawn.size, np.nan))
    full = drawn[(np.nan_to_num(throttle) > FULL) & (drawn > ON)]
    return float(np.median(full)) if full.size * STEP > SETTLED else float(np.percentile(drawn, 98.0))


def _warming(ridden: Ride, shown: Array, drawn: Array, begin: int, part: str, name: str, scene: int) -> list[Reading]:
    smooth = _medians(shown)
    start = smooth[: begin + 1][np.isfinite(smooth[: begin + 1])]
    first = float(start[-1]) if start.size else float(smooth[np.isfinite(smooth)][0])
    after = np.where(np.isfinite(smooth), smooth, -np.inf)
    after[:begin] = -np.inf
    end = int(after.argmax())
    rise, time, most = float(after[end]) - first, (end - begin) * STEP, _most(ridden, drawn)
    if rise < LEAST or time < SOONEST or most < ON:
        return []
    power, own = PARTS[part]
    share = float(np.mean((drawn[begin:end] / most) ** power))
    says = f"{part} {units.show(rise, 'K', difference=True)} warmer after {units.show(time, 's')}"
    says += f" at {100.0 * share:.0f} % of the heat at full throttle"
    return [
        Reading(
            kind="warming", says=says, source=name, scene=scene, value=rise, part=part, after=time,
            throttle=share, error=float(np.hypot(own * rise, SENSOR)),
        )
    ]  # fmt: skip


def _medians(shown: Array) -> Array:
    """Return medians over a while, so that no single bad value counts."""
    half = int(0.5 * SETTLED / STEP)
    padded = np.pad(shown, half, constant_values=np.nan)
    views = np.lib.stride_tricks.sliding_window_view(padded, 2 * half + 1)
    known = np.isfinite(views).sum(axis=1) > half
    out = np.full(shown.size, np.nan)
    if known.any():
        out[known] = np.nanmedian(views[known], axis=1)
    return out
