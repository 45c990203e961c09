"""What a field of the build file is: its meaning, unit, range, default, and why it may not vary.

A default lives here and nowhere else. A field without one, left out by the maker, stays unknown.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from pydantic import Field
from pydantic_core import PydanticCustomError

from foilwright.core import units

LONGEST_TEXT = 60
"""Letters of a free text, such as a name."""

Spread = Literal["normal", "uniform", "triangular"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """A default with the range in which it may lie and where it comes from."""

    value: str | float
    low: str | float
    high: str | float
    source: str
    spread: Spread = "triangular"


@dataclass(frozen=True, slots=True, kw_only=True)
class Meta:
    """Everything that is known about one field."""

    kind: Literal["quantity", "count", "choice", "flag", "text"]
    says: str
    unit: str = "1"
    low: str | float = 0.0
    high: str | float = 0.0
    example: str = ""
    default: Assumed | None = None
    choices: tuple[str, ...] = ()
    required: bool = False
    fixed: str = ""
    beach: bool = False
    replaces: str = ""
    stuff: bool = False
    shape: str = ""

    def admitting(self, names: Mapping[str, tuple[str, ...]]) -> Meta:
        """Return this field; one that names a material or a section admits a maker's own, by kind."""
        kind = "materials" if self.stuff else self.shape
        own = tuple(name for name in names.get(kind, ()) if name not in self.choices)
        return replace(self, choices=self.choices + own) if own else self

    def bounds(self) -> tuple[float, float]:
        """Return the allowed range in SI."""
        return units.parse(self.low, self.unit), units.parse(self.high, self.unit)

    def span(self) -> str:
        """Return the allowed range as text: ``4 to 25 cm``."""
        if self.kind == "choice":
            return ", ".join(self.choices)
        return span(self.low, self.high)

    def allowed(self) -> str:
        """Return what may be written, as text."""
        if self.kind == "choice":
            return "one of " + self.span()
        if self.kind == "flag":
            return "true or false"
        if self.kind == "text":
            return f"a text of one line and at most {LONGEST_TEXT} letters"
        if self.kind == "count":
            return f"a whole number from {self.span()}"
        return f"{units.kind_of(self.unit)} from {self.span()}"

    def nearest(self, written: object) -> str | None:
        """Return the choice that looks most like what was written."""
        wanted = str(written)[:LONGEST_TEXT].lower() if isinstance(written, str) else ""
        near = difflib.get_close_matches(wanted, self.choices, n=1, cutoff=0.5)
        return near[0] if near else None

    def read(self, written: object) -> Any:
        """Turn what was written into its SI value (or choice, flag, text)."""
        right = self._right(written)
        if right is None:
            raise self.wrong(units.quoted(written), self.nearest(written))
        return right

    def _right(self, written: object) -> Any:
        if self.kind == "quantity":
            return self._quantity(written)
        if self.kind == "count":
            whole = isinstance(written, int) and not isinstance(written, bool)
            return written if whole and self.low <= written <= self.high else None  # type: ignore[operator]
        if self.kind == "choice":
            return written if isinstance(written, str) and written in self.choices else None
        if self.kind == "flag":
            return written if isinstance(written, bool) else None
        tidy = isinstance(written, str) and written.isprintable() and written == written.strip()
        return written if tidy and 0 < len(str(written)) <= LONGEST_TEXT else None

    def _quantity(self, written: object) -> float | None:
        try:
            value = units.parse(written, self.unit)
        except units.UnitError as error:
            raise self.wrong(str(error)) from None
        low, high = self.bounds()
        return value if low <= value <= high else None

    def wrong(self, got: str, nearest: str | None = None) -> PydanticCustomError:
        """Return the error that names what was written."""
        return PydanticCustomError("field", "{got}", {"got": got, "nearest": nearest})


def span(low: str | float, high: str | float) -> str:
    """Return a range as text, its unit once where both ends have the same: ``4 to 25 cm``."""
    first, last = (end if isinstance(end, str) else f"{end:g}" for end in (low, high))
    number, _, unit = first.partition(" ")
    return f"{number if unit and last.endswith(f' {unit}') else first} to {last}"


def _field(meta: Meta) -> Any:
    if meta.required:
        return Field(json_schema_extra={"meta": meta})  # type: ignore[dict-item]
    return Field(default=None, json_schema_extra={"meta": meta})  # type: ignore[dict-item]


def quantity(
    unit: str,
    says: str,
    within: tuple[str | float, str | float],
    example: str,
    *,
    default: Assumed | None = None,
    required: bool = False,
    fixed: str = "",
    beach: bool = False,
    replaces: str = "",
) -> Any:
    """Declare a number with a unit: its SI unit, meaning, range and example."""
    return _field(
        Meta(
            kind="quantity",
            unit=unit,
            says=says,
            low=within[0],
            high=within[1],
            example=f'"{example}"',
            default=default,
            required=required,
            fixed=fixed,
            beach=beach,
            replaces=replaces,
        )
    )


def ratio(
    says: str,
    within: tuple[float, float],
    example: float,
    *,
    default: Assumed | None = None,
    required: bool = False,
    fixed: str = "",
) -> Any:
    """Declare a number without a unit (a share may also be written in %)."""
    return _field(
        Meta(
            kind="quantity",
            unit="1",
            says=says,
            low=within[0],
            high=within[1],
            example=str(example),
            default=default,
            required=required,
            fixed=fixed,
        )
    )


def count(
    says: str,
    within: tuple[int, int],
    example: int,
    *,
    default: Assumed | None = None,
    required: bool = False,
    fixed: str = "",
    beach: bool = False,
) -> Any:
    """Declare a whole number."""
    return _field(
        Meta(
            kind="count",
            says=says,
            low=within[0],
            high=within[1],
            example=str(example),
            default=default,
            required=required,
            fixed=fixed,
            beach=beach,
        )
    )


def choice(
    says: str,
    choices: tuple[str, ...],
    *,
    default: Assumed | None = None,
    required: bool = False,
    fixed: str = "",
    beach: bool = False,
    stuff: bool = False,
    shape: str = "",
) -> Any:
    """Declare one of several names; ``stuff``: of materials, to which a maker's own belong.

    ``shape``: of sections, to which a maker's own ``sections`` belong, or those that are ``symmetrical``.
    """
    return _field(
        Meta(
            kind="choice",
            says=says,
            choices=choices,
            example=f'"{default.value if default else choices[0]}"',
            default=default,
            required=required,
            fixed=fixed,
            beach=beach,
            stuff=stuff,
            shape=shape,
        )
    )


def flag(says: str) -> Any:
    """Declare a field that is true or false."""
    return _field(Meta(kind="flag", says=says, example="true", fixed="what is joined is told and not varied"))


def text(says: str, example: str, *, required: bool = False, fixed: str = "a name changes nothing") -> Any:
    """Declare a free text."""
    return _field(Meta(kind="text", says=says, example=f'"{example}"', required=required, fixed=fixed))


def assume(
    value: str | float, low: str | float, high: str | float, source: str, spread: Spread = "triangular"
) -> Assumed:
    """Declare a default with its range and source."""
    return Assumed(value=value, low=low, high=high, source=source, spread=spread)
