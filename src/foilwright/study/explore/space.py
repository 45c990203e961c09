"""What an exploration varies: ranges, whole numbers, listed values and choices, as shares of 0 to 1."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.build.build import Build
from foilwright.build.schema import Meta
from foilwright.core import units
from foilwright.core.errors import BuildFileError, Fault
from foilwright.core.model import Array

RANGE = re.compile(rf"\s*({units.NUMBER})\s*:\s*({units.NUMBER})\s*(?::\s*(\S+)\s*)?")
EXAMPLE = '--vary "wing.area=1000:1800:cm^2"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Variable:
    """One varied field; ``values`` or ``names`` where it takes listed values only, ``whole`` where it counts."""

    path: str
    unit: str
    low: float = 0.0
    high: float = 1.0
    whole: bool = False
    values: tuple[float, ...] = ()
    names: tuple[str, ...] = ()

    def at(self, share: Array) -> Array | tuple[str, ...]:
        """Return the values at shares (n,) of the range."""
        listed = self.names or self.values
        if listed:
            at = np.minimum((share * len(listed)).astype(int), len(listed) - 1)
            return tuple(self.names[k] for k in at) if self.names else np.asarray(self.values)[at]
        if self.whole:
            return np.minimum(np.floor(self.low + share * (self.high - self.low + 1.0)), self.high)
        return self.low + share * (self.high - self.low)

    def share(self, values: Sequence[float | str]) -> Array:
        """Return shares that give these values."""
        listed = self.names or self.values
        if listed:
            places = {value: k for k, value in enumerate(listed)}
            return np.array([(places[value] + 0.5) / len(listed) for value in values])
        held = np.asarray(values, dtype=np.float64)
        if self.whole:
            return (held - self.low + 0.5) / (self.high - self.low + 1.0)
        return np.asarray(np.clip((held - self.low) / (self.high - self.low), 0.0, 1.0))


def variables(build: Build, written: Sequence[str]) -> tuple[tuple[Variable, ...], list[Fault]]:
    """Return what is varied, and what is wrong with how it is written.

    Parameters
    ----------
    build : Build
        A checked build.
    written : sequence of str
        Each ``PATH=LO:HI``, ``PATH=LO:HI:UNIT`` or ``PATH=VALUE,VALUE,...``.
    """
    out: list[Variable] = []
    faults: list[Fault] = []
    for each in written:
        path, sign, told = (part.strip() for part in each.partition("="))
        if not sign or not told:
            faults.append(_fault("--vary", each, "PATH=LO:HI:UNIT or PATH=VALUE,VALUE,...", EXAMPLE))
            continue
        try:
            meta = build.check_variable(path)
        except BuildFileError as error:
            faults.extend(error.faults)
            continue
        if path in {known.path for known in out}:
            faults.append(_fault("--vary", each, f"{path} once", EXAMPLE))
            continue
        made = _variable(path, meta, told)
        if isinstance(made, Fault):
            faults.append(made)
        else:
            out.append(made)
    return tuple(out), faults


def _variable(path: str, meta: Meta, told: str) -> Variable | Fault:
    """Return one variable, or the fault in how it is written."""
    if meta.kind == "choice":
        return _choice(path, meta, told)
    if meta.kind in ("flag", "text"):
        return _fault(path, told, f"no variation: it is a {meta.kind}", EXAMPLE)
    found = RANGE.fullmatch(told)
    texts = [f"{end} {found[3] or ''}" for end in found.groups()[:2]] if found else told.split(",")
    try:
        ends = [_value(meta, each.strip()) for each in texts]
    except ValueError as error:
        return _fault(path, str(error).strip('"'), f"{meta.allowed()}, as LO:HI:UNIT or VALUE,VALUE,...", EXAMPLE)
    unit, whole = meta.unit if meta.kind == "quantity" else "", meta.kind == "count"
    if not found:
        return Variable(path=path, unit=unit, values=tuple(dict.fromkeys(ends)), whole=whole)
    if ends[0] < ends[1]:
        return Variable(path=path, unit=unit, low=ends[0], high=ends[1], whole=whole)
    return _fault(path, told, "a low end that is less than the high end", EXAMPLE)


def _choice(path: str, meta: Meta, told: str) -> Variable | Fault:
    """Return a choice among listed names, or the fault in how it is written."""
    names = tuple(dict.fromkeys(name.strip() for name in told.split(",")))
    wrong = [name for name in names if name not in meta.choices]
    if not wrong:
        return Variable(path=path, unit="", names=names)
    example = f'--vary "{path}={",".join(meta.choices[:2])}"'
    return _fault(path, wrong[0], meta.allowed(), example, meta.nearest(wrong[0]))


def _value(meta: Meta, told: str) -> float:
    """Return a value in SI that the field allows."""
    plain = meta.kind == "count" or (meta.kind == "quantity" and meta.unit == "1" and "%" not in told)
    if plain:
        number = float(told)
        return float(meta.read(int(number) if meta.kind == "count" and number.is_integer() else number))
    return float(meta.read(told))


def _fault(field: str, got: str, allowed: str, example: str, nearest: str | None = None) -> Fault:
    return Fault(
        file="command line", line=None, field=field, got=units.quoted(got), allowed=allowed, example=example,
        nearest=nearest,
    )  # fmt: skip
