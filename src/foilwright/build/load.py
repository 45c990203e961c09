"""Reading a build file: TOML into a checked Build, or sentences that say what is wrong with it."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from foilwright.build.build import Build, Value, fault_of
from foilwright.build.schema import LISTS, TABLES, Block, Root, Surface
from foilwright.core.data import folder
from foilwright.core.errors import BuildFileError, Fault

LARGEST = 1_000_000


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
    try:
        raw = place.read_bytes()
    except IsADirectoryError:
        raise _whole(place.name, None, "a folder", "a build file", "lake.toml") from None
    except OSError as error:
        raise _whole(
            place.name, None, error.strerror or "nothing", "a file that can be read", "lake.toml"
        ) from None
    if len(raw) > LARGEST:
        raise _whole(place.name, None, f"{len(raw)} bytes", f"at most {LARGEST} bytes of TOML", "lake.toml")
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        raise _whole(place.name, None, "bytes that are not text", "TOML in UTF-8", "format = 1") from None
    return read(text, name=place.stem, file=place.name)


def read(text: str, *, name: str, file: str) -> Build:
    """Check the text of a build file."""
    tree = _tree(text, file)
    form = tree.get("format")
    if form != 1 or isinstance(form, bool):
        got = "no format" if form is None else f"format {form!r}"
        later = " (a later format needs a later version of this program)" if isinstance(form, int) else ""
        raise _whole(
            file, line_of(text, ("format",)), got + later, "format = 1", "format = 1", field="format"
        )
    try:
        root = Root.model_validate(tree)
    except ValidationError as error:
        raise BuildFileError([_fault(text, file, tree, found) for found in error.errors()]) from None
    except RecursionError:
        raise _whole(file, None, "tables nested too deep", "plain tables", "[wing]") from None
    values, names, faults = _flat(root, text, file)
    if faults:
        raise BuildFileError(faults)
    return Build(name=root.name or name, file=file, text=text, values=values, names=names)


def _tree(text: str, file: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"\(at line (\d+), column \d+\)", str(error))
        told = re.sub(r" \(at .*\)$", "", str(error))
        raise _whole(
            file, int(found[1]) if found else None, f"no TOML: {told}", "TOML", 'area = "1450 cm^2"'
        ) from None
    except RecursionError:
        raise _whole(file, None, "brackets nested too deep", "TOML with plain tables", "[wing]") from None


def _whole(
    file: str, line: int | None, got: str, allowed: str, example: str, field: str = ""
) -> BuildFileError:
    return BuildFileError(
        [Fault(file=file, line=line, field=field, got=got, allowed=allowed, example=example)]
    )


def _flat(
    root: Root, text: str, file: str
) -> tuple[dict[str, Value], dict[str, tuple[str, ...]], list[Fault]]:
    values: dict[str, Value] = {}
    for table, block in TABLES.items():
        values |= {f"{table}.{name}": value for name, value in _written(getattr(root, table), block)}
    names: dict[str, tuple[str, ...]] = {}
    faults: list[Fault] = []
    for kind, entries in {"part": root.part, "ride.leg": root.ride.leg}.items():
        names[kind] = tuple(entry.name for entry in entries)
        for k, entry in enumerate(entries):
            if names[kind].index(entry.name) != k or "." in entry.name:
                faults.append(
                    Fault(
                        file=file,
                        line=line_of(text, (*kind.split("."), k, "name")),
                        field=f"{kind}.name",
                        got=f'"{entry.name}"' + (" a second time" if "." not in entry.name else ""),
                        allowed="a name of its own, without a full stop",
                        example='name = "battery box"',
                    )
                )
            values |= {f"{kind}.{entry.name}.{name}": value for name, value in _written(entry, LISTS[kind])}
    if not names["ride.leg"]:
        faults.append(
            Fault(
                file=file,
                line=line_of(text, ("ride",)),
                field="ride.leg",
                got="no leg",
                allowed="at least one [[ride.leg]]",
                example='name = "cruise out"',
            )
        )
    return values, names, faults


def _written(block: Block, kind: type[Block]) -> Iterator[tuple[str, Value]]:
    for name in kind.metas():
        value = getattr(block, name)
        if value is not None and name != "name":
            yield name, value


def _fault(text: str, file: str, tree: dict[str, Any], found: Any) -> Fault:
    """Turn one of the schema library's findings into a sentence of ours."""
    loc: tuple[str | int, ...] = tuple(found["loc"])
    line = line_of(text, loc)
    field = _path(loc, tree)
    block, name = _block(loc)
    meta = block.metas().get(name) if block else None
    kind = found["type"]
    if kind == "extra_forbidden":
        known = list(block.model_fields) if block else list(Root.model_fields)
        near = difflib.get_close_matches(str(loc[-1]), known, n=1, cutoff=0.5)
        return Fault(
            file=file,
            line=line,
            field=field,
            got="an unknown key",
            allowed=", ".join(known),
            example=near[0] if near else known[0],
            nearest=near[0] if near else None,
        )
    if kind == "sizes":
        return Fault(
            file=file,
            line=line,
            field=field,
            got=found["ctx"]["got"],
            allowed="exactly two of " + ", ".join(Surface.SIZES),
            example='area = "1450 cm^2" and span = "90 cm"',
        )
    got = (
        found["ctx"]["got"]
        if kind == "field"
        else "nothing"
        if kind == "missing"
        else repr(found["input"])[:60]
    )
    if meta is None:
        listed = loc[-1] == "leg" or loc == ("part",)
        example = f"[[{'.'.join(map(str, loc))}]]" if listed else f"[{loc[0]}]"
        return Fault(
            file=file, line=line, field=field, got=got, allowed=f"a table {example}", example=example
        )
    return fault_of(meta, file=file, line=line, path=field, got=got)


