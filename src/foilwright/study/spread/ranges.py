"""Uncertain inputs: in which range each lies, and its value at a share of what is likely."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foilwright.assemble import Assumption, assemble
from foilwright.build.build import Build
from foilwright.core.errors import BuildFileError, Fault
from foilwright.core.model import Array

WIDE = 1.959964
"""Standard deviations from the middle to either end of a normal range: 95 % lie within."""
TAIL = 0.001
"""Share cut off at either end of a normal spread."""

SEEN = "workshop."
"""Tables whose fields are not in doubt: a maker knows the workshop, although the build file may leave it out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """One uncertain input: its value, and where it may lie instead; ``names`` for a choice."""

    path: str
    unit: str
    value: float | str
    low: float | str
    high: float | str
    spread: str
    source: str
    names: tuple[str, ...] = ()
    whole: bool = False
    bounds: tuple[float, float] = (-np.inf, np.inf)

    def at(self, share: Array) -> Array | tuple[str, ...]:
        """Return the values below which these shares (n,) of what is likely lie."""
        if self.names:
            return self._names(share)
        low, middle, high = float(self.low), float(self.value), float(self.high)
        if self.spread == "normal":
            values = _normal(share, middle, low, high)
        elif self.spread == "uniform":
            values = low + share * (high - low)
        else:
            values = _triangular(share, low, middle, high)
        values = np.clip(values, *self.bounds)
        return np.round(values) if self.whole else values

    def _names(self, share: Array) -> tuple[str, ...]:
        """Return names: what was assumed in half of all cases, the others in equal shares of the rest."""
        rest = 0.5 / (len(self.names) - 1)
        ends = np.cumsum([0.5 if name == self.value else rest for name in self.names])
        return tuple(self.names[k] for k in np.minimum(np.searchsorted(ends, share), len(self.names) - 1))


def _normal(share: Array, middle: float, low: float, high: float) -> Array:
    from scipy.special import ndtri  # noqa: PLC0415 - not on the way of a plain ask

    deviation = (high - low) / (2.0 * WIDE)
    return np.asarray(middle + deviation * ndtri(np.clip(share, TAIL, 1.0 - TAIL)))


def _triangular(share: Array, low: float, middle: float, high: float) -> Array:
    wide = high - low
    rising = (middle - low) / wide
    left = low + np.sqrt(share * wide * (middle - low))
    right = high - np.sqrt((1.0 - share) * wide * (high - middle))
    return np.where(share < rising, left, right)


def uncertain(build: Build, *, as_built: bool, ranges: Mapping[str, tuple[float, float]]) -> tuple[Range, ...]:
    """Return the uncertain inputs of a build: what is assumed, model bands, and written fields with a range.

    What is written, measured or seen in the workshop is taken as exact, unless ``ranges`` gives low and high for it.
    """
    _, assumed = assemble(build, as_built=as_built)
    found = [_of(build, each) for each in assumed if each.path not in ranges and not each.path.startswith(SEEN)]
    given = [_given(build, path, *ends) for path, ends in ranges.items()]
    return tuple(each for each in (*found, *given) if each is not None)


def _of(build: Build, assumed: Assumption) -> Range | None:
    """Return the range of an assumed field; none where there is but one value."""
    meta = build.meta(assumed.path)
    if assumed.low == assumed.high or meta.kind in ("flag", "text"):
        return None
    names: tuple[str, ...] = ()
    bounds = (-np.inf, np.inf)
    if meta.kind == "choice":
        names = tuple(dict.fromkeys(str(name) for name in (assumed.low, assumed.value, assumed.high)))
    else:
        bounds = _bounds(build, assumed.path)
    return Range(
        path=assumed.path, unit=assumed.unit, value=assumed.value, low=assumed.low, high=assumed.high,
        spread=assumed.spread, source=assumed.source, names=names, whole=meta.kind == "count", bounds=bounds,
    )  # fmt: skip


def _bounds(build: Build, path: str) -> tuple[float, float]:
    """Return between which values a field is allowed."""
    meta = build.meta(path)
    return (float(meta.low), float(meta.high)) if meta.kind == "count" else meta.bounds()


def _given(build: Build, path: str, low: float, high: float) -> Range:
    """Return the range of a field that was given one."""
    meta = build.check_variable(path)
    if meta.kind not in ("quantity", "count"):
        raise _wrong(build, path, "a range", f"no range: the field is {meta.allowed()}")
    bounds = _bounds(build, path)
    if not bounds[0] <= low < high <= bounds[1]:
        raise _wrong(build, path, f"the range {low:g} to {high:g} (in SI)", meta.allowed())
    return Range(
        path=path, unit=meta.unit if meta.kind == "quantity" else "", value=0.5 * (low + high), low=low, high=high,
        spread="uniform", source="given", whole=meta.kind == "count", bounds=bounds,
    )  # fmt: skip


def _wrong(build: Build, path: str, got: str, allowed: str) -> BuildFileError:
    return BuildFileError([Fault(file=build.file, line=None, field=path, got=got, allowed=allowed, example="")])
