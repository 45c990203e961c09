"""One finding of one design in plain words; the text and the JSON of an answer are made of these."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from foilwright.core import units
from foilwright.questions.ask import Answers
from foilwright.questions.finding import NO_SOLUTION, VERDICTS, WHY, Finding, gravity, is_flag
from foilwright.questions.state.reasons import REASONS
from foilwright.questions.state.run import PLACE_SCALE

MEANS = {
    "hurts": "someone can get hurt",
    "burns": "something can burn or overheat",
    "breaks": "a part breaks",
    "stops": "the craft does not do what is asked of it",
    "annoys": "a nuisance; nothing breaks and nobody is hurt",
}
"""What it means when a finding fails."""

VERDICTS_MEAN = {
    "fails": "less than is asked",
    "unknown": "an input is missing, or the case lies outside the models",
    "slim": "enough, but less to spare than it must have",
    "sound": "has the margin that it must have",
}

RELIEF = {
    "thrust": "{percent} % more thrust",
    "sag": "{percent} % more thrust",
    "current limit": "{percent} % more thrust",
    "lift before stall": "a wing {percent} % larger",
    "stall": "a stabiliser that carries {percent} % more before it stalls",
    "ventilation": "a wing {percent} % deeper in the water",
    "shallow water": "water {percent} % deeper, or a mast as much shorter",
    "sinks": "a board with {percent} % more volume",
    "reach": "a place for the rider's weight {shift} beyond where it can be",
    "nose dives": "the load on the bottom {shift} further back",
    "tail drags": "the load on the bottom {shift} further forward",
}
"""What a craft that never takes off needs least, by the reason in ``REASONS``."""

TIMES = 3.0
"""Margin from which "so many times that" says more than percent."""

STEPS = {
    "m": ((1000.0, "km", 1e3), (0.995, "m", 1.0), (0.0995, "cm", 1e-2), (0.0, "mm", 1e-3)),
    "W": ((999.5, "kW", 1e3), (0.0, "W", 1.0)),
    "Pa": ((999_500.0, "MPa", 1e6), (999.5, "kPa", 1e3), (0.0, "Pa", 1.0)),
    "m/s": ((0.3, "km/h", 1.0 / 3.6), (0.0, "mm/s", 1e-3)),
    "m^3": ((9.95e-5, "L", 1e-3), (0.0, "mL", 1e-6)),
    "s": ((7200.0, "h", 3600.0), (119.5, "min", 60.0), (0.0, "s", 1.0)),
}
"""SI unit to larger and smaller units: from which value, text, factor."""


Ranked = list[tuple[Finding, str]]
"""Findings with their verdicts, worst first."""


def corrections(answers: Answers) -> dict[str, float]:
    """Return the corrections that an answer rests on: what the craft has over what the models say."""
    values = answers.build.values
    return {
        path: float(value)
        for path, value in values.items()
        if path.startswith("factors.") and path != "factors.read_on" and value != 1.0
    }


def rests_on(answers: Answers) -> str:
    """Return which corrections an answer rests on, as a sentence; empty where there are none."""
    found = corrections(answers)
    if not found:
        return ""
    told = ", ".join(f"{path.partition('.')[2].replace('_', ' ')} {value:.2f}" for path, value in found.items())
    days = answers.build.values.get("factors.read_on")
    return f"These answers rest on corrections to the models{f' read on the water ({days})' if days else ''}: {told}."


def ranked(answers: Answers, row: int = 0) -> Ranked:
    """Return the findings that apply to one design with their verdicts, worst first; the first holds it back."""
    apply = (finding for finding in answers.all() if finding.applies[row])
    keyed = sorted(((gravity(finding, row), finding) for finding in apply), key=lambda each: each[0])
    return [(finding, VERDICTS[key[0]]) for key, finding in keyed]


def of_question(found: Ranked, name: str) -> Ranked:
    """Return the findings of one question, worst first."""
    return [each for each in found if each[0].question == name]


def something_fails(answers: Answers, row: int = 0) -> bool:
    """Say whether something fails, or an unknown hurts or burns."""
    return any(
        verdict == "fails" or (verdict == "unknown" and finding.meaning in ("hurts", "burns"))
        for finding, verdict in ranked(answers, row)
    )


def case(finding: Finding, row: int) -> str:
    """Return the case that governs one design; empty where there is only one."""
    told: str = finding.cases[finding.case[row]]
    return told.removesuffix("; least relief")


def why(finding: Finding, row: int) -> dict[str, str] | None:
    """Return why a finding has no margin: the code and what it is about."""
    code = int(finding.reason[row])
    if not code:
        return None
    about = {"missing": finding.missing, "no_solution": finding.sought}.get(WHY[code], "")
    if WHY[code] == "outside":
        about = "; ".join(each.means for each in finding.beyond if each.decides and each.bad[row])
        about = about or "the models give no value here"
    return {"code": WHY[code], "about": about}


def never(finding: Finding, row: int) -> bool:
    """Say whether a finding tells that the craft never takes off."""
    return finding.relief is not None and finding.reason[row] == NO_SOLUTION


def relief(finding: Finding, row: int) -> str:
    """Return the least change that would let it take off, in words; empty where no one change does."""
    if finding.relief is None or not never(finding, row) or not np.isfinite(finding.relief[row]):
        return ""
    needs = float(finding.relief[row])
    shift = amount(needs * PLACE_SCALE, "m")
    return RELIEF[REASONS[finding.case[row]]].format(percent=max(1, round(100.0 * needs)), shift=shift)


def said(finding: Finding, row: int) -> str:
    """Return what was compared and found, without the name: numbers, or why there are none."""
    reason = why(finding, row)
    if reason is None:
        return compared(finding, row)
    if reason["code"] == "missing":
        return f"not known, because {reason['about'] or 'an input'} is not stated"
    if reason["code"] == "outside":
        return f"not known: {reason['about']}"
    if never(finding, row):
        needed = relief(finding, row)
        return f"never, because {case(finding, row)}" + (f"; it needs {needed}" if needed else "")
    return f"not found: {reason['about']}"


def compared(finding: Finding, row: int) -> str:
    """Return demand, capacity and margin of a finding that has them."""
    demand, capacity = float(finding.demand[row]), float(finding.capacity[row])
    if is_flag(finding, row):
        return "as it must be" if capacity >= demand else "not as it must be"
    if finding.kind == "ratio" and demand <= 0.0:
        return f"nothing is asked, has {amount(capacity, finding.unit)}"
    pair = _pair(finding, demand, capacity, row)
    return f"{pair}: {margin(finding, row)}" if pair else margin(finding, row)


def _pair(finding: Finding, demand: float, capacity: float, row: int) -> str:
    """Return demand and capacity in words; nothing where only their difference tells."""
    if finding.kind == "difference" and demand <= 0.0:
        return ""
    hot = finding.temperature is not None and float(finding.temperature[row]) == demand
    difference = finding.kind == "difference" and not hot
    (asked, there), unit = amounts([demand, capacity], finding.unit, difference=difference)
    if hot:
        return f"reaches {asked}, may reach {there}{unit}"
    if finding.unit == "rad" and finding.kind == "difference":
        return f"{asked}{unit} of the {there}{unit} allowed"
    return f"asks {asked}, has {there}{unit}"


def margin(finding: Finding, row: int) -> str:
    """Return the margin and the one it must have."""
    has, needs = float(finding.margin[row]), float(finding.required[row])
    if finding.kind == "difference":
        both, unit = amounts([abs(has), needs], finding.unit, difference=True)
        spare, must = (f"{number}{unit}" for number in both)
    elif has >= TIMES:
        return f"{_times(1.0 + has)} times that" + (f", needs {1.0 + needs:.3g} times" if needs > 0.0 else "")
    else:
        spare, must = percent(abs(has)) if has > -1.0 else "all of it", percent(needs)
    told = f"{spare} to spare" if has >= 0.0 else f"{spare} short"
    if needs <= 0.0:
        return told
    return f"{told}, needs {must}" + ("" if has >= 0.0 else " to spare")


def percent(share: float) -> str:
    """Return a share as percent."""
    return f"{100.0 * share:.{0 if share >= 0.01 or share == 0.0 else 1}f} %"


def _times(times: float) -> str:
    return f"{times:.1f}" if times < 10.0 else f"{times:.0f}" if times < 1000.0 else "over 1000"


def amounts(values: Sequence[float], unit: str, *, difference: bool = False) -> tuple[tuple[str, ...], str]:
    """Return values as numbers in one unit that makers use, and that unit as it stands behind a number."""
    plain = unit.replace("*", "·").replace("^2", "²").replace("^3", "³")
    name, factor, offset = units.SHOWN.get(unit, (plain, 1.0, 0.0))
    if unit == "K" and difference:
        name, offset = "K", 0.0
    largest = max((abs(value) for value in values if math.isfinite(value)), default=0.0)
    if unit in STEPS:
        name, factor = next((name, factor) for least, name, factor in STEPS[unit] if largest >= least)
    numbers = tuple(_digits((value - offset) / factor) for value in values)
    return numbers, name if name in ("", "°") else f" {name}"


def amount(value: float, unit: str, *, difference: bool = False) -> str:
    """Return one value in a unit that makers use."""
    (number,), name = amounts([value], unit, difference=difference)
    return f"{number}{name}"


def _digits(number: float) -> str:
    """Return a number with three digits, or four where it is large."""
    if not 1e-6 <= abs(number) < 1e9:
        return "0" if abs(number) < 1e-6 else f"{number:.2e}"
    size = math.floor(math.log10(abs(number)))
    text = f"{round(number, 3 - size):.{max(0, 2 - size)}f}" if size > 3 else f"{number:.{max(0, 2 - size)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
