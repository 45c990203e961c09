"""Cards for bench and beach: ticked and written on, on a phone too; what is written is kept beside the build."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from foilwright.core.data import write_kept
from foilwright.page.look import many
from foilwright.page.marks import button, given, safe
from foilwright.page.reading import sheet
from foilwright.page.room import Room
from foilwright.parts.ready.card import GAP, Block, Card, Caution, Rows, Say, Steps

LONGEST = 2000
"""Letters of a note."""


def place(path: Path) -> Path:
    """Return where ticks and notes of a build are kept."""
    return path.with_name(f"{path.stem}.cards.json")


def kept(path: Path) -> dict[str, dict[str, Any]]:
    """Return ticks and notes by card; none where there is no such file."""
    try:
        tree = json.loads(place(path).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    if not isinstance(tree, dict):
        return {}
    return {str(card): lines for card, lines in tree.items() if isinstance(lines, dict)}


def tick(path: Path, card: str, key: str, done: bool) -> None:
    """Keep a tick, or take it away."""
    _keep(path, card, key, True if done else None)


def note(path: Path, card: str, key: str, text: str) -> None:
    """Keep a note or a reading; an empty one is taken away."""
    _keep(path, card, key, text.strip()[:LONGEST] or None)


def _keep(path: Path, card: str, key: str, value: Any) -> None:
    tree = kept(path)
    lines = tree.setdefault(card[:80], {})
    if value is None:
        lines.pop(key, None)
    else:
        lines[key[:80]] = value
    told = {name: each for name, each in tree.items() if each}
    write_kept(place(path), json.dumps(told, ensure_ascii=False, indent=1, sort_keys=True) + "\n")


def cards(room: Room, opened: str) -> str:
    """Return the cards by the place where they are used, the chosen one open."""
    room.want("cards")
    made: Sequence[Card] | None = room.found("cards")
    wrong = room.wrong.get("cards")
    head = (
        '<h2 id="trying">Try</h2><p class="asks">Bench first, then shore, then depth. Ticks and readings are kept in'
        f" {safe(place(room.desk.path).name)}. {sheet(room.desk.path.name)}, and bring under Learn afterwards.</p>"
    )
    if wrong:
        return f'<section aria-labelledby="trying">{head}<p class="wrong">{safe(wrong)}</p></section>'
    if made is None:
        busy = '<p class="quiet" aria-busy="true">Filling in the cards.</p>'
        return f'<section aria-labelledby="trying">{head}{busy}</section>'
    written = kept(room.desk.path)
    chosen = next((card for card in made if card.name == opened), made[0])
    items = "".join(_entry(card, written.get(card.name, {}), card is chosen) for card in made)
    return (
        f'<section aria-labelledby="trying">{head}<div class="shelf"><nav aria-label="Cards"><ol class="index">'
        f"{items}</ol>"
        f"</nav>{_card(chosen, written.get(chosen.name, {}), made)}</div></section>"
    )


def _boxes(card: Card) -> int:
    return sum(len(block.steps) for block in card.blocks if isinstance(block, Steps))


def _entry(card: Card, lines: dict[str, Any], is_chosen: bool) -> str:
    done = sum(value is True for value in lines.values())
    count = f"{done} of {_boxes(card)}" if _boxes(card) else ""
    return (
        f'<li><button type="button" class="entry" aria-pressed="{"true" if is_chosen else "false"}" '
        f"{given(do='card', value=card.name)}><span>{safe(card.title)}</span><small>{count}</small></button></li>"
    )


def _card(card: Card, lines: dict[str, Any], made: Sequence[Card]) -> str:
    blocks = "".join(_block(card, number, block, lines) for number, block in enumerate(card.blocks))
    at = next(number for number, each in enumerate(made) if each is card)
    onward = "".join(
        button(told, "card", kind="plain", value=made[k].name)
        for told, k in (("Card before", at - 1), ("Next card", at + 1)) if 0 <= k < len(made)
    )  # fmt: skip
    text = str(lines.get("note", ""))
    needs = f" Needs: {safe(card.needs)}." if card.needs else ""
    return (
        f'<article class="sheet" data-key="{safe(card.name)}"><h3>{safe(card.title)}</h3>'
        f'<p class="quiet">{safe(_upper(card.place))}.{needs}</p>{blocks}'
        f'<label for="note">Notes</label><textarea id="note" rows="3" {given(do="note", card=card.name, key="note")}>'
        f'{safe(text)}</textarea><p class="quiet">Source: {safe(card.source)}</p><p class="row">{onward}</p></article>'
    )


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _block(card: Card, number: int, block: Block, lines: dict[str, Any]) -> str:
    if isinstance(block, Say):
        return f"<p>{safe(block.text)}</p>"
    if isinstance(block, Caution):
        return f'<p class="caution"><strong>Caution.</strong> {safe(block.text)}</p>'
    title = f"<h4>{safe(block.title)}</h4>" if block.title else ""
    if isinstance(block, Rows):
        return title + _table(card, number, block, lines)
    items = []
    for k, step in enumerate(block.steps):
        key = f"{number}-{k}"
        done = lines.get(key) is True
        items.append(
            f'<li><label class="check"><input type="checkbox" {given(do="tick", card=card.name, key=key)}'
            f'{" checked" if done else ""}><span>'
            f'{f"{k + 1}. " if block.mark == "number" else ""}{safe(step)}</span></label></li>'
            if block.mark != "point" else f"<li>{safe(step)}</li>"
        )  # fmt: skip
    return f'{title}<ul class="{"points" if block.mark == "point" else "checks"}">{"".join(items)}</ul>'


def _table(card: Card, number: int, block: Rows, lines: dict[str, Any]) -> str:
    head = "".join(f'<th scope="col">{safe(cell)}</th>' for cell in block.head)
    body = []
    for k, row in enumerate(block.rows):
        cells = []
        for j, cell in enumerate(row):
            if cell != GAP:
                cells.append(f"<td>{safe(cell)}</td>")
                continue
            key = f"{number}-{k}-{j}"
            label = f"{block.head[j] if j < len(block.head) else ''}, {row[0] or many(k + 1, 'row')}"
            cells.append(
                f'<td><input type="text" aria-label="{safe(label)}" {given(do="note", card=card.name, key=key)} '
                f'value="{safe(lines.get(key, ""))}"></td>'
            )
        body.append(f"<tr>{''.join(cells)}</tr>")
    named = f'tabindex="0" role="group" aria-label="{safe(block.title or "Table")}"'
    table = f"<table><thead><tr>{head}</tr></thead><tbody>{''.join(body)}</tbody></table>"
    return f'<div class="scroll" {named}>{table}</div>'
