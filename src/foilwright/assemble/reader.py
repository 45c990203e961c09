"""Reading the fields of a build by path: varied, measured, written, or assumed."""

from __future__ import annotations

import functools
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.build.build import Build, Value, stand_ins
from foilwright.build.schema import Assumed, Meta
from foilwright.build.vary import Varied
from foilwright.core import units

Array = npt.NDArray[np.float64]
Flag = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A default that was used because the maker left the field out."""

    path: str
    unit: str
    value: float | str
    low: float | str
    high: float | str
    spread: str
    source: str
    why: str


@dataclass(slots=True, kw_only=True)
class Reader:
    """Reads fields by path: the varied value, else what was measured, else written, else assumed."""

    build: Build
    designs: int
    varied: Varied
    as_built: bool
    assumed: dict[str, Assumption] = field(default_factory=dict)
    stand_ins: dict[str, str] = field(init=False)
    """What was measured in place of a field, by the path of the field."""

    def __post_init__(self) -> None:
        """Find out what may stand in for what."""
        self.stand_ins = stand_ins() if self.as_built else {}

    def number(self, path: str) -> Array:
        """Return a field as an (n,) array in SI; NaN where it is open."""
        given = self._varied(path)
        if given is not None:
            return np.asarray(given, dtype=np.float64)
        value = self._value(path)
        out = np.empty(self.designs)
        out.fill(np.nan if value is None else float(value))
        return out

    def names(self, path: str) -> tuple[str, ...]:
        """Return a choice as n names; empty where it is open."""
        given = self._varied(path)
        if given is not None:
            return tuple(str(name) for name in given)
        value = self._value(path)
        return ("" if value is None else str(value),) * self.designs

    def _varied(self, path: str) -> Array | tuple[str, ...] | None:
        """Return the varied values: of the measurement that stands in, else of the field itself."""
        if not self.varied:
            return None
        stand_in = self.stand_ins.get(path)
        if stand_in and stand_in in self.varied:
            return self.varied[stand_in]
        return self.varied.get(path)

    def _value(self, path: str) -> Value | None:
        values = self.build.values
        stand_in = self.stand_ins.get(path)
        if stand_in and stand_in in values:
            return values[stand_in]
        if path in values:
            return values[path]
        meta = self.build.meta(path)
        if meta.default is None:
            return None
        told = assumption(path, meta, meta.default)
        self.assumed[path] = told
        return told.value


@functools.cache
def assumption(path: str, meta: Meta, default: Assumed) -> Assumption:
    """Return a field's default in SI, with its range and source."""
    plain = meta.kind in ("choice", "count", "flag")
    value, low, high = (
        text if plain else units.parse(text, meta.unit) for text in (default.value, default.low, default.high)
    )
    return Assumption(
        path=path,
        unit=meta.unit if meta.kind == "quantity" else "",
        value=value,
        low=low,
        high=high,
        spread=default.spread,
        source=default.source,
        why="left out in the build file",
    )


def numbers(read: Reader, table_name: str, names: str) -> dict[str, Any]:
    """Return several fields of one table as arrays by name."""
    return {name: read.number(f"{table_name}.{name}") for name in names.split()}


def same(names: tuple[str, ...], name: str) -> Flag:
    """Return where a choice has a certain name."""
    return np.array([each == name for each in names])
