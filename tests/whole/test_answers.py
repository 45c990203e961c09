"""Findings: their ids last, each says where it comes from, and a margin becomes the right word."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from foilwright.build import load
from foilwright.build.build import Build
from foilwright.build.schema import LISTS
from foilwright.core.model import REGISTRY
from foilwright.questions.ask import QUESTIONS, Answers, ask
from foilwright.questions.finding import MEANINGS, NO_SOLUTION, VERDICTS, Beyond, Finding, Maker, is_flag
from foilwright.questions.report import something_fails, why

IDS = Path(__file__).with_name("finding_ids.txt")
LAKE = load.scenario("lake")


@pytest.fixture(scope="module")
def lake() -> Answers:
    return ask(LAKE)


def without(*paths: str) -> Build:
    """Return the lake craft with fields left out."""
    lines, table = [], ""
    for line in LAKE.text.splitlines():
        if line.startswith("["):
            table = line.strip("[]")
        if f"{table}.{line.partition(' = ')[0]}" not in paths:
            lines.append(line)
    return load.read("\n".join(lines) + "\n", name="lake", file="lake.toml")


def one(answers: Answers, name: str) -> Finding:
    return next(finding for finding in answers.all() if finding.id == name)


def word(finding: Finding, row: int = 0) -> str:
    return VERDICTS[finding.verdict[row]]


def test_ids_are_unique_and_last(lake: Answers) -> None:
    """An id once given stays: other parts refer to it. A new one is added to the list."""
    ids = [finding.id for finding in lake.all()]
    assert len(set(ids)) == len(ids)
    kept = IDS.read_text(encoding="utf-8").split()
    assert kept == sorted(set(kept)), "the list is in order, without doubles"
    lost = set(kept) - set(ids)
    assert not lost, f"ids that others may refer to are gone: {sorted(lost)}"
    new = set(ids) - set(kept)
    assert not new, f"add to {IDS.name}: {sorted(new)}"


def test_an_id_begins_with_its_question(lake: Answers) -> None:
    for question, found in lake.findings.items():
        assert found, question
        for finding in found:
            assert finding.id.startswith(question + "."), finding.id
            assert finding.question == question


def test_each_finding_says_what_it_rests_on(lake: Answers) -> None:
    paths, lists = set(LAKE.paths()), set(LISTS)
    for finding in lake.all():
        assert finding.meaning in MEANINGS, finding.id
        for told in (finding.name, finding.part, finding.source, finding.required_why, finding.unit):
            assert told.strip() == told, finding.id
            assert told, finding.id
        assert "  " not in finding.required_why, finding.id
        assert finding.inputs, finding.id
        unknown = [path for path in finding.inputs if path not in paths and path not in lists]
        assert not unknown, f"{finding.id} rests on fields that do not exist: {unknown}"
        assert paths & set(finding.inputs), finding.id
        assert not finding.missing or finding.missing in paths, finding.id
        assert finding.scale > 0.0, finding.id
        assert finding.kind == "difference" or finding.scale == 1.0, finding.id
        assert (np.asarray(finding.case) < len(finding.cases)).all(), finding.id


def test_a_model_that_is_named_exists(lake: Answers) -> None:
    """The first word is the module, the second a registered model or, for geometry, a function."""
    modules = {name.partition(".")[0] for name in REGISTRY}
    for finding in lake.all():
        if finding.model:
            module = finding.model.partition(".")[0]
            assert module in modules | {"board", "mass"}, f"{finding.id}: {finding.model}"


def made(**given: Any) -> Finding:
    """Return a finding of one design with the given numbers."""
    make = Maker(question="test", designs=1)
    demand, capacity = (np.array([float(given.pop(name))]) for name in ("demand", "capacity"))
    make.add(
        "key", name="A thing", part="board", meaning="stops", unit="N", required=given.pop("required", 0.25),
        required_why="a reason", source="somewhere", inputs="board.length", demand=demand, capacity=capacity, **given,
    )  # fmt: skip
    return make.made[0]


@pytest.mark.parametrize(
    ("demand", "capacity", "verdict"),
    [
        (100.0, 125.0, "sound"), (100.0, 124.9, "slim"), (100.0, 100.0, "slim"), (100.0, 99.9, "fails"),
        (100.0, 0.0, "fails"), (100.0, -5.0, "fails"), (0.0, 1.0, "sound"), (-3.0, 1.0, "sound"), (0.0, 0.0, "sound"),
    ],
)  # fmt: skip
def test_a_ratio_becomes_a_word(demand: float, capacity: float, verdict: str) -> None:
    assert word(made(demand=demand, capacity=capacity)) == verdict


@pytest.mark.parametrize(
    ("demand", "capacity", "verdict"),
    [
        (300.0, 300.25, "sound"),
        (300.0, 300.2, "slim"),
        (300.0, 300.0, "slim"),
        (300.0, 299.9, "fails"),
        (-0.5, -0.4, "slim"),
    ],
)
def test_a_difference_becomes_a_word(demand: float, capacity: float, verdict: str) -> None:
    assert word(made(demand=demand, capacity=capacity, kind="difference", scale=0.5)) == verdict


def test_shortfall_counts_in_the_scale() -> None:
    finding = made(demand=1.0, capacity=1.5, kind="difference", scale=0.05)
    assert finding.shortfall[0] == pytest.approx(5.0)
    assert made(demand=2.0, capacity=3.0).shortfall[0] == pytest.approx(0.25)


def beyond(value: float, **given: Any) -> Beyond:
    return Beyond(model="m", variable="v", value=np.array([value]), low=0.0, high=1.0, means="too far", **given)


def test_what_is_not_known_is_told_apart() -> None:
    yes = np.array([True])
    cases: dict[str, tuple[dict[str, Any], str]] = {
        "a missing input": ({"is_missing": yes, "missing": "motor.mass"}, "unknown"),
        "a limit that decides": ({"beyond": [beyond(2.0, decides=True)]}, "unknown"),
        "a limit that does not decide": ({"beyond": [beyond(2.0, decides=False)]}, "sound"),
        "a limit that is kept": ({"beyond": [beyond(0.5, decides=True)]}, "sound"),
        "no solution": ({"no_solution": yes}, "fails"),
        "no solution, also outside": ({"no_solution": yes, "beyond": [beyond(2.0, decides=True)]}, "fails"),
        "no solution where no model holds": (
            {"no_solution": yes, "beyond": [beyond(2.0, decides=True, voids=True)]}, "unknown",
        ),
    }  # fmt: skip
    for name, (given, verdict) in cases.items():
        assert word(made(demand=1.0, capacity=2.0, **given)) == verdict, name


def test_a_number_that_is_none_is_never_a_verdict_in_silence() -> None:
    finding = made(demand=float("nan"), capacity=1.0)
    assert word(finding) == "unknown"
    assert why(finding, 0) is not None


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("motor.current_limit", "push.motor_current"),
        ("cell.current_limit", "push.cell_current"),
        ("controller.voltage_limit", "push.voltage"),
    ],
)
def test_a_limit_that_the_part_brings_is_never_assumed(path: str, name: str) -> None:
    answers = ask(without(path))
    finding = one(answers, name)
    assert word(finding) == "unknown"
    assert why(finding, 0) == {"code": "missing", "about": path}
    assert path not in {each.path for each in answers.assumed}
    assert finding.meaning == "burns"
    assert something_fails(answers), "an unknown that burns must set the exit status"


def test_a_small_unknown_does_not_set_the_exit_status(lake: Answers) -> None:
    assert not something_fails(lake)
    answers = ask(without("propeller.nut_lock"))
    assert word(one(answers, "push.nut_lock")) == "unknown"
    assert one(answers, "push.nut_lock").meaning not in ("hurts", "burns")
    assert not something_fails(answers)


def test_what_never_takes_off_fails() -> None:
    answers = ask(LAKE, vary={"wing.area": np.array([0.004]), "wing.span": np.array([0.15])})
    assert np.isnan(answers.numbers["take_off_speed"][0])
    take_off = one(answers, "rise.take_off")
    assert word(take_off) == "fails"
    assert take_off.reason[0] == NO_SOLUTION
    for name in ("rise.time", "rise.release"):
        assert not one(answers, name).applies[0], f"{name} has no object without a take-off"
    assert something_fails(answers)
    assert word(answers.holds_back()) == "fails"


def test_what_never_flies_fails() -> None:
    answers = ask(LAKE, vary={"controller.battery_current_limit": np.array([5.0])})
    assert np.isnan(answers.numbers["slowest_flight"][0])
    assert word(one(answers, "fly.band")) == "fails"
    for name in ("fly.cruise", "fly.pitch", "fly.static_margin"):
        assert not one(answers, name).applies[0], f"{name} has no object without flight"
    assert word(one(answers, "push.duty")) == "fails", "full throttle that is too weak is no operating point at cruise"


def test_what_does_not_apply_is_never_counted() -> None:
    finding = made(demand=2.0, capacity=1.0, applies=np.array([False]))
    assert word(finding) == "sound"
    assert why(finding, 0) is None
    answers = ask(LAKE, vary={"wing.area": np.array([0.004]), "wing.span": np.array([0.15])})
    assert all(each.applies[0] for each in answers.worst_first())


def test_the_worst_comes_first(lake: Answers) -> None:
    answers = ask(LAKE, vary={"rider.mass": np.array([82.0, 140.0]), "pack.parallel": np.array([7.0, 2.0])})
    for row in range(2):
        order = answers.worst_first(row)
        right = [is_flag(finding, row) and word(finding, row) == "sound" for finding in order]
        keys = [
            (int(finding.verdict[row]), len(MEANINGS) if flag else MEANINGS.index(finding.meaning))
            for finding, flag in zip(order, right, strict=True)
        ]
        assert keys == sorted(keys)
        assert answers.holds_back(row) is order[0]
        assert answers.verdict(row=row) == word(order[0], row)
    assert {question.name for question in QUESTIONS} == set(lake.findings)


def test_a_ride_is_named_after_what_ended_it() -> None:
    by_charge = one(ask(LAKE), "endure.run_time")
    assert by_charge.cases[by_charge.case[0]] == "ended by the charge"
    high = ask(LAKE, vary={"pack.stop_voltage": np.array([3.6])})
    by_voltage = one(high, "endure.run_time")
    assert by_voltage.cases[by_voltage.case[0]] == "ended by the voltage under load"


def test_a_slow_leg_is_judged_on_the_hull() -> None:
    legs = [path for path in LAKE.paths() if path.startswith("ride.leg.") and path.endswith(".speed")]
    answers = ask(LAKE, vary={path: np.array([1.5]) for path in legs})
    assert word(one(answers, "endure.speeds")) == "sound"
