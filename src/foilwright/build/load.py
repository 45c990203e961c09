"""Reading a build file: TOML into a checked Build, or sentences that say what is wrong with it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from foilwright.build import faults, sections
from foilwright.build.build import Build, Value
from foilwright.build.places import DOTTED, ENTRY, HEAD, TOKEN, Places, keys_of
from foilwright.build.schema import LISTS, NAMED, TABLES, Block, Joint, Leg, Meta, Part, Root
from foilwright.core import units
from foilwright.core.data import folder
from foilwright.core.errors import BuildFileError, Fault

LARGEST = 1_000_000
"""Bytes of a build file."""
LONGEST_LINE = 10_000
"""Letters of one line: longer ones keep the TOML reader busy for minutes."""
BARE = re.compile(rf"\s*({DOTTED})\s*=\s*([^\s\"'#][^#]*?)\s*(?:#.*)?")
ONCE = ("a key that is written twice", "each key once in its table", 'area = "1450 cm^2"')
TABLE_ONCE = ("a table that is written twice", "each [table] once; only a list, [[part]], again", "[[part]]")
NEITHER = ("a line that is neither a [table] nor a key = value", "key = value", 'area = "1450 cm^2"')
ANY = ("TOML", 'area = "1450 cm^2"')
OPEN = ("a text whose quotes are not closed", "a text in quotes, on one line", 'area = "1450 cm^2"')
TOLD = {
    "Cannot overwrite a value": ONCE,
    "Duplicate inline table key": ONCE,
    "Cannot declare": TABLE_ONCE,
    "Cannot mutate immutable namespace": TABLE_ONCE,
    "Invalid statement": NEITHER,
    "Expected '=' after a key": NEITHER,
    "Illegal character '\\n'": OPEN,
    "Unterminated string": OPEN,
    'Expected "\'"': OPEN,
}
"""What the TOML reader says, and what a maker makes of it: got, allowed, example."""


def scenarios() -> tuple[str, ...]:
    """Return the names of the shipped scenarios."""
    return tuple(sorted(path.stem for path in (folder() / "scenarios").glob("*.toml")))


def scenario(name: str) -> Build:
    """Return a shipped scenario by name."""
    return load(folder() / "scenarios" / f"{name}.toml")


def load(path: str | Path) -> Build:
    """Read and check a build file.

    Raises
    ------
    BuildFileError
        There is no such file, or its text does not make a Build: every fault found, with line,
        field, what is allowed, an example.
    """
    place = Path(path)
    text, file = text_of(place)
    return read(text, name=place.stem, file=file, beside=place.parent)


def text_of(place: Path) -> tuple[str, str]:
    """Return the text of a file and the name by which faults call it."""
    file = units.quoted(place.name or str(place), 120)[1:-1]
    try:
        with place.open("rb") as opened:
            raw = opened.read(LARGEST + 1)
    except IsADirectoryError:
        raise _whole(file, None, got="a folder", allowed="a build file") from None
    except (OSError, ValueError) as error:  # ValueError: a path that no file can have
        told = (getattr(error, "strerror", None) or "a name that no file can have").lower()
        raise _whole(file, None, got=told, allowed="a file that can be read") from None
    if len(raw) > LARGEST:
        raise _whole(file, None, got=f"more than {LARGEST} bytes", allowed=f"at most {LARGEST} bytes of TOML")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise _whole(file, line, got="bytes that are not text", allowed="TOML, saved as UTF-8") from None
    return text, file


def read(text: str, *, name: str, file: str, beside: Path | None = None) -> Build:
    """Check the text of a build file; its own sections are read in the folder ``beside``."""
    tree = tree_of(text, file)
    _format(text, file, tree)
    reading = faults.Reading(file=file, text=text, tree=tree)
    shapes, unshaped = sections.of_tree(tree, text=text, file=file, beside=beside)
    own = {kind: faults.names_of(tree, kind) for kind in NAMED}
    own["symmetrical"] = own["sections"] if unshaped else sections.symmetrical(shapes)
    try:
        root = Root.model_validate(tree, context=own)
    except ValidationError as error:
        raise BuildFileError(faults.of_schema(reading, error) + unshaped) from None
    except RecursionError:
        raise _whole(file, None, got="tables nested too deep", allowed="plain tables") from None
    names = {kind: faults.names_of(tree, kind) for kind in LISTS} | own
    values = _values(root)
    if told := faults.of_whole(reading, values) + unshaped:
        raise BuildFileError(told)
    return Build(
        name=root.name or name, file=file, text=text, values=values, filed=values, names=names, beside=beside,
        sections=shapes,
    )  # fmt: skip


def _format(text: str, file: str, tree: Mapping[str, Any]) -> None:
    form = tree.get("format")
    if form == 1 and type(form) is int:
        return
    got = "no format" if form is None else f"format {units.quoted(form)}"
    if type(form) is int and form > 1:
        got += " (a later format needs a later version of this program)"
    line = Places(text).line(("format",))
    raise _whole(file, line, got=got, allowed="format = 1", example="format = 1", field="format")


def tree_of(text: str, file: str) -> dict[str, Any]:
    """Return the tables of a TOML text, or say in a maker's words why it is none."""
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE:
            raise _whole(
                file,
                number,
                got=f"a line of {len(line)} letters",
                allowed=f"lines of at most {LONGEST_LINE} letters",
                example='area = "1450 cm^2"',
            )
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _no_toml(text, file, str(error)) from None
    except ValueError:  # a whole number of thousands of digits
        raise _whole(file, None, got="a number of thousands of digits", allowed="TOML", example="series = 13") from None
    except RecursionError:
        raise _whole(
            file, None, got="brackets nested too deep", allowed="TOML with plain tables", example="[wing]"
        ) from None


