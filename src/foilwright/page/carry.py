"""What differs between a file and what is written on the page, and how it is carried over to another text."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from foilwright.assemble import assemble
from foilwright.assemble.drawn import drawn
from foilwright.build import entries
from foilwright.build.build import Build, Value
from foilwright.build.save import as_written
from foilwright.build.schema import LISTS, NAMED, TABLES, Meta, Surface
from foilwright.core.errors import BuildFileError
from foilwright.page.draft import Edits

Entry = tuple[str, str]
"""A list and the name of one of its entries."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """Changes upon another text: the text with other entries, fields given anew, and what it does not admit."""

    text: str
    edits: Edits
    lost: Mapping[str, str]


def entry_of(path: str) -> Entry | None:
    """Return the entry of a list in which a field lies; none where it lies in a plain table."""
    table = path.rpartition(".")[0]
    kind = next((each for each in (*LISTS, *NAMED) if table.startswith(f"{each}.")), "")
    return (kind, table.removeprefix(f"{kind}.")) if kind else None


def sizes_with(path: str) -> tuple[str, ...]:
    """Return a field, or all sizes of a lifting surface where it is one: two of them are written, whichever."""
    table, _, name = path.rpartition(".")
    block = TABLES.get(table)
    if block is None or not issubclass(block, Surface) or name not in Surface.SIZES:
        return (path,)
    return tuple(f"{table}.{size}" for size in Surface.SIZES)


def following(build: Build, part: str) -> dict[str, float]:
    """Return the sizes of a lifting surface that follow from the two that are written, by path [SI]."""
    if not sizes_with(f"{part}.area")[1:]:
        return {}
    made = getattr(assemble(build)[0], part)
    area, span = float(made.area[0]), float(made.span[0])
    all_ = {"area": area, "span": span, "aspect_ratio": span**2 / area, "mean_chord": area / span}
    return {f"{part}.{name}": value for name, value in all_.items() if f"{part}.{name}" not in build.values}


def moved(file: Build, build: Build) -> tuple[list[Entry], list[Entry]]:
    """Return the entries of lists that a file has not, and those that are gone."""
    here, there = (
        [(kind, name) for kind in (*LISTS, *NAMED) for name in each.names[kind]] for each in (build, file)
    )  # fmt: skip
    return [each for each in here if each not in there], [each for each in there if each not in here]


def differing(file: Build, build: Build) -> tuple[str, ...]:
    """Return what differs from a file: an entry that is new or gone as one (``part.paddle``), then fields."""
    new, gone = moved(file, build)
    return (*(".".join(each) for each in (*new, *gone)), *_fields(file, build))


def _fields(file: Build, build: Build) -> list[str]:
    """Return the fields that differ, of what both have."""
    new, gone = moved(file, build)
    whole = {*new, *gone}
    paths = dict.fromkeys((*file.values, *build.values))
    return [path for path in paths if file.values.get(path) != build.values.get(path) and entry_of(path) not in whole]


def text_of(meta: Meta, value: Value) -> str:
    """Return a value as a maker would write it."""
    written = as_written(meta, value)
    return str(written).lower() if isinstance(written, bool) else str(written)


def given_anew(build: Build, edits: Edits) -> Build:
    """Return a build with fields given anew; what cannot be, also of its drawn network, raises BuildFileError."""
    made = build.with_texts(edits)
    if made.names["joint"]:
        drawn(assemble(made)[0])
    return made


def fits(build: Build, edits: Edits) -> bool:
    """Say whether a build admits fields given anew."""
    try:
        given_anew(build, edits)
    except BuildFileError:
        return False
    return True


def carried(file: Build, old: Build, build: Build, edits: Edits, read: Callable[[str], Build]) -> Carried:
    """Return what was changed upon an old file, upon another one.

    Parameters
    ----------
    file, old : Build
        The file as it is now, and as it was when it was changed here.
    build : Build
        What is written here.
    edits : mapping
        Texts of the fields that were given anew, as they were typed.
    read : callable
        Makes a build of a text.
    """
    made, lost = file, dict[str, str]()
    new, gone = moved(old, build)
    for kind, name in gone:
        if name in made.names[kind]:
            try:
                made = read(entries.removed(made, kind, name))
            except BuildFileError:
                lost[f"{kind}.{name}"] = ""
    for kind, name in new:
        fields = {
            path.rpartition(".")[2]: _given(build, edits, path) or ""
            for path in build.values if entry_of(path) == (kind, name)
        }  # fmt: skip
        try:
            made = read(entries.added(made, kind, name, fields))
        except BuildFileError:
            lost[f"{kind}.{name}"] = ""
    texts = {path: _given(build, edits, path) for path in _fields(old, build)}
    known = {path: text for path, text in texts.items() if fits(made, {path: text})}
    known = known if fits(made, known) else {}
    lost |= {path: text or "" for path, text in texts.items() if path not in known}
    return Carried(text=made.text, edits=known, lost=lost)


def _given(build: Build, edits: Edits, path: str) -> str | None:
    """Return a field as it was typed, or else as it is written; none where it is left out."""
    if path in edits:
        return edits[path]
    return text_of(build.meta(path), build.values[path]) if path in build.values else None


def sentence(error: BuildFileError, *, named: bool = False) -> str:
    """Return what is wrong in one sentence, without the name of the file and the field beside which it stands.

    ``named``: with the name of the field, where several stand together.
    """
    told = []
    for fault in error.faults:
        near = f"; did you mean {fault.nearest}?" if fault.nearest else ""
        field = f"{fault.field.rpartition('.')[2]}: " if named else ""
        such = f", such as {fault.example}" if fault.example else ""
        told.append(f"{field}it takes {fault.allowed}{such}, not {fault.got}{near}")
    return "; ".join(told)
