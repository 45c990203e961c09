"""How long a process takes before it can answer anything."""

from __future__ import annotations

import clock
from clock import Timing


def importing_the_package() -> Timing:
    """Load the package alone, which needs the standard library only."""
    return Timing(name="process: import foilwright", seconds=clock.process("-c", "import foilwright"))


def loading_every_model() -> Timing:
    """Load every physics module."""
    code = "from foilwright.study import evidence; evidence.load_models()"
    return Timing(name="process: every physics model", seconds=clock.process("-c", code))


BENCHMARKS = (importing_the_package, loading_every_model)
