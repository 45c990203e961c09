"""Write docs/hold.md: what a mast of several materials bears over its length, on the lake craft.

Run it after a change of loads, materials or sections; a test holds the page to the program.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np

from foilwright.build import load
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import VERDICTS, Finding
from foilwright.questions.state.structure.cases import CARRIED, CASES, CYCLES

PAGE = Path(__file__).parents[1] / "docs" / "hold.md"
LENGTHS = np.array([0.4, 0.5, 0.6, 0.7, 0.8, 0.9])
MASTS = {
    "PLA, printed standing, solid": {"mast.material": "printed pla", "mast.print": "standing", "mast.fill": "100 %"},
    "PLA, printed lying, solid": {"mast.material": "printed pla", "mast.print": "lying", "mast.fill": "100 %"},
    "PETG, printed standing, solid": {"mast.material": "printed petg", "mast.print": "standing", "mast.fill": "100 %"},
    "PETG, printed standing, under 4 layers of glass": {
        "mast.material": "printed petg", "mast.print": "standing", "mast.wall": "2.4 mm", "mast.infill": "25 %",
        "mast.wrap": "4",
    },
    "PETG, printed standing, under 8 layers of glass": {
        "mast.material": "printed petg", "mast.print": "standing", "mast.wall": "2.4 mm", "mast.infill": "25 %",
        "mast.wrap": "8",
    },
    "PETG, printed standing, solid, with 3 steel rods of 8 mm": {
        "mast.material": "printed petg", "mast.print": "standing", "mast.fill": "100 %", "mast.rods": "3",
        "mast.rod_diameter": "8 mm",
    },
    "aluminium, wall of 3 mm": {"mast.material": "aluminium", "mast.wall": "3 mm"},
}  # fmt: skip
KEYS = ("fore_aft", "sideways", "torsion", "fatigue", "creep", "buckling")
FLEX = """
## What flexing does to flight and run

`rise` and `fly` are asked with a craft that gives. The fuselage turns stabiliser and wing under their lift; lift
ahead of the shear centre twists the wing nose up, a section's own moment twists it nose down (mean twist, torsion
stiffness at 0.7 of the half span); the couple of both surfaces, thrust and drag turn the end of the mast, base and
all. Couples and twist are linear in the angle of the board, so they are solved with it, not iterated. Thrust and
drag enter flight in four passes; the run takes them from one estimate at each speed, and keeps what the turn would
be with the forces found (`run.turned_change`; below 0.2 degrees on the three sound builds). A mast that bends
sideways rolls the foils and one that twists yaws them: neither changes an incidence. No part is taken beyond three
quarters of its divergence; `hold` says there that it fails.

## Who speaks for the sections

Closed forms, always. `foilwright ask BUILD hold --sections` says beside them what finite elements find for the build's
own sections (extra `fe`). Over 44 sections of eight kinds in `data/points/sections.csv` bending agrees within 3 %, and
torsion lies at most 12 % below and 1.5 % above the elements."""
HEAD = """\
# What a mast bears

Written by `scripts/write_hold_page.py`; do not edit it here.

The lake craft (rider of 82 kg) with its mast made in other ways: chord 120 mm, 15 % thick; a layer of glass is a woven
cloth of 200 g/m2 laid by hand; base and insert stay as they are. *Used* is the share of its strength that the worst
case uses, strength at the low end of the book for prints; above 100 % it breaks. *Bows* is the deflection at the
fuselage for 300 N from the side, base and all: 40 mm is good, 70 mm too much. *Holds* is the worst verdict of strength,
fatigue, creep and buckling: it asks for strength on top (2 times for prints, 3 for laminates, 1.5 for metal). What
decides stands beside it.

Read down a table: where the rider makes the moment (side slip, thrown fore or aft) a shorter mast uses as much of its
strength as a long one, because a rider can lean no less. Only moments of forces (thrust, carrying) fall with the
length.
"""


def page() -> str:
    """Return the whole page."""
    return "\n".join([HEAD, *(line for name in MASTS for line in _mast(name)), *_cases()]) + "\n"


def _mast(name: str) -> Iterator[str]:
    build = load.scenario("lake").with_texts(MASTS[name])
    answers = ask(build, questions=["hold"], vary={"mast.length": LENGTHS})
    yield f"## {name[:1].upper()}{name[1:]}\n"
    yield "| mast [cm] | used sideways [%] | used lengthways [%] | bows [mm] | holds | because of |"
    yield "|---|---|---|---|---|---|"
    bows = 1e3 * _found(answers, "mast.deflection").demand
    for row, length in enumerate(LENGTHS):
        found = {key: _found(answers, f"mast.{key}") for key in KEYS}
        used = [100.0 / (1.0 + float(found[key].margin[row])) for key in ("sideways", "fore_aft")]
        worst = min((found[key] for key in KEYS if found[key].applies[row]), key=lambda each: _rank(each, row))
        case = worst.cases[worst.case[row]]
        why = f"{worst.name.removeprefix('Mast, ')}{f' ({case})' if case else ''}"
        why = why[:1].lower() + why[1:]
        yield (
            f"| {100.0 * length:.0f} | {used[0]:.0f} | {used[1]:.0f} | {bows[row]:.0f} | {VERDICTS[worst.verdict[row]]}"
            f" | {why} |"
        )
    yield ""


def _rank(finding: Finding, row: int) -> tuple[int, float]:
    return int(finding.verdict[row]), float(finding.shortfall[row])


def _found(answers: Answers, key: str) -> Finding:
    return next(each for each in answers.all() if each.id == f"hold.{key}")


def _cases() -> Iterator[str]:
    answers = load.scenario("lake")
    yield "## The load cases\n"
    yield "Factors stand in the table `[loads]` of the build file; reasons in `data/load_cases.csv`.\n"
    yield "| case | reversals an hour |"
    yield "|---|---|"
    yield from (f"| {case} | {count:.0f} |" for case, count in zip(CASES[:CARRIED], CYCLES, strict=False))
    yield f"\nThe last case, *{CASES[CARRIED]}*, is asked as hot as the sun makes the part ({answers.name}: polished)."
    yield FLEX


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    print(f"{PAGE.name}: {len(MASTS)} masts")


if __name__ == "__main__":
    main()
