"""Writing build files: a new one with every field explained, and changes with comments kept."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import AoT, Table

from foilwright.build.build import Build, Value
from foilwright.build.schema import LISTS, TABLES, Block, Meta
from foilwright.core import units
from foilwright.core.data import write_kept
from foilwright.core.errors import PlaceError


def as_written(meta: Meta, value: Value) -> Value:
    """Return a value as it stands in a build file: text with a unit where it has one."""
    if meta.kind == "quantity" and isinstance(value, (int, float)):
        return (
            float(units.write(float(value), "1"))
            if meta.unit == "1"
            else units.write(float(value), meta.unit)
        )
    return value


def with_changes(build: Build, changes: Mapping[str, Value]) -> str:
    """Return the text of a build with fields (in SI) changed; comments and order stay."""
    document = tomlkit.parse(build.text)
    for path, value in changes.items():
        meta = build.check_variable(path)
        table, _, name = path.rpartition(".")
        _table(document, build, table)[name] = as_written(meta, value)
    return tomlkit.dumps(document)


def _table(document: Any, build: Build, path: str) -> Any:
    """Return the table of a path such as ``wing`` or ``part.battery box``, made where missing."""
    kind, _, entry = path.rpartition(".")
    if kind in LISTS:
        here = document
        for key in kind.split("."):
            here = here[key]
        return here[build.names[kind].index(entry)]
    if path not in document:
        document[path] = tomlkit.table()
    return document[path]


def explained(build: Build, name: str) -> str:
    """Return the text of a new build: what is written stays, every other field as a comment below."""
    document = tomlkit.parse(build.text)
    document["name"] = name
    for table, block in TABLES.items():
        if table not in document:
            document[table] = tomlkit.table()
        here = document[table]
        if isinstance(here, Table):
            _explain(here, block)
    for kind, block in LISTS.items():
        here = document
        for key in kind.split("."):
            here = here.get(key, {})
        if isinstance(here, AoT) and len(here):
            _explain(here[0], block)
    return tomlkit.dumps(document)


def _explain(here: Table, block: type[Block]) -> None:
    """Say behind each written field what it is, and add the others as comments."""
    for name, meta in block.metas().items():
        if name in here:
            item = here.item(name)
            if not item.trivia.comment:
                item.comment(_meaning(meta))
            continue
        value = meta.example if meta.default is None else _literal(as_written_default(meta))
        here.add(tomlkit.comment(f"{name} = {value}  # {_meaning(meta)}"))


def as_written_default(meta: Meta) -> Value:
    """Return a field's default as it would be written."""
    if meta.default is None:
        return ""
    return meta.default.value


def _literal(value: Value) -> str:
    return f'"{value}"' if isinstance(value, str) else str(value)


def _meaning(meta: Meta) -> str:
    told = meta.says if meta.kind in ("text", "choice") else f"{meta.says}; {meta.allowed()}"
    if meta.required or meta.kind == "text":
        return told
    return f"{told}; assumed if left out" if meta.default is not None else f"{told}; unknown if left out"


def write_new(build: Build, path: Path) -> None:
    """Write a new build file; one that exists is never overwritten."""
    text = explained(build, path.stem)
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise PlaceError(f"{path.name} exists already; choose another name, or move it away first") from None
    except OSError as error:
        raise PlaceError(f"{path} cannot be written: {error.strerror or error}") from None


def save(build: Build, changes: Mapping[str, Value], path: Path) -> None:
    """Write a build with changes; the previous file stays beside it as ``.bak``."""
    write_kept(path, with_changes(build, changes))
