"""Write docs/sweep.md: the lake craft with smaller and larger wings under lighter and heavier riders.

Every number comes from one question to the program with the wing's area, its span and the rider's
mass varied together; the wing keeps its shape. Run it after a model or the scenario has changed.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from foilwright.build import load
from foilwright.questions.ask import Answers, ask

PAGE = Path(__file__).parents[1] / "docs" / "sweep.md"
WINGS = np.array([750.0, 950.0, 1200.0, 1550.0, 1900.0])
"""Wing areas [cm2]."""
RIDERS = np.array([60.0, 75.0, 90.0, 105.0])
"""Body masses of the riders [kg]."""
HEAD = """# Wings and riders on one craft

Written by `scripts/write_sweep.py`: the craft of `lake.toml` with its wing made smaller or larger in
the same shape, and with riders from light to heavy. Take-off is the first speed at which the wing can
carry all; riders usually let the board rise some 2 to 3 km/h later. Thrust to spare is the least
surplus of full thrust over drag on the way there; 45 % is asked for. Cruise is 25 km/h.

"""
READ = """
How to read it: with a larger wing take-off comes earlier by the root of the area, with a heavier rider
later by the root of all that is carried, and cruise power grows by less than the mass, because the drag of
mast, pod and the rider in the air does not know it. At 25 km/h a small wing saves a light rider little and a
heavy one nothing, so choose by the take-off speed that you can handle and by the thrust to spare on the way.
"""


def sweep() -> Answers:
    """Ask the lake craft with every wing under every rider."""
    lake = load.scenario("lake")
    area, mass = (grid.ravel() for grid in np.meshgrid(WINGS * 1e-4, RIDERS, indexing="ij"))
    span = float(lake.values["wing.span"]) * np.sqrt(area / float(lake.values["wing.area"]))
    return ask(
        lake,
        questions=("rise", "fly"),
        vary={"wing.area": area, "wing.span": span, "rider.mass": mass},
    )


def table(answers: Answers) -> str:
    """Return the sweep as a table, one row a wing and rider."""
    thrust = next(f for f in answers.all() if f.id == "rise.thrust")
    lines = [
        "| wing, cm2 | rider, kg | take-off, km/h | thrust to spare | cruise power, kW | `rise` | `fly` |",
        "|---:|---:|---:|---:|---:|---|---|",
    ]
    numbers = answers.numbers
    for row in range(answers.designs):
        wing, rider = WINGS[row // RIDERS.size], RIDERS[row % RIDERS.size]
        speed, power = 3.6 * numbers["take_off_speed"][row], 1e-3 * numbers["cruise_electric_power"][row]
        lines.append(
            f"| {wing:.0f} | {rider:.0f} | {_shown(speed, '.1f')} | {100.0 * thrust.margin[row]:+.0f} % | "
            f"{_shown(power, '.2f')} | {answers.verdict('rise', row)} | {answers.verdict('fly', row)} |"
        )
    return "\n".join(lines) + "\n"


def _shown(value: float, form: str) -> str:
    return format(value, form) if np.isfinite(value) else "none"


def page() -> str:
    """Return the whole page."""
    return HEAD + table(sweep()) + READ


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
