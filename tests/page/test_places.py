"""Days on the water brought in and read back, parts made and taken away, the craft over time."""

from __future__ import annotations

import asyncio
import http.client
import io
import json
import re
import shutil
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import quote, urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from conftest import Served, Windows, copied, end, serve
from foilwright.build import load
from foilwright.core.data import folder as data_folder
from foilwright.core.errors import MissingExtraError, PlaceError
from foilwright.page import reading, water, workshop
from foilwright.page.desk import Desk
from foilwright.page.gate import LARGER
from foilwright.page.labour import Labour, spoken
from foilwright.page.marks import safe
from foilwright.page.past import Past
from foilwright.page.room import House
from foilwright.parts import make
from foilwright.study import learn
from foilwright.study.learn import told as words
from foilwright.study.learn.diagnose import Diagnosis
from foilwright.study.learn.model import CHARGE
from foilwright.study.learn.write import notes

DAYS = data_folder() / "trials" / "first-try"
FIRST = ("day-1.gpx", "day-1.toml")
EVERYWHERE = "0.0.0.0"  # noqa: S104
CSV = b"clock,Ubatt\n2026-05-17T10:00:00,41\n2026-05-17T10:00:01,41\n"


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A folder with a build and the files of its first day."""
    for name in FIRST:
        shutil.copy(DAYS / name, tmp_path)
    return copied(tmp_path, "first-try")


# Files of a day


@pytest.mark.parametrize(
    ("name", "day", "kept"),
    [
        ("day-1.gpx", "", "day-1.gpx"),
        ("Track (2).GPX", "", "Track (2).gpx"),
        ("2026.05.17.gpx", "", "2026-05-17.gpx"),
        ("day-1.columns.toml", "", "day-1.columns.toml"),
        ("columns.toml", "", "columns.toml"),
        ("export.csv", "day-2", "day-2.csv"),
        ("x.columns.toml", "day-2", "day-2.columns.toml"),
        ("März.gpx", "", "März.gpx"),
    ],
)
def test_names_of_a_day(name: str, day: str, kept: str) -> None:
    assert water.plain_name(name, day) == kept


@pytest.mark.parametrize(
    ("name", "day"),
    [("../up.gpx", ""), ("/etc/x.gpx", ""), ("a\\b.gpx", ""), (".gpx", ""), ("x.exe", ""), ("a.gpx", "../b"),
     ("a\x00.gpx", ""), ("..gpx", ""), ("a" * 90 + ".gpx", ""), ("", "")],
)  # fmt: skip
def test_names_that_are_none(name: str, day: str) -> None:
    with pytest.raises(PlaceError):
        water.plain_name(name, day)


def test_a_sheet_is_no_build_and_a_build_is_no_day(place: Path) -> None:
    shutil.copy(DAYS / "day-1.columns.toml", place)
    (place / "broken.toml").write_text("board = [", encoding="utf-8")
    (place / "day-3.toml").write_text('format = 1\n[[tow]]\nspeed = "5 km/h"\n', encoding="utf-8")
    assert [path.name for path in House(place).builds()] == ["broken.toml", "first-try.toml"]
    day, other = water.days(place)
    assert other.files == ("day-3.toml",)
    assert day.files == ("day-1.columns.toml", "day-1.gpx", "day-1.toml")
    assert day.date == "2026-05-17"


def test_days_of_another_build_are_left_out_unless_chosen(place: Path) -> None:
    sheet = place / "day-1.toml"
    build, plain = load.load(place / "first-try.toml"), sheet.read_text(encoding="utf-8")
    for told, read in (("sea", []), ("sea 0123456789ab", []), (f"first-try {build.hash}", ["day-1"])):
        sheet.write_text(plain.replace("[session]", f'[session]\nbuild = "{told}"'), encoding="utf-8")
        assert water.counted(water.days(place), build, {}) == read
        assert water.counted(water.days(place), build, {"day-1": True}) == ["day-1"]


# Read back


def _said(found: Diagnosis) -> list[str]:
    """Return what the command says of a diagnosis."""
    leader, *_ = found.order
    first = found.next[0]
    return [
        words.headline(found)[1], words.others(found), words.two_at_once(found), *words.would_be(found, leader),
        *found.leader.ways_out, *words.spoken(found, leader)[0], words.percent(found.found.probability[leader]),
        first.line, f"{first.gain:.2f} bit", words.not_asked(found),
        *(f"{each.low:.2f} to {each.high:.2f}" for each in found.corrections if each.name != CHARGE),
    ]  # fmt: skip


def test_what_is_read_is_what_learn_says(place: Path) -> None:
    build = load.load(place / "first-try.toml")
    far: list[float] = []
    read = water.learned(build, place, ["day-1"], lambda each: far.append(each[0]))
    found = learn.diagnose(build, learn.read(build, [place / name for name in FIRST]).trial)
    assert learn.document(read.found) == learn.document(found)
    assert far == sorted(far)
    (parts,) = read.rides.values()
    assert [each.phase for each in parts[:3]] == ["rest", "displacement", "hump"]
    assert parts[-1].begin + parts[-1].seconds == pytest.approx(sum(each.seconds for each in parts))
    here = water.Water(lambda: None)
    here.take(water.state(build, water.days(place), ["day-1"], place, read), read)
    shown = reading.place(build, place, "first-try.toml", here)
    for said in _said(found):
        assert safe(said) in shown.replace("\u00a0", " ")
    assert "changed since" not in shown
    (place / "day-1.toml").touch()
    assert "changed since" in reading.place(build, place, "first-try.toml", here)


def test_corrections_are_kept_in_one_step_and_taken_out_again(place: Path) -> None:
    path = place / "first-try.toml"
    desk, before = Desk(path), path.read_text(encoding="utf-8")
    desk.edit("rider.mass", "90.0 kg")
    found = learn.diagnose(desk.build, learn.read(desk.build, [place / name for name in FIRST]).trial)
    wanted = water.to_keep(found, desk.build)
    desk.rewrite(water.kept(found, desk.build, desk.edits))
    assert path.read_text(encoding="utf-8") == before
    assert float(desk.build.values["factors.pack_resistance"]) == float(wanted["factors.pack_resistance"])
    assert desk.build.values["factors.read_on"] == "2026-05-17"
    desk.undo()
    assert not water.in_build(desk.build)
    assert desk.edits == {"rider.mass": "90.0 kg"}
    desk.redo()
    assert desk.save()
    text = path.read_text(encoding="utf-8")
    beside = notes(found)["factors.pack_resistance"]
    assert re.search(rf"pack_resistance = \d\.\d+ +# {re.escape(beside)}", text)
    assert 'mass = "90.0 kg"' in text
    desk.leave_out(*water.in_build(desk.build))
    assert desk.save()
    assert not water.in_build(load.load(path))
    assert load.load(path).values["rider.mass"] == 90.0


# Parts


def test_progress_of_a_run_never_goes_back(place: Path) -> None:
    told: list[tuple[float, str]] = []
    build = load.load(place / "first-try.toml")
    make(
        build,
        place / "out",
        only=["order", "wiring", "money"],
        tell=lambda each: told.append((workshop.share(each), each)),
    )
    shares = [share for share, each in told if each.partition(":")[0] in workshop.SHARES]
    assert shares == sorted(shares)
    assert shares[-1] > 0.8
    assert workshop.share("solids: 20 of 20 to be made") == 0.0
    each = [
        workshop.share(told) for told in ("solids: 3 of 20, Mast", "solids: 11 of 20, Box", "prints: being planned")
    ]
    assert 0.0 < each[0] < each[1] < each[2] < 1.0


def test_the_time_left_is_told_from_what_was_done(monkeypatch: pytest.MonkeyPatch) -> None:
    now = [0.0]
    monkeypatch.setattr("foilwright.page.labour.time.monotonic", lambda: now[0])

    class Steps:
        async def run(self, _job: str, *, told: Callable[[tuple[float, str]], None]) -> None:
            for now[0], share in ((0.0, 0.0), (60.0, 0.1), (61.0, 0.12), (100.0, 0.5)):
                told((share, "something"))

    left: list[str] = []
    labour = Labour(lambda: left.append(labour.left()))

    async def go() -> None:
        labour.begin(Steps(), "x", done=lambda _none: None)  # type: ignore[arg-type]
        while labour.running:
            await asyncio.sleep(0)

    asyncio.run(go())
    assert left[:4] == ["", "", "", "about 50 seconds"]
    assert spoken(200.0) == "about 3 minutes"


def test_parts_of_another_state_are_marked(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    desk = Desk(place / "first-try.toml")
    shop = workshop.Workshop(desk.path, lambda: None)
    assert "Make the parts" in workshop.parts(desk, shop)

    def lacks(_job: object) -> None:
        raise MissingExtraError("this needs ezdxf, which is not installed: pip install 'foilwright[parts]'")

    monkeypatch.setattr("foilwright.parts.foam.make", lacks)
    make(desk.build, shop.folder, only=["foam", "order", "money"])
    shown = workshop.parts(desk, shop)
    assert "Not made: foam" in shown
    assert "pip install &#x27;foilwright[parts]&#x27;" in shown
    assert "Order of work" in shown
    assert "another state" not in shown
    desk.edit("rider.mass", "90 kg")
    assert shown.count('class="thing"') == workshop.parts(desk, shop).count("tag open") > 0
    assert "Save and make them" in workshop.parts(desk, shop)
    out = place / "all.zip"
    shop.archive(out)
    with zipfile.ZipFile(out) as packed:
        names = packed.namelist()
        assert names[0] == "first-try-parts/index.html"
        assert set(names) == {f"first-try-parts/{file}" for file in shop.files()}


def test_a_list_that_names_other_files_gives_none_of_them(place: Path) -> None:
    shop = workshop.Workshop(place / "first-try.toml", lambda: None)
    shop.folder.mkdir()
    thing = {"files": ["../first-try.toml", "/etc/passwd"], "kind": "order", "title": "x", "purpose": "", "notes": [],
             "picture": "", "numbers": {}}  # fmt: skip
    entry = {"key": "", "build": "", "files": {}, "things": [thing]}
    (shop.folder / "made.json").write_text(json.dumps({"format": 1, "made": {"order": entry, "y": {}}}), "utf-8")
    assert shop.files() == []
    assert shop.file("../first-try.toml") is None


# Over the wire


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One served folder with some parts made."""
    place = copied(tmp_path_factory.mktemp("craft"), "first-try", "lake")
    make(load.load(place / "lake.toml"), place / "lake-parts", only=["order", "money"])
    made = serve(place, "first-try.toml")
    yield made
    end(made)


