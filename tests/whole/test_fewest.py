"""Of changes that clear a whole build, the few that one question needs."""

from __future__ import annotations

from foilwright.build import load
from foilwright.questions.ask import ask
from foilwright.questions.way import Change
from foilwright.study.ways.fewest import fewest


def _change(path: str, written: str) -> Change:
    return Change(path=path, unit="", before=None, after=written, written=written, told=path, place="workshop")


def test_what_is_not_needed_is_left_out() -> None:
    build = load.scenario("first-try")
    changes = [
        _change("stabiliser.incidence", "1.4 deg"), _change("radio.kill_cord", "the throttle signal"),
        _change("wing.area", "2000 cm^2"), _change("wing.span", "110 cm"), _change("propeller.pitch", "12 cm"),
        _change("pack.link_resistance", "4 mohm"), _change("mast.material", "aluminium"),
    ]  # fmt: skip
    kept = fewest(build, changes, "rise")
    assert "radio.kill_cord" not in {each.path for each in kept}
    made = build.with_texts({each.path: each.written for each in kept})
    assert ask(made, questions=("rise",)).verdict() != "fails"
    for left in kept:
        rest = {each.path: each.written for each in kept if each is not left}
        assert ask(build.with_texts(rest), questions=("rise",)).verdict() == "fails"


def test_changes_that_contradict_each_other_give_none() -> None:
    changes = [_change("wing.area", "2000 cm^2"), _change("pack.stop_charge", "200 %")]
    assert fewest(load.scenario("first-try"), changes, "rise") == ()


def test_changes_that_do_not_clear_it_give_none() -> None:
    assert fewest(load.scenario("first-try"), [_change("radio.kill_cord", "the throttle signal")], "rise") == ()
