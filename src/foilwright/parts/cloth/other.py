"""Another cloth than the laminate's: so many plies that everything holds as well as before, through `hold` itself."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.build.build import Build
from foilwright.questions.ask import Answers, ask

CLOTHS = (0.08, 0.105, 0.163, 0.2, 0.28, 0.39)
"""Cloths that shops keep [kg/m^2]."""
BOARD = "hold.board."
MOST = 16
STEPS = (-1, 0, 1, 2, 3, 4)
ALIKE = 0.02
"""Margins that differ by less count as the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Instead:
    """One other cloth: its plies for strength as before."""

    cloth: float  # kg/m^2
    deck: int
    bottom: int
    fibre: float  # cloth over that of the schedule
    holds: bool


def instead(build: Build, before: Answers, *, cloth: float, deck: int, bottom: int, at_hand: float) -> list[Instead]:
    """Return how many plies of other cloths hold as well as those of the schedule.

    Parameters
    ----------
    build : Build
        The build.
    before : Answers
        Its answers.
    cloth : float
        Cloth of the schedule [kg/m^2].
    deck, bottom : int
        Its plies.
    at_hand : float
        Cloth that the shop has [kg/m^2]; NaN: none that is different.
    """
    wanted = sorted({*CLOTHS, *([at_hand] if np.isfinite(at_hand) else [])} - {cloth})
    rows = [
        (other, min(max(round_up(deck * cloth / other) + step, 1), MOST),
         min(max(round_up(bottom * cloth / other) + step, 1), MOST))
        for other in wanted for step in STEPS
    ]  # fmt: skip
    vary = {
        "laminate.cloth": np.array([row[0] for row in rows]),
        "board.deck_layers": np.array([float(row[1]) for row in rows]),
        "board.bottom_layers": np.array([float(row[2]) for row in rows]),
    }
    found = ask(build, questions=["hold"], vary=vary)
    was = {one.id: float(one.shortfall[0]) for one in before.findings["hold"] if one.id.startswith(BOARD)}
    good = np.ones(len(rows), dtype=bool)
    for one in found.findings["hold"]:
        if one.id in was and np.isfinite(was[one.id]):
            good &= one.shortfall >= was[one.id] - ALIKE
    out = []
    for other in wanted:
        places = [k for k, row in enumerate(rows) if row[0] == other]
        fits = [k for k in places if good[k]]
        k = fits[0] if fits else places[-1]
        _, top, low = rows[k]
        fibre = other * (top + low) / (cloth * (deck + bottom))
        out.append(Instead(cloth=other, deck=top, bottom=low, fibre=fibre, holds=bool(fits)))
    return out


def round_up(value: float) -> int:
    """Return the next whole number, a hair below it counted as it."""
    return int(np.ceil(value - 1e-9))
