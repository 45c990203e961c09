"""The strip of questions, and below it the finding that holds the build back with its best way out."""

from __future__ import annotations

from foilwright.page.look import bar, many, sign, verdict
from foilwright.page.marks import button, given, safe
from foilwright.questions import report
from foilwright.questions.ask import QUESTIONS
from foilwright.questions.finding import VERDICTS
from foilwright.questions.report import MEANS, Ranked
from foilwright.questions.way import Way, WaysOut

BAD = ("fails", "slim", "unknown")


def strip(found: Ranked, chosen: str) -> str:
    """Return the questions as one row of buttons, each with its worst verdict and how many are not sound."""
    cells = []
    for question in QUESTIONS:
        part = report.of_question(found, question.name)
        if not part:
            continue
        word = part[0][1]
        bad = sum(each == word for _, each in part) if word != "sound" else 0
        pressed = "true" if question.name == chosen else "false"
        cells.append(
            f'<li><button type="button" class="question {word}" aria-pressed="{pressed}" title="{safe(question.asks)}" '
            f'{given(do="question", question=question.name)}>{sign(word)}<span class="name">{question.name}</span>'
            f'<span class="word">{bad or ""} {word}</span></button></li>'
        )
    return f'<nav aria-label="Questions"><ul class="strip">{"".join(cells)}</ul></nav>'


def tally(found: Ranked) -> str:
    """Return how many findings have which verdict, in words."""
    words = [word for _, word in found]
    return ", ".join(f"{words.count(each)} {each}" for each in VERDICTS if each in words)


def held(found: Ranked, ways: WaysOut | None, *, looking: bool) -> str:
    """Return what holds the build back, its numbers, what it means, and the best way out of it."""
    finding, word = found[0]
    front = "Holds it back" if word in BAD else "Has the least to spare"
    case = report.case(finding, 0)
    name = f"{finding.name}{f' ({case})' if case and not report.never(finding, 0) else ''}"
    means = f"If it fails: {MEANS[finding.meaning]}." if word != "sound" else "Nothing fails and nothing is slim."
    return (
        f'<section class="held {word}" aria-label="{front}"><div class="what"><p class="front">{front}</p>'
        f'<h2><a href="#answers" {given(do="finding", finding=finding.id)}>{safe(name)}</a> {verdict(word)}</h2>'
        f'<p class="numbers">{bar(finding, word)}<span>{safe(report.said(finding, 0))}</span></p>'
        f'<p class="means">{means}</p></div>{_best(finding.id, word, ways, looking=looking)}</section>'
    )


def _best(finding: str, word: str, ways: WaysOut | None, *, looking: bool) -> str:
    """Return the best way out; the room for it is there before it is known."""
    if word == "sound":
        return (
            '<div class="out"><p class="front">Next</p><p>Read the cards under Try before the water; settle what is'
            " assumed under Change.</p></div>"
        )
    if ways is None or looking:
        return (
            '<div class="out" aria-busy="true"><p class="front">Best way out</p>'
            '<p class="quiet">Working through all single changes; this takes some seconds.</p></div>'
        )
    best = ways.of(finding)
    told = _way(best[0]) if best else "<p>No change of one field or of two clears it by itself.</p>"
    joined = ways.together
    both = ""
    if joined is not None and len(joined.changes) > 1:
        after = "then nothing fails" if not joined.failing else f"then {many(len(joined.failing), 'finding')} left"
        both = button(
            f"Apply {len(joined.changes)} changes together: {after}", "together", kind="plain" if best else "main"
        )
    more = button("All ways out", "view", kind="plain", view="change", part="ways")
    return f'<div class="out"><p class="front">Best way out</p>{told}<p class="row">{both}{more}</p></div>'


def _way(way: Way) -> str:
    changes = "; ".join(change.told for change in way.changes)
    place = "set at the beach" if way.place == "beach" else "made in the workshop"
    worse = sum(VERDICTS.index(after) < VERDICTS.index(before) for before, after in way.verdicts.values()
                if after in VERDICTS and before in VERDICTS)  # fmt: skip
    side = f" Makes {many(worse, 'other finding')} worse." if worse else ""
    return (
        f"<p><strong>{safe(changes[:1].upper() + changes[1:])}</strong>, {place}.{side}</p>"
        f'<p class="row">{button("Apply it", "way", kind="main", finding=way.finding, number=0)}</p>'
    )
