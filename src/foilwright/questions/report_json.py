"""One design's answers as the documented tree for JSON: SI, every number finite or null."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np

from foilwright.questions import report
from foilwright.questions.ask import Answers
from foilwright.questions.finding import MISSING, NO_SOLUTION, Beyond, Finding
from foilwright.version import __version__

FORMAT = 1


def document(answers: Answers, row: int = 0) -> dict[str, Any]:
    """Return the answers of one design as plain data."""
    assumed = {each.path for each in answers.assumed}
    found = report.ranked(answers, row)
    held, worst = found[0]
    return {
        "format": FORMAT,
        "program": f"foilwright {__version__}",
        "build": {"name": answers.build.name, "file": answers.build.file, "hash": answers.build.hash},
        "verdict": worst,
        "holds_back": held.id,
        "answers": {name: _answer(report.of_question(found, name), assumed, row) for name in answers.findings},
        "ways_out": [],
        "assumed": [asdict(each) for each in answers.assumed],
        "corrections": report.corrections(answers),
        "numbers": {name: number(values[row]) for name, values in answers.numbers.items()},
        "curves": {
            name: {key: [number(value) for value in values] for key, values in curve.items()}
            for name, curve in answers.curves.items()
        },
        "seats": [
            {key: number(value) if isinstance(value, float) else value for key, value in seat.items()}
            for seat in answers.seats()
        ],
    }


def number(value: float) -> float | None:
    """Return a number that JSON can hold; none where there is none."""
    return float(value) if np.isfinite(value) else None


def _answer(found: report.Ranked, assumed: set[str], row: int) -> dict[str, Any]:
    findings = [finding_of(finding, verdict, assumed, row) for finding, verdict in found]
    return {"verdict": found[0][1], "findings": findings}


def finding_of(finding: Finding, verdict: str, assumed: set[str], row: int) -> dict[str, Any]:
    """Return one finding as plain data."""
    why = report.why(finding, row)
    return {
        "id": finding.id,
        "question": finding.question,
        "name": finding.name,
        "part": finding.part,
        "place": finding.place,
        "case": report.case(finding, row),
        "meaning": finding.meaning,
        "kind": finding.kind,
        **_numbers(finding, row, known=why is None),
        "unit": finding.unit,
        "required_why": finding.required_why,
        "scale": finding.scale,
        "verdict": verdict,
        "why": why,
        "model": finding.model,
        "source": finding.source,
        "validity": [_validity(each, row) for each in finding.beyond if each.bad[row]],
        "inputs": list(finding.inputs),
        "assumed": [path for path in finding.inputs if path in assumed],
        "temperature": None if finding.temperature is None else number(finding.temperature[row]),
        "relief": None if finding.relief is None or why is None else number(finding.relief[row]),
    }


def _numbers(finding: Finding, row: int, *, known: bool) -> dict[str, float | None]:
    """Return what was compared; what stands in for a number that is not known is left out."""
    reason = finding.reason[row]
    return {
        "demand": None if reason == NO_SOLUTION else number(finding.demand[row]),
        "capacity": None if reason in (MISSING, NO_SOLUTION) else number(finding.capacity[row]),
        "margin": number(finding.margin[row]) if known else None,
        "required": number(finding.required[row]),
        "shortfall": number(finding.shortfall[row]) if known else None,
    }


def _validity(each: Beyond, row: int) -> dict[str, Any]:
    return {
        "model": each.model,
        "variable": each.variable,
        "value": number(each.value[row]),
        "low": number(each.low),
        "high": number(each.high),
        "means": each.means,
    }