def _sent(address: str, path: str, body: bytes = b"", *, method: str = "POST", **heads: str) -> tuple[int, str]:
    parts = urlsplit(address)
    line = http.client.HTTPConnection(parts.hostname or "", parts.port or 80, timeout=30)
    try:
        line.request(method, path, body=body or None, headers={"Host": parts.netloc, **heads})
        answer = line.getresponse()
        return answer.status, answer.read().decode("utf-8", "replace")
    finally:
        line.close()


def _day(served: Served, name: str, body: bytes, **heads: str) -> tuple[int, str]:
    asked = f"/day?build=first-try.toml&name={quote(name, safe='')}"
    return _sent(served.address, asked, body, **{"Origin": served.address, **heads})


def _names(place: Path) -> list[str]:
    return sorted(path.name for path in place.iterdir() if not path.name.endswith(".draft"))


@pytest.mark.parametrize(
    ("name", "body", "says"),
    [
        ("bad.gpx", b"\xff\x00garbage", "not text"),
        ("bad.gpx", b"<gpx>no track", "no GPX track"),
        ("bad.csv", b"\xff\xfe\x00", "no text"),
        ("bad.csv", b"nothing", "no table"),
        ("bad.toml", b"[[[", "TOML"),
        ("bad.toml", b"format = 1\n[session]\nwether = 1", "unknown"),
        ("lake2.toml", b"[board]\n[wing]\n[rider]\n", "a build file"),
        ("../up.gpx", b"x", "no path"),
        ("..%2Fup.gpx", b"x", "no path"),
        ("/etc/up.gpx", b"x", "no path"),
        ("up.exe", b"x", "a track"),
        ("first-try.toml", b'format = 1\n[session]\ndate = "2026-05-17"\n', "nothing was overwritten"),
    ],
)
def test_what_cannot_be_read_is_told_and_loses_nothing(served: Served, name: str, body: bytes, says: str) -> None:
    before = {path: path.read_bytes() for path in served.folder.parent.rglob("*.toml")}
    names = _names(served.folder)
    status, told = _day(served, name, body)
    assert status == 422
    assert says in json.loads(told)["told"]
    assert _names(served.folder) == names
    assert {path: path.read_bytes() for path in served.folder.parent.rglob("*.toml")} == before


