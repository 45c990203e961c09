"""The list of materials and money."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from foilwright.core.data import write_whole
from foilwright.parts.job import Job, Made
from foilwright.parts.money.goods import Good, goods, own_list
from foilwright.parts.paper import pages
from foilwright.parts.paper.files import csv_of
from foilwright.parts.ready.card import Rows, Say

COLUMNS = ("item", "quantity", "unit", "price", "cost", "owned", "whose price", "what matters", "when it comes")


def make(job: Job, prices: Path | None = None) -> list[Made]:
    """Write the list of materials and money."""
    listed = goods(job.state, own_list(prices))
    total = sum(one.cost for one in listed)
    rows = [
        (one.item, f"{one.quantity:.3g}", one.unit, f"{one.price:.2f}", f"{one.cost:.2f}", "yes" if one.owned else "",
         "mine" if one.mine else "packaged", one.matters, one.look)
        for one in listed
    ]  # fmt: skip
    rows.append(("all", "", "", "", f"{total:.2f}", "", "", "", ""))
    write_whole(job.folder / "money/materials.csv", csv_of(COLUMNS, rows))
    document = pages.Document(
        title="What to buy, and what it costs", about=f"{job.build.name}, build {job.build.hash}",
        parts=tuple(parts(job, listed)),
    )  # fmt: skip
    write_whole(job.folder / "money/materials.html", pages.web(document))
    write_whole(job.folder / "money/materials.pdf", pages.pdf(document, paper=job.state.craft.workshop.paper[0]))
    return [
        Made(
            files=("money/materials.pdf", "money/materials.html", "money/materials.csv"), kind="money",
            title="What to buy, and what it costs", purpose="Quantities with reserve, what matters when buying, how to"
            " look at each thing when it comes, and the money.",
            numbers={"money": total, "items": float(len(listed))},
            notes=(f"Prices are packaged ones where you gave none: known to a third. In {currency(job)}.",),
            reached={"money": total},
        )
    ]  # fmt: skip


def currency(job: Job) -> str:
    """Return the currency that money is told in."""
    return str(job.build.values.get("workshop.currency", "EUR"))


def parts(job: Job, listed: Sequence[Good]) -> list[pages.Part]:
    """Return the list as blocks, for the list itself and for the report."""
    total, owned = sum(one.cost for one in listed), sum(one.owned for one in listed)
    name = currency(job)
    reserve = 100.0 * float(job.state.craft.workshop.reserve[0])
    budget = float(job.state.craft.workshop.budget[0])
    told = f"{total:.0f} {name} still to be spent" + (f" of {budget:.0f} {name}" if np.isfinite(budget) else "")
    rows = [
        (one.item, one.how, "owned" if one.owned else f"{one.cost:.0f}",
         one.matters or "-")
        for one in listed
    ]  # fmt: skip
    looks = [(one.item, one.look) for one in listed if one.look]
    return [
        Say(text=f"{told}; {owned} of {len(listed)} things are owned. Quantities hold a reserve of {reserve:.0f} %."
            " Put your own prices and what you own into materials.csv, columns item, price and owned, and give it back"
            " with `--prices`."),
        Rows(title="", head=("item", "how much", name, "what matters when buying"), rows=tuple(rows)),
        Rows(title="When it comes", head=("item", "look at"), rows=tuple(looks)),
    ]  # fmt: skip
