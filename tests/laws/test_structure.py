"""Laws of materials, sections, beams, laminates, joints and fatigue."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.core.errors import DataError, ModelError
from foilwright.physics import beam, fatigue, joint, laminate, material

few = settings(max_examples=15, deadline=None)
SECTIONS = ("naca0012", "naca0015", "naca2412", "naca4410")
BOOK = ("printed pla", "printed petg", "printed pa12-cf", "glass laminate", "xps 300", "birch plywood", "aluminium")
printed = st.sampled_from([name for name in BOOK if name.startswith("printed")])
shares = st.floats(0.0, 1.0)


def mast(name: str = "printed pla", **more: Any) -> beam.Section:
    """Return the section of a printed mast standing on the bed."""
    stuff = material.gather(names=(name,))
    given = {
        "sections": ("naca0012",),
        "chord": np.array([0.12]),
        "wall": 0.0016,
        "wall_modulus": stuff.modulus_across,
        "wall_shear_modulus": stuff.shear_modulus,
        "core_modulus": 0.07 * stuff.modulus_across,
        "core_shear_modulus": 0.07 * stuff.shear_modulus,
    }
    return beam.foil_section(**(given | more))


def margin(
    section: beam.Section, *, force: float, length: float, temperature: float = 293.15, name: str = "printed pla"
) -> float:
    """Return the margin of the wall of a mast under a side force at its end."""
    stuff = material.gather(names=(name,))
    warm = material.at_temperature(stuff=stuff, temperature=temperature).strength
    bend = beam.cantilever(
        place=np.array([0.0, length]), bending_stiffness=section.stiff_flat[:, None], force=np.array([0.0, force])
    )
    stress = section.stresses(moment_flat=bend.moment[:, 0], shear_force_flat=bend.shear[:, 0])
    used = beam.utilisation(
        tension=stress.tension[:, beam.WALL],
        compression=stress.compression[:, beam.WALL],
        shear=stress.shear[:, beam.WALL],
        tension_strength=stuff.across * warm,
        compression_strength=stuff.compression * warm,
        shear_strength=stuff.shear_across * warm,
    )
    with np.errstate(divide="ignore"):
        return float(1.0 / used[0] - 1.0)


def same_members(batch: Any, alone: Any, k: int) -> None:
    for field in fields(batch):
        whole, one = getattr(batch, field.name), getattr(alone, field.name)
        np.testing.assert_allclose(whole[k], one[0], rtol=1e-12, atol=1e-18, err_msg=field.name)


def test_a_batch_of_sections_is_its_members() -> None:
    rng = np.random.default_rng(1)
    n, s = 12, 3
    names = tuple(rng.choice(SECTIONS, n))
    bars = beam.Bars(
        shape=beam.round_bar(diameter=np.array([0.004, 0.006])),
        x=np.array([0.03, 0.05]),
        z=np.zeros(1),
        modulus=np.array([193e9]),
        shear_modulus=np.array([75e9]),
    )
    many = {
        "chord": rng.uniform(0.08, 0.2, (n, s)),
        "wall": rng.choice([0.001, 0.003, 1.0], (n, 1)),
        "wall_modulus": rng.uniform(1e9, 60e9, (n, 1)),
        "wall_shear_modulus": rng.uniform(1e9, 5e9, (n, 1)),
        "core_modulus": rng.choice([0.0, 2e8], (n, 1)),
        "core_shear_modulus": rng.choice([0.0, 7e7], (n, 1)),
        "wrap": rng.choice([0.0, 0.0008], (n, 1)),
        "wrap_modulus": rng.uniform(10e9, 50e9, (n, 1)),
        "wrap_shear_modulus": rng.uniform(3e9, 5e9, (n, 1)),
        "duct": rng.choice([0.0, 0.005], (n, 1)),
    }
    batch = beam.foil_section(sections=names, bars=bars, **many)
    for k in range(n):
        one = {key: value[k : k + 1] for key, value in many.items()}
        same_members(batch, beam.foil_section(sections=names[k : k + 1], bars=bars, **one), k)
    for field in fields(batch):
        assert np.all(np.isfinite(getattr(batch, field.name))), field.name


def test_a_batch_of_materials_is_its_members() -> None:
    batch = material.gather(names=BOOK)
    warm = material.at_temperature(stuff=batch, temperature=np.linspace(280.0, 360.0, len(BOOK)))
    for k, name in enumerate(BOOK):
        alone = material.gather(names=(name,))
        for field in fields(batch):
            value, one = getattr(batch, field.name)[k], getattr(alone, field.name)[0]
            assert np.array_equal(value, one) or np.allclose(value, one)
        each = material.at_temperature(stuff=name, temperature=np.linspace(280.0, 360.0, len(BOOK))[k])
        assert warm.strength[k] == pytest.approx(each.strength[0], rel=1e-13)


def test_a_batch_of_joints_is_its_members() -> None:
    rng = np.random.default_rng(2)
    n = 6
    sides = {name: rng.uniform(0.05, 0.3, n) for name in ("width", "length")}
    edges = tuple(rng.choice(joint.EDGES, n))
    batch = joint.plate(thickness=0.004, modulus=3e9, pressure=1e4, edge=edges, **sides)
    x, y = rng.uniform(-0.1, 0.1, (2, n, 4))
    moments = rng.uniform(0.0, 400.0, n)
    group = joint.bolt_group(bolt_x=x, bolt_y=y, moment_about_x=moments, torque=moments, pull=moments)
    for k in range(n):
        one = {name: side[k] for name, side in sides.items()}
        alone = joint.plate(thickness=0.004, modulus=3e9, pressure=1e4, edge=edges[k], **one)
        assert batch.stress[k] == pytest.approx(float(alone.stress), rel=1e-13)
        assert batch.outside[k] == alone.outside
        bolts = joint.bolt_group(
            bolt_x=x[k], bolt_y=y[k], moment_about_x=moments[k], torque=moments[k], pull=moments[k]
        )
        assert group.most_tension[k] == pytest.approx(float(bolts.most_tension), rel=1e-13)
        assert group.most_shear[k] == pytest.approx(float(bolts.most_shear), rel=1e-13)


@few
@given(st.floats(5.0, 400.0), st.floats(0.3, 1.0), st.floats(1.01, 2.0), printed)
def test_a_margin_never_rises_with_load_lever_or_temperature(
    force: float, length: float, more: float, name: str
) -> None:
    section = mast(name)
    case = {"force": force, "length": length, "name": name}
    here = margin(section, **case)
    assert margin(section, **case | {"force": force * more}) < here
    assert margin(section, **case | {"length": length * more}) < here
    by_heat = [margin(section, **case, temperature=273.15 + t) for t in range(0, 120, 5)]
    assert np.all(np.diff(by_heat) <= 1e-12)


@pytest.mark.parametrize("name", [*BOOK, "epoxy", "carbon rods", "steel"])
def test_what_is_left_falls_smoothly_to_nothing(name: str) -> None:
    warm = np.linspace(240.0, 1500.0, 6301)
    left = material.at_temperature(stuff=material.gather(names=(name,)), temperature=warm[None])
    for share in (left.strength[0], left.stiffness[0]):
        assert share[0] == 1.0
        assert share[-1] == 0.0
        steps = np.diff(share)
        assert np.all(steps <= 1e-15)
        assert np.min(steps) > -0.02
        assert np.max(np.abs(np.diff(share, 2))) < 0.005


@few
@given(printed, st.floats(0.0, 0.003), st.floats(0.00005, 0.002), st.sampled_from(["glass laminate by hand"]))
def test_another_layer_of_glass_never_weakens_a_print(name: str, wrap: float, layer: float, glass: str) -> None:
    cloth = material.gather(names=(glass,))
    laid = {"wrap_modulus": cloth.modulus, "wrap_shear_modulus": cloth.shear_modulus}
    less, more = mast(name, wrap=wrap, **laid), mast(name, wrap=wrap + layer, **laid)
    for stiffness in ("axial", "stiff_flat", "stiff_edge", "stiff_twist", "shear_flat", "shear_edge"):
        assert getattr(more, stiffness)[0] > getattr(less, stiffness)[0]
    case = {"force": 100.0, "length": 0.7, "name": name}
    assert margin(more, **case) >= margin(less, **case)


@few
@given(st.floats(0.0008, 0.006), st.floats(1.001, 3.0), st.sampled_from(SECTIONS))
def test_a_thicker_wall_is_stiffer(wall: float, more: float, name: str) -> None:
    sections = [
        beam.foil_section(sections=(name,), chord=np.array([0.15]), wall=w, wall_modulus=3e9, wall_shear_modulus=1.1e9)
        for w in (wall, wall * more)
    ]
    for stiffness in ("axial", "stiff_flat", "stiff_edge", "stiff_twist"):
        assert getattr(sections[1], stiffness)[0] >= getattr(sections[0], stiffness)[0] * (1.0 - 1e-9)


@few
@given(st.floats(0.5, 3.0), st.sampled_from(SECTIONS))
def test_a_section_grows_with_the_power_of_its_size(factor: float, name: str) -> None:
    sized = [
        beam.foil_section(
            sections=(name,),
            chord=np.array([0.12 * f]),
            wall=0.002 * f,
            wall_modulus=3e9,
            wall_shear_modulus=1e9,
            wrap=0.001 * f,
            wrap_modulus=12e9,
            wrap_shear_modulus=3e9,
        )
        for f in (1.0, factor)
    ]
    for stiffness, power in (("axial", 2), ("stiff_flat", 4), ("stiff_edge", 4), ("stiff_twist", 4)):
        ratio = getattr(sized[1], stiffness)[0] / getattr(sized[0], stiffness)[0]
        assert ratio == pytest.approx(factor**power, rel=1e-9)


@few
@given(st.lists(shares, min_size=12, max_size=12), st.integers(2, 9))
def test_a_part_cut_in_two_with_a_perfect_joint_is_the_whole(loads: list[float], cut: int) -> None:
    place = np.linspace(0.0, 0.8, 12)
    stiff = np.linspace(900.0, 300.0, 12)
    load, force = 100.0 * np.array(loads), 50.0 * np.array(loads[::-1])
    whole = beam.cantilever(place=place, bending_stiffness=stiff, spread_load=load, force=force)
    outer = beam.cantilever(
        place=place[cut:] - place[cut], bending_stiffness=stiff[cut:], spread_load=load[cut:], force=force[cut:]
    )
    ends = np.zeros(cut + 1)
    ends[-1] = 1.0
    inner = beam.cantilever(
        place=place[: cut + 1],
        bending_stiffness=stiff[: cut + 1],
        spread_load=load[: cut + 1],
        force=force[: cut + 1] * (1.0 - ends) + outer.shear[0] * ends,
        couple=outer.moment[0] * ends,
    )
    np.testing.assert_allclose(inner.moment, whole.moment[: cut + 1], rtol=1e-9, atol=1e-9)
    tip = inner.deflection[-1] + inner.slope[-1] * (place[-1] - place[cut]) + outer.deflection[-1]
    assert tip == pytest.approx(whole.deflection[-1], rel=1e-9, abs=1e-12)


@few
@given(st.floats(1.1, 4.0))
def test_force_and_lever_doubled_quadruple_the_moment(factor: float) -> None:
    place = np.linspace(0.0, 0.5, 5)
    ends = np.array([0.0, 0.0, 0.0, 0.0, 100.0])
    one = beam.cantilever(place=place, bending_stiffness=np.full(5, 300.0), force=ends)
    two = beam.cantilever(place=factor * place, bending_stiffness=np.full(5, 300.0), force=factor * ends)
    assert two.moment[0] == pytest.approx(factor**2 * one.moment[0], rel=1e-12)
    assert two.deflection[-1] == pytest.approx(factor**4 * one.deflection[-1], rel=1e-12)


def test_deflection_converges_with_the_square_of_the_step() -> None:
    exact = 2.0 * np.log(2.0) - 1.0
    misses = []
    for count in (3, 5, 9):
        place = np.linspace(0.0, 1.0, count)
        force = np.where(place == 1.0, 1.0, 0.0)
        bend = beam.cantilever(place=place, bending_stiffness=1.0 - 0.5 * place, force=force)
        misses.append(abs(bend.deflection[-1] - exact))
    assert misses[1] < misses[0] / 4.0
    assert misses[2] < misses[1] / 4.0


def test_torsion_stays_on_the_safe_side_of_the_stored_finite_elements() -> None:
    shell = beam.foil_section(
        sections=("naca0012",),
        chord=np.full(2, 0.12),
        wall=np.array([0.002, 0.003]),
        wall_modulus=1.0,
        wall_shear_modulus=1.0,
    )
    exact = np.array([33547.4e-12, 43121.2e-12])
    assert np.all(shell.stiff_twist < exact)
    assert np.all(shell.stiff_twist > 0.88 * exact)


def test_a_standing_solid_print_of_pla_breaks_under_side_thrust() -> None:
    solid = mast(wall=1.0)
    assert margin(solid, force=300.0, length=0.75) < -0.5


def test_a_dark_print_of_pla_fails_hot_and_a_white_one_holds() -> None:
    left = material.at_temperature(stuff="printed pla", temperature=np.array([[273.15 + 79.0, 273.15 + 41.0]]))
    assert left.strength[0, 0] == 0.0
    assert left.strength[0, 1] > 0.5


def test_softened_material_is_used_up_without_a_number_that_is_none() -> None:
    used = beam.utilisation(
        tension=np.array([0.0, 1.0]),
        compression=0.0,
        shear=0.0,
        tension_strength=0.0,
        compression_strength=0.0,
        shear_strength=0.0,
    )
    assert list(used) == [0.0, np.inf]


def test_a_coupon_replaces_the_book() -> None:
    measured = {"across": np.array([np.nan, 21e6])}
    stuff = material.gather(names=("printed pla", "printed pla"), coupons=measured)
    assert list(stuff.across) == [32e6, 21e6]
    assert stuff.across_low[1] == stuff.across_high[1] == 21e6
    with pytest.raises(DataError, match="unheard"):
        material.gather(names=("unheard",))
    with pytest.raises(ModelError, match="hardness"):
        material.gather(names=("epoxy",), coupons={"hardness": np.ones(1)})


def test_what_must_not_touch_is_told() -> None:
    stuff = material.gather(names=("xps 300", "xps 300", "printed abs", "printed petg"))
    found = material.contact(agents=("polyester", "epoxy", "acetone", "epoxy"), stuff=stuff)
    assert list(found.attacks) == [True, False, True, False]
    assert list(found.bonds) == [False, True, False, False]
    assert material.cure_margin(stuff="printed pla", cure_temperature=333.15)[0] < 0.0
    couple = material.galvanic(first=("aluminium",) * 2, second=("carbon",) * 2, salinity=np.array([0.0, 35.0]))
    assert list(couple.first_corrodes) == [False, True]


@few
@given(st.floats(0.26, 0.66), st.floats(1.01, 1.05))
def test_more_glass_makes_a_stiffer_and_stronger_laminate(share: float, more: float) -> None:
    less, rich = (laminate.glass_rules(fibre_mass_share=s) for s in (share, share * more))
    assert rich.modulus > less.modulus
    assert rich.tension > less.tension
    assert rich.between_plies < less.between_plies
    weighed = laminate.mass_share(cloth_mass=1.0, resin_mass=(1.0 - share) / share)
    assert weighed == pytest.approx(share, rel=1e-12)


@few
@given(st.floats(0.0002, 0.004), st.floats(1.01, 2.0), st.floats(0.0, 0.06))
def test_a_heel_presses_less_through_a_thicker_face_or_a_wider_foot(face: float, more: float, foot: float) -> None:
    given = {
        "load": 1600.0, "face_modulus": 12e9, "face_poisson": 0.15, "core_thickness": 0.1, "core_modulus": 15e6,
    }  # fmt: skip
    here = laminate.heel(face_thickness=face, patch_radius=foot, **given).pressure
    assert laminate.heel(face_thickness=face * more, patch_radius=foot, **given).pressure < here
    assert laminate.heel(face_thickness=face, patch_radius=foot + 0.02, **given).pressure < here


@few
@given(st.floats(0.02, 1.0), st.floats(0.02, 1.0), st.sampled_from(joint.EDGES))
def test_a_plate_does_not_mind_which_side_is_called_its_width(width: float, length: float, edge: str) -> None:
    given = {"thickness": 0.004, "modulus": 3e9, "pressure": 5e3, "edge": edge}
    one = joint.plate(width=width, length=length, **given)
    other = joint.plate(width=length, length=width, **given)
    assert one.stress == other.stress
    assert joint.plate(width=width, length=length, **given | {"pressure": 1e4}).stress > one.stress
    clamped = joint.plate(width=width, length=length, **given | {"edge": "clamped"})
    assert clamped.deflection <= joint.plate(width=width, length=length, **given | {"edge": "supported"}).deflection


def test_bolts_balance_the_loads_on_their_plate() -> None:
    x, y = np.array([0.0, 0.165, 0.0, 0.165]), np.array([0.0, 0.0, 0.09, 0.09])
    group = joint.bolt_group(bolt_x=x, bolt_y=y, pull=200.0, moment_about_x=450.0, moment_about_y=600.0)
    assert group.tension.sum() == pytest.approx(200.0)
    assert (group.tension * (y - y.mean())).sum() == pytest.approx(450.0)
    assert (group.tension * (x - x.mean())).sum() == pytest.approx(600.0)
    tight = joint.edge_contact(moment=450.0, bolt_pitch=0.09, edge_distance=0.02)
    assert tight < 450.0 / (2.0 * 0.09)


@few
@given(st.floats(0.0, 2e4), st.floats(1.0, 2e4), st.floats(0.1, 0.9))
def test_a_bolt_never_loses_force_when_its_joint_is_pulled(load: float, more: float, share: float) -> None:
    first, second = (joint.bolt_load(preload=8e3, load=p, stiffness_share=share) for p in (load, load + more))
    assert second.force > first.force
    assert second.clamp <= first.clamp
    assert second.force >= load + more or second.clamp > 0.0


@few
@given(st.floats(0.0, 8.0), st.floats(0.01, 2.0))
def test_longer_lives_and_loads_leave_less(decades: float, more: float) -> None:
    stuff = material.gather(names=("printed pla",))
    kept = {"at_thousand": stuff.fatigue_thousand, "at_million": stuff.fatigue_million}
    here = fatigue.life_share(cycles=10.0**decades, **kept)
    assert fatigue.life_share(cycles=10.0 ** (decades + more), **kept) < here
    assert np.log10(fatigue.life(stress_share=here, **kept)) == pytest.approx(decades, abs=1e-6)
    cool = {"time": 10.0**decades, "temperature": 300.0, "glass_transition": stuff.glass_transition}
    soft = fatigue.creep_stiffness(**cool)
    assert fatigue.creep_stiffness(**cool | {"temperature": 320.0}) < soft
    assert fatigue.creep_stiffness(**cool | {"time": 10.0 ** (decades + more)}) < soft
    assert fatigue.creep_stiffness(**cool | {"glass_transition": np.inf}) > soft


def test_divergence_is_only_where_the_shear_centre_lies_aft_of_the_lift() -> None:
    wing = {"torsion_stiffness": 30.0, "span": 0.9, "chord": 0.14, "section_slope": 6.0, "density": 1000.0}
    speeds = beam.divergence(lift_ahead=np.array([-0.01, 0.0, 0.005, 0.02]), **wing)
    assert list(np.isinf(speeds)) == [True, True, False, False]
    assert speeds[2] == pytest.approx(2.0 * speeds[3])


def test_rods_take_the_place_of_the_print_and_a_duct_takes_it_away() -> None:
    plain, holed = mast(), mast(duct=0.006)
    rod = beam.Bars(
        shape=beam.round_bar(diameter=np.array([[0.008]])),
        x=np.array([[0.04]]),
        z=np.zeros((1, 1)),
        modulus=np.array([[193e9]]),
        shear_modulus=np.array([[75e9]]),
    )
    rods = mast(bars=rod)
    assert holed.axial < plain.axial < rods.axial
    assert holed.stiff_edge < plain.stiff_edge
    assert rods.modulus.shape[-1] == plain.modulus.shape[-1] + 1
    assert rods.area.sum() == pytest.approx(plain.area.sum(), rel=1e-9)
