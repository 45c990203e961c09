"""A card: one page that somebody follows with wet hands, as plain data that every output shows alike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Mark = Literal["number", "box", "point"]

GAP = ""
"""A cell of a table that is left free for a reading."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """A paragraph."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """What can hurt, where the act is."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """Lines: what to do in order, boxes to tick, or points to know."""

    title: str
    steps: tuple[str, ...]
    mark: Mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """A table; a cell that is ``GAP`` is written into."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


Block = Say | Caution | Steps | Rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One page: its name on the command line, where it is used, what lies ready, what is done."""

    name: str
    title: str
    place: str
    needs: str
    blocks: tuple[Block, ...]
    source: str
