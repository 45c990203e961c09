"""Print plan: how each solid stands, walls and infill, grams, time with its range, what goes on the bed together.

Time is plastic over flow: flow is bead width times layer times speed, at most what the hot end melts; over the share
of the time that plastic flows; and a pause for each layer and each start (table parts/print_rates).
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from foilwright.core.data import table, write_whole
from foilwright.parts.job import Job, Made
from foilwright.parts.solids import read
from foilwright.physics import workshop

BEAD = 1.125
"""Width of a line over the diameter of the nozzle."""
BETWEEN = 0.006
"""Room between bodies on the bed [m]."""
HOUR, GRAM = 3600.0, 1e-3
LONGEST = 24.0
"""Hours after which a job takes no further body: what goes wrong at night spoils all that stands on the bed."""
RANGES = ("value", "low", "high")
COLUMNS = (
    "batch", "file", "count", "material", "walls_mm", "lines", "infill_percent", "pattern", "stands", "support",
    "grams_each", "hours_each", "hours_low", "hours_high", "high_mm", "note",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One body to print."""

    name: str
    file: str
    of: str
    count: int
    material: str
    wall: float
    lines: int
    infill: float
    pattern: str
    stands: str
    support: str
    size: tuple[float, float, float]
    plastic: float  # m^3 of one
    grams: float  # of one
    hours: tuple[float, float, float]  # of one, without the start: nominal, least, most
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What stands on the bed at once; several alike are printed one after the other."""

    material: str
    items: tuple[tuple[Item, int], ...]
    times: int = 1

    @property
    def grams(self) -> float:
        """Return the plastic of one such job [g]."""
        return sum(item.grams * count for item, count in self.items)

    def hours(self) -> tuple[float, float, float]:
        """Return the time of one such job: nominal, least, most [h]."""
        start = _rate("start")
        return tuple(sum(item.hours[k] * count for item, count in self.items) + start[k] / HOUR for k in (0, 1, 2))  # type: ignore[return-value]


def make(job: Job, solids: list[Made]) -> list[Made]:
    """Write the print plan of the solids."""
    items = tuple(_items(job, solids))
    if not items:
        return []
    batches = planned(items, read.printer(job.state.craft))
    numbers = totals(batches, float(job.state.craft.workshop.printers[0]))
    folder = job.folder / "prints"
    write_whole(folder / "plan.csv", _rows(batches))
    write_whole(folder / "plan.md", _told(job, batches, numbers))
    return [
        Made(
            files=("prints/plan.md", "prints/plan.csv"), kind="prints", title="Print plan",
            purpose="What to print how, in which order, with grams and hours.", notes=NOTES,
            numbers={name: numbers[name] for name in ("mass", "time", "jobs")},
            reached=_reached(batches, numbers, read.printer(job.state.craft)),
        )
    ]  # fmt: skip


def _reached(batches: Sequence[Batch], numbers: dict[str, float], room: read.Printer) -> dict[str, float]:
    """Return what the plan came to: hours, the longest job, and what does not fit the printer."""
    large = {item.name: over(item.size, room) for batch in batches for item, _ in batch.items if item.note}
    return {
        "prints.time": numbers["time"], "prints.mass": numbers["mass"],
        "prints.longest": max(batch.hours()[0] for batch in batches) * HOUR,
        **{f"prints.large {name}": ratio for name, ratio in large.items()},
    }  # fmt: skip


def over(size: Sequence[float], room: read.Printer) -> float:
    """Return how often the printer's room, or its bed laid along, goes into a body."""
    long, wide = max(size[:2]), min(size[:2])
    flat = long / max(room.longest(min(wide, room.x, room.y)), 1e-9)
    return max(flat, wide / min(room.x, room.y), size[2] / room.z)


NOTES = (
    "Times are estimates for an ordinary printer; your slicer's count for the first batch tells how far they are off.",
    "Orientation, walls and infill are those that the answers took: a part printed otherwise is another part.",
    "Weigh every part and write its mass down.",
)


# ---- one body ---------------------------------------------------------------


def _items(job: Job, solids: Iterable[Made]) -> Iterable[Item]:
    shop = job.state.craft.workshop
    nozzle, layer, speed = (float(v[0]) for v in (shop.nozzle, shop.layer, shop.print_speed))
    room = read.printer(job.state.craft)
    for made in solids:
        sheet = next((name for name in made.files if name.endswith(".json")), "")
        if not sheet:
            continue
        told = json.loads((job.folder / sheet).read_text(encoding="utf-8"))
        for row in told["bodies"]:
            if row["print"] is not None:
                yield item(row, of=told["title"], nozzle=nozzle, layer=layer, speed=speed, room=room)


