"""Entries of lists in the text of a build file: put in, taken out, renamed; every other line stays as it is."""

from __future__ import annotations

import re
from collections.abc import Mapping

import tomlkit

from foilwright.build.build import Build, typed
from foilwright.build.places import HEAD, Loc, Places
from foilwright.build.save import place_of
from foilwright.build.schema import BEHIND, LISTS, NAMED, Block, Meta, Part
from foilwright.core import units
from foilwright.core.errors import BuildFileError, Fault

QUOTED = r"(?:\"(?:[^\"\\]|\\.)*\"|'[^']*')"
"""A text as it stands in a file."""


FIRST = {"materials": ("like",), "joint": ("kind", "start", "end")}
"""Fields that a new entry has mostly, besides those that it must have."""


def asked_first(kind: str) -> tuple[dict[str, Meta], dict[str, Meta]]:
    """Return the fields that are asked first of a new entry, and all others; its name is asked besides."""
    metas = {name: meta for name, meta in block_of(kind).metas().items() if name != "name"}
    first = {name: meta for name, meta in metas.items() if meta.required or name in FIRST.get(kind, ())}
    return first, {name: meta for name, meta in metas.items() if name not in first}


def block_of(kind: str) -> type[Block]:
    """Return the table that an entry of a list is."""
    return LISTS[kind] if kind in LISTS else NAMED[kind]


def added(build: Build, kind: str, name: str, fields: Mapping[str, str]) -> str:
    """Return the text of a build with one more entry, behind the last of its kind.

    ``fields`` are given as text; what cannot be is told when the text is read.
    """
    _named(build, kind, name)
    _as_tables(build, kind)
    lines = build.text.replace("\r\n", "\n").split("\n")
    metas = block_of(kind).metas()
    head = [f"[[{kind}]]", f"name = {_literal(name)}"] if kind in LISTS else [f"[{kind}.{_literal(name)}]"]
    rows = [f"{field} = {_literal(typed(metas[field], text))}" for field, text in fields.items() if text]
    at = _behind(build, kind, lines)
    before = ["", *head, *rows]
    return _joined(build, [*lines[:at], *before, *([""] if at < len(lines) and lines[at].strip() else []), *lines[at:]])


def removed(build: Build, kind: str, name: str) -> str:
    """Return the text of a build without an entry, nor the comments that stand directly above it."""
    lines = build.text.replace("\r\n", "\n").split("\n")
    begin, end = _lines_of(build, kind, name, lines)
    while begin and lines[begin - 1].lstrip().startswith("#") and _apart(lines, begin - 1):
        begin -= 1
    if end < len(lines) and not lines[end].strip():
        end += 1
    return _joined(build, [*lines[:begin], *lines[end:]])


def renamed(build: Build, kind: str, name: str, to: str) -> str:
    """Return the text of a build with an entry under another name, in fields that name it too."""
    _named(build, kind, to)
    lines = build.text.replace("\r\n", "\n").split("\n")
    begin, end = _lines_of(build, kind, name, lines)
    if kind in NAMED:
        lines[begin] = re.sub(r"\.[^\]]*\]", lambda _: f".{_literal(to)}]", lines[begin], count=1)
        places = Places("\n".join(lines))
        for path in named_by(build, name):
            at = places.line(place_of(build, path))
            if at is not None and not path.startswith(f"{kind}.{name}."):
                lines[at - 1] = _given(lines[at - 1], path.rpartition(".")[2], to)
    else:
        at = next(k for k in range(begin, end) if re.match(r"\s*name\s*=", lines[k]))
        lines[at] = _given(lines[at], "name", to)
    return _joined(build, lines)


def named_by(build: Build, name: str) -> list[str]:
    """Return the written fields that name an own material or section."""
    return [
        path for path, value in build.values.items()
        if value == name and (build.meta(path).stuff or build.meta(path).shape)
    ]  # fmt: skip


def _given(line: str, field: str, to: str) -> str:
    return re.sub(rf"(\b{field}\s*=\s*){QUOTED}", lambda found: found[1] + _literal(to), line, count=1)


