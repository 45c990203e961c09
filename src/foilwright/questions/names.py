"""What is said where a name is none of the questions'."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from foilwright.core import units
from foilwright.core.errors import Fault


def unknown(names: Sequence[str], known: Sequence[str]) -> list[Fault]:
    """Return a fault for each name that is none of the known ones."""
    return [
        Fault(
            file="questions asked",
            line=None,
            field="",
            got=units.quoted(name),
            allowed="one of " + ", ".join(known),
            example=known[0],
            nearest=next(iter(difflib.get_close_matches(name[:40], known, n=1)), None),
        )
        for name in names
        if name not in known
    ]
