"""Laws of the mast, the pod, and of air and vapour at them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.physics import strut

few = settings(max_examples=25, deadline=None)
speeds = st.floats(1.0, 14.0)
sizes = st.floats(0.05, 1.2)


@few
@given(st.lists(st.tuples(speeds, sizes), min_size=2, max_size=5))
def test_a_batch_is_its_members(cases: list[tuple[float, float]]) -> None:
    speed, draft = (np.array(column) for column in zip(*cases, strict=True))
    force = strut.side_force(draft=draft, chord=0.1, side_slip=0.05, speed=speed, density=999.0)
    pod = strut.pod_drag(
        length=0.5, diameter=0.1, speed=speed, density=999.0, kinematic_viscosity=1e-6, base_diameter=0.05
    )
    for k in range(speed.size):
        one = strut.side_force(draft=draft[k], chord=0.1, side_slip=0.05, speed=speed[k], density=999.0)
        assert force[k] == pytest.approx(one, rel=1e-13)
        alone = strut.pod_drag(
            length=0.5,
            diameter=0.1,
            speed=speed[k],
            density=999.0,
            kinematic_viscosity=1e-6,
            base_diameter=0.05,
        )
        assert pod[k] == pytest.approx(alone, rel=1e-13)


@few
@given(speeds, st.floats(0.005, 0.03), st.floats(0.08, 0.2))
def test_pieces_of_drag_grow_with_speed_squared_and_thickness_squared(
    speed: float, thickness: float, ratio: float
) -> None:
    flow = {"density": 999.0}
    for piece, more in (
        (strut.spray_drag, {}),
        (strut.junction_drag, {"thickness_ratio": ratio}),
        (strut.wall_junction_drag, {"thickness_ratio": ratio}),
    ):
        one = piece(thickness=thickness, speed=speed, **flow, **more)
        four = piece(thickness=2.0 * thickness, speed=2.0 * speed, **flow, **more)
        assert four == pytest.approx(16.0 * one, rel=1e-12)
        assert one >= 0.0
    band = strut.spray_drag_band(thickness=thickness, speed=speed, **flow)
    assert band.low < band.central < band.high
    assert band.central == pytest.approx(strut.spray_drag(thickness=thickness, speed=speed, **flow), rel=1e-14)


@few
@given(st.floats(0.08, 0.2), st.floats(0.0, 0.1), st.floats(0.0, 0.1))
def test_a_fillet_never_adds(ratio: float, small: float, large: float) -> None:
    low, high = sorted((small, large))
    shape = {"thickness_ratio": ratio, "thickness": 0.015, "speed": 6.0, "density": 999.0}
    drag = strut.junction_drag(**shape, fillet_ratio=np.array([0.0, low, high]))
    assert drag[0] >= drag[1] >= drag[2] >= 0.19 * drag[0]


@few
@given(speeds, st.floats(0.05, 0.15), st.floats(0.0, 1.0))
def test_a_blunt_pod_costs_more_and_a_fast_one_a_little_less_than_squared(
    speed: float, diameter: float, share: float
) -> None:
    shape = {"length": 0.5, "diameter": diameter, "density": 999.0, "kinematic_viscosity": 1e-6}
    plain = strut.pod_drag(**shape, speed=speed)
    assert strut.pod_drag(**shape, speed=speed, base_diameter=share * diameter) >= plain
    assert 3.0 < strut.pod_drag(**shape, speed=2.0 * speed) / plain < 4.0
    assert strut.pod_drag(**shape, speed=0.0) == 0.0


def test_side_force_grows_with_draft_up_to_the_section() -> None:
    draft = np.linspace(0.05, 3.0, 400)
    slope = strut.side_force_slope(draft=draft, chord=0.1)
    assert np.all(np.diff(slope) > 0.0)
    assert np.all(slope < 2.0 * np.pi)
    assert np.isnan(strut.side_force_slope(draft=0.01, chord=0.1))


def test_profile_drag_is_linear_in_each() -> None:
    one = strut.profile_drag(draft=0.4, chord=0.12, drag_coefficient=0.012, speed=6.0, density=999.0)
    two = strut.profile_drag(draft=0.8, chord=0.12, drag_coefficient=0.006, speed=6.0, density=999.0)
    assert one == pytest.approx(two, rel=1e-14)


@few
@given(st.floats(0.05, 1.0), st.floats(0.2, 3.0))
def test_inception_is_where_the_number_meets_the_suction(depth: float, suction: float) -> None:
    water = {"depth": depth, "density": 999.1, "vapour_pressure": 1706.0}
    speed = strut.inception_speed(minimum_pressure=-suction, **water)
    assert strut.cavitation_number(speed=speed, **water) == pytest.approx(suction, rel=1e-12)
    assert strut.inception_speed(minimum_pressure=-1.1 * suction, **water) < speed


@few
@given(st.floats(0.1, 0.9), speeds)
def test_side_slip_limits_stand_in_order_and_fall_with_speed(draft: float, speed: float) -> None:
    slow = strut.side_slip_limit(draft=draft, speed=speed)
    fast = strut.side_slip_limit(draft=draft, speed=1.2 * speed)
    assert slow.caution < slow.risk <= slow.onset_low < slow.onset_high
    assert fast.risk <= slow.risk
    assert (slow.outside == 0) == (0.5 <= slow.draft_froude <= 4.5)


def test_the_head_helps_and_speed_hurts() -> None:
    one = strut.ventilation_indicator(depth=0.2, speed=6.0, minimum_pressure=-0.8)
    assert strut.ventilation_indicator(depth=0.4, speed=6.0, minimum_pressure=-0.8) > one
    assert strut.ventilation_indicator(depth=0.2, speed=8.0, minimum_pressure=-0.8) < one
