"""Laws of the board's resistance: scaling, inverse pairs, continuity, batches, no holes."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.core.errors import ModelError
from foilwright.physics import resistance

DEGREE = np.pi / 180.0
WATER = {"density": 999.1, "kinematic_viscosity": 1.1386e-6}
FLAT = {"deadrise": 0.0, **WATER}
SHAPE = {
    "length": 1.6,
    "bottom_length": 1.35,
    "beam": 0.62,
    "rest_wetted_area": 1.1,
    "rail_radius": 0.015,
    "tail_edge_radius": 0.004,
    "form_factor": 0.15,
    "roughness_allowance": 0.0,
    **WATER,
}

some = settings(max_examples=25, deadline=None)
loads = st.floats(20.0, 1500.0)
speeds = st.floats(2.0, 12.0)


def run(**changed: Any) -> resistance.Board:
    """Return the board of these tests; its buoyancy moves forward with load and aft with trim."""
    given_ = {"load": 800.0, "speed": 4.0, "trim": 5.0 * DEGREE, **changed}
    load, speed, trim = np.broadcast_arrays(*(np.asarray(given_[k], float) for k in ("load", "speed", "trim")))
    wave = resistance.patch_wave_coefficient(speed=speed, length=SHAPE["length"], beam=SHAPE["beam"])
    rest = 0.75 + 5e-5 * load - 1.5 * trim
    return resistance.board(
        **{
            **SHAPE,
            "rest_load_point": rest,
            "wave_coefficient": wave.coefficient,
            **changed,
            "load": load,
            "speed": speed,
            "trim": trim,
        }
    )


@some
@given(loads, speeds)
def test_wave_part_goes_with_the_square_of_the_load(load: float, speed: float) -> None:
    one, two = (
        resistance.patch_wave(load=k * load, speed=speed, length=1.6, beam=0.62, density=999.1).resistance
        for k in (1.0, 2.0)
    )
    np.testing.assert_allclose(two, 4.0 * one, rtol=1e-12)


@some
@given(loads, speeds, st.floats(2.0, 14.0), st.sampled_from([0.0, 10.0, 20.0]))
def test_planing_at_a_point_undoes_planing_at_a_trim(load: float, speed: float, trim: float, vee: float) -> None:
    water = {"load": load, "speed": speed, "beam": 0.6, "deadrise": vee * DEGREE, **WATER}
    held = resistance.planing_at_trim(trim=trim * DEGREE, **water)
    free = resistance.planing(load_point=held.load_point, **water)
    np.testing.assert_allclose(free.trim, trim * DEGREE, rtol=1e-5)
    np.testing.assert_allclose(free.wetted_length, held.wetted_length, rtol=1e-5)
    np.testing.assert_allclose(free.resistance, held.resistance, rtol=1e-5)


@some
@given(loads, speeds, st.floats(0.5, 15.0))
def test_wetted_length_satisfies_the_lift_equation(load: float, speed: float, trim: float) -> None:
    out = resistance.planing_at_trim(load=load, speed=speed, beam=0.6, trim=trim * DEGREE, **FLAT)
    ratio, squared = out.wetted_ratio, speed**2 / (9.80665 * 0.6)
    lift = trim**1.1 * (0.0120 * np.sqrt(ratio) + 0.0055 * ratio**2.5 / squared)
    np.testing.assert_allclose(lift * 0.5 * 999.1 * speed**2 * 0.36, load, rtol=2e-6)


@some
@given(loads, speeds, st.floats(2.0, 12.0))
def test_more_load_never_gives_less_resistance_or_wetted_length(load: float, speed: float, trim: float) -> None:
    out = resistance.planing_at_trim(
        load=load * np.array([1.0, 1.2]), speed=speed, beam=0.6, trim=trim * DEGREE, **FLAT
    )
    assert out.resistance[1] > out.resistance[0]
    assert out.wetted_length[1] > out.wetted_length[0]


@given(st.lists(st.floats(1e5, 1e9), min_size=1, max_size=8))
def test_friction_line_falls_and_a_batch_is_its_members(numbers: list[float]) -> None:
    batch = resistance.friction_line(reynolds=np.array(numbers))
    np.testing.assert_allclose(batch, [resistance.friction_line(reynolds=n) for n in numbers], rtol=1e-14)
    assert np.all(resistance.friction_line(reynolds=np.array(numbers) * 1.5) < np.asarray(batch))


def test_a_batch_of_boards_is_its_members() -> None:
    load = np.linspace(0.0, 1500.0, 4)[:, None, None]
    speed = np.linspace(0.0, 9.0, 5)[None, :, None]
    trim = np.linspace(0.25, 12.0, 6)[None, None, :] * DEGREE
    batch = run(load=load, speed=speed, trim=trim)
    for i, j, k in np.ndindex(4, 5, 6):
        one = run(load=load[i, 0, 0], speed=speed[0, j, 0], trim=trim[0, 0, k])
        for name in ("resistance", "load_point", "wetted_length", "planing_share", "outside"):
            np.testing.assert_allclose(getattr(batch, name)[i, j, k], getattr(one, name), rtol=1e-12)


LARGEST_STEP = {"resistance": 10.0, "load_point": 0.02}
SWEEPS = {
    "speed": np.linspace(0.0, 15.0, 6001),
    "load": np.linspace(0.0, 3000.0, 6001),
    "trim": np.linspace(0.2, 14.0, 6001) * DEGREE,
}


@pytest.mark.parametrize("swept", SWEEPS)
def test_resistance_and_load_point_have_no_jump(swept: str) -> None:
    fixed = {
        "speed": np.array([1.0, 2.0, 2.5, 3.0, 4.0, 6.0, 9.0])[:, None, None],
        "load": np.array([5.0, 50.0, 300.0, 800.0, 1200.0])[:, None, None],
        "trim": np.array([0.3, 1.0, 2.0, 4.0, 8.0, 12.0])[None, :, None] * DEGREE,
    }
    if swept == "trim":
        fixed |= {"load": np.swapaxes(fixed["load"], 0, 1), "trim": SWEEPS["trim"]}
    else:
        fixed[swept] = SWEEPS[swept]
    out = run(**fixed)
    for name, most in LARGEST_STEP.items():
        values = getattr(out, name)
        fine = np.abs(np.diff(values, axis=-1)).max()
        coarse = np.abs(np.diff(values[..., ::8], axis=-1)).max()
        assert fine < most, name
        assert coarse > 3.0 * fine, f"{name}: a jump does not shrink with the step"


def test_no_value_is_missing_anywhere_on_the_water() -> None:
    out = run(
        load=np.linspace(0.0, 3000.0, 25)[:, None, None],
        speed=np.linspace(0.0, 15.0, 41)[None, :, None],
        trim=np.linspace(0.2, 14.0, 24)[None, None, :] * DEGREE,
    )
    for name in ("resistance", "load_point", "wetted_length", "planing_share"):
        assert np.all(np.isfinite(getattr(out, name))), name
    assert np.all(out.resistance >= 0.0)


def test_an_unloaded_board_costs_nothing_and_a_skimming_one_little() -> None:
    out = run(load=np.array([-50.0, 0.0, 1e-3, 1.0, 20.0]), speed=6.0, trim=2.0 * DEGREE)
    assert np.all(out.resistance[:2] == 0.0)
    assert np.all(np.diff(out.resistance[1:]) > 0.0)
    assert out.resistance[2] < 0.01


def test_the_planing_branch_stays_below_the_cap_at_small_trim() -> None:
    load = np.linspace(5.0, 1200.0, 40)[:, None, None]
    speed = np.linspace(3.2, 10.0, 30)[None, :, None]
    trim = np.linspace(1.0, 1.99, 8)[None, None, :] * DEGREE
    water = {"load": load, "speed": speed, "trim": trim, "beam": 0.62, **WATER}
    cap = resistance.skimming(bottom_length=1.35, **water)
    planing = resistance.planing_at_trim(deadrise=0.0, **water)
    wet = planing.wetted_length <= 1.35
    assert wet.any()
    assert np.all((planing.resistance <= np.asarray(cap))[wet])


def test_blend_is_floating_at_rest_planing_when_fast_and_floating_where_the_bottom_ends() -> None:
    assert run(speed=1.5).planing_share == 0.0
    assert run(speed=8.0).planing_share == 1.0
    assert run(speed=4.0, trim=1.5 * DEGREE, load=1000.0).planing_share == 0.0
    slow = run(speed=1.5)
    np.testing.assert_allclose(slow.load_point, 0.75 + 0.04 - 7.5 * DEGREE * 1.0)


def test_round_edges_only_cost_and_more_radius_costs_more() -> None:
    radius = np.linspace(0.0, 0.03, 7)
    planing = {"load": 400.0, "speed": 6.0, "trim": np.full(7, 6.0 * DEGREE)}
    tail = run(tail_edge_radius=radius, rail_radius=0.0, **planing)
    rail = run(tail_edge_radius=0.0, rail_radius=radius, **planing)
    assert np.all(tail.planing_share == 1.0)
    assert np.all(np.diff(tail.resistance) > 0.0)
    assert np.all(np.diff(rail.wetted_length) > 0.0)
    sharp = resistance.rounded_edge(
        speed=6.0, beam=0.6, rail_radius=0.0, tail_edge_radius=np.array([0.0, 1e-4]), density=999.1
    )
    assert sharp.lift_loss[0] == 0.0
    assert sharp.lift_loss[1] < 1e-3
    assert sharp.lost_beam == 0.0


def test_hump_of_the_patch_lies_between_the_narrow_and_the_wide_limit() -> None:
    hump = np.asarray(resistance.hump_froude(beam_ratio=np.array([0.3, 0.4, 0.5, 1.0, 4.0, 10.0])))
    assert np.all(np.diff(hump) < 0.0)
    assert 1.0 / np.sqrt(np.pi) < hump[-1] < hump[0] < 0.75


def test_edges_soften_in_order_and_names_are_checked() -> None:
    speed = np.linspace(2.2, 8.0, 30)
    shape = {"speed": speed, "length": 1.6, "beam": 0.62}
    sharp, default, soft = (
        resistance.patch_wave_coefficient(edge=e, **shape).coefficient for e in ("sharp", "default", "aL10")
    )
    assert np.all(sharp > default)
    assert np.all(default >= soft - 1e-12)
    by_number = resistance.patch_wave_coefficient(edge=10.0, **shape).coefficient
    np.testing.assert_allclose(by_number, soft, rtol=1e-12)
    with pytest.raises(ModelError, match="none of default"):
        resistance.patch_wave_coefficient(edge="blunt", **shape)


def test_what_lies_outside_is_flagged() -> None:
    assert resistance.planing_at_trim(load=500.0, speed=5.0, beam=0.6, trim=1.0 * DEGREE, **FLAT).outside != 0
    assert resistance.patch_wave_coefficient(speed=40.0, length=1.6, beam=0.6).outside != 0
    assert resistance.shallow_water(speed=2.0, depth=0.3, length=1.6).outside != 0
    assert resistance.chop_factor(chop=0.5).outside != 0
    assert run(speed=6.0, trim=1.5 * DEGREE, load=50.0).outside != 0
    assert run(speed=6.0, trim=5.0 * DEGREE).outside == 0


@some
@given(st.floats(0.6, 7.0), st.floats(0.5, 6.0))
def test_shallow_water_fades_with_depth(speed: float, depth: float) -> None:
    shallow, deep = (resistance.shallow_water(speed=speed, depth=k * depth, length=1.6) for k in (1.0, 20.0))
    assert abs(deep.factor - 1.0) < 0.02
    assert shallow.factor > 0.7
    np.testing.assert_allclose(shallow.depth_froude * shallow.critical_speed, speed)


@given(st.floats(0.1, 3.0), st.floats(0.2, 1.0))
def test_legs_go_with_the_square_of_speed(speed: float, length: float) -> None:
    one, two = (
        resistance.legs(speed=k * speed, density=1000.0, submerged_length=length, width=0.1) for k in (1.0, 2.0)
    )
    np.testing.assert_allclose(two, 4.0 * np.asarray(one), rtol=1e-12)
