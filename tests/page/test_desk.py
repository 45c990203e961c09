"""The desk without any screen: edits, steps, the draft, conflicts, saving."""

from __future__ import annotations

from pathlib import Path

import pytest

from conftest import copied
from foilwright.build import load
from foilwright.core.errors import FoilwrightError, PlaceError
from foilwright.page import draft
from foilwright.page.desk import Desk, plain_name
from foilwright.page.exploring import Search, search
from foilwright.page.inputs import Shown, fields, parts
from foilwright.page.marks import safe


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A build in a folder of its own."""
    return copied(tmp_path, "lake") / "lake.toml"


def test_an_edit_is_a_step(place: Path) -> None:
    desk = Desk(place)
    assert not desk.dirty
    assert desk.edit("wing.area", "1700 cm^2")
    assert desk.edit("rider.mass", "90 kg")
    assert desk.build.values["wing.area"] == pytest.approx(0.17)
    desk.undo()
    assert "rider.mass" not in desk.edits
    desk.undo()
    assert not desk.can_undo
    assert desk.build.values == desk.file.values
    desk.redo()
    assert desk.edits == {"wing.area": "1700 cm^2"}
    desk.edit("mast.length", "70 cm")
    assert not desk.can_redo


def test_what_is_as_in_the_file_is_no_change(place: Path) -> None:
    desk = Desk(place)
    before = str(desk.file.values["rider.mass"])
    desk.edit("rider.mass", "90 kg")
    desk.edit("rider.mass", f"{before} kg")
    assert not desk.dirty


def test_what_cannot_be_is_kept_with_its_reason(place: Path) -> None:
    desk = Desk(place)
    assert not desk.edit("wing.area", "12 kg")
    text, why = desk.wrong["wing.area"]
    assert text == "12 kg"
    assert "an area from" in why
    assert desk.build.values == desk.file.values
    again = Desk(place)
    assert again.wrong["wing.area"][0] == "12 kg"
    assert again.edit("wing.area", "0.15 m^2")
    assert not again.wrong


def test_a_draft_comes_back(place: Path) -> None:
    desk = Desk(place)
    desk.edit("wing.area", "1700 cm^2")
    desk.edit("rider.mass", "90 kg")
    desk.undo()
    again = Desk(place)
    assert again.edits == {"wing.area": "1700 cm^2"}
    assert again.can_redo
    assert "brought back" in again.told[0]
    assert again.save()
    assert not draft.place(place).exists()
    assert not Desk(place).told


@pytest.mark.parametrize(
    "text", ["", "{", "[]", '{"format": 1}', '{"format":1,"base":"x","steps":[],"at":0,"wrong":{}}']
)
def test_a_draft_that_cannot_be_read_is_put_aside(place: Path, text: str) -> None:
    draft.place(place).write_text(text, encoding="utf-8")
    assert not Desk(place).dirty
    assert place.with_name(".lake.toml.draft.unreadable").read_text(encoding="utf-8") == text


def test_saving_keeps_comments_and_undo(place: Path) -> None:
    before = place.read_text(encoding="utf-8")
    desk = Desk(place)
    desk.edit("rider.mass", "90 kg")
    desk.edit("wing.dihedral", "2 deg")
    assert desk.save()
    text = place.read_text(encoding="utf-8")
    assert '"90 kg"' in text
    assert next(line for line in before.splitlines() if line.startswith("#")) in text
    assert place.with_name("lake.toml.bak").read_text(encoding="utf-8") == before
    assert not desk.dirty
    desk.undo()
    desk.undo()
    assert desk.build.values["rider.mass"] == load.read(before, name="lake", file="lake.toml").values["rider.mass"]
    desk.redo()
    desk.redo()
    assert not desk.dirty


def test_a_file_changed_outside_is_a_conflict_and_never_overwritten(place: Path) -> None:
    desk = Desk(place)
    desk.edit("rider.mass", "90 kg")
    other = place.read_text(encoding="utf-8").replace("# ", "#  ", 1) + "\n# written elsewhere\n"
    place.write_text(other, encoding="utf-8")
    assert not desk.save()
    assert desk.conflict
    assert place.read_text(encoding="utf-8") == other
    desk.settle(mine=True)
    assert desk.edits == {"rider.mass": "90 kg"}
    assert desk.save()
    assert "# written elsewhere" in place.read_text(encoding="utf-8")


def test_the_other_side_of_a_conflict_stays_one_redo_away(place: Path) -> None:
    desk = Desk(place)
    desk.edit("rider.mass", "90 kg")
    place.write_text(place.read_text(encoding="utf-8") + "\n# other\n", encoding="utf-8")
    desk.look()
    assert desk.conflict
    desk.settle(mine=False)
    assert not desk.dirty
    desk.redo()
    assert desk.edits == {"rider.mass": "90 kg"}


def test_a_draft_upon_another_text_is_a_conflict(place: Path) -> None:
    Desk(place).edit("rider.mass", "90 kg")
    place.write_text(place.read_text(encoding="utf-8") + "\n# other\n", encoding="utf-8")
    assert Desk(place).conflict


def test_without_changes_the_file_is_read_afresh(place: Path) -> None:
    desk = Desk(place)
    text = place.read_text(encoding="utf-8")
    place.write_text(text.replace('"82 kg"', '"91 kg"'), encoding="utf-8")
    desk.look()
    assert desk.build.values["rider.mass"] == 91.0
    assert "read afresh" in desk.told[0]


def test_a_file_that_is_gone_is_told(place: Path) -> None:
    desk = Desk(place)
    desk.edit("rider.mass", "90 kg")
    place.unlink()
    assert not desk.save()
    assert desk.gone
    kept = desk.save_as("rescued")
    assert load.load(kept).values["rider.mass"] == 90.0


@pytest.mark.parametrize("name", ["", "../up", "a/b", "a\\b", ".hidden", "x" * 61])
def test_names_of_files(name: str) -> None:
    with pytest.raises(PlaceError):
        plain_name(name)


def test_a_copy_never_overwrites(place: Path) -> None:
    with pytest.raises(PlaceError):
        Desk(place).save_as("lake")


def test_every_field_has_its_place(place: Path) -> None:
    desk = Desk(place)
    answers = desk.answers()
    known = {part for _, here in parts(desk.build) for part in here}
    assert {path.rpartition(".")[0] for path in desk.build.paths()} <= known
    for part in known:
        for imperial in (False, True):
            shown = fields(desk, answers, Shown(part=part, imperial=imperial, units={}))
            assert "nan" not in shown
            assert shown.count("<label for") == shown.count('data-do="edit"') + shown.count('data-do="rename"')


def test_text_is_shown_and_not_obeyed(place: Path) -> None:
    desk = Desk(place)
    desk.edit("wing.area", '<img src=x onerror="alert(1)">')
    shown = fields(desk, desk.answers(), Shown(part="wing", imperial=False, units={}))
    assert "<img" not in shown
    assert safe("<b>") in "&lt;b&gt;"


def test_a_search_begins_about_what_is_there(place: Path) -> None:
    build = Desk(place).build
    here = Search()
    shown = search(build, here, fails=False)
    given = here.given()
    assert given["where"] == "not-failing"
    assert [each.partition("=")[0] for each in given["vary"]] == ["wing.area", "wing.span", "propeller.pitch"]
    assert "take-off, speed" in shown
    here.vary[0] = ["wing.area", "900", "1500 cm^2"]
    with pytest.raises(FoilwrightError, match="from and to"):
        here.given()
