"""Write pictures of every screen of the page, at three widths, light and dark, to be looked at.

Run as ``python scripts/screens.py [FOLDER]`` (default: build/screens, not kept); ``--build=lake``, ``--width=360``,
``--shade=dark`` and ``--only=SCREEN`` ask for some of them, each as often as one likes. ``--docs`` writes the few small
pictures that the documentation shows instead. Needs the extra ``page``, playwright, and Debian's chromium.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Error, Page, sync_playwright

HOME = Path(__file__).parents[1]
WIDTHS = {360: 760, 1280: 800, 1920: 1080}
WIDTHS_OF_ALL = 1500
"""From here on inputs, answers and the craft stand side by side."""
BUILDS = ("first-try", "lake")
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


def _sight(page: Page, name: str, speed: float = 0.0) -> None:
    """Show the craft from one side, at a share of its top speed."""
    if page.viewport_size and page.viewport_size["width"] < WIDTHS_OF_ALL:
        _view(page, "ask")
    page.click(f"button[data-do=sight][data-value={name}]")
    slider = page.locator("#speed")
    if slider.count():
        slider.evaluate(
            "(each, share) => { each.value = share * each.max; "
            "each.dispatchEvent(new Event('input', { bubbles: true })); }",
            speed,
        )
    page.wait_for_timeout(600)


def _tab(page: Page, name: str) -> None:
    _view(page, "change")
    page.click(f"button[data-tab={name}]")
    page.wait_for_timeout(500)


def _ask(page: Page) -> None:
    _view(page, "ask")
    page.click("nav[aria-label=Questions] button[data-question=rise]")
    page.wait_for_selector(".held .out:not([aria-busy])", timeout=240_000)
    page.wait_for_timeout(800)


def _finding(page: Page) -> None:
    _ask(page)
    page.click(".finding .head >> nth=0")
    page.wait_for_timeout(400)


def _pointed(page: Page) -> None:
    _sight(page, "side", 0.5)
    page.focus(".piece[data-about=wing]")
    page.wait_for_timeout(200)


def _flight(page: Page) -> None:
    _sight(page, "side", 0.8)
    page.locator("svg.craft").scroll_into_view_if_needed()


def _change(page: Page) -> None:
    _tab(page, "inputs")
    page.click("nav[aria-label=Parts] button[data-part=wing]")
    page.wait_for_timeout(300)


def _wrong(page: Page) -> None:
    _tab(page, "inputs")
    page.click("nav[aria-label=Parts] button[data-part=rider]")
    for value in ("12 m", "95"):
        page.fill("#f-rider-mass", value)
        page.keyboard.press("Enter")
        page.wait_for_timeout(900)
        if value == "12 m":
            page.fill("#f-rider-height", "99 kg")
            page.keyboard.press("Enter")
    page.wait_for_timeout(300)


def _make(page: Page) -> None:
    _view(page, "make")
    page.click("button[data-do=drawing][data-value=wiring]")
    page.wait_for_selector(".plate svg", timeout=240_000)
    page.wait_for_timeout(300)


def _card(page: Page, name: str) -> None:
    _view(page, "try")
    page.wait_for_selector(".sheet", timeout=240_000)
    page.click(f".index button[data-value={name}]")
    page.wait_for_timeout(300)


def _lesson(page: Page, name: str) -> None:
    _view(page, "learn")
    page.click(f".learn button[data-do=lesson][data-value={name}]")
    page.wait_for_timeout(300)


def _water(page: Page) -> None:
    _lesson(page, "water")
    days = HOME / "src" / "foilwright" / "data" / "trials" / "first-try"
    if not page.locator(".reading").count():
        page.set_input_files("#days", [days / "day-1.gpx", days / "day-1.toml"])
        page.wait_for_selector(".toast p >> text=day-1.toml")
        page.click(".toast button")
        page.click("button[data-do=days]")
        page.wait_for_selector(".reading", timeout=240_000)
    page.locator(".reading").scroll_into_view_if_needed()
    page.wait_for_timeout(300)


def _past(page: Page) -> None:
    _lesson(page, "past")
    page.wait_for_selector(".times", timeout=240_000)
    page.wait_for_timeout(300)


def _parts(page: Page) -> None:
    _view(page, "make")
    page.click("button[data-do=drawing][data-value=parts]")
    if not page.locator(".thing").count():
        page.click("button[data-do=parts]")
        page.wait_for_selector(".thing >> text=Report", timeout=600_000)
        page.wait_for_selector("button[data-do=parts]", timeout=600_000)
    page.wait_for_timeout(600)


def _learn(page: Page) -> None:
    _lesson(page, "sure")
    if page.locator(".learn button[data-do=spread]").count():
        page.click(".learn button[data-do=spread]")
    page.wait_for_function("document.querySelector('.learn h4, .learn table')", timeout=240_000)
    page.wait_for_timeout(300)


def _search(page: Page) -> None:
    _lesson(page, "search")
    page.select_option("#where", "any")
    page.select_option("#count", index=0)
    page.click("button[data-do=search]")
    page.wait_for_selector(".learn .cloud", timeout=240_000)
    page.locator(".learn .cloud").scroll_into_view_if_needed()
    page.wait_for_timeout(300)


def _evidence(page: Page) -> None:
    _lesson(page, "checks")
    if page.locator("button[data-do=evidence]").count():
        page.click("button[data-do=evidence]")
    page.wait_for_function("document.querySelectorAll('.learn table').length > 1", timeout=240_000)
    page.locator(".learn table >> nth=-1").scroll_into_view_if_needed()
    page.wait_for_timeout(300)


def _conflict(page: Page, place: Path) -> None:
    """Change the file under the page's hands."""
    text = place.read_text(encoding="utf-8")
    place.write_text(f"{text}\n# by another hand\n", encoding="utf-8")
    _view(page, "ask")
    page.wait_for_selector("[role=alert]")
    page.evaluate("scrollTo(0, 0)")
    page.wait_for_timeout(300)


