"""Write the tables of docs/learn-recovery.md: how often made-up faults are found, by the instruments carried.

    .venv/bin/python scripts/write_learn_tables.py

Some twenty minutes on two cores. Each trial is of a fault drawn anew, stepped through time with models that differ
from those that read it (src/foilwright/study/learn/truth.py).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np

from foilwright.build import load
from foilwright.study.learn import recover
from foilwright.study.learn.causes import AS_DESIGNED
from foilwright.study.learn.diagnose import DOUBT
from foilwright.study.learn.model import CHARGE, corrections
from foilwright.study.learn.recover import Outcome
from foilwright.study.learn.told import WORTH

BUILDS = ("lake", "first-try")
TRIALS = {"track and log": 450, "track": 50, "sheet": 50}
CALLED = {"track and log": "GPS track, volts, amps, throttle", "track": "GPS track", "sheet": "remembered numbers"}
SECOND = 50
"""Trials with two faults, with track and log."""
TWICE = 3000
"""Seed of the first of them."""
SHOWS = 3.0
"""How far a fault must move the readings, in their errors, to count as one that shows."""
PAGE = Path(__file__).parents[1] / "docs" / "learn-recovery.md"
HEAD = """# How often the true cause is found

Written by `scripts/write_learn_tables.py`; do not edit. Each trial is made up: a craft ({builds}, by turns) gets one
fault, drawn evenly over the explanations (one draw in {faults} is a craft without fault), with a size from a third of
its range up, and corrections drawn from what is known before; the ride is stepped through time with a rider in the
loop, another wing section, another motor, and a resistance whose hump stands elsewhere. Craft and rider were weighed,
depth and cell temperature read. What is merely seen (a jump of the revolutions, a hot part) comes by the same table
that reads it, so its part is a mirror; the rest is not.

A fault *shows* where it moves the readings by more than {shows:.0f} of their errors together, the models' errors
included: a day that was read because something was wrong. A wing that is set half a degree too flat on a craft that
stays on the water leaves no trace in volts, amps and track; nothing that reads them can find it, and the program then
says that it cannot tell. Both are told: all draws, and those that show (the craft without fault among them).

Families are explanations that leave much the same trace:

{families}

"""


def _families() -> str:
    names, told = recover.confusion([])[0], recover.members()
    return "\n".join(f"- {name}: {', '.join(told[name])}" for name in names)


def _percent(share: float) -> str:
    return "-" if not np.isfinite(share) else f"{100.0 * share:.0f} %"


def page(outcomes: Mapping[str, Sequence[Outcome]], both: Sequence[Outcome]) -> str:
    """Return the whole page; ``both`` are trials with two faults."""
    faults = len(recover.seeded(load.scenario(BUILDS[0])))
    text = HEAD.format(builds=" and ".join(BUILDS), faults=faults, shows=SHOWS, families=_families())
    text += (
        "## By the instruments carried\n\n| carried | trials | true cause first | in the first three | family first |"
    )
    text += " in the first three | one leads | right where one leads |\n|---|---|---|---|---|---|---|---|\n"
    for carried, found in outcomes.items():
        for which, some in (("all", list(found)), ("that show", _showing(found))):
            if not some:
                continue
            rates = recover.rates(some)
            cells = ("first", "first_three", "family_first", "family_first_three", "clear", "right_where_clear")
            row = " | ".join(_percent(rates[name]) for name in cells)
            text += f"| {CALLED[carried]}, {which} | {len(some)} | {row} |\n"
    text += "\n## 90 % intervals of the corrections that hold the truth\n\n| carried | "
    names = [name for name in corrections().names if name != CHARGE]
    text += " | ".join(name.replace("_", " ") for name in names) + " | all |\n|---|" + "---|" * (len(names) + 1) + "\n"
    for carried, found in outcomes.items():
        held = np.array([each.within for each in found]).mean(axis=0)
        text += (
            f"| {CALLED[carried]} | {' | '.join(_percent(each) for each in held)} | {_percent(float(held.mean()))} |\n"
        )
    first = next(iter(outcomes))
    text += _two(outcomes[first], both)
    return text + _confusion(outcomes[first], first) + _each(outcomes[first], first)


def _two(single: Sequence[Outcome], both: Sequence[Outcome]) -> str:
    """Return what is said of days with two faults, and how often two are claimed where there was one or none."""
    claimed = np.mean([each.two >= DOUBT for each in single])
    text = "\n## Two faults at once (GPS track, volts, amps, throttle)\n\n"
    text += f"With one fault or none, two at once were claimed likelier in {_percent(float(claimed))} of the trials.\n"
    if not both:
        return text
    told = [bool({each.cause, each.also} & set(each.ranked[:1])) for each in both]
    pairs = [(len({each.cause, each.also} & set(each.pair)), each.two >= WORTH) for each in both]
    wrong = [each.clear and not ({each.cause, each.also} & set(each.ranked[:1])) for each in both]
    text += f"\n| of {len(both)} trials with two faults, the second of the same size | |\n|---|---|\n"
    rows = (
        ("one of the two came first", told), ("two at once told with 10 % or more", [seen for _, seen in pairs]),
        ("at least one of the two in the likeliest pair", [count >= 1 for count, _ in pairs]),
        ("both in the likeliest pair", [count == 2 for count, _ in pairs]),
        ("one that was not there leads", wrong),
    )  # fmt: skip
    return text + "".join(f"| {name} | {_percent(float(np.mean(each)))} |\n" for name, each in rows)


def _showing(found: Sequence[Outcome]) -> list[Outcome]:
    return [each for each in found if each.shows > SHOWS or each.cause == AS_DESIGNED]


def _confusion(found: Sequence[Outcome], carried: str) -> str:
    names, counts = recover.confusion(found)
    text = f"\n## Read as ({CALLED[carried]}; rows: the truth, columns: what came first)\n\n"
    text += f"| true family | {' | '.join(names)} |\n|---|{'---|' * len(names)}\n"
    for name, row in zip(names, counts, strict=True):
        if row.sum():
            text += f"| {name} | {' | '.join(str(int(each)) if each else '' for each in row)} |\n"
    return text


def _each(found: Sequence[Outcome], carried: str) -> str:
    text = f"\n## Each fault ({CALLED[carried]})\n\n| fault | trials | that show | first | in the first three |\n"
    text += "|---|---|---|---|---|\n"
    for cause in dict.fromkeys(sorted(each.cause for each in found)):
        some = [each for each in found if each.cause == cause]
        place = np.array([each.place for each in some])
        shows = sum(each.shows > SHOWS for each in some)
        text += f"| {cause} | {len(some)} | {shows} | {int((place <= 1).sum())} | {int((place <= 3).sum())} |\n"
    return text


def main() -> None:
    """Ride all trials, read them, and write the page."""
    builds = [load.scenario(name) for name in BUILDS]
    outcomes = {carried: recover.study(builds, range(1000, 1000 + n), carried) for carried, n in TRIALS.items()}
    both = recover.study(builds, range(TWICE, TWICE + SECOND), next(iter(TRIALS)), second=True)
    PAGE.write_text(page(outcomes, both), encoding="utf-8")


if __name__ == "__main__":
    main()
