"""How long a process takes before it can answer anything."""

from __future__ import annotations

from pathlib import Path

import clock
import foilwright
from clock import Timing


def importing_the_package() -> Timing:
    """Load the package alone, which needs the standard library only."""
    return Timing(name="process: import foilwright", seconds=clock.process("-c", "import foilwright"))


def loading_every_model() -> Timing:
    """Load every physics module."""
    code = "from foilwright.study import evidence; evidence.load_models()"
    return Timing(name="process: every physics model", seconds=clock.process("-c", code))


def asking() -> Timing:
    """Ask every question about the lake craft in a process of its own."""
    lake = Path(foilwright.__file__).parent / "data" / "scenarios" / "lake.toml"
    return Timing(
        name="process: ask lake.toml --no-ways-out", most_seconds=1.0, most_ratio=12.0,
        seconds=clock.process("-m", "foilwright", "ask", str(lake), "--no-ways-out"),
    )  # fmt: skip


BENCHMARKS = (importing_the_package, loading_every_model, asking)
