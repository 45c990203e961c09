"""Of changes that were found to clear a whole build, the few that one question needs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from foilwright.assemble import Reader
from foilwright.build.build import Build, Value, disordered
from foilwright.core.errors import BuildFileError
from foilwright.questions.way import Change
from foilwright.study.ways.reach import asked
from foilwright.study.ways.trials import Design, vary


def fewest(build: Build, changes: Sequence[Change], question: str) -> tuple[Change, ...]:
    """Return changes none of which can be left out if a question shall not fail; none where all do not clear it.

    What is made in the workshop is left out first, what is set at the beach last. Each round asks the build without
    each change alone, then without more and more of those that are not needed alone.

    Parameters
    ----------
    build : Build
        A checked build in which the question fails.
    changes : sequence of Change
        Changes that together clear it, such as those of ``find(...).together``.
    question : str
        Name of the question.
    """
    try:
        made = build.with_texts({change.path: change.written for change in changes})
    except BuildFileError:
        return ()
    ordered = sorted(changes, key=lambda each: each.place == "beach")
    design: Design = {change.path: made.values[change.path] for change in ordered}
    base = {path: _base(build, path) for path in design}
    if not _cleared(build, base, [design], question)[0]:
        return ()
    while len(design) > 1:
        alone = _cleared(build, base, [_without(design, (path,)) for path in design], question)
        spare = [path for path, cleared in zip(design, alone, strict=True) if cleared]
        if not spare:
            break
        fewer = [_without(design, spare[:count]) for count in range(1, len(spare) + 1)]
        found = _cleared(build, base, fewer, question)
        design = fewer[max(k for k, cleared in enumerate(found) if cleared)]
    return tuple(change for change in changes if change.path in design)


def _without(design: Design, out: Sequence[str]) -> Design:
    return {path: value for path, value in design.items() if path not in out}


def _base(build: Build, path: str) -> Value | None:
    """Return the value of a field as the build stands; None where it is left open."""
    read = Reader(build=build, designs=1, varied={}, as_built=True)
    if build.meta(path).kind == "choice":
        return read.names(path)[0] or None
    value = float(read.number(path)[0])
    return None if value != value else value  # noqa: PLR0124 - no number


def _cleared(build: Build, base: Mapping[str, Value | None], designs: Sequence[Design], question: str) -> list[bool]:
    """Return which sets of changes leave the question without a failure; one that contradicts itself does not."""
    sound = [not disordered({**build.values, **design}, build.names, file="") for design in designs]
    answers = asked(build, vary(base, designs), as_built=True, questions=(question,))
    return [each and answers.verdict(row=row) != "fails" for row, each in enumerate(sound)]
