"""`hold`: does every loaded part survive every load case, cold and sun-hot, printed, glassed or metal?"""

from __future__ import annotations

import numpy as np

from foilwright.questions.finding import KNOWN, Beyond, Finding, Maker, judged
from foilwright.questions.hold import base, board, fixings, mast, wings
from foilwright.questions.state import State


class Hold:
    """Strength and stiffness of every loaded part."""

    name = "hold"
    asks = "Does every loaded part survive every load case, also when hot from the sun?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        mast.strength(make, state)
        mast.stiffness(make, state)
        base.findings(make, state)
        wings.findings(make, state)
        fixings.findings(make, state)
        board.findings(make, state)
        _first(make, mast.beyond(state))
        mast.proof(make, state)
        return make.made


def _first(make: Maker, known: tuple[Beyond, ...]) -> None:
    """Add what gives first: the least of all margins that are known of parts that break."""
    parts = [each for each in make.made if each.meaning == "breaks" and each.kind == "ratio"]
    all_ = judged(parts)
    there = np.array([each.applies for each in parts]).T & (all_.reason == KNOWN)
    margins = np.where(there, all_.margin, np.inf)
    at = margins.argmin(axis=1)
    least = margins[np.arange(make.designs), at]
    make.add(
        "first", name="The first thing to give", part="craft", meaning="breaks", demand=np.ones(make.designs),
        capacity=1.0 + least, unit="1", required=0.0,
        required_why="the margin that it must have stands with the part itself",
        source="Least margin of all parts and load cases", cases=tuple(_lower(each.name) for each in parts), case=at,
        inputs=" ".join(dict.fromkeys(path for each in parts for path in each.inputs)),
        beyond=known,
    )  # fmt: skip


def _lower(name: str) -> str:
    return name[:1].lower() + name[1:]
