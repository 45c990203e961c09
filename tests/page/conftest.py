"""The page, served by a process of its own and seen by a real browser that may not ask any other host."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request, expect, sync_playwright

from foilwright.core.data import folder

expect.set_options(timeout=20_000)
ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--no-first-run",
]  # fmt: skip


@dataclass(slots=True)
class Served:
    """A page that is served: its folder, its address, its process."""

    folder: Path
    address: str
    process: subprocess.Popen[str]
    told: list[str] = field(default_factory=list)

    def kill(self) -> None:
        """End the process at once, as a power cut would."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait(10)


def serve(place: Path, *arguments: str) -> Served:
    """Serve the page for a folder, on a free port."""
    command = [sys.executable, "-m", "foilwright", "page", *arguments, "--no-browser"]
    if "--port" not in arguments:
        command += ["--port", "0"]
    process = subprocess.Popen(
        command, cwd=place, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env={**os.environ}
    )
    told: list[str] = []
    for line in process.stdout or ():
        told.append(line)
        if "http://" in line:
            return Served(place, line.split()[-1].rstrip("/"), process, told)
    raise AssertionError(f"the page was not served: {told}")


def end(served: Served) -> None:
    """End a process that was served."""
    served.process.terminate()
    try:
        served.process.wait(10)
    finally:
        if served.process.stdout is not None:
            served.process.stdout.close()


def copied(place: Path, *names: str) -> Path:
    """Copy scenarios into a folder."""
    for name in names:
        shutil.copy(folder() / "scenarios" / f"{name}.toml", place / f"{name}.toml")
    return place


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Debian's Chromium; its driver leaves no thread behind for tests that fork."""
    there = shutil.which("chromium")
    if there is None:
        pytest.fail("there is no chromium: the page is tested in a real browser; install it (requirements/apt.txt)")
    with sync_playwright() as player:
        started = player.chromium.launch(executable_path=there, args=ARGUMENTS)
        yield started
        started.close()


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One served folder for the tests that change different builds in it."""
    place = copied(tmp_path_factory.mktemp("builds"), "lake", "first-try", "sea", "trainer")
    for number in range(8):
        shutil.copy(place / "lake.toml", place / f"lake{number}.toml")
    served = serve(place)
    yield served
    end(served)


@dataclass(slots=True)
class Watch:
    """What a window said and asked for."""

    errors: list[str] = field(default_factory=list)
    foreign: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Windows:
    """Opens windows; each is watched."""

    context: BrowserContext
    watch: Watch

    def open(self, address: str, *, wait: str = ".held .what", wide: int = 1280, high: int = 900) -> Page:
        """Open a window and wait until something is there."""
        page = self.context.new_page()
        page.set_viewport_size({"width": wide, "height": high})
        page.set_default_timeout(30_000)
        host = urlsplit(address).netloc

        def heard(message: ConsoleMessage) -> None:
            if message.type in ("error", "warning"):
                self.watch.errors.append(message.text)

        def asked(request: Request) -> None:
            parts = urlsplit(request.url)
            if parts.scheme in ("http", "https", "ws", "wss") and parts.netloc != host:
                self.watch.foreign.append(request.url)

        page.on("console", heard)
        page.on("pageerror", lambda error: self.watch.errors.append(str(error)))
        page.on("request", asked)
        page.goto(address)
        if wait:
            page.wait_for_selector(wait)
        return page


@pytest.fixture
def windows(browser: Browser) -> Iterator[Windows]:
    """Windows that must say nothing wrong and ask no other host."""
    context = browser.new_context()
    watch = Watch()
    yield Windows(context, watch)
    context.close()
    assert not watch.foreign
    assert not watch.errors
