"""How each finding is computed, as equations in words: one table, shown on the page and in the documentation."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from fnmatch import fnmatchcase

from foilwright.core.data import table
from foilwright.physics.protection import RULES


@dataclass(frozen=True, slots=True, kw_only=True)
class Equation:
    """What is demanded, what there is, and by which relation, in words; ``asks`` is empty of what is right or wrong."""

    asks: str
    has: str
    by: str


@functools.cache
def equation(finding: str) -> Equation | None:
    """Return how a finding is computed, by its id; none where no relation is written down.

    A rule on the drawn wiring is its own question, answered along every path of the network.
    """
    rows = table("equations").texts
    for pattern, asks, has, by in zip(rows["finding"], rows["asks"], rows["has"], rows["by"], strict=True):
        if fnmatchcase(finding, pattern):
            return Equation(asks=asks, has=has, by=by)
    key = finding.removeprefix("wire.").replace("_", " ")
    rule = next((each for each in RULES if each.name == key), None) if finding.startswith("wire.") else None
    if rule is None:
        return None
    return Equation(
        asks="", has=f"as it must be where the answer is yes: {rule.asks[:1].lower()}{rule.asks[1:]}", by=""
    )
