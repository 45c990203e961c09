"""A checked build: what the maker wrote, in SI, by path."""

from __future__ import annotations

import difflib
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace

from foilwright.build.schema import LISTS, TABLES, Meta, Surface
from foilwright.core.errors import BuildFileError, Fault

Value = float | int | str | bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """One build file, checked.

    ``values`` holds every written field by its path (``wing.area``, ``part.battery.x``) in SI;
    ``names`` the entries of each list in the order of the file; ``text`` what was read.
    """

    name: str
    file: str
    text: str
    values: Mapping[str, Value]
    names: Mapping[str, tuple[str, ...]]

    @property
    def hash(self) -> str:
        """Short hash of the text and of any change made to it since."""
        told = self.text + "".join(f"{path}={value!r};" for path, value in sorted(self.values.items()))
        return hashlib.sha256(told.encode()).hexdigest()[:12]

    def paths(self) -> tuple[str, ...]:
        """Return every path that this build has, written or not, in the order of the schema."""
        plain = [f"{table}.{name}" for table, block in TABLES.items() for name in block.metas()]
        listed = [
            f"{kind}.{entry}.{name}"
            for kind, block in LISTS.items()
            for entry in self.names[kind]
            for name in block.metas()
            if name != "name"
        ]
        return tuple(plain + listed)

    def meta(self, path: str) -> Meta:
        """Return what is known about a field; an unknown path is an error that names the nearest."""
        found = self._meta(path)
        if found is None:
            near = difflib.get_close_matches(path, self.paths(), n=1, cutoff=0.5)
            raise BuildFileError(
                [
                    Fault(
                        file=self.file,
                        line=None,
                        field=path,
                        got="an unknown field",
                        allowed="a field of the build file",
                        example="wing.area",
                        nearest=near[0] if near else None,
                    )
                ]
            )
        return found

    def _meta(self, path: str) -> Meta | None:
        table, _, name = path.rpartition(".")
        if table in TABLES:
            return TABLES[table].metas().get(name)
        kind, _, entry = table.rpartition(".")
        if kind in LISTS and entry in self.names[kind] and name != "name":
            return LISTS[kind].metas().get(name)
        return None

    def check_variable(self, path: str) -> Meta:
        """Return the meta of a field that may be given a new value, or say why it may not."""
        meta = self.meta(path)
        table, _, name = path.rpartition(".")
        block = TABLES.get(table)
        if (
            block is not None
            and issubclass(block, Surface)
            and name in Surface.SIZES
            and path not in self.values
        ):
            written = [size for size in Surface.SIZES if f"{table}.{size}" in self.values]
            raise BuildFileError(
                [
                    Fault(
                        file=self.file,
                        line=None,
                        field=path,
                        got=f"a size that follows from {' and '.join(written)}",
                        allowed=f"{table}.{written[0]} or {table}.{written[1]}, the sizes written in this build",
                        example=f"{table}.{written[0]}",
                    )
                ]
            )
        return meta

    def with_texts(self, changes: Mapping[str, str]) -> Build:
        """Return this build with fields given as text, checked like the file."""
        values = dict(self.values)
        faults = []
        for path, written in changes.items():
            meta = self.check_variable(path)
            try:
                values[path] = meta.read(_typed(meta, written))
            except ValueError as error:
                faults.append(fault_of(meta, file=self.file, line=None, path=path, got=str(error)))
        if faults:
            raise BuildFileError(faults)
        return replace(self, values=values)


def _typed(meta: Meta, written: str) -> object:
    """Turn command-line text into what TOML would have made of it."""
    if meta.kind == "flag" and written in ("true", "false"):
        return written == "true"
    if meta.kind == "count" or (meta.kind == "quantity" and meta.unit == "1"):
        try:
            return int(written) if meta.kind == "count" else float(written)
        except ValueError:
            return written
    return written


def fault_of(meta: Meta, *, file: str, line: int | None, path: str, got: str) -> Fault:
    """Return the fault of a field that has a wrong value."""
    return Fault(file=file, line=line, field=path, got=got, allowed=meta.allowed(), example=meta.example)
