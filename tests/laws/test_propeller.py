"""Laws of the propeller: momentum, monotony, batches, limits that are continuous."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.core.errors import ModelError
from foilwright.physics import propeller
from foilwright.physics.propeller.correction import smooth_friction

TESTED = {
    2: (0.30, 0.30),
    3: (0.35, 0.80),
    4: (0.40, 1.00),
    5: (0.45, 1.05),
    6: (0.50, 0.80),
    7: (0.55, 0.85),
}


@st.composite
def screws(draw: st.DrawFn) -> dict[str, float]:
    blades = draw(st.integers(2, 7))
    low, high = TESTED[blades]
    return {
        "blades": float(blades),
        "area_ratio": draw(st.floats(low, high)),
        "pitch_ratio": draw(st.floats(0.6, 1.4)),
    }


few = settings(max_examples=30, deadline=None)


@few
@given(screws())
def test_thrust_and_torque_fall_with_the_advance_ratio(screw: dict[str, float]) -> None:
    out = propeller.open_water(advance=np.linspace(0.15, 1.6, 60), **screw)
    assert np.all(np.diff(out.thrust_coefficient) <= 1e-12)
    assert np.all(np.diff(out.torque_coefficient) <= 1e-12)
    assert np.all(out.thrust_coefficient >= 0.0)
    assert np.all(np.isfinite(out.efficiency))


@few
@given(screws())
def test_no_propeller_beats_the_momentum_limit_unless_it_is_said(screw: dict[str, float]) -> None:
    advance = np.linspace(0.05, 1.5, 60)
    out = propeller.open_water(advance=advance, **screw)
    ideal = propeller.ideal_efficiency(thrust=out.thrust_coefficient, density=1.0, diameter=1.0, advance_speed=advance)
    said = out.outside & propeller.open_water.mask(ideal_share=2.0) > 0
    assert np.all((out.efficiency <= 0.88 * np.asarray(ideal) + 1e-12) | said)


@few
@given(screws())
def test_zero_thrust_is_zero_and_beyond_it_is_said(screw: dict[str, float]) -> None:
    fitted = propeller.collapse(**screw)
    end = float(propeller.zero_thrust_advance(coefficients=fitted.thrust))
    before, beyond = (propeller.open_water(advance=end * f, **screw) for f in (0.999, 1.01))
    assert 0.0 < before.thrust_coefficient < 1e-3
    assert beyond.thrust_coefficient == 0.0
    assert beyond.outside & propeller.open_water.mask(advance_share=2.0)
    assert not before.outside & propeller.open_water.mask(advance_share=2.0)


@few
@given(st.lists(screws(), min_size=2, max_size=6), st.floats(0.0, 1.2))
def test_a_batch_is_its_members(many: list[dict[str, float]], advance: float) -> None:
    together = propeller.open_water(
        advance=np.full(len(many), advance), **{k: np.array([s[k] for s in many]) for k in many[0]}
    )
    for place, screw in enumerate(many):
        alone = propeller.open_water(advance=np.asarray(advance), **screw)
        np.testing.assert_allclose(together.thrust_coefficient[place], alone.thrust_coefficient, rtol=1e-11, atol=1e-13)
        np.testing.assert_allclose(together.torque_coefficient[place], alone.torque_coefficient, rtol=1e-11, atol=1e-13)
        assert together.outside[place] == alone.outside


def test_leaving_the_series_is_said() -> None:
    base = {"advance": 0.5, "pitch_ratio": 1.0, "area_ratio": 0.5, "blades": 3.0}
    assert propeller.open_water(**base).outside == 0
    for change in ({"pitch_ratio": 1.5}, {"area_ratio": 0.9}, {"blades": 8.0}, {"advance": 1.6}):
        assert propeller.open_water(**{**base, **change}).outside > 0


def test_a_grid_takes_one_collapse() -> None:
    pitch, advance = np.array([[0.8], [1.2]]), np.linspace(0.0, 0.6, 5)
    out = propeller.open_water(
        advance=advance,
        pitch_ratio=pitch,
        area_ratio=np.array([[0.5], [0.6]]),
        blades=np.array([[3.0], [4.0]]),
    )
    assert out.thrust_coefficient.shape == (2, 5)


@few
@given(st.floats(20.0, 600.0), st.floats(0.0, 8.0), st.floats(0.0, 100e-6))
def test_rougher_blades_push_less_and_turn_harder(turning: float, speed: float, roughness: float) -> None:
    def correction(grain: float) -> propeller.Correction:
        return propeller.reynolds_correction(
            advance_speed=speed,
            shaft_speed=turning,
            diameter=0.14,
            pitch_ratio=1.0,
            area_ratio=0.5,
            blades=3.0,
            thickness_ratio=0.08,
            roughness=grain,
            kinematic_viscosity=1e-6,
        )

    one, other = correction(roughness), correction(roughness + 20e-6)
    assert other.thrust_coefficient <= one.thrust_coefficient
    assert other.torque_coefficient >= one.torque_coefficient
    assert np.isfinite(one.thrust_coefficient)
    assert np.isclose(one.thrust_coefficient / one.torque_coefficient, -1.2)


def test_the_correction_vanishes_for_the_tested_blade() -> None:
    chord = 2.073 * 0.5 / 3
    turning = 2e6 * 1e-6 / (chord * 0.14) / (0.375 * 0.14)
    out = propeller.reynolds_correction(
        advance_speed=0.0,
        shaft_speed=turning,
        diameter=0.14,
        pitch_ratio=1.0,
        area_ratio=0.5,
        blades=3.0,
        thickness_ratio=(0.0185 - 0.00375) / chord,
        roughness=0.0,
        kinematic_viscosity=1e-6,
    )
    assert np.isclose(out.reynolds, 2e6)
    assert abs(out.thrust_coefficient) < 1e-12
    assert out.outside == 0


def test_friction_is_held_and_finite_at_rest() -> None:
    assert smooth_friction(np.asarray(0.0)) == smooth_friction(np.asarray(5e4)) > 0.0


@few
@given(st.floats(0.0, 4.0), st.floats(0.0, 0.5))
def test_more_pressure_allows_more_loading(sigma: float, more: float) -> None:
    low = propeller.burrill_limit(cavitation_number=sigma)
    assert float(propeller.burrill_limit(cavitation_number=sigma + more)) >= float(low)
    for line in ("lower", "upper", "accepted"):
        assert np.isfinite(float(propeller.burrill_line(cavitation_number=sigma, line=line)))


def test_an_unknown_line_is_told() -> None:
    with pytest.raises(ModelError, match="lower, upper, accepted"):
        propeller.burrill_line(cavitation_number=0.5, line="middle")


def test_the_worked_points_of_a_small_propeller() -> None:
    water = {"density": 998.0, "diameter": 0.14}
    for thrust, speed, rpm, sound in ((180.0, 7.0, 3730.0, True), (300.0, 4.5, 3522.0, False)):
        moving = {"advance_speed": speed, "shaft_speed": rpm * np.pi / 30.0, **water}
        sigma = propeller.cavitation_number(shaft_depth=0.5, vapour_pressure=2339.0, **moving)
        loading = propeller.cavitation_loading(thrust=thrust, area_ratio=0.5, pitch_ratio=1.0, **moving)
        assert (float(loading) < float(propeller.burrill_limit(cavitation_number=sigma))) is sound


@few
@given(st.floats(-1.0, 3.0), st.floats(0.0, 0.01))
def test_the_immersion_share_is_continuous_and_rises(depth: float, deeper: float) -> None:
    one, other = (float(propeller.immersion_loss(shaft_depth=d, diameter=1.0)) for d in (depth, depth + deeper))
    assert 0.0 <= one <= other <= 1.0
    assert other - one <= 2.0 * deeper + 1e-12


def test_a_deep_propeller_loses_nothing() -> None:
    assert propeller.immersion_loss(shaft_depth=0.5, diameter=0.2) == 1.0
    assert propeller.immersion_loss(shaft_depth=-0.1, diameter=0.2).outside > 0


@few
@given(st.floats(10.0, 500.0), st.floats(1.0, 10.0))
def test_blade_stress_scales_with_load_and_falls_with_thickness(thrust: float, torque: float) -> None:
    def stress(load: float, thickness: float) -> propeller.BladeStress:
        return propeller.blade_stress(
            thrust=load * thrust,
            torque=load * torque,
            blades=3.0,
            diameter=0.14,
            pitch_ratio=1.0,
            root_radius=0.0175,
            chord=0.03,
            thickness=thickness,
            blade_mass=0.0,
            mass_radius=0.035,
            shaft_speed=400.0,
        )

    np.testing.assert_allclose(stress(2.0, 0.007).face, 2.0 * stress(1.0, 0.007).face)
    np.testing.assert_allclose(stress(1.0, 0.014).face, stress(1.0, 0.007).face / 4.0)
    assert stress(1.0, 0.007).back == pytest.approx(1.5 * stress(1.0, 0.007).face)


def test_two_swaps_restore_the_sense() -> None:
    turns, hand = np.array([1.0, -1.0]), np.array([1.0, 1.0])
    once, twice = (propeller.thrust_sense(turns=turns, hand=hand, swaps=k) for k in (1.0, 2.0))
    np.testing.assert_array_equal(once, [-1.0, 1.0])
    np.testing.assert_array_equal(twice, [1.0, -1.0])


@few
@given(st.floats(0.0, 0.6), st.floats(0.6, 1.4))
def test_a_nozzle_gives_more_at_rest_than_underway(advance: float, pitch: float) -> None:
    rest = propeller.ducted(advance=0.0, pitch_ratio=pitch)
    out = propeller.ducted(advance=advance, pitch_ratio=pitch)
    assert out.thrust_coefficient <= rest.thrust_coefficient
    assert np.isfinite(out.efficiency)
    assert rest.outside == 0


def test_bands_hold_their_value() -> None:
    out = propeller.interaction(
        drag_area=np.array([0.0, 0.001, 0.0015]), diameter=0.14, tractor=np.array([0.0, 0.0, 1.0])
    )
    assert np.all((out.wake_low <= out.wake) & (out.wake <= out.wake_high))
    assert np.all(
        (out.thrust_deduction_low <= out.thrust_deduction) & (out.thrust_deduction <= out.thrust_deduction_high)
    )
    assert not out.outside.any()