def test_who_may_bring_a_day(served: Served) -> None:
    body = (DAYS / "day-1.toml").read_bytes()
    assert _day(served, "foreign.toml", body, Origin="http://evil.example")[0] == 403
    assert _day(served, "foreign.toml", body, Host="evil.example")[0] == 421
    assert _sent(served.address, "/day?build=first-try.toml&name=foreign.toml", body)[0] == 403
    assert _sent(served.address, "/day?build=..%2Fx.toml&name=a.toml", body, Origin=served.address)[0] == 404
    assert _sent(served.address, "/made/lake.toml/index.html", method="GET", Host="evil.example")[0] == 421
    assert not (served.folder / "foreign.toml").exists()


def test_two_hundred_megabytes_are_never_held(served: Served) -> None:
    assert LARGER["/day"] > max(water.SUFFIXES.values())
    heads = {"Content-Length": str(200 * 2**20), "Origin": served.address}
    parts = urlsplit(served.address)
    line = http.client.HTTPConnection(parts.hostname or "", parts.port or 80, timeout=60)
    line.putrequest("POST", "/day?build=first-try.toml&name=big.gpx")
    for name, value in heads.items():
        line.putheader(name, value)
    line.endheaders()
    assert line.getresponse().status == 413
    line.close()
    before = _memory(served)

    def pieces() -> Iterator[bytes]:
        for _ in range(200):
            yield b"#" * 2**20

    line = http.client.HTTPConnection(parts.hostname or "", parts.port or 80, timeout=60)
    try:
        path, heads = "/day?build=first-try.toml&name=big.gpx", {"Origin": served.address}
        line.request("POST", path, body=pieces(), headers=heads, encode_chunked=True)  # type: ignore[arg-type]
        answer = line.getresponse()
        assert answer.status == 413
        assert "60 MB" in answer.read().decode()
    except (BrokenPipeError, ConnectionResetError):
        pass
    finally:
        line.close()
    assert _memory(served) - before < 30.0
    assert "big.gpx" not in _names(served.folder)
    assert not [name for name in _names(served.folder) if name.startswith(".coming")]


