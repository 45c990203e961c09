"""What is wrong with a build file, as faults that a maker can act on."""

from __future__ import annotations

import difflib
import functools
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from foilwright.build.build import Value, disordered, fault_of
from foilwright.build.places import Loc, Places
from foilwright.build.schema import BOOK, LISTS, NAMED, TABLES, Block, Root, Surface
from foilwright.core import units
from foilwright.core.errors import Fault

MOST = 40
"""Faults told at once."""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """The text of a build file on its way to a Build."""

    file: str
    text: str
    tree: Mapping[str, Any]

    @functools.cached_property
    def places(self) -> Places:
        """Where each field is written."""
        return Places(self.text)


def of_schema(read: Reading, error: ValidationError) -> list[Fault]:
    """Return every fault of a tree that the schema refused, in the order of the file."""
    found = error.errors(include_url=False)
    told = [_fault(read, each) for each in found[:MOST] if each["type"] != "sizes"]
    told += of_whole(read, values_of(read.tree))
    told.sort(key=lambda fault: fault.line or 0)
    if len(found) > MOST:
        told.append(_more(read.file, len(found) - MOST))
    return told


def of_whole(read: Reading, values: Mapping[str, Value]) -> list[Fault]:
    """Return the faults that no field has alone: names given twice, sizes, a ride without legs."""
    told = [fault for kind in (*LISTS, *NAMED) for fault in _names(read, kind)]
    told += _unlike(read)
    told += [
        _sizes(read, name, block)
        for name, block in TABLES.items()
        if issubclass(block, Surface) and isinstance(read.tree.get(name), dict)
        if len(_written_sizes(read, name)) != 2
    ]
    ride = read.tree.get("ride")
    if isinstance(ride, dict) and ride.get("leg") == []:
        told.append(_table_fault(read.file, read.places.line(("ride", "leg")), "ride.leg", got="no leg", listed=True))
    entries = {kind: names_of(read.tree, kind) for kind in (*LISTS, *NAMED)}
    if disordered(values, entries, file=read.file):
        texts = {path: _written(read, path) for path in values}
        told += [
            replace(fault, line=read.places.line(_loc_of(read, fault.field)))
            for fault in disordered(values, entries, file=read.file, texts=texts)
        ]
    return told


def values_of(tree: Mapping[str, Any]) -> dict[str, Value]:
    """Return the fields of a tree that can be read, by their paths, in SI."""
    tables: dict[str, tuple[type[Block], Any]] = {name: (block, tree.get(name)) for name, block in TABLES.items()}
    for kind, block in {**LISTS, **NAMED}.items():
        for entry in _entries(tree, kind):
            if isinstance(entry, dict) and isinstance(entry.get("name"), str):
                tables.setdefault(f"{kind}.{entry['name']}", (block, entry))
    values: dict[str, Value] = {}
    for path, (block, table) in tables.items():
        for name, meta in block.metas().items() if isinstance(table, dict) else ():
            if name in table and name != "name":
                try:
                    values[f"{path}.{name}"] = meta.read(table[name])
                except ValueError:
                    continue
    return values


def names_of(tree: Mapping[str, Any], kind: str) -> tuple[str, ...]:
    """Return the names of the entries of a list."""
    return tuple(
        entry["name"]
        for entry in _entries(tree, kind)
        if isinstance(entry, dict) and isinstance(entry.get("name"), str)
    )


def _entries(tree: Mapping[str, Any], kind: str) -> list[Any]:
    here: Any = tree
    for key in kind.split("."):
        here = here.get(key) if isinstance(here, dict) else None
    if kind in NAMED and isinstance(here, dict):
        return [{**entry, "name": name} for name, entry in here.items() if isinstance(entry, dict)]
    return here if isinstance(here, list) else []


def _names(read: Reading, kind: str) -> list[Fault]:
    """Return the faults of the names in a list: each has its own, which can stand in a path."""
    told = []
    seen: Counter[str] = Counter()
    for k, entry in enumerate(_entries(read.tree, kind)):
        name = entry.get("name") if isinstance(entry, dict) else None
        if not isinstance(name, str):
            continue
        seen[name] += 1
        if seen[name] > 1 or any(mark in name for mark in ('="' if kind == "joint" else '.="')):
            told.append(
                Fault(
                    file=read.file,
                    line=read.places.line((kind, name) if kind in NAMED else (*kind.split("."), k, "name")),
                    field=f"{kind}.name",
                    got=units.quoted(name) + (" a second time" if seen[name] > 1 else ""),
                    allowed="a name of its own, without a full stop, an = or a quote in it",
                    example='name = "battery box"',
                )
            )
    return told[:MOST]


def _unlike(read: Reading) -> list[Fault]:
    """Return the faults of own materials that do not say which material of the book they are like."""
    return [
        Fault(
            file=read.file,
            line=read.places.line(("materials", entry["name"])),
            field=units.quoted(f"materials.{entry['name']}")[1:-1],
            got="a material that is not in the book and like none that is",
            allowed="a name of the book, or like = a name of the book: " + ", ".join(BOOK),
            example='like = "printed petg"',
        )
        for entry in _entries(read.tree, "materials")
        if entry["name"] not in BOOK and entry.get("like") is None
    ]