def _settled(page: Page) -> None:
    page.click("button[data-do=settle][data-value=file]")
    page.wait_for_selector("[role=alert]", state="detached")


SCREENS: dict[str, Callable[[Page], None]] = {
    "ask": _ask, "finding": _finding, "flight": _flight, "pointed": _pointed,
    "top": lambda page: _sight(page, "top"), "front": lambda page: _sight(page, "front", 0.8),
    "turn": lambda page: _sight(page, "turn"), "change": _change, "ways": lambda page: _tab(page, "ways"),
    "parts": _parts, "make": _make, "water": _water, "past": _past,
    "try": lambda page: _card(page, "launch"), "readings": lambda page: _card(page, "weigh"),
    "learn": _learn, "search": _search, "evidence": _evidence, "wrong": _wrong,
    "compare": lambda page: _tab(page, "compare"),
}  # fmt: skip
"""What is done to show each screen, in this order; a narrow window shows one column at a time."""


def pictures(browser: Browser, address: str) -> None:
    """Write the pictures of the documentation; the small one is the same window at half its size."""
    for name, scale in (("page-ask", 1.0), ("page-small", 0.55)):
        page = browser.new_page(
            viewport={"width": 1600, "height": 1000}, color_scheme="light", device_scale_factor=scale
        )
        page.goto(f"{address}/build/first-try.toml")
        page.wait_for_selector(".held .what")
        _ask(page)
        _sight(page, "side", 0.45)
        page.wait_for_selector(".chart .main-svg")
        page.wait_for_timeout(1500)
        page.screenshot(path=HOME / "docs" / "pictures" / f"{name}.png")
        page.close()


def shown(
    browser: Browser, address: str, folder: Path, out: Path, build: str, wide: int, shade: str, only: list[str]
) -> None:
    """Write the pictures of one build at one width and in one shade; say which screens could not be shown."""
    page = browser.new_page(viewport={"width": wide, "height": WIDTHS[wide]}, color_scheme=shade)  # type: ignore[arg-type]
    page.set_default_timeout(15_000)
    page.on("console", lambda message: print(message.type, message.text))
    page.on("pageerror", lambda error: print("page error", error))
    page.goto(f"{address}/start")
    page.wait_for_selector(".start header")
    page.screenshot(path=out / f"start-{wide}-{shade}.png")
    page.goto(f"{address}/build/{build}.toml")
    page.wait_for_selector(".held .what")
    steps = {**SCREENS, "conflict": lambda page: _conflict(page, folder / f"{build}.toml")}
    for name, go in steps.items():
        if only and name not in only and not (name == "wrong" and "conflict" in only):
            continue
        try:
            go(page)
        except Error as error:
            print(f"{build}, {name}, {wide}, {shade}: not shown: {str(error).splitlines()[0]}")
            continue
        whole = wide < WIDTHS_OF_ALL and name not in ("conflict", "wrong")
        page.screenshot(path=out / f"{build}-{name}-{wide}-{shade}.png", full_page=whole)
        if name == "conflict":
            _settled(page)
    page.close()


def _given(arguments: list[str], name: str) -> list[str]:
    return [each.removeprefix(f"--{name}=") for each in arguments if each.startswith(f"--{name}=")]


def main(arguments: list[str]) -> None:
    """Write the pictures."""
    out = Path(next((each for each in arguments if not each.startswith("-")), str(HOME / "build" / "screens")))
    widths = [int(each) for each in _given(arguments, "width")] or list(WIDTHS)
    shades = _given(arguments, "shade") or ["light", "dark"]
    builds = _given(arguments, "build") or list(BUILDS)
    out.mkdir(parents=True, exist_ok=True)
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        address = stack.enter_context(served(folder, "first-try.toml"))
        player = stack.enter_context(sync_playwright())
        browser = player.chromium.launch(executable_path=shutil.which("chromium"), args=ARGUMENTS)
        if "--docs" in arguments:
            pictures(browser, address)
        else:
            for build in builds:
                for wide in widths:
                    for shade in shades:
                        shown(browser, address, folder, out, build, wide, shade, _given(arguments, "only"))
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1:])
