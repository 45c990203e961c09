"""Points that fill a box evenly, the same in every run: a Sobol sequence moved by a fixed random shift."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array

SHIFT = 20240229
"""Seed of the shift."""


def even_points(count: int, dimensions: int, *, start: int = 0, seed: int = SHIFT) -> Array:
    """Return points (count, dimensions) of the sequence in 0 to 1, from the one numbered ``start`` on.

    Sobol 1967 (directions of Joe and Kuo 2008), moved by one random shift modulo 1 (Cranley and
    Patterson 1976), so that no point lies on an edge.
    """
    if not dimensions:
        return np.zeros((count, 0))
    from scipy.stats import qmc  # noqa: PLC0415 - not on the way of a plain ask

    sequence = qmc.Sobol(dimensions, scramble=False)
    if start:
        sequence.fast_forward(start)
        points = sequence.random(count)
    else:
        points = sequence.random_base2(max(count - 1, 0).bit_length())[:count]
    return np.asarray((points + np.random.default_rng(seed).random(dimensions)) % 1.0)
