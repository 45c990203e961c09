"""Tables over regular axes: finding the cell is index arithmetic."""

from __future__ import annotations

import functools
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
        places: list[tuple[Array, Array]] = []
        for point, start, step, count in zip(points, self.start, self.step, self.count, strict=True):
            along = (point - start) * (1.0 / step)
            cell = np.fmin(np.fmax(np.floor(along), 0.0), count - 2.0)
            share = along - cell
            places.append((cell, np.where((share >= -SLACK) & (share <= 1.0 + SLACK), share, np.nan)))
        flat = places[0][0]
        for (cell, _), count in zip(places[1:], self.count[1:], strict=True):
            flat = flat * count + cell
        return self._blend(flat.astype(np.intp), [share for _, share in places])

    def _blend(self, base: npt.NDArray[np.intp], shares: list[Array]) -> Array:
        """Blend the corners of the cells, one axis after the other, the last one first."""
        strides = [int(np.prod(self.count[axis + 1 :])) for axis in range(len(self.count))]
        corners = [base + offset for offset in _offsets(tuple(strides))]
        read = [np.take(self.values, corner, axis=-1) for corner in corners]
        for share in reversed(shares):
            read = [low + share * (high - low) for low, high in zip(read[::2], read[1::2], strict=True)]
        return read[0]


@functools.cache
def _offsets(strides: tuple[int, ...]) -> tuple[int, ...]:
    """Return the offsets of the corners of a cell; the last axis turns fastest."""
    out = [0]
    for stride in strides:
        out = [base + add for base in out for add in (0, stride)]
    return tuple(out)


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
