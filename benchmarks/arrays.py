"""How long the array routines take that stand under every question."""

from __future__ import annotations

import numpy as np

import clock
from clock import Timing
from foilwright.core import solve

DESIGNS, SPEEDS, TRIMS = 64, 64, 24


def roots() -> Timing:
    """Find one root for each of ten thousand designs."""
    level = np.random.default_rng(1).uniform(0.1, 9.0, 10_000)
    low, high = np.zeros_like(level), np.full_like(level, 4.0)
    seconds = clock.call(lambda: solve.bracketed(lambda x: x * x * x - level, low, high))
    return Timing(name="call: 10,000 roots", seconds=seconds)


def grid_lookup() -> Timing:
    """Read a table over three axes on a block of the speed and trim grid."""
    axes = (np.linspace(0.0, 1.0, 20), np.linspace(0.0, 1.0, 15), np.linspace(0.0, 1.0, 10))
    values = np.random.default_rng(2).normal(size=(20, 15, 10))
    points = np.random.default_rng(3).uniform(size=(3, DESIGNS, SPEEDS, TRIMS))
    seconds = clock.call(lambda: solve.lookup(axes, values, *points))
    return Timing(name="call: table of three axes, 98,304 points", seconds=seconds)


def row_reading() -> Timing:
    """Read the own curve of each design at every speed and trim."""
    nodes = np.linspace(0.0, 1.0, 60)
    values = np.random.default_rng(4).normal(size=(DESIGNS, 60))
    x = np.random.default_rng(5).uniform(size=(DESIGNS, SPEEDS * TRIMS))
    seconds = clock.call(lambda: solve.rows(x, nodes, values))
    return Timing(name="call: own curve a design, 98,304 points", seconds=seconds)


def every_check() -> Timing:
    """Compute every outside check, from the file to the table on the screen."""
    from foilwright.study import evidence  # noqa: PLC0415

    return Timing(name="call: every outside check", seconds=clock.call(lambda: evidence.text(evidence.run())))


BENCHMARKS = (roots, grid_lookup, row_reading, every_check)