def item(row: dict[str, Any], *, of: str, nozzle: float, layer: float, speed: float, room: read.Printer) -> Item:
    """Return how one body of a sheet is printed."""
    how, line = row["print"], BEAD * nozzle
    lines = max(int(np.ceil(how["wall"] / line - 0.2)), 2)
    plastic = how["fill"] * row["volume"] or printed_volume(
        volume=row["volume"], area=row["area"], wall=lines * line, infill=how["infill"]
    )
    hours = print_hours(
        plastic=plastic, high=row["size"][2], layer=layer, bead=line, speed=speed, material=how["material"]
    )
    size = tuple(row["size"])
    note = "" if room.lies(size[0], size[1]) and size[2] <= room.z + read.SLACK else "larger than the printer"
    return Item(
        name=row["name"], file=f"solids/{row['name']}.stl", of=of, count=row["count"], material=how["material"],
        wall=lines * line, lines=lines, infill=how["infill"], pattern=how["pattern"], stands=how["stands"],
        support=how["support"], size=size, plastic=plastic, grams=plastic * read.density(how["material"]) / GRAM,
        hours=hours, note=note,
    )  # fmt: skip


def printed_volume(*, volume: float, area: float, wall: float, infill: float) -> float:
    """Return the plastic of a body [m^3]: its skin as deep as its walls, the rest by its infill.

    The skin of a thick body takes up area times wall; in a thin one the walls meet, so it never takes more than all.
    """
    skin = volume * (1.0 - np.exp(-area * wall / volume)) if infill < 1.0 else volume
    return float(skin + infill * (volume - skin))


def print_hours(
    *, plastic: float, high: float, layer: float, bead: float, speed: float, material: str
) -> tuple[float, float, float]:
    """Return the time of one body, nominal, least and most [h], without the start of the job."""
    flow, share, change = _rate(f"flow {material}"), _rate("share"), _rate("change")
    layers = np.ceil(high / layer)
    out = []
    for worst_flow, worst_share, worst_change in ((0, 0, 0), (2, 2, 1), (1, 1, 2)):
        free = workshop.print_time(
            printed_volume=np.asarray(plastic), bead_width=np.asarray(bead), bead_height=np.asarray(layer),
            nozzle_speed=np.asarray(speed),
        )  # fmt: skip
        melt = plastic / flow[worst_flow]
        out.append(float(max(float(free), melt) / share[worst_share] + layers * change[worst_change]) / HOUR)
    return out[0], out[1], out[2]


def _rate(name: str) -> tuple[float, float, float]:
    rates = table("parts/print_rates")
    names = rates.texts["rate"]
    at = names.index(name) if name in names else names.index("flow printed petg")
    value, low, high = (float(rates.columns[column][at]) for column in RANGES)
    return value, low, high


# ---- batches ----------------------------------------------------------------


def planned(items: Sequence[Item], room: read.Printer) -> list[Batch]:
    """Return what goes on the bed together: bodies of one material, in rows, the tallest first."""
    out: list[Batch] = []
    for material in dict.fromkeys(one.material for one in items):
        open_ones: list[_Bed] = []
        each = [one for one in items if one.material == material for _ in range(one.count)]
        for one in sorted(each, key=lambda i: (-i.size[2], -max(i.size[:2]), i.name)):
            if one.note:
                out.append(Batch(material=material, items=((one, 1),)))
                continue
            bed = next((bed for bed in open_ones if bed.takes(one)), None)
            if bed is None:
                bed = _Bed(room=room, rows=[], items=[])
                open_ones.append(bed)
                bed.takes(one)
            bed.items.append(one)
        out += [Batch(material=material, items=_counted(bed.items)) for bed in open_ones]
    return _merged(out)


