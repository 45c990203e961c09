"""Entries of lists on the page: the form of a new one, another name, taking one out; fields left out of the file."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from foilwright.build.entries import asked_first, block_of, named_by
from foilwright.build.schema import LISTS, NAMED, OPTIONAL, TABLES, Meta
from foilwright.core.errors import BuildFileError
from foilwright.page.carry import following, sentence
from foilwright.page.desk import Desk
from foilwright.page.marks import button, given, safe
from foilwright.page.sizes import SAID, number, offered, unit_of, with_unit

CALLED = {"part": "part", "joint": "joint", "ride.leg": "leg", "sections": "own section", "materials": "own material"}
"""What one entry of a list is called."""
EXAMPLES = {
    "part": "battery box", "joint": "series jumper", "ride.leg": "cruise out", "sections": "my-foil",
    "materials": "my laminate",
}  # fmt: skip


@dataclass(slots=True, kw_only=True)
class Entry:
    """An entry that is being written in one window, or the name that one is being given."""

    kind: str = ""
    name: str = ""
    fields: dict[str, str] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    wrong: str = ""
    of: str = ""


def kind_and_name(part: str) -> tuple[str, str]:
    """Return the list and the name of an entry that is shown as a part; none where the part is a table."""
    kind = next((each for each in (*LISTS, *NAMED) if part.startswith(f"{each}.") and part not in TABLES), "")
    return (kind, part.removeprefix(f"{kind}.")) if kind else ("", "")


def add_button(kind: str, chosen: bool) -> str:
    """Return what opens the form of a new entry of a list."""
    pressed = "true" if chosen else "false"
    return (
        f'<li><button type="button" class="part add" aria-pressed="{pressed}" {given(do="adding", kind=kind)}>'
        f"+ {CALLED[kind]}</button></li>"
    )


def form(here: Entry, *, imperial: bool) -> str:
    """Return the form of a new entry: its name, and what it must have; all else is given afterwards."""
    kind, called = here.kind, CALLED[here.kind]
    rows = [_row("name", "a name of its own", EXAMPLES[kind], here.name)]
    window = Window(imperial=imperial, units=here.units)
    first, others = asked_first(kind)
    rows += [_asked(here, name, meta, window) for name, meta in first.items()]
    more = "".join(_asked(here, name, meta, window) for name, meta in others.items())
    opened = " open" if any(here.fields.get(name) for name in others) else ""
    rest = (
        f'<details{opened} data-key="more-{safe(kind)}"><summary>More of it</summary><div class="fields">{more}</div>'
    )
    rest = f"{rest}</details>" if more else ""
    wrong = f'<p class="wrong" id="new-wrong" role="alert">{safe(here.wrong)}.</p>' if here.wrong else ""
    about = (block_of(kind).__doc__ or "").splitlines()[0]
    return (
        f'<section aria-labelledby="of"><h2 id="of">A new {called}</h2><p class="asks">{safe(about)} '
        f'What is not given is left out.</p><div class="fields">{"".join(rows)}</div>{rest}{wrong}'
        f'<p class="row">{button(f"Add the {called}", "add", kind="main")}{button("Cancel", "cancel", kind="plain")}'
        "</p></section>"
    )


def _asked(here: Entry, name: str, meta: Meta, window: Window) -> str:
    text, says = here.fields.get(name, ""), meta.says
    if meta.kind in ("choice", "flag"):
        options = "".join(
            f'<option value="{safe(each)}"{" selected" if each == text else ""}>{safe(each)}</option>'
            for each in ("", *(meta.choices or ("true", "false")))
        )
        return (
            f'<div class="field" data-key="new-{name}"><label for="new-{name}">{name.replace("_", " ")}</label>'
            f'<div class="value"><select id="new-{name}" '
            f'{given(do="new", field=name)} data-value="{safe(text)}">{options}</select></div>'
            f'<p class="says">{safe(says[:1].upper() + says[1:])}</p></div>'
        )
    if meta.kind != "quantity":
        return _row(name, says, meta.example.strip('"'), text)
    unit = unit_of(meta, name, window)
    low, high = (number(end, unit, 3) for end in meta.bounds())
    says += f"; {low} to {high} {SAID.get(unit, unit)}"
    names = offered(meta, unit)
    options = "".join(
        f'<option value="{safe(each)}"{" selected" if each == unit else ""}>{safe(SAID.get(each, each))}</option>'
        for each in names
    )
    chosen = (
        f'<span class="quiet">{safe(SAID.get(unit, unit))}</span>'
        if len(names) < 2
        else (
            f'<select aria-label="Unit of {name}" {given(do="new_unit", field=name)} data-value="{safe(unit)}">'
            f"{options}</select>"
        )
    )
    return _row(name, says, "", text, chosen)


def _row(name: str, says: str, example: str, text: str, beside: str = "") -> str:
    such = f"; such as {safe(example)}" if example else ""
    return (
        f'<div class="field" data-key="new-{name}"><label for="new-{name}">{name.replace("_", " ")}</label>'
        f'<div class="value"><input id="new-{name}" type="text" autocomplete="off" '
        f'{given(do="new", field=name)} value="{safe(text)}" '
        f'aria-describedby="new-{name}-says">{beside}</div><p class="says" id="new-{name}-says">'
        f"{safe(says[:1].upper() + says[1:])}{such}</p></div>"
    )


def tools(desk: Desk, part: str, here: Entry) -> str:
    """Return what is done to a whole part: an entry renamed or taken out, an optional table left out."""
    kind, name = kind_and_name(part)
    if not kind:
        written = [path for path in desk.build.values if path.rpartition(".")[0] == part]
        if part not in OPTIONAL or not written or any(desk.build.meta(path).required for path in written):
            return ""
        told = f"Leave all {len(written)} out" if len(written) > 1 else "Leave it out"
        return f'<p class="row">{button(told, "empty", kind="small plain", part=part)}</p>'
    text = here.name if here.of == part else name
    wrong = f'<p class="wrong" id="name-wrong">{safe(here.wrong)}.</p>' if here.of == part and here.wrong else ""
    bad = ' aria-invalid="true" aria-describedby="name-wrong"' if wrong else ""
    out = button(f"Take this {CALLED[kind]} out", "remove", kind="small plain", part=part)
    naming = [path for path in named_by(desk.build, name) if kind in NAMED]
    used = f'<p class="says">Named by {safe(", ".join(naming))}; they follow another name.</p>' if naming else ""
    return (
        f'<div class="field naming" data-key="naming"><label for="naming">Name</label><div class="value">'
        f'<input id="naming" type="text" autocomplete="off" {given(do="rename", part=part)}{bad} value="{safe(text)}">'
        f"{out}</div>{used}{wrong}</div>"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """How sizes are shown in the form."""

    imperial: bool
    units: dict[str, str]


class Entering:
    """What is done to entries and left out fields in one window."""

    desk: Desk
    open: Any
    client: Any

    async def show(self) -> None:
        """Show what is open."""
        raise NotImplementedError

    async def do_adding(self, given: Mapping[str, Any]) -> None:
        """Open the form of a new entry."""
        self.open.entry = Entry(kind=str(given["kind"]))
        await self.show()
        self.client.run_javascript("foilwright.see('of')")

    def do_cancel(self, _: Mapping[str, Any]) -> None:
        """Close it."""
        self.open.entry = Entry()

    def do_new(self, given: Mapping[str, Any]) -> None:
        """Keep what is typed into it."""
        name, text = str(given["field"]), str(given["value"]).strip()
        if name == "name":
            self.open.entry.name = text
        else:
            self.open.entry.fields[name] = text

    def do_new_unit(self, given: Mapping[str, Any]) -> None:
        """Give a number of it in another unit."""
        self.open.entry.units[str(given["field"])] = str(given["value"])

    async def do_add(self, _: Mapping[str, Any]) -> None:
        """Put the new entry into its list, and show it; what takes seconds is worked out beside the window's thread."""
        here = self.open.entry
        if not here.kind:
            return
        window = Window(imperial=self.open.imperial, units=here.units)
        fields = {
            name: with_unit(here.fields.get(name, ""), unit_of(meta, name, window) if meta.kind == "quantity" else "")
            for some in asked_first(here.kind)
            for name, meta in some.items()
        }
        try:
            if here.kind == "sections":
                self.open.told = ["Working out lift and drag of the section; some seconds."]
                await self.show()
                await asyncio.to_thread(self.desk.with_entry, here.kind, here.name, fields)
            self.desk.add(here.kind, here.name, fields)
        except BuildFileError as error:
            here.wrong, self.open.told = sentence(error, named=True), []
        else:
            self.open.part, self.open.entry = f"{here.kind}.{here.name}", Entry()
            await self.show()
            self.client.run_javascript("foilwright.see('of')")

    def do_rename(self, given: Mapping[str, Any]) -> None:
        """Give an entry another name; what cannot be stays, with its sentence."""
        part, to = str(given["part"]), str(given["value"]).strip()
        kind, name = kind_and_name(part)
        try:
            self.desk.rename(kind, name, to)
        except BuildFileError as error:
            self.open.entry = Entry(of=part, name=to, wrong=sentence(error))
        else:
            self.open.part, self.open.entry = f"{kind}.{to}", Entry()

    def do_remove(self, given: Mapping[str, Any]) -> None:
        """Take an entry out of its list."""
        part = str(given["part"])
        kind, name = kind_and_name(part)
        try:
            self.desk.remove(kind, name)
        except BuildFileError as error:
            self.open.entry = Entry(of=part, name=name, wrong=sentence(error, named=True))
        else:
            others = self.desk.build.names[kind]
            self.open.part = f"{kind}.{others[0]}" if others else {"part": "board", "joint": "wires"}.get(kind, "wing")
            self.open.entry = Entry()

    def do_leave(self, given: Mapping[str, Any]) -> None:
        """Leave one field out of the file."""
        self.desk.leave_out(str(given["path"]))

    def do_empty(self, given: Mapping[str, Any]) -> None:
        """Leave all fields of an optional table out."""
        part = str(given["part"])
        self.desk.leave_out(*[path for path in self.desk.build.values if path.rpartition(".")[0] == part])

    def do_swap(self, given: Mapping[str, Any]) -> None:
        """Write a size of a wing that followed, in place of one that was written."""
        path, out = str(given["path"]), str(given["out"])
        value = following(self.desk.build, path.rpartition(".")[0]).get(path)
        meta = self.desk.build.meta(path)
        unit = unit_of(meta, path, Window(imperial=self.open.imperial, units=self.open.units))
        if value is not None:
            self.desk.apply({out: None, path: with_unit(number(value, unit), unit)})
