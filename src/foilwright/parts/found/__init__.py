"""Findings that only the parts give: what nest, split and plan came to; what clamp, hub, seats and guard bear."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from foilwright.parts.found import real, strength
from foilwright.parts.job import Job, Made
from foilwright.questions import report, report_json
from foilwright.questions.ask import Answers
from foilwright.version import __version__

FILE = "findings.json"


def findings(job: Job, made: Sequence[tuple[Made, str]]) -> Answers:
    """Return what the things made for this build tell, as answers of `makeable` and `hold`."""
    reached: dict[str, float] = {}
    for one, of in made:
        if of == job.build.hash:
            reached |= one.reached
    found = {"makeable": tuple(real.findings(job, reached)), "hold": tuple(strength.findings(job))}
    return replace(job.answers, findings=found, numbers={}, curves={}, seats=tuple)


def rows(job: Job, found: Answers) -> list[tuple[str, str, str, str]]:
    """Return verdict, name, what was found, and what the bound in an ask said; worst first."""
    bounds = {one.id: one for one in job.answers.all() if one.applies[0]}
    out = []
    for one, verdict in report.ranked(found):
        case = report.case(one, 0)
        bound = bounds.get(real.BOUNDS.get(one.id, ""))
        name = f"{one.name} ({case})" if case else one.name
        said = report.said(one, 0) + (f". {one.required_why}" if verdict != "sound" else "")
        out.append((verdict, name, said, report.compared(bound, 0) if bound is not None else ""))
    return out


def lines(found: Answers) -> list[str]:
    """Return a line for each finding that is not sound, and how many are; worst first."""
    told = report.ranked(found)
    wanting = [
        f"{verdict}: {one.name}" + (f" ({case})" if (case := report.case(one, 0)) else "") + f"; {report.said(one, 0)}"
        for one, verdict in told
        if verdict != "sound"
    ]
    return [*wanting, f"{len(told) - len(wanting)} of {len(told)} findings on the parts are sound; {FILE}"]


def document(job: Job, found: Answers) -> dict[str, Any]:
    """Return the findings as plain data, in the form of `ask --json`, each beside the id of its bound."""
    return {
        "format": report_json.FORMAT, "program": f"foilwright {__version__}",
        "build": {"name": job.build.name, "hash": job.build.hash}, "verdict": found.verdict(),
        "findings": [
            report_json.finding_of(one, verdict, set(), 0) | {"bound": real.BOUNDS.get(one.id)}
            for one, verdict in report.ranked(found)
        ],
    }  # fmt: skip


def text(tree: Mapping[str, Any]) -> str:
    """Return the plain data as text."""
    return json.dumps(tree, indent=1, allow_nan=False, ensure_ascii=False) + "\n"
