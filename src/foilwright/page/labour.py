"""Long work on one build, seen by every window that shows it: how far it is, how long yet, stopped when asked to."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from typing import Any

from foilwright.core.errors import FoilwrightError
from foilwright.page.background import Worker
from foilwright.page.look import many
from foilwright.page.marks import button, safe

SOON, LEAST = 2.0, 0.05
"""Time [s] and share of the work, after the first of it was done, from which on it is said how long it takes yet."""


class Labour:
    """One piece of work at a time; ``stir`` shows it anew.

    ``share`` of it is done (0..1), ``told`` says what is being done, ``wrong`` why it ended without a result.
    """

    def __init__(self, stir: Callable[[], None]) -> None:
        self._stir = stir
        self._task: asyncio.Task[None] | None = None
        self._first: tuple[float, float] | None = None
        self.share, self.told, self.wrong = 0.0, "", ""
        self.stopped = False

    @property
    def running(self) -> bool:
        """Whether it is under way."""
        return self._task is not None

    def begin(self, worker: Worker, job: str, *given: Any, done: Callable[[Any], None]) -> None:
        """Begin, unless it is under way; ``done`` takes the result."""
        if self.running:
            return
        self.share, self.told, self.wrong, self.stopped = 0.0, "waiting for its turn", "", False
        self._first = None
        self._task = asyncio.get_running_loop().create_task(self._do(worker, job, given, done))

    async def _do(self, worker: Worker, job: str, given: tuple[Any, ...], done: Callable[[Any], None]) -> None:
        def far(progress: tuple[float, str]) -> None:
            self.share, self.told = progress
            if self._first is None and self.share > 0.0:
                self._first = (time.monotonic(), self.share)
            self._stir()

        try:
            done(await worker.run(job, *given, told=far))
        except FoilwrightError as error:
            self.wrong = str(error)
        except asyncio.CancelledError:
            self.stopped = True
        finally:
            self._task = None
            self._stir()

    def stop(self) -> None:
        """Stop it; what is whole by then stays."""
        if self._task is not None:
            self._task.cancel()

    def left(self) -> str:
        """Return how long it takes yet, once that can be told."""
        if self._first is None:
            return ""
        spent, done = time.monotonic() - self._first[0], self.share - self._first[1]
        return spoken(spent * (1.0 - self.share) / done) if done >= LEAST and spent >= SOON else ""

    def shown(self, label: str, *, stop: str) -> str:
        """Return how far it is, with a way to stop it; empty where it is not under way."""
        if not self.running:
            return ""
        left = self.left()
        return (
            f'<div class="far" data-key="far-{stop}"><progress max="1" value="{self.share:.3f}" '
            f'aria-label="{safe(label)}"></progress>'
            f'<p role="status">{safe(self.told)}{f", {left} left" if left else ""}</p>'
            f"{button('Stop', stop, kind='plain')}</div>"
        )


def spoken(seconds: float) -> str:
    """Return a time as one says it."""
    if seconds < 90.0:
        return f"about {many(max(5 * round(seconds / 5.0), 5), 'second')}"
    return f"about {many(max(round(seconds / 60.0), 1), 'minute')}"
