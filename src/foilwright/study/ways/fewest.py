"""Of changes that were found to clear a whole build, the few that one question needs."""

from __future__ import annotations

from collections.abc import Sequence

from foilwright.build.build import Build
from foilwright.core.errors import BuildFileError
from foilwright.questions.ask import ask
from foilwright.questions.way import Change


def fewest(build: Build, changes: Sequence[Change], question: str) -> tuple[Change, ...]:
    """Return changes none of which can be left out if a question shall not fail; none where all do not clear it.

    What is made in the workshop is left out first, what is set at the beach last.

    Parameters
    ----------
    build : Build
        A checked build in which the question fails.
    changes : sequence of Change
        Changes that together clear it, such as those of ``find(...).together``.
    question : str
        Name of the question.
    """
    kept = list(changes)
    if not _clears(build, kept, question):
        return ()
    for change in sorted(changes, key=lambda each: each.place == "beach"):
        rest = [each for each in kept if each is not change]
        if _clears(build, rest, question):
            kept = rest
    return tuple(kept)


def _clears(build: Build, changes: Sequence[Change], question: str) -> bool:
    try:
        made = build.with_texts({change.path: change.written for change in changes})
    except BuildFileError:
        return False
    return ask(made, questions=(question,)).verdict() != "fails"
