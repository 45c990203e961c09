"""Results of many equal designs as those of one, and back as those of any number; and where two differ."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from types import FunctionType
from typing import Any

import numpy as np
import numpy.typing as npt

Flag = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class _Array:
    """An array over designs: that of the first, and the axis of designs."""

    first: npt.NDArray[Any]
    axis: int

    def many(self, designs: int) -> npt.NDArray[Any]:
        """Return it for some designs, without copying."""
        shape, strides = list(self.first.shape), list(self.first.strides)
        shape[self.axis], strides[self.axis] = designs, 0
        return np.ndarray(shape, self.first.dtype, self.first, 0, strides)


@dataclass(frozen=True, slots=True)
class _Stacked:
    """An array whose first axis has designs and something else in one: each apart, that of designs one long."""

    first: npt.NDArray[Any]
    axis: int

    def many(self, designs: int) -> npt.NDArray[Any]:
        """Return it for some designs."""
        whole = self.first.repeat(designs, axis=self.axis)
        return whole.reshape(-1, *whole.shape[2:])


@dataclass(frozen=True, slots=True)
class _Several:
    """A row of equal things, one a design."""

    kind: type
    first: Any


@dataclass(frozen=True, slots=True)
class _Made:
    """A record with its parts."""

    kind: Any
    parts: dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Row:
    """A tuple or a list with its parts."""

    kind: Any
    parts: tuple[Any, ...]


COUNT, NUMBERS, WHOLE = object(), object(), object()
"""How many designs there are; their numbers from 0 on; what cannot be told apart into designs."""


def one_of(value: Any, designs: int) -> Any:
    """Return a result of many equal designs as that of one; ``WHOLE`` where it cannot be told apart."""
    if isinstance(value, np.ndarray):
        return _one_array(value, designs)
    if isinstance(value, (int, np.integer)) and not isinstance(value, bool):
        return COUNT if int(value) == designs else value
    if isinstance(value, (tuple, list)):
        if len(value) == designs:
            first = one_of(value[0], designs)
            return WHOLE if first is WHOLE else _Several(type(value), first)
        row = tuple(one_of(each, designs) for each in value)
        return WHOLE if any(each is WHOLE for each in row) else _Row(type(value), row)
    if isinstance(value, dict) or (is_dataclass(value) and not isinstance(value, type)):
        inside = value if isinstance(value, dict) else {item.name: getattr(value, item.name) for item in fields(value)}
        parts = {name: one_of(each, designs) for name, each in inside.items()}
        return WHOLE if any(each is WHOLE for each in parts.values()) else _Made(type(value), parts)
    plain = value is None or isinstance(value, (bool, str, float, np.generic, FunctionType, type))
    return value if plain else WHOLE


def _one_array(value: npt.NDArray[Any], designs: int) -> Any:
    axes = [axis for axis, length in enumerate(value.shape) if length and length % designs == 0]
    if not axes:
        return value
    axis = axes[0]
    if len(axes) > 1 or value.shape[axis] != designs:
        return _one_stack(value, designs) if axes == [0] else WHOLE
    if value.dtype.kind == "i" and value.ndim == 1 and np.array_equal(value, np.arange(designs)):
        return NUMBERS
    first = np.ascontiguousarray(value.take([0], axis=axis))
    if not _all_like(value, first):
        return WHOLE
    first.flags.writeable = False
    return _Array(first, axis)


def _one_stack(value: npt.NDArray[Any], designs: int) -> Any:
    rest = value.shape[0] // designs
    for axis, shape in ((1, (rest, designs)), (0, (designs, rest))):
        apart = value.reshape(*shape, *value.shape[1:])
        first = apart.take([0], axis=axis)
        if _all_like(apart, first):
            return _Stacked(first, axis)
    return WHOLE


def _all_like(value: npt.NDArray[Any], first: npt.NDArray[Any]) -> bool:
    alike = (value == first) | ((value != value) & (first != first))  # noqa: PLR0124 - both are no number
    return bool(alike.all())


def many_of(one: Any, designs: int) -> Any:
    """Return the result of one design as that of many."""
    if isinstance(one, (_Array, _Stacked)):
        return one.many(designs)
    if isinstance(one, _Made):
        return _record(one.kind, {name: many_of(each, designs) for name, each in one.parts.items()})
    if isinstance(one, _Row):
        row = [many_of(each, designs) for each in one.parts]
        return one.kind(*row) if hasattr(one.kind, "_fields") else one.kind(row)
    if isinstance(one, _Several):
        return one.kind([many_of(one.first, designs)] * designs)
    return designs if one is COUNT else np.arange(designs) if one is NUMBERS else one


def _record(kind: Any, parts: dict[str, Any]) -> Any:
    """Return a record with its parts, as they are."""
    if kind is dict:
        return parts
    made = object.__new__(kind)
    for name, each in parts.items():
        object.__setattr__(made, name, each)
    return made


def different(value: Any, one: Any, designs: int) -> Flag | None:
    """Return in which of some designs a thing differs from that of one design; None where in none."""
    if isinstance(one, _Array) and isinstance(value, np.ndarray) and one.axis == 0:
        if value.shape == (designs, *one.first.shape[1:]):
            other = value != one.first
            if value.dtype.kind == "f":
                other &= ~(np.isnan(value) & np.isnan(one.first))
            rows = other if other.ndim == 1 else other.reshape(designs, -1).any(axis=1)
            return rows if rows.any() else None
        return np.ones(designs, dtype=bool)
    if isinstance(one, _Several) and isinstance(value, tuple) and isinstance(one.first, str):
        rows = np.array([name != one.first for name in value])
        return rows if rows.any() else None
    if isinstance(one, (_Made, _Row)):
        return _inside(value, one, designs)
    same = one is not WHOLE and not unlike(value, many_of(one, designs))
    return None if same else np.ones(designs, dtype=bool)


def _inside(value: Any, one: _Made | _Row, designs: int) -> Flag | None:
    """Return in which designs any part of a thing differs."""
    if type(value) is not one.kind or (isinstance(value, (tuple, list, dict)) and len(value) != len(one.parts)):
        return np.ones(designs, dtype=bool)
    if isinstance(one, _Row):
        pairs = list(zip(value, one.parts, strict=True))
    elif isinstance(value, dict):
        pairs = [(value.get(name), part) for name, part in one.parts.items()]
    else:
        pairs = [(getattr(value, item.name), one.parts[item.name]) for item in fields(value) if item.compare]
    found = [rows for each, part in pairs if (rows := different(each, part, designs)) is not None]
    return np.logical_or.reduce(found) if found else None


def unlike(value: Any, other: Any) -> bool:
    """Say whether two things differ, whatever they are made of."""
    if value is other or type(value) is not type(other):
        return value is not other
    if isinstance(value, np.ndarray):
        return not np.array_equal(value, other, equal_nan=value.dtype.kind == "f")
    if is_dataclass(value):
        names = [item.name for item in fields(value) if item.compare]
        return any(unlike(getattr(value, name), getattr(other, name)) for name in names)
    if isinstance(value, dict):
        return value.keys() != other.keys() or any(unlike(value[key], other[key]) for key in value)
    if isinstance(value, (tuple, list)):
        return len(value) != len(other) or any(map(unlike, value, other))
    return bool(value != other and not (value != value and other != other))  # noqa: PLR0124 - both are no number
