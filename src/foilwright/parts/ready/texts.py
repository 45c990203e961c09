"""Cards from the packaged texts: numbers filled in, lines left out that do not concern this build, tables made."""

from __future__ import annotations

import functools
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from foilwright.core.data import folder
from foilwright.core.errors import DataError
from foilwright.parts.ready import tables
from foilwright.parts.ready.card import Block, Card, Caution, Mark, Rows, Say, Steps
from foilwright.parts.ready.facts import Facts
from foilwright.parts.ready.words import conditions, words

GROUPS = ("start", "measuring", "sheets", "beach", "trials", "help")
"""Files of cards, in the order in which they are used."""
IF = re.compile(r"\[(not )?([a-z ]+)\] ")
"""What stands before a line that concerns some builds only: ``[flies] `` or ``[not flies] ``."""
MARKS: dict[str, Mark] = {"steps": "number", "boxes": "box", "points": "point"}
KINDS = {"say", "caution", "table", *MARKS}
"""What a block of a card may be."""


@functools.cache
def written() -> tuple[dict[str, Any], ...]:
    """Return the packaged cards as they are written, each with its ``group``."""
    found = []
    for group in GROUPS:
        tree = tomllib.loads((folder() / "cards" / f"{group}.toml").read_text(encoding="utf-8"))
        found += [{**card, "group": group} for card in tree["card"]]
    return tuple(found)


def filled(facts: Facts) -> tuple[Card, ...]:
    """Return the cards of a build; of the ways to measure, those for what it left assumed come first."""
    fill = Fill(facts=facts, words=words(facts), holds=conditions(facts))
    cards = []
    for group in GROUPS:
        of_group = [card for card in written() if card["group"] == group]
        if group == "measuring":
            of_group.sort(key=lambda card: not tables.assumed_of(facts, card["measures"]))
        cards += [fill.card(card) for card in of_group]
    return tuple(cards)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """Makes one build's cards of the written ones."""

    facts: Facts
    words: Mapping[str, str]
    holds: Mapping[str, bool]

    def card(self, card: dict[str, Any]) -> Card:
        """Return a card with this build's numbers."""
        blocks = [made for each in card["block"] if (made := self._block(each)) is not None]
        measures = card.get("measures", [])
        if measures:
            blocks.insert(0, Say(text=tables.why_measure(self.facts, measures)))
        if barred := self._barred(card):
            waits = f"By the answers this waits until {tables.listed(barred)} cured (card: open)."
            blocks.insert(0, Caution(text=waits))
        return Card(
            name=card["name"], title=self._text(card["title"]), place=self._text(card["place"]),
            needs=self._text(card.get("needs", "")), blocks=tuple(blocks), source=card["source"],
        )  # fmt: skip

    def _barred(self, card: dict[str, Any]) -> list[str]:
        """Return the questions whose grave findings stand in the way of a card."""
        if "stage" in card:
            barred: list[str] = tables.stages(self.facts)[card["stage"]][2]
            return barred
        return tables.grave_of(self.facts, card.get("waits", []))

    def _block(self, block: dict[str, Any]) -> Block | None:
        kind = next(iter(KINDS & block.keys()), None)
        if kind is None:
            raise DataError(f"a block of a card has none of {', '.join(sorted(KINDS))}: {block}")
        title = self._text(block.get("title", ""))
        if kind == "table":
            rows = list(tables.TABLES[block["table"]](self.facts))
            return Rows(title=title, head=rows[0], rows=tuple(rows[1:])) if len(rows) > 1 else None
        lines = block[kind] if isinstance(block[kind], list) else [block[kind]]
        kept = tuple(self._text(line) for line in lines if self._concerns(line))
        if not kept:
            return None
        if kind in MARKS:
            return Steps(title=title, steps=kept, mark=MARKS[kind])
        return Caution(text=" ".join(kept)) if kind == "caution" else Say(text=" ".join(kept))

    def _concerns(self, line: str) -> bool:
        while found := IF.match(line):
            if self.holds[found[2]] == bool(found[1]):
                return False
            line = line[found.end() :]
        return True

    def _text(self, line: str) -> str:
        while found := IF.match(line):
            line = line[found.end() :]
        try:
            return line.format_map(self.words)
        except (KeyError, ValueError, IndexError) as error:
            raise DataError(f"the text of a card cannot be filled in ({error}): {line}") from error
