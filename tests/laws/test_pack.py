"""Laws of packs: energy, order of the stepping, batches, monotony, scores against tabulated discharges."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from foilwright.core.data import table
from foilwright.core.errors import DataError, ModelError
from foilwright.physics import cell, conductor, pack, source
from foilwright.physics.rundown import Stop

KINDS = table("cells/kinds").texts["kind"]
BASE = {"series": 14, "temperature": 298.15, "leads": 0.01, "stop_charge": 0.1}
LEGS = {
    "series": 14,
    "temperature": 293.15,
    "leads": 0.01,
    "stop_charge": 0.1,
    "stop_voltage": 42.0,
    "heat_capacity": 4000.0,
    "cooling": 1.5,
    "ambient": 288.15,
}
kinds = st.sampled_from(KINDS)
powers = st.floats(200.0, 4000.0)
few = settings(max_examples=25, deadline=None)


def smooth_cell():
    """Return one design with an open voltage and a resistance that are straight lines over charge."""
    axis = np.linspace(0.0, 1.0, 101)
    tables = cell.gather(kinds="nmc power pouch")
    flat = np.ones((1, 101))
    return dataclasses.replace(
        tables,
        kind=np.asarray(0),
        charge=axis,
        rows_voltage=(3.2 + axis)[None],
        rows_sustained=(1.4 - 0.8 * axis)[None],
        rows_burst=flat,
        rows_instant=flat,
    )


def watts_at_1c(kind):
    """Return about the power of a 14s4p pack at a rate of 1 an hour."""
    return 14 * 3.7 * 4 * float(cell.gather(kinds=kind).reference_capacity) / 3600.0


@pytest.mark.parametrize("kind", KINDS)
def test_open_voltage_rises_with_charge(kind):
    tables = cell.gather(kinds=kind)
    assert np.all(np.diff(tables.open_voltage) > 0.0)
    assert np.all(tables.instant_shape > 0.0)
    assert np.all(tables.burst_shape >= tables.instant_shape)
    assert tables.resistance_shape[50] == pytest.approx(1.0)


def test_gather_is_its_members_and_refuses_strangers():
    many = cell.gather(kinds=list(KINDS) * 3)
    for name in KINDS:
        one, place = cell.gather(kinds=name), KINDS.index(name)
        assert_allclose(many.open_voltage[place], one.open_voltage, rtol=0)
        assert many.reference_capacity[place + len(KINDS)] == one.reference_capacity
    with pytest.raises(DataError, match="lco pouch"):
        cell.gather(kinds="lead acid")


@few
@given(st.lists(st.tuples(kinds, powers, st.integers(1, 8)), min_size=1, max_size=4))
def test_a_batch_of_discharges_is_its_members(designs):
    names, power, parallel = zip(*designs, strict=True)
    both = {"stop_voltage": 38.0, "heat_capacity": 5000.0, "cooling": 2.0, "ambient": 285.0}
    batch = pack.discharge(cell=names, power=np.array(power), parallel=np.array(parallel), **BASE, **both)
    for k, (name, watts, beside) in enumerate(designs):
        one = pack.discharge(cell=name, power=watts, parallel=beside, **BASE, **both)
        for field in dataclasses.fields(one):
            assert_allclose(getattr(batch, field.name)[k], getattr(one, field.name), rtol=1e-12, atol=1e-12)


@few
@given(st.lists(st.tuples(kinds, powers, powers, st.floats(0.0, 900.0)), min_size=1, max_size=4))
def test_a_batch_of_rides_is_its_members_and_nothing_is_nan(designs):
    names, first, second, times = zip(*designs, strict=True)
    power = np.stack([first, second], axis=-1)
    duration = np.stack([times, np.full(len(times), 200.0)], axis=-1)
    batch = pack.ride(cell=names, parallel=4, power=power, duration=duration, **LEGS)
    for k, name in enumerate(names):
        one = pack.ride(cell=name, parallel=4, power=power[k], duration=duration[k], **LEGS)
        for field in dataclasses.fields(one):
            values = getattr(batch, field.name)[k]
            assert_allclose(values, getattr(one, field.name), rtol=1e-11, atol=1e-11)
            assert np.all(np.isfinite(values))
        assert np.all(np.diff(one.time) >= 0.0)


@few
@given(kinds, st.floats(0.2, 2.5))
def test_energy_closes(kind, rate):
    power = rate * watts_at_1c(kind)
    run = pack.discharge(cell=kind, power=power, parallel=4, stop_voltage=38.0, **BASE)
    assert run.found
    assert run.energy_out + run.energy_lost == pytest.approx(float(run.open_energy), rel=1e-3)
    assert run.energy_out == pytest.approx(power * float(run.time), rel=3e-4)


@few
@given(kinds, powers, st.integers(1, 6))
def test_more_cells_never_run_shorter_and_colder_never_longer(kind, power, parallel):
    warm = {"heat_capacity": 4000.0, "cooling": 1.0, "ambient": 283.15, "stop_voltage": 42.0}
    beside = np.array([parallel, parallel + 1])
    more = pack.discharge(cell=kind, power=power, parallel=beside, **BASE, **warm)
    assert more.time[1] >= more.time[0]
    cold = BASE | {"temperature": np.array([268.15, 283.15, 298.15, 313.15])}
    times = pack.discharge(cell=kind, power=power, parallel=parallel, **cold, **warm).time
    assert np.all(np.diff(times) >= -1e-9 * times[1:])


@few
@given(st.floats(263.15, 333.15), st.floats(263.15, 333.15))
def test_cold_cells_resist_more_and_give_less(one, other):
    low, high = sorted((one, other))
    factors = cell.temperature_factor(temperature=np.array([low, high]), activation_energy=18400.0)
    assert factors[0] >= factors[1]
    share = cell.cold_share(temperature=np.array([low, high]))
    assert share.value[0] <= share.value[1]
    assert np.all((share.low <= share.value) & (share.value <= share.high) & (share.outside == 0))


def test_below_the_cold_table_there_is_no_value():
    share = cell.cold_share(temperature=250.0)
    assert np.isnan(share.value)
    assert share.outside == 1


def test_stepping_over_charge_is_second_order():
    heat = {"heat_capacity": 500.0, "cooling": 1.5, "ambient": 283.15}
    runs = [
        pack.discharge(cell=smooth_cell(), power=1500.0, parallel=1, steps=n, **BASE, **heat)
        for n in (32, 64, 128, 1024)
    ]
    for name in ("time", "end_temperature", "energy_lost"):
        miss = [abs(float(getattr(run, name) - getattr(runs[-1], name))) for run in runs[:-1]]
        assert 3.4 < miss[0] / miss[1] < 4.6
        assert 3.4 < miss[1] / miss[2] < 4.6


def test_stepping_over_time_is_second_order():
    legs = LEGS | {"heat_capacity": 500.0, "cooling": 1.5, "stop_voltage": 0.0}
    runs = [
        pack.ride(
            cell=smooth_cell(),
            parallel=1,
            power=[1200.0, 500.0],
            duration=[500.0, 300.0],
            steps=n,
            **legs,
        )
        for n in (16, 32, 64, 512)
    ]
    assert all(run.finished for run in runs)
    for name in ("state_of_charge", "temperature", "voltage"):
        ends = [float(getattr(run, name)[-1]) for run in runs]
        miss = [abs(end - ends[-1]) for end in ends[:-1]]
        assert 3.4 < miss[0] / miss[1] < 4.6
        assert 3.4 < miss[1] / miss[2] < 4.6


@few
@given(kinds, st.floats(0.3, 2.5))
def test_a_ride_of_one_leg_is_a_discharge(kind, rate):
    power = rate * watts_at_1c(kind)
    limits = {"stop_voltage": 40.0, "heat_capacity": 8000.0, "cooling": 1.0, "ambient": 290.0}
    run = pack.discharge(cell=kind, power=power, parallel=4, steps=256, **BASE, **limits)
    longer = np.array([2.0 * float(run.time) + 100.0])
    ride = pack.ride(cell=kind, power=np.array([power]), duration=longer, parallel=4, steps=512, **BASE, **limits)
    assert not ride.finished
    assert ride.why == run.why
    assert ride.run_time == pytest.approx(float(run.time), rel=2e-3, abs=1.0)
    assert ride.energy_out == pytest.approx(float(run.energy_out), rel=2e-3, abs=power)


@pytest.mark.parametrize(
    ("limits", "why"),
    [
        ({}, Stop.CHARGE),
        ({"stop_voltage": 50.0}, Stop.VOLTAGE),
        ({"temperature_limit": 305.0}, Stop.HEAT),
        ({"current_limit": 45.0}, Stop.CURRENT),
        ({"cell_resistance": 0.08, "stop_voltage": 0.0}, Stop.COLLAPSE),
    ],
)
def test_the_limit_met_first_is_named(limits, why):
    asked = LEGS | {"stop_voltage": 0.0, "cooling": 0.0} | limits
    ride = pack.ride(cell="nmc power pouch", parallel=4, power=[2200.0], duration=[3000.0], **asked)
    assert ride.why == ride.run_why == why
    assert not ride.finished
    assert ride.run_time == ride.ride_time == ride.time[-1]
    for curve in (ride.time, ride.state_of_charge, ride.voltage, ride.current, ride.temperature):
        assert np.all(np.isfinite(curve))


def test_a_limit_broken_at_the_start_of_a_leg_ends_the_ride_there():
    legs = LEGS | {"current_limit": 60.0, "stop_voltage": 0.0}
    ride = pack.ride(cell="nmc power pouch", parallel=4, power=[1000.0, 4000.0], duration=[300.0, 300.0], **legs)
    assert ride.why == Stop.CURRENT
    assert ride.ride_time == pytest.approx(300.0)


def test_a_discharge_stops_at_its_duration():
    run = pack.discharge(cell="nmc power pouch", parallel=4, power=2500.0, duration=600.0, **BASE)
    assert run.why == Stop.TIME
    assert run.time == pytest.approx(600.0)


def test_padded_legs_change_nothing():
    short = pack.ride(cell="lco pouch", parallel=8, power=[900.0, 1500.0], duration=[300.0, 200.0], **LEGS)
    padded = pack.ride(
        cell="lco pouch",
        parallel=8,
        power=[900.0, 1500.0, 9e9],
        duration=[300.0, 200.0, 100.0],
        ridden=[True, True, False],
        **LEGS,
    )
    assert_allclose(padded.run_time, short.run_time, rtol=1e-12)
    assert_allclose(padded.time[: short.time.size], short.time)
    assert np.all(padded.voltage[short.time.size :] == padded.voltage[short.time.size])
    assert padded.voltage[-1] == pytest.approx(float(short.voltage[-1]), rel=1e-12)


def test_no_load_runs_for_ever_and_says_so():
    run = pack.discharge(cell="nmc power pouch", parallel=4, power=np.array([0.0, 1000.0]), **BASE)
    assert run.found.tolist() == [False, True]
    assert np.isnan(run.time[0])
    assert run.why[0] == Stop.NONE
    assert run.end_charge[0] == 1.0
    assert run.energy_out[0] == 0.0


def test_collapse_is_flagged():
    draw = source.constant_power_current(
        open_voltage=50.0, resistance=np.array([0.05, 0.5]), power=np.array([2000.0, 2000.0])
    )
    assert draw.found.tolist() == [True, False]
    assert np.isnan(draw.current[1])
    run = pack.discharge(cell="nmc power pouch", parallel=1, power=9000.0, **BASE)
    assert run.why == Stop.COLLAPSE
    assert run.time == 0.0


def test_currents_above_the_checked_rate_are_outside():
    power = np.array([1000.0, 5000.0])
    run = pack.discharge(cell="nmc energy cylindrical", parallel=4, power=power, **BASE)
    assert run.outside[0] == 0
    assert run.outside[1] != 0


def test_a_discharge_has_one_load():
    for load in ({}, {"power": 1000.0, "current": 20.0}):
        with pytest.raises(ModelError, match="either a power or a current"):
            pack.discharge(cell="lco pouch", parallel=4, **load, **BASE)


@few
@given(st.floats(30.0, 60.0), st.floats(0.005, 0.2), st.floats(0.0, 1.0))
def test_power_at_the_terminals_is_what_was_asked(volts, ohm, part):
    power = part * volts * volts / (4.0 * ohm)
    draw = source.constant_power_current(open_voltage=volts, resistance=ohm, power=power)
    assert draw.current * draw.voltage == pytest.approx(power, rel=1e-9, abs=1e-9)
    most = source.largest_power(open_voltage=volts, resistance=ohm, least_voltage=0.0, current_limit=np.inf)
    assert most >= power * (1.0 - 1e-12)


@few
@given(
    st.lists(st.tuples(st.floats(40.0, 60.0), st.floats(0.01, 0.2)), min_size=2, max_size=5),
    st.floats(0, 200),
)
def test_sources_side_by_side_add_up(sources, load):
    volts, ohms = (np.array(x) for x in zip(*sources, strict=True))
    shared = source.sharing(open_voltage=volts, resistance=ohms, current=load)
    assert shared.current.sum() == pytest.approx(load, abs=1e-8)
    assert shared.share.sum() == pytest.approx(1.0)
    assert_allclose(volts - shared.current * ohms, shared.voltage, rtol=1e-12)
    assert shared.open_voltage - load * shared.resistance == pytest.approx(float(shared.voltage), rel=1e-12)


def test_two_joined_packs_are_sources_without_a_load():
    alone = source.equalising_current(open_voltage=50.0, other_voltage=48.0, resistance=0.08, other_resistance=0.05)
    shared = source.sharing(open_voltage=[50.0, 48.0], resistance=[0.08, 0.05], current=0.0)
    assert_allclose(shared.current, [alone, -alone], rtol=1e-12)


def test_supply_agrees_with_its_parts():
    asked = {"cell": "lco pouch", "charge": np.array([0.2, 0.8]), "temperature": 283.15, "series": 12}
    seen = pack.supply(parallel=8, leads=0.012, current_limit=120.0, **asked)
    for lasting, got in (("sustained", seen.resistance), ("burst", seen.burst_resistance)):
        ohms = pack.resistance(parallel=8, leads=0.012, lasting=lasting, **asked)
        assert_allclose(np.asarray(ohms), got, rtol=1e-15)
    del asked["temperature"]
    assert_allclose(np.asarray(pack.open_voltage(**asked)), seen.open_voltage, rtol=1e-15)


@pytest.mark.parametrize(
    ("name", "rate", "millivolts"),
    [
        ("chen2020", 0.5, 12),
        ("chen2020", 2.0, 32),
        ("ai2020", 2.0, 24),
        ("ai2020", 3.0, 78),
        ("mohtat2020", 3.0, 29),
        ("ecker2015", 3.0, 40),
        ("kim2011", 3.0, 10),
    ],
)
def test_tabulated_discharges_are_met_within_twice_the_known_error(name, rate, millivolts):
    listed = table("cells/discharges")
    index = table("cells/kinds").texts
    own = (np.array(index["set"]) == name) & (np.array(index["known"]) == "read")
    kind = KINDS[int(own.argmax())]
    here = (np.array(listed.texts["set"]) == name) & (listed.columns["rate"] == rate)
    here &= (listed.columns["charge"] > 0.15) & (listed.columns["time"] > 30.0)
    charge, current, volts = (listed.columns[x][here] for x in ("charge", "current", "voltage"))
    base = {"cell": kind, "charge": charge, "series": 1}
    ohms = pack.resistance(temperature=298.15, parallel=1, leads=0.0, **base)
    miss = np.asarray(pack.open_voltage(**base)) - current * np.asarray(ohms) - volts
    assert charge.size >= 10
    assert 1e3 * np.sqrt(np.mean(miss**2)) < 2.0 * millivolts


@pytest.mark.parametrize(("current", "celsius"), [(5.0, 50.6), (10.0, 108.6)])
def test_heat_balance_with_a_resistance_that_stays_meets_the_worked_example(current, celsius):
    tables = dataclasses.replace(cell.gather(kinds="nmc energy cylindrical"), activation_energy=np.asarray(0.0))
    run = pack.discharge(
        cell=tables,
        series=1,
        parallel=1,
        current=current,
        temperature=298.15,
        stop_voltage=2.5,
        heat_capacity=42.8,
        cooling=0.0531,
    )
    assert run.end_temperature - 273.15 == pytest.approx(celsius, abs=1.5)


@few
@given(st.floats(-3.0, 36.0), st.floats(250.0, 400.0))
def test_three_gauges_halve_and_ten_tenth(gauge, temperature):
    areas = np.asarray(conductor.gauge_area(gauge=gauge + np.array([0.0, 3.0])))
    assert areas[0] / areas[1] == pytest.approx(2.005, abs=0.001)
    ohms = conductor.resistance_by_area(area=areas, temperature=temperature, stranding=1.0)
    assert ohms[1] / ohms[0] == pytest.approx(areas[0] / areas[1], rel=1e-12)


def test_an_unknown_metric_size_has_no_value():
    ohms = conductor.resistance_by_name(
        nominal_area=np.array([16e-6, 17e-6]), temperature=293.15, build=["flexible", "stiff"]
    )
    assert np.isfinite(ohms[0])
    assert np.isnan(ohms[1])
    with pytest.raises(DataError, match="flexible tinned"):
        conductor.resistance_by_name(nominal_area=16e-6, temperature=293.15, build="braided")
