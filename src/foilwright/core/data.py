"""Packaged tables as arrays, and writing files without losing what was there.

A table is a CSV file whose first lines, each begun with ``#``, say where the numbers come from.
Inside a table we interpolate; outside it there is no value (NaN beside a validity flag).
"""

from __future__ import annotations

import csv
import functools
import os
import shutil
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import numpy as np
import numpy.typing as npt

from foilwright.core.errors import DataError, PlaceError

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A packaged CSV table: numeric columns, text columns, and its source lines."""

    name: str
    source: tuple[str, ...]
    columns: dict[str, Array]
    texts: dict[str, tuple[str, ...]]

    def grid(self, *axes: str, value: str) -> tuple[tuple[Array, ...], Array]:
        """Return the axis values and ``value`` as an array over them (a full grid is required)."""
        nodes = tuple(different(self.columns[axis]) for axis in axes)
        shape = tuple(node.size for node in nodes)
        places = tuple(np.searchsorted(node, self.columns[axis]) for node, axis in zip(nodes, axes, strict=True))
        if self.columns[value].size != int(np.prod(shape)):
            raise DataError(f"table {self.name}: the rows are not a full grid over {', '.join(axes)}")
        out = np.full(shape, np.nan)
        out[places] = self.columns[value]
        return nodes, out


def different(column: Array) -> Array:
    """Return the different values in rising order (``np.unique`` alone would load the masked arrays for it)."""
    return np.unique(column, return_index=True)[0]


def folder() -> Path:
    """Return the folder of the packaged data."""
    return Path(str(resources.files("foilwright") / "data"))


def read_csv(path: Path) -> tuple[tuple[str, ...], list[dict[str, str]]]:
    """Return the comment lines at the top of a CSV file and its rows as text."""
    comments, body = _split(path.read_text(encoding="utf-8"))
    return comments, list(csv.DictReader(body, strict=True))


def _split(text: str) -> tuple[tuple[str, ...], list[str]]:
    lines = text.splitlines()
    comments = tuple(line[1:].strip() for line in lines if line.startswith("#"))
    return comments, [line for line in lines if line.strip() and not line.startswith("#")]


@functools.cache
def table(name: str) -> Table:
    """Return the packaged table ``name`` (without ``.csv``), read once a process."""
    path = folder() / f"{name}.csv"
    if not path.is_file():
        raise DataError(f"there is no packaged table {name}")
    return table_of(name, path.read_text(encoding="utf-8"))


def table_of(name: str, text: str) -> Table:
    """Return the table that a text in the form of the packaged ones holds."""
    comments, body = _split(text)
    header, *rows = csv.reader(body, strict=True)
    ragged = next((row for row in rows if len(row) != len(header)), None)
    if ragged is not None:
        got = f"{len(ragged)} cells instead of {len(header)}"
        raise DataError(f"table {name}: a row has {got}: {','.join(ragged)[:80]}")
    columns: dict[str, Array] = {}
    texts: dict[str, tuple[str, ...]] = {}
    for name_of_column, cells in zip(header, zip(*rows, strict=True), strict=True):
        try:
            numbers = np.array([float(cell) if cell else np.nan for cell in cells])
            numbers.flags.writeable = False
            columns[name_of_column] = numbers
        except ValueError:
            texts[name_of_column] = cells
    return Table(name=name, source=comments, columns=columns, texts=texts)


def write_whole(path: Path, told: str | bytes) -> None:
    """Write a file in one step: what was there stays until the new one is whole, an interrupted run leaves no half."""
    fresh = path.with_name(path.name + ".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh.write_bytes(told.encode("utf-8") if isinstance(told, str) else told)
        fresh.replace(path)
    except OSError as error:
        raise PlaceError(f"{path} cannot be written: {error.strerror or error}") from error


def write_kept(path: Path, text: str) -> None:
    """Write a file in one step; what was there before stays beside it as ``.bak``."""
    fresh = path.with_name(path.name + ".new")
    try:
        fresh.write_text(text, encoding="utf-8", newline="\n")
        if path.exists():
            kept = path.with_name(path.name + ".bak")
            kept.unlink(missing_ok=True)
            try:
                os.link(path, kept)
            except OSError:  # no hard links here
                shutil.copy2(path, kept)
        fresh.replace(path)
    except OSError as error:
        raise PlaceError(f"{path} cannot be written: {error.strerror or error}") from error
