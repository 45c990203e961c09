"""Arrays by design made ready to broadcast along further axes."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


def column(values: Array) -> Array:
    """Return (n,) values as (n, 1): one for every speed."""
    return np.asarray(values)[:, None]


def cell(values: Array) -> Array:
    """Return (n,) values as (n, 1, 1): one for every speed and trim."""
    return np.asarray(values)[:, None, None]
