"""Text with a unit into SI, and back for the screen: the only file that knows the units library.

The text is split by our own pattern first, because the free parser of the library reads `2 1/2 in`
as one inch, lets `nan m` through and takes `Nm` for number-metre. Common units come from the packaged
table (a test holds it to the library); the library is loaded for any other unit.
"""

from __future__ import annotations

import datetime
import functools
import math
import re
from typing import Any

from foilwright.core.data import table
from foilwright.core.errors import FoilwrightError

NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
FACTOR = r"[A-Za-z\u00b5\u03bc\u03a9\u2126\u00b0\u2103%]+(?:_[A-Za-z]+)*(?:(?:\^|\*\*)?-?[0-9]|[²³])?"
WRITTEN = re.compile(rf"\s*({NUMBER})(?:\s*({FACTOR}(?:[*/·.]{FACTOR})*)|\s+(1/{FACTOR}))?\s*")
"""One number and one unit, nothing else; a unit that begins with 1/ stands apart from the number."""
SPELLED = {
    "**": "^",
    "²": "^2",
    "³": "^3",
    "·": "*",
    ".": "*",
    "\u00b5": "u",
    "\u03bc": "u",
    "\u03a9": "ohm",
    "\u2126": "ohm",
    "\u2103": "degC",
    "°C": "degC",
    "°F": "degF",
    "°": "deg",
}
OTHER_NAMES = {
    "Nm": "N*m",
    "l": "L",
    "ml": "mL",
    "litre": "L",
    "liter": "L",
    "kph": "km/h",
    "kmh": "km/h",
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
    "degC/W": "K/W",
    "kg/m3": "kg/m^3",
    "g/cm3": "g/cm^3",
    "g/m2": "g/m^2",
    "kg/m2": "kg/m^2",
    "minutes": "min",
    "hours": "h",
    "days": "day",
    "weeks": "week",
    "Ohm": "ohm",
    "mOhm": "mohm",
    "inch": "in",
    "lbs": "lb",
    "sec": "s",
    "hr": "h",
    "percent": "%",
}
KINDS = {
    "W/m^2": "an irradiance",
    "m": "a length",
    "m^2": "an area",
    "m^3": "a volume",
    "kg": "a mass",
    "kg/m^3": "a density",
    "kg/m^2": "a mass per area",
    "s": "a time",
    "m/s": "a speed",
    "N": "a force",
    "N*m": "a moment",
    "Pa": "a pressure",
    "J": "an energy",
    "W": "a power",
    "V": "a voltage",
    "A": "a current",
    "ohm": "a resistance",
    "F": "a capacitance",
    "A*s": "a charge",
    "K": "a temperature",
    "K/W": "a thermal resistance",
    "rad": "an angle",
    "rad/s": "a speed of rotation",
    "rad/s/V": "a speed constant",
    "A*s/rad": "a current per speed of rotation",
    "g/kg": "a salt content",
    "1/K": "a share per kelvin",
    "1/s": "a frequency",
    "1": "a number",
}
"""SI unit to what it measures, in a maker's words."""
LONGEST = 40
"""Letters of a text that a sentence repeats."""


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


def kind_of(si: str) -> str:
    """Return what an SI unit measures, in words."""
    return KINDS.get(si, f"a quantity in {si}")


@functools.cache
def _registry() -> Any:
    import pint  # noqa: PLC0415 - loaded only for a unit outside the packaged table

    registry: Any = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    return registry


@functools.lru_cache(maxsize=1024)
def _plain(unit: str) -> str:
    for mark, name in SPELLED.items():
        unit = unit.replace(mark, name)
    return OTHER_NAMES.get(unit, unit)