def _written_sizes(read: Reading, name: str) -> list[str]:
    return [size for size in Surface.SIZES if size in read.tree[name]]


def _sizes(read: Reading, name: str, block: type[Block]) -> Fault:
    written = _written_sizes(read, name)
    metas = block.metas()
    return Fault(
        file=read.file,
        line=read.places.line((name, written[-1]) if written else (name,)),
        field=name,
        got=f"{len(written)} of its sizes ({', '.join(written) or 'none'})",
        allowed="exactly two of " + ", ".join(Surface.SIZES),
        example=f"area = {metas['area'].example} and span = {metas['span'].example}",
    )


def _loc_of(read: Reading, path: str) -> Loc:
    table, _, name = path.rpartition(".")
    kind, _, entry_name = table.partition(".")
    if kind in NAMED:
        return (kind, entry_name, name)
    for kind in LISTS:
        wanted = table.removeprefix(f"{kind}.")
        for k, entry in enumerate(_entries(read.tree, kind) if wanted != table else ()):
            if isinstance(entry, dict) and entry.get("name") == wanted:
                return (*kind.split("."), k, name)
    return (table, name)


def _written(read: Reading, path: str) -> object:
    here: Any = read.tree
    for key in _loc_of(read, path):
        here = here[key]
    return here


def _fault(read: Reading, found: Any) -> Fault:
    """Turn one of the schema library's findings into a sentence of ours."""
    loc: Loc = tuple(found["loc"])
    line = read.places.line(loc)
    field = _path(loc, read.tree)
    block, name = _block(loc)
    meta = block.meta(name) if name in block.model_fields else None
    kind = found["type"]
    if kind == "extra_forbidden":
        return _unknown(read.file, line, field, block, str(loc[-1]))
    if meta is None:
        got = "nothing" if kind == "missing" else _shape(found["input"])
        listed = ".".join(key for key in loc if isinstance(key, str)) in LISTS
        return _table_fault(read.file, line, field, got=got, listed=listed)
    got = found["ctx"]["got"] if kind == "field" else "nothing" if kind == "missing" else "something else"
    near = found["ctx"]["nearest"] if kind == "field" else None
    return fault_of(meta, file=read.file, line=line, path=field, got=got, nearest=near)


def _unknown(file: str, line: int | None, field: str, block: type[Block], key: str) -> Fault:
    known = list(block.model_fields)
    near = difflib.get_close_matches(key[:60], known, n=1, cutoff=0.5)
    elsewhere = [f"{table}.{key}" for table, other in TABLES.items() if key in other.model_fields]
    nearest = near[0] if near else elsewhere[0] if elsewhere else None
    return Fault(
        file=file,
        line=line,
        field=field,
        got="an unknown key",
        allowed=", ".join(known),
        example=_entry(block, near[0] if near else known[-1]),
        nearest=nearest,
    )


def _entry(block: type[Block], name: str) -> str:
    meta = block.meta(name)
    return f"{name} = {meta.example}" if meta else f"[{name}]"


def _table_fault(file: str, line: int | None, field: str, *, got: str, listed: bool) -> Fault:
    plain = field.partition(" number ")[0]
    example = f"[[{plain}]]" if listed else f"[{plain}]"
    block = LISTS.get(plain) or TABLES.get(plain)
    needed = ", ".join(name for name, meta in block.metas().items() if meta.required) if block else ""
    allowed = f"{'one or more tables' if listed else 'one table'} {example}"
    allowed += f" with {needed}" if needed else ""
    return Fault(file=file, line=line, field=field, got=got, allowed=allowed, example=example)


def _shape(written: object) -> str:
    if isinstance(written, list) and written and all(isinstance(each, dict) for each in written):
        return "a list of tables, [[...]]"
    if isinstance(written, dict):
        return "a single table, [...]"
    return units.quoted(written)


def _block(loc: Loc) -> tuple[type[Block], str]:
    """Return the table that a place lies in, and the name of the field in it."""
    keys = tuple(key for key in loc if isinstance(key, str))
    if len(keys) > 1 and keys[0] in NAMED:
        return NAMED[keys[0]], keys[2] if len(keys) > 2 else ""
    for depth in range(len(keys), 0, -1):
        head = ".".join(keys[:depth])
        block = LISTS.get(head) or TABLES.get(head)
        if block:
            return block, keys[depth] if len(keys) > depth else ""
    return Root, keys[0] if keys else ""


def _path(loc: Loc, tree: Mapping[str, Any]) -> str:
    """Return the path as a maker writes it: list entries by their name."""
    parts: list[str] = []
    here: Any = tree
    for key in loc:
        try:
            here = here[key]
        except (KeyError, IndexError, TypeError):
            here = None
        if isinstance(key, str):
            parts.append(units.quoted(key)[1:-1])
            continue
        named = here.get("name") if isinstance(here, dict) else None
        if isinstance(named, str) and named.strip():
            parts.append(units.quoted(named)[1:-1])
        else:
            parts[-1] += f" number {key + 1}"
    return ".".join(parts)


def _more(file: str, count: int) -> Fault:
    return Fault(
        file=file,
        line=None,
        field="",
        got=f"{count} more faults",
        allowed="the ones above first",
        example="",
    )
