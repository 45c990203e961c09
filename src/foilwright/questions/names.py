"""The names of the questions, and what is said where a name is none of them."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from foilwright.core import units
from foilwright.core.errors import Fault
from foilwright.questions.ask import QUESTIONS

NAMES = tuple(question.name for question in QUESTIONS)


def unknown(names: Sequence[str]) -> list[Fault]:
    """Return a fault for each name that is no question."""
    return [
        Fault(
            file="questions asked",
            line=None,
            field="",
            got=units.quoted(name),
            allowed="one of " + ", ".join(NAMES),
            example=NAMES[0],
            nearest=next(iter(difflib.get_close_matches(name[:40], NAMES, n=1)), None),
        )
        for name in names
        if name not in NAMES
    ]
