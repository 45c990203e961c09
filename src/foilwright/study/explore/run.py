"""The run of an exploration: an even sample, then rounds of search; everything kept as it comes."""

from __future__ import annotations

import functools
import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from foilwright.core.engine import Engine
from foilwright.core.model import Array
from foilwright.study.explore.plan import Block, Columns, Plan, answer
from foilwright.study.explore.search import FAR, Best, chosen, next_generation, survivors
from foilwright.study.explore.store import Store


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a run is: designs done and in all, time gone and about left [s]."""

    done: int
    of: int
    gone: float
    left: float


Tell = Callable[[Progress], None]


class _Clock:
    """Counts designs and tells how long the rest takes, from those worked on in this run."""

    def __init__(self, of: int, tell: Tell) -> None:
        self.of, self.tell = of, tell
        self.done = self.fresh = 0
        self.start = time.monotonic()

    def count(self, designs: int, *, fresh: bool) -> None:
        """Count designs as done; not fresh: found done."""
        self.done += designs
        self.fresh += designs if fresh else 0
        gone = time.monotonic() - self.start
        left = gone / self.fresh * (self.of - self.done) if self.fresh else np.nan
        self.tell(Progress(done=self.done, of=self.of, gone=gone, left=left))


Work = Callable[[Plan, Block], Columns]


def run(plan: Plan, store: Store, engine: Engine, tell: Tell, work: Work = answer) -> None:
    """Work through a plan; what is there already is not done again.

    The results do not hang on the engine, on the order in which blocks come back, or on where an
    earlier run was stopped: each block is a pure function of the plan, and each round of the search
    of all blocks before it.
    """
    store.open(plan.told())
    clock = _Clock(plan.count, tell)
    blocks = plan.blocks()
    do = functools.partial(_work, functools.partial(work, plan), store, engine, clock)
    do(blocks)
    if plan.sampled == plan.count:
        return
    best: Best | None = None
    for block in blocks:
        best = _better(plan, best, store.read(block.number, _needed(plan)))
    number, start, round_ = len(blocks), plan.sampled, 0
    while start < plan.count and best is not None:
        round_ += 1
        count = min(plan.generation, plan.count - start)
        shares = next_generation(best, count, seed=round_)
        blocks = _split(shares, number, start, round_, plan.piece)
        do(blocks)
        for block in blocks:
            best = _better(plan, best, store.read(block.number, _needed(plan)))
        number, start = number + len(blocks), start + count


def _split(shares: Array, number: int, start: int, round_: int, size: int) -> list[Block]:
    """Return a generation as blocks."""
    pieces = [shares[k : k + size] for k in range(0, len(shares), size)]
    return [
        Block(number=number + k, start=start + k * size, count=len(piece), round=round_, shares=piece)
        for k, piece in enumerate(pieces)
    ]


def _work(work: Callable[[Block], Columns], store: Store, engine: Engine, clock: _Clock, blocks: list[Block]) -> None:
    """Work on those blocks that are not there yet and keep each as it comes."""
    there = store.numbers()
    waiting = [block for block in blocks if block.number not in there]
    clock.count(sum(block.count for block in blocks if block.number in there), fresh=False)
    if not waiting:
        return
    for place, columns in engine.as_ready(work, waiting):
        store.write(waiting[place].number, columns)
        clock.count(waiting[place].count, fresh=True)


def _needed(plan: Plan) -> list[str]:
    """Return the columns that the search reads."""
    names = ["row", "lacks", *(each.path for each in plan.variables), *(aim.column for aim in plan.goals)]
    return list(dict.fromkeys(names))


def _better(plan: Plan, best: Best | None, columns: Columns) -> Best:
    """Return the best of those so far and of a block."""
    every = goals(plan, columns)
    at = chosen(every, columns["lacks"])
    shares = np.stack([each.share(columns[each.path][at].tolist()) for each in plan.variables], axis=1)
    made = Best(shares=shares, goals=every[at], lacks=columns["lacks"][at], rows=columns["row"][at])
    return survivors(made if best is None else best.joined(made))


def goals(plan: Plan, columns: Columns) -> Array:
    """Return the goals (n, m), less is better; far off where there is no value."""
    each = [aim.sign * columns[aim.column].astype(np.float64) for aim in plan.goals]
    return np.nan_to_num(np.stack(each, axis=1), nan=FAR, posinf=FAR, neginf=-FAR)
