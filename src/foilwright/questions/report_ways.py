"""Ways out as plain sentences of 80 columns, and as the documented part of the JSON of an answer."""

from __future__ import annotations

import shlex
from typing import Any

from foilwright.build.build import Build
from foilwright.core import units
from foilwright.questions import report
from foilwright.questions.ask import Answers
from foilwright.questions.report_text import WIDE, wrapped
from foilwright.questions.way import Change, Way, WaysOut

SHOWN, MANY = 2, 12
"""Ways out of one finding in the text, and from how many findings on by change; the JSON has more."""
HOW = (
    "What would cure what fails or is slim: for each finding the smallest change of one field, of two where no"
    " single one is enough, best first, worked out through all models. Beach: it is set or ridden otherwise;"
    " workshop: something is made, bought or rebuilt."
)
BY_CHANGE = (
    "What would cure what fails or is slim: the fewest changes that clear most, each of one field, or of two where no"
    " single one is enough, worked out through all models. Beach: it is set or ridden otherwise; workshop: something"
    " is made, bought or rebuilt. The ways out of each finding by itself: --json."
)
TAKES = {"none": "no cost", "low": "low cost", "medium": "middling cost", "high": "high cost"}


def document(found: WaysOut) -> dict[str, Any]:
    """Return the ways out as plain data, in SI."""
    whole: dict[str, Any] = {"ways_out": [_way(way) for way in found.ways]}
    if found.together is not None:
        joined = found.together
        whole["together"] = {
            "changes": [_change(change) for change in joined.changes],
            "failing": list(joined.failing),
            "verdict": joined.verdict,
            "text": "; ".join((*(change.told for change in joined.changes), *joined.text)),
        }
    return whole


def _way(way: Way) -> dict[str, Any]:
    return {
        "finding": way.finding,
        "changes": [_change(change) for change in way.changes],
        "place": way.place,
        "effort": way.effort,
        "cost": way.cost,
        "owned": way.owned,
        "margin_after": way.margin_after,
        "effects": {name: list(pair) for name, pair in way.effects.items()},
        "verdicts": {name: list(pair) for name, pair in way.verdicts.items()},
        "numbers": {name: list(pair) for name, pair in way.numbers.items()},
        "text": way.text,
    }


def _change(change: Change) -> dict[str, Any]:
    return {"path": change.path, "from": change.before, "to": change.after, "unit": change.unit or "1"}


def text(found: WaysOut, answers: Answers, row: int = 0) -> str:
    """Return the ways out in plain words; empty where nothing needs one."""
    if not (found.ways or found.without):
        return ""
    if len({way.finding for way in found.ways}) <= MANY:
        lines = ["WAYS OUT", *wrapped(HOW, "  "), *_by_finding(found, answers, row)]
    else:
        lines = ["WAYS OUT", *wrapped(BY_CHANGE, "  "), *_by_change(found, answers, row)]
    return "\n".join([*lines, *_together(found, answers)]) + "\n"


def _by_finding(found: WaysOut, answers: Answers, row: int) -> list[str]:
    """Return the best ways out of each finding, the gravest finding first."""
    lines: list[str] = []
    enough = found.together is not None and not found.together.failing
    alone = "no change of one field or of two clears it" + ("; those applied together below do" if enough else "")
    for finding, verdict in report.ranked(answers, row):
        ways = found.of(finding.id)
        if ways or finding.id in found.without:
            told = verdict.upper() if verdict == "fails" else verdict
            lines += wrapped(f"{told:<7}  {finding.name}", "  ", hang=9)
        for way in ways[:SHOWN]:
            lines += wrapped(f"- {way.text}. {_takes(way)}.", " " * 11, hang=2)
        if finding.id in found.without:
            lines += wrapped(f"- {alone}.", " " * 11, hang=2)
    return lines


def _by_change(found: WaysOut, answers: Answers, row: int) -> list[str]:
    """Return changes, each with all that it clears and no change before it does; those that clear most first."""
    ranked = report.ranked(answers, row)
    left = {way.finding for way in found.ways}
    lines: list[str] = []
    while left:
        useful = [each for each in found.ways if each.clears & left]
        way = max(useful, key=lambda each: len(each.clears & left) - 2 * (each.breaks + each.deepens))
        changes = " and ".join(change.told for change in way.changes)
        lines += wrapped(f"- {changes} ({way.place}). {_takes(way)}.", "  ", hang=2)
        lines += wrapped(f"{'; '.join(way.besides)}.", "    ", hang=2) if way.besides else []
        for finding, verdict in ranked:
            if finding.id in way.clears & left:
                told = verdict.upper() if verdict == "fails" else verdict
                lines += wrapped(f"clears {told:<6} {finding.name}", "    ", hang=14)
        left -= way.clears
    without = [finding.name for finding, _ in ranked if finding.id in found.without]
    if without:
        lines += wrapped(f"No change of one field or of two clears: {'; '.join(without)}.", "  ", hang=2)
    return lines


def _takes(way: Way) -> str:
    takes = f"Takes {way.effort}, {TAKES[way.cost]}"
    return takes if way.owned is None else f"{takes}; {'keeps' if way.owned else 'replaces something of'} what is owned"


def _together(found: WaysOut, answers: Answers) -> list[str]:
    joined = found.together
    if joined is None:
        return []
    lines = ["", "APPLIED TOGETHER"]
    lines += [line for change in joined.changes for line in wrapped(f"- {change.told} ({change.place})", "  ", hang=2)]
    if joined.failing:
        lines += wrapped(f"Then still failing, or not known: {', '.join(joined.failing)}.", "  ", hang=2)
    else:
        slim = f"; {joined.slim} finding{'s' if joined.slim != 1 else ''} slim" if joined.slim else ""
        lines += wrapped(f"Then nothing fails{slim}.", "  ")
    if joined.text:
        lines += wrapped(f"{'; '.join(joined.text)}.", "  ", hang=2)
    return [*lines, "  To see it:", *_command(found, answers)]


def _command(found: WaysOut, answers: Answers) -> list[str]:
    """Return the command that asks the build with all the changes, broken at its options."""
    changes = {change.path: change.written for change in found.together.changes} if found.together else {}
    settings = {**_given(answers.build), **changes}
    pieces = [f"foilwright ask {shlex.quote(answers.build.file)}", *([] if found.as_built else ["--as-designed"])]
    pieces += [f"--set {shlex.quote(f'{path}={written}')}" for path, written in settings.items()]
    lines = [f"    {pieces[0]}"]
    for piece in pieces[1:]:
        if len(lines[-1]) + len(piece) + 3 <= WIDE:
            lines[-1] += f" {piece}"
        else:
            lines[-1] += " \\"
            lines.append(f"      {piece}")
    return lines


def _given(build: Build) -> dict[str, str]:
    """Return the fields that were given otherwise than the file has them, as they are written."""
    out = {}
    for path, value in build.values.items():
        if build.filed.get(path) != value:
            meta = build.meta(path)
            out[path] = units.write(float(value), meta.unit) if meta.kind == "quantity" else str(value)
    return out
