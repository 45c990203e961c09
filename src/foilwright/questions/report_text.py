"""One design's answers as plain text of 80 columns, worst first."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping, Sequence

import numpy as np

from foilwright.assemble import Assumption
from foilwright.questions import report
from foilwright.questions.ask import QUESTIONS, Answers
from foilwright.questions.charge import CAUTION as CHARGING
from foilwright.questions.finding import VERDICTS, Finding, is_flag

WIDE = 80
LEFT, RIGHT, STEP = 6, 10, 0.1
"""Steps of a bar on either side of zero, and what one stands for, in units of the finding's scale."""
BRIEF = 3
"""How many sound findings of each question are shown where all questions are asked: those with least to spare."""
NAME, NUMBERS_AT = 11, 21
"""Columns in which the name of a finding and its numbers begin."""
UNIT = re.compile(r"(?<=\d) (?=(?:%|°C|[A-Za-zΩ·²³/]{1,5})(?:[\s,.;:)]|$))")
"""The space between a number and its unit, at which no line is broken."""
KEPT = "\u00a0"
LASTS = 3600.0
"""Time from which on nothing gets too hot any more [s]."""

LEGEND = (
    'How to read it: "to spare" is what there is beyond what is asked, "needs" how much of that there must'
    " be. The bars show it: from the zero line │ to the right what is to spare, to the left what is"
    " short, ┃ at what it needs. Ten steps are as much again as is asked, or a usual spare; ▸ and ◂: more."
)
CAUTION = (
    "These are margins under the stated assumptions, not a promise that the craft is safe. Propeller,"
    " lithium cells, cold water and falls hurt people: go to the water with a partner, a float vest and"
    " a helmet, a stop that works without the radio, and under the rules of the place."
)
NUMBERS = {
    "total_mass": ("mass with rider and kit", "kg"),
    "board_volume": ("volume of the board", "m^3"),
    "freeboard_prone": ("deck over water, lying", "m"),
    "hump_speed": ("hump, speed", "m/s"),
    "hump_resistance": ("hump, resistance", "N"),
    "hump_thrust": ("hump, full thrust", "N"),
    "take_off_speed": ("take-off, speed", "m/s"),
    "take_off_time": ("take-off, time", "s"),
    "take_off_distance": ("take-off, distance", "m"),
    "take_off_electric_power": ("take-off, pack power", "W"),
    "release_throttle": ("release, most throttle", "%"),
    "slowest_flight": ("slowest flight", "m/s"),
    "fastest_flight": ("fastest flight", "m/s"),
    "cruise_speed": ("cruise, speed", "m/s"),
    "cruise_drag": ("cruise, drag", "N"),
    "cruise_electric_power": ("cruise, pack power", "W"),
    "glide_ratio": ("cruise, weight over drag", "1"),
    "static_margin": ("static margin, of chord", "%"),
    "run_time": ("time on a charge", "s"),
    "ride_range": ("way on a charge", "m"),
}
"""The flat numbers: what a maker calls them, and the unit."""


def text(answers: Answers, row: int = 0) -> str:
    """Return the answers of one design in plain words, worst first, 80 columns wide."""
    build, brief = answers.build, len(answers.findings) == len(QUESTIONS)
    found = report.ranked(answers, row)
    asked = {question: report.of_question(found, question.name) for question in QUESTIONS}
    lines = [*wrapped(f"{build.name}  ({build.file}, version {build.hash})"), *wrapped(report.rests_on(answers)), ""]
    lines += [*_strip({question.name: part for question, part in asked.items() if part}), ""]
    lines += [*_held(*found[0], row), "", *wrapped(LEGEND)]
    for question, part in asked.items():
        if part:
            lines += ["", f"{question.name.upper()}  {_loud(part[0][1])}", *wrapped(question.asks, "  ")]
            lines += _findings(part, row, question.name, build.file, brief=brief)
            if question.name == "cool" and (not brief or part[0][1] != "sound"):
                lines += _seats(answers)
            if question.name == "charge":
                lines += ["", *wrapped(f"Caution: {CHARGING}", "  ", hang=2)]
    lines += ["", *_numbers(answers, row), "", *_assumptions(answers.assumed)]
    lines += ["", *wrapped(CAUTION)]
    return "\n".join(lines) + "\n"


