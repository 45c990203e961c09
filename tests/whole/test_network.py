"""Drawn networks: wrong ones are found with the joint named, right ones raise nothing."""

import dataclasses

import numpy as np
import pytest
from joined import FORM, LINE, ONE, OWN, PAIR, RIGHT, STRAIGHT, THREE, WRONG, base, jumper, pair, turned
from numpy.testing import assert_allclose

from foilwright.build.network import expand, read, rows, same, shorten
from foilwright.core.errors import BuildFileError
from foilwright.network import Controller, Module, Network
from foilwright.physics.circuit import Branches, Plan
from foilwright.physics.protection import RULES, Inspection

FORMS = {
    "one": ONE,
    "line": LINE,
    "pair": PAIR,
    "three": THREE,
    "two by two": FORM,
    "own battery": OWN,
    "straight": STRAIGHT,
    "four contacts": dataclasses.replace(FORM, contacts=4, inputs=2),
}
MODULES = [(name, one.name) for name in ("one", "line", "pair", "two by two") for one in expand(FORMS[name]).of(Module)]


def told(network: Network) -> list[tuple[str, tuple[str, ...]]]:
    return [(one.kind, one.joints) for one in Inspection.of(network) if np.any(one.applies)]


def shuffled(network: Network, seed: int) -> Network:
    elements = list(network.elements)
    np.random.default_rng(seed).shuffle(elements)
    return Network(elements=tuple(elements))


def test_there_are_enough_of_both():
    assert len(WRONG) >= 25
    assert len(RIGHT) >= 10
    assert sum(len(faults) > 1 for _, faults in WRONG.values()) >= 5


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_network_is_found(name):
    network, expected = WRONG[name]
    found = Inspection.of(network)
    held = [one for one in found if np.any(one.applies)]
    assert {one.kind for one in held} == {kind for kind, _ in expected}
    for kind, joint in expected:
        assert any(one.kind == kind and joint in one.joints for one in held), (kind, joint)
    assert len(held) <= len(expected)
    assert all(one.wrong and one.do and one.source for one in held)


@pytest.mark.parametrize("name", RIGHT)
def test_a_right_network_raises_nothing(name):
    assert Inspection.of(RIGHT[name]) == ()


@pytest.mark.parametrize("name", [*WRONG, *RIGHT])
def test_the_order_of_the_listing_means_nothing(name):
    network = WRONG[name][0] if name in WRONG else RIGHT[name]
    for seed in (1, 2):
        first, second = Inspection.of(network), Inspection.of(shuffled(network, seed))
        assert [(one.kind, one.joints, one.wrong) for one in first] == [
            (one.kind, one.joints, one.wrong) for one in second
        ]
        for one, other in zip(first, second, strict=True):
            assert_allclose(one.demand, other.demand, rtol=0, atol=0)


@pytest.mark.parametrize(("form", "module"), MODULES)
def test_reversing_a_module_is_always_found(form, module):
    found = told(turned(expand(FORMS[form]), module))
    assert any(kind in {"reversed module", "reversed polarity"} and module in joints for kind, joints in found)


def test_one_rule_alone_looks_too():
    rule = next(one for one in RULES if one.name == "dead short")
    assert rule.asks.endswith("?")
    assert [one.kind for one in rule(jumper(pair))] == ["dead short"]
    assert rule(base) == ()


def test_the_jumper_is_named_and_nothing_else_of_the_harness():
    (short,) = Inspection.of(jumper(pair))
    assert set(short.joints) == {"jumper contact plus", "series jumper", "jumper contact minus", "module 1.1"}
    assert short.meaning == "burns"
    assert 700.0 < short.demand < 1200.0


def test_0_2_volt_a_cell_apart_is_about_19_ampere():
    (unequal,) = Inspection.of(WRONG["0.2 V a cell apart"][0])
    assert unequal.demand == pytest.approx(18.5, abs=0.5)
    assert "do not join" in unequal.do


