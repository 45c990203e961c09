"""A way out in words: what to change and where, and what it does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from foilwright.build.build import Value
from foilwright.core import units
from foilwright.questions import report
from foilwright.questions.ask import Answers
from foilwright.questions.finding import VERDICTS
from foilwright.questions.way import cured
from foilwright.study.ways.fields import Field
from foilwright.study.ways.rank import practice

NOT_ASKED = "not asked"
"""The verdict of a finding that has no object."""
LEAST = 0.03
"""Change of a number from which on it is told, as a share of it."""
TELL = 3
"""How many numbers, and how many findings of one kind, a sentence names."""
NUMBERS = {
    "take_off_speed": ("take-off", "m/s"),
    "fastest_flight": ("top speed", "m/s"),
    "ride_range": ("way on a charge", "m"),
    "run_time": ("time on a charge", "s"),
    "total_mass": ("mass with rider and kit", "kg"),
    "cruise_electric_power": ("pack power at cruise", "W"),
    "freeboard_prone": ("deck over water, lying", "m"),
}
"""The numbers that a maker asks for first, in this order."""
SIGNS = {"*": "·", "^2": "²", "^3": "³", "degC": "°C", "mohm": "mΩ", "ohm": "Ω", " deg": "°"}


def told(field: Field, value: Value) -> str:
    """Return a change in words."""
    phrase = practice(field.path).phrase or _usual(field)
    before = "what is left open" if field.base is None else shown(field, field.base)
    name = field.path.rpartition(".")[2].replace("_", " ")
    return phrase.format_map({"to": shown(field, value), "from": before, "name": name, "entry": field.entry})


def _usual(field: Field) -> str:
    table = field.path.partition(".")[0]
    whose = "{entry}, {name}" if field.entry else f"{table} {{name}}"
    return f"{whose} {{to}} instead of {{from}}"


def shown(field: Field, value: Value) -> str:
    """Return a value of a field for the screen, in the unit of the build file."""
    if field.meta.kind != "quantity":
        return field.written(value)
    number, unit = units.split(field.written(value)) or (float(value), "")
    text = f"{number:.4g} {unit}".rstrip()
    for plain, sign in SIGNS.items():
        text = text.replace(plain, sign)
    return text


def numbers(before: Answers, after: Answers, row: int) -> list[str]:
    """Return what happens to the numbers that a maker asks for first."""
    out = []
    for name, (label, unit) in NUMBERS.items():
        if name not in before.numbers:
            continue
        old, new = float(before.numbers[name][0]), float(after.numbers[name][row])
        if np.isnan(old) and np.isnan(new):
            continue
        if np.isnan(old):
            out.append(f"{label} {'at ' if unit == 'm/s' else ''}{report.amount(new, unit)}")
        elif np.isnan(new):
            out.append(f"{label}: none any more")
        elif abs(new - old) > LEAST * max(abs(old), abs(new)):
            (first, last), name_of_unit = report.amounts([old, new], unit)
            out.append(f"{label} {'rises' if new > old else 'falls'} from {first} to {last}{name_of_unit}")
    return out[:TELL]


def worse(verdicts: Mapping[str, tuple[str, str]]) -> list[str]:
    """Return which other findings become worse, by name."""
    found: dict[str, list[str]] = {}
    for name, (was, now) in verdicts.items():
        fresh = was == NOT_ASKED and now == "fails"
        if fresh or (was != NOT_ASKED != now and VERDICTS.index(now) < VERDICTS.index(was)):
            found.setdefault(f"then {now}", []).append(name[:1].lower() + name[1:])
    return [f"{what}: {_listed(names)}" for what, names in found.items()]


def also(verdicts: Mapping[str, tuple[str, str]]) -> list[str]:
    """Return how many other findings are cleared as well."""
    better = len(cured(verdicts))
    return [f"also clears {better} other{'s' if better > 1 else ''}"] if better else []


def _listed(names: Sequence[str]) -> str:
    more = f" and {len(names) - TELL} more" if len(names) > TELL else ""
    return ", ".join(names[:TELL]) + more


def sentence(changes: Sequence[str], where: str, parts: Sequence[str]) -> str:
    """Return a whole way out as one sentence."""
    return f"{' and '.join(changes)} ({where}): " + "; ".join(part for part in parts if part)
