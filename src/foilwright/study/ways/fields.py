"""The fields along which a way out is sought, and the values that are tried along each.

Values are round in the unit of the build file, so that what is tried is what is written.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from foilwright.assemble import Reader
from foilwright.build.build import Build, Value
from foilwright.build.schema import LISTS, ORDER, Meta
from foilwright.core import units
from foilwright.core.errors import BuildFileError

NEAR, MIDDLE, WIDE, FAR = range(4)
"""How far from the base a value lies."""
FACTORS = (1.15, 1.4, 2.0, 3.0)
SHARES = (1 / 32, 1 / 12, 1 / 5, 1 / 2)
"""Steps: times the base, or share of the allowed range where a field has a sign or a narrow range."""
STEEP = 3.0
"""High over low end of the range from which on steps are factors."""
FINE, EVEN = 20.0, 200.0
"""Grains in the leading digit where steps are factors; grains in the range where they are not."""
KINDS = ("quantity", "count", "choice")
ORDERED = frozenset(path for low, _, high in ORDER for path in (low, high))
"""Fields that may contradict another, as the schema names them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One admissible field of a build: what it is, where it stands now, and the unit in which it is written."""

    path: str
    meta: Meta
    base: Value | None
    """In SI; None where it is left open."""
    start: float
    """Where steps begin: the base, else the example of the field; 0 for a choice."""
    low: float
    high: float
    shown: str
    factor: float
    offset: float

    @property
    def unit(self) -> str:
        """The SI unit; empty for a choice or a count."""
        return self.meta.unit if self.meta.kind == "quantity" else ""

    @property
    def steep(self) -> bool:
        """Whether steps along this field are factors."""
        if self.meta.unit == "K" or self.start <= 0.0 or self.low < 0.0:
            return False
        return self.low == 0.0 or self.high / self.low >= STEEP

    @property
    def taken_for_granted(self) -> bool:
        """Whether it stands at a default that has no range: what a thing is, sooner than what one chooses."""
        default = self.meta.default
        return default is not None and default.low == default.high and self.start == 0.0 == self.base

    @property
    def may_contradict(self) -> bool:
        """Whether another field sets a limit to this one."""
        return self.family in ORDERED

    @property
    def family(self) -> str:
        """The path without the name of a list's entry: as the schema knows it."""
        table, _, name = self.path.rpartition(".")
        kind = next((kind for kind in LISTS if table.startswith(f"{kind}.")), table)
        return f"{kind}.{name}"

    @property
    def entry(self) -> str:
        """The name of the list's entry; empty for a plain table."""
        table = self.path.rpartition(".")[0]
        kind = next((kind for kind in LISTS if table.startswith(f"{kind}.")), table)
        return table[len(kind) + 1 :]

    def written(self, value: Value) -> str:
        """Return a value as a build file takes it."""
        if self.meta.kind == "choice":
            return str(value)
        if self.meta.kind == "count":
            return str(round(float(value)))
        return f"{(float(value) - self.offset) / self.factor:.9g} {self.shown}".removesuffix(" 1")

    def size(self, value: Value) -> float:
        """Return how large a change is, so that changes of different fields can be compared."""
        if self.meta.kind == "choice":
            return 0.5
        if self.steep and float(value) > 0.0:
            return abs(math.log(float(value) / self.start)) / math.log(FACTORS[FAR])
        return abs(float(value) - self.start) / (self.high - self.low) / SHARES[FAR]

    def others(self) -> tuple[str, ...]:
        """Return the names that a choice does not have now."""
        return tuple(name for name in self.meta.choices if name != self.base)

    def at(self, reach: int, *, up: bool) -> tuple[Value, ...]:
        """Return the value at some distance from the base on one side; none where there is no room."""
        if self.meta.kind == "count":
            step = max(reach + 1.0, (FACTORS[reach] - 1.0) * self.start / (1.0 if up else FACTORS[reach]))
            wished = self.start + (step if up else -step)
        elif self.steep:
            wished = self.start * FACTORS[reach] if up else self.start / FACTORS[reach]
        else:
            step = SHARES[reach] * (self.high - self.low)
            wished = self.start + (step if up else -step)
        found = self.rounded(wished)
        return () if found == self.base or (found > self.start) != up else (found,)

    def between(self, first: float, last: float, *, shares: Sequence[float]) -> tuple[Value, ...]:
        """Return the round values at some shares of the way between two, strictly between them."""
        share = np.array(shares)
        if self.steep and first > 0.0 and last > 0.0:
            wished = first * (last / first) ** share
        else:
            wished = first + (last - first) * share
        low, high = min(first, last), max(first, last)
        room = 1e-9 * max(abs(low), abs(high))
        round_ones = dict.fromkeys(self.rounded(float(value)) for value in wished)
        return tuple(value for value in round_ones if low + room < float(value) < high - room and value != self.base)

    def rounded(self, value: float) -> float | int:
        """Return the round value nearest to one, in the unit in which it is written, within the range."""
        value = min(max(value, self.low), self.high)
        if self.meta.kind == "count":
            return round(value)
        number = (value - self.offset) / self.factor
        grain = self._grain(number)
        near = round(number / grain)
        read = (self._read(whole * grain) for whole in (near, near - 1, near + 1))
        return next((found for found in read if self.low <= found <= self.high), value)

    def _read(self, number: float) -> float:
        """Return the SI value of a number in the unit in which the field is written."""
        text = f"{number:.9g}"
        return units.parse(float(text) if self.shown == "1" else f"{text} {self.shown}", self.meta.unit)

    def _grain(self, number: float) -> float:
        """Return what values are multiples of: of their own size, or of the range."""
        if self.steep:
            return float(10.0 ** math.floor(math.log10(abs(number) or 1.0))) / FINE
        wide = (self.high - self.low) / self.factor / EVEN
        power = float(10.0 ** math.floor(math.log10(wide)))
        return power * max(step for step in (1.0, 2.0, 5.0) if step * power <= wide * (1.0 + 1e-9))


