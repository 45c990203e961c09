"""Spread against closed forms: sensitivities, ranges, confidence, even points."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from foilwright.study.even import even_points
from foilwright.study.spread import Range, indices, wilson

N = 2000


def of(values: np.ndarray, points: np.ndarray) -> tuple[np.ndarray, np.ndarray, float]:
    found = indices(points, values[:, None])
    return found.first[:, 0], found.total[:, 0], float(found.explained[0])


def triangular(low: float, value: float, high: float) -> Range:
    return Range(path="a", unit="1", value=value, low=low, high=high, spread="triangular", source="")


def test_ishigami() -> None:
    """Ishigami and Homma 1990 with a = 7, b = 0.1; Saltelli et al. 2008: 0.314, 0.442, 0; 0.558, 0.442, 0.244."""
    points = even_points(N, 3)
    x = np.pi * (2.0 * points - 1.0)
    first, total, explained = of(
        np.sin(x[:, 0]) + 7.0 * np.sin(x[:, 1]) ** 2 + 0.1 * x[:, 2] ** 4 * np.sin(x[:, 0]), points
    )
    np.testing.assert_allclose(first, [0.3139, 0.4424, 0.0], atol=0.003)
    np.testing.assert_allclose(total, [0.5576, 0.4424, 0.2437], atol=0.003)
    assert explained > 0.999


def test_ishigami_by_the_library() -> None:
    def ishigami(x: np.ndarray) -> np.ndarray:
        return np.asarray(np.sin(x[0]) + 7.0 * np.sin(x[1]) ** 2 + 0.1 * x[2] ** 4 * np.sin(x[0]))

    theirs = stats.sobol_indices(
        func=ishigami, n=4096, dists=[stats.uniform(-np.pi, 2.0 * np.pi)] * 3, rng=np.random.default_rng(1)
    )
    points = even_points(N, 3)
    first, total, _ = of(ishigami(np.pi * (2.0 * points.T - 1.0)), points)
    np.testing.assert_allclose(first, theirs.first_order, atol=0.02)
    np.testing.assert_allclose(total, theirs.total_order, atol=0.02)


def test_a_linear_case_has_its_closed_form() -> None:
    slopes = np.array([5.0, 4.0, -3.0, 2.0, 1.0, *[0.0] * 35])
    points = even_points(N, slopes.size)
    first, total, explained = of(points @ slopes, points)
    exact = slopes**2 / (slopes**2).sum()
    np.testing.assert_allclose(first, exact, atol=0.002)
    np.testing.assert_allclose(total, exact, atol=0.002)
    assert explained == pytest.approx(1.0)


def test_a_product_has_its_closed_form() -> None:
    """Of independent factors with coefficients of variation v: total part of one, v^2 prod(1 + other v^2)."""
    ranges = [triangular(0.75, 1.0, 1.25), triangular(0.9, 1.0, 1.4), triangular(0.5, 1.5, 1.6)]
    points = even_points(N, 20)
    values = np.prod([np.asarray(each.at(points[:, k])) for k, each in enumerate(ranges)], axis=0)
    first, total, _ = of(values, points)
    squares = []
    for each in ranges:
        a, c, b = float(each.low), float(each.value), float(each.high)
        mean, variance = (a + b + c) / 3.0, (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0
        squares.append(variance / mean**2)
    whole = math.prod(1.0 + square for square in squares) - 1.0
    for k, square in enumerate(squares):
        others = math.prod(1.0 + other for j, other in enumerate(squares) if j != k)
        assert first[k] == pytest.approx(square / whole, abs=0.01)
        assert total[k] == pytest.approx(square * others / whole, abs=0.01)
    assert total[3:].max() < 1e-3


def test_chance_moves_nothing() -> None:
    points = even_points(N, 30)
    noise = np.random.default_rng(3).normal(size=(N, 2))
    noise[:, 1] = 4.0
    found = indices(points, noise)
    assert found.total[:, 0].max() < 0.03
    assert found.explained[0] < 0.05
    assert not found.total[:, 1].any()


@pytest.mark.parametrize("count", [64, 100, 2000])
@pytest.mark.parametrize("inputs", [1, 3, 40, 90])
def test_few_samples_and_many_inputs_give_numbers(count: int, inputs: int) -> None:
    points = even_points(count, inputs)
    found = indices(points, points[:, :1] ** 2)
    assert np.isfinite(found.total).all()
    assert found.total[0, 0] > 0.6
    assert np.argmax(found.total[:, 0]) == 0


def test_ranges_have_their_distributions() -> None:
    share = even_points(4096, 1)[:, 0]
    values = np.asarray(triangular(1.0, 1.5, 4.0).at(share))
    np.testing.assert_allclose(values, stats.triang(1.0 / 6.0, 1.0, 3.0).ppf(share), rtol=1e-12)
    flat = Range(path="a", unit="1", value=2.0, low=1.0, high=3.0, spread="uniform", source="")
    np.testing.assert_allclose(np.asarray(flat.at(share)), 1.0 + 2.0 * share, rtol=1e-12)
    bell = Range(path="a", unit="1", value=1.0, low=0.75, high=1.25, spread="normal", source="", bounds=(0.7, 2.0))
    values = np.asarray(bell.at(share))
    assert np.mean((values >= 0.75) & (values <= 1.25)) == pytest.approx(0.95, abs=0.002)
    assert values.min() == 0.7
    whole = Range(path="a", unit="", value=7, low=2, high=14, spread="triangular", source="", whole=True)
    assert set(np.asarray(whole.at(share))) == set(range(2, 15))
    names = Range(
        path="a", unit="", value="b", low="a", high="c", spread="triangular", source="", names=("a", "b", "c")
    )
    given = np.array(names.at(share))
    assert [np.mean(given == name) for name in "abc"] == pytest.approx([0.25, 0.5, 0.25], abs=0.001)


def test_a_mode_at_the_end_of_its_range() -> None:
    share = np.linspace(0.0, 1.0, 101)
    for value in (1.0, 2.0):
        values = np.asarray(triangular(1.0, value, 2.0).at(share))
        assert np.isfinite(values).all()
        assert (values[0], values[-1]) == (1.0, 2.0)


def test_wilson_by_the_library() -> None:
    for count, of_all in ((0, 2000), (3, 64), (1000, 2000), (2000, 2000)):
        share, low, high = wilson(count, of_all)
        theirs = stats.binomtest(count, of_all).proportion_ci(method="wilson")
        assert share == count / of_all
        assert (low, high) == pytest.approx((theirs.low, theirs.high), abs=1e-6)


def test_even_points_are_the_same_wherever_one_starts() -> None:
    whole = even_points(1000, 5)
    np.testing.assert_array_equal(even_points(300, 5, start=500), whole[500:800])
    np.testing.assert_array_equal(even_points(1000, 5), whole)
    assert ((whole >= 0.0) & (whole < 1.0)).all()
    np.testing.assert_allclose(whole.mean(axis=0), 0.5, atol=0.003)
    assert even_points(7, 0).shape == (7, 0)
