"""Where the craft is made: its parts, and the drawings of the build as it stands on the page."""

from __future__ import annotations

import re

from foilwright.page.marks import button, safe
from foilwright.page.room import Room
from foilwright.page.workshop import parts
from foilwright.study import wiring

DRAWINGS = {
    "wiring": (
        "Wiring diagram",
        "Modules, contacts, leads, fuses, switch, controller and receiver, as they are joined.",
    ),
    "hold": ("Moments along the mast", "What bends the mast in the worst case, and what would break it."),
    "balance": ("Where the weight must be", "The rider's place on the run for each posture, against where it can be."),
    "obey": ("Reach of the throttle link", "Decibels to spare over distance and height of the antenna."),
}


def made(room: Room, opened: str) -> str:
    """Return the parts, or one of the drawings."""
    chosen = opened if opened in DRAWINGS else "parts"
    tabs = {"parts": "Parts"} | {name: title for name, (title, _) in DRAWINGS.items()}
    buttons = "".join(
        f'<li><button type="button" class="tab" aria-pressed="{"true" if name == chosen else "false"}" '
        f'data-do="drawing" data-value="{name}">{title}</button></li>'
        for name, title in tabs.items()
    )
    inner = parts(room.desk, room.shop) if chosen == "parts" else _drawing(room, chosen)
    return (
        '<section aria-labelledby="making"><h2 id="making">Make</h2><nav aria-label="Make"><ul class="tabs lessons">'
        f"{buttons}</ul></nav>{inner}</section>"
    )


def _drawing(room: Room, name: str) -> str:
    """Return a drawing; below the wiring diagram the plug-in order for the lid."""
    order = (
        f'<h3>Plug-in order, for the inside of the lid</h3><pre tabindex="0">{safe(wiring.card(room.desk.build))}</pre>'
        if name == "wiring"
        else ""
    )
    return (
        f'<p class="asks">Drawn from the build as it stands on this page, saved or not.</p>{_shown(room, name)}{order}'
    )


def _shown(room: Room, name: str) -> str:
    told = DRAWINGS[name][1]
    wrong = room.wrong.get(f"drawing {name}")
    if wrong:
        return f'<p class="wrong">{safe(wrong)}</p>'
    found = room.found(f"drawing {name}")
    if found is None:
        again = "" if room.looking(f"drawing {name}") else button("Draw it", "drawing", kind="main", value=name)
        return f'<p>{told}</p><div class="plate" aria-busy="true"><p class="quiet">Drawing.</p>{again}</div>'
    title = DRAWINGS[name][0]
    svg = re.sub(r"^.*?<svg ", f'<svg role="img" aria-label="{title}" ', found, count=1, flags=re.DOTALL)
    return f'<p>{told}</p><div class="plate" tabindex="0" role="group" aria-label="{title}">{svg}</div>'
