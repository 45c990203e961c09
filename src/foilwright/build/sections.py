"""The own sections of a build: their coordinate files, and the tables that were kept beside them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from foilwright.build import coordinates
from foilwright.build.places import Places
from foilwright.core import units
from foilwright.core.data import table
from foilwright.core.errors import BuildFileError, Fault
from foilwright.shape import own
from foilwright.shape.own import OwnSection

SYMMETRICAL = 0.0015
"""Camber up to which a section counts as symmetrical [chord]."""
LARGEST = 400_000
"""Bytes of a kept table."""
POLAR, PRESSURE = ".polar.csv", ".pressure.csv"
"""What the name of a coordinate file becomes for the tables kept beside it."""


def of_tree(
    tree: Mapping[str, Any], *, text: str, file: str, beside: Path | None
) -> tuple[dict[str, OwnSection], list[Fault]]:
    """Return the sections of a build file by name, and what is wrong with them."""
    entries = tree.get("sections")
    found: dict[str, OwnSection] = {}
    told: list[Fault] = []
    for name, entry in entries.items() if isinstance(entries, dict) else ():
        if not isinstance(entry, dict) or not isinstance(entry.get("file"), str):
            continue
        field = f"sections.{units.quoted(name)[1:-1]}"
        wrong = _misnamed(name, entry["file"], beside)
        if wrong:
            got, allowed, example = wrong
            line = Places(text).line(("sections", name, "file"))
            told.append(Fault(file=file, line=line, field=f"{field}.file", got=got, allowed=allowed, example=example))
        elif beside is not None:
            try:
                points = coordinates.read(beside / entry["file"], field=field)
            except BuildFileError as error:
                told += error.faults
                continue
            found[name] = with_kept(own.made(name=name, file=entry["file"], outline=points), beside)
    return found, told


def _misnamed(name: str, file: str, beside: Path | None) -> tuple[str, str, str] | None:
    """Return what was written, what is allowed and an example, where a name is not as it must be."""
    if name in table("sections").texts["section"]:
        return f"the name of a built-in section, {name}", "a name of its own", "[sections.mine]"
    plain = file == Path(file).name and not set(file) & set('/\\:"') and file.isprintable()
    if not plain or file in ("", ".", ".."):
        return units.quoted(file), "the plain name of a file beside the build file", 'file = "my-foil.dat"'
    if beside is None:
        return (
            units.quoted(file),
            "a build file that lies in a folder, with the coordinates beside it",
            'file = "my-foil.dat"',
        )
    return None


def with_kept(section: OwnSection, beside: Path) -> OwnSection:
    """Return a section with the tables that lie beside it, where they are of this shape."""
    texts = [_kept(beside / (section.file + ending), section.mark) for ending in (POLAR, PRESSURE)]
    return replace(section, polar=texts[0], pressure=texts[1]) if all(texts) else section


def _kept(place: Path, mark: str) -> str:
    try:
        if not place.is_file() or place.stat().st_size > LARGEST:
            return ""
        text = place.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""
    return text if mark_line(mark) in text.splitlines() else ""


def mark_line(mark: str) -> str:
    """Return the line in the head of a kept table that says of which outline it is."""
    return f"# Mark of outline and models: {mark}"


def symmetrical(sections: Mapping[str, OwnSection]) -> tuple[str, ...]:
    """Return the names of the sections that a mast may have."""
    return tuple(
        name for name, each in sections.items() if float(np.abs(coordinates.camber(each.outline)).max()) <= SYMMETRICAL
    )
