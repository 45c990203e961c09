"""Laws of the board afloat: shape, immersion, rest, stability."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.core import solve
from foilwright.core.errors import ModelError
from foilwright.core.model import Array
from foilwright.physics import hydrostatics, stability
from foilwright.shape import board

WATER = 999.1
MEASURES: dict[str, float] = {
    "length": 1.75,
    "width": 0.65,
    "thickness": 0.13,
    "tail_width": 0.42,
    "nose_width": 0.44,
    "wide_point": 0.52,
    "nose_rocker": 0.08,
    "rocker_start": 0.6,
    "nose_thickness": 0.07,
    "rail_radius": 0.02,
}
BOX = {"length": 1.6, "width": 0.62, "tail_width": 0.62, "nose_width": 0.62, "thickness": 0.14} | {
    "nose_thickness": 0.14,
    "nose_rocker": 0.0,
    "rail_radius": 0.0,
}


def a_board(**measures: Any) -> board.Stations:
    return board.stations(**(MEASURES | measures))


def a_box() -> board.Stations:
    return a_board(**BOX)


@st.composite
def measures(draw: st.DrawFn) -> dict[str, float]:
    width = draw(st.floats(0.5, 0.8))
    thickness = draw(st.floats(0.09, 0.18))
    return {
        "length": draw(st.floats(1.2, 2.4)),
        "width": width,
        "thickness": thickness,
        "tail_width": width * draw(st.floats(0.4, 1.0)),
        "nose_width": width * draw(st.floats(0.3, 1.0)),
        "wide_point": draw(st.floats(0.3, 0.65)),
        "nose_rocker": draw(st.floats(0.0, 0.15)),
        "rocker_start": draw(st.floats(0.2, 0.8)),
        "nose_thickness": thickness * draw(st.floats(0.3, 1.0)),
        "rail_radius": draw(st.floats(0.0, 0.06)),
    }


def stacked(cases: list[dict[str, float]]) -> dict[str, Array]:
    return {name: np.array([case[name] for case in cases]) for name in MEASURES}


@settings(max_examples=20, deadline=None)
@given(measures())
def test_the_outline_meets_its_measures(given_: dict[str, float]) -> None:
    cut = board.stations(**given_, count=2049)
    assert cut.possible
    assert cut.half_beam[0] == pytest.approx(0.5 * given_["tail_width"], rel=1e-12)
    assert cut.half_beam.max() == pytest.approx(0.5 * given_["width"], rel=1e-5)
    behind_nose = np.interp(given_["length"] - 0.3, cut.x, cut.half_beam)
    assert behind_nose == pytest.approx(0.5 * given_["nose_width"], rel=1e-4)
    assert (cut.deck >= cut.bottom).all()


@settings(max_examples=20, deadline=None)
@given(measures())
def test_33_stations_are_enough(given_: dict[str, float]) -> None:
    few, many = board.stations(**given_), board.stations(**given_, count=2049)
    for measure in (board.volume, board.plan_area, board.bottom_area, board.surface_area):
        assert measure(few) == pytest.approx(measure(many), rel=2e-3)
    np.testing.assert_allclose(board.centre(few), board.centre(many), rtol=1e-3)


def test_the_rule_of_the_stations_is_exact_for_polynomials() -> None:
    nodes, weight = board.rule(9)
    for power in range(9):
        assert weight @ nodes**power == pytest.approx(1.0 / (power + 1), rel=1e-13)
    with pytest.raises(ModelError):
        board.rule(8)


def test_a_board_of_equal_widths_is_a_box() -> None:
    box = a_box()
    assert board.volume(box) == pytest.approx(1.6 * 0.62 * 0.14, rel=1e-13)
    assert board.plan_area(box) == pytest.approx(1.6 * 0.62, rel=1e-13)
    faces = 2.0 * (1.6 * 0.62 + 1.6 * 0.14 + 0.62 * 0.14)
    assert board.surface_area(box) == pytest.approx(faces, rel=1e-13)
    np.testing.assert_allclose(board.centre(box), (0.8, 0.07), rtol=1e-12)
    np.testing.assert_allclose(board.mean_beam(stations=box, length=np.array([0.0, 0.5, 1.6])), 0.62, rtol=1e-12)
    assert board.planing_length(stations=box) == pytest.approx(1.6)


def test_contradictory_measures_make_no_board() -> None:
    batch = a_board(nose_width=np.array([0.44, 0.70, 0.44]), wide_point=np.array([0.5, 0.5, 0.9]))
    assert batch.possible.tolist() == [True, False, False]


def test_the_mean_beam_lies_between_tail_and_widest() -> None:
    cut = a_board(length=np.array([1.6, 1.8]))
    reach = np.array([[0.0, 0.3, 0.9, 1.6], [0.0, 0.3, 0.9, 1.9]])
    mean = board.mean_beam(stations=cut, length=reach)
    np.testing.assert_allclose(mean[:, 0], 0.42)
    assert ((mean[:, 1:3] > 0.42) & (mean[:, 1:3] < 0.65)).all()
    assert mean[0, 3] == pytest.approx(board.plan_area(cut)[0] / 1.6, rel=1e-3)
    assert np.isnan(mean[1, 3])


def test_rocker_shortens_what_can_plane() -> None:
    lengths = board.planing_length(stations=a_board(nose_rocker=np.array([0.0, 0.02, 0.08, 0.15])))
    assert (np.diff(lengths) < 0.0).all()
    steep = 0.05 / (2.0 * 0.08 / (0.4 * 1.75) ** 2) + 0.6 * 1.75
    assert lengths[2] == pytest.approx(steep, rel=0.01)


@settings(max_examples=15, deadline=None)
@given(st.lists(measures(), min_size=2, max_size=4), st.floats(-0.1, 0.2), st.floats(0.0, 0.25))
def test_a_batch_of_hulls_is_its_members(cases: list[dict[str, float]], trim: float, draught: float) -> None:
    many = board.stations(**stacked(cases))
    trims = np.full((len(cases), 2), [trim, 0.5 * trim])
    for heel in (None, 0.2):
        batch = hydrostatics.hull(stations=many, draught=draught, trim=trims, heel=heel)
        for k, case in enumerate(cases):
            one = hydrostatics.hull(stations=board.stations(**case), draught=draught, trim=trims[k], heel=heel)
            for field in fields(one):
                np.testing.assert_allclose(
                    getattr(batch, field.name)[k], getattr(one, field.name), rtol=1e-11, atol=1e-13
                )


@settings(max_examples=20, deadline=None)
@given(measures(), st.floats(-0.15, 0.15), st.floats(0.0, 0.3), st.floats(0.0, 0.05))
def test_a_deeper_hull_displaces_more(given_: dict[str, float], trim: float, draught: float, more: float) -> None:
    cut = board.stations(**given_)
    held = hydrostatics.hull(stations=cut, draught=np.array([draught, draught + more]), trim=trim)
    assert held.volume[1] >= held.volume[0] - 1e-15
    assert held.wetted_area[1] >= held.wetted_area[0] - 1e-12
    assert held.volume[1] <= board.volume(cut) * (1.0 + 1e-12)
    assert all(np.isfinite(getattr(held, name)).all() for name in hydrostatics.NAMES)


@settings(max_examples=20, deadline=None)
@given(measures())
def test_a_board_under_water_displaces_its_volume(given_: dict[str, float]) -> None:
    cut = board.stations(**given_)
    for heel in (None, 0.3):
        held = hydrostatics.hull(stations=cut, draught=1.0, trim=0.05, heel=heel)
        assert held.volume == pytest.approx(board.volume(cut), rel=1e-12)
        np.testing.assert_allclose((held.centre_x, held.centre_z), board.centre(cut), rtol=1e-4)
        assert held.waterplane_area == pytest.approx(0.0, abs=1e-12)
        assert held.centre_y == pytest.approx(0.0, abs=1e-12)


def test_volume_grows_with_the_waterplane() -> None:
    cut = a_board()
    draught = np.linspace(0.02, 0.14, 60)
    for trim in (-0.03, 0.02, 0.1):
        held = hydrostatics.hull(stations=cut, draught=draught, trim=trim)
        slope = np.gradient(held.volume, draught)
        np.testing.assert_allclose(slope[1:-1], held.waterplane_area[1:-1], atol=0.02)


def test_immersion_has_no_jumps() -> None:
    cut = a_board()
    trim = np.linspace(0.005, 0.2, 4001)
    held = hydrostatics.hull(stations=cut, draught=0.09, trim=trim)
    for name in ("volume", "centre_x", "wetted_area", "waterplane_area"):
        assert np.abs(np.diff(getattr(held, name))).max() < 2e-3


def test_a_heeled_box_follows_the_wall_sided_formula() -> None:
    box = a_box()
    heel = np.radians([1.0, 4.0, 8.0])
    rest = hydrostatics.rest(stations=box, mass=70.0, centre_x=0.8, density=WATER, centre_z=0.1)
    exact = hydrostatics.righting_arm(stations=box, mass=70.0, centre_z=0.1, heel=heel, density=WATER)
    formula = stability.wall_sided_arm(
        heel=heel, metacentric_height=rest.transverse_gm, metacentric_radius=rest.transverse_radius
    )
    np.testing.assert_allclose(exact.arm, formula, rtol=1e-6)
    edge = stability.deck_edge_heel(freeboard=rest.freeboard, beam=0.62)
    assert edge > heel[-1]


def test_a_heel_near_zero_is_upright() -> None:
    cut = a_board(rail_radius=0.0)
    upright = hydrostatics.hull(stations=cut, draught=0.09, trim=0.0)
    leaning = hydrostatics.hull(stations=cut, draught=0.09, trim=0.0, heel=1e-4)
    for name in ("volume", "centre_x", "centre_z"):
        assert getattr(leaning, name) == pytest.approx(getattr(upright, name), rel=1e-4)


@settings(max_examples=15, deadline=None)
@given(measures(), st.floats(0.2, 0.85), st.floats(-0.08, 0.08), st.floats(0.0, 0.3))
def test_at_rest_weight_and_buoyancy_are_in_line(
    given_: dict[str, float], share: float, ahead: float, height: float
) -> None:
    cut = board.stations(**given_)
    mass = share * WATER * board.volume(cut)
    x = board.centre(cut)[0] + ahead
    rest = hydrostatics.rest(stations=cut, mass=mass, centre_x=x, density=WATER, centre_z=height)
    assert not rest.sinks
    if not rest.found:
        assert np.isnan(rest.draught)
        return
    held = hydrostatics.hull(stations=cut, draught=rest.draught, trim=rest.trim)
    assert held.volume * WATER == pytest.approx(mass, rel=1e-9)
    lever = (held.centre_x - x) - (held.centre_z - height) * np.tan(rest.trim)
    assert abs(lever) < 1e-8
    assert rest.reserve > 0.0


@settings(max_examples=10, deadline=None)
@given(st.lists(measures(), min_size=2, max_size=4))
def test_a_batch_at_rest_is_its_members(cases: list[dict[str, float]]) -> None:
    many = board.stations(**stacked(cases))
    mass = 0.6 * WATER * board.volume(many)
    x = board.centre(many)[0] - 0.02
    batch = hydrostatics.rest(stations=many, mass=mass, centre_x=x, density=WATER, centre_z=0.1)
    for k, case in enumerate(cases):
        one = hydrostatics.rest(
            stations=board.stations(**case), mass=mass[k], centre_x=x[k], density=WATER, centre_z=0.1
        )
        for field in fields(one):
            np.testing.assert_allclose(getattr(batch, field.name)[k], getattr(one, field.name), rtol=1e-10, atol=1e-10)


def test_more_mass_never_floats_higher() -> None:
    cut = a_board(length=np.full(40, 1.75))
    mass = np.linspace(5.0, 114.0, 40)
    rest = hydrostatics.rest(stations=cut, mass=mass, centre_x=0.82, density=WATER)
    middle = rest.draught - 0.82 * np.sin(rest.trim)
    assert (np.diff(middle[rest.found]) > 0.0).all()
    assert (np.diff(rest.freeboard[rest.found]) < 0.0).all()


def test_too_much_mass_sinks() -> None:
    cut = a_board(length=np.full(2, 1.75))
    carries = board.volume(cut) * WATER
    rest = hydrostatics.rest(stations=cut, mass=carries + np.array([-10.0, 10.0]), centre_x=0.8, density=WATER)
    assert rest.sinks.tolist() == [False, True]
    assert not rest.found[1]
    np.testing.assert_allclose(rest.reserve, [98.0665, -98.0665], rtol=1e-9)
    assert np.isnan(rest.draught[1])
    assert np.isnan(rest.transverse_gm[1])


def test_a_weight_moved_forward_trims_by_its_moment() -> None:
    box = a_box()
    mass, moved = 70.0, 0.02
    level = hydrostatics.rest(stations=box, mass=mass, centre_x=0.8, density=WATER, centre_z=0.1)
    ahead = hydrostatics.rest(stations=box, mass=mass, centre_x=0.8 + moved, density=WATER, centre_z=0.1)
    small = stability.tilt(
        mass=mass,
        moved_mass=mass,
        offset=moved,
        metacentric_height=level.longitudinal_gm,
        metacentric_radius=level.longitudinal_radius,
    )
    assert level.trim == pytest.approx(0.0, abs=1e-9)
    assert ahead.trim == pytest.approx(-small.angle, rel=1e-3)


@settings(max_examples=15, deadline=None)
@given(measures())
def test_the_load_table_is_the_hull(given_: dict[str, float]) -> None:
    cut = board.stations(**given_)
    trims = np.array([-0.04, 0.0, 0.02, 0.1])
    read = hydrostatics.load_table(stations=cut, trim=trims, density=WATER)
    held = hydrostatics.hull(stations=cut, draught=read.draught, trim=trims[:, None])
    assert (np.diff(read.load, axis=-1) > 0.0).all()
    np.testing.assert_allclose(read.load, held.volume * WATER * 9.80665, rtol=1e-9, atol=1e-9)
    point = held.centre_x - held.centre_z * np.tan(trims)[:, None]
    np.testing.assert_allclose(read.load_point, point, rtol=1e-6, atol=1e-6)
    np.testing.assert_allclose(read.wetted_area, held.wetted_area, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(read.load[:, -1], board.volume(cut) * WATER * 9.80665, rtol=1e-12)


def test_blocks_do_not_change_a_load_table(monkeypatch: pytest.MonkeyPatch) -> None:
    cut = a_board(length=np.linspace(1.5, 1.9, 7))
    trims = np.linspace(0.0, 0.2, 5)
    whole = hydrostatics.load_table(stations=cut, trim=trims, density=WATER)
    monkeypatch.setattr(hydrostatics, "BLOCK", 300)
    parts = hydrostatics.load_table(stations=cut, trim=trims, density=WATER)
    for field in fields(whole):
        np.testing.assert_allclose(getattr(parts, field.name), getattr(whole, field.name), rtol=1e-12)


def test_the_load_point_moves_aft_as_the_nose_comes_up() -> None:
    trims = np.linspace(-0.02, 0.12, 15)
    read = hydrostatics.load_table(stations=a_board(), trim=trims, density=WATER)
    points = solve.rows(np.array([[[600.0]]]), read.load, read.load_point)[..., 0]
    assert (np.diff(points) < 0.0).all()


def test_offsets_and_measures_give_the_same_board() -> None:
    cut = a_board(rail_radius=0.0)
    table = np.stack([cut.x, cut.half_beam, cut.bottom, cut.deck])
    same = hydrostatics.rest(stations=table, mass=80.0, centre_x=0.8, density=WATER)
    first = hydrostatics.rest(stations=cut, mass=80.0, centre_x=0.8, density=WATER)
    assert same.draught == pytest.approx(first.draught, rel=1e-9)
    assert same.trim == pytest.approx(first.trim, rel=1e-7)


@settings(max_examples=25, deadline=None)
@given(st.floats(-0.3, 0.3), st.floats(-0.3, 0.6, allow_subnormal=False), st.floats(0.05, 0.5))
def test_the_wall_sided_heel_balances_its_moment(offset: float, gm: float, bm: float) -> None:
    found = stability.tilt(mass=100.0, moved_mass=80.0, offset=offset, metacentric_height=gm, metacentric_radius=bm)
    arm = stability.wall_sided_arm(heel=found.wall_sided, metacentric_height=gm, metacentric_radius=bm)
    assert arm == pytest.approx(0.8 * offset * np.cos(found.wall_sided), abs=1e-9)
    assert np.isnan(found.angle) == (gm <= 0.0)
    if gm > 0.0:
        assert abs(found.wall_sided) <= abs(found.angle) + 1e-9


def test_a_standing_rider_is_balanced_not_stable() -> None:
    seen = stability.rider_balance(
        centre_of_buoyancy=0.055,
        metacentric_radius=np.array([0.29, 0.02]),
        craft_mass=30.0,
        craft_z=0.08,
        rider_mass=80.0,
        rider_height=0.98,
        deck_height=0.14,
    )
    assert (seen.rigid_gm < 0.0).all()
    assert seen.found.tolist() == [True, False]
    assert np.isnan(seen.heel).tolist() == [False, True]


def test_a_narrow_capsized_board_is_easier_to_turn() -> None:
    cut = a_board(width=np.array([0.5, 0.65, 0.8]), tail_width=0.4, nose_width=0.4)
    turn = stability.righting(stations=cut, mass=28.0, centre_z=-0.1, density=WATER, rider_mass=80.0)
    assert turn.found.all()
    assert (np.diff(turn.needed) > 0.0).all()
    assert (turn.available > turn.needed).all()
    heavy = stability.righting(stations=cut, mass=500.0, centre_z=-0.1, density=WATER, rider_mass=80.0)
    assert not heavy.found.any()
    assert np.isnan(heavy.needed).all()


def test_what_floods_carries_no_more() -> None:
    whole = {"density": WATER, "mass": 30.0, "foam_volume": 0.06, "solid_volume": 0.004}
    boxes = np.array([0.012, 0.02])
    dry = stability.flotation(**whole, foam_uptake=0.0, compartment_volume=boxes, flooded=np.zeros(2))
    one = stability.flotation(**whole, foam_uptake=0.0, compartment_volume=boxes, flooded=np.array([1.0, 0.0]))
    wet = stability.flotation(**whole, foam_uptake=0.04, compartment_volume=boxes, flooded=np.ones(2))
    assert dry - one == pytest.approx(0.012 * WATER * 9.80665)
    assert wet < one < dry
    assert stability.flotation_needed(rider_mass=0.0, equipment_mass=1.0) == 100.0