def _memory(served: Served) -> float:
    """Return the most memory that the server has had [MB]."""
    told = Path(f"/proc/{served.process.pid}/status").read_text(encoding="utf-8")
    return int(re.search(r"VmHWM:\s+(\d+)", told)[1]) / 1024.0  # type: ignore[index]


def test_the_same_again_is_no_loss_and_another_is_refused(served: Served) -> None:
    assert "is kept: a log of 2 rows" in _day(served, "twice.csv", CSV)[1]
    assert "was there already" in _day(served, "twice.csv", CSV)[1]
    status, told = _day(served, "twice.csv", CSV + CSV)
    assert status == 422
    assert "nothing was overwritten" in told
    assert (served.folder / "twice.csv").read_bytes() == CSV


def test_a_blank_sheet_is_read_as_a_day(served: Served) -> None:
    status, text = _sent(served.address, "/sheet/first-try.toml", method="GET")
    assert status == 200
    assert 'build = "first-try' in text
    filled = text.replace('# date = "2026-05-17"', 'date = "2026-06-01"')
    assert "a session sheet with 0 readings" in _day(served, "blank.toml", filled.encode())[1]
    (served.folder / "blank.toml").unlink()
    assert _sent(served.address, "/sheet/none.toml", method="GET")[0] == 404


def test_parts_are_taken_away(served: Served) -> None:
    assert _sent(served.address, "/made/lake.toml/index.html", method="GET")[0] == 200
    for wrong in ("..%2Flake.toml", "%2Fetc%2Fpasswd", "made.json", "order/../../lake.toml", "none.pdf"):
        assert _sent(served.address, f"/made/lake.toml/{wrong}", method="GET")[0] == 404
    assert _sent(served.address, "/made/first-try.toml.zip", method="GET")[0] == 404
    parts = urlsplit(served.address)
    line = http.client.HTTPConnection(parts.hostname or "", parts.port or 80, timeout=30)
    line.request("GET", "/made/lake.toml.zip")
    packed = zipfile.ZipFile(io.BytesIO(line.getresponse().read()))
    line.close()
    assert packed.testzip() is None
    assert "lake-parts/index.md" in packed.namelist()


def test_a_token_is_needed_for_days_and_parts(tmp_path: Path) -> None:
    place = copied(tmp_path, "lake")
    (place / "lake-parts").mkdir()
    made = serve(place, "lake.toml", "--host", EVERYWHERE)
    try:
        bare = re.sub(r"//[^:/]+", "//127.0.0.1", made.address).partition("/?")[0]
        body = (DAYS / "day-1.toml").read_bytes()
        assert _sent(bare, "/day?build=lake.toml&name=a.toml", body, Origin=bare)[0] == 401
        assert _sent(bare, "/made/lake.toml.zip", method="GET")[0] == 401
        assert not (place / "a.toml").exists()
    finally:
        end(made)


# In the browser


def _barriers(page: Page) -> list[str]:
    found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}).response
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    return [
        f"{each['id']}: {node['html'][:160]}"
        for each in found["violations"] if each["impact"] in ("serious", "critical") for node in each["nodes"]
    ] + ([f"{wide} px wider than the window"] if wide > 0 else [])  # fmt: skip


