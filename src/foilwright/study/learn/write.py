"""What was learnt written into a build file: dated, with its interval beside it, and easy to take out again."""

from __future__ import annotations

import re

from foilwright.build import save
from foilwright.build.build import Build, Value
from foilwright.study.learn.diagnose import Diagnosis
from foilwright.study.learn.model import CHARGE

DATED = "read_on"


def learnt(found: Diagnosis) -> tuple[str, dict[str, Value]]:
    """Return the text of the build with what was learnt, and what changed.

    Only corrections that the readings say something about are written, and none where no explanation fits
    the readings; what was weighed or counted goes into ``[measured]``. A correction that stood there from an
    earlier day is replaced or left out.
    """
    build = found.build
    changes: dict[str, Value] = dict(found.trial.measured)
    taken = found.corrections if found.fits else ()
    told = {each.path: each for each in taken if each.told and each.name != CHARGE}
    changes |= {path: _rounded(build, path, each.factor) for path, each in told.items()}
    changes |= {
        path: 1.0
        for path in build.filed
        if path.startswith("factors.") and path not in told and path != f"factors.{DATED}"
    }
    if told:
        changes[f"factors.{DATED}"] = ", ".join(found.trial.dates)[:60] or "a day without a date"
    text = save.with_changes(build, changes) if changes else build.text
    for path, each in told.items():
        name = path.rpartition(".")[2]
        note = f"from trials, {each.low:.2f} to {each.high:.2f}; take the line out to be without it"
        text = re.sub(rf"(?m)^({name} = [^#\n]*?)[ \t]*(#.*)?$", rf"\1  # {note}", text, count=1)
    return text, changes


def _rounded(build: Build, path: str, factor: float) -> float:
    meta = build.meta(path)
    low, high = meta.bounds()
    return round(min(max(factor, low), high), 3)
