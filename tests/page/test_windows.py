"""Several windows, several builds, a killed server, a changed file, tokens, uploads, foreign requests."""

from __future__ import annotations

import http.client
import os
import re
import shutil
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, expect

from conftest import Served, Windows, copied, end, serve

EVERYWHERE = "0.0.0.0"  # noqa: S104


def _mass(page: Page, value: str) -> None:
    page.click("nav.loop button[data-view=change]")
    page.click("nav[aria-label=Parts] button[data-part=rider]")
    page.fill("#f-rider-mass", value)
    page.keyboard.press("Enter")


def test_two_windows_on_two_builds_do_not_mix_and_on_one_agree(shared: Served, windows: Windows) -> None:
    one = windows.open(f"{shared.address}/build/lake6.toml")
    two = windows.open(f"{shared.address}/build/lake7.toml")
    same = windows.open(f"{shared.address}/build/lake6.toml")
    _mass(one, "95")
    expect(one.locator(".state")).to_contain_text("1 change not saved")
    expect(same.locator(".state")).to_contain_text("1 change not saved")
    expect(two.locator(".state")).to_contain_text(": saved")
    _mass(two, "70")
    expect(one.locator("#f-rider-mass")).to_have_value("95")
    two.click("button[data-do=save]")
    expect(two.locator(".state")).to_contain_text(": saved")
    assert '"70 kg"' in (shared.folder / "lake7.toml").read_text(encoding="utf-8")
    assert '"82 kg"' in (shared.folder / "lake6.toml").read_text(encoding="utf-8")


def test_a_conflict_is_shown_and_settled(tmp_path: Path, windows: Windows) -> None:
    served = serve(copied(tmp_path, "lake"), "lake.toml")
    try:
        page = windows.open(f"{served.address}/")
        page.wait_for_selector(".held .what")
        _mass(page, "95")
        expect(page.locator(".state")).to_contain_text("1 change")
        place = tmp_path / "lake.toml"
        place.write_text(place.read_text(encoding="utf-8") + "\n# by another hand\n", encoding="utf-8")
        expect(page.locator("[role=alert]")).to_contain_text("changed outside")
        expect(page.locator("button[data-do=save]")).to_be_disabled()
        page.click("button[data-do=settle][data-value=mine]")
        expect(page.locator("button[data-do=save]")).to_be_enabled()
        page.keyboard.press("Control+S")
        expect(page.locator(".state")).to_contain_text(": saved")
        text = place.read_text(encoding="utf-8")
        assert '"95 kg"' in text
        assert "by another hand" in text
    finally:
        end(served)


def test_what_was_typed_outlives_a_killed_server(tmp_path: Path, windows: Windows) -> None:
    place = copied(tmp_path, "lake")
    served = serve(place, "lake.toml")
    port = str(urlsplit(served.address).port)
    page = windows.open(f"{served.address}/build/lake.toml")
    _mass(page, "95")
    expect(page.locator(".state")).to_contain_text("1 change")
    served.kill()
    page.goto("about:blank")  # or the window finds the new server by itself while it is sent there
    windows.watch.errors.clear()
    again = serve(place, "lake.toml", "--port", port)
    try:
        page.goto(f"{again.address}/build/lake.toml")
        expect(page.locator(".toast")).to_contain_text("brought back")
        expect(page.locator(".state")).to_contain_text("1 change")
        windows.watch.errors.clear()
    finally:
        end(again)
        if served.process.stdout is not None:
            served.process.stdout.close()


def test_a_token_is_asked_for_and_taken(tmp_path: Path, windows: Windows) -> None:
    served = serve(copied(tmp_path, "lake"), "lake.toml", "--host", EVERYWHERE)
    try:
        address = re.sub(r"//[^:/]+", "//127.0.0.1", served.address)
        bare = address.partition("/?")[0]
        page = windows.open(f"{bare}/build/lake.toml", wait="h1")
        expect(page.locator("body")).to_contain_text("token")
        windows.watch.errors.clear()
        page.goto(address)
        page.wait_for_selector(".held .what")
        assert "token" not in page.url
        assert _status(bare, "/build/lake.toml", Host=urlsplit(bare).netloc) == 401
        assert _status(bare, f"/?{address.partition('/?')[2]}", Host=urlsplit(bare).netloc) == 401
        for path in (*INNER, "/made/lake.toml.zip", "/start"):
            assert _status(bare, path) == 401
        assert _status(bare, WIRE, Origin=bare, **UPGRADE) == 403
        assert _status(bare, "/bring?name=x", method="POST", body=b"x", Origin=bare) == 401
    finally:
        end(served)


