"""Laws of heat: order of the stepping, batches, monotony, energy; what a placement does to a controller."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from foilwright.core.data import table
from foilwright.core.errors import DataError, ModelError
from foilwright.physics import charging, heat
from foilwright.physics.heat import NODES

few = settings(max_examples=25, deadline=None)
ZERO = 273.15
BOX = {
    "box_area": 0.22,
    "wall_thickness": 3e-3,
    "wall_conductivity": 0.2,
    "box_volume": 4e-3,
    "wall_mass": 0.8,
    "controller_area": 0.02,
    "controller_mass": 0.5,
    "pack_area": 0.0,
    "pack_mass": 5.0,
}
FINNED = {"sink_area": 0.1, "sink_mass": 0.3, "sink_conductance": 10.0}
BIGGER = {"sink_area": 0.3, "sink_mass": 0.9, "sink_conductance": 10.0}
PLATE = {"plate_area": 0.01, "plate_mass": 0.135, "plate_conductance": 15.0}
LIMIT = 80.0 + ZERO


def held(**more):
    """Return a network, its heat from 2 kW at 4 %, and its surroundings."""
    made = heat.cooling_network(**BOX, **more)
    load = np.zeros(len(NODES))
    load[NODES.index("controller")] = 80.0
    return {
        "node": made.node,
        "neighbour": made.neighbour,
        "conductance": made.conductance,
        "exponent": made.exponent,
        "fixed": made.fixed,
        "fixed_temperature": np.array([25.0, 15.0]) + ZERO,
    }, load, made.heat_capacity  # fmt: skip


def minutes(**more):
    """Return minutes to the limit (NaN if never) and the steady temperature of the controller."""
    links, load, stores = held(**more)
    still = heat.steady(**links, heat=load)
    time = np.linspace(0.0, 7200.0, 241)
    run = heat.transient(**links, heat=load[None], heat_capacity=stores, start_temperature=25.0 + ZERO, time=time)
    reached = heat.time_to_limit(time=time, temperature=run.temperature[:, 0], temperature_limit=LIMIT)
    return float(reached.time) / 60.0, float(still.temperature[0])


def test_a_bigger_sink_in_a_closed_box_only_delays():
    small, hot = minutes(**FINNED)
    large, still_hot = minutes(**BIGGER)
    assert 4.0 < small < 20.0
    assert small < large < 60.0
    assert hot > still_hot > LIMIT


def test_a_wetted_plate_cures_it_and_fails_on_the_beach():
    wet, cool = minutes(**PLATE)
    dry, hot = minutes(**PLATE, wet_share=0.0)
    assert np.isnan(wet)
    assert cool < 40.0 + ZERO
    assert dry < 15.0
    assert hot > LIMIT


def chain(**more):
    """Return two lumps and the surroundings."""
    given = {
        "node": [0, 1],
        "neighbour": [1, 2],
        "conductance": [2.0, 1.5],
        "fixed": [2],
        "fixed_temperature": [290.0],
        "heat_capacity": [300.0, 900.0, 0.0],
        "start_temperature": 290.0,
        "heat": [[60.0, 5.0, 0.0]],
    }
    return given | more


@pytest.mark.parametrize("exponent", [0.0, [0.0, 0.25]])
def test_halving_the_step_quarters_the_error(exponent):
    ends = [
        heat.transient(**chain(exponent=exponent, time=np.linspace(0.0, 600.0, steps + 1))).temperature[-1, 0]
        for steps in (16, 32, 64, 1024)
    ]
    errors = np.abs(np.array(ends[:3]) - ends[3])
    orders = np.log2(errors[:-1] / errors[1:])
    assert np.all(orders > 1.7)
    assert np.all(orders < 2.4)


@pytest.mark.parametrize("exponent", [0.0, [0.0, 0.25]])
def test_after_long_the_transient_is_the_steady_state(exponent):
    given = chain(exponent=exponent, time=np.linspace(0.0, 40000.0, 81))
    run = heat.transient(**given)
    names = ("node", "neighbour", "conductance", "fixed", "fixed_temperature")
    still = heat.steady(**{name: given[name] for name in names}, heat=given["heat"][0], exponent=exponent)
    assert_allclose(run.temperature[-1], still.temperature, atol=1e-3)
    assert still.change < 1e-9


@few
@given(st.lists(st.floats(0.2, 20.0), min_size=3, max_size=3), st.floats(1.0, 100.0))
def test_what_goes_in_comes_out(ways, load):
    still = heat.steady(
        node=[0, 1, 0],
        neighbour=[1, 2, 2],
        conductance=ways,
        heat=[load, 0.0, 0.0],
        fixed=[2],
        fixed_temperature=[290.0],
        exponent=[0.0, 0.25, 0.33],
    )
    hot = still.temperature - 290.0
    out = ways[1] * hot[1] * (hot[1] / 10.0) ** 0.25 + ways[2] * hot[0] * (hot[0] / 10.0) ** 0.33
    assert_allclose(out, load, rtol=1e-6)


@few
@given(st.lists(st.tuples(st.floats(0.5, 5.0), st.floats(0.0, 80.0)), min_size=1, max_size=4))
def test_a_batch_of_lumps_is_its_members(designs):
    ways, loads = (np.array(one) for one in zip(*designs, strict=True))
    conductance = np.stack([ways, np.full(ways.size, 1.5)], axis=-1)
    made = np.zeros((ways.size, 1, 3))
    made[:, 0, 0] = loads
    time = np.linspace(0.0, 900.0, 13)
    both = {"exponent": [0.25, 0.0], "time": time}
    batch = heat.transient(**chain(conductance=conductance, heat=made, **both))
    for k in range(ways.size):
        one = heat.transient(**chain(conductance=conductance[k], heat=made[k], **both))
        assert_allclose(batch.temperature[k], one.temperature, rtol=1e-12)


def test_legs_of_a_ride_follow_one_another():
    load = np.zeros((20, 3))
    load[:10, 0] = 60.0
    run = heat.transient(**chain(heat=load, time=np.linspace(0.0, 1200.0, 21)))
    top = run.temperature[:, 0].argmax()
    assert top == 10
    assert np.all(np.diff(run.temperature[top:, 0]) < 0.0)


def test_a_network_needs_a_node_that_is_held():
    with pytest.raises(ModelError, match="held"):
        heat.steady(node=[0], neighbour=[1], conductance=[1.0], heat=[1.0, 0.0], fixed=[], fixed_temperature=[])


def test_a_limit_that_is_not_met_is_said():
    found = heat.time_to_limit(
        time=[0.0, 10.0], temperature=np.array([[300.0, 310.0], [300.0, 330.0]]), temperature_limit=320.0
    )
    assert_allclose(found.found, [False, True])
    assert np.isnan(found.time[0])


@few
@given(st.floats(0.1, 0.95), st.floats(100.0, 1000.0), st.floats(270.0, 315.0), st.floats(0.0, 8.0))
def test_more_sun_and_darker_paint_are_hotter_and_wind_cools(absorptance, irradiance, air, wind):
    def lit(**more):
        base = {
            "absorptance": absorptance,
            "emittance": 0.9,
            "irradiance": irradiance,
            "air_temperature": air,
            "wind": wind,
        }
        return float(heat.sunlit_temperature(**(base | more)))

    here = lit()
    assert np.isfinite(here)
    assert lit(absorptance=absorptance + 0.05) > here
    assert lit(irradiance=irradiance + 50.0) > here
    if here > air + 1.0:
        assert lit(wind=wind + 2.0) < here
        assert lit(shaded_back=1.0) < here


def test_the_balance_of_a_lit_surface_closes():
    hot = np.asarray(
        heat.sunlit_temperature(
            absorptance=np.array([0.25, 0.5, 0.95]), emittance=0.9, irradiance=900.0, air_temperature=300.0, wind=3.0
        )
    )
    again = np.asarray(
        heat.sunlit_temperature(
            absorptance=np.array([0.25, 0.5, 0.95]),
            emittance=np.array([0.9, 0.9, 0.9]),
            irradiance=900.0,
            air_temperature=300.0,
            wind=3.0,
        )
    )
    assert_allclose(hot, again, rtol=0)
    sky = 0.0552 * 300.0**1.5
    for k, share in enumerate((0.25, 0.5, 0.95)):
        film = float(heat.forced_film(speed=3.0, length=0.12, temperature=0.5 * (hot[k] + 300.0), medium="air"))
        still = float(heat.natural_film(shape="vertical plate", length=0.12, surface_temperature=hot[k], ambient=300.0))
        both = np.cbrt(film**3 + still**3)
        grey = 0.9 * 5.670374419e-8
        lost = both * (hot[k] - 300.0) + grey * (hot[k] ** 4 - 0.5 * sky**4 - 0.5 * 300.0**4)
        assert_allclose(lost, share * 900.0, rtol=1e-6)


@few
@given(st.floats(1e3, 1e9), st.floats(0.6, 12.0))
def test_films_grow_with_the_difference(rayleigh, prandtl):
    for film in (heat.vertical_plate, heat.horizontal_cylinder):
        assert film(rayleigh=2.0 * rayleigh, prandtl=prandtl) > film(rayleigh=rayleigh, prandtl=prandtl)


def test_the_film_along_a_plate_is_continuous():
    found = heat.forced_plate(reynolds=5e5 * (1.0 + np.array([-1e-9, 1e-9])), prandtl=0.7)
    assert_allclose(found[1], found[0], rtol=2e-3)


def test_a_fluid_outside_its_table_is_flagged():
    assert_allclose(heat.fluid(medium="water", temperature=np.array([276.0, 290.0, 320.0])).outside, [1, 0, 1])
    with pytest.raises(DataError, match="medium"):
        heat.fluid(medium="oil", temperature=300.0)
    with pytest.raises(DataError, match="shape"):
        heat.natural_film(shape="ball", length=0.1, surface_temperature=300.0, ambient=290.0)


def test_a_winding_may_run_away():
    found = heat.winding_temperature(
        copper_loss=np.array([50.0, 400.0, 900.0]), other_loss=20.0, thermal_resistance=0.35, coolant_temperature=288.0
    )
    assert found[0] < found[1] < np.inf
    assert np.isinf(found[2])


@pytest.mark.parametrize("seat", table("heat/derating").texts["place"])
def test_a_label_is_never_believed(seat):
    found = heat.derated_current(label_current=100.0, seat=seat)
    assert 0.0 < found.low <= found.value <= found.high <= 100.0


CHARGER = {
    "series": 14,
    "parallel": 4,
    "capacity": 18000.0,
    "voltage": 58.8,
    "start_charge": 0.1,
    "end_charge": 0.97,
    "temperature": 293.15,
}


def test_a_charge_is_longer_at_less_power_and_ends_with_less_current():
    fast = charging.charge_time(cell="nmc energy cylindrical", current=10.0, **CHARGER)
    slow = charging.charge_time(cell="nmc energy cylindrical", current=np.array([10.0, 5.0]), power=250.0, **CHARGER)
    assert np.all(slow.time > fast.time)
    assert fast.steady_time < fast.time
    assert fast.energy > fast.heat > 0.0


def test_a_batch_of_charges_is_its_members():
    names = ["nmc energy cylindrical", "lco pouch"]
    given = CHARGER | {"capacity": np.array([18000.0, 8200.0])}
    batch = charging.charge_time(cell=names, current=5.0, **given)
    for k, name in enumerate(names):
        one = charging.charge_time(cell=name, current=5.0, **(CHARGER | {"capacity": given["capacity"][k]}))
        assert_allclose(batch.time[k], one.time, rtol=1e-12)
        assert_allclose(batch.energy[k], one.energy, rtol=1e-12)


def test_a_charger_below_the_pack_never_ends():
    found = charging.charge_time(cell="lco pouch", current=5.0, **(CHARGER | {"voltage": 54.6}))
    assert not found.found
    assert np.isnan(found.time)
    assert 0.1 < found.end_charge < 0.97


def test_a_source_that_holds_too_little_charges_a_part():
    found = charging.from_source(source="small power station", energy=np.array([0.5e6, 3.2e6]), charger_power=200.0)
    assert_allclose(found.share, [1.0, 1e6 * 0.85 * 0.9 / 3.2e6])
    with pytest.raises(DataError, match="source"):
        charging.from_source(source="bicycle", energy=1.0, charger_power=1.0)


@few
@given(st.floats(0.0, 1.0))
def test_storage_goes_to_the_nearest_end(charge):
    found = charging.storage(charge=charge, energy=3e6, power=100.0)
    assert 0.3 <= found.target <= 0.6
    assert_allclose(found.energy, (charge - found.target) * 3e6)
