"""Clocks of logs brought together: the offset at which they tell of the same rides."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.study.learn.tracks import STEP, Series

Whole = npt.NDArray[np.intp]
WITHIN = 300.0
"""Offset that is sought between clocks that both tell the time of day [s]."""
AGREES = 0.35
"""Correlation from which on an offset counts as found (judgement)."""
LAG = 2.0
"""Time in which a speed follows the power [s], for comparing the two."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offset:
    """What is to be added to the clock of a log [s], and how well the two then agree."""

    seconds: float
    agreement: float

    @property
    def found(self) -> bool:
        """Say whether they agree well enough."""
        return self.agreement >= AGREES


def offset(track: Array, log: Array, *, most: int) -> tuple[int, float]:
    """Return by how many steps a log is early against a track, and their correlation there.

    Parameters
    ----------
    track, log : (t,), (u,) arrays
        Two things that rise and fall together, on clocks of one step; NaN where not known.
    most : int
        Steps that are sought either way; at 0 the log begins with the track.
    """
    one, two = _even(track), _even(log)
    size = 1 << int(np.ceil(np.log2(one.size + two.size)))
    product = np.fft.irfft(np.fft.rfft(one, size) * np.conj(np.fft.rfft(two, size)), size)
    shifts = np.arange(-min(most, two.size - 1), min(most, one.size - 1) + 1)
    return _best(one, two, product, shifts, size)


def _best(one: Array, two: Array, product: Array, shifts: Whole, size: int) -> tuple[int, float]:
    total = [np.concatenate([[0.0], np.cumsum(each * each)]) for each in (one, two)]
    begin, end = np.maximum(shifts, 0), np.minimum(one.size, two.size + shifts)
    power = (total[0][end] - total[0][begin]) * (total[1][end - shifts] - total[1][begin - shifts])
    common = (end - begin) >= 0.3 * min(one.size, two.size)
    whole = np.sqrt(np.maximum(power, 1e-12))
    agreement = np.where(common & (power > 1e-9), product[shifts % size] / whole, -1.0)
    at = int(agreement.argmax())
    return int(shifts[at]), float(agreement[at])


def _even(values: Array) -> Array:
    """Return values without their mean, nothing where not known."""
    fine = np.isfinite(values)
    return np.where(fine, values - values[fine].mean(), 0.0) if fine.any() else np.zeros_like(values)


def together(track: Series, log: Series) -> tuple[Series, Offset]:
    """Return a track with the columns of a log on its clock, and the offset between their clocks."""
    speed = np.hypot(track.east, track.north)
    like = log.columns.get("speed")
    if like is None:
        like = _followed(log.columns.get("amps", log.columns.get("throttle", np.zeros(log.time.size))))
    most = int(WITHIN / STEP) if log.clocked else max(speed.size, like.size)
    ahead = round(float(log.time[0] - track.time[0]) / STEP) if log.clocked else 0
    shift, agreement = offset(speed, _shifted(like, ahead, speed.size) if log.clocked else like, most=most)
    found = Offset(seconds=shift * STEP, agreement=agreement)
    start = (track.time[0] if not log.clocked else log.time[0]) + found.seconds
    clock = start + STEP * np.arange(log.time.size)
    columns = {
        name: np.interp(track.time, clock, each, left=np.nan, right=np.nan) for name, each in log.columns.items()
    }
    return replace(track, columns=track.columns | columns), found


def _shifted(values: Array, steps: int, size: int) -> Array:
    """Return values as they stand on a clock that begins so many steps earlier."""
    out = np.full(size, np.nan)
    at = np.arange(values.size) + steps
    fine = (at >= 0) & (at < size)
    out[at[fine]] = values[fine]
    return out


def _followed(power: Array) -> Array:
    """Return what follows a power with the lag of a craft."""
    out, held, share = np.zeros(power.size), 0.0, STEP / LAG
    for k, value in enumerate(np.nan_to_num(power)):
        held += share * (value - held)
        out[k] = held
    return out
