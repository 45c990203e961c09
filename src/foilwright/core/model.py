"""`@model`: the source and the valid range of each physics function, and its validity mask.

A physics function is registered under ``module.name``. Its result remembers the inputs, and
``result.outside`` is a bit mask: bit *k* is set where the *k*-th registered limit is violated.
A result that is a dataclass carries the mask as a field, made with ``function.mask(...)``.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, ParamSpec, TypeVar, cast

import numpy as np
import numpy.typing as npt

from foilwright.core.errors import ModelError

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.uint64]
P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A range within which a source vouches for its model.

    ``means`` says in plain words what lies outside; ``decides`` is True where an answer outside
    is worth nothing (the finding becomes unknown), False where the finding only has to say so.
    """

    variable: str
    low: float
    high: float
    means: str
    decides: bool

    def holds(self, value: Array) -> npt.NDArray[np.bool_]:
        """Return where a value lies within the range; NaN never does."""
        if self.high == math.inf:
            return np.asarray(value >= self.low)
        if self.low == -math.inf:
            return np.asarray(value <= self.high)
        return np.asarray((value >= self.low) & (value <= self.high))


class Result(np.ndarray[Any, np.dtype[np.float64]]):
    """An array that a model returned; arithmetic on it gives plain arrays."""

    made_by: Model[Any, Any] | None = None
    made_from: Mapping[str, Any] | None = None

    def __array_wrap__(self, array: Any, context: Any = None, return_scalar: bool = False) -> Any:
        plain = np.asarray(array)
        return plain[()] if return_scalar else plain

    @property
    def outside(self) -> Mask:
        """Bit mask of the limits that the inputs of this result violate."""
        if self.made_by is None or self.made_from is None:
            raise ModelError("only a model's own result knows its validity; this is a derived array")
        known = {k: v for k, v in self.made_from.items() if k in self.made_by.names}
        return self.made_by.mask(**known)


class Model(Generic[P, R]):
    """A registered physics function: callable as before, with its source and limits."""

    def __init__(self, function: Callable[P, R], source: str, limits: tuple[Limit, ...]) -> None:
        functools.update_wrapper(self, function)
        self.function = function
        self.source = source
        self.limits = limits
        self.names = frozenset(limit.variable for limit in limits)
        place, inside, tail = function.__module__.partition(".physics.")
        self.name = f"{tail.split('.')[0] if inside else place}.{function.__name__}"

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        """Evaluate the model; an array result remembers its inputs."""
        out = self.function(*args, **kwargs)
        if isinstance(out, (float, np.ndarray)):
            result = np.asarray(out, dtype=np.float64).view(Result)
            result.made_by = self
            result.made_from = kwargs
            return cast(R, result)
        return out

    def mask(self, **values: Any) -> Mask:
        """Return the bit mask of violated limits for the given variables (arrays broadcast)."""
        if not values.keys() <= self.names:
            raise ModelError(f"{self.name} has no limit on {', '.join(sorted(values.keys() - self.names))}")
        given = [
            (bit, limit, np.asarray(values[limit.variable]))
            for bit, limit in enumerate(self.limits)
            if limit.variable in values
        ]
        out = np.zeros(np.broadcast_shapes(*[value.shape for _, _, value in given]), dtype=np.uint64)
        for bit, limit, value in given:
            within = limit.holds(value)
            if not within.all():
                out |= (~within).astype(np.uint64) << np.uint64(bit)
        return out


REGISTRY: dict[str, Model[Any, Any]] = {}
"""Every registered physics function by ``module.name``."""


def model(
    *,
    source: str,
    valid: Mapping[str, tuple[float, float] | tuple[float, float, str]] | None = None,
    decides: tuple[str, ...] = (),
) -> Callable[[Callable[P, R]], Model[P, R]]:
    """Register a physics function with its source and its valid ranges.

    Parameters
    ----------
    source : str
        Author, year, equation or table.
    valid : mapping
        Variable (an input, or one that the function derives) to (low, high) or
        (low, high, what lies outside in plain words), SI.
    decides : tuple of str
        Variables outside whose range an answer is worth nothing.
    """

    def register(function: Callable[P, R]) -> Model[P, R]:
        limits = tuple(
            Limit(
                variable=variable,
                low=float(bounds[0]),
                high=float(bounds[1]),
                means=str(bounds[2]) if len(bounds) > 2 else "",
                decides=variable in decides,
            )
            for variable, bounds in (valid or {}).items()
        )
        registered = Model(function, source, limits)
        earlier = REGISTRY.setdefault(registered.name, registered).function
        if (earlier.__module__, earlier.__qualname__) != (function.__module__, function.__qualname__):
            raise ModelError(f"two functions are called {registered.name}: {earlier.__module__}, {function.__module__}")
        REGISTRY[registered.name] = registered
        return registered

    return register