def _literal(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return str(tomlkit.string(value).as_string()) if isinstance(value, str) else repr(value)


def _joined(build: Build, lines: list[str]) -> str:
    text = "\n".join(lines)
    return text.replace("\n", "\r\n") if "\r\n" in build.text else text


def _named(build: Build, kind: str, name: str) -> None:
    """Refuse a name that an entry cannot have."""
    meta = Part.metas()["name"]
    try:
        meta.read(name)
        taken = name in build.names[kind]
    except ValueError:
        taken = False
    else:
        if not taken and not any(mark in name for mark in ('="\\' if kind == "joint" else '.="\\')):
            return
    raise _fault(
        build, f"{kind}.name", got=units.quoted(name) + (" a second time" if taken else ""),
        allowed="a name of its own, of one line and at most 60 letters, without a full stop, an = or a quote in it",
        example='"battery box"',
    )  # fmt: skip


def _as_tables(build: Build, kind: str) -> None:
    """Refuse a list that is written as one value: there is no line to put an entry on."""
    if build.names[kind] and kind in LISTS and _heads(build, kind).keys() != set(range(len(build.names[kind]))):
        raise _fault(
            build, kind, got="a list that is written as one value", allowed=f"a [[{kind}]] table for each entry",
            example=f"[[{kind}]]",
        )  # fmt: skip


def _fault(build: Build, field: str, *, got: str, allowed: str, example: str) -> BuildFileError:
    return BuildFileError([Fault(file=build.file, line=None, field=field, got=got, allowed=allowed, example=example)])


def _heads(build: Build, kind: str) -> dict[str | int, int]:
    """Return the line, from 0, on which each entry of a list begins, by its number or name."""
    lines = build.text.replace("\r\n", "\n").split("\n")
    keys: Loc = (kind,) if kind in NAMED else tuple(kind.split("."))
    return {
        loc[-1]: number - 1
        for number, loc in Places("\n".join(lines)).written().items()
        if loc[:-1] == keys and HEAD.match(lines[number - 1])
    }


def _lines_of(build: Build, kind: str, name: str, lines: list[str]) -> tuple[int, int]:
    """Return the first line of an entry and the one behind its last."""
    _as_tables(build, kind)
    key: str | int = name if kind in NAMED else build.names[kind].index(name)
    begin = _heads(build, kind).get(key)
    if begin is None:
        raise _fault(
            build, f"{kind}.{name}", got="an entry without a table of its own", allowed="its own [table]",
            example=f"[{kind}.{_literal(name)}]",
        )  # fmt: skip
    return begin, _end(lines, begin)


def _end(lines: list[str], begin: int) -> int:
    """Return the line behind a table: comments that follow without a gap still belong to it."""
    places = Places("\n".join(lines))
    head = next((number - 1 for number in places.heads if number - 1 > begin), len(lines))
    last = max((number - 1 for number in places.written() if begin <= number - 1 < head), default=begin)
    while last + 1 < head and lines[last + 1].strip() and not _leads_to(lines, last + 1, head):
        last += 1
    return last + 1


def _leads_to(lines: list[str], at: int, head: int) -> bool:
    """Say whether comments run on without a gap to the next table, which they tell of."""
    return head < len(lines) and all(lines[k].strip() for k in range(at, head))


def _apart(lines: list[str], at: int) -> bool:
    """Say whether the comments that end on a line begin behind a gap, and are not the end of what is above."""
    while at and lines[at - 1].lstrip().startswith("#"):
        at -= 1
    return at == 0 or not lines[at - 1].strip()


def _behind(build: Build, kind: str, lines: list[str]) -> int:
    """Return the line at which a new entry is put."""
    heads = _heads(build, kind)
    if heads:
        return _end(lines, max(heads.values()))
    table = next((table for table, kinds in BEHIND.items() if kind in kinds), "")
    at = Places("\n".join(lines)).line((table,)) if table else None
    if at is None or not HEAD.match(lines[at - 1]):
        return len(lines) - 1 if lines and not lines[-1].strip() else len(lines)
    return _end(lines, at - 1)
