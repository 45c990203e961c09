"""Text with a unit into SI, and back for the screen: the only file that knows the units library.

The text is split by our own pattern first, because the free parser of the library reads `2 1/2 in`
as one inch, lets `nan m` through and takes `Nm` for number-metre. Common units come from the packaged
table (a test holds it to the library); the library is loaded for any other unit.
"""

from __future__ import annotations

import functools
import math
import re
from typing import Any

from foilwright.core.data import table
from foilwright.core.errors import FoilwrightError

NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
WRITTEN = re.compile(rf"\s*({NUMBER})\s*([A-Za-zµΩ°%][A-Za-z0-9µΩ°%²³^*/·.()\-]*|)\s*")
SPELLED = {
    "²": "^2",
    "³": "^3",
    "·": "*",
    "µ": "u",
    "Ω": "ohm",
    "°C": "degC",
    "°F": "degF",
    "°": "deg",
}
OTHER_NAMES = {
    "Nm": "N*m",
    "l": "L",
    "litre": "L",
    "liter": "L",
    "kph": "km/h",
    "kt": "kn",
    "knots": "kn",
    "knot": "kn",
    "cm2": "cm^2",
    "m2": "m^2",
    "mm2": "mm^2",
    "cm3": "cm^3",
    "m3": "m^3",
    "degrees": "deg",
    "C": "degC",
    "kg/m3": "kg/m^3",
    "g/m2": "g/m^2",
    "kg/m2": "kg/m^2",
    "minutes": "min",
    "hours": "h",
    "Ohm": "ohm",
    "A.s": "A*s",
    "inch": "in",
    "lbs": "lb",
    "sec": "s",
    "hr": "h",
}


class UnitError(FoilwrightError):
    """A text that is not one number with one unit of the wanted kind."""


@functools.cache
def accepted() -> dict[str, tuple[str, float, float]]:
    """Return the packaged units: text to (SI unit, factor, offset)."""
    units = table("units")
    names = units.texts["text"]
    return {
        name: (si, float(factor), float(offset))
        for name, si, factor, offset in zip(
            names, units.texts["si"], units.columns["factor"], units.columns["offset"], strict=True
        )
    }


def texts_for(si: str) -> tuple[str, ...]:
    """Return the unit texts that a quantity of this SI unit may be written in."""
    return tuple(name for name, (unit, _, _) in accepted().items() if unit == si)


@functools.cache
def _registry() -> Any:
    import pint  # noqa: PLC0415 - loaded only for a unit outside the packaged table

    registry: Any = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    return registry


def _plain(unit: str) -> str:
    for mark, name in SPELLED.items():
        unit = unit.replace(mark, name)
    return OTHER_NAMES.get(unit, unit)


def parse(text: object, si: str) -> float:
    """Return the SI value of a text such as ``"1450 cm^2"``.

    Parameters
    ----------
    text : object
        What was written; a bare number is right only where ``si`` is ``"1"``.
    si : str
        The SI unit wanted.

    Raises
    ------
    UnitError
        In plain words, where it is not one finite number with one unit of that kind.
    """
    if si == "1" and isinstance(text, (int, float)) and not isinstance(text, bool):
        return _finite(float(text), text)
    if not isinstance(text, str):
        raise UnitError(f"{text!r} has no unit" if isinstance(text, (int, float)) else f"{text!r} is no text")
    found = WRITTEN.fullmatch(text)
    if not found:
        raise UnitError(f'"{text}" is not one number with one unit')
    number, unit = float(found[1]), _plain(found[2])
    known = accepted().get(unit or "1")
    if known and known[0] == si:
        return _finite(known[1] * number + known[2], text)
    if not unit:
        raise UnitError(f'"{text}" has no unit')
    if known:
        raise UnitError(f'"{text}" is in {unit}')
    return _finite(_by_library(number, unit, si, text), text)


def _by_library(number: float, unit: str, si: str, text: str) -> float:
    target = {"1": "dimensionless", "A*s/rad": "A*s"}.get(si, si)
    try:
        return float(_registry().Quantity(number, unit).to(target).magnitude)
    except Exception as error:  # the library leaks KeyError, AssertionError, TokenError and others
        raise UnitError(f'"{text}" has a unit that is not of this kind') from error


def _finite(value: float, text: object) -> float:
    if not math.isfinite(value):
        raise UnitError(f'"{text}" is not a finite number')
    return value


SHOWN: dict[str, tuple[str, float, float]] = {
    "m": ("m", 1.0, 0.0),
    "m^2": ("cm²", 1e-4, 0.0),
    "m^3": ("L", 1e-3, 0.0),
    "kg": ("kg", 1.0, 0.0),
    "m/s": ("km/h", 1 / 3.6, 0.0),
    "s": ("s", 1.0, 0.0),
    "N": ("N", 1.0, 0.0),
    "W": ("W", 1.0, 0.0),
    "J": ("Wh", 3600.0, 0.0),
    "V": ("V", 1.0, 0.0),
    "A": ("A", 1.0, 0.0),
    "ohm": ("mΩ", 1e-3, 0.0),
    "A*s": ("Ah", 3600.0, 0.0),
    "K": ("°C", 1.0, 273.15),
    "rad": ("°", math.pi / 180, 0.0),
    "Pa": ("MPa", 1e6, 0.0),
    "rad/s/V": ("rpm/V", math.pi / 30, 0.0),
    "rad/s": ("rpm", math.pi / 30, 0.0),
    "1": ("", 1.0, 0.0),
}
"""SI unit to the unit shown to a maker: text, factor, offset."""


def show(value: float, si: str, *, difference: bool = False, digits: int = 3) -> str:
    """Return a value for the screen, in the unit that makers use, with a few digits."""
    unit, factor, offset = SHOWN.get(
        si, (si.replace("*", "·").replace("^2", "²").replace("^3", "³"), 1.0, 0.0)
    )
    if difference and si == "K":
        unit, offset = "K", 0.0
    if si == "s" and abs(value) >= 120.0:
        unit, factor = "min", 60.0
    if si == "m" and abs(value) < 0.995 and value != 0.0:
        unit, factor = ("mm", 1e-3) if abs(value) < 0.0995 else ("cm", 1e-2)
    if si == "W" and abs(value) >= 1000.0:
        unit, factor = "kW", 1e3
    number = (value - offset) / factor
    return f"{_rounded(number, digits)} {unit}".strip() if unit != "°" else f"{_rounded(number, digits)}°"


def _rounded(number: float, digits: int) -> str:
    if number == 0.0 or not math.isfinite(number):
        return "0" if number == 0.0 else str(number)
    places = max(0, digits - 1 - math.floor(math.log10(abs(number))))
    text = f"{number:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


WRITTEN_IN = {
    "m": "m",
    "m^2": "cm^2",
    "m^3": "L",
    "m/s": "km/h",
    "s": "min",
    "A*s": "Ah",
    "K": "degC",
    "rad": "deg",
    "rad/s/V": "rpm/V",
    "ohm": "mohm",
    "rad/s": "rpm",
}
"""SI unit to the unit in which a value is written into a build file."""


def write(value: float, si: str) -> str:
    """Return a value as text for a build file; reading it gives the value back to nine digits."""
    if si == "1":
        return f"{value:.9g}"
    unit = WRITTEN_IN.get(si, si)
    _, factor, offset = accepted()[unit]
    return f"{(value - offset) / factor:.9g} {unit}"
