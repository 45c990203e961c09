"""Cards as a PDF on A4 in large type, one card a page where it fits, made by the typesetter of the extra ``parts``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from foilwright.parts.paper.typeset import in_texts, typeset, whole_units
from foilwright.parts.ready.card import Block, Card

SLASH = re.compile(r"(?<=[a-z])/(?=[A-Za-z])")


def pdf(cards: Sequence[Card], build: str) -> bytes:
    """Return the cards as a PDF; needs the extra ``parts``."""
    return typeset("cards/paper.typ", {"build": build, "cards": [_plain(card) for card in cards]})


def _plain(card: Card) -> Any:
    return in_texts({**asdict(card), "blocks": [_block(block) for block in card.blocks]}, _kept)


def _block(block: Block) -> dict[str, object]:
    return {"kind": type(block).__name__.lower(), **asdict(block)}


def _kept(text: str) -> str:
    """Return a text that breaks no line between a number and its unit, nor within a unit."""
    return SLASH.sub("/\u2060", whole_units(text))
