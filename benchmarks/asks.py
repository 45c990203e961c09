"""Asking: one build warm, thousands of designs, growth with the number, memory; one foreign wing solve beside."""

from __future__ import annotations

import importlib.util
import resource
import time

import numpy as np

import clock
from foilwright.build import load
from foilwright.questions.ask import ask
from foilwright.study import spread, ways

LAKE = load.scenario("lake")
FIVE = ("afloat", "rise", "fly", "push", "endure")
RANGES = {
    "wing.area": (0.07, 0.21), "wing.span": (0.6, 1.2), "rider.mass": (45.0, 110.0), "mast.length": (0.4, 0.95),
    "propeller.pitch": (0.09, 0.2), "stabiliser.incidence": (-0.07, 0.02), "pack.temperature": (273.0, 305.0),
}  # fmt: skip


def _designs(count: int) -> dict[str, np.ndarray]:
    random = np.random.default_rng(3)
    return {path: random.uniform(low, high, count) for path, (low, high) in RANGES.items()}


def _many(count: int, questions: tuple[str, ...] = ()) -> float:
    vary = _designs(count)
    start = time.perf_counter()
    ask(LAKE, vary=vary, questions=questions)
    return time.perf_counter() - start


def _warm(name: str, most: float, questions: tuple[str, ...]) -> clock.Timing:
    seconds = clock.call(lambda: ask(LAKE, questions=questions), repeats=31)
    return clock.Timing(name=f"one build, warm, {name}", seconds=seconds, most_seconds=most)


def one_build_first_five() -> clock.Timing:
    """Time a warm ask of the first five questions."""
    return _warm("first five questions", 0.020, FIVE)


def one_build() -> clock.Timing:
    """Time a warm ask of every question."""
    return _warm("every question", 0.035, ())


def ten_thousand_first_five() -> clock.Timing:
    """Time ten thousand designs through the first five questions."""
    return clock.Timing(name="10,000 designs, first five questions", seconds=_many(10_000, FIVE), most_seconds=6.0)


def ten_thousand() -> clock.Timing:
    """Time ten thousand designs through every question."""
    seconds = _many(10_000)
    used = (
        resource.getrusage(resource.RUSAGE_SELF).ru_maxrss + resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    ) / 2**20
    return clock.Timing(name=f"10,000 designs (peak {used:.2f} of 2 GiB)", seconds=seconds, most_seconds=12.0)


def hold_of_ten_thousand() -> clock.Timing:
    """Time what `hold` adds to ten thousand designs."""
    with_it = _many(10_000, (*FIVE, "hold"))
    return clock.Timing(
        name="10,000 designs, what `hold` adds", seconds=with_it - _many(10_000, FIVE), most_seconds=3.0
    )


def all_ways_out() -> clock.Timing:
    """Time the search of all ways out of the craft that does not rise."""
    build = load.scenario("first-try")
    answers = ask(build)
    seconds = clock.call(lambda: ways.find(answers), repeats=3)
    return clock.Timing(name="all ways out of first-try", seconds=seconds, most_seconds=2.0)


def spread_of_two_thousand() -> clock.Timing:
    """Time a spread of 2,000 samples."""
    return clock.Timing(
        name="a spread of 2,000",
        seconds=clock.call(lambda: spread.spread(LAKE, samples=2000), repeats=3),
        most_seconds=3.0,
    )


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


BENCHMARKS = (
    one_build_first_five, one_build, ten_thousand_first_five, ten_thousand, hold_of_ten_thousand, growth,
    all_ways_out, spread_of_two_thousand, foreign_wing,
)  # fmt: skip
