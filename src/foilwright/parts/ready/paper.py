"""Cards as a PDF on A4 in large type, one card a page where it fits, made by the typesetter of the extra ``parts``."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from foilwright.core.data import folder
from foilwright.core.errors import PlaceError
from foilwright.core.extras import need
from foilwright.parts.ready.card import Block, Card
from foilwright.questions.report_text import KEPT, UNIT

SLASH = re.compile(r"(?<=[a-z])/(?=[A-Za-z])")
LAYOUT = "cards/paper.typ"
LONG_AGO = 0
"""Time that is written into the file, so that the same build gives the same bytes [s since 1970]."""


def pdf(cards: Sequence[Card], build: str) -> bytes:
    """Return the cards as a PDF; needs the extra ``parts``."""
    typst = need("typst", extra="parts")
    told = json.dumps({"build": build, "cards": [_plain(card) for card in cards]}, ensure_ascii=False)
    compiler = typst.Compiler(ignore_system_fonts=True)
    made: bytes = compiler.compile(
        (folder() / LAYOUT).read_bytes(), format="pdf", sys_inputs={"told": told}, timestamp=LONG_AGO
    )
    return made


def write(path: Path, made: bytes) -> None:
    """Write a PDF in one step."""
    fresh = path.with_name(path.name + ".new")
    try:
        fresh.write_bytes(made)
        fresh.replace(path)
    except OSError as error:
        raise PlaceError(f"{path} cannot be written: {error.strerror or error}") from error


def _plain(card: Card) -> Any:
    return _kept({**asdict(card), "blocks": [_block(block) for block in card.blocks]})


def _block(block: Block) -> dict[str, object]:
    return {"kind": type(block).__name__.lower(), **asdict(block)}


def _kept(tree: Any) -> Any:
    """Return a tree whose texts break no line between a number and its unit, nor within a unit."""
    if isinstance(tree, dict):
        return {key: _kept(value) for key, value in tree.items()}
    if isinstance(tree, list | tuple):
        return [_kept(value) for value in tree]
    return SLASH.sub("/\u2060", UNIT.sub(KEPT, tree)) if isinstance(tree, str) else tree
