"""What nesting, splitting, batches and prices came to, as findings of `makeable`."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from foilwright.parts.job import Job
from foilwright.questions.finding import Array, Finding, Maker
from foilwright.questions.makeable import BED, BOARD, JUDGED
from foilwright.questions.state.making import PRINTING_DAY

NEST = "Pieces nested by lowest gap and best fit, 28 orders tried (Burke, Kendall and Whitwell 2004)"
SPLIT = "Lengths cut where the load at a joint is least (Bellman 1958); a body may lie turned (Carver 1957)"
PLAN = "Plastic over flow, layers and starts: data/parts/print_rates.csv"
SHEET = "workshop.sheet_length workshop.sheet_width workshop.sheet_thickness workshop.kerf"
OVERNIGHT = 24.0 * 3600.0
"""A job that is longer runs through a second night [s]."""
BOUNDS = {
    "makeable.nest.sheets": "makeable.foam.sheets", "makeable.nest.cloth": "makeable.cloth.length",
    "makeable.split.mast": "makeable.print.mast", "makeable.list.money": "makeable.money",
    "makeable.plan.time": "makeable.time",
}  # fmt: skip
"""By real finding, the bound of an ask that it stands beside."""


def findings(job: Job, reached: Mapping[str, float]) -> list[Finding]:
    """Return what the things that were made tell; what was not made is not told."""
    make = Maker(question="makeable", designs=1)
    _foam(make, job, reached)
    _cloth(make, job, reached)
    _solids(make, reached)
    _prints(make, job, reached)
    _effort(make, job, reached)
    return make.made


def _one(value: float) -> Array:
    return np.array([value], dtype=np.float64)


def _stated(limit: Array) -> Array:
    """Return a limit that is stated, or 1 where none is; the finding then does not apply."""
    return np.where(np.isfinite(limit), limit, 1.0)


def _foam(make: Maker, job: Job, reached: Mapping[str, float]) -> None:
    if "foam.sheets" not in reached:
        return
    shop = job.state.craft.workshop
    make.add(
        "nest.sheets", name="Sheets of foam that the nested pieces take", part="board", meaning="annoys",
        demand=_one(reached["foam.sheets"]), capacity=_stated(shop.sheets), unit="1", required=0.0,
        required_why="whole sheets are bought; the pieces are counted, not reckoned", source=NEST,
        inputs=f"workshop.sheets {SHEET} {BOARD}", applies=np.isfinite(shop.sheets),
    )  # fmt: skip
    make.add(
        "nest.fits", name="Every piece of foam fits a sheet", part="board", meaning="stops", kind="difference",
        demand=_one(1.0), capacity=_one(float(reached["foam.left"] == 0.0)), unit="1", required=0.0,
        required_why="a piece that no sheet takes needs another joint or a larger sheet", source=NEST,
        inputs=f"{SHEET} {BOARD}",
    )  # fmt: skip
    if "foam.stagger" in reached:
        make.add(
            "nest.stagger", name="Joints of layers that lie on each other, apart", part="board", meaning="breaks",
            demand=_one(reached["foam.wanted"]), capacity=_one(reached["foam.stagger"]), unit="m", required=0.0,
            required_why="ten sheet thicknesses or a quarter of the board; nearer, a strip of cloth between the layers"
            " bridges them", source="Practice of laminated cores", inputs=f"{SHEET} {BOARD}",
        )  # fmt: skip


def _cloth(make: Maker, job: Job, reached: Mapping[str, float]) -> None:
    if "cloth.length" not in reached:
        return
    shop = job.state.craft.workshop
    make.add(
        "nest.cloth", name="Cloth off the roll that the nested cuts take", part="board", meaning="annoys",
        demand=_one(reached["cloth.length"]), capacity=_stated(shop.cloth_length), unit="m", required=0.0,
        required_why="the cuts are nested, strips lap as stated", source=NEST,
        inputs=f"workshop.cloth_length workshop.cloth_width workshop.overlap {BOARD}",
        applies=np.isfinite(shop.cloth_length),
    )  # fmt: skip
    make.add(
        "nest.cloth_fits", name="Every cut of cloth fits the roll", part="board", meaning="stops", kind="difference",
        demand=_one(1.0), capacity=_one(float(reached["cloth.left"] == 0.0)), unit="1", required=0.0,
        required_why="what the roll does not take must be laid in more strips", source=NEST,
        inputs=f"workshop.cloth_width workshop.overlap {BOARD}",
    )  # fmt: skip


def _solids(make: Maker, reached: Mapping[str, float]) -> None:
    if "mast-print.lengths" in reached:
        make.add(
            "split.mast", name="Lengths that the printed mast comes in, against those that hold reckons with",
            part="mast", meaning="breaks", demand=_one(reached["mast-print.lengths"]),
            capacity=_one(reached["mast-print.stated"]), unit="1", required=0.0,
            required_why="every further joint is a weak place that was not held to its load; write mast.pieces and ask",
            source=SPLIT, inputs=f"mast.pieces mast.length fuselage.socket base.thickness {BED}",
        )  # fmt: skip
    if "fuselage-print.bridged" in reached:
        make.add(
            "split.fuselage", name="Joints of the printed fuselage clear of the pockets and of the mast's socket",
            part="fuselage", meaning="breaks", kind="difference", demand=_one(1.0),
            capacity=_one(float(reached["fuselage-print.bridged"] == 0.0)), unit="1", required=0.0,
            required_why="wing, mast and socket lie so close that the bed has no length that reaches past them: bolt"
            " the wing on both sides of the joint, or take a tube", source=SPLIT,
            inputs=f"fuselage.socket wing.ahead stabiliser.arm {BED}",
        )  # fmt: skip
    if "clamp.left" in reached:
        make.add(
            "draw.motor", name="Room in the housing for a motor of this mass, as a cylinder", part="pod",
            meaning="stops", demand=_one(reached["clamp.asked"]), capacity=_one(reached["clamp.left"]), unit="m^3",
            required=0.0,
            required_why="what the clamp leaves of the housing inside its shell; the motor's volume is reckoned from"
            " its mass", source="3.5 kg a litre of motor (judgement); geometry of the housing as drawn",
            inputs="pod.length pod.ahead pod.diameter motor.mass mast.chord",
        )  # fmt: skip
    if reached.get("box.craft_around", 0.0) > 0.0:
        around, listed = reached["box.around"], reached["box.craft_around"]
        make.add(
            "draw.box", name="Volume of box and lid as drawn, off that of the listed part", part="box",
            meaning="annoys", demand=_one(abs(around / listed - 1.0)), capacity=_one(0.02), unit="1", required=0.0,
            required_why="trim, flooding and the pocket in the foam rest on the listed volume",
            source="Geometry of the box as drawn", inputs="box.lid_length box.lid_width box.floor part.volume",
        )  # fmt: skip


def _prints(make: Maker, job: Job, reached: Mapping[str, float]) -> None:
    if "prints.time" not in reached:
        return
    large = {key.partition(" ")[2]: ratio for key, ratio in reached.items() if key.startswith("prints.large ")}
    names = tuple(sorted(large, key=lambda name: -large[name])) or ("",)
    others = f" and {len(large) - 1} more" if len(large) > 1 else ""
    make.add(
        "split.printer", name="Largest printed body against the printer, after splitting", part="prints",
        meaning="stops", demand=_one(max(large.values(), default=1.0)), capacity=_one(1.0), unit="1", required=0.0,
        required_why="jigs and gauges are not split, a joint would spoil them: print them on a larger printer, cut"
        " them from sheet, or use the paper template", source=SPLIT, inputs=BED, cases=(names[0] + others,),
    )  # fmt: skip
    make.add(
        "plan.job", name="Longest job of the printer, within a day", part="prints", meaning="annoys",
        demand=_one(reached["prints.longest"]), capacity=_one(OVERNIGHT), unit="s", required=0.0,
        required_why="a job that runs through a second night is watched by nobody; split the body or print it thinner",
        source=PLAN, inputs=f"workshop.nozzle workshop.layer workshop.print_speed {BED}",
    )  # fmt: skip
    shop = job.state.craft.workshop
    make.add(
        "plan.printer", name="A printer for what the plan prints", part="prints", meaning="stops",
        demand=_one(1.0), capacity=shop.printers, unit="1", required=0.0,
        required_why="without one, jigs and cores are had made or cut from sheet and foam", source=PLAN,
        inputs="workshop.printers",
    )  # fmt: skip


def _effort(make: Maker, job: Job, reached: Mapping[str, float]) -> None:
    shop = job.state.craft.workshop
    if "order.hands" in reached:
        printing = reached.get("prints.time", float(job.state.making.print_time[0]))
        spans = np.array([
            reached["order.hands"] / float(shop.hours_a_week[0]) * 7.0 * 86400.0, reached["order.cures"],
            printing / (max(float(shop.printers[0]), 1.0) * PRINTING_DAY),
        ])  # fmt: skip
        make.add(
            "plan.time", name="Time from the first cut to the water, by the order of work and the print plan",
            part="workshop", meaning="annoys", demand=_one(float(spans.max())), capacity=_stated(shop.time), unit="s",
            required=0.2, required_why="hours are known to a third; the longest of work, cures and printing counts",
            source=JUDGED, inputs=f"workshop.time workshop.hours_a_week workshop.cure_time workshop.printers {BOARD}",
            cases=("the hours of work", "the cures", "the printer"), case=np.array([int(spans.argmax())]),
            applies=np.isfinite(shop.time),
        )  # fmt: skip
    if "money" in reached:
        make.add(
            "list.money", name="Money still to be spent, by the list of materials", part="workshop", meaning="annoys",
            demand=_one(reached["money"]), capacity=_stated(shop.budget), unit="1", required=0.1,
            required_why="packaged prices are known to a third; your own and what you own are taken off",
            source="List of materials; data/workshop/prices.csv",
            inputs=f"workshop.budget workshop.price_level {BOARD}", applies=np.isfinite(shop.budget),
        )  # fmt: skip
