"""Writing build files: changes with everything else as it was, and new files with every field explained."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import Comment, InlineTable, Trivia

from foilwright.build.build import Build, Value, left_over, typed
from foilwright.build.explain import explained
from foilwright.build.load import read
from foilwright.build.places import HEAD, Loc, Places, comment_of
from foilwright.build.schema import LISTS, NAMED, Meta
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


def with_changes(
    build: Build, changes: Mapping[str, Value | None], texts: Mapping[str, str | None] | None = None
) -> str:
    """Return the text of a build with fields (in SI) changed; all else stays, comments and order too.

    A field that stands there as a comment, as in a new file, comes alive in its place; one that is left
    out (None) becomes a comment. A measured value that stood in for a changed field becomes a comment: it
    told of the craft before. A change that does not make a Build is an error, as it would be in the file.
    ``texts`` are values as the maker wrote them, to be kept in their units and digits.
    """
    line_end = "\r\n" if "\r\n" in build.text else "\n"
    text = build.text.replace("\r\n", "\n")
    out = [path for path, value in changes.items() if value is None]
    for path, value in changes.items():
        build.check_variable(path, without=out)
        if path not in build.filed and value is not None:
            text = _alive(text, place_of(build, path))
    document = tomlkit.parse(text)
    for path, value in changes.items():
        if value is None:
            continue
        loc, meta = place_of(build, path), build.meta(path)
        here, name = _table(document, loc[:-1]), str(loc[-1])
        own = (texts or {}).get(path)
        _put(here, name, typed(meta, own) if own else as_written(meta, value, like=here.get(name)))
    for path in (*out, *left_over(changes)):
        if path in build.filed:
            loc = place_of(build, path)
            _comment_out(_table(document, loc[:-1]), str(loc[-1]), "" if path in out else " (before the change)")
    text = tomlkit.dumps(document)
    read(text, name=build.name, file=build.file, beside=build.beside)
    return text.replace("\n", line_end)


def place_of(build: Build, path: str) -> Loc:
    """Return a path as keys and entry numbers."""
    table, _, name = path.rpartition(".")
    for kind in NAMED:
        if table.startswith(f"{kind}."):
            return (kind, table.removeprefix(f"{kind}."), name)
    for kind in LISTS:
        if table.startswith(f"{kind}."):
            return (*kind.split("."), build.names[kind].index(table.removeprefix(f"{kind}.")), name)
    return (table, name)


def _alive(text: str, loc: Loc) -> str:
    """Return the text with a field that stands in its table as a comment made alive."""
    begin = Places(text).line(loc[:-1])
    lines = text.split("\n")
    for k in range(begin or len(lines), len(lines)):
        if HEAD.match(lines[k]):
            break
        found = re.match(rf"# ?({loc[-1]} = .*)", lines[k])
        if found and _is_toml(found[1]):
            comment = comment_of(found[1])
            lines[k] = found[1].removesuffix(comment) + ("  " + comment if comment else "")
            break
    return "\n".join(lines)


def _is_toml(line: str) -> bool:
    try:
        return bool(tomllib.loads(line))
    except ValueError:
        return False


def _table(document: Any, loc: Loc) -> Any:
    """Return the table at a place, made where missing."""
    here = document
    for key in loc:
        if isinstance(key, str) and key not in here:
            here[key] = tomlkit.table()
        here = here[key]
    return here


def _put(table: Any, name: str, value: object) -> None:
    """Set a field; what stands behind it stays in its column."""
    if name not in table or not hasattr(table, "item"):
        table[name] = value
        return
    before = len(table.item(name).as_string())
    table[name] = value
    item = table.item(name)
    if item.trivia.comment:
        room = before + len(item.trivia.comment_ws) - len(item.as_string())
        item.trivia.comment_ws = " " * max(room, 2)


def _comment_out(table: Any, name: str, why: str) -> None:
    """Turn a field into a comment where it stands; in an inline table, which has none, leave it out."""
    body = getattr(getattr(table, "value", None), "body", [])
    place = next((k for k, (key, _) in enumerate(body) if key is not None and key.key == name), None)
    if place is None or isinstance(table, InlineTable):
        table.remove(name)
        return
    item = body[place][1]
    own = item.trivia.comment or ("#" if why else "")
    room = " " * max(len(item.trivia.comment_ws) - 2, 2)
    told = f"# {name} = {item.as_string()}{room}{own}{why}".rstrip()
    table.remove(name)
    body[place] = (None, Comment(Trivia(comment=told)))


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
