"""Builds side by side: what changed, what it did, text, JSON and plots."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import foilwright as fw
from foilwright import cli
from foilwright.build import load
from foilwright.core.data import folder
from foilwright.questions.ask import ask
from foilwright.questions.report import why
from foilwright.study import plots
from foilwright.study.compare import Comparison, compare, document, figures, text

LAKE = load.scenario("lake")
HEAVY = LAKE.with_texts({"rider.mass": "140 kg", "wing.area": "900 cm^2", "propeller.nut_lock": "none"})


@pytest.fixture(scope="module")
def found() -> Comparison:
    return compare([LAKE, HEAVY])


def test_exactly_what_was_changed_is_told(found: Comparison) -> None:
    assert {each.path for each in found.changes} == {"rider.mass", "wing.area", "propeller.nut_lock"}
    assert not found.stated
    values = {each.path: each.values for each in found.changes}
    assert values["rider.mass"] == (82.0, 140.0)
    assert values["propeller.nut_lock"][1] == "none"


def test_every_finding_is_that_of_a_plain_ask(found: Comparison) -> None:
    for place, build in enumerate((LAKE, HEAVY)):
        alone = {each.id: each for each in ask(build).all()}
        for effect in found.effects:
            here = effect.findings[place]
            if here is None:
                assert not alone[effect.id].applies[0]
                continue
            np.testing.assert_array_equal(here.margin, alone[effect.id].margin)
            assert why(here, 0) == why(alone[effect.id], 0)


def test_turned_verdicts_come_first_and_the_worst_of_them_first(found: Comparison) -> None:
    turned = [each.turned for each in found.effects]
    assert turned == sorted(turned, reverse=True)
    assert found.effects[0].verdicts[1] == "fails"
    assert "push.nut_lock" in {each.id for each in found.effects if each.turned}
    moved = [each.moved for each in found.effects if not each.turned]
    assert moved == sorted(moved, reverse=True)


def test_a_build_against_itself_shows_nothing() -> None:
    same = compare([LAKE, LAKE])
    assert not same.changes
    assert not any(each.turned or each.moved for each in same.effects)
    told = text(same)
    assert "nothing that counts" in told
    assert "none changed" in told


def test_stating_what_was_assumed_changes_nothing() -> None:
    stated = LAKE.with_texts({"controller.standby": "8 W", "motor.thermal_resistance": "0.30 K/W"})
    found = compare([LAKE, stated])
    assert [each.path for each in found.stated] in ([], ["controller.standby"])
    assert "motor.thermal_resistance" in {each.path for each in found.changes}
    assert "(0.35 K/W)" in text(found)


def test_another_unit_is_no_change() -> None:
    text_ = LAKE.text.replace('mass = "82 kg"', 'mass = "82000 g"')
    assert text_ != LAKE.text
    assert not compare([LAKE, load.read(text_, name="other", file="other.toml")]).changes


def test_parts_and_legs_that_come_and_go_are_one_change_each() -> None:
    found = compare([load.scenario("lake"), load.scenario("sea")])
    gone = [each for each in found.changes if each.path.startswith(("part.", "ride.leg."))]
    assert {each.path.count(".") for each in gone} <= {1, 2, 3}
    assert ("there", None) in {each.values for each in gone}


@pytest.mark.parametrize("count", range(2, 9))
def test_the_words_of_two_to_eight_builds(count: int) -> None:
    builds = [load.scenario(name) for name in (load.scenarios() * 2)[:count]]
    told = text(compare(builds))
    assert max(map(len, told.splitlines())) <= 80
    assert told.count("version ") == count
    assert "nan" not in told.lower().replace("finan", "")


def test_the_words(found: Comparison) -> None:
    told = " ".join(text(found).split())
    assert "WHAT CHANGED 3 fields" in told
    assert "rider.mass 82 kg 140 kg" in told
    assert "wing.area 1600 cm² 900 cm²" in told
    assert "verdicts turned" in told


def test_the_tree(found: Comparison) -> None:
    tree = json.loads(json.dumps(document(found), allow_nan=False), parse_constant=pytest.fail)
    assert set(tree) == {"format", "program", "builds", "changes", "stated", "findings", "numbers", "curves"}
    assert [each["name"] for each in tree["builds"]] == ["lake", "lake"]
    assert len({each["hash"] for each in tree["builds"]}) == 2
    assert {each["path"] for each in tree["changes"]} == {"rider.mass", "wing.area", "propeller.nut_lock"}
    for each in tree["findings"]:
        assert len(each["verdicts"]) == len(each["margins"]) == len(each["why"]) == 2
        for verdict, margin, reason in zip(each["verdicts"], each["margins"], each["why"], strict=True):
            if verdict in ("slim", "fails") and reason is None:
                assert margin is not None
    assert all(len(values) == 2 for values in tree["numbers"].values())
    assert set(tree["curves"][0]) >= {"rise", "fly", "endure"}


def test_the_plots(found: Comparison, tmp_path: Path) -> None:
    made = plots.draw(tmp_path, figures(found))
    assert {path.name for path in made} == {
        f"compare-{name}.{kind}" for name in ("rise", "fly", "endure") for kind in ("png", "svg")
    }
    assert all(path.stat().st_size > 5000 for path in made)
    again = plots.draw(tmp_path / "again", figures(found))
    assert [path.read_bytes() for path in again] == [path.read_bytes() for path in made]


def test_plots_of_craft_that_never_fly(tmp_path: Path) -> None:
    builds = [load.scenario("first-try"), load.scenario("lake"), load.scenario("sea"), load.scenario("trainer")]
    assert len(plots.draw(tmp_path, figures(compare(builds)))) == 6


def test_too_few_and_too_many() -> None:
    for builds in ([LAKE], [LAKE] * 9):
        with pytest.raises(fw.FoilwrightError, match="2 to 8 builds"):
            compare(builds)


def test_from_python() -> None:
    assert isinstance(fw.compare(LAKE, HEAVY, questions=["rise"]), Comparison)
    with pytest.raises(fw.FoilwrightError, match="did you mean rise"):
        fw.compare(LAKE, HEAVY, questions=["rize"])


def test_the_command(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    lake, sea = (str(folder() / "scenarios" / f"{name}.toml") for name in ("lake", "sea"))
    assert cli.main(["compare", lake, sea]) == 0
    assert "WHAT CHANGED" in capsys.readouterr().out
    assert cli.main(["compare", lake, sea, "--json", "--as-designed"]) == 0
    tree: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert [each["name"] for each in tree["builds"]] == ["lake", "sea"]
    assert cli.main(["compare", lake, sea, "--plot", str(tmp_path / "drawn")]) == 0
    assert "compare-rise" in capsys.readouterr().out
    assert cli.main(["compare", lake]) == 2
    assert "2 to 8 builds" in capsys.readouterr().err
    assert cli.main(["compare", lake, "none.toml", "no.toml", "--json"]) == 2
    tree = json.loads(capsys.readouterr().out)
    assert len(tree["errors"]) == 2
