"""The order of work, as a page for the wall: steps, hours, cures, jigs, points of no return, cautions."""

from __future__ import annotations

import itertools
import re

from foilwright.core.data import write_whole
from foilwright.parts.job import Job, Made
from foilwright.parts.order.steps import FIRST, Step, steps
from foilwright.parts.paper import pages
from foilwright.parts.paper.drawing import Drawing, svg
from foilwright.parts.paper.files import csv_of
from foilwright.parts.ready.card import Caution, Say, Steps

COLUMNS = ("no", "stage", "step", "hours", "then wait h", "jig", "before it is too late", "caution")


def make(job: Job) -> list[Made]:
    """Write the order of work."""
    made = steps(job.state)
    hours, waits = sum(one.hours for one in made), sum(one.waits for one in made)
    rows = [
        (str(k), one.stage, one.does, f"{one.hours:.1f}", f"{one.waits:.0f}", one.jig, one.last_chance, one.caution)
        for k, one in enumerate(made, 1)
    ]
    write_whole(job.folder / "order/order.csv", csv_of(COLUMNS, rows))
    chart = timeline(made, float(job.state.craft.workshop.hours_a_week[0]) / 3600.0)
    write_whole(job.folder / "order/timeline.svg", svg(chart, wide=240.0))
    document = _document(job, made, chart)
    write_whole(job.folder / "order/order.html", pages.web(document))
    write_whole(job.folder / "order/order.pdf", pages.pdf(document, paper=job.state.craft.workshop.paper[0]))
    return [
        Made(
            files=("order/order.pdf", "order/order.html", "order/order.csv", "order/timeline.svg"), kind="order",
            title="Order of work", picture="order/timeline.svg",
            purpose="Every step from the first cut to the water: hours, cures, jigs, and what cannot be done later.",
            numbers={"time": hours * 3600.0},
            notes=(f"{hours:.0f} hours of work and {waits:.0f} hours of waiting; hours are known to a third.",),
            reached={
                "order.hands": 3600.0 * hours,
                "order.cures": 3600.0 * sum(one.waits for one in made if one.stage != FIRST),
            },
        )
    ]  # fmt: skip


def timeline(made: tuple[Step, ...], week: float) -> Drawing:
    """Return work and waiting over the weeks, one bar a step."""
    out = Drawing(name="weeks of work", enlarge=100.0)
    at, tall = 0.0, len(made) * 0.5
    for k, one in enumerate(made):
        y = tall - 0.5 * k
        work, wait = one.hours / week, one.waits / 168.0
        out.box((at, y - 0.18), (at + max(work, 0.01), y + 0.18), "cut", fill="#2a78d6")
        if wait > 0.0:
            out.box((at + work, y - 0.18), (at + work + wait, y + 0.18), "frame", fill="#e3e8ec")
        out.say((-0.15, y), f"{k + 1}. {_short(one.does)}", size=2.4, anchor="end")
        at += work + wait * (0.5 if one.waits < 60.0 else 0.3)
    for number in range(int(at) + 2):
        out.line([(number, 0.1), (number, tall + 0.4)], "frame")
        out.say((number, -0.25), f"{number}", size=2.4)
    out.say((0.5 * at, -0.75), "weeks at the stated hours a week; blue: work, grey: cure or print", size=2.6)
    out.line([(-0.45 * max(at, 4.0), 0.0), (-0.45 * max(at, 4.0), 0.0)], "frame")
    return out


def _short(told: str) -> str:
    first = re.split("[:,;]", told, maxsplit=1)[0]
    return first if len(first) <= 44 else first[:43].rsplit(" ", 1)[0] + " …"


def _lines(one: Step) -> tuple[str, ...]:
    """Return what stands below a step."""
    told = [f"{one.hours:.1f} h of work" + (f", then wait {one.waits:.0f} h" if one.waits else "") + "."]
    if one.jig:
        told.append(f"Jig: {one.jig}.")
    if one.last_chance:
        told.append(f"Last chance for: {one.last_chance}.")
    return tuple(told)


def _document(job: Job, made: tuple[Step, ...], chart: Drawing) -> pages.Document:
    hours, waits = sum(one.hours for one in made), sum(one.waits for one in made)
    parts: list[pages.Part] = [
        Say(text=f"{hours:.0f} hours of work, {waits:.0f} hours of cures and prints at the temperature of the room;"
            " hours are judgement, good to a third. Do nothing before the step above it is finished, unless it says"
            " that it waits."),
        pages.Figure(drawing=chart, caption="When what is done, one step a line.", tall=110.0),
    ]  # fmt: skip
    number = itertools.count(1)
    for stage, group in itertools.groupby(made, key=lambda one: one.stage):
        parts.append(pages.Head(text=stage, level=2))
        for one in group:
            parts.append(Steps(title=f"{next(number)}. {one.does}", steps=_lines(one), mark="point"))
            if one.caution:
                parts.append(Caution(text=one.caution))
    return pages.Document(title="Order of work", about=f"{job.build.name}, build {job.build.hash}", parts=tuple(parts))