INNER = ("/_nicegui_ws/socket.io/?EIO=4&transport=polling", "/bring")
WIRE = "/_nicegui_ws/socket.io/?EIO=4&transport=websocket"
UPGRADE = {
    "Connection": "Upgrade", "Upgrade": "websocket", "Sec-WebSocket-Version": "13",
    "Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ==",
}  # fmt: skip
"""What asks for the wire over which a window and the program talk."""


def _status(address: str, path: str, *, method: str = "GET", body: bytes = b"", **heads: str) -> int:
    parts = urlsplit(address)
    line = http.client.HTTPConnection(parts.hostname or "", parts.port or 80, timeout=20)
    try:
        line.request(method, path, body=body or None, headers={"Host": parts.netloc, **heads})
        return line.getresponse().status
    finally:
        line.close()


def test_foreign_hosts_and_origins_are_refused(shared: Served) -> None:
    assert _status(shared.address, "/build/lake.toml") == 200
    assert _status(shared.address, "/build/lake.toml", Host="evil.example") == 421
    assert _status(shared.address, "/build/lake.toml", Origin="http://evil.example") == 403
    assert (
        _status(shared.address, "/_nicegui_ws/socket.io/?EIO=4&transport=polling", Origin="http://evil.example") == 403
    )
    assert _status(shared.address, "/bring?name=x", method="POST", body=b"x") == 403
    assert _status(shared.address, "/day", method="POST", body=b"x", Origin="http://evil.example") == 403
    assert _status(shared.address, WIRE, Origin=shared.address, **UPGRADE) == 101
    assert _status(shared.address, WIRE, Origin="http://evil.example", **UPGRADE) == 403
    assert _status(shared.address, WIRE, Host="evil.example", Origin="http://evil.example", **UPGRADE) == 403


def test_only_this_machine_is_answered_without_a_host(shared: Served, tmp_path: Path) -> None:
    other = "127.0.0.2"
    with pytest.raises(OSError, match="refused"):
        _status(f"http://{other}:{urlsplit(shared.address).port}", "/")
    open_ = serve(copied(tmp_path, "lake"), "lake.toml", "--host", EVERYWHERE)
    try:
        assert _status(f"http://{other}:{urlsplit(open_.address).port}", "/") == 401
    finally:
        end(open_)


EAR = """
import os, sys
def hear(event, given):
    if event in ("socket.connect", "socket.sendto", "socket.getaddrinfo", "socket.gethostbyname"):
        place = given[1] if event in ("socket.connect", "socket.sendto") else given[0]
        with open(os.environ["HEARD"], "a") as file:
            print(event, place, file=file)
sys.addaudithook(hear)
import socket
socket.socket(socket.AF_INET, socket.SOCK_DGRAM).connect(("127.0.0.1", 9))
"""
"""Runs at the start of every process of the program, and writes down whom it asks."""


def test_the_program_asks_no_other_host(tmp_path: Path, windows: Windows, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "ear").mkdir()
    (tmp_path / "ear" / "sitecustomize.py").write_text(EAR, encoding="utf-8")
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([str(tmp_path / "ear"), os.environ.get("PYTHONPATH", "")]))
    monkeypatch.setenv("HEARD", str(tmp_path / "heard.txt"))
    served = serve(copied(tmp_path, "lake"), "lake.toml")
    try:
        page = windows.open(f"{served.address}/")
        _mass(page, "105")
        expect(page.locator(".state")).to_contain_text("1 change")
        page.click("button[data-tab=ways]")
        page.wait_for_selector(".for-ways .card", timeout=120_000)
    finally:
        end(served)
    heard = (tmp_path / "heard.txt").read_text(encoding="utf-8").splitlines()
    assert sum(each == "socket.connect ('127.0.0.1', 9)" for each in heard) > 1
    local = ("127.0.0.1", "::1", "localhost", "/")
    assert not [each for each in heard if not any(f"'{name}" in each or f" {name}" in each for name in local)]


