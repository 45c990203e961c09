"""The head of the page, its loop, what is told below, and what is asked when the file changed outside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from foilwright.page.desk import Desk
from foilwright.page.look import many, verdict
from foilwright.page.marks import button, given, safe
from foilwright.page.strip import tally
from foilwright.questions.report import Ranked
from foilwright.questions.way import WaysOut

if TYPE_CHECKING:
    from foilwright.page.screen import Open

SHADE = (
    '<button type="button" class="button icon" data-shade aria-label="Light or dark" title="Light or dark">\u25d0'
    "</button>"
)
VIEWS = {
    "ask": "what holds it back",
    "change": "inputs and ways out",
    "make": "parts and drawings",
    "try": "cards for bench and beach",
    "learn": "days on the water, doubt, proof",
}
"""The maker's loop."""
TABS = {"inputs": "Inputs", "ways": "Ways out", "compare": "Against the file"}


def head(desk: Desk, here: Open, found: Ranked) -> str:
    """Return the name of the build, its verdict, undo, redo, save, and the loop."""
    count = len(desk.differs) + len(desk.wrong)
    state = many(count, "change") + " not saved" if count else "saved"
    buttons = (
        button("\u21b6", "undo", kind="icon", off=not desk.can_undo, label="Undo (Ctrl+Z)")
        + button("\u21b7", "redo", kind="icon", off=not desk.can_redo, label="Redo (Ctrl+Shift+Z)")
        + button("Save", "save", kind="main", off=not desk.differs or desk.conflict or desk.gone, label="Save (Ctrl+S)")
        + button("Save as", "saving", kind="plain", value="" if here.saving_as else "open")
    )
    kinds = "".join(
        f'<option value="{each}"{" selected" if (each == "imperial") == here.imperial else ""}>{each}</option>'
        for each in ("metric", "imperial")
    )
    units = (
        f'<select aria-label="Units" {given(do="units")} data-value="{"imperial" if here.imperial else "metric"}">'
        f"{kinds}</select>"
    )
    other = ""
    if here.saving_as:
        other = (
            '<p class="row other"><label for="other">Name of the new file</label><input id="other" type="text"'
            ' autocomplete="off" data-presses="go-other"> '
            f'<button type="button" id="go-other" class="button main" {given(do="save_as", ask="other")}>'
            "Save it</button></p>"
        )
    return (
        f'<header><a class="home" href="/start" title="All builds">Foilwright</a>'
        f'<h1>{safe(desk.build.name)} {verdict(found[0][1])}<small class="tally">{tally(found)}</small></h1>'
        f'<p class="state"><span class="quiet">{safe(desk.path.name)}: {state}</span></p>'
        f'<div class="tools">{buttons}{units}{SHADE}</div></header>{other}{_conflict(desk)}{_loop(here)}'
    )


def _loop(here: Open) -> str:
    items = "".join(
        f'<li><button type="button" class="step" aria-current="{"page" if name == here.view else "false"}" '
        f"{given(do='view', view=name)}><b>{name.capitalize()}</b><small>{told}</small></button></li>"
        for name, told in VIEWS.items()
    )
    return f'<nav class="loop" aria-label="The loop"><ol>{items}</ol></nav>'


def _conflict(desk: Desk) -> str:
    if desk.gone:
        return (
            f'<div class="alert" role="alert"><p>{safe(desk.path.name)} is no longer there. What you changed is '
            "kept in its"
            " draft; save it as a new file, or put the file back.</p></div>"
        )
    if not desk.conflict:
        return ""
    return (
        f'<div class="alert" role="alert"><p><strong>{safe(desk.path.name)} was changed outside this page</strong> '
        "while"
        f" {many(len(desk.differs) + len(desk.wrong), 'change')} here "
        f"{'is' if len(desk.differs) + len(desk.wrong) == 1 else 'are'}"
        " not saved. Nothing has been overwritten.</p>"
        f'<p class="row">{button("Put my changes upon the new file", "settle", kind="main", value="mine")}'
        f"{button('Take the new file; keep mine one redo away', 'settle', kind='plain', value='file')}"
        f"{button('Save mine under another name', 'saving', kind='plain', value='open')}</p></div>"
    )


def tabs(here: Open, ways: WaysOut | None) -> str:
    """Return what can be seen where things are changed."""
    count = "" if ways is None else f" ({len(ways.ways)})"
    items = "".join(
        f'<li><button type="button" class="tab" aria-pressed="{"true" if name == here.tab else "false"}" '
        f"{given(do='tab', tab=name)}>{told}{count if name == 'ways' else ''}</button></li>"
        for name, told in TABS.items()
    )
    return f'<nav aria-label="Change"><ul class="tabs">{items}</ul></nav>'


def toast(told: list[str]) -> str:
    """Return what is told, at the foot of the window where it moves nothing."""
    text = "".join(f"<p>{safe(each)}</p>" for each in told if each)
    close = button("Close", "told", kind="small plain") if text else ""
    return f'<div role="status" aria-live="polite" class="{"said" if text else "silent"}">{text}{close}</div>'


def effect(better: int, worse: int, first: str) -> str:
    """Return what a change did to the verdicts, in one sentence."""
    if not better and not worse:
        return "No verdict changed; margins moved."
    told = ", ".join(each for each in (f"{better} better" if better else "", f"{worse} worse" if worse else "") if each)
    front = "First of the worse" if worse else "Among them"
    return f"Verdicts: {told}. {front}: {first}."
