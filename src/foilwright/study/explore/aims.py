"""What an exploration is after: numbers to minimise or maximise, numbers to keep within, verdicts."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from foilwright.core import units
from foilwright.core.errors import Fault
from foilwright.questions.report_text import NUMBERS
from foilwright.study.explore.space import RANGE, Variable

Where = Literal["sound", "not-failing", "any"]
WHERES: tuple[Where, ...] = ("sound", "not-failing", "any")
EXAMPLE = "--aim 'minimise cruise_electric_power'"
WITHIN = "--aim 'within take_off_speed 0:16:km/h'"


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """One aim. ``column`` holds its value in a row: a number, a varied field, or the margin of a finding."""

    kind: Literal["minimise", "maximise", "within"]
    column: str
    unit: str
    low: float = 0.0
    high: float = 0.0

    @property
    def sign(self) -> float:
        """1 where less is better, -1 where more is."""
        return -1.0 if self.kind == "maximise" else 1.0


def aims(
    written: Sequence[str], varied: Sequence[Variable], findings: Sequence[str]
) -> tuple[tuple[Aim, ...], list[Fault]]:
    """Return the aims, and what is wrong with how they are written.

    Parameters
    ----------
    written : sequence of str
        Each ``minimise NAME``, ``maximise NAME`` or ``within NAME LO:HI:UNIT``; NAME is one of the flat
        numbers, a varied field that holds a number, or the id of a finding (its margin).
    varied : sequence of Variable
        What is varied.
    findings : sequence of str
        The ids of all findings.
    """
    known = {name: ("1" if unit == "%" else unit) for name, (_, unit) in NUMBERS.items()}
    known |= {each.path: each.unit or "1" for each in varied if not each.names}
    known |= dict.fromkeys(findings, "1")
    out: list[Aim] = []
    faults: list[Fault] = []
    for each in written:
        kind, _, rest = each.strip().partition(" ")
        kind = {"minimize": "minimise", "maximize": "maximise"}.get(kind, kind)
        name, limits = rest.strip(), ""
        if kind == "within":
            name, _, limits = name.rpartition(" ")
        name = name.strip()
        if kind not in ("minimise", "maximise", "within") or not name:
            faults.append(_fault(each, "minimise NAME, maximise NAME or within NAME LO:HI:UNIT", EXAMPLE))
        elif name not in known:
            near = next(iter(difflib.get_close_matches(name[:80], known, n=1)), None)
            faults.append(_fault(name, "a number, a varied field or a finding", EXAMPLE, near))
        elif kind == "within":
            ends = _ends(limits, known[name])
            if isinstance(ends, str):
                faults.append(_fault(each, ends, WITHIN))
            else:
                out.append(
                    Aim(kind="within", column=_column(name, findings), unit=known[name], low=ends[0], high=ends[1])
                )
        else:
            which: Literal["minimise", "maximise"] = "minimise" if kind == "minimise" else "maximise"
            out.append(Aim(kind=which, column=_column(name, findings), unit=known[name]))
    return tuple(out), faults


def margin_column(finding: str) -> str:
    """Return the column that holds the margin of a finding, in units of its scale."""
    return f"margin.{finding}"


def _column(name: str, findings: Sequence[str]) -> str:
    return margin_column(name) if name in findings else name


def _ends(limits: str, unit: str) -> tuple[float, float] | str:
    """Return both ends in SI, or what is allowed."""
    found = RANGE.fullmatch(limits)
    if not found:
        return "LO:HI:UNIT behind the name"
    try:
        texts = [f"{end} {found[3] or ''}".strip() for end in found.groups()[:2]]
        low, high = (units.parse(float(text) if unit == "1" and not found[3] else text, unit) for text in texts)
    except units.UnitError as error:
        return f"{units.kind_of(unit)} with its unit ({error})"
    return (low, high) if low < high else "a low end that is less than the high end"


def _fault(got: str, allowed: str, example: str, nearest: str | None = None) -> Fault:
    return Fault(
        file="command line", line=None, field="--aim", got=units.quoted(got), allowed=allowed, example=example,
        nearest=nearest,
    )  # fmt: skip