def test_a_batch_is_its_members():
    volts = np.array([50.0, 63.0, np.nan])
    charge = np.array([1.0, 0.5, 0.97])
    rating = np.array([40.0, 60.0, 200.0])
    many = base.changing("controller", voltage_limit=volts, braking=True).changing("fuse 1", rating=rating)
    many = many.with_values({one.name: {"charge": charge} for one in base.of(Module)})
    whole = Inspection.of(many)
    for k in range(3):
        single = base.changing("controller", voltage_limit=volts[k], braking=True).changing("fuse 1", rating=rating[k])
        single = single.with_values({one.name: {"charge": charge[k]} for one in base.of(Module)})
        mine = {
            (one.kind, bool(one.applies), bool(one.unknown))
            for one in Inspection.of(single)
            if one.applies or one.unknown
        }
        theirs = {
            (one.kind, bool(flags[0][k]), bool(flags[1][k]))
            for one in whole
            if (flags := [np.broadcast_to(flag, 3) for flag in (one.applies, one.unknown)])[0][k] or flags[1][k]
        }
        assert mine == theirs


def test_what_is_not_known_is_said():
    bare = base.changing("fuse 1", voltage_limit=np.nan).changing("motor", sense=np.nan)
    bare = bare.changing("module 1.1", resistance=np.nan)
    found = {one.kind: one for one in Inspection.of(bare)}
    assert {"fuse voltage", "rotation sense", "fuse interrupting"} <= set(found)
    assert not any(np.any(one.applies) for one in found.values())
    assert all(np.any(one.unknown) for one in found.values())


@pytest.mark.parametrize("name", FORMS)
def test_the_short_form_comes_back(name):
    network = expand(FORMS[name])
    short = shorten(shuffled(network, 3))
    assert short is not None
    assert same(expand(short), network)
    for count in ("in_series", "side_by_side", "contacts", "inputs"):
        assert getattr(short, count) == getattr(FORMS[name], count)


@pytest.mark.parametrize("name", ["fuse far from the pack", "series jumper left in with the parallel harness"])
def test_what_has_no_short_form_says_so(name):
    assert shorten(WRONG[name][0]) is None


@pytest.mark.parametrize("name", RIGHT)
def test_the_full_form_comes_back(name):
    assert same(read(rows(RIGHT[name])), RIGHT[name])


def test_faults_of_the_full_form_are_told_together():
    tables = [
        {"kind": "led", "name": "x", "start": "a", "end": "b"},
        {"kind": "lead", "name": "y", "start": "a", "end": "b", "area": 1e-6, "colour": "red"},
        {"kind": "switch", "name": "z", "start": "a"},
        {"kind": "switch", "name": "w", "start": "a", "end": "b"},
        {"kind": "switch", "name": "w", "start": "b", "end": "c"},
    ]
    with pytest.raises(BuildFileError) as raised:
        read(tables, file="craft.toml")
    assert len(raised.value.faults) == 4
    assert "lead" in raised.value.faults[0].allowed


def test_the_proposed_order_makes_no_spark():
    plan = Plan.of(base)
    assert plan.names[-2:] == ("pre-charge", "main switch")
    sparks = dict(zip(plan.names, plan.joining.current, strict=True))
    assert sparks["pre-charge"] < 1.5
    assert max(current for name, current in sparks.items() if name != "pre-charge") < 1e-9


def test_another_order_sparks():
    order = tuple(name for name in Plan.of(base).names if name != "pre-charge")
    without = base.without("pre-charge")
    plan = Plan.of(without, names=order)
    assert plan.joining.current[-1] > 1000.0
    assert plan.joining.gap_voltage[-1] == pytest.approx(57.35, abs=0.01)
    uneven = Plan.of(base.with_values({"module 2.1": {"open_voltage": 7 * 4.2}}))
    at = uneven.names.index("plus contact 2")
    assert uneven.joining.current[at] > 5.0
    assert uneven.joining.gap_voltage[at] == pytest.approx(7 * (4.2 - 4.0967), abs=1e-9)


def test_the_controller_sees_the_whole_pack():
    branches = Branches.of(base)
    found = branches.solve(power=branches.draws(controller=np.array([500.0, 2000.0, 3000.0])))
    place = branches.load_names.index("controller")
    assert found.closure.max() < 1e-9
    assert_allclose(found.load_voltage[:, place] * found.load_current[:, place], [500.0, 2000.0, 3000.0], rtol=1e-9)
    assert np.all(np.diff(found.load_voltage[:, place]) < 0.0)
    assert base.of(Controller)[0].name in branches.load_names
