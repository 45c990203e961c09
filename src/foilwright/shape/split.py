"""Printable lengths: where a long part is cut, and whether what is left fits on the bed."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array, model

PLACES = 241
"""Places along a part at which a joint is tried."""


@model(
    source="Carver 1957, Solution to Problem E1225, American Mathematical Monthly 64, 114: a rectangle in a rectangle"
)
def turned_fit(*, length: Array, width: Array, bed_length: Array, bed_width: Array) -> Array:
    """Return whether a rectangle fits on a bed, turned as it likes.

    Parameters
    ----------
    length : (n,) array
        One side of the rectangle [m].
    width : (n,) array
        The other [m].
    bed_length : (n,) array
        One side of the bed [m].
    bed_width : (n,) array
        The other [m].

    Returns
    -------
    (n,) array
        1 where it fits, else 0 [-].
    """
    long, short = np.maximum(length, width), np.minimum(length, width)
    bed_long, bed_short = np.maximum(bed_length, bed_width), np.minimum(bed_length, bed_width)
    square = (long <= bed_long) & (short <= bed_short)
    apart = np.maximum(long - short, 1e-12)
    diagonal = ((bed_long + bed_short) / (long + short)) ** 2 + ((bed_long - bed_short) / apart) ** 2 >= 2.0
    return np.where(square | ((long > bed_long) & (short <= bed_short) & diagonal), 1.0, 0.0)


@model(source="closed form of the condition of Carver 1957, by bisection over the length")
def longest_turned(*, width: Array, bed_length: Array, bed_width: Array) -> Array:
    """Return the longest rectangle of a width that fits on a bed, turned as it likes.

    Parameters
    ----------
    width : (n,) array
        Width of the rectangle [m].
    bed_length : (n,) array
        One side of the bed [m].
    bed_width : (n,) array
        The other [m].

    Returns
    -------
    (n,) array
        Length, 0 where the width alone is too much [m].
    """
    width = np.asarray(width, dtype=np.float64)
    low, high = np.zeros(width.shape), np.hypot(bed_length, bed_width) + np.zeros(width.shape)
    for _ in range(50):
        middle = 0.5 * (low + high)
        fits = turned_fit(length=middle, width=width, bed_length=bed_length, bed_width=bed_width)
        low, high = np.where(fits > 0.0, middle, low), np.where(fits > 0.0, high, middle)
    return np.where(low < 1e-9, 0.0, low)


@model(source="fewest pieces, then the least of the greatest load at a joint: shortest path over places (Bellman 1958)")
def joints(
    *, length: float, longest: float, first_longest: float, least: float, place: Array, load: Array, pieces: int = 1
) -> Array:
    """Return where a part is cut: as few pieces as fit, each joint where the load is least.

    Parameters
    ----------
    length : float
        Length of the part [m].
    longest : float
        Longest piece that can be made [m].
    first_longest : float
        Longest first piece, from the end where ``place`` is zero [m].
    least : float
        Shortest piece that is worth making; where a part is shorter than two of them it is one piece [m].
    place : (k,) array
        Rising distances from the first end [m].
    load : (k,) array
        What acts there, any measure of one kind [-].
    pieces : int
        At least so many pieces [-].

    Returns
    -------
    (m - 1,) array
        Distances of the joints from the first end, none for one piece [m].
    """
    count = max(pieces, 1 + int(np.ceil(max(length - first_longest, 0.0) / longest - 1e-9)))
    while count > 1:
        found = _shortest_path(length, longest, first_longest, min(least, 0.5 * length / count), place, load, count)
        if found is not None:
            return found
        count += 1  # lengths that only just fit fall between the places that are tried
    return np.zeros(0)


def _shortest_path(
    length: float, longest: float, first_longest: float, least: float, place: Array, load: Array, count: int
) -> Array | None:
    """Return the joints of so many pieces, None where they do not go."""
    at = np.linspace(0.0, length, PLACES)
    acts = np.interp(at, place, load)
    gap = at[None, :] - at[:, None]
    slack = 1e-9 * length
    may = (gap >= least - slack) & (gap <= longest + slack)
    worst = np.where((at >= least - slack) & (at <= first_longest + slack), acts, np.inf)
    total = worst.copy()
    came: list[Array] = []
    for _ in range(count - 2):
        peak = np.where(may, np.maximum(worst[:, None], acts[None, :]), np.inf)
        summed = np.where(np.isfinite(peak), total[:, None] + acts[None, :], np.inf)
        best = np.lexsort((summed, peak), axis=0)[0]
        came.append(best)
        worst, total = peak[best, np.arange(PLACES)], summed[best, np.arange(PLACES)]
    ends = np.where((length - at >= least - slack) & (length - at <= longest + slack), worst, np.inf)
    if not np.isfinite(ends).any():
        return None
    last = int(np.lexsort((np.where(np.isfinite(ends), total, np.inf), ends))[0])
    path = [last]
    for best in reversed(came):
        path.append(int(best[path[-1]]))
    return at[path[::-1]]
