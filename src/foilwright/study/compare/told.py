"""A comparison as plain text of 80 columns and as the documented tree for JSON."""

from __future__ import annotations

import math
from typing import Any

from foilwright.build.build import Value
from foilwright.core import units
from foilwright.questions import report
from foilwright.questions.finding import Finding, is_flag
from foilwright.questions.report_json import number
from foilwright.questions.report_text import NUMBERS, WIDE, wrapped
from foilwright.study.compare.differences import Change, Comparison, Effect
from foilwright.version import __version__

FORMAT = 1
CELLS = {2: 20, 3: 16, 4: 13, 5: 10}
"""Columns for one build, by how many there are; 7 where there are more."""
SHOWN = 20
"""Findings shown whose margin moved."""
LEAST = 0.005
"""Least change of a margin that is shown, in units of its scale."""
CHANGED = 0.001
"""Least relative change of a number that is shown."""


def text(found: Comparison) -> str:
    """Return a comparison in plain words."""
    lines = _heads(found)
    lines += ["", *_changes(found), "", *_effects(found), "", *_numbers(found)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _cell(found: Comparison) -> int:
    return CELLS.get(len(found.answers), 7)


def _row(found: Comparison, label: str, cells: list[str]) -> list[str]:
    """Return a label and one cell a build; a long label stands on lines of its own."""
    wide = _cell(found)
    room = WIDE - wide * len(cells) - 2
    drawn = "".join(f"{each[: wide - 1]:>{wide}}" for each in cells)
    if len(label) <= room - 1:
        return [f"  {label:<{room}}{drawn}"]
    told = _narrow(label, room)
    return [*told[:-1], f"{told[-1]:<{room + 2}}{drawn}"]


def _narrow(label: str, room: int) -> list[str]:
    """Return a label broken to a width."""
    words, lines = label.split(), [" "]
    for word in words:
        for piece in [word[k : k + room - 2] for k in range(0, len(word), room - 2)]:
            if len(lines[-1]) + 1 + len(piece) > room + 2:
                lines.append("   ")
            lines[-1] += f" {piece}"
    return lines


def _heads(found: Comparison) -> list[str]:
    lines = []
    for letter, answers in zip(found.letters, found.answers, strict=True):
        build = answers.build
        front = "COMPARE  " if letter == "A" else " " * 9
        lines += wrapped(f"{front}{letter}  {build.name}  ({build.file}, version {build.hash})", hang=12)
        held = answers.holds_back()
        front = "sound; the least to spare" if answers.verdict() == "sound" else f"{answers.verdict()}; held back by"
        lines += wrapped(f"{front}: {held.name}: {report.said(held, 0)}.", " " * 12)
    return lines


def _changes(found: Comparison) -> list[str]:
    """Return what changed, one field a line; an assumed value stands in brackets."""
    if not found.changes:
        lines = ["WHAT CHANGED  nothing that counts"]
    else:
        lines = [f"WHAT CHANGED  {len(found.changes)} fields (in brackets: assumed)"]
        lines += _row(found, "", list(found.letters))
        for each in found.changes:
            lines += _row(found, each.path, _values(each))
    if found.stated:
        paths = ", ".join(each.path for each in found.stated)
        lines += wrapped(f"Stated in one and assumed alike in another: {paths}.", "  ", hang=2)
    return lines


def _values(change: Change) -> list[str]:
    out = []
    for value, written in zip(change.values, change.written, strict=True):
        told = _value(value, change)
        out.append(told if written or value is None else f"({told})")
    return out


def _value(value: Value | None, change: Change) -> str:
    """Return a value in the unit of the field's example, with a few digits."""
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, int | float):
        return str(value)
    number, _, unit = units.write(float(value), change.unit or "1", like=change.like).partition(" ")
    plain = unit.replace("^2", "²").replace("^3", "³").replace("*", "·").replace("degC", "°C").replace("deg", "°")
    return f"{float(number):.4g} {plain}".strip()


