"""What a field of the build file is: its meaning, unit, range, default, and why it may not vary.

A default lives here and nowhere else. A field without one, left out by the maker, stays unknown.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from pydantic import Field
from pydantic_core import PydanticCustomError

from foilwright.core import units

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

    def bounds(self) -> tuple[float, float]:
        """Return the allowed range in SI."""
        return units.parse(self.low, self.unit), units.parse(self.high, self.unit)

    def allowed(self) -> str:
        """Return what may be written, as text."""
        if self.kind == "choice":
            return "one of " + ", ".join(self.choices)
        if self.kind == "flag":
            return "true or false"
        if self.kind == "text":
            return "a text"
        if self.kind == "count":
            return f"a whole number from {self.low} to {self.high}"
        return f"{self.low} to {self.high}"

    def read(self, written: object) -> Any:
        """Turn what was written into its SI value (or choice, flag, text)."""
        if self.kind == "quantity":
            return self._quantity(written)
        if self.kind == "count":
            whole = isinstance(written, int) and not isinstance(written, bool)
            if not whole or not float(self.low) <= float(str(written)) <= float(self.high):
                raise self.wrong(repr(written))
            return written
        if self.kind == "choice":
            if written not in self.choices:
                raise self.wrong(repr(written))
            return written
        kind = bool if self.kind == "flag" else str
        if not isinstance(written, kind) or (self.kind == "text" and not str(written).strip()):
            raise self.wrong(repr(written))
        return written

    def _quantity(self, written: object) -> float:
        try:
            value = units.parse(written, self.unit)
        except units.UnitError as error:
            raise self.wrong(str(error)) from None
        low, high = self.bounds()
        if not low <= value <= high:
            raise self.wrong(f'"{written}"')
        return value

    def wrong(self, got: str) -> PydanticCustomError:
        """Return the error that names what was written."""
        return PydanticCustomError("field", "{got}", {"got": got})


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
) -> Any:
    """Declare one of several names."""
    return _field(
        Meta(
            kind="choice",
            says=says,
            choices=choices,
            example=f'"{choices[0]}"',
            default=default,
            required=required,
            fixed=fixed,
            beach=beach,
        )
    )


def text(says: str, example: str, *, required: bool = False) -> Any:
    """Declare a free text."""
    return _field(
        Meta(
            kind="text", says=says, example=f'"{example}"', required=required, fixed="a name changes nothing"
        )
    )


def assume(
    value: str | float, low: str | float, high: str | float, source: str, spread: Spread = "triangular"
) -> Assumed:
    """Declare a default with its range and source."""
    return Assumed(value=value, low=low, high=high, source=source, spread=spread)
