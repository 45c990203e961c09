"""Root finding and interpolation for arrays of problems at once.

These replace the scalar routines of a numerical library on the way of a plain question, because
each of thousands of designs needs its own root; tests hold them to that library.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Flag = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Root:
    """Roots of many problems: ``value`` is NaN and ``found`` False where none was bracketed."""

    value: Array
    found: Flag


def bracketed(
    excess: Callable[[Array], Array], low: Array, high: Array, *, steps: int = 60, within: float = 1e-12
) -> Root:
    """Return a root of ``excess`` between ``low`` and ``high``, elementwise.

    The safeguarded secant of Ridders (1979, IEEE Trans. Circuits Syst. 26, 979), for arrays: each
    step halves the bracket at least. ``within`` is the relative width at which a problem is done.

    Parameters
    ----------
    excess : callable
        Takes and returns arrays of the shape of the broadcast bracket.
    low, high : arrays
        Ends of the bracket.
    steps : int
        Largest number of steps.
    within : float
        Relative width of the final bracket [-].
    """
    a, b = (np.array(end, dtype=np.float64) for end in np.broadcast_arrays(low, high))
    fa, fb = np.asarray(excess(a)), np.asarray(excess(b))
    found = np.isfinite(fa) & np.isfinite(fb) & (np.sign(fa) * np.sign(fb) <= 0.0)
    best = np.where(np.abs(fa) <= np.abs(fb), a, b)
    for _ in range(steps):
        if np.all(~found | (np.abs(b - a) <= within * np.maximum(np.abs(a) + np.abs(b), 1e-300))):
            break
        mid = 0.5 * (a + b)
        fm = np.asarray(excess(mid))
        under = np.sqrt(np.maximum(fm * fm - fa * fb, 0.0))
        slope = np.sign(fa - fb) * fm / np.where(under > 0.0, under, 1.0)
        step = np.where(under > 0.0, (mid - a) * slope, 0.0)
        new = np.clip(mid + step, np.minimum(a, b), np.maximum(a, b))
        fn = np.asarray(excess(new))
        inner = np.sign(fm) * np.sign(fn) < 0.0
        left = np.sign(fa) * np.sign(fn) < 0.0
        done = fn == 0.0
        a, fa, b, fb = (
            np.where(done, new, np.where(inner, mid, np.where(left, a, new))),
            np.where(done, fn, np.where(inner, fm, np.where(left, fa, fn))),
            np.where(done, new, np.where(inner, new, np.where(left, new, b))),
            np.where(done, fn, np.where(inner, fn, np.where(left, fn, fb))),
        )
        best = new
    return Root(value=np.where(found, best, np.nan), found=found)


def rows(x: Array, nodes: Array, values: Array) -> Array:
    """Interpolate linearly along the last axis, each row in its own table.

    Parameters
    ----------
    x : (..., k) array
        Where to read.
    nodes : (..., m) array
        Increasing along the last axis; leading axes broadcast with ``values`` and ``x``.
    values : (..., m) array
        What to read.

    Returns
    -------
    (..., k) array
        NaN outside the nodes.
    """
    return rows_of(x, nodes, values)[0]


def rows_of(x: Array, nodes: Array, *values: Array) -> tuple[Array, ...]:
    """Interpolate several tables over the same nodes at the same places; see ``rows``."""
    place, share = _place(x, nodes)
    out = []
    for each in values:
        at, flat = place, each
        if each.size != each.shape[-1]:
            lead = np.broadcast_shapes(each.shape[:-1], place.shape[:-1])
            at = place + _row_starts(lead, each.shape[-1])
            flat = each if each.shape[:-1] == lead else np.broadcast_to(each, lead + each.shape[-1:])
        flat = flat.reshape(-1)
        left = flat.take(at)
        out.append(left + share * (flat.take(at + 1) - left))
    return tuple(out)


def _row_starts(lead: tuple[int, ...], width: int) -> npt.NDArray[np.intp]:
    """Return where each row of an array of this shape begins when it is laid flat."""
    return (np.arange(math.prod(lead)) * width).reshape((*lead, 1))


def even_rows(share: Array, *values: Array) -> tuple[Array, ...]:
    """Interpolate tables over evenly spaced nodes, each row in its own: no search.

    Parameters
    ----------
    share : (..., k) array
        Place along the nodes, 0 at the first and 1 at the last.
    *values : (..., m) arrays
        Tables of the same leading shape.

    Returns
    -------
    tuple of (..., k) arrays
        NaN outside 0 to 1.
    """
    last = values[0].shape[-1] - 1
    inside = (share >= 0.0) & (share <= 1.0)
    along = np.where(inside, share, 0.0) * last
    place = np.minimum(along.astype(np.intp), last - 1)
    part = np.where(inside, along - place, np.nan)
    place += _row_starts(share.shape[:-1], last + 1)
    out = []
    for each in values:
        flat = np.ascontiguousarray(each).ravel()
        left = flat.take(place)
        place += 1
        out.append(left + part * (flat.take(place) - left))
        place -= 1
    return tuple(out)


def _place(x: Array, nodes: Array) -> tuple[npt.NDArray[np.intp], Array]:
    """Return the cell of each ``x`` and its share of the cell; NaN share outside the nodes."""
    if nodes.size == nodes.shape[-1]:
        x = x if x.ndim >= nodes.ndim else x.reshape((1,) * (nodes.ndim - x.ndim) + x.shape)
        nodes = nodes.reshape(-1)
        place = np.minimum(np.maximum(nodes.searchsorted(x, side="right") - 1, 0), nodes.size - 2)
        start, end = nodes.take(place), nodes.take(place + 1)
        inside = (x >= nodes[0]) & (x <= nodes[-1])
    else:
        lead = np.broadcast_shapes(x.shape[:-1], nodes.shape[:-1])
        x = x if x.shape[:-1] == lead else np.broadcast_to(x, lead + x.shape[-1:])
        nodes = nodes if nodes.shape[:-1] == lead else np.broadcast_to(nodes, lead + nodes.shape[-1:])
        place = np.zeros(x.shape, dtype=np.intp)
        for k in range(1, nodes.shape[-1] - 1):
            place += x >= nodes[..., k : k + 1]
        at, flat = place + _row_starts(lead, nodes.shape[-1]), nodes.reshape(-1)
        start, end = flat.take(at), flat.take(at + 1)
        inside = (x >= nodes[..., :1]) & (x <= nodes[..., -1:])
    share = np.where(inside, (x - start) / (end - start), np.nan)
    return place, share


def lookup(axes: tuple[Array, ...], values: Array, *points: Array) -> Array:
    """Interpolate linearly in a table over a full grid; NaN outside it.

    Parameters
    ----------
    axes : tuple of (m_i,) arrays
        Increasing nodes of each axis.
    values : (m_1, m_2, ...) array
        The table.
    *points : arrays
        One coordinate an axis; they broadcast.

    Returns
    -------
    array
        Of the broadcast shape of the points.
    """
    shape = np.broadcast_shapes(*(np.shape(p) for p in points))
    corners: list[tuple[npt.NDArray[np.intp], Array]] = []
    for nodes, point in zip(axes, points, strict=True):
        x = np.asarray(point, dtype=np.float64)
        place = np.clip(np.searchsorted(nodes, x, side="right") - 1, 0, nodes.size - 2)
        share = (x - nodes[place]) / (nodes[place + 1] - nodes[place])
        corners.append((place, np.where((share >= 0.0) & (share <= 1.0), share, np.nan)))
    out = np.zeros(shape)
    for corner in range(1 << len(axes)):
        weight: Array | float = 1.0
        index = []
        for k, (place, share) in enumerate(corners):
            upper = corner >> k & 1
            index.append(place + upper)
            weight = weight * (share if upper else 1.0 - share)
        out = out + weight * values[tuple(index)]
    return out


def first_crossing(x: Array, y: Array, *, falling: bool = False) -> Root:
    """Return where ``y`` first reaches zero from below (or from above) along the last axis.

    Parameters
    ----------
    x : (m,) or (..., m) array
        Increasing.
    y : (..., m) array
        NaN counts as not there yet.
    falling : bool
        Look for the first place where ``y`` reaches zero from above.

    Returns
    -------
    Root
        ``value`` (...,): by linear interpolation between the two nodes; the first node where
        ``y`` is there from the start.
    """
    sign = -1.0 if falling else 1.0
    there = sign * y >= 0.0
    found = np.asarray(there.any(axis=-1))
    at = there.argmax(axis=-1)[..., None]
    wide = np.broadcast_to(x, y.shape)
    before = np.maximum(at - 1, 0)
    x1, y1 = np.take_along_axis(wide, at, -1)[..., 0], np.take_along_axis(y, at, -1)[..., 0]
    x0, y0 = np.take_along_axis(wide, before, -1)[..., 0], np.take_along_axis(y, before, -1)[..., 0]
    usable = (at[..., 0] > 0) & np.isfinite(y0) & (y1 != y0)
    share = np.where(usable, -y0 / np.where(usable, y1 - y0, 1.0), 1.0)
    return Root(value=np.where(found, x0 + share * (x1 - x0), np.nan), found=found)


def picked(values: Array, at: npt.NDArray[np.intp]) -> Array:
    """Return one value a row: ``values`` (..., m) at the places ``at`` (...)."""
    return values.reshape(-1).take(_row_starts(at.shape, values.shape[-1])[..., 0] + at)


def at(x: Array, values: Array, where: Array) -> Array:
    """Read one value a row: ``values`` (n, m) over ``x`` (m,) or (n, m) at ``where`` (n,)."""
    return rows(where[..., None], x, values)[..., 0]


def smoothstep(x: Array, low: float | Array, high: float | Array) -> Array:
    """Return 0 below ``low``, 1 above ``high``, and the cubic with flat ends between."""
    share = np.clip((x - low) / (np.asarray(high) - low), 0.0, 1.0)
    return share * share * (3.0 - 2.0 * share)
