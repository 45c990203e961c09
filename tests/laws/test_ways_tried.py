"""Laws of the search for ways out: what is tried, how it is written, what is taken over, what comes first."""

from __future__ import annotations

import fnmatch
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.build import load
from foilwright.build.build import Build
from foilwright.build.schema import LISTS, TABLES
from foilwright.core.data import table
from foilwright.questions.ask import ask
from foilwright.study.ways import alike, reach
from foilwright.study.ways.fields import FAR, NEAR, Field, admissible
from foilwright.study.ways.rank import COSTS, EFFORTS, cost, effort
from foilwright.study.ways.trials import Trials, outcome, vary

SCENARIOS = load.scenarios()
DESIGNS = 41
"""Designs of the laws below: a prime."""


def fields(name: str = "lake") -> tuple[Field, ...]:
    return admissible(load.scenario(name), as_built=True)


# What may be changed, and to what


@pytest.mark.parametrize("name", SCENARIOS)
def test_every_field_is_admissible_unless_it_says_why_not(name: str) -> None:
    build = load.scenario(name)
    found = {field.path for field in admissible(build, as_built=True)}
    for path in build.paths():
        meta, size = build.meta(path), path.rpartition(".")[2]
        if meta.fixed or meta.kind in ("text", "flag"):
            assert path not in found
        elif size not in ("area", "span", "aspect_ratio", "mean_chord") or path in build.values:
            assert path in found


def test_what_is_held_is_left_out() -> None:
    found = {field.path for field in admissible(load.scenario("lake"), as_built=True, held=("wing.area",))}
    assert "wing.area" not in found
    assert "wing.span" in found


@pytest.mark.parametrize("name", SCENARIOS)
def test_what_is_tried_is_what_is_written(name: str) -> None:
    build = load.scenario(name)
    for field in fields(name):
        if field.meta.kind == "choice":
            values: tuple[object, ...] = field.others()
        else:
            values = tuple(v for r in range(NEAR, FAR + 1) for up in (False, True) for v in field.at(r, up=up))
        assert values, field.path
        for value in values:
            assert value != field.base
            if not field.may_contradict:
                assert build.with_texts({field.path: field.written(value)}).values[field.path] == value, field.path


@pytest.mark.parametrize("up", [False, True])
def test_farther_is_farther(up: bool) -> None:
    for field in fields():
        if field.meta.kind != "choice":
            away = [abs(float(v) - field.start) for r in range(NEAR, FAR + 1) for v in field.at(r, up=up)]
            assert away == sorted(away), field.path
            assert all((float(v) > field.start) == up for r in range(NEAR, FAR + 1) for v in field.at(r, up=up))


@given(share=st.floats(0.05, 0.95), number=st.integers(0, 400))
@settings(max_examples=60, deadline=None)
def test_a_value_between_two_lies_between_them(share: float, number: int) -> None:
    numeric = [field for field in fields() if field.meta.kind != "choice"]
    field = numeric[number % len(numeric)]
    last = next(iter(field.at(FAR, up=True) + field.at(FAR, up=False)))
    for value in field.between(field.start, float(last), shares=(share,)):
        assert min(field.start, float(last)) < float(value) < max(field.start, float(last))
        assert field.low <= float(value) <= field.high


def test_the_size_of_a_change_grows_with_it() -> None:
    for field in fields():
        if field.meta.kind != "choice":
            sizes = [field.size(v) for r in range(NEAR, FAR + 1) for v in field.at(r, up=True)]
            assert sizes == sorted(sizes), field.path


# What a change takes


def test_the_table_of_practice_is_as_it_must_be() -> None:
    rows = table("ways").texts
    assert set(rows["effort"]) <= set(EFFORTS)
    assert set(rows["cost"]) <= set(COSTS)
    assert rows["field"][-1] == "*"
    assert "ommon practice" in table("ways").source[0]
    for phrase in rows["phrase"]:
        phrase.format_map({"to": "", "from": "", "name": "", "entry": ""})


def test_each_table_of_the_build_file_has_its_row() -> None:
    patterns = [pattern for pattern in table("ways").texts["field"] if pattern != "*"]
    for name in [*TABLES, *LISTS]:
        if name not in ("measured", "factors"):
            head = f"{name}.one" if name in LISTS else name
            assert any(fnmatch.fnmatchcase(f"{head}.some_field", p) or p.startswith(f"{name}.") for p in patterns), name


