"""How the volts at rest fall over a day, so that readings early and late can be told as of its middle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.build.build import Build
from foilwright.core.model import Array
from foilwright.study.learn.causes import value_of
from foilwright.study.learn.predict import USUAL_CHARGE, at_rest
from foilwright.study.learn.segment import Ride
from foilwright.study.learn.tracks import STEP

IDLE = 1.0
"""Amps up to which a pack rests [A]."""
SETTLES = 5.0
"""Rest before the volts count [s]."""
SPREAD = 0.25
"""Share of what was used in the day by which rests must lie apart for a line to be laid through them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """Volts at rest over what was used [A s], as a line; and the middle of the day."""

    slope: float  # V/(A s)
    start: float  # V
    middle: float  # A s
    ends: tuple[float, float, float]  # V at the first rest, V at the last one, A s between; zeros where not known

    @classmethod
    def of(cls, build: Build, ridden: Ride) -> Charge:
        """Return it from the rests of a log, or from its amps and what the build says of its pack."""
        used = [each.used for each in ridden.stretches if np.isfinite(each.used)]
        middle = float(np.mean(used)) if used else 0.0
        at, volts = _rests(ridden)
        whole = max(used, default=0.0)
        if at.size > 20 and whole > 0.0 and np.ptp(at) > SPREAD * whole:
            slope, start = np.polyfit(at, volts, 1)
            first, last = (float(start + slope * each) for each in (at.min(), at.max()))
            return cls(slope=float(slope), start=float(start), middle=middle, ends=(first, last, float(np.ptp(at))))
        charge, shown = at_rest(build)
        capacity = value_of(build, "cell.capacity") * value_of(build, "pack.parallel")
        near = np.interp([USUAL_CHARGE + 0.1, USUAL_CHARGE - 0.1], charge, shown)
        slope = float((near[1] - near[0]) / (0.2 * capacity))
        start = float(np.interp(USUAL_CHARGE, charge, shown)) - slope * middle
        return cls(slope=slope, start=start, middle=middle, ends=(0.0, 0.0, 0.0))

    def over(self, used: float) -> float:
        """Return the volts at rest after so much was used [A s], over those at the middle of the day."""
        if not np.isfinite(used):
            return 1.0
        return (self.start + self.slope * used) / (self.start + self.slope * self.middle)


def _rests(ridden: Ride) -> tuple[Array, Array]:
    """Return what was used and the volts, where the pack has rested for a while."""
    columns = ridden.series.columns
    if "amps" not in columns or "volts" not in columns:
        return np.zeros(0), np.zeros(0)
    amps, volts = columns["amps"], columns["volts"]
    used = np.cumsum(np.nan_to_num(amps)) * STEP
    idle = np.nan_to_num(amps, nan=99.0) < IDLE
    before = int(SETTLES / STEP)
    settled = np.convolve(idle, np.ones(before + 1), mode="full")[: idle.size] > before + 0.5
    fine = settled & np.isfinite(volts)
    return used[fine], volts[fine]