def _no_toml(text: str, file: str, told: str) -> BuildFileError:
    """Return the fault of a text that is no TOML, in a maker's words where they are known."""
    found = re.search(r"\(at line (\d+), column \d+\)", told)
    lines = [line.rstrip("\r") for line in text.split("\n")]
    number = int(found[1]) if found else _open_quotes(lines)
    line, before = lines[number - 1], lines[: number - 1]
    plain = re.sub(r" \(at .*\)$", "", told)
    entry, bare = ENTRY.match(line), BARE.fullmatch(line)
    field = _field_at(before, entry[1]) if entry else ""
    meta = _meta_of(field)
    if bare and plain.startswith(("Invalid value", "Expected newline or end of document after a stat")):
        written = bare[2][: units.LONGEST].strip("\u201c\u201d\u201e\u2018\u2019\"'")
        got = f"{bare[2][: units.LONGEST]} without straight quotes"
        ours = (got, "a text in quotes, a number, true or false", f'{bare[1]} = "{written}"')
        if meta:
            ours = (got, _in_quotes(meta), f"{bare[1]} = {_quoted_or_example(written, meta)}")
    else:
        known = (each for theirs, each in TOLD.items() if theirs in plain)
        rest = (_in_quotes(meta), f"{keys_of(entry[1])[-1]} = {meta.example}") if meta and entry else ANY
        ours = next(known, (f"no TOML: {plain}", *rest))
    return _whole(file, number, got=ours[0], allowed=ours[1], example=ours[2], field=field)


def _in_quotes(meta: Meta) -> str:
    bare = meta.kind in ("count", "flag") or (meta.kind == "quantity" and meta.unit == "1")
    return meta.allowed() if bare else f"{meta.allowed()}, in quotes"


def _open_quotes(lines: list[str]) -> int:
    """Return the first line with a quote that has no partner, else the last line."""
    stray = (k for k, line in enumerate(lines, start=1) if re.search("[\"']", TOKEN.sub("", line)))
    return next(stray, len(lines))


def _quoted_or_example(written: str, meta: Meta) -> str:
    try:
        meta.read(written)
    except ValueError:
        return meta.example
    return f'"{written}"'


def _field_at(before: list[str], key: str) -> str:
    """Return the path of a key from the last table header above it."""
    heads = (HEAD.match(line) for line in reversed(before))
    head = next((keys_of(found[2]) for found in heads if found), ())
    return units.quoted(".".join((*head, *keys_of(key))))[1:-1]


def _meta_of(path: str) -> Meta | None:
    table, _, name = path.rpartition(".")
    block = LISTS.get(table) or TABLES.get(table)
    return block.metas().get(name) if block else None


def _whole(
    file: str, line: int | None, *, got: str, allowed: str, example: str = "lake.toml", field: str = ""
) -> BuildFileError:
    return BuildFileError([Fault(file=file, line=line, field=field, got=got, allowed=allowed, example=example)])


def _values(root: Root) -> dict[str, Value]:
    """Return every written field by its path."""
    values: dict[str, Value] = {}
    for table, block in TABLES.items():
        values |= {f"{table}.{name}": value for name, value in _written(getattr(root, table), block)}
    lists: dict[str, tuple[Part | Joint | Leg, ...]] = {
        "part": root.part,
        "joint": root.joint,
        "ride.leg": root.ride.leg,
    }
    for kind, entries in lists.items():
        for entry in entries:
            values |= {f"{kind}.{entry.name}.{name}": value for name, value in _written(entry, LISTS[kind])}
    for kind, block in NAMED.items():
        for name, entry in getattr(root, kind).items():
            values |= {f"{kind}.{name}.{field}": value for field, value in _written(entry, block)}
    return values


def _written(block: Block, kind: type[Block]) -> Iterator[tuple[str, Value]]:
    for name in kind.metas():
        value = getattr(block, name)
        if value is not None and name != "name":
            yield name, value
