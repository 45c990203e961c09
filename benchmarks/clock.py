"""Taking the time of calls and of whole processes, always beside the yardstick of the same run."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass

YARDSTICK = "import numpy"
REFERENCE = 0.16
"""What the yardstick took on the machine for which the budgets in seconds were set [s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """What one benchmark took, and what it may take.

    ``seconds`` is the median; ``most_seconds`` and ``most_ratio`` (times the yardstick) are budgets. A slower
    machine than that of the budgets may take as much longer as its yardstick does.
    """

    name: str
    seconds: float
    most_seconds: float | None = None
    most_ratio: float | None = None

    def line(self, yardstick: float) -> str:
        """Return one line of the table."""
        ratio = self.seconds / yardstick
        late = self.most_seconds is not None and self.seconds > self.most_seconds
        over = self.most_ratio is not None and ratio > self.most_ratio
        budgets = []
        if self.most_seconds is not None:
            budgets.append(f"{1e3 * self.most_seconds:.4g} ms")
        if self.most_ratio is not None:
            budgets.append(f"{self.most_ratio:g} x")
        budget = " and ".join(budgets)
        if late and self.most_seconds is not None:
            over |= ratio > self.most_seconds / REFERENCE
        told = "  OVER" if over else "  within, as slow as this machine is" if late else ""
        return f"{self.name:<42}{1e3 * self.seconds:>10.4g}{ratio:>10.3g}  {budget}{told}"


def call(function: Callable[[], object], *, repeats: int = 15) -> float:
    """Return the median time of a call, in seconds; the first call, which warms up, is not counted."""
    function()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def process(*arguments: str, repeats: int = 5) -> float:
    """Return the median time of a Python process with these arguments, in seconds."""
    command = [sys.executable, *arguments]

    def run() -> None:
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)

    return call(run, repeats=repeats)


def table(timings: list[Timing], yardstick: float) -> str:
    """Return the timings as a table, each beside the yardstick of the same run."""
    head = f"{'what':<42}{'median ms':>10}{'ratio':>10}  budget"
    foot = (
        f"ratio: times a process that does `{YARDSTICK}` ({1e3 * yardstick:.4g} ms here, {1e3 * REFERENCE:.4g} ms on\n"
        "the machine for which the budgets in milliseconds were set)"
    )
    return "\n".join([head, *(timing.line(yardstick) for timing in timings), "", foot])
