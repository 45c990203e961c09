"""Cards as one Markdown page."""

from __future__ import annotations

import re
from collections.abc import Sequence

from foilwright.parts.ready.card import Block, Card, Caution, Rows, Say, Steps

ROOM = "&nbsp;" * 12
"""Room in a cell that is written into."""
SIGNS = re.compile(r"([\\*_\[\]<>|])")
"""Signs that Markdown would take for its own."""


def page(cards: Sequence[Card], build: str) -> str:
    """Return all cards as one page."""
    listed = "\n".join(f"- [{card.title}](#{card.name})" for card in cards)
    parts = [f"# Cards of {_plain(build)}", listed, *(_card(card) for card in cards)]
    return "\n\n".join(parts) + "\n"


def _card(card: Card) -> str:
    lines = [f'<a id="{card.name}"></a>', f"## {_plain(card.title)}", f"**Where:** {_plain(card.place)}."]
    if card.needs:
        lines.append(f"**Ready:** {_plain(card.needs)}.")
    lines += [_block(block) for block in card.blocks]
    lines += [f"<small>Rests on: {_plain(card.source)}.</small>", "---"]
    return "\n\n".join(lines)


def _block(block: Block) -> str:
    if isinstance(block, Say):
        return _plain(block.text)
    if isinstance(block, Caution):
        return f"> **Caution.** {_plain(block.text)}"
    title = f"**{_plain(block.title)}**\n\n" if block.title else ""
    if isinstance(block, Steps):
        marks = {"box": "- [ ]", "point": "-"}
        lines = (f"{marks.get(block.mark, f'{number}.')} {_plain(step)}" for number, step in enumerate(block.steps, 1))
        return title + "\n".join(lines)
    return title + _table(block)


def _table(rows: Rows) -> str:
    lines = [_row(rows.head), "|" + " --- |" * len(rows.head), *(_row(row) for row in rows.rows)]
    return "\n".join(lines)


def _row(cells: Sequence[str]) -> str:
    return "| " + " | ".join(_plain(cell) if cell else ROOM for cell in cells) + " |"


def _plain(text: str) -> str:
    return "`".join(SIGNS.sub(r"\\\1", part) if k % 2 == 0 else part for k, part in enumerate(text.split("`")))
