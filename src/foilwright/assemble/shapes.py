"""The sections that a craft names, a maker's own put where models find them."""

from __future__ import annotations

from foilwright.assemble.reader import Reader
from foilwright.core.errors import DataError
from foilwright.shape import own


def shapes(read: Reader, path: str) -> tuple[str, ...]:
    """Return a field that names a section as n names: of a built-in one its own, of the maker's its key."""
    names = read.names(path)
    mine = read.build.sections
    wanted = {name: mine[name] for name in dict.fromkeys(names) if name in mine}
    if not wanted:
        return names
    if bare := [name for name, each in wanted.items() if not each.ready]:
        raise DataError(
            f"{read.build.file}, {path}: the section {bare[0]} has no polars yet; the command "
            f"foilwright ask {read.build.file} computes them once and keeps them beside the file"
        )
    keys = {name: own.keep(each) for name, each in wanted.items()}
    return tuple(keys.get(name, name) for name in names)
