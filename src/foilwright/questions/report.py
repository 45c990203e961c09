"""One design's answers as the documented JSON, and as plain text of 80 columns."""

from __future__ import annotations

import textwrap
from typing import Any

import numpy as np

from foilwright import __version__
from foilwright.assemble import Assumption
from foilwright.core import units
from foilwright.core.model import REGISTRY
from foilwright.questions.ask import QUESTIONS, Answers
from foilwright.questions.finding import VERDICTS, WHY, Finding

FORMAT = 1
WIDE = 80
BAR = 21


def _number(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def as_json(answers: Answers, row: int = 0) -> dict[str, Any]:
    """Return the answers of one design as the documented tree; every number finite or null."""
    assumed = [_assumed(each) for each in answers.assumed]
    return {
        "format": FORMAT,
        "program": f"foilwright {__version__}",
        "build": {"name": answers.build.name, "file": answers.build.file, "hash": answers.build.hash},
        "verdict": answers.verdict(row=row),
        "holds_back": answers.holds_back(row).id,
        "answers": {
            name: {
                "verdict": answers.verdict(name, row),
                "findings": [
                    _finding(finding, row, answers)
                    for finding in answers.worst_first(row)
                    if finding.question == name
                ],
            }
            for name in answers.findings
        },
        "ways_out": [],
        "assumed": assumed,
        "numbers": {name: _number(values[row]) for name, values in answers.numbers.items()},
        "curves": {
            name: {key: [_number(value) for value in values] for key, values in curve.items()}
            for name, curve in answers.curves.items()
        },
    }


def _assumed(each: Assumption) -> dict[str, Any]:
    return {
        "path": each.path, "value": each.value, "unit": each.unit, "low": each.low, "high": each.high,
        "spread": each.spread, "source": each.source, "why": each.why,
    }  # fmt: skip


def why(finding: Finding, row: int) -> dict[str, str] | None:
    """Return why a finding has no margin: the code and what it is about."""
    code = int(finding.reason[row])
    if not code:
        return None
    about = {"missing": finding.missing, "no_solution": finding.sought}.get(WHY[code], "")
    if WHY[code] == "outside":
        about = "; ".join(each.means for each in finding.beyond if each.decides and each.bad[row])
    return {"code": WHY[code], "about": about}


def _finding(finding: Finding, row: int, answers: Answers) -> dict[str, Any]:
    assumed = {each.path for each in answers.assumed}
    return {
        "id": finding.id, "question": finding.question, "name": finding.name, "part": finding.part,
        "place": finding.place, "case": finding.cases[finding.case[row]], "meaning": finding.meaning,
        "kind": finding.kind, "demand": _number(finding.demand[row]), "capacity": _number(finding.capacity[row]),
        "unit": finding.unit, "margin": _number(finding.margin[row]), "required": _number(finding.required[row]),
        "required_why": finding.required_why, "scale": finding.scale,
        "shortfall": _number(finding.shortfall[row]), "verdict": VERDICTS[finding.verdict[row]],
        "why": why(finding, row), "model": finding.model, "source": finding.source,
        "validity": [
            {"model": each.model, "variable": each.variable, "value": _number(each.value[row]), "low": each.low,
             "high": each.high, "means": each.means}
            for each in finding.beyond
            if each.bad[row]
        ],
        "inputs": list(finding.inputs), "assumed": [path for path in finding.inputs if path in assumed],
        "temperature": None if finding.temperature is None else _number(finding.temperature[row]),
    }  # fmt: skip


def as_text(answers: Answers, row: int = 0) -> str:
    """Return the answers of one design in plain words, worst first, 80 columns wide."""
    held = answers.holds_back(row)
    worst = VERDICTS[held.verdict[row]]
    lines = [f"{answers.build.name}  ({answers.build.file}, {answers.build.hash})", ""]
    lines += _strip(answers, row)
    lines.append("")
    if worst == "sound":
        lines += _wrapped("Nothing fails under the assumptions below. The least margin: " + told(held, row))
    else:
        lines += _wrapped("Holds the build back: " + told(held, row))
    for question in QUESTIONS:
        if question.name in answers.findings:
            lines += ["", *_question(answers, question.name, question.asks, row)]
    lines += ["", *_numbers(answers, row), "", *_assumptions(answers)]
    lines += ["", *_wrapped(CAUTION)]
    return "\n".join(lines) + "\n"


CAUTION = (
    "These are margins under the stated assumptions, not a promise that the craft is safe. Propeller,"
    " lithium cells, cold water and falls hurt people: go to the water with a partner, a float vest and"
    " a helmet, a stop that works without the radio, and under the rules of the place."
)


def _strip(answers: Answers, row: int) -> list[str]:
    out = []
    for name, found in answers.findings.items():
        verdict = answers.verdict(name, row)
        counts = [sum(VERDICTS[f.verdict[row]] == word for f in found) for word in VERDICTS]
        told_counts = ", ".join(
            f"{count} {word}" for count, word in zip(counts, VERDICTS, strict=True) if count
        )
        out.append(f"  {name:<8} {verdict.upper() if verdict == 'fails' else verdict:<9}{told_counts}")
    return out


def told(finding: Finding, row: int) -> str:
    """Return one finding as a sentence."""
    verdict = VERDICTS[finding.verdict[row]]
    case = finding.cases[finding.case[row]]
    text = f"{finding.name}{' (' + case + ')' if case else ''} {'is ' if verdict != 'fails' else ''}{verdict}"
    reason = why(finding, row)
    if reason:
        words = {
            "missing": f"{reason['about']} is not stated",
            "outside": reason["about"],
            "no_solution": f"not found: {reason['about']}",
        }
        return f"{text}: {words[reason['code']]}."
    return f"{text}: {_compared(finding, row)}."


def _compared(finding: Finding, row: int) -> str:
    difference = finding.unit == "K" and finding.kind == "difference" and abs(finding.capacity[row]) < 150
    demand = units.show(float(finding.demand[row]), finding.unit, difference=difference)
    capacity = units.show(float(finding.capacity[row]), finding.unit, difference=difference)
    return f"asks {demand}, has {capacity}; {_margin(finding, row)}"


def _margin(finding: Finding, row: int) -> str:
    margin, required = float(finding.margin[row]), float(finding.required[row])
    if not np.isfinite(margin):
        return "nothing asked"
    if finding.kind == "ratio":
        return f"margin {100 * margin:+.0f} %, needs {100 * required:+.0f} %"
    show = lambda value: units.show(value, finding.unit, difference=True)  # noqa: E731
    return f"margin {show(margin)}, needs {show(required)}"


def bar(shortfall: float, required: float, scale: float) -> str:
    """Return a margin as a bar about a zero line: left of it lacks, right of it has."""
    half = BAR // 2
    share = (shortfall + required / scale) if np.isfinite(shortfall) else 1.0
    length = int(round(min(1.0, abs(share)) * half))
    if share < 0.0:
        return " " * (half - length) + "▒" * length + "│" + " " * half
    return " " * half + "│" + "█" * length + " " * (half - length)


def _question(answers: Answers, name: str, asks: str, row: int) -> list[str]:
    lines = [f"{name.upper()}  {answers.verdict(name, row)}", *_wrapped(asks, "  ")]
    for finding in answers.worst_first(row):
        if finding.question == name:
            lines += _told_finding(finding, row)
    return lines


def _told_finding(finding: Finding, row: int) -> list[str]:
    verdict = VERDICTS[finding.verdict[row]]
    known = not finding.reason[row]
    drawn = bar(float(finding.shortfall[row]), float(finding.required[row]), finding.scale) if known else " " * BAR
    case = finding.cases[finding.case[row]]
    lines = [f"  {verdict:<8}{drawn} {finding.name}"[:WIDE]]
    reason = why(finding, row)
    detail = told(finding, row).split(": ", 1)[1] if reason else _compared(finding, row) + "."
    if case:
        detail = f"{case}: {detail}"
    if verdict != "sound":
        detail += f" Needs it: {finding.required_why}. If it fails it {finding.meaning}. Source: {finding.source}."
    for each in finding.beyond:
        if each.bad[row] and not each.decides:
            detail += f" Note: {each.means}."
    return lines + _wrapped(detail, " " * 10)


def _numbers(answers: Answers, row: int) -> list[str]:
    shown = []
    for name, values in answers.numbers.items():
        value = float(values[row])
        unit = NUMBER_UNITS[name]
        shown.append((name.replace("_", " "), units.show(value, unit) if np.isfinite(value) else "none"))
    return ["NUMBERS"] + [
        f"  {a[0]:<26}{a[1]:<12}" + (f"{b[0]:<26}{b[1]}" if b else "")
        for a, b in zip(shown[::2], [*shown[1::2], ("", "")][: len(shown[::2])], strict=True)
    ]


NUMBER_UNITS = {
    "total_mass": "kg", "board_volume": "m^3", "freeboard_prone": "m", "hump_speed": "m/s", "hump_resistance": "N",
    "hump_thrust": "N", "take_off_speed": "m/s", "take_off_time": "s", "take_off_distance": "m",
    "take_off_electric_power": "W", "release_throttle": "1", "slowest_flight": "m/s", "fastest_flight": "m/s",
    "cruise_speed": "m/s", "cruise_drag": "N", "cruise_electric_power": "W", "glide_ratio": "1",
    "static_margin": "1", "run_time": "s", "ride_range": "m",
}  # fmt: skip


def _assumptions(answers: Answers) -> list[str]:
    lines = ["ASSUMED (left out in the build file; state or measure them)"]
    for each in answers.assumed:
        value = each.value if isinstance(each.value, str) else units.show(float(each.value), each.unit or "1")
        if isinstance(each.low, str) or isinstance(each.high, str):
            span = f"{each.low} to {each.high}"
        else:
            span = f"{units.show(float(each.low), each.unit or '1')} to {units.show(float(each.high), each.unit or '1')}"
        lines += textwrap.wrap(f"{each.path} = {value}  ({span}; {each.source})", WIDE, initial_indent="  ",
                               subsequent_indent="      ")  # fmt: skip
    return lines


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(text, WIDE, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False)


def sources() -> dict[str, str]:
    """Return every registered model with its source."""
    return {name: registered.source for name, registered in sorted(REGISTRY.items())}


def something_fails(answers: Answers, row: int = 0) -> bool:
    """Say whether something fails, or an unknown hurts or burns."""
    return any(
        VERDICTS[f.verdict[row]] == "fails" or (VERDICTS[f.verdict[row]] == "unknown" and f.meaning in ("hurts", "burns"))
        for f in answers.all()
    )