def test_what_is_done_on_the_beach_takes_minutes() -> None:
    for field in fields():
        if field.meta.beach:
            assert (effort([field]), cost([field])) == ("minutes", "none"), field.path


# What is taken over


@dataclass(frozen=True)
class Record:
    """What a result may be made of."""

    designs: int
    values: np.ndarray
    names: tuple[str, ...]
    inside: dict[str, object]


def record(designs: int, value: float) -> Record:
    rows = np.arange(designs)
    wide = np.broadcast_to(np.linspace(0.0, value, 3), (designs, 3))
    stacked = np.repeat([value, 1.0], designs)
    inside = {"rows": rows, "cases": (wide.T, np.full(designs, np.nan)), "fixed": np.arange(5.0), "stacked": stacked}
    return Record(designs=designs, values=np.full(designs, value), names=("sanded",) * designs, inside=inside)


@given(value=st.floats(-1e6, 1e6), designs=st.integers(1, 60).filter(lambda n: n not in (3, 5)))
@settings(max_examples=30, deadline=None)
def test_a_result_of_equal_designs_becomes_that_of_any_number(value: float, designs: int) -> None:
    one = alike.one_of(record(DESIGNS, value), DESIGNS)
    assert one is not alike.WHOLE
    assert not alike.unlike(alike.many_of(one, designs), record(designs, value))


def test_designs_that_differ_cannot_be_told_as_one() -> None:
    assert alike.one_of(np.linspace(0.0, 1.0, DESIGNS), DESIGNS) is alike.WHOLE
    assert alike.one_of((object(),), DESIGNS) is alike.WHOLE
    assert alike.one_of(np.zeros((DESIGNS, DESIGNS)), DESIGNS) is alike.WHOLE


def test_where_designs_differ_is_seen() -> None:
    one = alike.one_of(np.full(DESIGNS, 2.0), DESIGNS)
    assert alike.different(np.full(3, 2.0), one, 3) is None
    assert alike.different(np.array([2.0, 3.0, np.nan]), one, 3).tolist() == [False, True, True]
    names = alike.one_of(("sanded",) * DESIGNS, DESIGNS)
    assert alike.different(("sanded", "printed"), names, 2).tolist() == [False, True]
    assert alike.different(("sanded",) * 2, names, 2) is None


def samples(build: Build, *, open_: bool) -> Iterator[tuple[str, object]]:
    for field in admissible(build, as_built=True):
        if (field.base is None) == open_:
            values = (
                field.others() if field.meta.kind == "choice" else field.at(NEAR, up=True) + field.at(NEAR, up=False)
            )
            yield field.path, values[0]


@pytest.mark.parametrize("name", SCENARIOS)
def test_what_a_change_does_not_reach_is_as_if_worked_out(name: str) -> None:
    build = load.scenario(name)
    plain = ask(build)
    trials = Trials(plain, admissible(build, as_built=True), as_built=True)
    designs = [{path: value} for path, value in samples(build, open_=False)]
    designs += [{path: value} for path, value in samples(build, open_=True)]
    rows = trials.rows(designs)
    opened = [frozenset(path for path in design if trials.base[path] is None) for design in designs]
    for stated in set(opened):
        group = [k for k, design in enumerate(designs) if opened[k] == stated and rows[k] >= 0]
        fresh = outcome(ask(build, vary=vary(trials.base, [designs[k] for k in group])))
        for row, k in enumerate(group):
            label = str(designs[k])
            assert np.array_equal(trials.out.verdict[rows[k]], fresh.verdict[row]), label
            assert np.array_equal(trials.out.applies[rows[k]], fresh.applies[row]), label
            there = fresh.applies[row]
            np.testing.assert_allclose(
                trials.out.margin[rows[k]][there], fresh.margin[row][there], rtol=1e-9, atol=1e-9, err_msg=label
            )


def test_each_result_and_question_reads_something() -> None:
    found = reach.reads(load.scenario("lake"), as_built=True)
    assert found["water"] == {"water.temperature", "water.salinity"}
    assert "radio.film" in found["obey"]
    assert "radio.film" not in found["run"]
    assert found["run"] <= found["rise"]