def _findings(part: report.Ranked, row: int, question: str, file: str, *, brief: bool) -> list[str]:
    """Return the findings of a question; where all are asked, the sound ones with most to spare are counted only."""
    sound = [finding for finding, verdict in part if verdict == "sound"]
    shown = len(part) - len(sound) + BRIEF if brief and len(sound) > BRIEF + 1 else len(part)
    lines = [line for finding, verdict in part[:shown] for line in _finding(finding, verdict, row)]
    if shown < len(part):
        lines += wrapped(f"and {len(part) - shown} more, sound: foilwright ask {file} {question}", "  ", hang=2)
    return lines


def _strip(asked: Mapping[str, report.Ranked]) -> list[str]:
    """Return one line a question: its verdict and how many findings have which."""
    lines = [f"  {'question':<10}{'verdict':<10}" + "".join(f"{name:>9}" for name in VERDICTS)]
    for name, found in asked.items():
        verdicts = [verdict for _, verdict in found]
        counts = "".join(f"{verdicts.count(verdict) or '-':>9}" for verdict in VERDICTS)
        lines.append(f"  {name:<10}{_loud(verdicts[0]):<10}{counts}")
    return lines


def _loud(verdict: str) -> str:
    return verdict.upper() if verdict == "fails" else verdict


def _held(finding: Finding, verdict: str, row: int) -> list[str]:
    """Return what holds the build back, what its number means and what failing means."""
    if verdict == "sound":
        lines = ["NOTHING FAILS under the assumptions below. The least to spare:"]
    else:
        lines = [f"HOLDS THE BUILD BACK  {_loud(verdict)}: {report.VERDICTS_MEAN[verdict]}"]
    lines += wrapped(_named(finding, row), "  ")
    lines += wrapped(f"{report.said(finding, row)}.{_part_of_need(finding, row)}", "  ")
    return lines + _reasons(finding, "  ", inputs=True)


def _named(finding: Finding, row: int) -> str:
    """Return the name of a finding with the case that governs it."""
    which = report.case(finding, row)
    return f"{finding.name} ({which})" if which and not report.never(finding, row) else finding.name


def _part_of_need(finding: Finding, row: int) -> str:
    """Return how much of the margin it must have is there."""
    has, needs = float(finding.margin[row]), float(finding.required[row])
    if finding.reason[row] or not 0.0 <= has < needs:
        return ""
    return f" That is {100.0 * has / needs:.0f} % of the spare that it must have."


def _reasons(finding: Finding, indent: str, *, inputs: bool) -> list[str]:
    """Return why it needs its margin, what failing means, and where the numbers come from."""
    told = [
        f"Why: {finding.required_why}.",
        f"If it fails: {report.MEANS[finding.meaning]}.",
        f"Source: {finding.source.rstrip('.')}.",
    ]
    if inputs:
        told.append(f"Fields behind it: {', '.join(finding.inputs)}.")
    return [line for sentence in told for line in wrapped(sentence, indent, hang=2)]


def _finding(finding: Finding, verdict: str, row: int) -> list[str]:
    """Return a finding: verdict and name, then bar and numbers; what is not sound with its reasons."""
    drawn = _bar_of(finding, row)
    name = _named(finding, row) + ("" if drawn else f": {report.said(finding, row)}")
    lines = _beside(f"  {_loud(verdict)}", NAME, name)
    if drawn:
        lines += _beside(f"  {drawn}", NUMBERS_AT, report.said(finding, row))
    if verdict != "sound":
        lines += _reasons(finding, " " * NAME, inputs=False)
    for each in finding.beyond:
        if each.bad[row] and not each.decides:
            lines += wrapped(f"Note: {each.means}.", " " * NAME, hang=2)
    return lines


def _beside(front: str, column: int, told: str) -> list[str]:
    """Return lines that begin in a column, with something in front of the first."""
    first, *others = wrapped(told, " " * column)
    return [f"{front:<{column}}{first[column:]}", *others]


def _bar_of(finding: Finding, row: int) -> str:
    if finding.reason[row] or is_flag(finding, row):
        return ""
    return bar(float(finding.margin[row]) / finding.scale, float(finding.required[row]) / finding.scale)