def split(text: str) -> tuple[float, str] | None:
    """Return the number and the unit (in the spelling of the packaged table) of a text, if it has both."""
    found = WRITTEN.fullmatch(text.replace("\u2212", "-"))
    return (float(found[1]), _plain(found[2] or found[3] or "")) if found else None


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
    if isinstance(text, (int, float)) and not isinstance(text, bool):
        if si != "1":
            raise UnitError(f"{quoted(text)} without a unit")
        try:
            return _finite(float(text), text)
        except OverflowError:
            return _finite(math.inf, text)
    if not isinstance(text, str):
        raise UnitError(quoted(text))
    found = split(text)
    if found is None:
        raise UnitError(f"{quoted(text)}, which {_why_not(text)}")
    number, unit = found
    known = accepted().get(unit or "1")
    if known and known[0] == si:
        return _finite(known[1] * number + known[2], text)
    if not unit:
        raise UnitError(f"{quoted(text)} without a unit")
    if known:
        raise UnitError(f"{quoted(text)}, which is in {unit}")
    return _finite(_by_library(number, unit, si, text), text)


def _why_not(text: str) -> str:
    if re.search(r"[0-9],[0-9]", text):
        return "has a comma in its number (the decimal mark is a point)"
    return "is not one number with one unit"


def _by_library(number: float, unit: str, si: str, text: str) -> float:
    try:
        quantity = _registry().Quantity(number, unit)
        value = float(quantity.to({"1": "dimensionless"}.get(si, si)).magnitude)
        turns = "radian" in str(quantity.to_root_units().units)
    except Exception as error:  # the library leaks KeyError, AssertionError, TokenError and others
        raise UnitError(f"{quoted(text)}, whose unit is unknown or of another kind") from error
    if turns != ("rad" in si) or si == "1":  # to the library an angle and a plain number are the same
        raise UnitError(f"{quoted(text)}, whose unit is of another kind")
    return value


def _finite(value: float, text: object) -> float:
    if not math.isfinite(value):
        raise UnitError(f"{quoted(text)}, which is not a finite number")
    return value


def quoted(written: object, longest: int = LONGEST) -> str:
    """Return what was written so that a sentence can repeat it: on one line, short, whatever it is."""
    if isinstance(written, str):
        plain = "".join(letter if letter.isprintable() else "?" for letter in written[: longest + 1])
        return f'"{plain}"' if len(plain) <= longest else f'"{plain[:longest]}..."'
    if isinstance(written, bool):
        return str(written).lower()
    if isinstance(written, int) and abs(written) >= 10**LONGEST:
        return f"a number of more than {LONGEST} digits"
    if isinstance(written, (datetime.date, datetime.time)):
        return f"the {'time' if isinstance(written, datetime.time) else 'date'} {written.isoformat()}"
    kinds: dict[type, str] = {dict: "a table", list: "a list", tuple: "a list"}
    return kinds.get(type(written)) or repr(written)[:LONGEST]


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
    "1/s": ("Hz", 1.0, 0.0),
    "1": ("", 1.0, 0.0),
}
"""SI unit to the unit shown to a maker: text, factor, offset."""


def show(value: float, si: str, *, difference: bool = False, digits: int = 3) -> str:
    """Return a value for the screen, in the unit that makers use, with a few digits."""
    unit, factor, offset = SHOWN.get(si, (si.replace("*", "·").replace("^2", "²").replace("^3", "³"), 1.0, 0.0))
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
        return "0" if number == 0.0 else str(float(number))
    if not 1e-6 <= abs(number) < 1e9:
        return f"{number:.{digits - 1}e}"
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
    "1/s": "Hz",
}
"""SI unit to the unit in which a value is written into a build file."""


def write(value: float, si: str, *, like: object = None) -> str:
    """Return a value as text for a build file; reading it gives the value back to nine digits.

    Parameters
    ----------
    value : float
        Finite, in SI.
    si : str
        Its SI unit.
    like : object
        A text whose unit is used again, where it has one of this kind (``"1450 cm^2"``).
    """
    found = split(like) if isinstance(like, str) else None
    known = accepted().get(found[1]) if found else None
    unit = found[1] if found and known and known[0] == si else WRITTEN_IN.get(si, si)
    _, factor, offset = accepted()[unit]
    return f"{(value - offset) / factor:.9g} {unit}".removesuffix(" 1")