@dataclass(slots=True, kw_only=True)
class _Bed:
    """A bed filled in rows."""

    room: read.Printer
    rows: list[list[float]]  # depth taken at its front, its depth, length taken
    items: list[Item]

    def takes(self, one: Item) -> bool:
        """Take a body if there is room."""
        tall = self.items[0].size[2] if self.items else one.size[2]
        taken = sum(i.hours[0] for i in self.items) + _rate("start")[0] / HOUR
        if self.items and taken + one.hours[0] > LONGEST:
            return False
        if self.items and one.size[2] < 0.35 * tall and tall > 0.03:
            return False  # a low part beside a tall one waits for it for hours
        for a, b in sorted({(one.size[0], one.size[1]), (one.size[1], one.size[0])}):
            for row in self.rows:
                if b <= row[1] and row[2] + a <= self.room.x + read.SLACK:
                    row[2] += a + BETWEEN
                    return True
            front = sum(row[1] + BETWEEN for row in self.rows)
            if a <= self.room.x + read.SLACK and front + b <= self.room.y + read.SLACK:
                self.rows.append([front, b, a + BETWEEN])
                return True
        if not self.rows:  # alone, turned on the bed
            self.rows.append([0.0, self.room.y, self.room.x])
            return True
        return False


def _counted(items: Sequence[Item]) -> tuple[tuple[Item, int], ...]:
    names = dict.fromkeys(one.name for one in items)
    return tuple((next(i for i in items if i.name == name), sum(i.name == name for i in items)) for name in names)


def _merged(batches: list[Batch]) -> list[Batch]:
    """Return batches with those that are alike told once."""
    out: list[Batch] = []
    for batch in batches:
        told = [(item.name, count) for item, count in batch.items]
        same = next((k for k, b in enumerate(out) if [(i.name, c) for i, c in b.items] == told), None)
        if same is None:
            out.append(batch)
        else:
            out[same] = replace(out[same], times=out[same].times + 1)
    return out


def totals(batches: Sequence[Batch], printers: float) -> dict[str, float]:
    """Return mass [kg], time and its range [s], and the number of jobs."""
    hours = [sum(b.hours()[k] * b.times for b in batches) for k in (0, 1, 2)]
    return {
        "mass": sum(b.grams * b.times for b in batches) * GRAM, "time": hours[0] * HOUR, "time_least": hours[1] * HOUR,
        "time_most": hours[2] * HOUR, "jobs": float(sum(b.times for b in batches)), "printers": printers,
    }  # fmt: skip


# ---- telling ----------------------------------------------------------------


def _rows(batches: Sequence[Batch]) -> str:
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\n")
    sheet.writerow(COLUMNS)
    for number, batch in enumerate(batches, 1):
        for one, count in batch.items:
            sheet.writerow([
                number, one.file, count * batch.times, one.material, f"{one.wall * 1e3:.2f}", one.lines,
                f"{one.infill * 100:.0f}", one.pattern, one.stands, one.support, f"{one.grams:.1f}",
                *(f"{h:.2f}" for h in one.hours), f"{one.size[2] * 1e3:.0f}", one.note,
            ])  # fmt: skip
    return out.getvalue()


def _told(job: Job, batches: Sequence[Batch], numbers: dict[str, float]) -> str:
    shop = job.state.craft.workshop
    nominal, least, most = (numbers[name] / HOUR for name in ("time", "time_least", "time_most"))
    out = [
        f"# Print plan: {job.build.name}", "",
        f"{numbers['mass']:.2f} kg of plastic in {numbers['jobs']:.0f} jobs, {nominal:.0f} hours of printing "
        f"({least:.0f} to {most:.0f}). Nozzle {float(shop.nozzle[0]) * 1e3:.1f} mm, layer "
        f"{float(shop.layer[0]) * 1e3:.2f} mm, {float(shop.print_speed[0]) * 1e3:.0f} mm/s.", "",
        *(f"- {note}" for note in NOTES), "",
    ]  # fmt: skip
    for number, batch in enumerate(batches, 1):
        hours = batch.hours()
        times = f", {batch.times} times" if batch.times > 1 else ""
        out += [
            f"## Job {number}: {batch.material}{times}", "",
            f"{batch.grams:.0f} g, {hours[0]:.1f} h ({hours[1]:.1f} to {hours[2]:.1f}) each.", "",
            "| file | count | walls | infill | stands | support | g each |", "|---|---|---|---|---|---|---|",
            *(_line(one, count) for one, count in batch.items), "",
        ]  # fmt: skip
    return "\n".join(out)


def _line(one: Item, count: int) -> str:
    infill = "solid" if one.infill >= 1.0 else f"{one.infill:.0%} {one.pattern}"
    walls = "all walls" if one.infill >= 1.0 else f"{one.lines} lines, {one.wall * 1e3:.1f} mm"
    support = one.support or "none"
    stands = f"{one.stands}; **{one.note}**" if one.note else one.stands
    return f"| {one.name} | {count} | {walls} | {infill} | {stands} | {support} | {one.grams:.0f} |"
