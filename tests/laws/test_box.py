"""Laws of the box: its air, its lid, its seals, its leaks, a cell that vents in it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.core.data import table
from foilwright.core.errors import DataError, ModelError
from foilwright.physics import air, box, seal

few = settings(max_examples=25, deadline=None)
temperatures = st.floats(268.0, 330.0)
sizes = st.floats(0.08, 0.6)
plates = st.tuples(sizes, sizes)
thicknesses = st.floats(0.003, 0.02)
pressures = st.floats(100.0, 40e3)
humidities = st.floats(0.0, 1.0)


@few
@given(st.lists(st.tuples(sizes, sizes, thicknesses, pressures), min_size=2, max_size=5))
def test_a_batch_of_lids_is_its_members(cases: list[tuple[float, float, float, float]]) -> None:
    width, length, thickness, pressure = (np.array(column) for column in zip(*cases, strict=True))
    many = box.lid(width=width, length=length, thickness=thickness, modulus=3e9, pressure=pressure)
    for k in range(width.size):
        one = box.lid(width=width[k], length=length[k], thickness=thickness[k], modulus=3e9, pressure=pressure[k])
        assert many.stress[k] == pytest.approx(one.stress, rel=1e-13)
        assert many.deflection[k] == pytest.approx(one.deflection, rel=1e-13)
        assert many.outside[k] == one.outside


@pytest.mark.parametrize("edge", ["supported", "clamped"])
@few
@given(plates, thicknesses, pressures, st.floats(1.0, 3.0))
def test_a_thicker_lid_never_bows_more(
    edge: str, sides: tuple[float, float], thickness: float, pressure: float, more: float
) -> None:
    plate = {"width": sides[0], "length": sides[1], "modulus": 3e9}
    thin = box.lid(**plate, thickness=thickness, pressure=pressure, edge=edge)
    thick = box.lid(**plate, thickness=more * thickness, pressure=pressure, edge=edge)
    assert thick.deflection <= thin.deflection
    assert thick.stress <= thin.stress
    heel = {"force": 700.0, "patch_radius": 0.025}
    assert (
        box.heel_on_lid(**plate, thickness=more * thickness, **heel).deflection
        <= box.heel_on_lid(**plate, thickness=thickness, **heel).deflection
    )


@few
@given(sizes, sizes, thicknesses, pressures)
def test_a_lid_scales_turns_and_mirrors(width: float, length: float, thickness: float, pressure: float) -> None:
    given_lid = {"thickness": thickness, "modulus": 3e9}
    one = box.lid(width=width, length=length, pressure=pressure, **given_lid)
    turned = box.lid(width=length, length=width, pressure=pressure, **given_lid)
    outward = box.lid(width=width, length=length, pressure=-pressure, **given_lid)
    double = box.lid(width=2.0 * width, length=2.0 * length, thickness=2.0 * thickness, modulus=3e9, pressure=pressure)
    assert turned.stress == pytest.approx(one.stress, rel=1e-12)
    assert outward.deflection == pytest.approx(-one.deflection, rel=1e-12)
    assert double.stress == pytest.approx(one.stress, rel=1e-12)
    assert double.deflection == pytest.approx(2.0 * one.deflection, rel=1e-12)
    assert not outward.outside ^ one.outside


def test_a_clamped_lid_bows_less_than_one_that_is_laid_on() -> None:
    aspect = np.linspace(1.0, 8.0, 57)
    plate = {"width": 0.2, "length": 0.2 * aspect, "thickness": 0.006, "modulus": 3e9, "pressure": 1e4}
    laid_on, clamped = box.lid(**plate), box.lid(**plate, edge="clamped")
    assert np.all(clamped.deflection < laid_on.deflection)
    assert np.all(np.diff(laid_on.deflection) >= 0.0)
    with pytest.raises(ModelError, match="clamped"):
        box.lid(**plate, edge="glued")


def test_a_lid_that_bows_too_far_says_so() -> None:
    bow = box.lid(width=0.2, length=0.3, thickness=np.array([0.003, 0.010]), modulus=3e9, pressure=1e4)
    assert bow.outside[0] != 0
    assert bow.outside[1] == 0


def test_the_lids_of_the_table_soften_when_warm() -> None:
    stuff = table("box/lids").columns
    warm = box.warm_modulus(modulus=stuff["modulus"], temperature=318.15, softening=stuff["softening"])
    assert np.all(warm < stuff["modulus"])
    assert np.all(stuff["lasting_stress"] < stuff["strength"])


@few
@given(temperatures, temperatures, humidities)
def test_the_warmer_it_is_closed_the_harder_it_sucks(first: float, second: float, humidity: float) -> None:
    closed = np.array([first, first + 3.0])
    shut = air.trapped_air(closed_temperature=closed, temperature=second, humidity=humidity)
    assert shut.swing[1] < shut.swing[0]
    assert np.all(shut.dew >= -1e-15)
    same = air.trapped_air(closed_temperature=first, temperature=first, humidity=humidity)
    assert same.swing == pytest.approx(0.0, abs=1e-6)
    dry = air.trapped_air(closed_temperature=closed, temperature=second, humidity=0.0)
    assert np.all(shut.pressure <= dry.pressure + 1e-6)


@few
@given(temperatures, st.floats(0.05, 1.0))
def test_the_dew_point_gives_the_vapour_back(temperature: float, humidity: float) -> None:
    point = air.dew_point(temperature=temperature, humidity=humidity)
    assert point <= temperature + 1e-9
    assert air.saturation_pressure(temperature=np.asarray(point)) == pytest.approx(
        humidity * air.saturation_pressure(temperature=temperature), rel=1e-10
    )


def test_dry_air_and_freezing_air_have_no_nan() -> None:
    points = air.dew_point(temperature=np.array([273.15, 293.15]), humidity=np.array([1.0, 0.0]))
    assert np.all(np.isfinite(points))
    assert np.asarray(points.outside)[1] != 0


@few
@given(st.floats(0.1, 0.5), st.floats(0.01, 0.3))
def test_a_seal_pressed_further_presses_back_harder(squeeze: float, more: float) -> None:
    tighter = min(squeeze + more, 0.6)
    soft, hard = (seal.sponge_pressure(grade=["2x1", "2x4"], squeeze=s) for s in (squeeze, tighter))
    assert np.all(hard.typical > soft.typical)
    assert np.all(soft.low <= soft.typical)
    assert np.all(soft.typical <= soft.high)
    cord = {"diameter": 0.0035, "modulus": 5e6}
    assert seal.cord_line_load(**cord, squeeze=tighter) > seal.cord_line_load(**cord, squeeze=squeeze)


@few
@given(thicknesses, st.floats(0.02, 0.2), st.floats(1e3, 1e5), st.floats(1e3, 1e5))
def test_pitch_and_bow_are_one_law(thickness: float, pitch: float, least: float, most: float) -> None:
    strip = {
        "flange_width": 0.02,
        "seal_width": 0.01,
        "modulus": 3e9,
        "thickness": thickness,
        "least_pressure": least,
        "most_pressure": most,
    }
    bow = seal.bow_between(**strip, pitch=pitch)
    assert seal.fastening_pitch(**strip, allowed_bow=np.asarray(bow)) == pytest.approx(pitch, rel=1e-12)
    assert seal.bow_between(**strip, pitch=2.0 * pitch) == pytest.approx(16.0 * bow, rel=1e-12)


def test_pressure_from_outside_does_not_open_a_lid() -> None:
    lifted = seal.closing_force(
        line_load=300.0, perimeter=1.0, pressure=np.array([-1e4, 0.0, 1e4]), lid_area=0.06, fastenings=10
    )
    assert lifted.total[0] == lifted.total[1] < lifted.total[2]
    assert lifted.each == pytest.approx(lifted.total / 10.0)


@few
@given(st.floats(1e-4, 0.05), st.floats(1e-5, 1e-2), st.floats(300.0, 700.0))
def test_the_opening_and_its_pressure_are_one_law(rate: float, relief: float, temperature: float) -> None:
    gas = {"gas_rate": rate, "gas_temperature": temperature}
    excess = box.relief_pressure(**gas, relief=np.array([relief, 2.0 * relief]))
    assert excess[1] < excess[0]
    back = box.relief_area(**gas, pressure=np.asarray(excess))
    np.testing.assert_allclose(back, [relief, 2.0 * relief], rtol=1e-4)


def test_no_opening_no_gas_and_a_shut_box() -> None:
    excess = box.relief_pressure(
        gas_rate=np.array([0.0, 0.0, 0.01]), gas_temperature=400.0, relief=np.array([0.0, 1e-4, 0.0])
    )
    assert excess[0] == excess[1] == 0.0
    assert np.isposinf(excess[2])
    shut = box.closed_vent_pressure(gas_volume=0.01, volume=np.array([0.003, 0.006]), gas_temperature=400.0)
    assert shut[0] > shut[1] > 0.0


@few
@given(st.floats(1.0, 5e3), st.floats(60.0, 7200.0), st.floats(280.0, 310.0), st.floats(-3.0, 3.0))
def test_warming_air_is_no_leak(rise: float, time: float, temperature: float, drift: float) -> None:
    warm = temperature + drift
    hold = {
        "volume": 0.006,
        "first_pressure": 81e3,
        "time": time,
        "first_temperature": temperature,
        "second_temperature": warm,
    }
    tight = box.vacuum_hold(**hold, second_pressure=81e3 * warm / temperature)
    assert tight.leak_rate == pytest.approx(0.0, abs=1e-9)
    leaky = box.vacuum_hold(**hold, second_pressure=81e3 * warm / temperature + rise)
    assert leaky.leak_rate == pytest.approx(0.006 * rise / time, rel=1e-6)
    entry = box.water_entry(
        leak_rate=leaky.leak_rate, mean_pressure=leaky.mean_pressure, pressure=np.array([0.0, 3e3, 1e4])
    )
    for flow in (entry.narrow, entry.hole):
        assert flow[0] == 0.0
        assert np.all(np.diff(flow) > 0.0)


@few
@given(st.floats(2e-5, 4e-4), st.floats(0.05, 1.0), st.floats(0.0, 3.0))
def test_a_wick_never_carries_nan(strand_diameter: float, length: float, contact_angle: float) -> None:
    wick = box.strand_wick(
        strand_diameter=strand_diameter,
        strands=np.array([100.0, 200.0]),
        length=length,
        pressure=5e3,
        contact_angle=contact_angle,
    )
    assert wick.water_flow[1] == pytest.approx(2.0 * wick.water_flow[0])
    assert wick.arrival > 0.0
    assert np.isfinite(wick.rise)


def test_ram_water_reaches_the_gland_from_a_certain_speed() -> None:
    speed = np.linspace(0.0, 10.0, 41)
    duct = box.duct_head(speed=speed, density=1000.0, gland_height=0.7)
    reached = speed > np.sqrt(2.0 * 9.80665 * 0.7)
    assert np.all((duct.pressure > 0.0) == reached)
    assert np.all(np.diff(duct.pressure) >= 0.0)


@few
@given(st.floats(0.0, 3.0), st.floats(0.0, 12.0), st.floats(-15e3, 15e3), st.floats(-15e3, 15e3))
def test_the_design_pressure_never_falls_below_its_parts(depth: float, speed: float, cold: float, warm: float) -> None:
    wanted = box.design_pressure(depth=depth, speed=speed, density=1025.0, swing_cold=cold, swing_warm=warm)
    assert wanted.inward >= max(1e4, float(box.head(depth=depth, density=1025.0)), -cold)
    assert wanted.outward >= max(0.0, warm)


def test_a_name_that_is_not_listed_is_told_with_those_that_are() -> None:
    with pytest.raises(DataError, match="nmc"):
        box.cell_gas(chemistry="zinc", capacity=3600.0)