DROPPED = """([name, text]) => {
  const given = new DataTransfer();
  given.items.add(new File([text], name));
  document.querySelector("[data-drop]").dispatchEvent(new DragEvent("drop", { dataTransfer: given, bubbles: true }));
}"""


def test_a_day_is_dropped_read_back_kept_and_taken_out(served: Served, windows: Windows) -> None:
    page = windows.open(f"{served.address}/build/first-try.toml", wide=360, high=760)
    page.emulate_media(color_scheme="dark")
    page.click("nav.loop button[data-view=learn]")
    (served.folder / "twice.csv").write_bytes(CSV)
    page.set_input_files("#days", [DAYS / name for name in FIRST])
    expect(page.locator(".toast")).to_contain_text("day-1.toml is kept")
    page.fill("#day-name", "day-5")
    page.evaluate(DROPPED, ["two.gpx", "no track"])
    expect(page.locator(".toast")).to_contain_text("day-5.gpx: got a text that is no GPX track")
    windows.watch.errors.clear()  # the browser writes down that it was refused
    expect(page.locator("input[data-name=day-1]")).to_be_checked()
    expect(page.locator("li[data-key=day-twice]")).to_contain_text("needs a header file")
    expect(page.locator("input[data-name=twice]")).not_to_be_checked()
    page.focus("button[data-do=days]")
    page.keyboard.press("Enter")
    page.wait_for_selector(".reading", timeout=60_000)
    expect(page.locator(".cause.first")).to_contain_text("Part of the pack is not connected")
    expect(page.locator(".plate svg[aria-label='Speed and phases of day-1']")).to_be_visible()
    assert not _barriers(page)
    before = (served.folder / "first-try.toml").read_text(encoding="utf-8")
    page.click("button[data-do=keep]")
    expect(page.locator(".state")).to_contain_text("not saved")
    expect(page.locator(".reading")).not_to_contain_text("changed since")
    assert (served.folder / "first-try.toml").read_text(encoding="utf-8") == before
    page.click("button[data-do=undo]")
    expect(page.locator(".state")).to_contain_text(": saved")
    page.click("button[data-do=redo]")
    page.click("button[data-do=save]")
    expect(page.locator(".state")).to_contain_text(": saved")
    saved = (served.folder / "first-try.toml").read_text(encoding="utf-8")
    assert re.search(r"pack_resistance = \d\.\d+ +# from trials, \d\.\d+ to \d\.\d+", saved)
    page.click("button[data-value=past]")
    expect(page.locator(".times >> nth=0")).to_contain_text("Corrections read on 2026-05-17", timeout=60_000)
    expect(page.locator(".times >> nth=1")).to_contain_text("29.4 V at 15 km/h")
    assert not _barriers(page)
    page.click("button[data-value=water]")
    page.click(".toast button")
    page.click("button[data-do=without]")
    page.click("button[data-do=save]")
    expect(page.locator(".state")).to_contain_text(": saved")
    assert not water.in_build(load.load(served.folder / "first-try.toml"))


def test_parts_are_made_stopped_and_shown(served: Served, windows: Windows) -> None:
    page = windows.open(f"{served.address}/build/lake.toml", wide=1920, high=1000)
    page.click("nav.loop button[data-view=make]")
    page.wait_for_selector(".thing")
    assert not _barriers(page)
    assert page.locator(".thing .tag.open").count() == 0
    page.click("button[data-do=parts]")
    expect(page.locator(".far [role=status]")).to_contain_text("solids", timeout=60_000)
    other = windows.open(f"{served.address}/build/lake.toml")
    other.click("nav.loop button[data-view=make]")
    expect(other.locator(".far progress")).to_be_visible()
    page.click("button[data-do=parts_stop]")
    expect(page.locator("#make")).to_contain_text("Stopped")
    expect(other.locator("#make")).to_contain_text("Stopped")
    assert (served.folder / "lake-parts" / "made.json").is_file()
    page.click("nav.loop button[data-view=change]")
    page.click("nav[aria-label=Parts] button[data-part=rider]")
    page.fill("#f-rider-mass", "91")
    page.keyboard.press("Enter")
    page.click("nav.loop button[data-view=make]")
    expect(page.locator(".thing .tag.open").first).to_be_visible()
    expect(page.locator("button[data-do=parts_save]")).to_be_visible()


def test_files_changed_are_read_anew(place: Path) -> None:
    past = Past(place, lambda: None)
    assert past.due()
    assert not past.due()
    (place / "later.toml").write_text("x", encoding="utf-8")
    assert past.due()
