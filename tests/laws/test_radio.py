"""Laws of the throttle's radio link and of its fail-safe."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.core.errors import DataError
from foilwright.physics import radio

few = settings(max_examples=25, deadline=None)
frequencies = st.floats(4.3e8, 2.5e9)
temperatures = st.floats(275.0, 303.0)
salts = st.floats(0.0, 40.0)
heights = st.floats(0.0, 2.0)
polarisations = st.sampled_from(["vertical", "horizontal"])
SENT = {"transmit_power": 20.0, "antenna_gain": 0.0, "receiver_level": -95.0}


@few
@given(st.lists(st.tuples(frequencies, temperatures, salts, heights), min_size=2, max_size=4), polarisations)
def test_a_batch_is_its_members(cases: list[tuple[float, float, float, float]], polarisation: str) -> None:
    frequency, temperature, salinity, height = (np.array(column) for column in zip(*cases, strict=True))
    common = {"distance": 20.0, "transmit_height": 1.0, "water_depth": 0.02, "film_thickness": 1e-3, **SENT}
    many = radio.link_margin(
        frequency=frequency,
        temperature=temperature,
        salinity=salinity,
        receive_height=height,
        polarisation=[polarisation] * frequency.size,
        **common,
    )
    for k in range(frequency.size):
        one = radio.link_margin(
            frequency=frequency[k],
            temperature=temperature[k],
            salinity=salinity[k],
            receive_height=height[k],
            polarisation=polarisation,
            **common,
        )
        for name in ("low", "central", "high", "path_loss", "water_loss", "film_loss"):
            assert getattr(many, name)[k] == pytest.approx(getattr(one, name), rel=1e-12, abs=1e-9)


@few
@given(frequencies, temperatures, salts, polarisations)
def test_a_map_of_margin_falls_with_distance_and_rises_with_height(
    frequency: float, temperature: float, salinity: float, polarisation: str
) -> None:
    shown = radio.link_margin(
        frequency=frequency,
        distance=np.geomspace(1.0, 500.0, 40)[:, None],
        transmit_height=1.0,
        receive_height=np.linspace(0.0, 1.0, 11),
        temperature=temperature,
        salinity=salinity,
        polarisation=polarisation,
        **SENT,
    )
    assert shown.central.shape == (40, 11)
    assert np.all(np.isfinite(shown.central))
    assert np.all(np.diff(shown.central, axis=0) < 0.0)
    assert np.all(np.diff(shown.central, axis=1) >= 0.0)
    assert np.all(shown.low < shown.central)
    assert np.all(shown.central < shown.high)


@few
@given(temperatures, st.floats(0.005, 0.3))
def test_under_water_the_margin_never_rises_with_frequency_or_salt(temperature: float, water_depth: float) -> None:
    rate = radio.attenuation(
        frequency=np.linspace(4e8, 2.5e9, 60), temperature=temperature, salinity=np.array([[0.0], [35.0]])
    )
    assert np.all(np.diff(rate, axis=1) > 0.0)
    salty = radio.link_margin(
        frequency=np.array([[4.33e8], [8.68e8], [2.4e9]]),
        distance=10.0,
        transmit_height=1.0,
        receive_height=0.0,
        temperature=temperature,
        salinity=np.array([0.0, 20.0, 25.0, 30.0, 35.0, 40.0]),
        polarisation="horizontal",
        water_depth=water_depth,
        **SENT,
    )
    assert np.all(np.diff(salty.central, axis=1) < 0.0)


@few
@given(frequencies, temperatures, salts)
def test_more_water_never_costs_less(frequency: float, temperature: float, salinity: float) -> None:
    water = {"frequency": frequency, "temperature": temperature, "salinity": salinity}
    film = radio.film_loss(**water, film_thickness=np.linspace(0.0, 0.03, 301))
    assert film[0] == pytest.approx(0.0, abs=1e-9)
    assert np.all(np.diff(film) >= -1e-9)
    depth = radio.submerged_loss(**water, water_depth=np.linspace(-0.1, 0.3, 81))
    assert np.all(depth[:20] == 0.0)
    assert np.all(np.diff(depth) >= 0.0)
    foam = radio.wet_foam_loss(**water, thickness=0.1, water_share=np.linspace(0.0, 0.6, 31))
    assert foam[0] == pytest.approx(0.0, abs=1e-9)
    assert np.all(np.diff(foam) > 0.0)


@few
@given(frequencies, polarisations, st.floats(0.05, 1.0), st.floats(0.05, 1.0))
def test_two_rays_end_as_plane_earth(frequency: float, polarisation: str, up: float, down: float) -> None:
    mirror = {"permittivity_real": 1e9, "permittivity_loss": 0.0, "polarisation": "horizontal"}
    far = 300.0 * float(
        radio.breakpoint_distance(frequency=frequency, transmit_height=up, receive_height=down)
    ) + 100.0 * (up + down)
    ends = {"distance": far, "transmit_height": up, "receive_height": down}
    assert radio.two_ray(frequency=frequency, **ends, **mirror) == pytest.approx(radio.plane_earth(**ends), abs=0.01)
    water = {"permittivity_real": 80.0, "permittivity_loss": 5.0, "polarisation": polarisation}
    near = {"distance": 30.0, "transmit_height": up, "receive_height": down}
    swapped = {"distance": 30.0, "transmit_height": down, "receive_height": up}
    assert radio.two_ray(frequency=frequency, **near, **water) == pytest.approx(
        radio.two_ray(frequency=frequency, **swapped, **water), abs=1e-9
    )
    assert radio.low_antenna_path(frequency=frequency, **near, **water) >= radio.free_space(
        frequency=frequency, distance=30.0
    )


def test_an_edge_costs_more_the_higher_it_stands() -> None:
    loss = radio.knife_edge(
        frequency=2.4e9, edge_height=np.linspace(-2.0, 2.0, 201), near_distance=3.0, far_distance=15.0
    )
    assert np.all(np.diff(loss) >= 0.0)
    assert loss[0] == 0.0
    assert np.max(np.diff(loss)) < 1.5


@few
@given(st.floats(-10.0, 50.0))
def test_a_margin_and_its_drop_outs_are_one_law(margin: float) -> None:
    share = radio.drop_out_share(margin=margin)
    assert 0.0 < share <= 1.0
    if share < 1.0 - 1e-9:
        assert radio.margin_from_drop_outs(lost_share=np.asarray(share)) == pytest.approx(margin, abs=1e-6)


def test_wash_follows_the_normal_distribution() -> None:
    above = np.linspace(-0.4, 0.4, 33)
    share = radio.wash_over_share(height=above, chop=0.2)
    wanted = [0.5 * math.erfc(4.0 * one / (math.sqrt(2.0) * 0.2)) for one in above]
    np.testing.assert_allclose(share, wanted, rtol=2e-7)
    calm = radio.wash_over_share(height=np.array([-0.1, 0.0, 0.1]), chop=0.0)
    assert calm.tolist() == [1.0, 1.0, 0.0]
    assert np.all(np.diff(radio.wash_over_share(height=0.1, chop=np.linspace(0.0, 1.0, 21))) >= 0.0)


@few
@given(st.floats(0.01, 0.2), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 10.0))
def test_a_longer_hold_never_stops_sooner(period: float, hold: float, ramp: float, speed: float) -> None:
    stop = radio.fail_safe(
        packet_period=period,
        hold=np.array([hold, hold + 0.1, np.inf]),
        ramp=ramp,
        speed=speed,
        deceleration=1.5,
    )
    assert stop.thrust_time[0] < stop.thrust_time[1]
    assert np.isposinf(stop.thrust_time[2])
    assert np.all(stop.stop_time >= stop.thrust_time)


def test_chance_stops_are_rarer_when_more_packets_may_be_missed() -> None:
    share = np.array([0.0, 0.001, 0.1, 0.9, 1.0])[:, None]
    waiting = radio.false_stop_time(lost_share=share, packets=np.array([1.0, 3.0, 8.0]), packet_period=0.03)
    assert not np.any(np.isnan(waiting))
    assert np.all(np.isposinf(waiting[0]))
    assert np.all(np.diff(waiting[1:], axis=1) > 0.0)
    assert np.all(np.diff(waiting, axis=0)[1:] < 0.0)


def test_supplies_last_longer_when_larger_and_shorter_in_the_cold() -> None:
    dip = {"voltage": 5.0, "least_voltage": np.array([3.5, 5.0, 6.0]), "power": 0.25}
    held = radio.hold_up_time(capacitance=1e-3, **dip)
    assert held[0] > 0.0 == held[1] == held[2]
    run = radio.transmitter_time(
        capacity=3600.0, current=0.05, capacity_left=0.8, temperature=np.array([273.15, 283.15, 298.15])
    )
    assert np.all(np.diff(run.time) > 0.0)
    assert np.all(run.low <= run.time)
    assert np.all(run.time <= run.high)
    assert np.all(run.outside == 0)


def test_what_stands_in_the_way_is_listed_with_its_range() -> None:
    places = [
        "in the box below deck",
        "on deck",
        "above deck on a stub",
        "in a bag outside",
        "behind carbon",
        "behind wet foam",
        "torso",
        "hand",
        "crossed antennas",
        "detuned by water",
    ]
    for frequency in (4.33e8, 8.68e8, 9.15e8, 2.45e9):
        loss = radio.obstacle_loss(obstacle=places, frequency=np.full(len(places), frequency))
        assert np.all(loss.low <= loss.typical)
        assert np.all(loss.typical <= loss.high)
    with pytest.raises(DataError, match="torso"):
        radio.obstacle_loss(obstacle="wall", frequency=2.4e9)
    with pytest.raises(DataError, match="vertical"):
        radio.minimum_height(frequency=1e9, permittivity_real=80.0, permittivity_loss=1.0, polarisation="round")


def test_heel_and_shields() -> None:
    tilt = np.linspace(0.0, 1.0, 21)
    assert np.all(np.diff(radio.heeled_height(height=0.1, offset=0.2, heel=tilt)) < 0.0)
    sheet = radio.shield_loss(frequency=2.4e9, thickness=np.array([1e-3, 2e-3]), electric_conductivity=1e4)
    assert sheet[1] == pytest.approx(2.0 * sheet[0])


def test_lake_and_sea_of_the_link_under_water() -> None:
    under = {"frequency": 2.4e9, "temperature": 288.15, "water_depth": 0.03}
    lake = radio.submerged_loss(**under, salinity=0.0, ionic_conductivity=0.05)
    sea = radio.submerged_loss(**under, salinity=35.0)
    assert 11.0 < lake < 16.0
    assert 33.0 < sea < 40.0
