"""Work that takes seconds, in a process of its own so that the page stays quick; results come back as they are."""

from __future__ import annotations

import asyncio
import os
import pickle
import signal
import struct
import sys
import traceback
from collections.abc import Callable
from typing import Any, BinaryIO

from foilwright.core.errors import FoilwrightError, PlaceError

FRAME = struct.Struct("!Q")
LATER = 5
"""By how much the work stands behind what a person waits for (the niceness of the process)."""

Told = Callable[[Any], None]


class Worker:
    """One process that does one job after the other."""

    def __init__(self) -> None:
        self._process: asyncio.subprocess.Process | None = None
        self._turn = asyncio.Lock()

    async def run(self, job: str, *given: Any, told: Told | None = None) -> Any:
        """Do a job and return its result; ``told`` hears how far it is.

        Raises
        ------
        FoilwrightError
            What the job has to say against what it was given.
        """
        async with self._turn:
            process = self._process
            if process is None or process.returncode is not None:
                process = self._process = await asyncio.create_subprocess_exec(
                    sys.executable, "-m", __name__, stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE,
                    limit=2**26,
                    start_new_session=True,
                )  # fmt: skip
            if process.stdin is None or process.stdout is None:
                raise PlaceError("the process that works in the background has no way in or out")
            try:
                process.stdin.write(_framed((job, given)))
                await process.stdin.drain()
                while True:
                    (size,) = FRAME.unpack(await process.stdout.readexactly(FRAME.size))
                    kind, value = pickle.loads(await process.stdout.readexactly(size))  # noqa: S301 - our own process
                    if kind == "done":
                        return value
                    if kind == "wrong":
                        raise FoilwrightError(value)
                    if told is not None:
                        told(value)
            except (asyncio.IncompleteReadError, BrokenPipeError, ConnectionResetError):
                _end(process)
                self._process = None
                raise FoilwrightError(
                    "the process that works in the background was ended; it is started anew"
                ) from None
            except asyncio.CancelledError:
                self.end()
                raise

    def end(self) -> None:
        """End the process and what it is doing."""
        if self._process is not None and self._process.returncode is None:
            _end(self._process)
        self._process = None


def _end(process: asyncio.subprocess.Process) -> None:
    """End a process with all that it has begun."""
    try:
        if hasattr(os, "killpg"):
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    except ProcessLookupError:
        return


def _framed(value: Any) -> bytes:
    body = pickle.dumps(value)
    return FRAME.pack(len(body)) + body


def _ways(build: Any, tell: Told) -> Any:  # noqa: ARG001
    from foilwright.questions.ask import ask  # noqa: PLC0415
    from foilwright.study import ways  # noqa: PLC0415

    return ways.find(ask(build))


def _cure(build: Any, changes: Any, question: str, tell: Told) -> Any:  # noqa: ARG001
    from foilwright.study.ways.fewest import fewest  # noqa: PLC0415

    return fewest(build, changes, question)


def _spread(build: Any, samples: int, tell: Told) -> Any:  # noqa: ARG001
    from foilwright.study.spread import spread  # noqa: PLC0415

    return spread(build, samples=samples)


def _cards(build: Any, tell: Told) -> Any:  # noqa: ARG001
    from foilwright.parts.ready import cards  # noqa: PLC0415

    return cards(build)


def _evidence(tell: Told) -> Any:  # noqa: ARG001
    from foilwright.study import evidence  # noqa: PLC0415

    return evidence.run()


def _drawing(build: Any, name: str, tell: Told) -> str:  # noqa: ARG001
    """Return one of the plots as a drawing (SVG)."""
    import io  # noqa: PLC0415

    import matplotlib as mpl  # noqa: PLC0415

    from foilwright.questions.ask import ask  # noqa: PLC0415
    from foilwright.study import plots  # noqa: PLC0415

    drawn = io.StringIO()
    with mpl.rc_context({**plots.STYLE, "svg.fonttype": "none"}):
        plots.PLOTS[name](ask(build)).savefig(drawn, format="svg", metadata={"Date": None})
    return drawn.getvalue()


def _explore(build: Any, given: dict[str, Any], tell: Told) -> Any:
    from foilwright.page.exploring import explored  # noqa: PLC0415

    return explored(build, **given, tell=tell)


def _learn(build: Any, folder: Any, names: Any, tell: Told) -> Any:
    from foilwright.page.water import learned  # noqa: PLC0415

    return learned(build, folder, names, tell)


def _checked(build: Any, path: Any, tell: Told) -> str:
    from foilwright.page.water import checked  # noqa: PLC0415

    return checked(build, path, tell)


def _history(folder: Any, tell: Told) -> Any:
    from foilwright.page.past import told  # noqa: PLC0415

    return told(folder, tell)


def _parts(build: Any, folder: Any, tell: Told) -> None:
    from foilwright.page.workshop import made  # noqa: PLC0415

    made(build, folder, tell)


JOBS: dict[str, Callable[..., Any]] = {
    "ways": _ways, "cure": _cure, "spread": _spread, "cards": _cards, "evidence": _evidence, "drawing": _drawing,
    "explore": _explore, "learn": _learn, "checked": _checked, "history": _history, "parts": _parts,
}  # fmt: skip


def _serve(come: BinaryIO, go: BinaryIO) -> None:
    """Do jobs until there are no more."""

    def say(kind: str, value: Any) -> None:
        go.write(_framed((kind, value)))
        go.flush()

    while head := come.read(FRAME.size):
        job, given = pickle.loads(come.read(FRAME.unpack(head)[0]))  # noqa: S301 - our own process
        try:
            say("done", JOBS[job](*given, tell=lambda value: say("told", value)))
        except FoilwrightError as error:
            say("wrong", str(error))
        except (ArithmeticError, LookupError, OSError, TypeError, ValueError) as error:
            traceback.print_exc()
            say("wrong", f"the program failed at this ({type(error).__name__}); the terminal says where")


if __name__ == "__main__":
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    if hasattr(os, "nice"):
        os.nice(LATER)
    try:
        _serve(sys.stdin.buffer, out)
    except (KeyboardInterrupt, BrokenPipeError):
        sys.exit(0)
