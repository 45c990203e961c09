"""Laws of strength: never more margin with more load, lever or heat; never less with another layer of glass."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.build import load
from foilwright.physics import beam
from foilwright.questions.ask import ask

LAKE = load.scenario("lake").with_texts({"mast.material": "printed pla", "mast.fill": "80 %"})
PARTS = ("hold.mast.fore_aft", "hold.mast.sideways", "hold.mast.torsion", "hold.mast.carried", "hold.mast.fatigue")
few = settings(max_examples=8, deadline=None)
RAW = 1e-9


def margins(vary: dict[str, Any], *keys: str) -> dict[str, np.ndarray]:
    found = {each.id: each for each in ask(LAKE, questions=["hold"], vary=vary).all()}
    return {key: found[key].margin for key in keys or PARTS}


def falls(values: np.ndarray) -> bool:
    return bool((np.diff(values) <= RAW).all())


@pytest.mark.parametrize(
    ("path", "low", "high", "keys"),
    [
        ("loads.thrust_shock", 1.0, 2.4, ("hold.mast.fore_aft",)),
        ("loads.pitch_reach", 0.1, 0.7, ("hold.mast.fore_aft", "hold.base.bolts", "hold.base.insert")),
        ("loads.roll_reach", 0.1, 0.5, ("hold.mast.sideways", "hold.base.flange", "hold.base.through")),
        ("loads.touchdown", 1.5, 6.0, ("hold.mast.sideways", "hold.wing.root", "hold.fuselage.bending")),
        ("loads.uneven", 0.5, 1.0, ("hold.wing.bolts", "hold.wing.root")),
        ("loads.stabiliser", 0.05, 1.5, ("hold.stabiliser.bolts", "hold.stabiliser.root")),
        ("loads.handling", 1.0, 4.0, ("hold.mast.carried",)),
        ("loads.yaw", 0.0, 0.9, ("hold.mast.torsion", "hold.mast.twist")),
        ("loads.rides", 1.0, 4000.0, ("hold.mast.fatigue", "hold.wing.fatigue")),
        ("loads.fall", 1.0, 5.0, ("hold.board.heel",)),
        ("wing.ahead", 0.0, 0.4, ("hold.fuselage.bending",)),
        ("sun.irradiance", 0.0, 1200.0, ("hold.mast.carried", "hold.mast.sun")),
        ("sun.air_temperature", 278.0, 318.0, ("hold.mast.sideways", "hold.mast.carried", "hold.mast.sun")),
    ],
)
def test_margin_never_rises_with_load_lever_or_heat(path: str, low: float, high: float, keys: tuple[str, ...]) -> None:
    values = np.linspace(low, high, 9)
    if path == "loads.rides":
        values = np.round(values)
    for key, margin in margins({path: values}, *keys).items():
        assert falls(np.where(np.isfinite(margin), margin, 1e9)), (path, key, margin)


def test_margin_of_a_force_falls_with_the_length_of_the_mast() -> None:
    for key, margin in margins(
        {"mast.length": np.linspace(0.35, 1.2, 9)}, "hold.mast.carried", "hold.mast.buckling"
    ).items():
        assert falls(margin), key


@given(
    st.sampled_from(["printed pla", "printed petg", "printed pa12-cf", "timber", "aluminium"]), st.floats(0.35, 1.0),
    st.floats(0.08, 0.2), st.sampled_from(["glass laminate by hand", "carbon laminate", "glass mat"]),
)  # fmt: skip
@few
def test_another_layer_of_glass_never_takes_margin(material: str, fill: float, chord: float, laid: str) -> None:
    layers = np.arange(0.0, 9.0)
    vary = {
        "mast.wrap": layers, "mast.material": (material,) * 9, "mast.fill": np.full(9, fill),
        "mast.chord": np.full(9, chord), "laminate.material": (laid,) * 9, "wing.wrap": layers,
        "wing.material": (material,) * 9,
    }  # fmt: skip
    for key, margin in margins(vary, *PARTS, "hold.wing.root").items():
        assert (np.diff(margin) >= -1e-6 * (1.0 + np.abs(margin[1:]))).all(), (key, margin)


def test_a_mast_cut_in_two_with_a_perfect_joint_is_the_whole() -> None:
    whole = margins({"mast.pieces": np.array([1.0, 2.0, 4.0]), "mast.joint": np.ones(3)})
    for key, margin in whole.items():
        np.testing.assert_allclose(margin, margin[0], rtol=1e-12, err_msg=key)
    joint = margins({"mast.pieces": np.array([2.0, 4.0]), "mast.joint": np.ones(2)}, "hold.mast.joint")
    least = np.minimum.reduce([whole[key][:2] for key in ("hold.mast.fore_aft", "hold.mast.sideways")])
    assert (joint["hold.mast.joint"] >= least - RAW).all(), "a perfect joint lower down is no weaker than the root"


def test_a_better_joint_never_takes_margin() -> None:
    share = np.linspace(0.1, 1.0, 6)
    margin = margins({"mast.joint": share, "mast.pieces": np.full(6, 3.0)}, "hold.mast.joint")["hold.mast.joint"]
    assert (np.diff(margin) >= -RAW).all()
    np.testing.assert_allclose((margin + 1.0) / share, (margin[0] + 1.0) / share[0], rtol=0.2)


def test_standing_prints_are_the_weaker() -> None:
    both = margins({"mast.print": ("standing", "lying")}, "hold.mast.sideways")["hold.mast.sideways"]
    assert both[0] < both[1]


def test_the_wall_that_fills_as_much_is_the_same_mast() -> None:
    """A wall written as such, and the share that is solid because of it, give one stiffness and one mass."""
    by_wall = ask(LAKE, questions=["hold"], vary={"mast.wall": np.array([0.003])})
    share = beam.shell_share(sections=("naca0015",), chord=np.array([0.12]), wall=np.array([0.003]))
    by_fill = ask(LAKE, questions=["hold"], vary={"mast.fill": share})
    for one, other in zip(by_wall.all(), by_fill.all(), strict=True):
        np.testing.assert_allclose(one.margin, other.margin, rtol=2e-3, err_msg=one.id)
    np.testing.assert_allclose(by_wall.numbers["total_mass"], by_fill.numbers["total_mass"], rtol=1e-6)


def test_no_number_of_a_finding_is_none() -> None:
    random = np.random.default_rng(5)
    vary: dict[str, Any] = {
        "mast.length": random.uniform(0.25, 1.3, 40), "mast.chord": random.uniform(0.05, 0.24, 40),
        "mast.fill": random.uniform(0.06, 1.0, 40), "wing.area": random.uniform(0.05, 0.3, 40),
        "base.pitch_x": random.uniform(0.03, 0.2, 40), "base.thickness": random.uniform(0.001, 0.03, 40),
        "sun.irradiance": random.uniform(0.0, 1200.0, 40), "board.thickness": random.uniform(0.05, 0.2, 40),
    }  # fmt: skip
    for each in ask(LAKE, questions=["hold"], vary=vary).all():
        assert not np.isnan(each.demand[each.applies]).any(), each.id
        assert not np.isnan(each.capacity[each.applies]).any(), each.id
        assert not np.isnan(each.required[each.applies]).any(), each.id
