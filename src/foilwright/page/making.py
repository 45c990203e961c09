"""Drawings by which the craft is made: what has landed."""

from __future__ import annotations

import re

from foilwright.page.marks import button, safe
from foilwright.page.room import Room
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


def made(room: Room, drawing: str) -> str:
    """Return the drawings, the chosen one open, and the plug-in order for the lid."""
    chosen = drawing if drawing in DRAWINGS else ""
    buttons = "".join(
        f'<li><button type="button" class="tab" aria-pressed="{"true" if name == chosen else "false"}" '
        'data-do="drawing" '
        f'data-value="{name}">{title}</button></li>'
        for name, (title, _) in DRAWINGS.items()
    )
    shown = _shown(room, chosen) if chosen else '<p class="quiet">Choose a drawing.</p>'
    order = safe(wiring.card(room.desk.build))
    return (
        '<section aria-labelledby="making"><h2 id="making">Make</h2><p class="asks">Drawn from the build as it '
        "stands on"
        f' this page, saved or not.</p><ul class="tabs">{buttons}</ul>{shown}'
        f'<h3>Plug-in order, for the inside of the lid</h3><pre tabindex="0">{order}</pre>'
        "<h3>Parts</h3><p>Solids, templates, laminate schedule and lists are written by the command"
        f" <code>foilwright parts {safe(room.desk.path.name)} -o parts</code>, from the file"
        " as it is saved.</p></section>"
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
