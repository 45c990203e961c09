"""Entries of lists, fields left out, news for each window, digits as typed, equations: on the desk and in windows."""

from __future__ import annotations

import random
import re
from fnmatch import fnmatchcase
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from conftest import Windows, copied, end, serve
from foilwright.build import entries, load
from foilwright.build.explain import explained
from foilwright.build.save import with_changes
from foilwright.build.schema import LISTS, NAMED
from foilwright.core.data import table
from foilwright.core.errors import BuildFileError
from foilwright.page.answers import answer
from foilwright.page.carry import following
from foilwright.page.desk import Desk
from foilwright.page.inputs import Shown, fields
from foilwright.questions import report
from foilwright.questions.equations import equation
from write_equations import PAGE, page

NEW = {
    "part": {"mass": "1 kg", "x": "90 cm"}, "joint": {}, "ride.leg": {"speed": "20 km/h", "time": "5 min"},
    "materials": {"like": "printed petg", "tension": ""},
}  # fmt: skip
IDS = (Path(__file__).parents[1] / "whole" / "finding_ids.txt").read_text(encoding="utf-8").split()


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A build in a folder of its own."""
    return copied(tmp_path, "lake") / "lake.toml"


def shown(desk: Desk, part: str, *, imperial: bool = False) -> str:
    return fields(desk, desk.answers(), Shown(part=part, imperial=imperial, units={}))


@pytest.mark.parametrize("kind", NEW)
@pytest.mark.parametrize("name", ["lake", "sea"])
@pytest.mark.parametrize("long", [False, True])
def test_an_entry_put_in_and_taken_out_leaves_the_text_as_it_was(kind: str, name: str, long: bool) -> None:
    build = load.scenario(name)
    if long:
        build = load.read(explained(build, name), name=name, file="x.toml")
    text = entries.added(build, kind, "new one", NEW[kind])
    made = load.read(text, name=name, file="x.toml")
    assert made.names[kind] == (*build.names[kind], "new one")
    assert [line for line in text.splitlines() if "new one" not in line][:20] == build.text.splitlines()[:20]
    assert made.values.items() >= build.values.items()
    assert entries.removed(made, kind, "new one") == build.text
    other = load.read(entries.renamed(made, kind, "new one", "other"), name=name, file="x.toml")
    assert other.names[kind][-1] == "other"


@pytest.mark.parametrize("name", load.scenarios())
def test_each_entry_can_be_taken_out_and_all_else_stays(name: str) -> None:
    build = load.scenario(name)
    for kind in (*LISTS, *NAMED):
        for entry in build.names[kind] if kind not in NAMED else ():
            if kind == "ride.leg" and len(build.names[kind]) < 2:
                continue
            made = load.read(entries.removed(build, kind, entry), name=name, file="x.toml")
            head = f"{kind}.{entry}."
            assert made.values == {path: each for path, each in build.values.items() if not path.startswith(head)}


def test_what_is_said_above_an_entry_goes_with_it_and_no_other_comment() -> None:
    build = load.scenario("first-try")
    gone = set(build.text.splitlines()) - set(entries.removed(build, "part", "box with acrylic lid").splitlines())
    assert {line for line in gone if line.startswith("#")} == {
        "# A food box let into the deck; its lid is a sheet of acrylic, 3 mm thin, under six screws."
    }


def test_a_material_is_renamed_with_what_names_it_and_not_taken_away_from_it() -> None:
    build = load.scenario("sea")
    made = load.read(entries.renamed(build, "materials", "carbon layup", "mine"), name="x", file="x.toml")
    assert made.values["mast.material"] == "mine"
    with pytest.raises(BuildFileError):
        load.read(entries.removed(build, "materials", "carbon layup"), name="x", file="x.toml")


@pytest.mark.parametrize("name", ["first-try", "sea"])
def test_a_field_is_left_out_here_as_it_would_be_in_the_file(name: str) -> None:
    build = load.scenario(name)
    for path in random.Random(7).sample(sorted(build.values), 24):  # noqa: S311
        try:
            made = build.with_texts({path: None})
        except BuildFileError:
            with pytest.raises(BuildFileError):
                with_changes(build, {path: None})
            continue
        text = with_changes(build, {path: None})
        again = load.read(text, name=name, file=build.file)
        assert again.values == made.values
        assert path not in again.values
        back = load.read(with_changes(again, {path: build.values[path]}), name=name, file=build.file)
        assert back.values == {each: pytest.approx(value) if isinstance(value, float) else value
                               for each, value in build.values.items()}  # fmt: skip


def test_a_field_left_out_and_given_again_is_the_line_that_it_was(tmp_path: Path) -> None:
    place = tmp_path / "mine.toml"
    place.write_text(explained(load.scenario("first-try"), "mine"), encoding="utf-8")
    before = place.read_text(encoding="utf-8")
    desk = Desk(place)
    desk.leave_out("wing.finish", "rider.posture")
    desk.apply({"wing.span": None, "wing.aspect_ratio": "5.7"})
    desk.add("part", "paddle", {"mass": "1 kg", "x": "1 m"})
    assert desk.save()
    old, new = (text.splitlines() for text in (before, place.read_text(encoding="utf-8")))
    line = next(each for each in old[old.index("[wing]  # the main wing") :] if each.startswith("finish = "))
    assert f"# {line[: line.index('#') - 2]}{line[line.index('#') :]}" in new
    desk.edit("wing.finish", "printed")
    assert desk.save()
    assert line in place.read_text(encoding="utf-8").splitlines()
    for _ in range(4):
        desk.undo()
    assert desk.save()
    assert place.read_text(encoding="utf-8") == before


def test_leaving_out_is_a_step_that_is_saved_as_a_comment(place: Path) -> None:
    desk = Desk(place)
    assert "then sanded" in shown(desk, "wing")
    assert desk.leave_out("wing.finish")
    assert desk.differs == ("wing.finish",)
    told = shown(desk, "wing")
    assert told.index("Left out of the file") < told.index('id="f-wing-finish"')
    desk.undo()
    assert not desk.dirty
    desk.redo()
    before = desk.build
    assert desk.save()
    assert "# finish = " in place.read_text(encoding="utf-8")
    assert desk.build.values == before.values
    desk.take_back("wing.finish")
    assert not desk.dirty
    desk.undo()
    assert "wing.finish" in desk.build.values
    assert desk.differs == ("wing.finish",)


def test_one_size_of_a_wing_is_written_in_place_of_another(place: Path) -> None:
    desk = Desk(place)
    sizes = following(desk.build, "wing")
    assert set(sizes) == {"wing.aspect_ratio", "wing.mean_chord"}
    assert "write it in place of span" in shown(desk, "wing")
    assert desk.apply({"wing.span": None, "wing.aspect_ratio": f"{sizes['wing.aspect_ratio']:.9g}"})
    assert following(desk.build, "wing")["wing.span"] == pytest.approx(desk.file.values["wing.span"], rel=1e-6)
    desk.edit("wing.area", "1600 cm^2")
    desk.take_back("wing.aspect_ratio")
    assert not desk.dirty
    desk.undo()
    assert desk.save()
    assert "# span = " in place.read_text(encoding="utf-8")


def test_what_must_be_there_cannot_be_left_out(place: Path) -> None:
    desk = Desk(place)
    assert not desk.leave_out("wing.span")
    assert "exactly two of" in desk.wrong["wing.span"][1]
    assert not desk.leave_out("rider.mass")
    assert 'data-do="leave" data-path="rider.mass"' not in shown(desk, "rider")
    assert desk.build.values == desk.file.values


def test_entries_are_steps_kept_in_the_draft_and_saved(place: Path) -> None:
    before = place.read_text(encoding="utf-8")
    desk = Desk(place)
    desk.edit("rider.mass", "90 kg")
    desk.add("part", "paddle", {"mass": "0.80 kg", "x": "1.2 m"})
    desk.edit("part.paddle.y", "5 cm")
    desk.rename("part", "paddle", "long paddle")
    assert desk.build.values["part.long paddle.y"] == pytest.approx(0.05)
    assert desk.differs == ("part.long paddle", "rider.mass")
    again = Desk(place)
    assert again.build.values == desk.build.values
    for _ in range(4):
        again.undo()
    assert again.build.values == again.file.values
    for _ in range(4):
        again.redo()
    assert again.save()
    text = place.read_text(encoding="utf-8")
    assert 'mass = "0.80 kg"' in text
    assert {line for line in before.splitlines() if line.startswith("#")} <= set(text.splitlines())
    again.remove("part", "long paddle")
    again.undo()
    again.undo()
    assert "part.long paddle.x" in again.file.values
    assert "part.long paddle.x" not in again.build.values or again.can_undo


def test_a_joint_may_have_a_full_stop_in_its_name_and_must_make_a_network(place: Path) -> None:
    desk = Desk(place)
    with pytest.raises(BuildFileError, match="no such element"):
        desk.add("joint", "a thing of its own", {})
    assert not desk.dirty
    desk.add("joint", "module 1.1", {"charge": "80 %"})
    assert 'id="f-joint-module-1-1-charge"' in shown(desk, "joint.module 1.1")
    assert not desk.edit("joint.module 1.1.rating", "20 A")
    assert desk.edit("joint.module 1.1.charge", "70.5 %")
    assert desk.save()
    assert 'charge = "70.5 %"' in place.read_text(encoding="utf-8").partition("[[joint]]")[2]


def test_what_cannot_be_an_entry_changes_nothing(place: Path) -> None:
    desk = Desk(place)
    first = desk.build.names["part"][0]
    for name, given, why in (
        ("", {"mass": "1 kg", "x": "1 m"}, "a name of its own"),
        (first, {"mass": "1 kg", "x": "1 m"}, "a second time"),
        ("a.b", {"mass": "1 kg", "x": "1 m"}, "without a full stop"),
        ("paddle", {"mass": "1 kg", "x": ""}, "a length from"),
        ("paddle", {"mass": "1", "x": "1 m"}, "without a unit"),
    ):
        with pytest.raises(BuildFileError, match=why):
            desk.add("part", name, given)
    for leg in desk.build.names["ride.leg"][1:]:
        desk.remove("ride.leg", leg)
    with pytest.raises(BuildFileError):
        desk.remove("ride.leg", desk.build.names["ride.leg"][0])


def test_entries_survive_a_conflict(place: Path) -> None:
    desk = Desk(place)
    gone = desk.build.names["part"][0]
    desk.add("part", "paddle", {"mass": "0.8 kg", "x": "1.2 m"})
    desk.remove("part", gone)
    desk.edit("part.paddle.mass", "0.85 kg")
    desk.edit("rider.mass", "90 kg")
    other = place.read_text(encoding="utf-8").replace('"82 kg"', '"81 kg"', 1) + "\n# by another hand\n"
    place.write_text(other.replace('depth = "', 'depth = "1', 1), encoding="utf-8")
    once_more = Desk(place)
    for each in (desk, once_more):
        each.look()
        assert each.conflict
        each.settle(mine=True)
        assert each.build.values["part.paddle.mass"] == 0.85
        assert gone not in each.build.names["part"]
        assert each.build.values["rider.mass"] == 90.0
        assert each.build.values["water.depth"] == each.file.values["water.depth"]
    assert desk.save()
    assert "by another hand" in place.read_text(encoding="utf-8")


def test_digits_and_units_stay_as_they_were_typed(place: Path) -> None:
    place.write_text(place.read_text(encoding="utf-8").replace('"82 kg"', '"82.1234567 kg"'), encoding="utf-8")
    desk = Desk(place)
    assert 'value="82.1234567"' in shown(desk, "rider")
    assert 'value="181.05123' in shown(desk, "rider", imperial=True)
    desk.edit("wing.area", "250.50 in^2")
    assert 'value="250.50"' in shown(desk, "wing", imperial=True)
    assert desk.save()
    assert 'area = "250.50 in^2"' in place.read_text(encoding="utf-8")
    desk.edit("mast.fill", "47.5 %")
    assert 'data-unit="%" value="47.5"' in shown(desk, "mast")
    desk.edit("wing.taper", "0.4500")
    assert 'value="0.4500"' in shown(desk, "wing")


def test_all_kinds_that_have_inches_or_pounds_are_shown_in_them(place: Path) -> None:
    desk = Desk(place)
    told = "".join(shown(desk, part, imperial=True) for part in ("board", "box", "water", "laminate", "propeller"))
    for unit in ("in", "ft", "lb/ft^3", "oz/yd^2", "psi", "degF", "mph", "lbf"):
        assert f'data-unit="{unit}"' in told, unit
    assert 'data-unit="mm"' not in told


@pytest.mark.parametrize("imperial", [False, True])
def test_a_number_shown_and_given_back_is_the_same(place: Path, imperial: bool) -> None:
    """What a window shows, typed again with the unit beside it, is what is written."""
    desk = Desk(place)
    for part in ("rider", "water", "board", "part.battery box", "ride.leg.play", "box", "radio", "workshop"):
        for path, text, unit in _entries(shown(desk, part, imperial=imperial)):
            if path in desk.build.values and isinstance(desk.build.values[path], float):
                made = desk.build.with_texts({path: f"{text} {unit}".strip()})
                assert made.values[path] == pytest.approx(desk.build.values[path], rel=1e-5), path


def _entries(html: str) -> list[tuple[str, str, str]]:
    found = re.findall(
        r'<input [^>]*data-do="edit" data-path="([^"]+)"[^>]*?(?:data-unit="([^"]*)" )?value="([^"]*)">', html
    )
    return [(path, value, unit) for path, unit, value in found]


def test_where_a_value_comes_from_is_told(place: Path) -> None:
    place.write_text(place.read_text(encoding="utf-8") + '\n[measured]\nwing_incidence = "0.6 deg"\n', encoding="utf-8")
    desk = Desk(place)
    desk.leave_out("wing.fill")
    wing = shown(desk, "wing")
    fill = wing[wing.index('data-key="f-wing-fill"') :].partition("</div></div>")[0]
    assert 'class="tag assumed"' in fill
    assert "between 35 and 100 %" in fill
    assert "How to measure it" in wing[wing.index('data-key="f-wing-fill"') :]
    incidence = wing[wing.index('data-key="f-wing-incidence"') :]
    assert incidence.index("measured.wing_incidence stands in") < incidence.index('class="field')
    measured = shown(desk, "measured")
    assert 'class="tag measured"' in measured
    for one in measured.split('<div class="field ')[1:]:
        assert 'inputmode="decimal"' not in one or "How to measure it" in one


def test_a_default_is_told_in_the_unit_of_its_field(place: Path) -> None:
    desk = Desk(place)
    assert "then 8 cm" in shown(desk, "part.battery box")
    assert "then 3.14961 in" in shown(desk, "part.battery box", imperial=True)


def test_every_finding_has_its_equation_and_the_page_of_them_is_fresh() -> None:
    assert [each for each in IDS if equation(each) is None] == []
    patterns = table("equations").texts["finding"]
    first = {next(each for each in patterns if fnmatchcase(name, each)) for name in IDS if not name.startswith("wire.")}
    assert sorted(first | {each for each in patterns if each.startswith("wire.")}) == sorted(patterns)
    assert PAGE.read_text(encoding="utf-8") == page(), "run scripts/write_equations.py"


def test_an_equation_asks_of_numbers_and_not_of_flags(place: Path) -> None:
    answers = Desk(place).answers()
    for finding in answers.all():
        told = equation(finding.id)
        assert told is not None
        flag = finding.kind == "difference" and finding.unit == "1" and float(finding.demand[0]) in (0.0, 1.0)
        assert told.asks or flag, finding.id
    found = report.ranked(answers)
    html = answer(answers, found, "rise", "rise.thrust", None, "")
    assert "full thrust at that speed" in html
    assert "has / asks" in html
    assert "What the model takes" in html


def _inputs(page: Page, part: str) -> None:
    page.click("nav.loop button[data-view=change]")
    page.click("button[data-tab=inputs]")
    page.click(f"nav[aria-label=Parts] button[data-part='{part}']")


def test_entries_by_hand(tmp_path: Path, windows: Windows) -> None:
    served = serve(copied(tmp_path, "lake"), "lake.toml")
    try:
        page = windows.open(f"{served.address}/build/lake.toml")
        other = windows.open(f"{served.address}/build/lake.toml")
        _entries_by_hand(page)
        expect(other.locator(".state")).to_contain_text("2 changes not saved")
        page.click("button[data-do=save]")
        expect(page.locator(".state")).to_contain_text(": saved")
        text = (tmp_path / "lake.toml").read_text(encoding="utf-8")
        assert 'name = "paddle and leash"\nmass = "2.50 lb"' in text
        assert "# finish = " in text
        outside = text.replace('"82 kg"', '"83 kg"')
        (tmp_path / "lake.toml").write_text(outside, encoding="utf-8")
        for each in (page, other):
            expect(each.locator(".toast")).to_contain_text("read afresh")
        (tmp_path / "lake.toml").write_text(f'{outside}\n[[joint]]\nname = "a thing of its own"\n', encoding="utf-8")
        expect(page.locator(".toast")).to_contain_text("no such element")
        page.click("nav[aria-label=Parts] button[data-part='joint.a thing of its own']")
        page.click("button[data-do=remove]")
        for each in (page, other):
            expect(each.locator(".toast")).to_contain_text("a thing of its own is taken out")
        expect(page.locator(".state")).to_contain_text("1 change not saved")
    finally:
        end(served)


def _entries_by_hand(page: Page) -> None:
    """Add a part, see a bad one told, rename it, take it out, undo; leave a field out by one control."""
    page.click("nav.loop button[data-view=change]")
    page.select_option("select[data-do=units]", "imperial")
    page.click("button[data-do=adding][data-kind=part]")
    page.fill("#new-name", "paddle")
    page.fill("#new-mass", "2.50")
    page.click("button[data-do=add]")
    expect(page.locator("#new-wrong")).to_contain_text("x: it takes")
    expect(page.locator("#new-mass")).to_have_value("2.50")
    page.fill("#new-x", "1.2 m")
    page.click("button[data-do=add]")
    expect(page.locator("#of")).to_contain_text("paddle")
    expect(page.locator(".state")).to_contain_text("1 change not saved")
    expect(page.locator("#f-part-paddle-mass")).to_have_value("2.50")
    page.fill("#naming", "mast plate")
    page.keyboard.press("Enter")
    expect(page.locator("#name-wrong")).to_contain_text("a second time")
    page.fill("#naming", "paddle and leash")
    page.keyboard.press("Enter")
    expect(page.locator("#of")).to_contain_text("paddle and leash")
    page.click("button[data-do=remove]")
    expect(page.locator(".state")).to_contain_text(": saved")
    page.click("button[data-do=undo]")
    expect(page.locator("nav[aria-label=Parts]")).to_contain_text("paddle and leash")
    _inputs(page, "wing")
    page.click("button[data-do=leave][data-path='wing.finish']")
    expect(page.locator("[data-key=f-wing-finish] .tag.assumed")).to_be_visible()
    expect(page.locator(".state")).to_contain_text("2 changes not saved")
