"""Laws of the passage in speed."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.physics import passage

few = settings(max_examples=25, deadline=None)
GRID = np.linspace(0.0, 6.0, 25)


def case(n, seed):
    rng = np.random.default_rng(seed)
    hump = rng.uniform(60, 160, (n, 1)) * np.exp(-((GRID - rng.uniform(2, 4, (n, 1))) ** 2))
    return {
        "speed": GRID,
        "thrust": rng.uniform(250, 380, (n, 1)) - 15 * GRID,
        "resistance": 20 + 3 * GRID**2 + hump,
        "mass": rng.uniform(90, 140, n),
        "start": rng.uniform(0, 1, n),
        "end": rng.uniform(3.5, 5.5, n),
        "electric_power": rng.uniform(1000, 4000, (n, 1)) + 100 * GRID,
    }


FIELDS = ("time", "distance", "energy", "held_at", "least_excess")


@few
@given(st.integers(0, 10_000))
def test_a_batch_equals_its_members(seed):
    inputs = case(6, seed)
    batch = passage.time_and_distance(**inputs)
    for k in range(6):
        one = {name: values if name == "speed" else values[k] for name, values in inputs.items()}
        single = passage.time_and_distance(**one)
        assert batch.why[k] == single.why
        for field in FIELDS:
            np.testing.assert_allclose(getattr(batch, field)[k], getattr(single, field), rtol=1e-12)
        together = passage.time_and_distance(**{**inputs, "speed": np.tile(GRID, (6, 1))})
        np.testing.assert_allclose(together.time, batch.time, rtol=1e-13)


@few
@given(st.integers(0, 10_000), st.floats(1.0, 80.0))
def test_more_thrust_takes_less_time(seed, more):
    inputs = case(5, seed)
    weak = passage.time_and_distance(**inputs)
    strong = passage.time_and_distance(**{**inputs, "thrust": inputs["thrust"] + more})
    assert np.all(strong.found >= weak.found)
    both = weak.found
    assert np.all(strong.time[both] < weak.time[both])
    assert np.all(strong.distance[both] < weak.distance[both])
    assert np.all(strong.held_at >= weak.held_at)


@few
@given(st.integers(0, 10_000), st.floats(0.3, 3.0))
def test_time_way_and_energy_scale_with_mass(seed, factor):
    inputs = case(5, seed)
    one = passage.time_and_distance(**inputs)
    other = passage.time_and_distance(**{**inputs, "mass": factor * inputs["mass"]})
    for field in ("time", "distance", "energy"):
        np.testing.assert_allclose(getattr(other, field), factor * getattr(one, field), rtol=1e-12)


@few
@given(st.integers(0, 10_000), st.floats(0.05, 0.95))
def test_two_legs_make_the_whole(seed, share):
    inputs = case(5, seed)
    halt = inputs["start"] + share * (inputs["end"] - inputs["start"])
    whole = passage.time_and_distance(**inputs)
    first = passage.time_and_distance(**{**inputs, "end": halt})
    second = passage.time_and_distance(**{**inputs, "start": halt})
    for field in ("time", "distance", "energy"):
        both = getattr(first, field) + getattr(second, field)
        np.testing.assert_allclose(both[whole.found], getattr(whole, field)[whole.found], rtol=1e-10)


def test_halving_the_step_quarters_the_error():
    mass, terminal, end = 100.0, 6.0, 5.0
    exact_time = terminal * mass / 200.0 * np.arctanh(end / terminal)
    exact_way = -0.5 * mass * terminal**2 / 200.0 * np.log(1.0 - (end / terminal) ** 2)
    errors = []
    for cells in (8, 16, 32, 64):
        speed = np.linspace(0.0, 5.5, cells + 1)
        out = passage.time_and_distance(
            speed=speed,
            thrust=np.full(cells + 1, 200.0),
            resistance=200.0 * (speed / terminal) ** 2,
            mass=mass,
            start=0.0,
            end=end,
        )
        errors.append((out.time - exact_time, out.distance - exact_way))
    order = np.log2(np.abs(np.array(errors[:-1]) / np.array(errors[1:])))
    assert np.all(order[-1] > 1.8)
    assert np.all(order[-1] < 2.2)
    assert abs(errors[-1][0]) < 2e-3 * exact_time


@pytest.mark.parametrize("slope", [0.0, 1e-9, 1e-4, 0.0099, 0.0101, 1.0, -0.5])
def test_nearly_constant_excess_is_as_exact_as_any(slope):
    speed = np.array([1.0, 2.0])
    out = passage.time_and_distance(
        speed=speed,
        thrust=100.0 * np.array([1.0, 1.0 + slope]),
        resistance=np.zeros(2),
        mass=50.0,
        start=1.0,
        end=2.0,
    )
    nodes, weights = np.polynomial.legendre.leggauss(40)
    at = 0.5 * (nodes + 1.0)
    inverse = 0.5 * weights * 50.0 / (100.0 * (1.0 + slope * at))
    np.testing.assert_allclose(out.time, inverse.sum(), rtol=1e-13)
    np.testing.assert_allclose(out.distance, (inverse * (1.0 + at)).sum(), rtol=1e-13)


def test_why_there_is_no_time():
    speed = np.linspace(0.0, 5.0, 11)
    resistance = 80.0 + 70.0 * np.exp(-((speed - 3.0) ** 2))
    thrust = np.array([200.0, 120.0, 60.0, 200.0, 200.0])[:, None] * np.ones(11)
    thrust[4, 6] = np.nan
    out = passage.time_and_distance(
        speed=speed,
        thrust=thrust,
        resistance=resistance,
        mass=np.full(5, 110.0),
        start=np.full(5, 0.0),
        end=np.array([4.5, 4.5, 4.5, 5.5, 4.5]),
    )
    assert out.why.tolist() == [
        passage.REACHED,
        passage.HELD_BACK,
        passage.HELD_BACK,
        passage.OFF_THE_GRID,
        passage.NO_VALUE,
    ]
    assert out.found.tolist() == [True, False, False, False, False]
    assert np.isnan(out.time).tolist() == [False, True, True, True, True]
    assert out.held_at[0] == 4.5
    assert 2.0 < out.held_at[1] < 3.0
    assert out.held_at[2] == 0.0
    np.testing.assert_allclose(out.least_excess[0], 50.0, atol=1e-9)


def test_beyond_the_end_nothing_matters():
    inputs = case(4, 3)
    plain = passage.time_and_distance(**{**inputs, "end": np.full(4, 3.5)})
    spoiled = inputs["thrust"].copy()
    spoiled[:, GRID > 3.5] = np.nan
    again = passage.time_and_distance(**{**inputs, "thrust": spoiled, "end": np.full(4, 3.5)})
    np.testing.assert_array_equal(plain.time, again.time)


def test_coasting_agrees_with_its_own_drag():
    times = np.array([0.0, 1.0, 1.0 + 1e-5])
    coast = passage.coast_down(speed=6.0, drag_area=0.0045, density=1000.0, mass=105.0, time=times)
    assert coast.speed[0] == 6.0
    slope = (coast.speed[2] - coast.speed[1]) / 1e-5
    np.testing.assert_allclose(slope, -0.5 * 1000 * 0.0045 * coast.speed[1] ** 2 / 105, rtol=1e-4)
    way = (coast.distance[2] - coast.distance[1]) / 1e-5
    np.testing.assert_allclose(way, coast.speed[1], rtol=1e-4)


def test_an_ideal_propeller_pulls_most_and_a_bigger_one_more():
    pull = passage.bollard_pull(diameter=np.array([0.14, 0.16, 0.18]), shaft_power=2000.0, merit=0.6, density=1000.0)
    assert np.all(np.diff(pull) > 0)
    at_speed = passage.ideal_efficiency(thrust=120.0, speed=np.array([3.0, 6.0]), diameter=0.16, density=1000.0)
    assert np.all(at_speed < 1.0)
    assert at_speed[1] > at_speed[0]
    law = passage.drag_law(speed=np.linspace(3, 9, 25), parasite=2.2, induced=1500.0)
    assert np.all(law.drag >= law.least)
    assert passage.take_off_speed(weight=400.0, density=1000.0, area=0.1, lift_coefficient=0.8) < 4.0
