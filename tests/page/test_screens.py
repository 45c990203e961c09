"""Every screen, wide and narrow, light and dark: no error, no foreign request, no serious barrier, nothing cut off."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from conftest import Served, Windows

MOVED = """() => {
  globalThis.moved = 0;
  new PerformanceObserver((list) => {
    for (const each of list.getEntries()) if (!each.hadRecentInput) globalThis.moved += each.value;
  }).observe({ type: "layout-shift", buffered: false });
}"""
SCREENS: dict[str, Callable[[Page], None]] = {}


def _screen(show: Callable[[Page], None]) -> Callable[[Page], None]:
    SCREENS[show.__name__] = show
    return show


def _view(page: Page, name: str) -> None:
    page.click(f"nav.loop button[data-view={name}]")


@_screen
def ask(page: Page) -> None:
    _view(page, "ask")
    page.click("nav[aria-label=Questions] button[data-question=fly]")
    page.click(".finding .head >> nth=0")
    page.wait_for_selector(".reasons")
    page.wait_for_selector(".chart .main-svg >> nth=0")
    page.focus("#speed")
    page.keyboard.press("End")


@_screen
def front(page: Page) -> None:
    page.click("button[data-do=sight][data-value=front]")
    page.click("button[data-do=sight][data-value=turn]")
    page.wait_for_selector("canvas")


@_screen
def change(page: Page) -> None:
    _view(page, "change")
    page.click("nav[aria-label=Parts] button[data-part=radio]")
    page.fill("#f-radio-distance", "nothing")
    page.keyboard.press("Enter")
    page.wait_for_selector("#f-radio-distance-wrong")


@_screen
def ways(page: Page) -> None:
    page.click("button[data-tab=ways]")
    page.wait_for_selector(".for-ways h2")


@_screen
def compare(page: Page) -> None:
    page.click("button[data-tab=inputs]")
    page.click("nav[aria-label=Parts] button[data-part=rider]")
    page.fill("#f-rider-mass", "99")
    page.keyboard.press("Enter")
    page.click("button[data-tab=compare]")
    page.wait_for_selector(".for-compare table")


@_screen
def make(page: Page) -> None:
    _view(page, "make")
    page.click("button[data-do=drawing][data-value=wiring]")
    page.wait_for_selector("pre")
    page.wait_for_selector(".plate svg", timeout=60_000)


@_screen
def trying(page: Page) -> None:
    _view(page, "try")
    page.wait_for_selector(".sheet", timeout=60_000)
    page.click(".index button[data-value=launch]")
    page.check(".check input >> nth=0")
    page.wait_for_selector(".check input:checked")
    page.fill("#note", "calm, 14 degrees")
    page.click(".index button[data-value=weigh]")
    page.wait_for_selector(".sheet table input")


@_screen
def learn(page: Page) -> None:
    _view(page, "learn")
    page.wait_for_selector(".learn h2")


def _barriers(page: Page, axe: Axe) -> list[str]:
    found = axe.run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}).response
    return [
        f"{each['id']}: {node['target']} {node['html'][:120]} {node.get('failureSummary', '')[:200]}"
        for each in found["violations"]
        if each["impact"] in ("serious", "critical")
        for node in each["nodes"]
    ]


@pytest.mark.parametrize(("wide", "shade"), [(360, "light"), (1100, "dark"), (1920, "light")])
def test_every_screen(shared: Served, windows: Windows, wide: int, shade: str) -> None:
    page = windows.open(f"{shared.address}/start", wait=".builds", wide=wide)
    page.emulate_media(color_scheme=shade)  # type: ignore[arg-type]
    axe = Axe()
    assert not _barriers(page, axe)
    page.goto(f"{shared.address}/build/trainer.toml")
    page.wait_for_selector(".held .what")
    told = []
    for name, show in SCREENS.items():
        show(page)
        page.wait_for_timeout(150)
        told += [f"{name}: {each}" for each in _barriers(page, axe)]
        across = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if across > 0:
            told.append(f"{name}: {across} px wider than the window")
    assert not told, "\n".join(told)


def test_ticks_and_notes_are_kept(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/sea.toml", wide=360, high=740)
    _view(page, "try")
    page.wait_for_selector(".sheet", timeout=60_000)
    page.click(".index button[data-value=launch]")
    page.click(".check >> nth=1")
    page.wait_for_selector(".check input:checked")
    page.fill("#note", "calm <b>14 degrees</b>")
    page.keyboard.press("Tab")
    page.wait_for_timeout(400)
    page.reload()
    page.wait_for_selector(".held .what", state="attached")
    _view(page, "try")
    page.wait_for_selector(".sheet", timeout=60_000)
    page.click(".index button[data-value=launch]")
    page.wait_for_selector(".check input:checked")
    assert page.input_value("#note") == "calm <b>14 degrees</b>"
    assert "14 degrees" in (shared.folder / "sea.cards.json").read_text(encoding="utf-8")


def test_nothing_moves_while_answers_come(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/lake.toml", wide=1600, high=1000)
    page.wait_for_timeout(1500)
    page.evaluate(MOVED)
    page.click("nav[aria-label=Parts] button[data-part=wing]")
    page.wait_for_timeout(700)
    for value in ("1500", "1400", "1650"):
        page.fill("#f-wing-area", value)
        page.keyboard.press("Enter")
        page.wait_for_timeout(1300)
    assert page.evaluate("globalThis.moved") < 0.05


def test_the_place_of_the_way_out_is_kept_while_it_is_sought(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/first-try.toml", wide=1280, high=1000)
    page.wait_for_selector(".held .out:not([aria-busy])", timeout=120_000)
    page.click("nav.loop button[data-view=change]")
    page.click("nav[aria-label=Parts] button[data-part=rider]")
    page.fill("#f-rider-mass", "84")
    page.keyboard.press("Enter")
    page.wait_for_selector(".held .out[aria-busy]")
    high = {}
    for state in ("[aria-busy]", ":not([aria-busy])"):
        page.wait_for_selector(f".held .out{state}", timeout=120_000)
        for wide in (1280, 360):
            page.set_viewport_size({"width": wide, "height": 1000})
            high.setdefault(wide, []).append(page.evaluate("document.querySelector('.held').offsetHeight"))
    page.click("button[data-do=undo]")
    assert all(abs(one - other) <= 1 for one, other in high.values()), high


def test_a_part_in_space_tells_its_numbers_by_pointer_and_by_button(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/sea.toml", wide=1600, high=1000)
    page.click("button[data-do=sight][data-value=turn]")
    page.wait_for_selector("canvas")
    page.wait_for_timeout(500)
    box = page.locator("canvas").bounding_box()
    assert box is not None
    seen = set()
    for down in range(2, 20):
        page.mouse.move(box["x"] + 0.5 * box["width"], box["y"] + 0.05 * down * box["height"])
        seen |= set(page.locator("[data-told]:visible").evaluate_all("(each) => each.map((one) => one.dataset.told)"))
    assert {"board", "wing"} <= seen
    page.focus("button[data-about=wing]")
    assert page.locator("[data-told=wing]").is_visible()
    page.focus("canvas")
    before = page.locator("canvas").screenshot()
    page.keyboard.press("ArrowLeft")
    assert page.locator("canvas").screenshot() != before
