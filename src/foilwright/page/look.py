"""Words, signs and colours of the page; a verdict is a word and a shape before it is a colour."""

from __future__ import annotations

from foilwright.page.marks import safe
from foilwright.questions import report
from foilwright.questions.finding import Finding, is_flag

SHAPES = {
    "sound": '<circle cx="8" cy="8" r="6.2"/><path class="cut" d="M4.8 8.2l2.3 2.3 4.2-4.6"/>',
    "slim": '<path d="M8 1.2l7 13H1z"/><path class="cut" d="M8 6v3.6M8 11.4v.6"/>',
    "fails": '<path d="M4.9 1h6.2L15 4.9v6.2L11.1 15H4.9L1 11.1V4.9z"/>'
    '<path class="cut" d="M5.4 5.4l5.2 5.2M10.6 5.4l-5.2 5.2"/>',
    "unknown": '<path d="M8 .8L15.2 8 8 15.2.8 8z"/>'
    '<path class="cut" d="M6.1 6.4c0-2.6 3.8-2.5 3.8-.2 0 1.6-1.9 1.6-1.9 3M8 11.2v.5"/>',
}
"""What stands for each verdict: a disc, a wedge, an octagon, a lozenge."""
MOST, WIDE, HIGH = 1.0, 132.0, 14.0
"""Margin at either end of a bar, in units of its scale; size of a bar."""


def sign(verdict: str) -> str:
    """Return the shape of a verdict; the word stands beside it."""
    return f'<svg class="sign {verdict}" viewBox="0 0 16 16" aria-hidden="true">{SHAPES[verdict]}</svg>'


def verdict(word: str) -> str:
    """Return a verdict as shape and word."""
    return f'<span class="verdict {word}">{sign(word)}{word}</span>'


def bar(finding: Finding, word: str) -> str:
    """Return a margin as a bar about a zero line, with a mark at the margin it must have."""
    if finding.reason[0] or is_flag(finding, 0):
        return '<span class="bar none" aria-hidden="true"></span>'
    middle = 0.4 * WIDE
    has = float(finding.margin[0]) / finding.scale
    needs = min(max(float(finding.required[0]) / finding.scale, 0.0), MOST)
    share = min(max(has, -MOST), MOST)
    room = WIDE - middle if share >= 0.0 else middle
    x = middle + min(share, 0.0) * room
    mark = middle + needs * (WIDE - middle)
    beyond = ""
    if abs(has) > MOST:
        tip = WIDE if has > 0.0 else 0.0
        back = tip - 6.0 if has > 0.0 else 6.0
        beyond = f'<path class="beyond" d="M{back:.1f} 2.5L{tip:.1f} 7L{back:.1f} 11.5z"/>'
    return (
        f'<svg class="bar {word}" viewBox="0 0 {WIDE:g} {HIGH:g}" role="img" '
        f'aria-label="{safe(report.margin(finding, 0))}">'
        f'<rect class="rail" x="0" y="5.5" width="{WIDE:g}" height="3"/>'
        f'<rect class="fill" x="{x:.2f}" y="3" width="{abs(share) * room:.2f}" height="8"/>{beyond}'
        f'<path class="zero" d="M{middle:g} 0V14"/><path class="needs" d="M{mark:.2f} 1V13"/></svg>'
    )


def many(count: int, one: str, more: str = "") -> str:
    """Return a number with its word: ``3 findings``."""
    return f"{count} {one if count == 1 else more or one + 's'}"
