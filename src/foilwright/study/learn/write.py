"""What was learnt written into a build file: dated, with its interval beside it, and easy to take out again."""

from __future__ import annotations

import re
from collections.abc import Mapping

from foilwright.build import save
from foilwright.build.build import Build, Value
from foilwright.study.learn.diagnose import Correction, Diagnosis
from foilwright.study.learn.model import CHARGE

DATED = "read_on"


def learnt(found: Diagnosis) -> tuple[str, dict[str, Value]]:
    """Return the text of the build with what was learnt, and what changed.

    Only corrections that the readings say something about are written, and none where no explanation fits
    the readings; what was weighed or counted goes into ``[measured]``. A correction that stood there from an
    earlier day is replaced or left out.
    """
    build = found.build
    made = changes(found)
    text = save.with_changes(build, made) if made else build.text
    return noted(text, notes(found)), made


def changes(found: Diagnosis) -> dict[str, Value]:
    """Return the fields that keep what was learnt, by path."""
    build, told = found.build, _told(found)
    made: dict[str, Value] = dict(found.trial.measured)
    made |= {path: _rounded(build, path, each.factor) for path, each in told.items()}
    made |= {
        path: 1.0
        for path in build.filed
        if path.startswith("factors.") and path not in told and path != f"factors.{DATED}"
    }
    if told:
        made[f"factors.{DATED}"] = ", ".join(found.trial.dates)[:60] or "a day without a date"
    return made


def notes(found: Diagnosis) -> dict[str, str]:
    """Return what stands beside each correction in the file: its interval, and how to be without it."""
    return {
        path: f"from trials, {each.low:.2f} to {each.high:.2f}; take the line out to be without it"
        for path, each in _told(found).items()
    }


def noted(text: str, beside: Mapping[str, str]) -> str:
    """Return the text of a build with a comment beside some of its corrections."""
    for path, note in beside.items():
        name = path.rpartition(".")[2]
        text = re.sub(rf"(?m)^({name} = [^#\n]*?)[ \t]*(#.*)?$", rf"\1  # {note}", text, count=1)
    return text


def _told(found: Diagnosis) -> dict[str, Correction]:
    """Return the corrections that the readings say something about, by path."""
    taken = found.corrections if found.fits else ()
    return {each.path: each for each in taken if each.told and each.name != CHARGE}


def _rounded(build: Build, path: str, factor: float) -> float:
    meta = build.meta(path)
    low, high = meta.bounds()
    return round(min(max(factor, low), high), 3)
