"""Asking: one build warm, thousands of designs, growth with the number, memory; one foreign wing solve beside."""

from __future__ import annotations

import importlib.util
import resource
import time

import numpy as np

import clock
from foilwright.build import load
from foilwright.questions.ask import ask

LAKE = load.scenario("lake")
RANGES = {
    "wing.area": (0.07, 0.21), "wing.span": (0.6, 1.2), "rider.mass": (45.0, 110.0), "mast.length": (0.4, 0.95),
    "propeller.pitch": (0.09, 0.2), "stabiliser.incidence": (-0.07, 0.02), "pack.temperature": (273.0, 305.0),
}  # fmt: skip


def _designs(count: int) -> dict[str, np.ndarray]:
    random = np.random.default_rng(3)
    return {path: random.uniform(low, high, count) for path, (low, high) in RANGES.items()}


def _many(count: int) -> float:
    vary = _designs(count)
    start = time.perf_counter()
    ask(LAKE, vary=vary)
    return time.perf_counter() - start


def one_build() -> clock.Timing:
    """Time a warm ask of the first five questions."""
    five = ("afloat", "rise", "fly", "push", "endure")
    return clock.Timing(
        name="one build, warm, five questions", seconds=clock.call(lambda: ask(LAKE, questions=five), repeats=31),
        most_seconds=0.020,
    )  # fmt: skip


def ten_thousand() -> clock.Timing:
    """Time ten thousand designs through every question."""
    seconds = _many(10_000)
    used = (
        resource.getrusage(resource.RUSAGE_SELF).ru_maxrss + resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    ) / 2**20
    return clock.Timing(name=f"10,000 designs (peak {used:.2f} of 2 GiB)", seconds=seconds, most_seconds=6.0)


def growth() -> clock.Timing:
    """Time 8,000 designs over twice 4,000: linear growth gives the same."""
    small = _many(4_000)
    large = _many(8_000)
    return clock.Timing(name=f"8,000 designs, {large / small:.2f} times 4,000", seconds=large, most_seconds=2.3 * small)


def foreign_wing() -> clock.Timing:
    """Time one lifting-line solve of the general aerodynamic library, where it is installed."""
    if importlib.util.find_spec("aerosandbox") is None:
        return clock.Timing(name="one foreign wing solve (not installed)", seconds=0.0)
    import aerosandbox  # noqa: PLC0415 - 1 s to load, and only where the extra is installed

    section = aerosandbox.Airfoil("naca2412")
    half = [
        aerosandbox.WingXSec(xyz_le=[0.0, 0.0, 0.0], chord=0.2, airfoil=section),
        aerosandbox.WingXSec(xyz_le=[0.03, 0.48, 0.0], chord=0.12, airfoil=section),
    ]
    plane = aerosandbox.Airplane(wings=[aerosandbox.Wing(xsecs=half, symmetric=True)])
    point = aerosandbox.OperatingPoint(velocity=7.0, alpha=3.0)
    solve = lambda: aerosandbox.LiftingLine(plane, point).run()  # noqa: E731
    return clock.Timing(name="one foreign wing solve (one wing, one angle)", seconds=clock.call(solve, repeats=5))


BENCHMARKS = (one_build, ten_thousand, growth, foreign_wing)
