"""A checked build: what the maker wrote, in SI, by path."""

from __future__ import annotations

import difflib
import functools
import hashlib
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from foilwright.build.schema import BOOK, LISTS, NAMED, ORDER, TABLES, Meta, Surface
from foilwright.core import units
from foilwright.core.errors import BuildFileError, Fault
from foilwright.shape.own import OwnSection

Value = float | int | str | bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """One build file, checked.

    ``values`` holds every written field by its path (``wing.area``, ``part.battery.x``) in SI;
    ``filed`` the same as the file has it, before any change: a weighed mass belongs to that craft;
    ``names`` the entries of each list in the order of the file; ``text`` what was read; ``beside``
    the folder that it was read in; ``sections`` the own sections by name, with their tables where
    they are computed.
    """

    name: str
    file: str
    text: str
    values: Mapping[str, Value]
    filed: Mapping[str, Value]
    names: Mapping[str, tuple[str, ...]]
    beside: Path | None = field(default=None, compare=False)
    sections: Mapping[str, OwnSection] = field(default_factory=dict)
    _hash: list[str] = field(default_factory=list, init=False, repr=False, compare=False)

    @property
    def hash(self) -> str:
        """Short hash of the text and of any change made to it since; worked out once."""
        if not self._hash:
            self._hash.append(self._hashed())
        return self._hash[0]

    def _hashed(self) -> str:
        told = self.text + "".join(f"{path}={value!r};" for path, value in sorted(self.values.items()))
        told += "".join(f"{name}={each.mark};" for name, each in sorted(self.sections.items()))
        return hashlib.sha256(told.encode()).hexdigest()[:12]

    def paths(self) -> tuple[str, ...]:
        """Return every path that this build has, written or not, in the order of the schema."""
        plain = [f"{table}.{name}" for table, block in TABLES.items() for name in block.metas()]
        listed = [
            f"{kind}.{entry}.{name}"
            for kind, block in {**LISTS, **NAMED}.items()
            for entry in self.names[kind]
            for name in block.metas()
            if name != "name"
        ]
        return tuple(plain + listed)

    def meta(self, path: str) -> Meta:
        """Return what is known about a field; an unknown path is an error that names the nearest."""
        found = self._meta(path)
        if found is None:
            near = difflib.get_close_matches(path[:80], self.paths(), n=1, cutoff=0.5)
            raise self._error(
                path,
                got="an unknown field",
                allowed="a field of the build file",
                example=near[0] if near else "wing.area",
                nearest=near[0] if near else None,
            )
        return found

    def _meta(self, path: str) -> Meta | None:
        table, _, name = path.rpartition(".")
        if table in TABLES:
            meta = TABLES[table].metas().get(name)
            return meta and meta.admitting(self.names)
        for kind, block in {**LISTS, **NAMED}.items():
            if name != "name" and table.removeprefix(f"{kind}.") in self.names[kind]:
                return block.metas().get(name)
        return None

    def check_variable(self, path: str, *, without: Collection[str] = ()) -> Meta:
        """Return the meta of a field that may be given a new value, or say why it may not.

        ``without`` are fields that are left out at the same time.
        """
        meta = self.meta(path)
        table, _, name = path.rpartition(".")
        if table.startswith("sections."):
            example = f"wing.section={table.removeprefix('sections.')}"
            raise self._error(path, got="a shape given anew", allowed="the file of the build alone", example=example)
        block = TABLES.get(table)
        sized = block is not None and issubclass(block, Surface) and name in Surface.SIZES
        written = [f"{table}.{size}" for size in Surface.SIZES if f"{table}.{size}" in self.values] if sized else []
        if sized and path not in self.values and len(set(written) - set(without)) > 1:
            raise self._error(
                path,
                got=f"a size that follows from {' and '.join(written)}",
                allowed=f"{' or '.join(written)}, the sizes written in this build",
                example=written[0],
            )
        return meta

    def with_texts(self, changes: Mapping[str, str | None]) -> Build:
        """Return this build with fields given as text or left out (None), checked like the file.

        A measured value that stood in for a field given anew is left out: it told of the craft before.
        """
        values = dict(self.values)
        faults: list[Fault] = []
        out = [path for path, written in changes.items() if written is None]
        for path, written in changes.items():
            try:
                meta = self.check_variable(path, without=out)
            except BuildFileError as error:
                faults.extend(error.faults)
                continue
            if written is None:
                values.pop(path, None)
                continue
            try:
                values[path] = meta.read(typed(meta, written))
            except ValueError as error:
                near = meta.nearest(written)
                faults.append(fault_of(meta, file=self.file, line=None, path=path, got=str(error), nearest=near))
        for path in left_over(changes):
            values.pop(path, None)
        faults += self._needed(values, out)
        faults += disordered(values, self.names, file=self.file)
        if faults:
            raise BuildFileError(faults)
        return replace(self, values=values)

    def _needed(self, values: Mapping[str, Value], out: Iterable[str]) -> list[Fault]:
        """Return the faults of fields that cannot be left out."""
        told = []
        for path in out:
            table, _, name = path.rpartition(".")
            meta, block = self._meta(path), TABLES.get(table)
            if meta is None:
                continue
            if block is not None and issubclass(block, Surface) and name in Surface.SIZES:
                if sum(f"{table}.{size}" in values for size in Surface.SIZES) != 2:
                    wrong = fault_of(meta, file=self.file, line=None, path=path, got="one size alone")
                    told.append(replace(wrong, allowed="exactly two of " + ", ".join(Surface.SIZES)))
            elif meta.required or (name == "like" and table.removeprefix("materials.") not in BOOK):
                told.append(fault_of(meta, file=self.file, line=None, path=path, got="nothing"))
        return told

    def _error(self, path: str, *, got: str, allowed: str, example: str, nearest: str | None = None) -> BuildFileError:
        field = units.quoted(path)[1:-1]
        return BuildFileError(
            [
                Fault(
                    file=self.file,
                    line=None,
                    field=field,
                    got=got,
                    allowed=allowed,
                    example=example,
                    nearest=nearest,
                )
            ]
        )


