"""One window: the regions of the page, what is open in them, and what is done when something is pressed."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from nicegui import background_tasks, ui

from foilwright.core.errors import FoilwrightError
from foilwright.page import charts, drawing, heads, inputs, learning, making, strip, trying, ways
from foilwright.page.answers import Sure, answer
from foilwright.page.curves import Curves
from foilwright.page.entering import Entering, Entry
from foilwright.page.exploring import Search
from foilwright.page.inputs import Shown, identity
from foilwright.page.paper import Paper
from foilwright.page.places import Places
from foilwright.page.room import CALM, House, Room
from foilwright.page.shape import solid
from foilwright.page.side import Views, sight
from foilwright.page.sizes import with_unit
from foilwright.page.solid import Solid
from foilwright.questions import report
from foilwright.questions.ask import Answers
from foilwright.questions.finding import VERDICTS

LOOKS = 2.0
"""How often it is seen whether the file changed [s]."""
SENT = 0.02
"""How long answers are given to be sent before the drawing is worked out [s]."""
SAMPLES = 500
"""Versions of the craft of which it is said how likely each finding is to fail."""


@dataclass(slots=True, kw_only=True)
class Open:
    """What is open in one window."""

    view: str = "ask"
    tab: str = "inputs"
    question: str = ""
    finding: str = ""
    part: str = "wing"
    imperial: bool = False
    units: dict[str, str] = field(default_factory=dict)
    entry: Entry = field(default_factory=Entry)
    sight: str = "side"
    speed: float = 0.0
    card: str = ""
    drawing: str = "parts"
    lesson: str = "water"
    saving_as: bool = False
    search: Search = field(default_factory=Search)
    told: list[str] = field(default_factory=list)


class Screen(Entering, Places):
    """One window on one build."""

    def __init__(self, house: House, room: Room) -> None:
        self.house, self.room, self.desk = house, room, room.desk
        self.open = Open()
        self._heard = self.desk.stale
        self._busy = self._again = False
        self._searching: asyncio.Task[None] | None = None
        self._last: tuple[str, dict[str, str]] | None = None
        self._views: tuple[str, Views] | None = None
        self.client = ui.context.client
        self._build()
        ends = room.listen(self.stir)
        self.client.on_delete(ends)
        ui.timer(LOOKS, self.desk.look)

    # The regions

    def _build(self) -> None:
        self.root = ui.element("div").classes("root view-ask tab-inputs")
        with self.root:
            self.head = Paper(self.act, key="head", kind="head")
            self.held = Paper(self.act, key="held", kind="top")
            with ui.element("div").classes("bench"):
                with ui.element("div").classes("column change"):
                    self.tabs = Paper(self.act, key="tabs", kind="tabs")
                    self.parts = Paper(self.act, key="parts", kind="for-inputs")
                    self.inputs = Paper(self.act, key="inputs", kind="for-inputs")
                    self.ways = Paper(self.act, key="ways", kind="for-ways")
                    self.compare = Paper(self.act, key="compare", kind="for-compare")
                with ui.element("div").classes("column ask"):
                    self.answers = Paper(self.act, key="answers")
                    self.chart = Curves()
                    self.curves = Paper(self.act, key="curves")
                with ui.element("div").classes("column look"):
                    self.look = Paper(self.act, key="look")
                    self.solid = Solid()
                    self.told = Paper(self.act, key="told")
                self.make = Paper(self.act, key="make", kind="single make")
                self.tries = Paper(self.act, key="try", kind="single try")
                self.learn = Paper(self.act, key="learn", kind="single learn")
            self.toast = Paper(self.act, key="toast", kind="toast")

    def stir(self) -> None:
        """Show the build anew, once for all changes that came meanwhile."""
        if self._busy:
            self._again = True
            return
        self._busy = True
        background_tasks.create(self._stirred())

    async def _stirred(self) -> None:
        try:
            while True:
                self._again = False
                await self.show()
                if not self._again:
                    return
        finally:
            self._busy = False

    async def show(self) -> None:
        """Work out the answers away from the windows' own thread, then show them."""
        desk, here = self.desk, self.open
        try:
            answers = await asyncio.to_thread(desk.answers)
        except FoilwrightError as error:
            here.told = [str(error)]
            self.toast.write(heads.toast(here.told))
            here.tab = "inputs"
            self._go("change")
            self._show_inputs(None, [])
            return
        if answers.build.hash != desk.build.hash:
            self._again = True
            return
        found = report.ranked(answers)
        if here.question not in answers.findings:
            here.question = found[0][0].question
        news, self._heard = desk.told[self._heard :], len(desk.told)
        here.told += news
        self._effect(answers, found, news)
        room = self.room
        room.want("ways", calm=CALM)
        self.head.write(heads.head(desk, here, found))
        looking = room.ways() is None
        self.held.write(strip.held(found, room.ways(), looking=looking) + strip.strip(found, here.question))
        self.toast.write(heads.toast(here.told))
        self.tabs.write(heads.tabs(here, room.ways()))
        self._show_view(answers, found)
        if here.view in ("ask", "change"):
            await self._draw(found)

    def _show_view(self, answers: Answers, found: report.Ranked) -> None:
        """Show what is open; what is not seen is not written."""
        here, room = self.open, self.room
        if here.view in ("ask", "change"):
            self.answers.write(answer(answers, found, here.question, here.finding, self._sure(), self._cure()))
            self.curves.write(charts.told(answers, here.question))
            self.chart.show(charts.figure(answers, here.question))
            self._show_inputs(answers, found)
            if here.tab == "ways":
                self.ways.write(
                    ways.cards(answers, found, room.ways(), wrong=room.wrong.get("ways", ""), opened=here.finding)
                )
            if here.tab == "compare":
                background_tasks.create(self._compare(answers))
        elif here.view == "make":
            self.make.write(making.made(room, here.drawing))
        elif here.view == "try":
            self.tries.write(trying.cards(room, here.card))
        elif here.view == "learn":
            if here.lesson == "past":
                self.past()
            self.learn.write(learning.learnt(self.house, room, answers, here.search, here.lesson))

    def _show_inputs(self, answers: Answers | None, found: report.Ranked) -> None:
        """Show parts and fields, without answers too, so that what cannot be asked can be mended."""
        here = self.open
        here.part = inputs.there(self.desk.build, here.part)
        self.parts.write(inputs.chooser(self.desk.build, found, here.part, here.entry.kind))
        shown = Shown(part=here.part, imperial=here.imperial, units=here.units, entry=here.entry)
        self.inputs.write(inputs.fields(self.desk, answers, shown))

    def _cure(self) -> str:
        name = f"cure {self.open.question}"
        room = self.room
        found, looking, wrong = room.found(name), room.looking(name), room.wrong.get(name, "")
        known = room.ways()
        ready = known is not None and known.together is not None
        return ways.cure(self.open.question, found, ready=ready, looking=looking, wrong=wrong)

    def _sure(self) -> Sure:
        known: Sure = self.room.found("spread")
        return "working" if known is None and self.room.looking("spread") else known

    async def _compare(self, answers: Answers) -> None:
        saved = await asyncio.to_thread(self.desk.saved_answers)
        self.compare.write(learning.compared(self.desk, saved, answers))

    async def _draw(self, found: report.Ranked) -> None:
        """Draw the craft, once the answers are on their way."""
        build = self.desk.build
        if self._views is None or self._views[0] != build.hash:
            await asyncio.sleep(SENT)
            self._views = (build.hash, await asyncio.to_thread(sight, build))
        views, here = self._views[1], self.open
        self.look.write(drawing.drawn(views, found, here.sight, here.speed))
        self.told.write(drawing.told(found, here.sight))
        self.solid.set_visibility(here.sight == "turn")
        if here.sight == "turn":
            self.solid.show(solid(views, found))

    def _effect(self, answers: Answers, found: report.Ranked, news: list[str]) -> None:
        """Say what the last change did to the verdicts."""
        now = {finding.id: word for finding, word in found}
        if self._last is not None and self._last[0] != answers.build.hash:
            before = self._last[1]
            both = [(VERDICTS.index(now[key]) - VERDICTS.index(before[key]), key) for key in now if key in before]
            better, worse = sum(step > 0 for step, _ in both), sum(step < 0 for step, _ in both)
            names = {finding.id: finding.name for finding, _ in found}
            first = next((names[key] for step, key in sorted(both) if step), "")
            self.open.told = [*news, heads.effect(better, worse, first)]
        self._last = (answers.build.hash, now)

    # What is done

    async def act(self, given: Mapping[str, Any]) -> None:
        """Do what was asked for in the window; what cannot be done is told."""
        name = str(given.get("act", ""))
        done: Callable[..., Awaitable[None] | None] | None = getattr(self, f"do_{name}", None)
        if done is None:
            return
        try:
            waiting = done({str(key): value for key, value in given.items()})
            if waiting is not None:
                await waiting
        except FoilwrightError as error:
            self.open.told = [str(error)]
        self.stir()

    def do_edit(self, given: Mapping[str, Any]) -> None:
        """Give a field anew."""
        text, unit = str(given["value"]).strip(), str(given.get("unit", ""))
        if not text:
            self.desk.take_back(str(given["path"]))
            return
        self.desk.edit(str(given["path"]), with_unit(text, unit))

    def do_back(self, given: Mapping[str, Any]) -> None:
        """Take the change of one field back."""
        self.desk.take_back(str(given["path"]))

    def do_unit(self, given: Mapping[str, Any]) -> None:
        """Show a field in another unit."""
        self.open.units[str(given["path"])] = str(given["value"])

    def do_units(self, given: Mapping[str, Any]) -> None:
        """Show all in metric or imperial units."""
        self.open.imperial = given["value"] == "imperial"
        self.open.units.clear()

    async def do_question(self, given: Mapping[str, Any]) -> None:
        """Open a question, and bring its answer into view."""
        self.open.question, self.open.finding = str(given["question"]), ""
        if self.open.view not in ("ask", "change"):
            self._go("ask")
        await self.show()
        self.client.run_javascript("foilwright.see('asked')")

    def do_finding(self, given: Mapping[str, Any]) -> None:
        """Open a finding, or close it."""
        name = str(given["finding"])
        self.open.finding = "" if name == "none" else name
        if name != "none":
            self.open.question = name.split(".", 1)[0]
            self._go("ask") if self.open.view not in ("ask", "change") else None

    async def do_part(self, given: Mapping[str, Any]) -> None:
        """Open a part's inputs, and bring them into view."""
        self.open.part, self.open.entry = str(given["part"]), Entry()
        await self.show()
        self.client.run_javascript("foilwright.see('of')")

    async def do_field(self, given: Mapping[str, Any]) -> None:
        """Go to one input."""
        path = str(given["path"])
        known = [part for _, parts in inputs.parts(self.desk.build) for part in parts]
        part = next((each for each in known if path.rpartition(".")[0] == each), "")
        if not part:
            return
        self.open.part, self.open.tab, self.open.entry = part, "inputs", Entry()
        self._go("change")
        await self.show()
        self.client.run_javascript(f"foilwright.seek({identity(path)!r})")

    def do_view(self, given: Mapping[str, Any]) -> None:
        """Open a place of the loop."""
        if given.get("part"):
            self.open.tab = str(given["part"])
        self._go(str(given["view"]))

    def do_tab(self, given: Mapping[str, Any]) -> None:
        """Open inputs, ways out or the comparison."""
        self.open.tab = str(given["tab"])
        self._go("change")

    def _go(self, view: str) -> None:
        if view in heads.VIEWS:
            self.open.view = view
        self.root.classes(replace=f"root view-{self.open.view} tab-{self.open.tab}")

    def do_undo(self, _: Mapping[str, Any]) -> None:
        """Take a step back."""
        self.desk.undo()

    def do_redo(self, _: Mapping[str, Any]) -> None:
        """Take it again."""
        self.desk.redo()

    def do_save(self, _: Mapping[str, Any]) -> None:
        """Save into the file."""
        if self.desk.save():
            self._last = None
            self.open.told = [f"{self.desk.path.name} saved; the one before is {self.desk.path.name}.bak."]

    def do_saving(self, given: Mapping[str, Any]) -> None:
        """Open or close the field for another name."""
        self.open.saving_as = given.get("value") == "open"

    def do_save_as(self, given: Mapping[str, Any]) -> None:
        """Save as a new file and open it."""
        place = self.desk.save_as(str(given["value"]))
        self.open.saving_as = False
        ui.navigate.to(f"/build/{place.name}")

    def do_settle(self, given: Mapping[str, Any]) -> None:
        """End a conflict with the file."""
        self.desk.settle(mine=given["value"] == "mine")

    def do_way(self, given: Mapping[str, Any]) -> None:
        """Apply a way out."""
        found = self.room.ways()
        here = found.of(str(given["finding"])) if found else ()
        if int(given["number"]) < len(here):
            self._apply(here[int(given["number"])].changes)

    def do_cure(self, given: Mapping[str, Any]) -> None:
        """Look for the few changes that cure one question."""
        question, known = str(given["question"]), self.room.ways()
        if known is not None and known.together is not None:
            self.room.want("cure", known.together.changes, question, name=f"cure {question}")

    def do_cured(self, given: Mapping[str, Any]) -> None:
        """Apply them."""
        found = self.room.found(f"cure {given['question']}")
        if found:
            self._apply(found)

    def do_together(self, _: Mapping[str, Any]) -> None:
        """Apply all changes that clear the build together."""
        found = self.room.ways()
        if found is not None and found.together is not None:
            self._apply(found.together.changes)

    def _apply(self, changes: Any) -> None:
        self.desk.apply({change.path: change.written for change in changes})

    def do_spread(self, _: Mapping[str, Any]) -> None:
        """Work out how likely each finding is to fail."""
        self.room.want("spread", SAMPLES)

    def do_sight(self, given: Mapping[str, Any]) -> None:
        """Look from another side."""
        self.open.sight = str(given["value"])

    def do_speed(self, given: Mapping[str, Any]) -> None:
        """Choose the speed at which forces are drawn."""
        self.open.speed = float(given["value"])

    def do_told(self, given: Mapping[str, Any]) -> None:
        """Hear something, or close what was told."""
        self.open.told = str(given["value"]).splitlines()