def admissible(build: Build, *, as_built: bool, held: Collection[str] = ()) -> tuple[Field, ...]:
    """Return the fields that may be changed: every one of the schema that does not say why not.

    Parameters
    ----------
    build : Build
        A checked build.
    as_built : bool
        Let measured values stand in for designed ones.
    held : collection of str
        Paths that must stay as they are.
    """
    read = Reader(build=build, designs=1, varied={}, as_built=as_built)
    texts = tomllib.loads(build.text)
    found = (_field(build, read, path, texts) for path in build.paths() if path not in held)
    return tuple(field for field in found if field is not None)


def _field(build: Build, read: Reader, path: str, texts: Mapping[str, Any]) -> Field | None:
    try:
        meta = build.check_variable(path)
    except BuildFileError:
        return None
    if meta.fixed or meta.kind not in KINDS:
        return None
    if meta.kind == "choice":
        name = read.names(path)[0]
        return _made(path, meta, name or None, start=0.0, low=0.0, high=0.0)
    base = float(read.number(path)[0])
    example = meta.example.strip('"')
    start = base if np.isfinite(base) else float(meta.read(_typed(example, meta)))
    low, high = (float(meta.low), float(meta.high)) if meta.kind == "count" else meta.bounds()
    like = _text_of(texts, path.split(".")) or example
    return _made(path, meta, None if np.isnan(base) else base, start=start, low=low, high=high, like=like)


def _made(
    path: str, meta: Meta, base: Value | None, *, start: float, low: float, high: float, like: object = ""
) -> Field:
    shown, factor, offset = "1", 1.0, 0.0
    if meta.kind == "quantity":
        shown = (units.split(units.write(start, meta.unit, like=like)) or (0.0, "1"))[1] or "1"
        _, factor, offset = units.accepted()[shown]
    return Field(
        path=path, meta=meta, base=base, start=start, low=low, high=high, shown=shown, factor=factor, offset=offset
    )


def _typed(example: str, meta: Meta) -> object:
    if meta.kind == "count":
        return int(example)
    return float(example) if meta.unit == "1" and " " not in example else example


def _text_of(tree: object, keys: Sequence[str]) -> object:
    """Return what stands in the file at a path of plain tables; nothing for an entry of a list."""
    for key in keys:
        if not isinstance(tree, Mapping) or key not in tree:
            return None
        tree = tree[key]
    return tree
