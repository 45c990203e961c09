"""A build file with every field explained: what is written stands, every other field is a comment below."""

from __future__ import annotations

import json
import textwrap
import tomllib
from collections.abc import Iterator
from typing import Any

import tomlkit
from tomlkit.items import Comment

from foilwright.build.build import Build
from foilwright.build.schema import LISTS, TABLES, Block, Meta, Surface

WIDTH = 100
"""Letters of a line at most."""
FURTHEST = 34
"""Column at which an explanation begins at the latest, unless its field is longer."""
NARROWEST = 40
"""Letters of an explanation at least, so that it does not become a column of single words."""

HEAD = """\
# How to read this file. A quantity is a text with a unit, any unit of its kind: "82 kg", "1450 cm^2",
# "25 km/h". Places: x forward from the tail, y to port, z up from the bottom of the board at the tail.
# A line that begins with "# " and a name is left out. What it shows is then assumed, or is only an
# example where the line says so. To state your own, take the "# " away and write your value.
"""


def explained(build: Build, name: str) -> str:
    """Return the text of a new build: what is written stays, with its comments, and all is explained."""
    document = tomlkit.parse(build.text)
    head, own = _comments(document)
    lines = [*head, "#", *HEAD.splitlines()] if head else HEAD.splitlines()
    lines += ["format = 1", f"name = {tomlkit.string(name).as_string()}"]
    for table, block in TABLES.items():
        lines += ["", f"[{table}]  # {_about(block)}", *_table(document.get(table, {}), block, own)]
        for kind, entry_block in LISTS.items():
            if kind.rpartition(".")[0] == table:
                lines += _list(document, kind, entry_block)
        if table == "board":
            lines += _list(document, "part", LISTS["part"])
    return "\n".join(lines) + "\n"
