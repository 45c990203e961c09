"""What the maker left open, and which of several cases governs."""

from __future__ import annotations

from collections.abc import Sequence
from operator import attrgetter

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.craft import Craft

Flag = npt.NDArray[np.bool_]

READINGS = {
    "measured.box_vacuum": "box.vacuum", "measured.box_vacuum_left": "box.vacuum_left",
    "measured.box_vacuum_time": "box.vacuum_time",
}  # fmt: skip
"""Where a craft keeps a reading."""


def first_open(craft: Craft, *paths: str) -> tuple[str, Flag]:
    """Return the first of some fields that is left open, and where it is; no path where all are stated.

    A field is open in every design of a batch or in none.
    """
    for path in paths:
        kept = attrgetter(READINGS.get(path, path))(craft)
        open_ = np.array([not name for name in kept]) if isinstance(kept, tuple) else np.isnan(kept)
        if open_.any():
            return path, open_
    return "", np.zeros(craft.designs, dtype=bool)


def governing(
    demand: Sequence[Array], capacity: Sequence[Array], required: Sequence[float]
) -> tuple[npt.NDArray[np.intp], Array, Array, Array]:
    """Return the case with the least of the margin it must have, and its demand, capacity and required margin."""
    asked, there = np.stack(np.broadcast_arrays(*demand)), np.stack(np.broadcast_arrays(*capacity))
    needs = np.array(required)
    score = np.where(asked > 0.0, there / np.where(asked > 0.0, asked, 1.0) / (1.0 + needs[:, None]), np.inf)
    case = np.argmin(score, axis=0)
    rows = np.arange(case.size)
    return case, asked[case, rows], there[case, rows], needs[case]
