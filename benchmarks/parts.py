"""Parts of the lake cruiser: everything from nothing, with one number changed, and with nothing changed."""

from __future__ import annotations

import importlib.util
import tempfile
import time
from pathlib import Path

import clock
from foilwright.build import load
from foilwright.parts import KINDS, make

LAKE = load.scenario("lake")
CHANGED = LAKE.with_texts({"wing.area": "1650 cm^2"})
WITHOUT_SOLIDS = tuple(kind for kind in KINDS if kind not in ("solids", "prints"))


def _timed(name: str, most: float, kinds: tuple[str, ...]) -> clock.Timing:
    with tempfile.TemporaryDirectory() as folder:
        seconds = {}
        for step, build in (("cold", LAKE), ("changed", CHANGED), ("unchanged", CHANGED)):
            start = time.perf_counter()
            make(build, Path(folder), only=kinds)
            seconds[step] = time.perf_counter() - start
    return clock.Timing(name=name, seconds=seconds[name.rpartition(" ")[2]], most_seconds=most)


def papers() -> clock.Timing:
    """Time every kind but the solids, from nothing."""
    return _timed("parts without solids, cold", 15.0, WITHOUT_SOLIDS)


def everything() -> clock.Timing:
    """Time every kind, from nothing."""
    return _timed("every part, cold", 90.0, KINDS)


def one_number() -> clock.Timing:
    """Time every kind after the area of the wing changed."""
    return _timed("every part, changed", 20.0, KINDS)


BENCHMARKS = (papers,) if importlib.util.find_spec("build123d") is None else (papers, everything, one_number)
