"""Cards for a terminal of 80 columns, and their index."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from foilwright.parts.ready.card import GAP, Block, Card, Caution, Rows, Say, Steps

WIDE = 80
LEAST_GAP, LEAST_COLUMN = 8, 6
"""Width of a cell that is written into, and of the narrowest column."""
BETWEEN = "  "


def index(cards: Sequence[Card], build: str) -> str:
    """Return one line a card, and how to see one."""
    wide = max(len(card.name) for card in cards)
    lines = [f"Cards of {build}", ""]
    for card in cards:
        lines += textwrap.wrap(f"{card.name:<{wide}}  {card.title}", WIDE, subsequent_indent=" " * (wide + 2))
    lines += ["", *_wrapped(f"One of them: foilwright ready {build} NAME. All of them: foilwright ready {build} all."
                            f" To print: foilwright ready {build} -o FOLDER.")]  # fmt: skip
    return "\n".join(lines) + "\n"


def text(card: Card) -> str:
    """Return one card, 80 columns wide."""
    lines = ["=" * WIDE, *_wrapped(card.title.upper()), *_wrapped(f"Where: {card.place}.")]
    if card.needs:
        lines += _wrapped(f"Ready: {card.needs}.")
    for block in card.blocks:
        lines += ["", *_block(block)]
    return "\n".join([*lines, "", *_wrapped(f"Rests on: {card.source}."), ""])


def _block(block: Block) -> Iterable[str]:
    if isinstance(block, Say):
        return _wrapped(block.text)
    if isinstance(block, Caution):
        return _wrapped(block.text, "  !  ")
    if isinstance(block, Steps):
        return [*_titled(block.title), *_steps(block)]
    return [*_titled(block.title), *_table(block)]


def _titled(title: str) -> list[str]:
    return [title, "-" * len(title)] if title else []


def _steps(block: Steps) -> list[str]:
    lines: list[str] = []
    for number, step in enumerate(block.steps, 1):
        mark = {"box": "[ ] ", "point": "  - ", "number": f"{number:>2}. "}[block.mark]
        lines += textwrap.wrap(step, WIDE, initial_indent=mark, subsequent_indent="    ")
    return lines


def _wrapped(paragraph: str, first: str = "") -> list[str]:
    return textwrap.wrap(paragraph, WIDE, initial_indent=first, subsequent_indent=" " * len(first))


def widths(rows: Rows, room: int) -> list[int]:
    """Return widths of columns that fit in ``room``: the widest give way first, to no less than their longest word."""
    columns = list(zip(rows.head, *rows.rows, strict=True))
    gaps = [any(cell == GAP for cell in column) for column in columns]
    wide = [
        max(LEAST_GAP if gap else LEAST_COLUMN, *(len(cell) for cell in column))
        for column, gap in zip(columns, gaps, strict=True)
    ]
    least = [
        max(LEAST_GAP if gap else 0, *(len(word) for cell in column for word in cell.split() or [""]))
        for column, gap in zip(columns, gaps, strict=True)
    ]
    while sum(wide) > room:
        slack = [w - low for w, low in zip(wide, least, strict=True)]
        if max(slack) <= 0:
            break
        widest = max((w, k) for k, w in enumerate(wide) if slack[k] > 0)[1]
        wide[widest] -= 1
    return wide


def _table(rows: Rows) -> list[str]:
    wide = widths(rows, WIDE - len(BETWEEN) * (len(rows.head) - 1))
    ruled = ["-" * width for width in wide]
    lines = [*_row(rows.head, wide), BETWEEN.join(ruled).rstrip()]
    for row in rows.rows:
        lines += _row(tuple(cell or "_" * min(width, LEAST_GAP) for cell, width in zip(row, wide, strict=True)), wide)
    return lines


def _row(cells: Sequence[str], wide: Sequence[int]) -> list[str]:
    wrapped = [textwrap.wrap(cell, width) or [""] for cell, width in zip(cells, wide, strict=True)]
    height = max(len(lines) for lines in wrapped)
    padded = [[*lines, *[""] * (height - len(lines))] for lines in wrapped]
    return [
        BETWEEN.join(f"{line:<{width}}" for line, width in zip(line_of, wide, strict=True)).rstrip()
        for line_of in zip(*padded, strict=True)
    ]
