"""What a run of `parts` makes things from, and what it says of each thing made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from foilwright.build.build import Build
from foilwright.questions.ask import Answers
from foilwright.questions.state import State


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One build to make parts from: what was written, what was computed, and where the files go."""

    build: Build
    state: State  # of this one design: row 0 of every array
    answers: Answers
    folder: Path  # files go below it under the paths that `Made` names
    tell: Callable[[str], None] = field(default=lambda _told: None)  # progress, a short sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """One thing made."""

    files: tuple[str, ...]  # below the folder, the first is the one to open
    kind: str  # solids, prints, foam, cloth, order, wiring, money, report
    title: str
    purpose: str  # a sentence: what it is for
    picture: str = ""  # PNG or SVG below the folder
    numbers: Mapping[str, float] = field(default_factory=dict)  # SI: mass, volume, area, time
    notes: tuple[str, ...] = ()  # what to know before it is used, cautions too
    reached: Mapping[str, float] = field(default_factory=dict)  # SI: what nest, split or plan came to, for the findings
