"""Laws of circuits: Kirchhoff, Thevenin, series and parallel, order, batches; contacts, wires, first moments."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from foilwright.core.errors import ModelError
from foilwright.physics import circuit, contact, heat, pack, protection, source

few = settings(max_examples=25, deadline=None)
ohms = st.floats(1e-4, 1e3)
volts = st.floats(-60.0, 60.0)


@st.composite
def networks(draw):
    """Return branches of a connected network: a tree, and a few more."""
    joints = draw(st.integers(2, 8))
    ends = [(k, draw(st.integers(0, k - 1))) for k in range(1, joints)]
    more = draw(st.lists(st.tuples(st.integers(0, joints - 1), st.integers(0, joints - 1)), max_size=6))
    ends += [(a, b) for a, b in more if a != b]
    count = len(ends)
    return {
        "plus": np.array([a for a, _ in ends]),
        "minus": np.array([b for _, b in ends]),
        "open_voltage": np.array(draw(st.lists(volts, min_size=count, max_size=count))),
        "resistance": np.array(draw(st.lists(ohms, min_size=count, max_size=count))),
    }


@few
@given(networks(), st.floats(-50.0, 50.0))
def test_kirchhoff_closes(branches, current):
    far = int(branches["plus"].max())
    found = circuit.solve(**branches, load_plus=[far], load_minus=[0], current=current)
    assert found.closure < 1e-9
    across = found.voltage[branches["plus"]] - found.voltage[branches["minus"]]
    assert_allclose(
        across,
        branches["open_voltage"] - found.current * branches["resistance"],
        atol=1e-9 * (1.0 + np.abs(found.voltage).max() + np.abs(branches["open_voltage"]).max()),
    )
    made = (branches["open_voltage"] * found.current).sum()
    used = found.loss.sum() + float(found.load_voltage[0] * current)
    scale = found.loss.sum() + np.abs(branches["open_voltage"] * found.current).sum() + 1.0
    assert abs(made - used) < 1e-9 * scale


@few
@given(networks(), st.floats(0.0, 20.0), st.randoms())
def test_the_order_of_branches_means_nothing(branches, current, chance):
    far = int(branches["plus"].max())
    found = circuit.solve(**branches, load_plus=[far], load_minus=[0], current=current)
    order = list(range(branches["plus"].size))
    chance.shuffle(order)
    other = circuit.solve(
        **{name: value[order] for name, value in branches.items()}, load_plus=[far], load_minus=[0], current=current
    )
    scale = np.abs(found.current).max() + 1.0
    assert_allclose(other.current, found.current[order], atol=1e-9 * scale)


@few
@given(networks(), st.lists(st.floats(0.5, 2.0), min_size=3, max_size=3), st.floats(0.0, 5.0))
def test_a_batch_of_networks_is_its_members(branches, factors, current):
    far = int(branches["plus"].max())
    shape = {name: branches[name] for name in ("plus", "minus", "open_voltage")}
    many = np.array(factors)[:, None] * branches["resistance"]
    batch = circuit.solve(**shape, resistance=many, load_plus=[far], load_minus=[0], current=current)
    for k in range(3):
        one = circuit.solve(**shape, resistance=many[k], load_plus=[far], load_minus=[0], current=current)
        for field in ("voltage", "current", "loss", "open_voltage", "resistance", "share"):
            assert_allclose(getattr(batch, field)[k], getattr(one, field), rtol=1e-12, atol=1e-12)


@few
@given(networks(), st.floats(-20.0, 20.0))
def test_the_equivalent_source_tells_the_same(branches, current):
    far = int(branches["plus"].max())
    rest = circuit.solve(**branches, load_plus=[far], load_minus=[0])
    under = circuit.solve(**branches, load_plus=[far], load_minus=[0], current=current)
    scale = np.abs(rest.open_voltage) + rest.resistance * 20.0 + 1.0
    assert abs(under.load_voltage - (rest.open_voltage - rest.resistance * current))[0] < 1e-9 * scale[0]
    by_share = rest.rest_current + rest.share[0] * current
    assert_allclose(by_share, under.current, atol=1e-9 * (1.0 + np.abs(under.current).max()))


@pytest.mark.parametrize(("in_series", "beside"), [(1, 1), (2, 1), (1, 3), (2, 2), (3, 4)])
def test_equal_modules_make_the_series_parallel_sums(in_series, beside):
    cells = {"cell": "nmc power pouch", "temperature": 293.15}
    charge, one_lead = np.array([0.3, 0.6, 0.9]), 1.3e-3
    module = pack.supply(**cells, charge=charge, series=7, parallel=2, leads=0.0, current_limit=80.0)
    whole = pack.supply(
        **cells,
        charge=charge,
        series=7 * in_series,
        parallel=2 * beside,
        leads=one_lead * in_series / beside,
        current_limit=80.0,
    )
    top = in_series * beside + 1
    plus, minus = [], []
    for s in range(beside):
        chain = [0, *(1 + s * in_series + k for k in range(in_series - 1)), top]
        plus += chain[1:]
        minus += chain[:-1]
    made = circuit.solve(
        plus=plus,
        minus=minus,
        open_voltage=np.repeat(module.open_voltage[:, None], len(plus), axis=1),
        resistance=np.repeat(module.resistance[:, None] + one_lead, len(plus), axis=1),
        load_plus=[top],
        load_minus=[0],
        power=np.full((3, 1), 2000.0),
    )
    assert_allclose(made.open_voltage[:, 0], whole.open_voltage, rtol=1e-9)
    assert_allclose(made.resistance[:, 0], whole.resistance, rtol=1e-9)
    assert_allclose(made.share[:, 0], 1.0 / beside, rtol=1e-9)
    same = source.constant_power_current(
        open_voltage=whole.open_voltage, resistance=whole.resistance, power=np.full(3, 2000.0)
    )
    assert_allclose(made.load_current[:, 0], same.current, rtol=1e-9)


@few
@given(st.floats(0.0, 30000.0))
def test_a_voltage_that_collapses_is_flagged(power):
    found = circuit.solve(
        plus=[1], minus=[0], open_voltage=[52.0], resistance=[0.05], load_plus=[1], load_minus=[0], power=power
    )
    assert bool(found.found) == (power <= 52.0**2 / 0.2)
    assert np.isnan(found.load_current[0]) == (not found.found)
    assert np.isfinite(found.open_voltage[0])


@few
@given(st.lists(st.floats(0.0, 900.0), min_size=2, max_size=2))
def test_two_loads_of_constant_power_settle(power):
    found = circuit.solve(
        plus=[1, 2],
        minus=[0, 1],
        open_voltage=[50.0, 0.0],
        resistance=[0.05, 0.02],
        load_plus=[1, 2],
        load_minus=[0, 0],
        power=power,
    )
    assert found.found
    assert_allclose(found.load_voltage * found.load_current, power, rtol=1e-9, atol=1e-9)
    assert found.closure < 1e-9


def test_a_load_that_is_not_fed_is_no_number():
    found = circuit.solve(plus=[1], minus=[0], open_voltage=[5.0], resistance=[1.0], load_plus=[2], load_minus=[0])
    assert np.isnan(found.open_voltage[0])
    assert np.isinf(found.resistance[0])
    assert found.found


def test_the_structure_is_one_for_a_block():
    with pytest.raises(ModelError, match="block"):
        circuit.solve(
            plus=[1],
            minus=[0],
            open_voltage=[5.0],
            resistance=[[1.0], [np.inf]],
            load_plus=[1],
            load_minus=[0],
        )


@few
@given(networks())
def test_a_dead_short_is_the_current_through_next_to_nothing(branches):
    far = int(branches["plus"].max())
    known = circuit.shorts(**branches, joint=0)
    tiny = 1e-6 * known.resistance[far]
    wire = {"plus": far, "minus": 0, "open_voltage": 0.0, "resistance": tiny}
    closed = {name: np.append(branches[name], wire[name]) for name in branches}
    found = circuit.solve.function(**closed, load_plus=[far], load_minus=[0])
    scale = np.abs(branches["open_voltage"]).max() / known.resistance[far] + 1e-9
    assert abs(-found.current[-1] - known.current[far]) < 1e-5 * scale


@few
@given(st.floats(20.0, 70.0), st.floats(1e-3, 0.5), st.floats(1e-7, 1e-5), st.floats(1e-4, 5e-3))
def test_inrush_stays_below_the_pack_over_its_resistance(volts_of_pack, resistance, inductance, capacitance):
    found = circuit.inrush(
        open_voltage=volts_of_pack, resistance=resistance, inductance=inductance, capacitance=capacitance
    )
    assert 0.0 < found.peak_current < volts_of_pack / resistance
    assert volts_of_pack <= found.highest_voltage <= 2.0 * volts_of_pack
    more = circuit.inrush(
        open_voltage=volts_of_pack, resistance=resistance, inductance=2 * inductance, capacitance=capacitance
    )
    assert more.peak_current < found.peak_current


def test_inrush_is_smooth_where_ringing_begins():
    critical = 2.0 * np.sqrt(1e-6 / 1e-3)
    found = circuit.inrush(
        open_voltage=50.0,
        resistance=critical * (1.0 + np.array([-1e-3, -1e-7, 0.0, 1e-7, 1e-3])),
        inductance=1e-6,
        capacitance=1e-3,
    )
    assert_allclose(found.peak_current, 50.0 / (np.e * critical / 2.0), rtol=2e-3)
    assert np.all(np.diff(found.peak_current) <= 1e-6 * found.peak_current[0])


@few
@given(st.floats(1.0, 1000.0), st.floats(1e-4, 5e-3))
def test_precharge_energy_does_not_ask_for_the_resistor(resistance, capacitance):
    found = circuit.precharge(
        open_voltage=58.8, resistance=resistance, capacitance=capacitance, time=5.0 * resistance * capacitance
    )
    assert_allclose(found.energy, 0.5 * capacitance * 58.8**2)
    assert_allclose(found.voltage, 58.8 * (1.0 - np.exp(-5.0)), rtol=1e-12)
    late = circuit.precharge(open_voltage=58.8, resistance=resistance, capacitance=capacitance, time=found.wait)
    assert_allclose(58.8 - late.voltage, 1.0, rtol=1e-9)


def test_a_load_left_on_never_lets_the_switch_be_closed():
    found = circuit.precharge(open_voltage=50.0, resistance=47.0, capacitance=3e-3, time=1.0, load_resistance=500.0)
    assert np.isinf(found.wait)


@few
@given(st.lists(st.floats(1e-4, 5e-3), min_size=2, max_size=6), st.floats(1.0, 200.0))
def test_contacts_share_the_whole_current(resistances, current):
    found = contact.beside(resistance=np.array(resistances), current=current)
    assert_allclose(found.current.sum(), current, rtol=1e-12)
    assert_allclose(found.heat.sum(), found.drop * current, rtol=1e-9)
    assert found.current.argmax() == np.argmin(resistances)


def test_contacts_outside_the_table_have_no_resistance():
    found = contact.pair(diameter=np.array([2e-3, 4e-3, 9e-3]), worn=False)
    assert_allclose(np.isnan(found.resistance), [True, False, True])
    assert_allclose(found.outside, [1, 0, 1])


@few
@given(st.floats(8.5e-7, 9e-5), st.floats(333.15, 473.15), st.floats(280.0, 330.0))
def test_more_copper_bears_more(area, insulation, ambient):
    def bears(size, around, together=1.0):
        return float(protection.ampacity(area=size, insulation=insulation, ambient=around, bundled=together).current)

    here = bears(area, ambient)
    assert here > 0.0
    assert bears(1.15 * area, ambient) > here
    assert bears(area, ambient + 2.0) < here
    assert bears(area, ambient, 3.0) < here


@few
@given(st.floats(1e-6, 3e-5), st.floats(50.0, 3000.0))
def test_heating_time_and_current_are_one_another(area, current):
    ends = {"temperature": 298.15, "limit": 378.15}
    time = protection.heating_time(area=area, current=current, **ends).time
    assert_allclose(protection.heating_current(area=area, time=time, **ends), current, rtol=1e-12)


def test_a_fuse_does_not_open_at_its_rating():
    found = protection.opening_time(multiple=np.array([1.0, 1.35, 2.0, 10.0]), kind="blade")
    assert np.isinf(found.longest[0])
    assert np.all(np.diff(found.longest[1:]) <= 0.0)
    assert np.all(found.least <= found.longest)


def test_a_hot_lead_runs_away():
    found = heat.lead_temperature(
        area=1e-6, diameter=2e-3, current=np.array([5.0, 20.0, 200.0]), ambient=300.0, film=12.0
    )
    assert found[0] < found[1] < np.inf
    assert np.isinf(found[2])
