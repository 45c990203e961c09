"""The typesetter of the extra ``parts``: a layout of the package and what it is told make a PDF."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from foilwright.core.data import folder
from foilwright.core.extras import need
from foilwright.questions.report_text import KEPT, UNIT

LONG_AGO = 0
"""Time that is written into the file, so that the same build gives the same bytes [s since 1970]."""


def typeset(layout: str, told: Mapping[str, Any]) -> bytes:
    """Return a PDF by a layout among the packaged data; needs the extra ``parts``."""
    compiler = need("typst", extra="parts").Compiler(ignore_system_fonts=True)
    made: bytes = compiler.compile(
        (folder() / layout).read_bytes(), format="pdf", sys_inputs={"told": json.dumps(told, ensure_ascii=False)},
        timestamp=LONG_AGO,
    )  # fmt: skip
    return made


def whole_units(text: str) -> str:
    """Return a text that breaks no line between a number and its unit."""
    return UNIT.sub(KEPT, text)


def in_texts(tree: Any, change: Callable[[str], str]) -> Any:
    """Return a tree with each text in it changed."""
    if isinstance(tree, dict):
        return {key: in_texts(value, change) for key, value in tree.items()}
    if isinstance(tree, list | tuple):
        return [in_texts(value, change) for value in tree]
    return change(tree) if isinstance(tree, str) else tree
