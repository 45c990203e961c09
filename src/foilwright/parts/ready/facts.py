"""What the cards state about one build: its answers, its shared results, and the words for its numbers."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from foilwright.assemble import assemble
from foilwright.build.build import Build
from foilwright.core import units
from foilwright.core.model import Array
from foilwright.questions import report
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import Finding
from foilwright.questions.state import State

NO_NUMBER = "(no number)"
"""What stands in a card where an answer has none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """One build with its answers; every array has one row."""

    build: Build
    answers: Answers
    state: State

    @property
    def grave(self) -> list[tuple[Finding, str]]:
        """Findings that fail, and unknown ones that can hurt or burn, worst first."""
        return [
            (finding, verdict)
            for finding, verdict in report.ranked(self.answers)
            if verdict == "fails" or (verdict == "unknown" and finding.meaning in ("hurts", "burns"))
        ]

    @property
    def assumed(self) -> dict[str, str]:
        """Path to what was assumed, with its range, as text."""
        return {each.path: f"{shown(each.value, each.unit)}{_range(each.low, each.high, each.unit)}"
                for each in self.answers.assumed}  # fmt: skip

    @property
    def flies(self) -> bool:
        """Whether it takes off and has a band of speeds in which it flies."""
        return bool(self.state.run.found[0] and self.state.flight.found[0])

    def number(self, name: str) -> float:
        """Return one of the flat numbers; NaN where it does not exist."""
        return float(self.answers.numbers[name][0])


def facts(build: Build) -> Facts:
    """Work out what the cards state about a build, as it was built."""
    answers = ask(build)
    state = State(assemble(build)[0])
    with np.errstate(divide="ignore", invalid="ignore", over="ignore", under="ignore"):
        made = Facts(build=build, answers=answers, state=state)
        _ = made.flies
    return made


def shown(value: float | str | Array, unit: str = "1", *, difference: bool = False, digits: int = 3) -> str:
    """Return a value in the unit that makers use; ``NO_NUMBER`` where there is none."""
    if isinstance(value, str):
        return value
    number = float(np.ravel(value)[0])
    if not math.isfinite(number):
        return NO_NUMBER
    if unit == "1":
        return _rounded(number, digits)
    if unit == "Pa":
        factor, name = (1e6, "MPa") if abs(number) >= 1e6 else (1e3, "kPa")
        return f"{_rounded(number / factor, digits)} {name}"
    for unit_of, factor, name, below in FINER:
        if unit == unit_of and 0.0 < abs(number) < below:
            return f"{_rounded(number / factor, digits)} {name}"
    return units.show(number, unit, difference=difference, digits=digits)


FINER = (
    ("m^3", 1e-3, "L", np.inf), ("m^2", 1e-6, "mm²", 1e-4), ("kg", 1e-3, "g", 0.995), ("F", 1e-6, "µF", 1.0),
    ("A", 1e-3, "mA", 0.995), ("s", 1e-3, "ms", 0.995),
)  # fmt: skip
"""Unit, factor, name and value below which that smaller unit is shown."""


def _rounded(number: float, digits: int) -> str:
    places = max(0, digits - 1 - math.floor(math.log10(abs(number)))) if number else 0
    text = f"{number:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def percent(share: float | Array) -> str:
    """Return a share as percent."""
    number = float(np.ravel(share)[0])
    return f"{100.0 * number:.0f} %" if math.isfinite(number) else NO_NUMBER


def pull(force: float | Array) -> str:
    """Return a force in newton and as a luggage scale shows it."""
    number = float(np.ravel(force)[0])
    return f"{number:.0f} N = {number / GRAVITY:.1f} kg" if math.isfinite(number) else NO_NUMBER


GRAVITY = 9.80665
"""Newton that a scale shows as one kilogram."""


def _range(low: float | str, high: float | str, unit: str) -> str:
    if low == high:
        return ""
    if isinstance(low, str) or isinstance(high, str):
        return f" (perhaps {low} or {high})"
    return f" ({shown(low, unit)} to {shown(high, unit)})"