def _effects(found: Comparison) -> list[str]:
    """Return what the changes did: verdicts that turned, then margins that moved."""
    turned = [each for each in found.effects if each.turned]
    moved = [each for each in found.effects if not each.turned and each.moved > LEAST]
    lines = [f"WHAT IT DID  {len(turned)} verdicts turned, {len(moved)} margins moved"]
    if turned or moved:
        lines += _row(found, "", list(found.letters))
    for each in turned:
        lines += _row(found, each.known.name, [_loud(verdict) for verdict in each.verdicts])
        lines += _row(found, "  to spare", [_spare(finding) for finding in each.findings])
    if turned and moved:
        lines.append("  margins, their verdicts as they were:")
    for each in moved[:SHOWN]:
        lines += _row(found, f"{each.known.name} ({each.verdicts[0]})", [_spare(finding) for finding in each.findings])
    if len(moved) > SHOWN:
        lines += wrapped(f"and {len(moved) - SHOWN} that moved less; --json lists them", "  ")
    return lines


def _loud(verdict: str | None) -> str:
    return "-" if verdict is None else verdict.upper() if verdict == "fails" else verdict


def _spare(finding: Finding | None) -> str:
    """Return a margin in a few signs."""
    if finding is None:
        return "-"
    if finding.reason[0]:
        return "never" if report.never(finding, 0) else "none"
    if is_flag(finding, 0):
        return "right" if finding.margin[0] >= 0.0 else "wrong"
    margin = float(finding.margin[0])
    if not math.isfinite(margin):
        return "not asked"
    if finding.kind == "difference":
        told = report.amount(abs(margin), finding.unit, difference=True)
    else:
        told = report.percent(abs(margin)) if abs(margin) < 10.0 else f"{margin + 1.0:.0f} times"
    return f"{'-' if margin < 0.0 else '+'}{told}"


def _numbers(found: Comparison) -> list[str]:
    """Return the numbers that changed, side by side."""
    lines = ["NUMBERS that changed", *_row(found, "", list(found.letters))]
    same = 0
    for name, (label, unit) in NUMBERS.items():
        values = [float(each.numbers[name][0]) for each in found.answers]
        if _as_before(values):
            same += 1
            continue
        lines += _row(found, label, [_amount(value, unit) for value in values])
    if len(lines) == 2:
        return ["NUMBERS  none changed"]
    return lines + ([f"  {same} others did not change"] if same else [])


def _as_before(values: list[float]) -> bool:
    if any(math.isnan(each) for each in values):
        return all(math.isnan(each) for each in values)
    return all(math.isclose(each, values[0], rel_tol=CHANGED, abs_tol=1e-9) for each in values)


def _amount(value: float, unit: str) -> str:
    if not math.isfinite(value):
        return "none"
    return report.percent(value) if unit == "%" else report.amount(value, unit)


def document(found: Comparison) -> dict[str, Any]:
    """Return a comparison as plain data."""
    return {
        "format": FORMAT,
        "program": f"foilwright {__version__}",
        "builds": [
            {
                "name": each.build.name, "file": each.build.file, "hash": each.build.hash,
                "verdict": each.verdict(), "holds_back": each.holds_back().id,
            }
            for each in found.answers
        ],
        "changes": [_change(each) for each in found.changes],
        "stated": [_change(each) for each in found.stated],
        "findings": [_finding(each) for each in found.effects],
        "numbers": {
            name: [number(each.numbers[name][0]) for each in found.answers] for name in found.answers[0].numbers
        },
        "curves": [
            {name: {key: [number(v) for v in values] for key, values in curve.items()} for name, curve in one.items()}
            for one in (each.curves for each in found.answers)
        ],
    }  # fmt: skip


def _change(change: Change) -> dict[str, Any]:
    return {
        "path": change.path, "unit": change.unit, "values": list(change.values), "written": list(change.written),
    }  # fmt: skip


def _finding(effect: Effect) -> dict[str, Any]:
    known = [None if each is None or each.reason[0] else each for each in effect.findings]
    return {
        "id": effect.id,
        "name": effect.known.name,
        "unit": effect.known.unit,
        "kind": effect.known.kind,
        "turned": effect.turned,
        "verdicts": list(effect.verdicts),
        "margins": [None if each is None else number(each.margin[0]) for each in known],
        "shortfalls": [None if each is None else number(each.shortfall[0]) for each in known],
        "why": [None if each is None else report.why(each, 0) for each in effect.findings],
    }
