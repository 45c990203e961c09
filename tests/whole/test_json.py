"""The JSON of an answer: every key that is documented, each of its kind, and no number that is none."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest

from foilwright.build import load
from foilwright.build.build import Build
from foilwright.questions import report_json
from foilwright.questions.ask import QUESTIONS, ask

NUMBERS = {
    "total_mass", "board_volume", "freeboard_prone", "hump_speed", "hump_resistance", "hump_thrust", "take_off_speed",
    "take_off_time", "take_off_distance", "take_off_electric_power", "release_throttle", "slowest_flight",
    "fastest_flight", "cruise_speed", "cruise_drag", "cruise_electric_power", "glide_ratio", "static_margin",
    "run_time", "ride_range",
}  # fmt: skip
CURVES = {
    "rise": {"speed", "resistance", "thrust", "lift_share", "board_trim", "rider_position", "electric_power"},
    "fly": {
        "speed", "drag", "drag_wing_profile", "drag_induced", "drag_wave", "drag_stabiliser", "drag_mast", "drag_spray",
        "drag_junction", "drag_pod", "drag_air", "electric_power", "rider_shift",
    },
    "endure": {"time", "state_of_charge", "voltage", "current"},
    "obey": {"distance", "antenna_height", "margin"},
    "cool": {"time", "controller", "plate", "box_air", "cells", "limit"},
    "hold": {
        "below_board", "moment_sideways", "moment_lengthways", "breaks_sideways", "breaks_lengthways", "used",
    },
}  # fmt: skip
TOP = {
    "format", "program", "build", "verdict", "holds_back", "answers", "ways_out", "assumed", "corrections",
    "numbers", "curves", "seats",
}  # fmt: skip
FINDING: dict[str, Any] = {
    "id": str, "question": str, "name": str, "part": str, "place": str, "case": str, "meaning": str, "kind": str,
    "demand": (float, None), "capacity": (float, None), "unit": str, "margin": (float, None), "required": float,
    "required_why": str, "scale": float, "shortfall": (float, None), "verdict": str, "why": (dict, None), "model": str,
    "source": str, "validity": list, "inputs": list, "assumed": list, "temperature": (float, None),
}  # fmt: skip
ASSUMED = {"path", "value", "unit", "low", "high", "spread", "source", "why"}
VERDICTS = ("fails", "unknown", "slim", "sound")
MEANINGS = ("hurts", "burns", "breaks", "stops", "annoys")
SI = re.compile(r"1(/s)?|dB|(m|kg|s|N|W|J|V|A|K|Pa|rad|ohm|F)(\^[23])?([*/](m|kg|s|N|W|V|A|K)(\^[23])?)*")

CASES: dict[str, dict[str, str]] = {
    **{name: {} for name in load.scenarios()},
    "no thrust": {"controller.battery_current_limit": "15 A"},
    "shallow": {"water.depth": "0.7 m"},
    "outside": {"water.chop": "0.5 m"},
    "heavy": {"rider.mass": "140 kg", "board.thickness": "8 cm"},
    "small pack": {"pack.parallel": "1"},
    "nose heavy": {"mast.x": "15 cm"},
    "short mast": {"mast.length": "25 cm"},
    "unstated": {"-controller.voltage_limit": "", "-cell.current": "", "-propeller.nut_thread": ""},
}
"""Builds that reach every verdict and every reason for none: a scenario, or fields set or left out."""


def build_of(case: str) -> Build:
    changes = CASES[case]
    build = load.scenario(case if not changes else "lake")
    gone = {path.removeprefix("-") for path in changes if path.startswith("-")}
    made = build.with_texts({path: text for path, text in changes.items() if not path.startswith("-")})
    for path in gone & set(made.values):
        name = path.rpartition(".")[2]
        made = load.read(re.sub(rf"(?m)^{name} = .*\n", "", made.text), name="lake", file="lake.toml")
    return made


@pytest.fixture(scope="module", params=CASES)
def tree(request: pytest.FixtureRequest) -> dict[str, Any]:
    made = report_json.document(ask(build_of(request.param)))
    read: dict[str, Any] = json.loads(json.dumps(made, allow_nan=False))
    return read


def findings(tree: dict[str, Any]) -> list[dict[str, Any]]:
    return [finding for answer in tree["answers"].values() for finding in answer["findings"]]


def numbers_in(thing: object) -> Iterator[float]:
    if isinstance(thing, dict):
        thing = list(thing.values())
    if isinstance(thing, list):
        for each in thing:
            yield from numbers_in(each)
    elif isinstance(thing, float):
        yield thing


def test_the_outline_is_as_documented(tree: dict[str, Any]) -> None:
    assert set(tree) == TOP
    assert tree["format"] == 1
    assert re.fullmatch(r"foilwright \d+\.\d+\.\d+", tree["program"])
    assert set(tree["build"]) == {"name", "file", "hash"}
    assert re.fullmatch(r"[0-9a-f]{12}", tree["build"]["hash"])
    assert list(tree["answers"]) == [question.name for question in QUESTIONS]
    assert tree["ways_out"] == []
    assert all(math.isfinite(number) for number in numbers_in(tree))


def test_each_finding_has_every_key_of_its_kind(tree: dict[str, Any]) -> None:
    for finding in findings(tree):
        assert set(FINDING) <= set(finding), finding["id"]
        for key, kinds in FINDING.items():
            allowed = kinds if isinstance(kinds, tuple) else (kinds,)
            value = finding[key]
            plain = tuple((int, float) if kind is float else kind for kind in allowed if kind is not None)
            ok = (value is None and None in allowed) or (
                value is not None and not isinstance(value, bool) and any(isinstance(value, kind) for kind in plain)
            )
            assert ok, f"{finding['id']}.{key} is {value!r}"
        for key in ("id", "name", "part", "required_why", "source"):
            assert finding[key].strip(), f"{finding['id']} has no {key}"


def test_the_words_are_those_that_are_documented(tree: dict[str, Any]) -> None:
    for finding in findings(tree):
        assert finding["verdict"] in VERDICTS
        assert finding["meaning"] in MEANINGS
        assert finding["kind"] in ("ratio", "difference")
        assert SI.fullmatch(finding["unit"]), f"{finding['id']} in {finding['unit']}"
        assert re.fullmatch(rf"{finding['question']}(\.[a-z][a-z0-9_]*)+", finding["id"])


def test_no_number_is_missing_without_a_reason(tree: dict[str, Any]) -> None:
    for finding in findings(tree):
        if finding["why"] is None:
            assert None not in (finding["demand"], finding["capacity"], finding["required"]), finding["id"]
            nothing_asked = finding["kind"] == "ratio" and finding["demand"] <= 0.0
            assert (finding["margin"] is None) == nothing_asked, finding["id"]
            assert (finding["shortfall"] is None) == nothing_asked, finding["id"]
        else:
            assert set(finding["why"]) == {"code", "about"}
            assert finding["why"]["code"] in ("missing", "outside", "no_solution")
            assert finding["why"]["about"], finding["id"]
            assert finding["margin"] is None
            assert finding["verdict"] == ("fails" if finding["why"]["code"] == "no_solution" else "unknown")


def test_verdict_margin_and_shortfall_follow_from_what_was_compared(tree: dict[str, Any]) -> None:
    for finding in findings(tree):
        if finding["why"] is not None:
            continue
        if finding["margin"] is None:
            assert finding["verdict"] == "sound"
            continue
        demand, capacity, margin = finding["demand"], finding["capacity"], finding["margin"]
        told = capacity - demand if finding["kind"] == "difference" else capacity / demand - 1.0
        assert margin == pytest.approx(told, rel=1e-12, abs=1e-12)
        assert finding["shortfall"] == pytest.approx((margin - finding["required"]) / finding["scale"], abs=1e-12)
        word = "fails" if margin < 0.0 else "slim" if margin < finding["required"] else "sound"
        assert finding["verdict"] == word, finding["id"]
        assert finding["kind"] == "difference" or finding["scale"] == 1.0


def test_validity_names_what_lies_outside(tree: dict[str, Any]) -> None:
    for finding in findings(tree):
        for each in finding["validity"]:
            assert set(each) == {"model", "variable", "value", "low", "high", "means"}
            assert isinstance(each["value"], float)
            assert each["means"]
            low, high = each["low"], each["high"]
            assert (low is not None and each["value"] < low) or (high is not None and each["value"] > high)
        if finding["why"] is not None and finding["why"]["code"] == "outside":
            assert finding["validity"], finding["id"]


def test_findings_are_worst_first_and_one_holds_back(tree: dict[str, Any]) -> None:
    for name, answer in tree["answers"].items():
        words = [VERDICTS.index(finding["verdict"]) for finding in answer["findings"]]
        assert words == sorted(words)
        assert VERDICTS.index(answer["verdict"]) == min(words)
        assert {finding["question"] for finding in answer["findings"]} == {name}
    found = {finding["id"]: finding for finding in findings(tree)}
    assert len(found) == len(findings(tree)), "an id stands for one finding"
    assert found[tree["holds_back"]]["verdict"] == tree["verdict"]
    assert VERDICTS.index(tree["verdict"]) == min(VERDICTS.index(f["verdict"]) for f in found.values())
    worst = [finding for finding in found.values() if finding["verdict"] == tree["verdict"]]
    gravest = min(MEANINGS.index(finding["meaning"]) for finding in worst)
    assert MEANINGS.index(found[tree["holds_back"]]["meaning"]) == gravest


def test_what_was_assumed_is_told_with_range_and_source(tree: dict[str, Any]) -> None:
    paths = [each["path"] for each in tree["assumed"]]
    assert len(set(paths)) == len(paths)
    for each in tree["assumed"]:
        assert set(each) == ASSUMED
        assert each["spread"] in ("normal", "uniform", "triangular", "choice")
        assert each["source"]
        assert each["unit"] == "" or SI.fullmatch(each["unit"]) or each["unit"] in ("g/kg", "rad/s/V")
        if isinstance(each["value"], (int, float)):
            assert each["low"] <= each["value"] <= each["high"], each["path"]
    for finding in findings(tree):
        assert set(finding["assumed"]) <= set(finding["inputs"])
        assert set(finding["assumed"]) <= set(paths)
        assert finding["inputs"], finding["id"]


def test_the_numbers_are_those_that_are_documented(tree: dict[str, Any]) -> None:
    assert set(tree["numbers"]) == NUMBERS
    for name, value in tree["numbers"].items():
        assert value is None or isinstance(value, float), name
    never = tree["numbers"]["take_off_speed"] is None
    for name in ("take_off_time", "take_off_distance", "take_off_electric_power", "release_throttle"):
        assert not never or tree["numbers"][name] is None, name
    told = [finding for finding in findings(tree) if finding["id"] == "rise.take_off"]
    assert never == any(finding["why"] and finding["why"]["code"] == "no_solution" for finding in told)


def test_the_curves_are_equally_long_lists(tree: dict[str, Any]) -> None:
    assert set(tree["curves"]) == set(CURVES)
    for name, curve in tree["curves"].items():
        assert CURVES[name] <= set(curve)
        assert len({len(values) for values in curve.values()}) == 1
        along = curve[{"endure": "time", "obey": "distance", "cool": "time", "hold": "below_board"}.get(name, "speed")]
        assert len(along) > 5
        assert all(low <= high for low, high in pairwise(along))
    causes = [values for key, values in tree["curves"]["fly"].items() if key.startswith("drag_")]
    for whole, *parts in zip(tree["curves"]["fly"]["drag"], *causes, strict=True):
        assert sum(parts) == pytest.approx(whole, rel=1e-9)


def test_a_finding_that_never_takes_off_says_what_it_lacks() -> None:
    told = report_json.document(ask(build_of("no thrust")))
    found = next(finding for finding in findings(told) if finding["id"] == "rise.take_off")
    assert found["why"]["code"] == "no_solution"
    assert found["case"] == "a set current limit holds the thrust back"
    assert 0.01 < found["relief"] < 1.0


def test_ids_are_the_same_in_every_build() -> None:
    every = [[finding.id for finding in ask(build_of(case)).all()] for case in CASES]
    assert all(ids == every[0] for ids in every)


def sorted_by_id(case: str) -> list[dict[str, Any]]:
    return sorted(findings(report_json.document(ask(build_of(case)))), key=lambda finding: str(finding["id"]))


def test_the_cases_reach_every_verdict_and_reason() -> None:
    found = [finding for case in CASES for finding in sorted_by_id(case)]
    assert {finding["verdict"] for finding in found} == set(VERDICTS)
    assert {finding["why"]["code"] for finding in found if finding["why"]} == {"missing", "outside", "no_solution"}


def test_one_row_of_many_is_told_like_one() -> None:
    build = load.scenario("lake")
    many = ask(build, vary={"rider.mass": [60.0, 82.0, 110.0]})
    one = report_json.document(ask(build, vary={"rider.mass": [110.0]}))
    row = report_json.document(many, row=2)
    assert row["holds_back"] == one["holds_back"]
    for told, alone in zip(findings(row), findings(one), strict=True):
        assert (told["id"], told["verdict"]) == (alone["id"], alone["verdict"])
    assert row["curves"] == {}
