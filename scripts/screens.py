"""Write pictures of every screen of the page, at three widths, light and dark, to be looked at.

Run as ``python scripts/screens.py [FOLDER]`` (default: build/screens, not kept). ``--docs`` writes the few
small pictures that the documentation shows instead. Needs the extra ``page``, playwright, and Debian's chromium.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

HOME = Path(__file__).parents[1]
WIDTHS = {360: 760, 1024: 800, 1920: 1080}
ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--no-first-run",
]  # fmt: skip


@contextmanager
def served(folder: Path, build: str) -> Iterator[str]:
    """Serve the page for a folder with copies of the scenarios; yield its address."""
    for path in (HOME / "src" / "foilwright" / "data" / "scenarios").glob("*.toml"):
        shutil.copy(path, folder)
    command = [sys.executable, "-m", "foilwright", "page", str(folder / build), "--port", "0", "--no-browser"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)  # noqa: S603
    try:
        address = next(line.split()[-1] for line in process.stdout or () if "http" in line)
        yield address.rstrip("/")
    finally:
        process.terminate()
        process.wait(10)


def _view(page: Page, name: str) -> None:
    page.click(f"nav.loop button[data-view={name}]")
    page.wait_for_timeout(400)


def _ask(page: Page) -> None:
    _view(page, "ask")
    page.click("nav[aria-label=Questions] button[data-question=rise]")
    page.wait_for_selector(".held button[data-do=together], .held .out:not([aria-busy])", timeout=240_000)
    page.wait_for_timeout(800)


def _finding(page: Page) -> None:
    _ask(page)
    page.click(".finding .head >> nth=0")
    page.wait_for_timeout(400)


def _change(page: Page) -> None:
    _view(page, "change")
    page.click("button[data-tab=inputs]")
    page.wait_for_timeout(300)


def _ways(page: Page) -> None:
    _view(page, "change")
    page.click("button[data-tab=ways]")
    page.wait_for_timeout(600)


def _front(page: Page) -> None:
    _view(page, "ask")
    page.click("button[data-do=sight][data-value=front]")
    page.wait_for_timeout(300)


def _top(page: Page) -> None:
    page.click("button[data-do=sight][data-value=top]")
    page.wait_for_timeout(300)


def _turn(page: Page) -> None:
    page.click("button[data-do=sight][data-value=turn]")
    page.wait_for_timeout(500)


def _make(page: Page) -> None:
    page.click("button[data-do=sight][data-value=side]")
    _view(page, "make")
    page.click("button[data-do=drawing][data-value=wiring]")
    page.wait_for_selector(".plate svg", timeout=240_000)
    page.wait_for_timeout(300)


def _try(page: Page) -> None:
    _view(page, "try")
    page.wait_for_selector(".sheet", timeout=240_000)
    page.click(".index button[data-value=launch]")
    page.wait_for_timeout(300)


def _learn(page: Page) -> None:
    _view(page, "learn")
    if page.locator(".learn button[data-do=spread]").count():
        page.click(".learn button[data-do=spread]")
    page.wait_for_function("document.querySelector('.learn h4, .learn table')", timeout=240_000)
    page.wait_for_timeout(300)


SCREENS: dict[str, Callable[[Page], None]] = {
    "ask": _ask, "finding": _finding, "change": _change, "ways": _ways, "front": _front, "top": _top, "turn": _turn,
    "make": _make, "try": _try, "learn": _learn,
}  # fmt: skip


def pictures(browser: Browser, address: str) -> None:
    """Write the pictures of the documentation; the small one is the same window at half its size."""
    out = HOME / "docs" / "pictures"
    page = browser.new_page(viewport={"width": 1600, "height": 1000}, color_scheme="light")
    page.goto(f"{address}/build/first-try.toml")
    page.wait_for_selector(".held .what")
    _ask(page)
    page.screenshot(path=out / "page-ask.png")
    page = browser.new_page(viewport=page.viewport_size, color_scheme="light", device_scale_factor=0.55)
    page.goto(f"{address}/build/first-try.toml")
    page.wait_for_selector(".held .what")
    _ask(page)
    page.screenshot(path=out / "page-small.png")


def main(arguments: list[str]) -> None:
    """Write the pictures."""
    out = Path(next((each for each in arguments if not each.startswith("-")), str(HOME / "build" / "screens")))
    only = [each.removeprefix("--only=") for each in arguments if each.startswith("--only=")]
    widths = [int(each.removeprefix("--width=")) for each in arguments if each.startswith("--width=")] or list(WIDTHS)
    shades = [each.removeprefix("--shade=") for each in arguments if each.startswith("--shade=")] or ["light", "dark"]
    out.mkdir(parents=True, exist_ok=True)
    with ExitStack() as stack:
        folder = stack.enter_context(tempfile.TemporaryDirectory())
        address = stack.enter_context(served(Path(folder), "first-try.toml"))
        with sync_playwright() as player:
            browser = player.chromium.launch(executable_path=shutil.which("chromium"), args=ARGUMENTS)
            if "--docs" in arguments:
                pictures(browser, address)
                browser.close()
                return
            for wide in widths:
                for shade in shades:
                    page = browser.new_page(viewport={"width": wide, "height": WIDTHS[wide]}, color_scheme=shade)  # type: ignore[arg-type]
                    page.on("console", lambda message: print(message.type, message.text))
                    page.on("pageerror", lambda error: print("page error", error))
                    page.goto(f"{address}/start")
                    page.wait_for_selector(".start header")
                    page.screenshot(path=out / f"start-{wide}-{shade}.png")
                    page.goto(f"{address}/build/first-try.toml")
                    page.wait_for_selector(".held")
                    for name, go in SCREENS.items():
                        if only and name not in only:
                            continue
                        go(page)
                        page.screenshot(path=out / f"{name}-{wide}-{shade}.png", full_page=wide == 360)
                    page.close()
            browser.close()


if __name__ == "__main__":
    main(sys.argv[1:])
