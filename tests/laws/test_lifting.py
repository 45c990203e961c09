"""Laws of the lifting surfaces, and the tables against the integrals that they come from."""

from __future__ import annotations

import functools
import importlib.util
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.physics import lifting
from foilwright.study import lattice

SCRIPTS = Path(__file__).parents[2] / "scripts"
G = 9.80665
few = settings(max_examples=25, deadline=None)
depths = st.floats(0.1, 1.5)
speeds = st.floats(2.2, 14.0)
spans = st.floats(0.4, 1.4)
ratios = st.floats(3.0, 15.0)
tapers = st.floats(0.15, 1.0)
sweeps = st.floats(-0.3, 0.6)


@functools.cache
def script(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, SCRIPTS / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@few
@given(st.lists(st.tuples(depths, speeds, spans, ratios, tapers, sweeps), min_size=2, max_size=5))
def test_a_batch_is_its_members(cases: list[tuple[float, ...]]) -> None:
    depth, speed, span, ratio, taper, sweep = (np.array(column) for column in zip(*cases, strict=True))
    shape = {"area": span * span / ratio, "span": span, "taper": taper, "sweep": sweep}
    flow = {"depth": depth, "speed": speed, "section_slope": np.full(span.shape, 6.0)}
    many = lifting.wing(**shape, **flow, zero_lift_angle=-0.04, incidence=0.05, twist=-0.03)
    for k in range(span.size):
        one = lifting.wing(
            **{name: value[k] for name, value in (shape | flow).items()},
            zero_lift_angle=-0.04,
            incidence=0.05,
            twist=-0.03,
        )
        assert many.lift_coefficient[k] == pytest.approx(one.lift_coefficient, rel=1e-13)
        assert many.induced_drag_coefficient[k] == pytest.approx(one.induced_drag_coefficient, rel=1e-13)
        assert many.outside[k] == one.outside == 0


def test_axes_broadcast_as_designs_speed_and_trim() -> None:
    incidence = np.linspace(-0.02, 0.1, 5)
    slope = lifting.slope_and_drag(
        area=np.array([[0.12], [0.15]]),
        span=np.array([[0.9], [1.0]]),
        taper=np.array([[0.4], [0.6]]),
        sweep=0.1,
        section_slope=6.0,
        depth=0.4,
        speed=np.array([[3.0, 5.0, 8.0]]),
        twist=-0.02,
    )
    assert slope.lift_slope.shape == slope.outside.shape == (2, 3)
    lift = slope.lift_slope[..., None] * (incidence + 0.03 - slope.zero_lift_shift[..., None])
    drag = (
        slope.induced_drag_factor[..., None] * lift**2
        + slope.twist_drag_slope[..., None] * lift
        + slope.twist_drag[..., None]
    )
    whole = lifting.wing(
        area=np.array([0.12, 0.15])[:, None, None],
        span=np.array([0.9, 1.0])[:, None, None],
        taper=np.array([0.4, 0.6])[:, None, None],
        sweep=0.1,
        section_slope=6.0,
        zero_lift_angle=-0.03,
        incidence=incidence,
        depth=0.4,
        speed=np.array([3.0, 5.0, 8.0])[:, None],
        twist=-0.02,
    )
    np.testing.assert_allclose(lift, whole.lift_coefficient, rtol=1e-13)
    np.testing.assert_allclose(drag, whole.induced_drag_coefficient, rtol=1e-13)


@few
@given(spans, st.floats(2.0, 4.0))
def test_fast_drag_falls_with_depth_at_one_froude_number(span: float, froude: float) -> None:
    depth = span * np.linspace(0.08, 3.0, 60)
    factor = lifting.surface_drag_factor(span=span, depth=depth, speed=froude * np.sqrt(G * span))
    assert np.all(np.diff(factor) < 0.0)
    assert np.all(factor > 1.0)


@few
@given(spans, st.floats(0.05, 2.0))
def test_the_limits_of_speed_mirror_each_other(span: float, depth: float) -> None:
    fast, slow = lifting.surface_drag_factor(span=span, depth=depth, speed=np.array([1e7, 0.0]))
    assert fast - 1.0 == pytest.approx(1.0 - slow, abs=2e-5)
    assert fast > 1.0 > slow > 0.0


@few
@given(st.floats(0.06, 0.25), st.floats(0.3, 12.0), st.floats(1.0, 14.0))
def test_the_lift_factor_stays_in_its_band(chord: float, ratio: float, share: float) -> None:
    depth = chord * ratio
    speed = max(share, 1.2 * np.sqrt(G * max(chord, depth)))
    band = lifting.surface_lift_band(chord=chord, depth=depth, speed=speed)
    factor = lifting.surface_lift_factor(chord=chord, depth=depth, speed=speed)
    assert 0.0 < band.low <= factor <= band.high <= 1.0
    assert lifting.section_lift_factor(chord=chord, depth=depth, speed=speed) <= band.low + 1e-9
    assert band.outside == 0


def test_deep_and_still_water_give_numbers() -> None:
    speed = np.array([0.0, 0.3, 1.0, 3.0, 12.0])
    for depth in (0.05, 0.3, 2.0, 1e6):
        assert np.isfinite(lifting.surface_drag_factor(span=0.9, depth=depth, speed=speed)).all()
        factor = lifting.surface_lift_factor(chord=0.13, depth=depth, speed=speed)
        assert np.all((factor > 0.5) & (factor < 1.5))
    np.testing.assert_allclose(lifting.surface_drag_factor(span=0.9, depth=1e6, speed=speed), 1.0)
    np.testing.assert_allclose(lifting.surface_lift_factor(chord=0.1, depth=1e6, speed=speed), 1.0)


def test_outside_the_tables_there_is_no_value_and_the_mask_tells() -> None:
    shape = {"area": 0.12, "span": 0.9, "taper": 0.4, "sweep": 0.0, "section_slope": 6.0}
    slope = lifting.slope_and_drag(**shape, depth=np.array([0.01, 0.4]), speed=6.0)
    assert np.isnan(slope.lift_slope[0])
    assert slope.outside[0] != 0
    assert np.isfinite(slope.lift_slope[1])
    assert slope.outside[1] == 0
    assert lifting.slope_and_drag(**shape | {"taper": 1.5}, depth=0.4, speed=6.0).outside != 0
    assert lifting.slope_and_drag(**shape, depth=0.4, speed=0.5).outside != 0


@few
@given(spans, speeds)
def test_the_surface_factors_have_no_steps(span: float, speed: float) -> None:
    depth = np.linspace(0.06 * span, 2.0 * span, 3000)
    factor = lifting.surface_drag_factor(span=span, depth=depth, speed=speed)
    lift = lifting.surface_lift_factor(chord=span / 7.0, depth=depth, speed=speed)
    assert np.abs(np.diff(factor)).max() < 0.05
    assert np.abs(np.diff(lift)).max() < 0.01


def test_the_planform_factors_have_no_steps() -> None:
    ratio = np.linspace(1.6, 23.0, 2000)
    for taper in (0.12, 0.4, 0.99):
        for sweep in (0.0, 0.31):
            found = lifting.taper_factors(aspect_ratio=ratio, taper=taper, sweep=sweep)
            slope = lifting.lifting_line_slope(
                section_slope=2 * np.pi, aspect_ratio=ratio, tau=found.tau + found.chord_tau
            )
            assert np.all(np.diff(slope) > 0.0)
            assert np.abs(np.diff(found.delta)).max() < 1e-3
            assert np.all(found.peak_ratio >= 1.0)


@few
@given(ratios, tapers)
def test_no_straight_wing_beats_the_ellipse(ratio: float, taper: float) -> None:
    found = lifting.taper_factors(aspect_ratio=ratio, taper=taper)
    assert found.delta > 0.0
    assert found.tau > 0.0
    assert 0.3 < found.twist_shift < 0.5
    assert found.outside == 0


@few
@given(ratios, tapers, st.floats(0.02, 0.17))
def test_washout_costs_drag_at_no_lift_and_never_gives_any_back_in_all(
    ratio: float, taper: float, washout: float
) -> None:
    found = lifting.taper_factors(aspect_ratio=ratio, taper=taper)
    least = found.twist_square - found.twist_cross**2 * np.pi * ratio / (4.0 * (1.0 + found.delta))
    assert found.twist_square > 0.0
    assert least > 0.0
    lift = np.linspace(-1.0, 1.0, 41)
    drag = (1.0 + found.delta) * lift**2 / (np.pi * ratio) - found.twist_cross * lift * washout
    assert np.all(drag + found.twist_square * washout**2 >= 0.999 * lift**2 / (np.pi * ratio) - 1e-9)


@few
@given(ratios, tapers, sweeps)
def test_sweep_takes_slope_and_higher_sections_give_it(ratio: float, taper: float, sweep: float) -> None:
    shape = {"area": 1.0 / ratio, "span": 1.0, "taper": taper, "depth": 0.5, "speed": 6.0}
    straight = lifting.slope_and_drag(**shape, sweep=0.0, section_slope=6.0).lift_slope
    swept = lifting.slope_and_drag(**shape, sweep=sweep, section_slope=6.0).lift_slope
    steeper = lifting.slope_and_drag(**shape, sweep=sweep, section_slope=6.3).lift_slope
    assert swept <= straight * 1.01
    assert swept < steeper < 6.3


@few
@given(depths, speeds)
def test_a_fast_wing_holds_its_height_the_more_the_shallower(depth: float, speed: float) -> None:
    shape = {"lift": 1000.0, "area": 0.13, "span": 0.9, "taper": 0.5, "sweep": 0.0, "section_slope": 6.0}
    near, far = lifting.height_stiffness(**shape, depth=np.array([depth, 2.0 * depth]), speed=speed + 8.0)
    assert near > far > 0.0


@few
@given(st.floats(0.4, 3.0), st.floats(0.1, 1.0))
def test_downwash_falls_aft_and_with_depth(arm: float, depth: float) -> None:
    shape = {"aspect_ratio": 7.0, "span": 0.9, "height_offset": 0.02}
    here = lifting.downwash_factor(**shape, arm=arm, depth=depth)
    assert here > lifting.downwash_factor(**shape, arm=1.3 * arm, depth=depth)
    assert here > lifting.downwash_factor(**shape, arm=arm, depth=1.5 * depth)
    both = lifting.downwash(**shape, lift_coefficient=0.6, arm=arm, depth=depth)
    assert both == pytest.approx(0.6 * here, rel=1e-14)


@few
@given(ratios, tapers)
def test_roll_damping_is_far_below_its_strip_value(ratio: float, taper: float) -> None:
    damping = lifting.roll_damping(aspect_ratio=ratio, taper=taper)
    slope = lifting.slope_and_drag(
        area=1.0 / ratio, span=1.0, taper=taper, sweep=0.0, section_slope=2 * np.pi, depth=1e3, speed=6.0
    ).lift_slope
    strip = lifting.roll_damping_strip(lift_slope=slope, taper=taper)
    assert strip < damping < 0.0


def test_an_error_to_port_wants_the_rider_to_port_and_doubles_with_itself() -> None:
    shape = {"area": 0.12, "span": 0.9, "taper": 0.4, "density": 999.0, "rider_weight": 800.0}
    one = lifting.twist_error_roll(**shape, speed=6.0, twist_difference=0.01)
    two = lifting.twist_error_roll(**shape, speed=12.0, twist_difference=0.02)
    assert one.rider_shift > 0.0
    assert two.moment == pytest.approx(8.0 * one.moment, rel=1e-12)
    assert lifting.twist_error_roll(**shape, speed=6.0, incidence_difference=0.01).moment > one.moment


@pytest.mark.parametrize(("ratio", "share", "within"), [(0.13, 0.6, 0.0025), (0.31, 0.55, 0.0025), (0.12, 0.41, 0.008)])
def test_the_drag_table_keeps_to_its_integral(ratio: float, share: float, within: float) -> None:
    speed = share / (1.0 - share) * np.sqrt(G * ratio)
    direct = script("write_surface_drag").factor(ratio, share)
    found = lifting.surface_drag_factor(span=1.0, depth=ratio, speed=speed)
    assert found == pytest.approx(direct, rel=within)


@pytest.mark.parametrize(("ratio", "froude"), [(0.55, 1.1), (1.3, 1.7), (2.2, 4.0), (4.0, 9.0)])
def test_the_lift_table_keeps_to_its_closed_form(ratio: float, froude: float) -> None:
    direct = script("write_surface_lift").loss(ratio, ratio / froude**2)
    found = lifting.section_lift_factor(chord=1.0, depth=ratio, speed=froude * np.sqrt(G))
    assert found == pytest.approx(1.0 / (1.0 + direct), abs=0.003)


@pytest.mark.parametrize("speed", [2.5, 3.5, 6.0, 12.0])
@pytest.mark.parametrize(("span", "chord", "depth"), [(0.9, 0.133, 0.15), (0.9, 0.133, 0.4), (0.5, 0.08, 0.3)])
def test_the_lift_factor_is_that_of_a_finite_wing(span: float, chord: float, depth: float, speed: float) -> None:
    loss = script("write_surface_lift").finite_span_curvature(span, chord, depth, speed)
    found = lifting.surface_lift_factor(chord=chord, depth=depth, speed=speed)
    assert found == pytest.approx(1.0 / (1.0 + loss), abs=0.015)


@pytest.mark.parametrize(("ratio", "taper"), [(5.3, 0.33), (9.1, 0.77)])
def test_the_planform_tables_keep_to_their_sources(ratio: float, taper: float) -> None:
    found = lifting.taper_factors(aspect_ratio=ratio, taper=taper, sweep=0.2)
    line = script("write_lifting_line").wing(ratio, taper)
    assert found.tau == pytest.approx(line["tau"], abs=0.0012)
    assert found.twist_square == pytest.approx(line["twist_square"], abs=3e-4)
    direct = lattice.wing(span=ratio, root_chord=2.0 / (1.0 + taper), taper=taper, sweep=0.2)
    slope = lifting.lifting_line_slope(
        section_slope=2 * np.pi * np.cos(0.2), aspect_ratio=ratio, tau=found.tau + found.chord_tau
    )
    assert slope == pytest.approx(direct.lift_coefficient, rel=0.004)
    assert found.peak_ratio == pytest.approx(direct.peak[0], rel=0.01)


@pytest.mark.parametrize(("behind", "aside"), [(0.8, 0.03), (1.7, 0.5), (4.0, 2.0)])
def test_the_downwash_table_keeps_to_its_integral(behind: float, aside: float) -> None:
    direct = script("write_downwash").factor(behind, aside)
    found = lifting.downwash_factor(aspect_ratio=1 / np.pi, span=2.0, arm=behind, depth=1e9, height_offset=aside)
    assert found == pytest.approx(direct, abs=0.003)