@functools.cache
def stand_ins() -> dict[str, str]:
    """Return which measured field stands in for which designed one."""
    return {meta.replaces: f"measured.{name}" for name, meta in TABLES["measured"].metas().items() if meta.replaces}


def left_over(changes: Mapping[str, object]) -> tuple[str, ...]:
    """Return the measured fields that no longer stand in, because the designed one is given anew."""
    stood_in = (stand_ins().get(path) for path, given in changes.items() if given is not None)
    return tuple(path for path in stood_in if path is not None and path not in changes)


def typed(meta: Meta, written: str) -> object:
    """Turn command-line text into what TOML would have made of it."""
    plain = written.strip()
    if len(plain) > 1 and plain[0] == plain[-1] and plain[0] in "\"'":
        plain = plain[1:-1]
    if meta.kind == "flag" and plain in ("true", "false"):
        return plain == "true"
    if meta.kind == "count" or (meta.kind == "quantity" and meta.unit == "1"):
        try:
            return int(plain) if meta.kind == "count" else float(plain)
        except ValueError:
            return plain
    return plain


def disordered(
    values: Mapping[str, Value],
    names: Mapping[str, tuple[str, ...]],
    *,
    file: str,
    texts: Mapping[str, object] | None = None,
) -> list[Fault]:
    """Return the faults of written fields that contradict each other; ``texts`` is how they are written."""
    told = []
    for low, relation, high in ORDER:
        table, _, name = low.rpartition(".")
        other = high.rpartition(".")[2]
        block = LISTS.get(table) or TABLES[table]
        metas = block.metas()[name], block.metas()[other]
        for head in [f"{table}.{entry}" for entry in names[table]] if table in LISTS else [table]:
            paths = f"{head}.{name}", f"{head}.{other}"
            if paths[0] not in values or paths[1] not in values:
                continue
            less, more = (float(values[path]) for path in paths)
            if less < more or (less == more and relation == "at most"):
                continue
            likes = [(texts or {}).get(path, meta.example[1:-1]) for path, meta in zip(paths, metas, strict=True)]
            room = more if relation == "at most" else 0.5 * more
            told.append(
                Fault(
                    file=file,
                    line=None,
                    field=paths[0],
                    got=f"{_text(less, metas[0], likes[0])} where {paths[1]} is {_text(more, metas[1], likes[1])}",
                    allowed=f"{relation} {paths[1]}",
                    example=_text(room, metas[0], likes[0]),
                )
            )
    return told


def _text(value: float, meta: Meta, like: object) -> str:
    written = units.write(value, meta.unit, like=like)
    return f'"{written}"' if " " in written else written


def fault_of(meta: Meta, *, file: str, line: int | None, path: str, got: str, nearest: str | None = None) -> Fault:
    """Return the fault of a field that has a wrong value."""
    return Fault(
        file=file,
        line=line,
        field=path,
        got=got,
        allowed=meta.allowed(),
        example=meta.example,
        nearest=nearest,
    )
