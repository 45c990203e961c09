"""The page in a browser: an edited number to its answer on the screen, loading, ten windows, memory over many edits."""

from __future__ import annotations

import importlib.util
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import clock

EDITS, WINDOWS = 60, 10
FIRST, PIECE, MANY = 100, 300, 1000
"""Edits before the first look at the memory, between looks, and in all."""
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update",
             "--disable-sync", "--no-first-run"]  # fmt: skip
SCENARIOS = Path(__file__).parents[1] / "src" / "foilwright" / "data" / "scenarios"
EDIT = """([path, value]) => new Promise((done, failed) => {
  const field = document.querySelector(`[data-do=edit][data-path="${path}"]`);
  const said = document.querySelector("li.finding[data-key='rise.thrust'] .said");
  const before = said.textContent, start = performance.now();
  const timer = setTimeout(() => failed("no answer"), 20000);
  new MutationObserver((_, seen) => {
    if (said.textContent === before) return;
    seen.disconnect();
    clearTimeout(timer);
    requestAnimationFrame(() => setTimeout(() => done(performance.now() - start)));
  }).observe(said, { characterData: true, subtree: true, childList: true });
  field.focus();
  field.value = value;
  field.dispatchEvent(new Event("change", { bubbles: true }));
})"""
"""Gives a field anew; comes back with the time until another answer has been painted [ms]."""


def _here() -> bool:
    return all(importlib.util.find_spec(each) for each in ("nicegui", "playwright")) and bool(shutil.which("chromium"))


@contextmanager
def _served() -> Iterator[tuple[str, int]]:
    with tempfile.TemporaryDirectory() as folder:
        for number in range(WINDOWS):
            shutil.copy(SCENARIOS / "lake.toml", Path(folder) / f"lake{number}.toml")
        command = [sys.executable, "-m", "foilwright", "page", f"{folder}/lake0.toml", "--port", "0", "--no-browser"]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        try:
            yield next(line.split()[-1].rstrip("/") for line in process.stdout or () if "http" in line), process.pid
        finally:
            process.terminate()
            process.wait(10)


@contextmanager
def _browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright  # noqa: PLC0415

    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=shutil.which("chromium"), args=ARGUMENTS)
        yield browser
        browser.close()


def _opened(browser: Any, address: str) -> Any:
    page = browser.new_page(viewport={"width": 1600, "height": 1000})
    page.goto(address)
    page.wait_for_selector(".held .what")
    page.click("nav[aria-label=Questions] button[data-question=rise]")
    page.click("nav[aria-label=Parts] button[data-part=rider]")
    page.wait_for_selector("#f-rider-mass")
    page.wait_for_selector("li.finding[data-key='rise.thrust']")
    return page


def _edits(page: Any, count: int, first: int = 0) -> list[float]:
    times = []
    page.bring_to_front()
    for number in range(first, first + count):
        times.append(1e-3 * page.evaluate(EDIT, ["rider.mass", f"{70 + (number * 7) % 31}"]))
        page.wait_for_timeout(40)
    return times


def _none(name: str) -> clock.Timing:
    return clock.Timing(name=f"{name} (not installed)", seconds=0.0)


def edit_to_answer() -> clock.Timing:
    """Time an edited number until its answer is painted; 95th percentile and the server's own work are in the name."""
    if not _here():
        return _none("page: edit to answer")
    with _served() as (address, process), _browser() as browser:
        page = _opened(browser, f"{address}/build/lake0.toml")
        _edits(page, 5)
        before = _worked(process)
        times = _edits(page, EDITS)
        worked = (_worked(process) - before) / EDITS
    name = f"page: edit to answer ({_late(times)}; {1e3 * worked:.0f} ms of work an edit)"
    return clock.Timing(name=name, seconds=statistics.median(times), most_seconds=0.300)


def _late(times: list[float]) -> str:
    """Return the 95th percentile, and how busy the machine is: others slow it down too."""
    late = statistics.quantiles(times, n=20)[-1]
    return f"95 %: {1e3 * late:.0f} of 600 ms; load {os.getloadavg()[0]:.1f} on {os.cpu_count()}"


def load_to_answers() -> clock.Timing:
    """Time opening a build until its answers are there."""
    if not _here():
        return _none("page: load to first answers")
    with _served() as (address, _), _browser() as browser:
        times = []
        for number in range(4):
            page = browser.new_page()
            start = time.perf_counter()
            page.goto(f"{address}/build/lake{number}.toml")
            page.wait_for_selector(".held .what")
            times.append(time.perf_counter() - start)
            page.close()
    return clock.Timing(name="page: load to first answers", seconds=statistics.median(times), most_seconds=2.0)


def ten_windows() -> clock.Timing:
    """Time an edit while nine other windows on other builds are edited in turn."""
    if not _here():
        return _none("page: ten windows")
    with _served() as (address, _), _browser() as browser:
        pages = [_opened(browser, f"{address}/build/lake{number}.toml") for number in range(WINDOWS)]
        times = [value for turn in range(3) for page in pages for value in _edits(page, 1, turn)]
    name = f"page: edit among {WINDOWS} windows ({_late(times)})"
    return clock.Timing(name=name, seconds=statistics.median(times), most_seconds=0.600)


def memory() -> clock.Timing:
    """Tell how large server and window are along a thousand edits: the server in MB, the window's heap and nodes."""
    if not _here():
        return _none("page: memory")
    told = []
    with _served() as (address, process), _browser() as browser:
        page = _opened(browser, f"{address}/build/lake0.toml")
        _edits(page, FIRST)
        told.append(_held(page, process))
        start = time.perf_counter()
        for first in range(FIRST, MANY, PIECE):
            _edits(page, PIECE, first)
            told.append(_held(page, process))
        took = time.perf_counter() - start
    columns = zip(("server MB", "window MB", "nodes"), zip(*told, strict=True), strict=True)
    grown = "; ".join(f"{name} {', '.join(f'{each:.0f}' for each in values)}" for name, values in columns)
    return clock.Timing(name=f"page: {MANY} edits: {grown}", seconds=took / (MANY - FIRST))


def _held(page: Any, process: int) -> tuple[float, float, float]:
    """Return what the server holds [MB], what the window holds [MB], and its nodes, once what is unused is let go."""
    asked = page.context.new_cdp_session(page)
    asked.send("HeapProfiler.collectGarbage")
    heap = asked.send("Runtime.getHeapUsage")["usedSize"] / 2**20
    nodes = asked.send("Memory.getDOMCounters")["nodes"]
    asked.detach()
    return _resident(process), heap, nodes


def _resident(process: int) -> float:
    lines = Path(f"/proc/{process}/status").read_text(encoding="ascii").splitlines()
    return next(float(line.split()[1]) for line in lines if line.startswith("VmRSS")) / 1024.0


def _worked(process: int) -> float:
    """Return how long a process has worked [s], whatever else the machine did meanwhile."""
    parts = Path(f"/proc/{process}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(parts[11]) + int(parts[12])) / os.sysconf("SC_CLK_TCK")


BENCHMARKS = (edit_to_answer, load_to_answers, ten_windows)
LONG = (memory,)
"""Takes minutes: run where its name is given."""
