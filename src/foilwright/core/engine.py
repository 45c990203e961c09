"""Where blocks of work are done: on this machine's cores, or on a cluster; in order, or as they are ready."""

from __future__ import annotations

import functools
import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    Executor,
    Future,
    ProcessPoolExecutor,
    ThreadPoolExecutor,
    wait,
)
from dataclasses import dataclass, field
from typing import Any, Protocol, TypeVar

from foilwright.core.errors import FoilwrightError, PlaceError
from foilwright.core.extras import need

Block = TypeVar("Block")
Result = TypeVar("Result")

AHEAD = 2
"""Blocks handed out for each worker, so that none waits for the next."""
TRIES = 4
"""How often work whose worker was lost is handed out anew."""
GLANCE = 0.5
"""Time between two looks of a worker for the process that asked [s]."""
PATIENCE = 30.0
"""Time in which a cluster must answer [s]."""


class Engine(Protocol):
    """Does blocks of work; the results are the same wherever they are done."""

    def as_ready(self, work: Callable[[Block], Result], blocks: Sequence[Block]) -> Iterator[tuple[int, Result]]:
        """Yield the place and the result of each block, as they are ready."""
        ...


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
        with self.pool(min(self.workers, len(blocks))) as pool:
            yield from pool.map(work, blocks)

    def as_ready(self, work: Callable[[Block], Result], blocks: Sequence[Block]) -> Iterator[tuple[int, Result]]:
        """Yield the place and the result of each block as they are ready; a lost process is replaced."""
        if len(blocks) == 1 or self.workers == 1:
            yield from enumerate(map(work, blocks))
            return
        left = list(range(len(blocks)))
        for attempt in range(TRIES):
            try:
                for place, result in self._pooled(work, blocks, tuple(left)):
                    left.remove(place)
                    yield place, result
            except BrokenExecutor:
                if attempt == TRIES - 1:
                    raise PlaceError(
                        "the processes that compute are ended from outside; is there too little memory?"
                    ) from None
            if not left:
                return

    def _pooled(
        self, work: Callable[[Block], Result], blocks: Sequence[Block], places: tuple[int, ...]
    ) -> Iterator[tuple[int, Result]]:
        """Yield results from one pool; what was handed out but not fetched is dropped when it ends early."""
        pool = self.pool(min(self.workers, len(places)))
        waiting = iter(places)
        running: dict[Future[Result], int] = {}
        try:
            while True:
                while len(running) < AHEAD * self.workers and (place := next(waiting, None)) is not None:
                    running[pool.submit(work, blocks[place])] = place
                if not running:
                    return
                ready, _ = wait(running, return_when=FIRST_COMPLETED)
                for future in ready:
                    yield running.pop(future), future.result()
        finally:
            pool.shutdown(cancel_futures=True)

    @property
    def forks(self) -> bool:
        """Whether processes can be forked: the system has it, and no other thread could be caught in the middle."""
        return "fork" in multiprocessing.get_all_start_methods() and threading.active_count() == 1

    def pool(self, workers: int) -> Executor:
        """Return some workers, to be ended by who asked for them."""
        if self.forks:
            begin = functools.partial(_begin, os.getpid())
            return ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("fork"), initializer=begin)
        return ThreadPoolExecutor(workers)


def _begin(parent: int) -> None:
    """Leave Ctrl-C to the process that asked, and end when it is gone, however it went."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_without, args=(parent,), daemon=True).start()


def _end_without(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(GLANCE)
    os._exit(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dask:
    """The workers of a Dask cluster, by the address of its scheduler; needs the extra ``cluster``."""

    address: str

    def as_ready(self, work: Callable[[Block], Result], blocks: Sequence[Block]) -> Iterator[tuple[int, Result]]:
        """Yield the place and the result of each block as they are ready; work of a lost worker is done anew."""
        distributed = need("distributed", extra="cluster")
        try:
            client = distributed.Client(self.address, timeout=PATIENCE, set_as_default=False)
        except (OSError, ValueError) as error:
            raise PlaceError(f"no cluster answers at {self.address} ({str(error) or type(error).__name__})") from error
        with client:
            yield from _submitted(distributed, client, work, blocks)


def _submitted(
    distributed: Any, client: Any, work: Callable[[Block], Result], blocks: Sequence[Block]
) -> Iterator[tuple[int, Result]]:
    """Yield results from a cluster, a few blocks ahead of what its workers do."""
    waiting = iter(range(len(blocks)))
    places: dict[str, int] = {}
    tries = dict.fromkeys(range(len(blocks)), 0)
    ready = distributed.as_completed(loop=client.loop)

    def hand_out(place: int | None) -> None:
        if place is not None:
            future = client.submit(work, blocks[place], pure=False)
            places[future.key] = place
            ready.add(future)

    for _ in range(AHEAD * max(1, sum(client.nthreads().values()))):
        hand_out(next(waiting, None))
    for future in ready:
        place = places.pop(future.key)
        if future.status == "finished":
            yield place, future.result()
            hand_out(next(waiting, None))
            continue
        told = future.exception() if future.status == "error" else None
        if isinstance(told, FoilwrightError):
            raise told
        tries[place] += 1
        if tries[place] == TRIES:
            raise PlaceError(f"the cluster lost the same work {TRIES} times ({told or future.status})")
        hand_out(place)
