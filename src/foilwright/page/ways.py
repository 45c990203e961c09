"""Ways out as cards: what is changed, what it takes, what it does to everything else, and a button that applies it."""

from __future__ import annotations

from collections.abc import Sequence

from foilwright.page.look import many, sign, verdict
from foilwright.page.marks import button, safe
from foilwright.questions import report
from foilwright.questions.ask import Answers
from foilwright.questions.report import Ranked
from foilwright.questions.report_text import NUMBERS
from foilwright.questions.report_ways import TAKES
from foilwright.questions.way import Change, Together, Way, WaysOut

ALONE = (
    "No change of one field, nor of two, clears it by itself. All together, above, or what cures its question "
    "alone, beside"
    " its answer, may."
)
EFFECTS = 8
"""Other findings named on a card."""


def cards(answers: Answers, found: Ranked, ways: WaysOut | None, *, wrong: str, opened: str) -> str:
    """Return the ways out of everything that fails or is slim, worst first; those of the opened finding unfolded."""
    if wrong:
        return f'<section><h2>Ways out</h2><p class="wrong">{safe(wrong)}</p></section>'
    if ways is None:
        return (
            '<section><h2>Ways out</h2><p class="quiet" aria-busy="true">Working through every field that may '
            "change, and"
            " pairs of them; some seconds.</p></section>"
        )
    if not (ways.ways or ways.without):
        return "<section><h2>Ways out</h2><p>Nothing fails and nothing is slim.</p></section>"
    names = {finding.id: finding.name for finding in answers.all()}
    first = next((finding.id for finding, _ in found if ways.of(finding.id)), "")
    chosen = opened if ways.of(opened) or opened in ways.without else first
    parts = []
    for finding, word in found:
        here = ways.of(finding.id)
        if not here and finding.id not in ways.without:
            continue
        told = "".join(_card(way, names, number) for number, way in enumerate(here))
        told = told or f"<p>{ALONE}</p>"
        parts.append(
            f'<details class="outs" data-key="{safe(finding.id)}{"-open" if finding.id == chosen else ""}"'
            f"{' open' if finding.id == chosen else ''}><summary>{verdict(word)}"
            f' <span class="name">{safe(finding.name)}</span></summary><div class="cards">{told}</div></details>'
        )
    how = (
        f'<p class="asks">The smallest changes that clear each finding, worked out through all models'
        f" ({many(ways.designs, 'variant')} asked). Beach: set or ridden otherwise; workshop: made, bought, "
        "rebuilt.</p>"
    )
    return f"<section><h2>Ways out</h2>{how}{_together(ways.together)}{''.join(parts)}</section>"


def _together(joined: Together | None) -> str:
    if joined is None:
        return ""
    items = "".join(
        f'<li>{safe(change.told)} <span class="quiet">({change.place})</span></li>' for change in joined.changes
    )
    after = (
        "Then nothing fails" if not joined.failing else f"Then {many(len(joined.failing), 'finding')} still to clear"
    )
    slim = f"; {joined.slim} slim" if joined.slim else ""
    text = "".join(f"<p>{safe(each)}.</p>" for each in joined.text)
    return (
        f'<div class="card together"><h3>All together</h3><ol>{items}</ol><p>{after}{slim}.</p>{text}'
        f'<p class="row">{button("Apply all", "together", kind="main")}</p></div>'
    )


def cure(question: str, found: Sequence[Change] | None, *, ready: bool, looking: bool, wrong: str) -> str:
    """Return the few changes that cure one question that fails; they are sought when asked for."""
    if wrong:
        return f'<p class="wrong">{safe(wrong)}</p>'
    if looking:
        return f'<p class="quiet" aria-busy="true">Looking for the few changes that cure {question}.</p>'
    if found is None:
        told = f"Find the few changes that cure {question}" if ready else "Ways out are still being worked out"
        kind = "main" if ready else ""
        return f'<p class="row">{button(told, "cure", kind=kind, question=question, off=not ready)}</p>'
    if not found:
        return f"<p>No changes were found that cure {question}.</p>"
    items = "".join(f'<li>{safe(each.told)} <span class="quiet">({each.place})</span></li>' for each in found)
    return (
        f'<div class="card together"><h3>What cures {question}</h3><ol>{items}</ol><p>None of these can be left '
        "out. What"
        " they do to the other questions is seen when they are applied; undo takes them back.</p>"
        f'<p class="row">{button("Apply these", "cured", kind="main", question=question)}</p></div>'
    )


def _card(way: Way, names: dict[str, str], number: int) -> str:
    changes = "; ".join(change.told for change in way.changes)
    takes = f"{way.effort}, {TAKES[way.cost]}"
    place = "Beach" if way.place == "beach" else "Workshop"
    return (
        f'<article class="card" data-key="{safe(way.finding)}-{number}"><h3>'
        f"{safe(changes[:1].upper() + changes[1:])}</h3>"
        f'<p class="quiet">{place}: {takes}.</p>{_effects(way, names)}{_numbers(way)}'
        f'<p class="row">{button("Apply it", "way", kind="main", finding=way.finding, number=number)}</p></article>'
    )


def _effects(way: Way, names: dict[str, str]) -> str:
    """Return which other findings get another verdict."""
    order = ("fails", "unknown", "slim", "sound")
    turned = [(after not in order or (before in order and order.index(after) > order.index(before)), key, before, after)
              for key, (before, after) in way.verdicts.items()]  # fmt: skip
    lines = [
        f"<li>{sign(after) if after in order else ''}{safe(names.get(key, key))}: {before} <span "
        'aria-hidden="true">\u2192</span>'
        f'<span class="hidden">becomes</span> {after}</li>'
        for _, key, before, after in sorted(turned)
    ]
    if not lines:
        moved = sum(1 for pair in way.effects.values() if pair[0] != pair[1])
        return f"<p>No other verdict changes; {many(moved, 'margin')} move{'s' if moved == 1 else ''}.</p>"
    rest = f"<li>and {len(lines) - EFFECTS} more</li>" if len(lines) > EFFECTS else ""
    return f'<ul class="effects">{"".join(lines[:EFFECTS])}{rest}</ul>'


def _numbers(way: Way) -> str:
    """Return the numbers of the craft that change so much that one sees it."""
    cells = []
    for name, (before, after) in way.numbers.items():
        if name not in NUMBERS:
            continue
        label, unit = NUMBERS[name]
        old, new = (_amount(value, unit) for value in (before, after))
        if old != new:
            cells.append(f'<tr><th scope="row">{safe(label)}</th><td>{old}</td><td>{new}</td></tr>')
    if not cells:
        return ""
    head = '<thead><tr><th scope="col">number</th><th scope="col">now</th><th scope="col">then</th></tr></thead>'
    return (
        f"<details><summary>{many(len(cells), 'number')} change{'s' if len(cells) == 1 else ''}</summary><table>{head}"
        f"<tbody>{''.join(cells)}</tbody></table></details>"
    )


def _amount(value: float | None, unit: str) -> str:
    if value is None:
        return "none"
    return report.percent(value) if unit == "%" else report.amount(value, unit)
