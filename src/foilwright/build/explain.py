"""A build file with every field explained: what is written stands, every other field is a comment below."""

from __future__ import annotations

import textwrap
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import tomlkit

from foilwright.build.build import Build
from foilwright.build.places import Loc, Places, comment_of
from foilwright.build.schema import BEHIND, LISTS, NAMED, TABLES, Block, Meta

WIDTH = 100
"""Letters of a line at most."""
FURTHEST = 42
"""Column at which explanations begin at the latest; a longer field pushes only its own."""

TIE = "\N{NO-BREAK SPACE}"
"""Holds together what must not be parted at the end of a line; a plain space is written."""

HEAD = """\
# How to read this file. A quantity is a text with a unit, any unit of its kind: "82 kg", "90 cm".
# Places: x forward from the tail, y to port, z up from the bottom of the board at the tail.
# A line "# name = value" is left out: its value is assumed, unless the line tells what is done when
# it is left out; then the value is only an example. To state your own, take away the first "# ".
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One field as it stands in the file, and what is said about it."""

    left: str
    told: str = ""
    above: tuple[str, ...] = ()


def explained(build: Build, name: str) -> str:
    """Return the text of a new build: what is written stays, with its comments; all is explained."""
    tree = tomllib.loads(build.text)
    head, own, end = _own_comments(build.text)
    lines = [*head, *(["#"] if head else []), *HEAD.splitlines()]
    lines += ["format = 1", f"name = {_literal(name)}"]
    for table, block in TABLES.items():
        lines += ["", *own.get((table,), ()), f"[{table}]  # {about(block)}"]
        lines += _laid_out([*_rows(tree.get(table, {}), block, own, (table,))])
        for kind in BEHIND.get(table, ()):
            lines += _list(tree, kind, own)
    for kind, block in NAMED.items():
        for k, (entry, written) in enumerate(tree.get(kind, {}).items()):
            told = "" if k else f"  # {about(block)}"
            lines += ["", *own.get((kind, entry), ()), f"[{kind}.{_literal(entry)}]{told}"]
            lines += _laid_out([*_rows(written, block, own, (kind, entry))])
    lines += ["", *end] if end else []
    return "\n".join(lines) + "\n"


def about(block: type[Block]) -> str:
    """Return what a table is about, in one line."""
    line = (block.__doc__ or "").splitlines()[0].rstrip(".")
    return line[:1].lower() + line[1:]


def meaning(meta: Meta) -> str:
    """Return what a field means and what may be written."""
    if meta.kind in ("text", "flag") or all(name in meta.says for name in meta.choices or ("\n",)):
        return meta.says
    if meta.choices:
        return f"{meta.says}; one of {', '.join(map(_together, meta.choices))}"
    return f"{meta.says}; {_together(meta.span())}"


def _together(words: str) -> str:
    """Return words that stay on one line."""
    return words.replace(" ", TIE)


def _list(tree: Mapping[str, Any], kind: str, own: Mapping[Loc, tuple[str, ...]]) -> Iterator[str]:
    """Yield the entries of a list; the first one is explained."""
    keys = tuple(kind.split("."))
    entries: Any = tree
    for key in keys:
        entries = entries.get(key, {})
    block = LISTS[kind]
    for k, entry in enumerate(entries):
        yield ""
        yield from own.get((*keys, k), ())
        yield f"[[{kind}]]" + ("" if k else f"  # {about(block)}")
        rows = _rows(entry, block, own, (*keys, k))
        if k:
            rows = (Row(left=row.left, above=row.above) for row in rows if not row.left.startswith("#"))
        yield from _laid_out([*rows])
    if not entries:
        yield from ("", f"# [[{kind}]]  # {about(block)}", *_laid_out([*_rows({}, block, own, keys)]))


def _rows(
    written: Mapping[str, Any], block: type[Block], own: Mapping[Loc, tuple[str, ...]], place: Loc
) -> Iterator[Row]:
    """Yield the fields of a table: the written ones in their order, then the others."""
    metas = block.metas()
    for name, value in written.items():
        if name in metas:
            above = own.get((*place, name), ())
            yield Row(left=f"{name} = {_literal(value)}", told=meaning(metas[name]), above=above)
    for name, meta in metas.items():
        if name in written:
            continue
        value = meta.example if meta.default is None else _literal(meta.default.value)
        told = meaning(meta)
        if meta.default is None and not meta.required and "left out:" not in told:
            told += "; unknown if left out" if "in place of" not in told else ""
        yield Row(left=f"# {name} = {value}", told=told)


def _laid_out(rows: list[Row]) -> Iterator[str]:
    """Yield the lines of a table with the explanations in one column."""
    column = min(FURTHEST, max((len(row.left) for row in rows), default=0) + 2)
    for row in rows:
        yield from row.above
        if not row.told:
            yield row.left
            continue
        begin = row.left.ljust(column - 2) + "  # "
        out = "# " if row.left.startswith("# ") else ""
        lines = textwrap.wrap(
            row.told,
            width=WIDTH,
            initial_indent=begin,
            subsequent_indent=out.ljust(column) + "# ",
            break_long_words=False,
            break_on_hyphens=False,
        )
        yield from (line.replace(TIE, " ") for line in lines)


def _own_comments(text: str) -> tuple[list[str], dict[Loc, tuple[str, ...]], list[str]]:
    """Return the comments at the head of a file, above or behind each table and field, and at its end."""
    written = Places(text).written()
    head: list[str] = []
    waiting: list[str] = []
    own: dict[Loc, tuple[str, ...]] = {}
    for number, line in enumerate(text.split("\n"), start=1):
        comment = comment_of(line).rstrip()
        if line.strip().startswith("#"):
            waiting.append(comment)
        elif line.strip():
            if not own:
                head, waiting = waiting, []
            own[written.get(number, ())] = (*waiting, *([comment] if comment else []))
            waiting = []
    return head, own, waiting


def _literal(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return str(tomlkit.string(value).as_string()) if isinstance(value, str) else repr(value)
