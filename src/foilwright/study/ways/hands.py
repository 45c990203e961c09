"""Hands: this process, and one more for each further core, kept from the first work of a search to the last."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import BrokenExecutor, Executor
from types import TracebackType
from typing import TypeVar

from foilwright.core.engine import Cores

Block = TypeVar("Block")
Result = TypeVar("Result")
Row = TypeVar("Row")

FIXED, START = 6.0, 36.0
"""Work, in designs worked out anew from end to end: what a block costs whatever it holds, and what it costs besides
its designs where everything must be worked out anew."""
WORTH_SHARING = 30.0
"""Work that is worth a process of its own."""
MOST = 256
"""Designs of one block: more do not fit the cache."""


def work(share: float, designs: int) -> float:
    """Return the work of a block of designs of which some share must be worked out anew."""
    return FIXED + share * (START + designs)


class Hands:
    """Who does the blocks of a search.

    Processes are forked once, at the first work that is worth it: what each of them has worked out and kept stays
    there for the next. Where the system does not fork, or other threads run, this process does everything.
    """

    def __init__(self) -> None:
        cores = Cores()
        self.count = cores.workers if cores.forks else 1
        self._pool: Executor | None = None

    def __enter__(self) -> Hands:
        """Return the hands, to be ended on leaving."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End the other processes."""
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)
            self._pool = None
        self.count = 1

    def cut(self, groups: Sequence[tuple[float, Sequence[Row]]]) -> list[tuple[float, list[Row]]]:
        """Return groups of rows, each with the share of its work, cut into blocks, each with its work."""
        each = [work(share, len(rows)) for share, rows in groups]
        aim = sum(each) / self._worth(sum(each))
        blocks = []
        for (share, rows), whole in zip(groups, each, strict=True):
            pieces = max(math.ceil(len(rows) / MOST), math.ceil(whole / aim - 0.1))
            most = math.ceil(len(rows) / pieces)
            cut = [list(rows[begin : begin + most]) for begin in range(0, len(rows), most)]
            blocks += [(work(share, len(block)), block) for block in cut]
        return blocks

    def run(self, do: Callable[[Block], Result], blocks: Sequence[Block], works: Sequence[float]) -> list[Result]:
        """Return the results of blocks, in their order; ``works`` tells how much work each one is."""
        mine, *others = _piles(works, self._worth(sum(works)))
        pool = self._pool_of() if others else None
        if pool is None:
            return [do(block) for block in blocks]
        done: dict[int, Result] = {}
        try:
            waiting = [(pile, pool.submit(_all, do, [blocks[k] for k in pile])) for pile in others]
            done |= {k: do(blocks[k]) for k in mine}
            for pile, future in waiting:
                done |= dict(zip(pile, future.result(), strict=True))
        except BrokenExecutor:
            self.__exit__(None, None, None)
            done |= {k: do(block) for k, block in enumerate(blocks) if k not in done}
        return [done[k] for k in range(len(blocks))]

    def _worth(self, whole: float) -> int:
        """Return how many processes some work is worth."""
        return max(1, min(self.count, int(whole / WORTH_SHARING)))

    def _pool_of(self) -> Executor | None:
        if self._pool is None and self.count > 1:
            cores = Cores()
            if not cores.forks:
                self.count = 1
                return None
            self._pool = cores.pool(self.count - 1)
        return self._pool


def _all(do: Callable[[Block], Result], blocks: Sequence[Block]) -> list[Result]:
    return [do(block) for block in blocks]


def _piles(works: Sequence[float], count: int) -> list[list[int]]:
    """Return which blocks each of some processes does, so that all end at much the same time."""
    piles: list[list[int]] = [[] for _ in range(count)]
    loads = [0.0] * count
    for k in sorted(range(len(works)), key=lambda k: -works[k]):
        least = loads.index(min(loads))
        piles[least].append(k)
        loads[least] += works[k]
    return [pile for pile in piles if pile] or [[]]
