"""Laws of the drive: energy closes, more volts never push less, batches equal their members."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.core.errors import ModelError
from foilwright.physics import drive
from foilwright.physics.drive import DriveInputs

SPEEDS = np.linspace(0.0, 13.0, 27)
few = settings(max_examples=15, deadline=None)


def system(n: int = 4, seed: int = 1, **changes: Any) -> DriveInputs:
    """Return n invented drives; changes replace fields."""
    chance = np.random.default_rng(seed)

    def between(low: float, high: float) -> np.ndarray:
        return chance.uniform(low, high, n)

    made = DriveInputs(
        diameter=between(0.12, 0.20),
        pitch_ratio=between(0.7, 1.3),
        area_ratio=between(0.4, 0.6),
        blades=chance.integers(3, 5, n).astype(float),
        thickness_ratio=between(0.05, 0.10),
        roughness=between(0.0, 30e-6),
        scale_effect=np.ones(n),
        density=np.full(n, 1000.0),
        kinematic_viscosity=np.full(n, 1.1e-6),
        wake=between(0.0, 0.1),
        thrust_deduction=between(0.0, 0.08),
        speed_constant=between(8.0, 14.0),
        motor_resistance=between(0.015, 0.04),
        idle_current=between(0.5, 2.0),
        idle_slope=np.full(n, 0.003),
        winding_temperature=between(290.0, 370.0),
        magnet_temperature=between(290.0, 340.0),
        magnet_coefficient=np.full(n, -0.0012),
        gear_ratio=between(1.0, 1.3),
        gear_efficiency=between(0.95, 1.0),
        drag_torque=between(0.0, 0.1),
        controller_resistance=np.full(n, 0.004),
        switching_share=np.full(n, 0.003),
        standby_power=np.full(n, 8.0),
        wire_resistance=np.full(n, 0.002),
        open_voltage=between(38.0, 50.0),
        supply_resistance=between(0.02, 0.12),
    )
    return replace(made, **changes)


def member(inputs: DriveInputs, place: int) -> DriveInputs:
    return DriveInputs(
        **{
            f.name: np.atleast_1d(getattr(inputs, f.name))[[place] if getattr(inputs, f.name).ndim else [0]]
            for f in fields(inputs)
        }
    )


def limits(n: int = 4, **changes: float) -> dict[str, np.ndarray]:
    usual = {
        "duty_limit": 0.95,
        "motor_current_limit": 120.0,
        "pack_current_limit": 80.0,
        "shaft_speed_limit": np.inf,
        "pack_voltage_least": 30.0,
    }
    return {name: np.full(n, value) for name, value in {**usual, **changes}.items()}


def full(inputs: DriveInputs, speed: np.ndarray = SPEEDS, **changes: float) -> drive.FullThrottle:
    n = inputs.diameter.size
    return drive.full_throttle(map=drive.map(inputs=inputs, speed=speed), **limits(n, **changes))


def arrays(result: Any) -> dict[str, np.ndarray]:
    out = {f.name: getattr(result, f.name) for f in fields(result)}
    return {name: value for name, value in out.items() if isinstance(value, np.ndarray)}


def test_the_map_rises_from_no_thrust_and_has_no_gaps() -> None:
    made = drive.map(inputs=system(8), speed=SPEEDS)
    assert made.thrust.shape == (8, SPEEDS.size, drive.NODES)
    assert np.all(made.thrust[..., 0] == 0.0)
    assert np.all(np.diff(made.thrust, axis=-1) > 0.0)
    assert np.all(np.diff(made.shaft_speed, axis=-1) > 0.0)
    assert np.all(made.feasible[:, 0])
    for name, value in arrays(made).items():
        assert np.all(np.isfinite(value)), name


@few
@given(st.integers(0, 1000), st.floats(0.2, 0.95))
def test_energy_closes_and_efficiency_is_below_one(seed: int, throttle: float) -> None:
    inputs = system(3, seed)
    point = drive.at_duty(inputs=inputs, speed=np.array([[0.0, 3.0, 7.0]] * 3), duty=np.asarray(throttle))
    losses = sum(
        getattr(point, f"loss_{name}") for name in ("propeller", "gear", "copper", "iron", "controller", "wires")
    )
    np.testing.assert_allclose(point.useful_power + losses, point.pack_power, rtol=1e-9)
    np.testing.assert_allclose(point.pack_voltage * point.pack_current, point.pack_power, rtol=1e-12)
    sagged = inputs.open_voltage[:, None] - inputs.supply_resistance[:, None] * point.pack_current
    np.testing.assert_allclose(point.pack_voltage[point.found], sagged[point.found], rtol=1e-9)
    assert np.all(point.loss_gear >= 0.0)
    assert np.all((point.efficiency < 1.0) & (point.efficiency >= 0.0))
    for name in ("propeller", "gear", "motor", "controller"):
        share = getattr(point, f"{name}_efficiency")
        assert np.all((share >= 0.0) & (share <= 1.0)), name


@few
@given(st.integers(0, 1000), st.floats(0.5, 6.0))
def test_more_volts_never_push_less(seed: int, volts: float) -> None:
    inputs = system(3, seed)
    less, more = full(inputs), full(replace(inputs, open_voltage=inputs.open_voltage + volts))
    assert np.all(more.thrust >= less.thrust * (1.0 - 1e-4) - 1e-6)


@few
@given(st.integers(0, 1000))
def test_full_throttle_keeps_within_its_limits_and_touches_one(seed: int) -> None:
    out = full(system(4, seed))
    at = out.point
    used = np.stack(
        np.broadcast_arrays(
            at.duty / 0.95,
            at.motor_current / 120.0,
            at.pack_current / 80.0,
            0.0 * at.duty,
            30.0 / at.pack_voltage,
        )
    )
    assert np.all(used[:, out.found] <= 1.001)
    binds = used.max(axis=0)
    powerless = out.binding == drive.BINDING.index("power of the pack")
    assert np.all(np.abs(binds[out.found & ~powerless] - 1.0) < 1e-3)
    named = np.take_along_axis(used, np.minimum(out.binding.astype(int) - 1, 4)[None], axis=0)[0]
    assert np.all(np.abs(named - binds)[out.found & ~powerless] < 1e-3)
    assert np.all(out.thrust[~out.found] == 0.0)


def test_full_throttle_agrees_with_the_exact_point_at_its_duty() -> None:
    inputs = system(6)
    out = full(inputs, motor_current_limit=np.inf, pack_current_limit=np.inf, pack_voltage_least=0.0)
    duty_bound = out.found & (out.binding == 1)
    exact = drive.at_duty(inputs=inputs, speed=np.tile(SPEEDS, (6, 1)), duty=np.asarray(0.95))
    assert duty_bound.any()
    np.testing.assert_allclose(out.thrust[duty_bound], exact.thrust[duty_bound], rtol=1e-3, atol=1e-2)


def test_tighter_limits_never_push_more() -> None:
    inputs = system(6)
    free, held = full(inputs), full(inputs, pack_current_limit=40.0)
    assert np.all(held.thrust <= free.thrust * (1.0 + 1e-4))
    assert np.any(held.binding == drive.BINDING.index("pack current"))
    slow = full(inputs, shaft_speed_limit=250.0)
    assert np.all(slow.shaft_speed[slow.found] <= 250.0 * 1.001)


def test_a_weak_pack_is_told_not_computed_through() -> None:
    inputs = system(3, supply_resistance=np.array([0.6, 0.05, 0.0]), open_voltage=np.array([46.0, 46.0, 46.0]))
    out = full(inputs, pack_voltage_least=0.0, pack_current_limit=np.inf, motor_current_limit=np.inf)
    assert np.any(out.binding[0] == drive.BINDING.index("power of the pack"))
    point = drive.at(inputs=inputs, speed=np.full((3, 1), 3.0), thrust=np.full((3, 1), 400.0))
    assert not point.found[0, 0]
    for name, value in arrays(point).items():
        assert np.all(np.isfinite(value)), name


def test_an_empty_pack_pushes_nothing() -> None:
    out = full(system(2, open_voltage=np.zeros(2)))
    assert not out.found.any()
    assert np.all(out.thrust == 0.0)


@few
@given(st.integers(0, 1000), st.floats(0.0, 1.0))
def test_thrust_asked_for_is_thrust_given(seed: int, share: float) -> None:
    inputs = system(3, seed)
    made = drive.map(inputs=inputs, speed=SPEEDS)
    out = drive.full_throttle(map=made, **limits(3))
    wanted = share * out.thrust
    point = drive.at_thrust(map=made, thrust=wanted)
    np.testing.assert_allclose(point.thrust, wanted, rtol=1e-8, atol=1e-6)
    assert np.all(point.found[out.found])
    free = drive.at(inputs=inputs, speed=np.tile(SPEEDS, (3, 1)), thrust=wanted)
    np.testing.assert_allclose(free.pack_power, point.pack_power, rtol=1e-10)


@few
@given(st.integers(0, 1000))
def test_more_thrust_costs_more_power(seed: int) -> None:
    inputs = system(2, seed)
    thrust = np.linspace(0.0, 150.0, 12) * np.ones((2, 1))
    point = drive.at(inputs=inputs, speed=np.full((2, 12), 5.0), thrust=thrust)
    assert np.all(np.diff(point.pack_power, axis=1) > 0.0)


def test_a_batch_is_its_members() -> None:
    inputs = system(5)
    together = full(inputs)
    asked = drive.at(inputs=inputs, speed=np.full(5, 6.0), thrust=np.full(5, 120.0))
    for place in range(5):
        one = member(inputs, place)
        alone = full(one)
        for name in ("thrust", "shaft_speed", "pack_power", "motor_current"):
            np.testing.assert_allclose(
                getattr(together, name)[place], getattr(alone, name)[0], rtol=1e-10, atol=1e-9, err_msg=name
            )
        np.testing.assert_array_equal(together.binding[place], alone.binding[0])
        np.testing.assert_array_equal(together.outside[place], alone.outside[0])
        single = drive.at(inputs=one, speed=np.full(1, 6.0), thrust=np.full(1, 120.0))
        np.testing.assert_allclose(asked.pack_power[place], single.pack_power[0], rtol=1e-10)


def test_an_input_may_change_along_the_speeds() -> None:
    inputs = system(2)
    share = np.ones((2, SPEEDS.size))
    np.testing.assert_allclose(full(replace(inputs, immersion=share)).thrust, full(inputs).thrust, rtol=1e-12)
    shallow = full(replace(inputs, immersion=0.6 * share)).thrust
    assert np.all(shallow[:, 0] < full(inputs).thrust[:, 0])


def test_heat_costs_power() -> None:
    cold = system(3, winding_temperature=np.full(3, 293.15), magnet_temperature=np.full(3, 293.15))
    hot = replace(cold, winding_temperature=np.full(3, 373.15), magnet_temperature=np.full(3, 353.15))
    a, b = (drive.at(inputs=x, speed=np.full(3, 5.0), thrust=np.full(3, 150.0)) for x in (cold, hot))
    np.testing.assert_allclose(a.torque, b.torque)
    assert np.all(b.loss_copper > 1.4 * a.loss_copper)
    assert np.all(b.pack_power > a.pack_power)


def test_a_nozzle_pushes_harder_at_rest() -> None:
    inside = system(1, pitch_ratio=np.ones(1), area_ratio=np.full(1, 0.7), blades=np.full(1, 4.0))
    nozzle = replace(inside, ducted=np.ones(1))
    power = [drive.at(inputs=x, speed=np.zeros(1), thrust=np.full(1, 250.0)).pack_power for x in (inside, nozzle)]
    assert power[1] < power[0]
    assert np.all(full(nozzle).thrust >= 0.0)


def test_faster_than_the_drive_can_push_is_said() -> None:
    point = drive.at_duty(inputs=system(2), speed=np.full(2, 14.0), duty=np.full(2, 0.2))
    assert np.all(point.thrust == 0.0)
    assert np.all(point.outside & drive.at.mask(advance_share=2.0) > 0)
    ahead = drive.at(inputs=system(2), speed=np.full(2, 5.0), thrust=np.zeros(2))
    assert np.all(ahead.outside & drive.at.mask(advance_share=2.0) == 0)


def test_one_of_duty_and_thrust_is_given() -> None:
    flat = {f.name: getattr(system(1), f.name) for f in fields(DriveInputs)}
    with pytest.raises(ModelError, match="one of the two"):
        drive.operating_point(speed=np.ones(1), **flat)
    with pytest.raises(ModelError, match="one of the two"):
        drive.operating_point(speed=np.ones(1), duty=np.ones(1), thrust=np.ones(1), **flat)


@few
@given(st.floats(20.0, 60.0), st.floats(0.005, 0.05), st.floats(0.2, 3.0))
def test_no_current_beats_the_peak_efficiency(volts: float, ohm: float, idle: float) -> None:
    current = np.linspace(idle, 0.9 * volts / ohm, 400)
    point = drive.motor_point(speed_constant=12.0, resistance=ohm, idle_current=idle, voltage=volts, current=current)
    best = float(drive.peak_efficiency(voltage=volts, resistance=ohm, idle_current=idle))
    assert point.efficiency.max() <= best + 1e-12
    np.testing.assert_allclose(point.power, point.torque * point.shaft_speed)


@few
@given(st.floats(300.0, 400.0), st.floats(0.0, 300.0))
def test_a_hotter_limit_never_carries_less(limit: float, iron: float) -> None:
    cool, warm = (
        float(
            drive.continuous_current(
                temperature_limit=t,
                coolant_temperature=288.0,
                thermal_resistance=0.4,
                resistance=0.02,
                iron_loss=iron,
            )
        )
        for t in (limit, limit + 10.0)
    )
    assert 0.0 <= cool <= warm


def test_planets_fit_only_where_the_teeth_divide() -> None:
    out = drive.planetary(sun_teeth=18.0, ring_teeth=54.0, planets=np.array([3.0, 5.0]), mesh_efficiency=0.98)
    np.testing.assert_array_equal(out.assembles, [1.0, 0.0])


def test_torque_constants_agree_on_power() -> None:
    constant = drive.torque_constant(speed_constant=np.array([5.0, 12.0]))
    direct = 50.0
    peak, rms = direct * 2.0 / np.sqrt(3.0), direct * np.sqrt(2.0 / 3.0)
    np.testing.assert_allclose(constant.phase_peak * peak, constant.direct * direct)
    np.testing.assert_allclose(constant.phase_rms * rms, constant.direct * direct)
