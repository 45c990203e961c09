"""Where blocks of work are done: on this machine's cores, in order, as they come."""

from __future__ import annotations

import multiprocessing
import os
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import TypeVar

Block = TypeVar("Block")
Result = TypeVar("Result")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cores:
    """The cores of this machine.

    Forked processes where the system has them and no other thread could be caught in the middle of
    something; threads else (the arrays free the interpreter for part of the time only).
    """

    workers: int = field(default_factory=lambda: os.cpu_count() or 1)

    def run(self, work: Callable[[Block], Result], blocks: Sequence[Block]) -> Iterator[Result]:
        """Yield the result of each block, in the order of the blocks."""
        if len(blocks) == 1 or self.workers == 1:
            yield from map(work, blocks)
            return
        with self._pool(min(self.workers, len(blocks))) as pool:
            yield from pool.map(work, blocks)

    def _pool(self, workers: int) -> Executor:
        forks = "fork" in multiprocessing.get_all_start_methods() and threading.active_count() == 1
        if forks:
            return ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("fork"))
        return ThreadPoolExecutor(workers)
