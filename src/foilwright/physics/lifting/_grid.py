"""Tables over regular axes: finding the cell is index arithmetic."""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.core.model import Array

SLACK = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Values over equally spaced axes, flattened; several quantities may share the axes."""

    start: tuple[float, ...]
    step: tuple[float, ...]
    count: tuple[int, ...]
    values: Array
    """(cells,) or (quantities, cells)."""

    def at(self, *points: Array) -> Array:
        """Interpolate linearly; NaN outside the axes. Quantities, if several, lead the shape."""
        flat: Array | float = 0.0
        shares = []
        for point, start, step, count in zip(points, self.start, self.step, self.count, strict=True):
            along = (point - start) * (1.0 / step)
            cell = np.fmin(np.fmax(np.floor(along), 0.0), count - 2.0)
            share = along - cell
            shares.append(np.where((share >= -SLACK) & (share <= 1.0 + SLACK), share, np.nan))
            flat = flat * count + cell
        return self._blend(np.asarray(flat).astype(np.intp), shares)

    def _blend(self, base: npt.NDArray[np.intp], shares: list[Array]) -> Array:
        """Blend the corners of the cells, one axis after the other, the first one first."""
        offsets = _offsets(self.count).reshape((2, -1) + (1,) * base.ndim)
        low, high = (self.values.take(base + corners, axis=-1) for corners in offsets)
        lead = (slice(None),) * (self.values.ndim - 1)
        half = offsets.shape[1]
        for share in shares[:-1]:
            read = low + share * (high - low)
            half //= 2
            low, high = read[(*lead, slice(0, half))], read[(*lead, slice(half, None))]
        out: Array = (low + shares[-1] * (high - low))[(*lead, 0)]
        return out


@functools.cache
def _offsets(count: tuple[int, ...]) -> npt.NDArray[np.intp]:
    """Return the offsets of the corners of a cell in a flat table; the first axis turns slowest."""
    out = [0]
    for axis in range(len(count)):
        stride = math.prod(count[axis + 1 :])
        out = [base + add for base in out for add in (0, stride)]
    return np.array(out, dtype=np.intp)


def _grid(axes: tuple[Array, ...], values: Array) -> Grid:
    """Return a grid from the nodes of its axes, which must be equally spaced."""
    steps = tuple(float(nodes[-1] - nodes[0]) / (nodes.size - 1) for nodes in axes)
    for nodes, step in zip(axes, steps, strict=True):
        if np.abs(np.diff(nodes) - step).max() > 1e-4 * step:
            raise DataError("a table over regular axes has nodes that are not equally spaced")
    return Grid(
        start=tuple(float(nodes[0]) for nodes in axes),
        step=steps,
        count=tuple(int(nodes.size) for nodes in axes),
        values=values,
    )


@functools.cache
def plane(name: str) -> Grid:
    """Return a packaged table whose first column is one axis and whose other headers are the other."""
    first, *others = table(name).columns.items()
    across = np.array([float(header.lstrip("sv")) for header, _ in others])
    values = np.stack([column for _, column in others], axis=-1)
    return _grid((first[1], across), values.ravel())


@functools.cache
def stack(name: str, axes: tuple[str, ...], quantities: tuple[str, ...]) -> Grid:
    """Return a packaged table that lists several quantities over a full grid."""
    nodes: tuple[Array, ...] = ()
    values = []
    for quantity in quantities:
        nodes, grid = table(name).grid(*axes, value=quantity)
        values.append(grid.ravel())
    return _grid(nodes, np.stack(values))
