"""The shipped days on the water of first-try, written out where they can be read and changed."""

from __future__ import annotations

from pathlib import Path

from foilwright.core.data import folder
from foilwright.core.errors import PlaceError


def files() -> tuple[Path, ...]:
    """Return the shipped files of the two days."""
    return tuple(sorted((folder() / "trials" / "first-try").iterdir()))


def written_out(place: Path) -> tuple[str, ...]:
    """Write the files of the two days into a folder; one that is there is never touched."""
    there = [path.name for path in files() if (place / path.name).exists()]
    if there:
        raise PlaceError(f"{there[0]} exists already; call this in another folder, or move it away first")
    try:
        for path in files():
            (place / path.name).write_bytes(path.read_bytes())
    except OSError as error:
        raise PlaceError(f"{place} cannot be written: {error.strerror or error}") from error
    return tuple(path.name for path in files())