def _block(loc: tuple[str | int, ...]) -> tuple[type[Block] | None, str]:
    keys = tuple(key for key in loc if isinstance(key, str))
    for depth in range(len(keys), 0, -1):
        head = ".".join(keys[:depth])
        block = LISTS.get(head) or TABLES.get(head)
        if block:
            return block, keys[depth] if len(keys) > depth else ""
    return None, ""


def _path(loc: tuple[str | int, ...], tree: dict[str, Any]) -> str:
    """Return the path as a maker writes it: list entries by their name."""
    parts: list[str] = []
    here: Any = tree
    for key in loc:
        try:
            here = here[key]
        except (KeyError, IndexError, TypeError):
            here = None
        named = here.get("name") if isinstance(here, dict) and isinstance(key, int) else None
        parts.append(str(named) if isinstance(named, str) else str(key))
    return ".".join(parts)


def line_of(text: str, loc: tuple[str | int, ...]) -> int | None:
    """Return the line on which a field, or else its table, is written; None where neither is."""
    keys = [str(key) for key in loc if isinstance(key, str)]
    wanted = next((key for key in loc if isinstance(key, int)), 0)
    best: int | None = None
    table: list[str] = []
    entry = -1
    for number, line in enumerate(text.splitlines(), start=1):
        head = re.match(r"\s*(\[\[?)\s*([^\]#]+?)\s*\]", line)
        if head:
            table = [part.strip().strip("\"'") for part in head[2].split(".")]
            if head[1] == "[[":
                entry = entry + 1 if keys[: len(table)] == table else -1
            if keys[: len(table)] == table and entry in (-1, wanted):
                best = number
            if head[1] == "[":
                entry = -1
            continue
        name = re.match(r"\s*([\w\"'.\- ]+?)\s*=", line)
        if name:
            path = table + [part.strip().strip("\"'") for part in name[1].split(".")]
            if path == keys[: len(path)] and entry in (-1, wanted):
                return number
    return best
