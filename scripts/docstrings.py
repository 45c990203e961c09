"""Reading numpydoc pages: the sections of a docstring, its entries, their units."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from dataclasses import dataclass

UNIT = re.compile(r"\[([^\[\]]+)\]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry of a section: what it names, its type as written, its description."""

    names: tuple[str, ...]
    type: str
    text: str

    @property
    def units(self) -> tuple[str, ...]:
        """Return what stands in brackets up to a comma, in the order written."""
        return tuple(unit.partition(",")[0].strip().replace(" ", "*") for unit in UNIT.findall(self.text))

    def unit(self, name: str) -> str:
        """Return the unit of one of the names: its own where each has one, else the first, else none."""
        own = len(self.units) == len(self.names)
        return self.units[self.names.index(name) if own else 0] if self.units else ""


def section(doc: str | None, title: str) -> str:
    """Return the text below an underlined title, or nothing."""
    text = inspect.cleandoc(doc or "")
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\w[\w ]*\n-+$|\Z)", text, re.MULTILINE | re.DOTALL)
    return found[1] if found else ""


def entries(doc: str | None, title: str) -> Iterator[Entry]:
    """Give the entries of a section: ``name, other : type`` and the indented lines below."""
    for block in re.split(r"^(?=\S)", section(doc, title), flags=re.MULTILINE):
        head, _, text = block.strip().partition("\n")
        if head:
            names, _, kind = head.partition(" : ")
            yield Entry(
                names=tuple(name.strip("* ") for name in names.split(",")),
                type=kind,
                text=" ".join(text.split()),
            )