def test_a_window_that_asked_another_host_would_be_seen(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/start", wait=".builds")
    page.evaluate("fetch('http://192.0.2.1/x').catch(() => 0)")
    page.evaluate(
        "new Promise((done) => { const i = new Image(); i.onerror = done; i.src = 'http://192.0.2.1/i.png'; })"
    )
    assert any("192.0.2.1" in each for each in (*windows.watch.foreign, *windows.watch.errors))
    windows.watch.foreign.clear()
    windows.watch.errors.clear()


@pytest.mark.parametrize("name", ["../up.toml", "/etc/passwd", "..%2Fup.toml", "", ".toml", "a\x00b"])
def test_a_name_is_never_a_path(shared: Served, name: str) -> None:
    from urllib.parse import quote

    text = (shared.folder / "lake.toml").read_bytes()
    before = sorted(shared.folder.parent.rglob("*.toml"))
    status = _status(
        shared.address, f"/bring?name={quote(name, safe='')}", method="POST", body=text, Origin=shared.address
    )
    assert status == 422
    assert sorted(shared.folder.parent.rglob("*.toml")) == before
    assert _status(shared.address, f"/build/{quote(name, safe='')}") in (200, 404)


@pytest.mark.parametrize("body", [b"\xff\xfe\x00garbage", b"format = 1", b"[" * 5000, b"\x00" * 1000])
def test_garbage_is_told_and_not_written(shared: Served, body: bytes) -> None:
    assert _status(shared.address, "/bring?name=garbage.toml", method="POST", body=body, Origin=shared.address) == 422
    assert not (shared.folder / "garbage.toml").exists()


def test_two_hundred_megabytes_are_refused(shared: Served) -> None:
    parts = urlsplit(shared.address)
    line = http.client.HTTPConnection(parts.hostname or "", parts.port or 80, timeout=30)
    line.putrequest("POST", "/bring?name=big.toml", skip_host=True)
    for name, value in {"Host": parts.netloc, "Origin": shared.address, "Content-Length": str(200 * 2**20)}.items():
        line.putheader(name, value)
    line.endheaders()
    assert line.getresponse().status == 413
    line.close()

    def pieces() -> object:
        for _ in range(200):
            yield b"#" * 2**20

    line = http.client.HTTPConnection(parts.hostname or "", parts.port or 80, timeout=30)
    try:
        line.request(
            "POST", "/bring?name=big.toml", body=pieces(), headers={"Origin": shared.address}, encode_chunked=True
        )  # type: ignore[arg-type]
        assert line.getresponse().status in (400, 413)
    except (BrokenPipeError, ConnectionResetError):
        pass
    finally:
        line.close()
    assert not (shared.folder / "big.toml").exists()
    assert _status(shared.address, "/build/lake.toml") == 200


def test_a_file_is_brought_by_the_browser(shared: Served, windows: Windows, tmp_path: Path) -> None:
    page = windows.open(f"{shared.address}/start", wait=".builds")
    wrong = tmp_path / "wrong.toml"
    wrong.write_text("no build", encoding="utf-8")
    page.set_input_files("#file", wrong)
    expect(page.locator("[role=alert]")).to_contain_text("wrong.toml")
    windows.watch.errors.clear()
    shutil.copy(shared.folder / "sea.toml", tmp_path / "mine.toml")
    page.set_input_files("#file", tmp_path / "mine.toml")
    page.wait_for_url("**/build/mine.toml")
    page.wait_for_selector(".held .what")
    assert (shared.folder / "mine.toml").is_file()


def test_a_new_build_from_a_scenario(shared: Served, windows: Windows) -> None:
    page = windows.open(f"{shared.address}/start", wait=".builds")
    page.fill("#new-lake", "My own 1")
    page.keyboard.press("Enter")
    page.wait_for_selector(".held .what")
    expect(page.locator(".head h1")).to_contain_text("My own 1")
    assert (shared.folder / "My own 1.toml").is_file()
