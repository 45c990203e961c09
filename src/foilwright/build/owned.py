"""An inventory: what the maker owns, in the tables of a build file; joined with a scenario it makes a build."""

from __future__ import annotations

import copy
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import ValidationError

from foilwright.build import faults
from foilwright.build.build import Build, Value
from foilwright.build.load import read, scenario, scenarios, text_of, tree_of
from foilwright.build.places import Places
from foilwright.build.schema import TABLES, Root, Surface
from foilwright.core import units
from foilwright.core.errors import BuildFileError, Fault

NOT_OWNED = ("measured", "ride", "targets")
"""Tables that tell of a finished craft, or of what is wished: no thing that one owns."""
THINGS = ("motor", "gear", "propeller", "controller", "cell", "charger")
"""Things that come as a whole: where one is owned, nothing of the scenario's own one stays."""
FITTED = frozenset(
    {
        "x",
        "z",
        "nut_thread",
        "nut_lock",
        "thrust_bearing",
        "bearing_load",
        "shaft_diameter",
        "pin_diameter",
        "duty_limit",
    }
)
"""Fields that tell how a thing is fitted or set, not what it is."""
WEIGHED = ("board", "mast", "wing", "stabiliser", "fuselage", "pack")
"""Tables whose mass is what a scale said of the scenario's own craft."""
PLACES = ("water", "rider")
"""Tables of an inventory that are given, not owned."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Inventory:
    """What is owned: the tables as they are written, and the paths of their fields."""

    file: str
    text: str
    tree: Mapping[str, Any]

    @property
    def tables(self) -> tuple[str, ...]:
        """The tables that it has, in the order of the file."""
        return tuple(name for name in self.tree if name in TABLES)

    def paths(self, *, without: Collection[str] = ()) -> tuple[str, ...]:
        """Return the paths of what is owned, some tables left out."""
        return tuple(f"{table}.{name}" for table in self.tables if table not in without for name in self.tree[table])

    def value(self, path: str) -> Value | None:
        """Return a field of it in SI; none where it is not there."""
        table, _, name = path.partition(".")
        there = self.tree.get(table, {})
        return TABLES[table].metas()[name].read(there[name]) if name in there else None


def load(path: str | Path) -> Inventory:
    """Read an inventory, and check it: joined with a scenario it must make a build.

    Raises
    ------
    BuildFileError
        There is no such file, it is no TOML, or it has tables that tell of nothing one owns.
    """
    text, file = text_of(Path(path))
    tree = tree_of(text, file)
    places = Places(text)
    allowed = [name for name in TABLES if name not in NOT_OWNED]
    wrong = [
        Fault(
            file=file,
            line=places.line((name,)),
            field=units.quoted(name)[1:-1],
            got="something that is not owned" if name in (*NOT_OWNED, "part") else "an unknown table",
            allowed="tables of what is owned: " + ", ".join(allowed),
            example="[motor]",
        )
        for name, table in tree.items()
        if name != "format" and (name not in allowed or not isinstance(table, dict))
    ]
    if wrong:
        raise BuildFileError(wrong)
    made = Inventory(file=file, text=text, tree={name: table for name, table in tree.items() if name != "format"})
    joined(scenario(scenarios()[0]), made)
    return made


def joined(start: Build, inventory: Inventory, *, without: Collection[str] = ()) -> Build:
    """Return a scenario with what is owned in the place of its own.

    Of a thing that comes as a whole nothing of the scenario's own one stays: what the inventory leaves
    out is assumed, and a limit that it does not state is not known. Weighed masses of the scenario's
    craft are left out.

    Raises
    ------
    BuildFileError
        A field is not as it must be, or a thing lacks one that it must have.
    """
    there = {name: inventory.tree[name] for name in inventory.tables if name not in without}
    document = tomlkit.parse(start.text)
    for name in TABLES:
        if name in document:
            for key in _replaced(name, document[name], there.get(name, {})):
                del document[name][key]
    for name, table in there.items():
        if name not in document:
            document[name] = tomlkit.table()
        for key, value in table.items():
            document[name][key] = copy.deepcopy(value)
    text = tomlkit.dumps(document)
    _check(inventory, tree_of(text, inventory.file))
    return read(text, name=start.name, file=inventory.file)


def _replaced(name: str, table: Mapping[str, Any], owned: Mapping[str, Any]) -> list[str]:
    """Return the fields of a scenario's table that give way to what is owned."""
    gone = {"mass"} & set(table) if name in WEIGHED else set()
    if owned and name in THINGS:
        gone |= set(table) - FITTED
    if any(size in owned for size in Surface.SIZES) and issubclass(TABLES[name], Surface):
        gone |= set(table) & set(Surface.SIZES)
    return sorted(gone - set(owned))


def _check(inventory: Inventory, tree: dict[str, Any]) -> None:
    """Tell every fault of the inventory, at its own lines."""
    try:
        Root.model_validate(tree)
    except ValidationError as error:
        reading = faults.Reading(file=inventory.file, text=inventory.text, tree=tree)
        raise BuildFileError(faults.of_schema(reading, error)) from None


def commented(build: Build, remarks: Mapping[str, str]) -> str:
    """Return the text of a build with a remark above each of some fields of its plain tables."""
    lines = build.text.split("\n")
    places = Places(build.text)
    placed = [(places.line(tuple(path.split("."))), remark) for path, remark in remarks.items()]
    for number, remark in sorted(((line, remark) for line, remark in placed if line), reverse=True):
        lines.insert(number - 1, f"# {remark}")
    return "\n".join(lines)
