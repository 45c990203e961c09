"""The ground everything stands on: roots and interpolation held to scipy, validity, tables, errors."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.interpolate import CubicHermiteSpline, RegularGridInterpolator
from scipy.optimize import brentq

from foilwright.core import data, solve
from foilwright.core.errors import (
    BuildFileError,
    DataError,
    Fault,
    FoilwrightError,
    ModelError,
    PlaceError,
)
from foilwright.core.model import REGISTRY, Model, Result, model

numbers = st.floats(-5.0, 5.0, allow_subnormal=False)
RNG = np.random.default_rng(7)


# Roots


@given(arrays(np.float64, 6, elements=st.floats(0.05, 20.0)))
def test_bracketed_finds_the_root_that_scipy_finds(level: np.ndarray) -> None:
    def excess(x: np.ndarray, level: np.ndarray = level) -> np.ndarray:
        return x**3 + np.expm1(x) - level

    root = solve.bracketed(excess, np.zeros(6), np.full(6, 4.0))
    known = [brentq(lambda x, one=one: x**3 + np.expm1(x) - one, 0.0, 4.0, xtol=1e-13) for one in level]
    assert root.found.all()
    np.testing.assert_allclose(root.value, known, rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize(
    ("excess", "within"),
    [
        (lambda x: np.tanh(40.0 * (x - 0.3)), 1e-9),
        (lambda x: 0.3 - x, 1e-9),
        (lambda x: np.where(x < 0.3, -1e-9, 1e9), 1e-9),
        (lambda x: (x - 0.3) ** 9, 1e-2),  # flat: the value is below 1e-18 there
    ],
    ids=["steep", "falling", "step", "flat"],
)
def test_bracketed_finds_steep_flat_and_falling_roots(excess: Callable, within: float) -> None:
    root = solve.bracketed(excess, np.array([-1.0]), np.array([2.0]), steps=200)
    assert root.found.all()
    np.testing.assert_allclose(root.value, 0.3, atol=within)


def test_bracketed_takes_a_root_at_either_end() -> None:
    root = solve.bracketed(lambda x: x * (x - 1.0), np.array([0.0, 0.5]), np.array([0.5, 1.0]))
    assert root.found.all()
    np.testing.assert_allclose(root.value, [0.0, 1.0], atol=1e-10)


def test_bracketed_says_where_there_is_no_root() -> None:
    root = solve.bracketed(lambda x: x - np.array([0.5, 3.0, np.nan]), np.zeros(3), np.ones(3))
    assert root.found.tolist() == [True, False, False]
    assert np.isnan(root.value).tolist() == [False, True, True]


def test_a_batch_of_roots_equals_its_members() -> None:
    level = RNG.uniform(0.1, 9.0, (3, 4))
    together = solve.bracketed(lambda x: x**2 - level, np.zeros((3, 4)), np.full((3, 4), 4.0)).value
    alone = [
        solve.bracketed(lambda x, one=one: x**2 - one, np.zeros(1), np.full(1, 4.0)).value[0] for one in level.ravel()
    ]
    np.testing.assert_allclose(together.ravel(), alone, rtol=1e-11)


# Interpolation


@given(arrays(np.float64, (3, 5), elements=numbers), arrays(np.float64, (3, 4), elements=numbers))
def test_rows_reads_each_row_in_its_own_table(values: np.ndarray, x: np.ndarray) -> None:
    nodes = np.cumsum(np.array([[1.0, 0.5, 2.0, 0.1, 1.0], [0.3] * 5, [2.0] * 5]), axis=-1) - 3.0
    got = solve.rows(x, nodes, values)
    known = [np.interp(a, b, c, left=np.nan, right=np.nan) for a, b, c in zip(x, nodes, values, strict=True)]
    np.testing.assert_allclose(got, known, rtol=1e-12, atol=1e-12)


@given(arrays(np.float64, (2, 5), elements=numbers), arrays(np.float64, 7, elements=numbers))
def test_rows_shares_one_axis_among_the_rows(values: np.ndarray, x: np.ndarray) -> None:
    nodes = np.array([-4.0, -1.0, 0.0, 0.25, 4.0])
    known = [np.interp(x, nodes, row, left=np.nan, right=np.nan) for row in values]
    np.testing.assert_allclose(solve.rows(x, nodes, values), known, rtol=1e-12, atol=1e-12)


def test_rows_returns_the_nodes_themselves() -> None:
    nodes = np.array([0.0, 0.1, 0.4])
    values = np.array([[1.0, 2.0, 5.0], [3.0, 0.0, 1.0]])
    np.testing.assert_allclose(solve.rows(nodes, nodes, values), values, rtol=1e-15)


def test_at_reads_one_value_a_row() -> None:
    x = np.linspace(0.0, 1.0, 5)
    np.testing.assert_allclose(solve.at(x, np.stack([x, 2.0 * x]), np.array([0.3, 0.9])), [0.3, 1.8])


@given(arrays(np.float64, (9, 3), elements=st.floats(-0.5, 4.5).map(lambda x: round(x, 12))))
def test_lookup_is_the_grid_interpolation_of_scipy(points: np.ndarray) -> None:
    axes = (np.array([0.0, 1.0, 4.0]), np.array([0.0, 0.5, 2.0, 3.0]), np.array([0.0, 4.0]))
    values = np.random.default_rng(3).normal(size=(3, 4, 2))
    known = RegularGridInterpolator(axes, values, bounds_error=False, fill_value=np.nan)(points)
    np.testing.assert_allclose(solve.lookup(axes, values, *points.T), known, rtol=1e-11, atol=1e-12)


def test_lookup_broadcasts_its_points_and_returns_the_nodes() -> None:
    axes = (np.array([0.0, 1.0]), np.array([0.0, 2.0, 3.0]))
    values = np.arange(6.0).reshape(2, 3)
    np.testing.assert_array_equal(solve.lookup(axes, values, axes[0][:, None], axes[1]), values)


def test_first_crossing_is_the_first_one_and_linear_between_nodes() -> None:
    x = np.array([0.0, 1.0, 2.0, 3.0])
    y = np.array(
        [
            [-1.0, 1.0, -1.0, 1.0],
            [2.0, 1.0, 1.0, 1.0],
            [-1.0, -1.0, -1.0, -1.0],
            [np.nan, -3.0, 1.0, 1.0],
            [np.nan, np.nan, 1.0, 1.0],
        ]
    )
    root = solve.first_crossing(x, y)
    assert root.found.tolist() == [True, True, False, True, True]
    np.testing.assert_allclose(root.value, [0.5, 0.0, np.nan, 1.75, 2.0])
    falling = solve.first_crossing(x, -y, falling=True)
    np.testing.assert_array_equal(falling.value, root.value)


@given(st.floats(-2.0, 3.0))
def test_smoothstep_is_the_cubic_with_flat_ends(x: float) -> None:
    inside = min(max(x, 0.5), 1.5)
    known = CubicHermiteSpline([0.5, 1.5], [0.0, 1.0], [0.0, 0.0])(inside)
    np.testing.assert_allclose(solve.smoothstep(np.array(x), 0.5, 1.5), known, atol=1e-14)


# Models and their validity


@pytest.fixture
def square() -> Iterator[Model]:
    @model(
        source="Somebody 1900",
        valid={"side": (0.0, 2.0, "longer than the sheet"), "area": (0.0, 3.0)},
        decides=("area",),
    )
    def square(*, side: np.ndarray) -> np.ndarray:
        """Return an area."""
        area: np.ndarray = np.asarray(side) ** 2
        return area

    yield square
    del REGISTRY[square.name]


def test_a_model_is_registered_with_its_source_and_limits(square: Model) -> None:
    assert REGISTRY[square.name] is square
    assert square.source == "Somebody 1900"
    assert square.__doc__ == "Return an area."
    assert [(limit.variable, limit.decides, limit.means) for limit in square.limits] == [
        ("side", False, "longer than the sheet"),
        ("area", True, ""),
    ]


def test_two_functions_of_one_name_are_refused(square: Model) -> None:
    def another(*, side: np.ndarray) -> np.ndarray:
        return side

    again = model(source="Somebody 1900")(square.function)
    assert REGISTRY[square.name] is again, "the same function made anew, as on a reload"
    another.__name__ = "square"
    with pytest.raises(ModelError, match=r"two functions are called test_core\.square"):
        model(source="Somebody else 1901")(another)
    assert REGISTRY[square.name] is again


def test_a_result_knows_which_limits_its_inputs_violate(square: Model) -> None:
    area = square(side=np.array([-0.1, 0.0, 2.0, 2.1, np.nan]))
    assert isinstance(area, Result)
    assert area.outside.tolist() == [1, 0, 0, 1, 1]
    assert area.outside.dtype == np.uint64


def test_each_limit_has_its_own_bit(square: Model) -> None:
    mask = square.mask(side=np.array([[1.0], [3.0]]), area=np.array([1.0, 9.0]))
    assert mask.tolist() == [[0, 2], [1, 3]]


def test_arithmetic_on_a_result_forgets_its_validity(square: Model) -> None:
    twice = 2.0 * square(side=np.array([1.0, 3.0]))
    assert type(twice) is np.ndarray
    with pytest.raises(ModelError, match="derived array"):
        square(side=np.array([1.0]))[:1].outside  # noqa: B018


def test_a_limit_that_does_not_exist_is_a_mistake(square: Model) -> None:
    with pytest.raises(ModelError, match="has no limit on height"):
        square.mask(height=1.0)


# Tables and files


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.setattr(data, "folder", lambda: tmp_path)
    data.table.cache_clear()
    yield tmp_path
    data.table.cache_clear()


def test_a_table_has_its_source_its_numbers_and_its_words(shelf: Path) -> None:
    (shelf / "t.csv").write_text("# Somebody 1900\n# second\nx,y,name\n1,2.5,a\n2,,b\n", encoding="utf-8")
    got = data.table("t")
    assert got.source == ("Somebody 1900", "second")
    np.testing.assert_array_equal(got.columns["y"], [2.5, np.nan])
    assert got.texts == {"name": ("a", "b")}
    assert data.table("t") is got
    with pytest.raises(ValueError, match="read-only"):
        got.columns["x"][0] = 3.0


def test_a_grid_may_stand_in_any_order_but_must_be_full(shelf: Path) -> None:
    (shelf / "g.csv").write_text("# s\nx,y,v\n2,0,3\n1,0,1\n2,5,4\n1,5,2\n", encoding="utf-8")
    (x, y), values = data.table("g").grid("x", "y", value="v")
    np.testing.assert_array_equal(x, [1.0, 2.0])
    np.testing.assert_array_equal(y, [0.0, 5.0])
    np.testing.assert_array_equal(values, [[1.0, 2.0], [3.0, 4.0]])
    (shelf / "h.csv").write_text("# s\nx,y,v\n2,0,3\n1,0,1\n2,5,4\n", encoding="utf-8")
    with pytest.raises(DataError, match="not a full grid over x, y"):
        data.table("h").grid("x", "y", value="v")


def test_a_table_that_is_not_there_is_told(shelf: Path) -> None:
    with pytest.raises(DataError, match="there is no packaged table nothing"):
        data.table("nothing")


@pytest.mark.parametrize("links", [True, False], ids=["links", "no links"])
def test_what_was_written_before_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    if not links:
        monkeypatch.setattr(os, "link", refuse)
    path = tmp_path / "lake.toml"
    for text in ("one\n", "two\n", "three\n"):
        data.write_kept(path, text)
    assert path.read_bytes() == b"three\n"
    assert (tmp_path / "lake.toml.bak").read_bytes() == b"two\n"
    assert not (tmp_path / "lake.toml.new").exists()


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    with pytest.raises(PlaceError, match="cannot be written"):
        data.write_kept(tmp_path / "no folder" / "lake.toml", "one")


# Errors


def test_a_fault_is_a_sentence() -> None:
    fault = Fault(
        file="lake.toml",
        line=14,
        field="wing.spam",
        got="12 kg",
        allowed="a length",
        example='"900 mm"',
        nearest="wing.span",
    )
    assert fault.sentence() == (
        'lake.toml, line 14, wing.spam: got 12 kg; allowed: a length; did you mean wing.span? (example: "900 mm")'
    )


def test_several_faults_are_told_together_in_one_tree() -> None:
    fault = Fault(file="a.toml", line=None, field="", got="nothing", allowed="a table", example="")
    error = BuildFileError([fault, fault])
    assert str(error).splitlines() == ["a.toml: got nothing; allowed: a table"] * 2
    assert all(issubclass(kind, FoilwrightError) for kind in (BuildFileError, DataError, ModelError, PlaceError))
