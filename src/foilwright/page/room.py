"""One open build with what is worked out about it in the background, shared by every window that shows it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import Any

from foilwright.core.errors import FoilwrightError
from foilwright.page.background import Worker
from foilwright.page.desk import Desk
from foilwright.page.past import Past
from foilwright.page.water import Water, kind_of
from foilwright.page.workshop import Workshop
from foilwright.questions.way import WaysOut

KEPT = 6
"""Versions of the build of which results are kept."""
CALM = 0.35
"""How long nothing must change before ways out are sought [s]."""


class Room:
    """A desk, its background results, each with the version of the build to which it belongs."""

    def __init__(self, desk: Desk, seeker: Worker, helper: Worker) -> None:
        self.desk, self._seeker, self._helper = desk, seeker, helper
        self.wrong: dict[str, str] = {}
        self._found: dict[str, dict[str, Any]] = {}
        self._running: dict[str, asyncio.Task[None]] = {}
        self._listeners: list[Callable[[], None]] = []
        self.shop = Workshop(desk.path, self.stir)
        self.water = Water(self.stir)
        self.past = Past(desk.path.parent, self.stir)

    def stir(self) -> None:
        """Have every window show the build anew."""
        for call in list(self._listeners):
            call()

    def listen(self, call: Callable[[], None]) -> Callable[[], None]:
        """Call back when the build changes or something is found; return what ends it."""
        end = self.desk.watch(call)
        self._listeners.append(call)

        def stop() -> None:
            end()
            if call in self._listeners:
                self._listeners.remove(call)

        return stop

    def found(self, job: str) -> Any:
        """Return what was found about the build as it is now; none where it is not known yet."""
        return self._found.get(job, {}).get(self.desk.build.hash)

    def _keep(self, name: str, version: str, value: Any) -> None:
        """Keep what was found about the last few versions: undo brings one back."""
        kept = self._found.setdefault(name, {})
        kept[version] = value
        while len(kept) > KEPT:
            del kept[next(iter(kept))]

    def ways(self) -> WaysOut | None:
        """Return the ways out of the build as it is now, if they are known."""
        found: WaysOut | None = self.found("ways")
        return found

    def looking(self, job: str) -> bool:
        """Say whether a job is under way."""
        return job in self._running

    def want(self, job: str, *given: Any, calm: float = 0.0, name: str = "") -> None:
        """Have a job done about the build as it is now; asked again meanwhile, it is done for the latest."""
        name = name or job
        version = self.desk.build.hash
        if version in self._found.get(name, {}) or name in self._running:
            return
        self._running[name] = asyncio.get_running_loop().create_task(self._do(name, job, given, calm))

    async def _do(self, name: str, job: str, given: tuple[Any, ...], calm: float) -> None:
        try:
            while True:
                version = self.desk.build.hash
                await asyncio.sleep(calm)
                if calm and version != self.desk.build.hash:
                    continue
                build = self.desk.build
                if build.hash in self._found.get(name, {}):
                    break
                worker = self._seeker if job == "ways" else self._helper
                value = await worker.run(job, build, *given)
                self._keep(name, build.hash, value)
                self.wrong.pop(name, None)
                if build.hash == self.desk.build.hash or not calm:
                    break
        except FoilwrightError as error:
            self.wrong[name] = str(error)
            self._keep(name, self.desk.build.hash, None)
        finally:
            self._running.pop(name, None)
            self.stir()


class House:
    """The folder that the page works in, its open builds, and the processes that work for all of them.

    One seeks ways out, one fills in cards, draws, reads days back and asks likely versions, one searches, one makes
    parts: none waits for another.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.seeker, self.helper, self.explorer, self.maker = Worker(), Worker(), Worker(), Worker()
        self.rooms: dict[Path, Room] = {}
        self.evidence: Any = None

    def builds(self) -> list[Path]:
        """Return the build files of the folder; session sheets and header files of logs are none."""
        there = sorted(path for path in self.folder.glob("*.toml") if path.is_file() and not path.name.startswith("."))
        return [path for path in there if kind_of(path) == "build"]

    def room(self, name: str) -> Room | None:
        """Return the room of a build in the folder; none where there is no such file.

        A name that would lead elsewhere is no name of a file here.
        """
        place = next((path for path in self.builds() if path.name == name), None)
        if place is None:
            return None
        if place not in self.rooms:
            self.rooms[place] = Room(Desk(place), self.seeker, self.helper)
        return self.rooms[place]

    def end(self) -> None:
        """End the processes in the background."""
        for worker in (self.seeker, self.helper, self.explorer, self.maker):
            worker.end()
