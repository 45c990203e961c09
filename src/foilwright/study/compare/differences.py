"""What differs between builds, in what is written and assumed, in findings and in numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foilwright.assemble import assemble
from foilwright.build.build import Build, Value
from foilwright.build.schema import LISTS
from foilwright.core.errors import BuildFileError, Fault
from foilwright.questions.ask import NAMES, Answers, ask
from foilwright.questions.finding import VERDICTS, Finding, gravity

MOST = 8
"""Builds side by side."""
ALIKE = 1e-9
"""Share by which values may differ and still be alike: what a unit written otherwise leaves."""
LETTERS = "ABCDEFGH"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A field that is not alike in all builds; a value is None where a build has no such field.

    ``written``: stated in the build file, not assumed; ``like``: an example in a maker's unit.
    """

    path: str
    unit: str
    like: str = ""
    values: tuple[Value | None, ...]
    written: tuple[bool, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """One finding in every build; None where the question has no object there."""

    id: str
    findings: tuple[Finding | None, ...]

    @property
    def verdicts(self) -> tuple[str | None, ...]:
        """The verdict in each build."""
        return tuple(None if each is None else VERDICTS[int(each.verdict[0])] for each in self.findings)

    @property
    def turned(self) -> bool:
        """Whether the verdict is not the same in all builds."""
        return len(set(self.verdicts)) > 1

    @property
    def moved(self) -> float:
        """By how much the margins differ, in units of their scale; none where one is missing."""
        known = [_spare(each) for each in self.findings]
        if any(math.isnan(each) for each in known):
            return 0.0 if all(math.isnan(each) for each in known) else math.inf
        low, high = min(known), max(known)
        return 0.0 if low == high else high - low

    @property
    def known(self) -> Finding:
        """The finding of the first build that has it."""
        return next(each for each in self.findings if each is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Builds side by side; the first is what the others are held against."""

    answers: tuple[Answers, ...]
    changes: tuple[Change, ...]
    stated: tuple[Change, ...]
    effects: tuple[Effect, ...]

    @property
    def letters(self) -> tuple[str, ...]:
        """How each build is called in a column."""
        return tuple(LETTERS[: len(self.answers)])


def compare(builds: Sequence[Build], *, questions: Sequence[str] = (), as_built: bool = True) -> Comparison:
    """Ask builds and tell what differs.

    Parameters
    ----------
    builds : sequence of Build
        Two or more; the first is what the others are held against.
    questions : sequence of str
        Names of the questions; none for all.
    as_built : bool
        Let measured values stand in for designed ones.
    """
    if not 2 <= len(builds) <= MOST:
        told = f"{len(builds)} {'build' if len(builds) == 1 else 'builds'}"
        fault = Fault(
            file="command line", line=None, field="BUILD", got=told, allowed=f"2 to {MOST} builds",
            example="foilwright compare lake.toml mine.toml",
        )  # fmt: skip
        raise BuildFileError([fault])
    answers = tuple(ask(build, questions=questions, as_built=as_built) for build in builds)
    changes = _changes(builds, as_built)
    different = tuple(each for each in changes if not _alike(each.values))
    stated = tuple(each for each in changes if _alike(each.values))
    return Comparison(answers=answers, changes=different, stated=stated, effects=_effects(answers))


def _changes(builds: Sequence[Build], as_built: bool) -> list[Change]:
    """Return every field that differs, or is stated here and assumed there."""
    assumed = [{each.path: each.value for each in assemble(build, as_built=as_built)[1]} for build in builds]
    held = [{**told, **build.values} for told, build in zip(assumed, builds, strict=True)]
    paths = dict.fromkeys(path for build in builds for path in build.paths())
    out = []
    for path in paths:
        values = tuple(each.get(path) for each in held)
        written = tuple(path in build.values for build in builds)
        if _alike(values) and len(set(written)) == 1:
            continue
        meta = next(build.meta(path) for build in builds if path in build.paths())
        like = meta.example.strip('"')
        out.append(Change(path=path, unit=meta.unit, like=like, values=values, written=written))
    return _entries(builds, out) + _shapes(builds)


def _shapes(builds: Sequence[Build]) -> list[Change]:
    """Return the own sections that bear one name and are not one shape."""
    marks = {
        name: tuple(build.sections[name].mark if name in build.sections else None for build in builds)
        for name in dict.fromkeys(name for build in builds for name in build.sections)
    }
    return [
        Change(
            path=f"sections.{name}.file", unit="", written=tuple(mark is not None for mark in told),
            values=tuple(None if mark is None else f"shape {mark[:6]}" for mark in told),
        )
        for name, told in marks.items()
        if len({mark for mark in told if mark is not None}) > 1
    ]  # fmt: skip


def _entries(builds: Sequence[Build], changes: list[Change]) -> list[Change]:
    """Return the changes with those of a list's entry that not every build has as one."""
    entries = {
        f"{kind}.{entry}": tuple(entry in build.names[kind] for build in builds)
        for kind in LISTS
        for entry in dict.fromkeys(name for build in builds for name in build.names[kind])
    }
    some = {head: there for head, there in entries.items() if not all(there)}
    plain = [each for each in changes if each.path.rpartition(".")[0] not in some]
    made = [
        Change(path=head, unit="", values=tuple("there" if has else None for has in there), written=there)
        for head, there in some.items()
    ]
    return plain + made


def _alike(values: Sequence[Value | None]) -> bool:
    """Say whether values are the same, but for what writing them in another unit leaves."""
    first = values[0]
    if isinstance(first, float) or any(isinstance(each, float) for each in values):
        numbers = [each for each in values if isinstance(each, int | float)]
        return len(numbers) == len(values) and all(
            math.isclose(each, float(numbers[0]), rel_tol=ALIKE, abs_tol=1e-12) for each in numbers
        )
    return all(each == first for each in values)


def _effects(answers: tuple[Answers, ...]) -> tuple[Effect, ...]:
    """Return every finding side by side: those whose verdict turned, then those that moved most."""
    found = [{each.id: each for each in one.all() if each.applies[0]} for one in answers]
    ids = dict.fromkeys(key for each in found for key in each)
    effects = [Effect(id=key, findings=tuple(each.get(key) for each in found)) for key in ids]
    return tuple(sorted(effects, key=_rank))


def _rank(effect: Effect) -> tuple[bool, tuple[int, int], float, int, str]:
    worst = min(gravity(each, 0)[:2] for each in effect.findings if each is not None)
    moved = effect.moved
    return (
        not effect.turned,
        worst if effect.turned else (0, 0),
        -moved,
        NAMES.index(effect.known.question),
        effect.id,
    )


def _spare(finding: Finding | None) -> float:
    """Return the margin in units of its scale, held within 99; NaN where there is none."""
    if finding is None or finding.reason[0]:
        return math.nan
    return min(float(finding.margin[0]) / finding.scale, 99.0)
