"""The first page: the builds of the folder, a new one from those that ship with the program, one from elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

from nicegui import ui

from foilwright.build import load
from foilwright.core.errors import FoilwrightError
from foilwright.page.draft import place
from foilwright.page.heads import SHADE
from foilwright.page.marks import given, safe
from foilwright.page.paper import Paper
from foilwright.page.room import House

SCENARIOS = {
    "lake": "a sound cruiser for cool fresh water",
    "first-try": "a first attempt that floats and will not rise; find out why",
    "sea": "light and fast, with a small wing, for salt water",
    "trainer": "thick, heavy and gentle, for a club and its many riders",
}


def show(house: House, head: str, *, told: str = "") -> None:
    """Build the first page."""
    if head:
        ui.add_head_html(head)
    said = [told] if told else []

    async def act(event: Mapping[str, Any]) -> None:
        name = str(event.get("act"))
        if name == "new":
            from foilwright.page.server import new_from  # noqa: PLC0415

            try:
                made = new_from(house, str(event["scenario"]), str(event["value"]))
            except (FoilwrightError, KeyError) as error:
                said[:] = [str(error)]
            else:
                ui.navigate.to(f"/build/{quote(made.name)}")
                return
        elif name == "told":
            said[:] = [str(event["value"])] if event["value"] else []
        paper.write(page(house, said))

    with ui.element("div").classes("root start"):
        paper = Paper(act, key="start")
    paper.write(page(house, said))


def page(house: House, told: list[str]) -> str:
    """Return the first page as text."""
    builds = "".join(_build(path.name, draft=place(path).exists()) for path in house.builds())
    here = f'<ul class="builds">{builds}</ul>' if builds else "<p>None yet.</p>"
    options = "".join(
        f'<li><label for="new-{name}">{name}<small>{safe(SCENARIOS.get(name, ""))}</small></label>'
        f'<span class="row"><input id="new-{name}" type="text" autocomplete="off" placeholder="name of your build"'
        f' data-presses="go-{name}"><button type="button" id="go-{name}" class="button main"'
        f" {given(do='new', scenario=name, ask=f'new-{name}')}>Begin</button></span></li>"
        for name in sorted(load.scenarios(), key=list(SCENARIOS).index)
    )
    alert = "".join(f"<p>{safe(each)}</p>" for each in told)
    return (
        '<header><span class="home">Foilwright</span><h1>Your builds</h1>'
        f'<div class="tools">{SHADE}</div></header><main>'
        f"{f'<div class=alert role=alert>{alert}</div>' if alert else ''}"
        f"<section><h2>In {safe(house.folder.name or 'this folder')}</h2>{here}</section>"
        f'<section><h2>A new one, from</h2><ul class="news">{options}</ul></section>'
        '<section><h2>From elsewhere</h2><p><label for="file">A build file (TOML) is copied into this folder; '
        "nothing is"
        ' overwritten.</label></p><input id="file" type="file" accept=".toml"></section>'
        '<p class="quiet">Foilwright states margins under assumptions; it never says that a craft is safe.</p></main>'
    )


def _build(name: str, *, draft: bool) -> str:
    mark = ' <span class="tag changed">not saved</span>' if draft else ""
    return f'<li><a href="/build/{quote(name)}">{safe(name)}</a>{mark}</li>'
