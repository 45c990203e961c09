"""What every test stands on: the same examples each time, no screen, no colours."""

from __future__ import annotations

import os

from hypothesis import settings

os.environ["MPLBACKEND"] = "Agg"
os.environ["NO_COLOR"] = "1"
os.environ["COLUMNS"] = "80"

settings.register_profile("same", derandomize=True, deadline=None, max_examples=40, database=None)
settings.register_profile("search", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))
