"""Readiness: bench tests, sheets, cards for the beach and a staged plan of trials, from one build's own answers."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from pathlib import Path

from foilwright.build.build import Build
from foilwright.core import units
from foilwright.core.data import write_kept, write_whole
from foilwright.core.errors import BuildFileError, Fault, PlaceError
from foilwright.parts.ready import markdown, paper, screen, session
from foilwright.parts.ready.card import Card
from foilwright.parts.ready.facts import facts
from foilwright.parts.ready.texts import filled

__all__ = ["Card", "cards", "chosen", "text", "write"]

ALL = "all"


def cards(build: Build) -> tuple[Card, ...]:
    """Return the cards of a build."""
    return filled(facts(build))


def chosen(made: Sequence[Card], names: Sequence[str]) -> tuple[Card, ...]:
    """Return the named cards; a name that is none of theirs is an error that names the nearest."""
    known = [card.name for card in made]
    strange = [name for name in names if name not in (*known, ALL)]
    if strange:
        raise BuildFileError([_unknown(name, known) for name in strange])
    return tuple(card for card in made if ALL in names or card.name in names)


def text(made: Sequence[Card], names: Sequence[str], file: str) -> str:
    """Return the named cards for a terminal, or the index where none is named."""
    return "\n".join(screen.text(card) for card in chosen(made, names)) if names else screen.index(made, file)


def write(build: Build, made: Sequence[Card], place: Path, *, printed: bool = True) -> list[Path]:
    """Write ready.md, session.toml and ready.pdf into a folder; a session file that is there is left alone.

    Raises
    ------
    MissingExtraError
        A PDF is wanted and its typesetter is not installed; the other files are written then.
    """
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise PlaceError(f"{place} cannot be made: {error.strerror or error}") from error
    page, blank = place / "ready.md", place / "session.toml"
    write_kept(page, markdown.page(made, build.name))
    written = [page]
    if not blank.exists():
        write_kept(blank, session.blank(build))
        written.append(blank)
    if printed:
        sheet = place / "ready.pdf"
        write_whole(sheet, paper.pdf(made, f"{build.name}, version {build.hash}"))
        written.append(sheet)
    return written


def _unknown(name: str, known: Sequence[str]) -> Fault:
    near = difflib.get_close_matches(name[:40], known, n=1)
    return Fault(
        file="command line",
        line=None,
        field="CARD",
        got=units.quoted(name),
        allowed="one of " + ", ".join((*known, ALL)),
        example=known[0],
        nearest=near[0] if near else None,
    )
