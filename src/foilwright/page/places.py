"""What is done under Make, Try and Learn when something is pressed there."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from nicegui import background_tasks

from foilwright.core.errors import FoilwrightError
from foilwright.page import trying, water
from foilwright.page.desk import Desk
from foilwright.page.exploring import chosen
from foilwright.page.look import many
from foilwright.page.room import House, Room

if TYPE_CHECKING:
    from foilwright.page.screen import Open


class Places:
    """The acts of one window in the places where things are made, tried and learnt."""

    house: House
    room: Room
    desk: Desk
    open: Open
    _searching: asyncio.Task[None] | None

    def stir(self) -> None:
        """Show the build anew."""
        raise NotImplementedError

    # Make

    def do_drawing(self, given: Mapping[str, Any]) -> None:
        """Open the parts, or draw something in the background."""
        self.open.drawing = str(given["value"])
        if self.open.drawing != "parts":
            self.room.want("drawing", self.open.drawing, name=f"drawing {self.open.drawing}")

    def do_parts(self, _: Mapping[str, Any]) -> None:
        """Make the parts of the build as it is in its file."""
        shop, desk = self.room.shop, self.desk

        def done(_: None) -> None:
            desk.told.append(f"{many(len(shop.kept().things()), 'thing')} in {shop.folder.name}.")

        if not desk.dirty:
            shop.labour.begin(self.house.maker, "parts", desk.build, shop.folder, done=done)

    def do_parts_save(self, given: Mapping[str, Any]) -> None:
        """Save, then make them."""
        if self.desk.save():
            self.do_parts(given)

    def do_parts_stop(self, _: Mapping[str, Any]) -> None:
        """Stop making them."""
        self.room.shop.labour.stop()

    # Try

    def do_card(self, given: Mapping[str, Any]) -> None:
        """Open a card."""
        self.open.card = str(given["value"])

    def do_tick(self, given: Mapping[str, Any]) -> None:
        """Tick a line of a card, or take the tick away."""
        trying.tick(self.desk.path, str(given["card"]), str(given["key"]), bool(given["value"]))

    def do_note(self, given: Mapping[str, Any]) -> None:
        """Keep a note or a reading on a card."""
        trying.note(self.desk.path, str(given["card"]), str(given["key"]), str(given["value"]))

    # Learn

    def do_lesson(self, given: Mapping[str, Any]) -> None:
        """Open one of the places where one learns."""
        self.open.lesson = str(given["value"])

    def do_day(self, given: Mapping[str, Any]) -> None:
        """Count a day in, or leave it out."""
        self.room.water.ticked[str(given["name"])] = bool(given["value"])
        self.room.stir()

    def do_days(self, _: Mapping[str, Any]) -> None:
        """Read the days back."""
        room, folder, build = self.room, self.house.folder, self.desk.build
        names = water.counted(water.days(folder), build, room.water.ticked)

        def done(told: water.Told) -> None:
            room.water.take(water.state(build, water.days(folder), names, folder, told), told)

        if names:
            room.water.labour.begin(self.house.helper, "learn", build, folder, names, done=done)

    def do_days_stop(self, _: Mapping[str, Any]) -> None:
        """Stop reading them."""
        self.room.water.labour.stop()

    def do_keep(self, _: Mapping[str, Any]) -> None:
        """Take what was learnt into the build, in one step."""
        told = self.room.water.told
        if told is None:
            return
        kept = water.to_keep(told.found, self.desk.build)
        if kept:
            self.desk.rewrite(water.kept(told.found, self.desk.build, self.desk.edits))
            self.desk.told.append(
                f"{many(len(kept), 'field')} kept in the build. Undo takes them back; Save writes them."
            )

    def do_without(self, _: Mapping[str, Any]) -> None:
        """Take the corrections out of the build, in one step."""
        if self.desk.leave_out(*water.in_build(self.desk.build)):
            self.desk.told.append("The build is without corrections. Undo brings them back; Save writes it.")

    def past(self) -> None:
        """Read builds and days of the folder, where a file changed."""
        past = self.room.past
        if past.due():
            past.labour.begin(self.house.helper, "history", self.house.folder, done=past.take)

    async def do_evidence(self, _: Mapping[str, Any]) -> None:
        """Work every outside check through."""
        if self.house.evidence is None:
            self.house.evidence = await self.house.helper.run("evidence")

    def do_searched(self, given: Mapping[str, Any]) -> None:
        """Change what is searched for."""
        here, what, text = self.open.search, str(given["what"]), str(given["value"])
        number = int(given.get("number", 0))
        if what == "path":
            here.vary[number] = chosen(self.desk.build, text)
        elif what in ("low", "high"):
            row = dict(zip(("path", "low", "high"), here.vary[number], strict=True)) | {what: text}
            here.vary[number] = list(row.values())
        elif what in ("kind", "name"):
            kind, _, name = here.aims[number].partition(" ")
            here.aims[number] = f"{text if what == 'kind' else kind} {text if what == 'name' else name}"
        elif what == "where":
            here.where = text
        elif what == "count":
            here.count = int(text)

    def do_search(self, _: Mapping[str, Any]) -> None:
        """Begin a search."""
        here = self.open.search
        if not here.running:
            here.running, here.wrong, here.found, here.progress = True, "", None, (0, here.count)
            self._searching = background_tasks.create(self._search())

    async def _search(self) -> None:
        here = self.open.search

        def far(progress: tuple[int, int]) -> None:
            here.progress = progress
            self.stir()

        try:
            here.found = await self.house.explorer.run("explore", self.desk.build, here.given(), told=far)
        except FoilwrightError as error:
            here.wrong = str(error)
        finally:
            here.running = False
            self.stir()

    def do_stop(self, _: Mapping[str, Any]) -> None:
        """Stop a search."""
        if self._searching is not None:
            self._searching.cancel()

    def do_take(self, given: Mapping[str, Any]) -> None:
        """Take one of the designs that were found."""
        found = self.open.search.found
        if found is not None and int(given["number"]) < len(found["best"]):
            self.desk.apply(found["best"][int(given["number"])]["texts"])
