"""Numbers as they are shown: the unit of a field, metric or imperial, and the digits that the maker gave."""

from __future__ import annotations

import re
from typing import Protocol

from foilwright.build.schema import Meta
from foilwright.core import units

IMPERIAL = {
    "m": ("in", "ft"), "m^2": ("in^2", "ft^2"), "m^3": ("L",), "kg": ("lb",), "m/s": ("mph", "kn"), "N": ("lbf",),
    "K": ("degF",), "Pa": ("psi",), "kg/m^3": ("lb/ft^3",), "kg/m^2": ("oz/yd^2",),
}  # fmt: skip
"""Units offered first to those who measure in inches."""
SAID = {
    "cm^2": "cm²", "mm^2": "mm²", "in^2": "in²", "ft^2": "ft²", "m^2": "m²", "cm^3": "cm³", "m^3": "m³", "degC": "°C",
    "degF": "°F", "deg": "°", "ohm": "Ω", "mohm": "mΩ", "uohm": "µΩ", "um": "µm", "uF": "µF", "N*m": "N·m",
    "kg/m^3": "kg/m³", "g/cm^3": "g/cm³", "g/m^2": "g/m²", "kg/m^2": "kg/m²", "W/m^2": "W/m²",
    "lb/ft^3": "lb/ft³", "oz/yd^2": "oz/yd²",
}  # fmt: skip


class Shown(Protocol):
    """How sizes are shown in one window."""

    @property
    def imperial(self) -> bool:
        """Whether inches come first."""

    @property
    def units(self) -> dict[str, str]:
        """Units chosen by field."""


def unit_of(meta: Meta, path: str, shown: Shown) -> str:
    """Return the unit in which a field is shown; empty where it has none."""
    if path in shown.units:
        return shown.units[path]
    found = units.split(meta.example.strip('"'))
    own = found[1] if found else ""
    if meta.unit == "1":
        return own
    if shown.imperial and meta.unit in IMPERIAL:
        small, *large = IMPERIAL[meta.unit]
        return large[0] if large and own in ("m", "km", "m^2") else small
    known = units.texts_for(meta.unit) or (meta.unit,)
    return own if own in known else known[0]


def offered(meta: Meta, unit: str) -> list[str]:
    """Return the units in which a field can sensibly be written: its largest value is a number one can read."""
    if meta.unit == "1" or not units.texts_for(meta.unit):
        return [unit]
    _, high = (abs(end) for end in meta.bounds())
    sizes = {
        each: (high - units.accepted()[each][2]) / units.accepted()[each][1] for each in units.texts_for(meta.unit)
    }
    return [each for each, size in sizes.items() if each == unit or 0.5 <= abs(size) < 1e5]


def with_unit(text: str, unit: str) -> str:
    """Return what was typed with the unit that stands beside it; one that was typed itself counts."""
    bare = text.strip().replace("\u2212", "-")
    return f"{bare} {unit}".strip() if re.fullmatch(units.NUMBER, bare) else text.strip()


def as_typed(own: str | None, value: float, si: str, unit: str) -> str:
    """Return an SI value as a number in a unit: in its own unit as it was typed, digit by digit."""
    typed, own_unit = _parted(own)
    try:
        same = own is not None and abs(units.parse(typed + f" {own_unit}".rstrip(), si) - value) <= 1e-12 * abs(value)
    except (units.UnitError, ValueError):
        same = False
    if not same:
        return number(value, unit)
    if own_unit == unit:
        return typed
    return number(value, unit, max(6, sum(each.isdigit() for each in typed.partition("e")[0].lstrip("-0."))))


def _parted(own: str | None) -> tuple[str, str]:
    """Return the number of a text as it stands there, and its unit."""
    text = (own or "").replace("\u2212", "-").strip()
    found = re.match(rf"{units.NUMBER}", text)
    unit = units.split(text)
    return (found[0], unit[1] if unit else "") if found else ("", "")


def number(value: float, unit: str, digits: int = 6) -> str:
    """Return an SI value as a number in a unit, as many digits as were meant."""
    _, factor, offset = units.accepted().get(unit, (unit, 1.0, 0.0))
    size = (value - offset) / factor
    return f"{size:.0f}" if digits < len(f"{abs(size):.0f}") < 8 else f"{size:.{digits}g}"


def step(text: str) -> str:
    """Return by how much an arrow key moves a number: one in its second digit."""
    try:
        size = abs(float(text))
    except ValueError:
        return "1"
    if size == 0.0:
        return "1"
    return f"{10.0 ** (len(str(int(size))) - 2 if size >= 1.0 else -2):g}"
