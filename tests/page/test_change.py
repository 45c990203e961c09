"""Changing numbers in the browser: by keyboard, in units, undone, wrong ones kept, ways out applied."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from conftest import Served, Windows


def _inputs(page: Page, part: str) -> None:
    page.click("nav.loop button[data-view=change]")
    page.click("button[data-tab=inputs]")
    page.click(f"nav[aria-label=Parts] button[data-part={part}]")


def _said(page: Page, finding: str) -> str:
    return page.inner_text(f"li.finding[data-key='{finding}'] .said")


def test_a_number_changed_by_keyboard_gives_another_answer(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/lake0.toml")
    page.click("nav[aria-label=Questions] button[data-question=rise]")
    before = _said(page, "rise.thrust")
    _inputs(page, "rider")
    page.focus("#f-rider-mass")
    page.keyboard.press("Control+A")
    page.keyboard.type("110")
    page.keyboard.press("Enter")
    expect(page.locator("li.finding[data-key='rise.thrust'] .said")).not_to_have_text(before)
    expect(page.locator(".state")).to_contain_text("1 change not saved")
    assert page.evaluate("document.activeElement.id") == "f-rider-mass"
    page.keyboard.press("Control+Z")
    expect(page.locator("li.finding[data-key='rise.thrust'] .said")).to_have_text(before)
    expect(page.locator("#f-rider-mass")).to_have_value("82")
    page.click("button[data-do=redo]")
    expect(page.locator("#f-rider-mass")).to_have_value("110")


def test_arrow_keys_step_a_number(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/lake1.toml")
    _inputs(page, "rider")
    page.focus("#f-rider-mass")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    expect(page.locator(".state")).to_contain_text("1 change not saved")
    expect(page.locator("#f-rider-mass")).to_have_value("84")


def test_what_cannot_be_is_kept_and_explained(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/lake2.toml")
    _inputs(page, "wing")
    page.fill("#f-wing-area", "9 kg")
    page.keyboard.press("Enter")
    wrong = page.locator("#f-wing-area-wrong")
    expect(wrong).to_contain_text("an area from")
    expect(page.locator("#f-wing-area")).to_have_value("9 kg")
    expect(page.locator("#f-wing-area")).to_have_attribute("aria-invalid", "true")
    page.fill("#f-wing-area", "15 dm^2")
    page.keyboard.press("Enter")
    expect(wrong).to_have_count(0)
    expect(page.locator("#f-wing-area")).to_have_value("1500")


def test_units(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/lake3.toml")
    _inputs(page, "wing")
    page.select_option("select[data-path='wing.span'][data-do=unit]", "in")
    expect(page.locator("#f-wing-span")).to_have_value(re.compile(r"3\d\.\d+"))
    page.select_option("select[data-do=units]", "imperial")
    expect(page.locator("#f-wing-area")).to_have_attribute("data-unit", "in^2")
    expect(page.locator(".state")).to_contain_text("saved")
    page.fill("#f-wing-area", "250")
    page.keyboard.press("Tab")
    page.select_option("select[data-do=units]", "metric")
    expect(page.locator("#f-wing-area")).to_have_value("1612.9")


def test_a_way_out_is_applied(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/first-try.toml")
    expect(page.locator(".tally")).to_contain_text("fails")
    page.wait_for_selector(".held .out:not([aria-busy])", timeout=120_000)
    page.click(".held button[data-do=view]")
    page.wait_for_selector(".cards .card")
    page.click(".cards .card >> nth=0 >> button[data-do=way]")
    expect(page.locator(".state")).to_contain_text("1 change")
    expect(page.locator(".toast")).to_contain_text("Verdicts")
    page.click("button[data-do=undo]")
    expect(page.locator(".state")).to_contain_text(": saved")
    page.click("nav[aria-label=Questions] button[data-question=rise]")
    page.click("button[data-do=cure][data-question=rise]:not([disabled])", timeout=120_000)
    page.click("button[data-do=cured][data-question=rise]", timeout=120_000)
    expect(page.locator("section[aria-labelledby=asked] h2")).not_to_contain_text("fails")
    page.click("button[data-do=undo]")
    page.wait_for_selector(".held button[data-do=together]", timeout=120_000)
    page.click(".held button[data-do=together]")
    expect(page.locator(".head h1 .verdict")).not_to_have_text("fails")
    page.click("nav[aria-label=Questions] button[data-question=rise]")
    expect(page.locator("section[aria-labelledby=asked] h2")).not_to_contain_text("fails")
    page.click("button[data-tab=compare]")
    expect(page.locator("#compare, .for-compare")).to_contain_text("Other verdicts")


def test_a_finding_leads_to_its_inputs(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/lake4.toml")
    page.click("nav[aria-label=Questions] button[data-question=rise]")
    page.click("li.finding[data-key='rise.thrust'] .head")
    expect(page.locator(".reasons")).to_contain_text("Source:")
    chip = page.locator(".reasons button[data-do=field]").first
    path = str(chip.get_attribute("data-path"))
    chip.click()
    expect(page.locator(f"[data-do=edit][data-path='{path}']")).to_be_focused()


def test_the_drawing_follows_the_speed(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/build/lake5.toml")
    expect(page.locator(".speed output")).to_contain_text("at rest")
    page.focus("#speed")
    page.keyboard.press("End")
    expect(page.locator(".speed output")).to_contain_text("in flight")
    expect(page.locator(".loads")).to_contain_text("lift of the wing")
    page.hover(".piece[data-about=wing] >> nth=0", force=True)
    expect(page.locator("[data-told=wing]")).to_be_visible()
    for name in ("top", "front", "turn"):
        page.click(f"button[data-do=sight][data-value={name}]")
    expect(page.locator("canvas")).to_be_visible()