def bar(margin: float, required: float) -> str:
    """Return a margin as a bar about a zero line, with the one it must have marked; both in units of scale."""
    steps = int(np.clip(round(np.clip(margin / STEP, -99.0, 99.0)), -LEFT - 1, RIGHT + 1))
    need = int(np.clip(np.ceil(required / STEP - 1e-9), 0, RIGHT))
    marks = [" "] * LEFT + ["│"] + [" "] * RIGHT
    marks[LEFT + 1 : LEFT + 1 + min(max(steps, 0), RIGHT)] = "█" * min(max(steps, 0), RIGHT)
    marks[LEFT - min(max(-steps, 0), LEFT) : LEFT] = "░" * min(max(-steps, 0), LEFT)
    marks[LEFT + need] = "┃"
    if steps > RIGHT:
        marks[-1] = "▸"
    elif steps < -LEFT:
        marks[0] = "◂"
    return "".join(marks)


def _seats(answers: Answers) -> list[str]:
    """Return the controller in every seat as a table."""
    rows = answers.seats()
    if not rows:
        return []
    limit = report.amount(float(rows[0]["limit"]), "K")
    lines = ["", f"  The controller in each seat, limit {limit}; > marks the seat of this build"]
    lines += [f"    {'':<33}{'warmest':>9}{'bears full':>16}{'bears cruise':>17}"]
    lines += [f"    {'seat':<33}{'in ride':>9}{'throttle for':>16}{'plate dry for':>17}"]
    for each in rows:
        mark, times = ">" if each["own"] else " ", float(each["sink"])
        seat = str(each["seat"]) + (f", sink {times:.3g} times as large" if times != 1.0 else "")
        warmest = report.amount(float(each["controller"]), "K")
        full, dry = (_lasts(each[name]) for name in ("full_throttle", "dry_plate"))
        lines.append(f"  {mark} {seat:<33}{warmest:>9}{full:>16}{dry:>17}")
    told = (
        "Areas and pad as written or assumed. A larger sink in a closed box only delays; a plate cools while it is wet."
    )
    return lines + wrapped(told, "    ")


def _lasts(seconds: float | str | bool) -> str:
    time = float(seconds)
    return "-" if not np.isfinite(time) else "over an hour" if time >= LASTS else report.amount(time, "s")


def _numbers(answers: Answers, row: int) -> list[str]:
    cells = []
    for name, (label, unit) in NUMBERS.items():
        if name in answers.numbers:
            cells.append(f"{label:<26}{_number(float(answers.numbers[name][row]), unit)}")
    half = (len(cells) + 1) // 2
    pairs = zip(cells[:half], [*cells[half:], ""], strict=False)
    return ["NUMBERS", *(f"  {left:<38}{right}".rstrip() for left, right in pairs)]


def _number(value: float, unit: str) -> str:
    if not np.isfinite(value):
        return "none"
    return report.percent(value) if unit == "%" else report.amount(value, unit)


def _assumptions(assumed: Sequence[Assumption]) -> list[str]:
    """Return what was assumed, one line each: path, value, range; tables together."""
    if not assumed:
        return ["ASSUMED  nothing: the build file states every field that was used"]
    lines = wrapped(
        f"ASSUMED  {len(assumed)} fields that the build file leaves out, with the range in which they may lie."
        " State or measure them. Their sources: foilwright ask BUILD --json"
    )
    tables = list(dict.fromkeys(_table(each) for each in assumed))
    together = sorted(assumed, key=lambda each: tables.index(_table(each)))
    wide = min(max(len(each.path) for each in together), 44)
    for each in together:
        value, span = _spread(each)
        line = f"  {each.path:<{wide}}  {value:<11} {span}".rstrip()
        lines += [line] if len(line) <= WIDE else wrapped(f"{each.path}  {value}  {span}", "  ", hang=4)
    return lines


def _table(each: Assumption) -> str:
    return each.path.split(".", 1)[0]


def _spread(each: Assumption) -> tuple[str, str]:
    """Return what was assumed and its range, in one unit."""
    if isinstance(each.value, str) or isinstance(each.low, str) or isinstance(each.high, str):
        value, low, high, unit = str(each.value), str(each.low), str(each.high), ""
    else:
        (value, low, high), unit = report.amounts([each.value, each.low, each.high], each.unit or "1")
    return f"{value}{unit}", f"({low} to {high}{unit})" if low != high else ""


def wrapped(told: str, indent: str = "", hang: int = 0) -> list[str]:
    """Return a text as lines of the screen; a number stays beside its unit."""
    further = indent + " " * hang
    lines = textwrap.wrap(
        UNIT.sub(KEPT, told), WIDE, initial_indent=indent, subsequent_indent=further, break_on_hyphens=False
    )
    return [line.replace(KEPT, " ") for line in lines]
