"""What every test stands on: the same examples each time, no screen, no colours."""

from __future__ import annotations

import os
from unittest.mock import patch

from hypothesis import HealthCheck, settings
from hypothesis.internal.conjecture import providers

os.environ["MPLBACKEND"] = "Agg"
os.environ["NO_COLOR"] = "1"
os.environ["COLUMNS"] = "80"

# Without this the examples hang on which of our modules happen to be loaded, and on every number in them.
patch.object(providers, "_get_local_constants", providers.Constants).start()

CLOCK = (HealthCheck.too_slow,)  # a busy machine fails no test
settings.register_profile(
    "same", derandomize=True, deadline=None, max_examples=40, database=None, suppress_health_check=CLOCK
)
settings.register_profile("search", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))
