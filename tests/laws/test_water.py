"""Laws of water and air, and of the rider as a load."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.core.errors import DataError
from foilwright.physics import rider, water

kelvin = st.floats(273.15, 308.15)
salt = st.floats(0.0, 40.0)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(kelvin, salt), min_size=1, max_size=6))
def test_a_batch_of_waters_is_its_members(cases: list[tuple[float, float]]) -> None:
    temperature, salinity = np.array(cases).T
    batch = water.properties(temperature=temperature, salinity=salinity)
    for k, (t, s) in enumerate(cases):
        one = water.properties(temperature=t, salinity=s)
        assert batch.density[k] == one.density
        assert batch.kinematic_viscosity[k] == one.kinematic_viscosity
        assert batch.vapour_pressure[k] == one.vapour_pressure
    assert not batch.outside.any()
    assert np.isfinite(batch.density).all()


@settings(max_examples=25, deadline=None)
@given(kelvin, salt, salt)
def test_salt_makes_water_denser_and_stiffer(temperature: float, one: float, other: float) -> None:
    less, more = sorted((one, other))
    fresh = water.properties(temperature=temperature, salinity=less)
    brine = water.properties(temperature=temperature, salinity=more)
    assert brine.density >= fresh.density
    assert brine.kinematic_viscosity >= fresh.kinematic_viscosity
    assert brine.vapour_pressure <= fresh.vapour_pressure


@settings(max_examples=25, deadline=None)
@given(kelvin, kelvin, salt)
def test_warm_water_is_thinner_and_boils_sooner(one: float, other: float, salinity: float) -> None:
    cold, warm = (water.properties(temperature=t, salinity=salinity) for t in sorted((one, other)))
    assert warm.kinematic_viscosity <= cold.kinematic_viscosity
    assert warm.vapour_pressure >= cold.vapour_pressure


def test_the_table_of_water_agrees_with_the_equation_of_state() -> None:
    import gsw

    temperature, salinity = np.meshgrid(np.linspace(0.0, 35.0, 23), np.linspace(0.0, 40.0, 17))
    read = water.properties(temperature=temperature + 273.15, salinity=salinity)
    np.testing.assert_allclose(read.density, gsw.rho_t_exact(salinity, temperature, 0.0), rtol=5e-6)


def test_beyond_the_table_there_is_no_water() -> None:
    read = water.properties(temperature=np.array([270.0, 290.0, 290.0]), salinity=np.array([0.0, 0.0, 41.0]))
    assert read.outside.tolist() == [1, 0, 2]
    assert np.isnan(read.density).tolist() == [True, False, True]


def test_four_times_the_depth_doubles_the_wave_speed() -> None:
    depth = np.array([0.3, 1.0, 20.0])
    np.testing.assert_allclose(
        water.shallow_wave_speed(depth=4.0 * depth), 2.0 * water.shallow_wave_speed(depth=depth), rtol=1e-14
    )


def test_air_is_a_perfect_gas() -> None:
    thin = water.air_density(temperature=np.array([280.0, 300.0]), pressure=90e3)
    np.testing.assert_allclose(
        water.air_density(temperature=np.array([280.0, 300.0]), pressure=99e3), 1.1 * thin, rtol=1e-14
    )
    assert thin[0] > thin[1]


@settings(max_examples=25, deadline=None)
@given(st.floats(2.0, 20.0), st.floats(200.0, 2e4), st.floats(1.0, 3.0))
def test_more_wind_or_water_makes_more_chop(wind: float, fetch: float, more: float) -> None:
    calm = water.wind_chop(wind_speed=wind, fetch=fetch)
    for rough in (
        water.wind_chop(wind_speed=wind * more, fetch=fetch),
        water.wind_chop(wind_speed=wind, fetch=fetch * more),
    ):
        assert rough.height >= calm.height
        assert rough.period >= calm.period
        assert rough.jonswap_height >= calm.jonswap_height
    assert calm.highest == pytest.approx(1.7 * calm.height)
    assert calm.height == pytest.approx(calm.jonswap_height, rel=0.15)


def test_a_calm_is_outside_the_growth_laws() -> None:
    calm = water.wind_chop(wind_speed=np.array([0.0, 5.0]), fetch=np.array([500.0, 500.0]))
    assert calm.outside.tolist() == [3, 0]
    assert calm.height[0] == 0.0


def test_double_the_speed_is_four_times_the_air_drag() -> None:
    drag = rider.air_drag(drag_area=0.5, speed=np.array([3.0, 6.0]), wind_speed=0.0, air_density=1.2)
    assert drag[1] == pytest.approx(4.0 * drag[0])
    behind = rider.air_drag(drag_area=0.5, speed=3.0, wind_speed=-6.0, air_density=1.2)
    assert behind == pytest.approx(-drag[0])


def test_a_lower_posture_lies_lower_and_catches_less_wind() -> None:
    read = rider.posture(name=np.array(["prone", "kneeling", "standing", "upright"]))
    assert (np.diff(read.centre_fraction) > 0.0).all()
    assert (np.diff(read.drag_area) > 0.0).all()
    assert (read.centre_low <= read.centre_fraction).all()
    assert (read.centre_fraction <= read.centre_high).all()
    assert (read.drag_area_low <= read.drag_area).all()
    assert (read.drag_area <= read.drag_area_high).all()
    assert rider.posture(name="kneeling").drag_area == read.drag_area[1]


def test_an_unknown_posture_is_told_with_the_known_ones() -> None:
    with pytest.raises(DataError, match="kneeling-upright"):
        rider.posture(name="sitting")
