"""Ways out as plain data: which changes cure a finding and what else they do; a study makes them, reports show them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Value = float | int | str | bool
DEEPER = 1.05
"""What is short counts as clearly shorter from this share of it on."""
Pair = tuple[float | None, float | None]
"""Before and after; None where there is no number."""


def cured(verdicts: Mapping[str, tuple[str, str]]) -> frozenset[str]:
    """Return which findings, of those whose verdict changes, lack nothing any more."""
    return frozenset(name for name, (was, now) in verdicts.items() if was in ("fails", "slim") and now == "sound")


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One field given another value, in SI; ``before`` is None where it was left out and nothing was assumed."""

    path: str
    unit: str
    before: Value | None
    after: Value
    written: str
    """The new value as ``--set`` and a build file take it."""
    told: str
    """The change in words: ``a wing of 1450 cm² instead of 1040``."""
    place: Literal["beach", "workshop"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Changes that clear one finding, and what they do to everything else."""

    finding: str
    changes: tuple[Change, ...]
    place: Literal["beach", "workshop"]
    effort: str
    cost: str
    owned: bool | None
    """True where nothing that is owned must be replaced; None where no inventory was given."""
    margin_after: float | None
    effects: Mapping[str, Pair]
    """Margin of every other finding that changes, by id."""
    verdicts: Mapping[str, tuple[str, str]]
    """Verdict of every other finding whose verdict changes, by id; ``not asked`` where it has no object."""
    numbers: Mapping[str, Pair]
    """The flat numbers that change, in SI."""
    besides: tuple[str, ...]
    """What it does to the numbers asked for first, and what becomes worse, in words."""
    text: str

    @property
    def clears(self) -> frozenset[str]:
        """Return every finding that it clears, by id."""
        return cured(self.verdicts) | {self.finding}

    @property
    def breaks(self) -> int:
        """Return how many other findings fail that did not."""
        return sum(now == "fails" != was for was, now in self.verdicts.values())

    @property
    def deepens(self) -> int:
        """Return how many other findings that lack something lack clearly more of it."""
        return sum(
            before is not None and after is not None and before < 0.0 and after < DEEPER * before
            for before, after in self.effects.values()
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Changes that were applied one upon the other until nothing fails, or nothing more helped."""

    changes: tuple[Change, ...]
    failing: tuple[str, ...]
    """What still fails, or is not known and can hurt or burn, by id; empty where the set is enough."""
    verdict: str
    slim: int
    text: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WaysOut:
    """What was found for all findings that fail or are slim."""

    ways: tuple[Way, ...]
    without: tuple[str, ...]
    """Findings that no change of one field, nor of two, clears."""
    together: Together | None
    tried: tuple[str, ...]
    """Every path that was given another value."""
    as_built: bool
    """Whether measured values stood in for designed ones."""
    designs: int
    """How many variants were asked."""

    def of(self, finding: str) -> tuple[Way, ...]:
        """Return the ways out of one finding, best first."""
        return tuple(way for way in self.ways if way.finding == finding)
