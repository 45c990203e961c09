"""Writing build files: changes with everything else as it was, and new files with every field explained."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import Comment

from foilwright.build.build import Build, Value, left_over
from foilwright.build.explain import explained
from foilwright.build.load import read
from foilwright.build.schema import LISTS, Meta
from foilwright.core import units
from foilwright.core.data import write_kept
from foilwright.core.errors import PlaceError

__all__ = ["as_written", "explained", "save", "with_changes", "write_new"]


def as_written(meta: Meta, value: Value, *, like: object = None) -> Value:
    """Return a value in SI as it stands in a build file: text with a unit where it has one.

    The unit is that of ``like``, what was written before, else that of the field's example.
    """
    if meta.kind == "count":
        return round(float(value))
    if meta.kind != "quantity":
        return value
    written = units.write(float(value), meta.unit, like=like or meta.example.strip('"'))
    return float(written) if re.fullmatch(units.NUMBER, written) else written


def with_changes(build: Build, changes: Mapping[str, Value]) -> str:
    """Return the text of a build with fields (in SI) changed; all else stays, comments and order too.

    A measured value that stood in for a changed field is kept as a comment: it told of the craft
    before. A change that does not make a Build is an error, as it would be in the file.
    """
    lines_end = "\r\n" if "\r\n" in build.text else "\n"
    document = tomlkit.parse(build.text.replace("\r\n", "\n"))
    for path, value in changes.items():
        meta = build.check_variable(path)
        table, _, name = path.rpartition(".")
        here = _table(document, build, table)
        here[name] = as_written(meta, value, like=here.get(name))
    for path in left_over(changes):
        if path in build.values:
            _comment_out(document["measured"], path.rpartition(".")[2])
    text = tomlkit.dumps(document)
    read(text, name=build.name, file=build.file)
    return text.replace("\n", lines_end)


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


def _comment_out(table: Any, name: str) -> None:
    """Turn a field into a comment where it stands."""
    body = table.value.body if hasattr(table, "value") and hasattr(table.value, "body") else []
    for k, (key, item) in enumerate(body):
        if key is not None and key.key == name:
            told = Comment(tomlkit.items.Trivia(comment=f"# {name} = {item.as_string()}  # before the change"))
            table.remove(name)
            body[k] = (None, told)
            return
    table.remove(name)


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
