"""Wiring sheet, cut list of leads, labels, card for the lid, and drilling templates."""

from __future__ import annotations

import functools
import io
from typing import TYPE_CHECKING

import numpy as np

from foilwright.core.data import write_whole
from foilwright.network import Contact, Fuse, Lead, Network
from foilwright.parts.job import Job, Made
from foilwright.parts.paper import pages, tiles
from foilwright.parts.paper.drawing import dxf, svg
from foilwright.parts.paper.files import csv_of
from foilwright.parts.ready.card import Caution, Rows, Say, Steps
from foilwright.parts.wiring import drilling, labels
from foilwright.study import wiring

if TYPE_CHECKING:
    from collections.abc import Mapping

LIVE = (
    "A pack cannot be switched off: tape free poles, one open at a time, no rings or watch, the fuse in first. Measure"
    " before each joint; what you read stands on the card for the lid."
)
HASH = "foilwright"
"""Salt of names inside an SVG, so that the same drawing has the same bytes."""


def make(job: Job) -> list[Made]:
    """Write the wiring sheet, labels and drilling templates."""
    network = wiring.drawn_network(job.build)
    job.tell("wiring: diagram")
    return [_sheet(job, network), _labels(job, network), _drilling(job)]


def _sheet(job: Job, network: Network) -> Made:
    for kind in ("svg", "pdf"):
        write_whole(job.folder / f"wiring/diagram.{kind}", _drawn(job, kind))
    rows = leads(network)
    columns = ("lead", "copper mm²", "length cm", "from", "to")
    write_whole(job.folder / "wiring/leads.csv", csv_of(columns, rows))
    card = wiring.card(job.build)
    write_whole(job.folder / "wiring/lid-card.txt", card)
    document = pages.Document(
        title="Wiring sheet", about=f"{job.build.name}, build {job.build.hash}",
        parts=(
            Caution(text=LIVE),
            Say(text="The diagram is a sheet of its own (diagram.pdf). Lengths are from joint to joint: add what lugs"
                " and contacts take, and a hand's breadth to reach the crimper."),
            Rows(title="Leads to cut", head=columns, rows=tuple(rows)),
            Rows(title="Contacts and fuses", head=("part", "size", "from", "to"), rows=tuple(joined(network))),
            Steps(title="Card for the inside of the lid", mark="point",
                steps=tuple(card_lines(card))),
        ),
    )  # fmt: skip
    write_whole(job.folder / "wiring/wiring.html", pages.web(document))
    write_whole(job.folder / "wiring/wiring.pdf", pages.pdf(document, paper=job.state.craft.workshop.paper[0]))
    copper = sum(float(row[1]) * float(row[2]) for row in rows) * 1e-6 * 1e-2 * 8960.0
    names = ("wiring.pdf", "wiring.html", "diagram.pdf", "diagram.svg", "leads.csv", "lid-card.txt")
    return Made(
        files=tuple(f"wiring/{name}" for name in names), kind="wiring", title="Wiring: diagram and leads",
        purpose="What is joined to what, each lead with its copper area and length, and the plug-in order for the lid.",
        picture="wiring/diagram.svg", numbers={"mass": copper}, notes=(LIVE,),
    )  # fmt: skip


def card_lines(card: str) -> list[str]:
    """Return the lines of a card, each step whole."""
    out: list[str] = []
    for line in card.splitlines():
        if line.startswith("   ") and out:
            out[-1] += " " + line.strip()
        elif line.strip():
            out.append(line.strip())
    return out


def _drawn(job: Job, kind: str) -> bytes:
    import matplotlib as mpl  # noqa: PLC0415 - takes half a second

    told: Mapping[str, object] = {
        "svg": {"Date": None},
        "pdf": {"CreationDate": None, "Creator": None, "Producer": None},
    }
    out = io.BytesIO()
    with mpl.rc_context({"svg.hashsalt": HASH}):
        wiring.diagram(job.answers).savefig(out, format=kind, metadata=told[kind])
    return out.getvalue()


def leads(network: Network) -> list[tuple[str, ...]]:
    """Return every lead with its copper area, length and ends."""
    return [
        (one.name, f"{wiring.first(one.area) * 1e6:.3g}", f"{wiring.first(one.length) * 100.0:.3g}", one.start, one.end)
        for one in network.of(Lead)
    ]


def joined(network: Network) -> list[tuple[str, ...]]:
    """Return contacts and fuses with their size and ends."""
    rows: list[tuple[str, ...]] = [
        (one.name, f"{wiring.first(one.diameter) * 1e3:.3g} mm", one.start, one.end) for one in network.of(Contact)
    ]
    return rows + [(one.name, f"{wiring.first(one.rating):.4g} A", one.start, one.end) for one in network.of(Fuse)]


def _labels(job: Job, network: Network) -> Made:
    made = labels.sheets(network, job.build.name)
    paper = job.state.craft.workshop.paper[0]
    write_whole(
        job.folder / "wiring/labels.pdf", tiles.pdf(made, paper=paper, head=f"{job.build.name}, {job.build.hash}")
    )
    write_whole(job.folder / "wiring/labels.svg", svg(made[0], wide=240.0))
    return Made(
        files=("wiring/labels.pdf", "wiring/labels.svg"), kind="wiring", title="Wiring: labels",
        picture="wiring/labels.svg",
        purpose="Two labels for each lead, one for either end, and warnings for box and pack: print, cut, tape.",
    )  # fmt: skip


def _drilling(job: Job) -> Made:
    made = drilling.sheets(job.state.craft)
    paper = job.state.craft.workshop.paper[0]
    files = []
    for name, drawing in made.items():
        write_whole(job.folder / f"wiring/{name}.dxf", dxf(drawing))
        write_whole(job.folder / f"wiring/{name}.svg", svg(drawing))
        files += [f"wiring/{name}.dxf", f"wiring/{name}.svg"]
    head = f"{job.build.name}, {job.build.hash}"
    write_whole(job.folder / "wiring/drilling.pdf", tiles.pdf(list(made.values()), paper=paper, head=head))
    first = functools.reduce(lambda kept, _name: kept, made)
    return Made(
        files=("wiring/drilling.pdf", *files), kind="wiring", title="Drilling templates", picture=f"wiring/{first}.svg",
        purpose="Holes of the base, the motor and the lid at full size: tape on, prick the centres, drill.",
        notes=("Print at 100 % and measure the bar of 100 mm. Try every hole in a scrap first.",),
        numbers={"holes": float(np.sum([len([1 for line in one.lines if line.radius]) for one in made.values()]))},
    )  # fmt: skip
