"""Laws of section outlines and planforms."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.shape import foil

GEOMETRY = table("sections")
SECTIONS = GEOMETRY.texts["section"]
planforms = st.fixed_dictionaries(
    {
        "area": st.floats(0.01, 0.4),
        "span": st.floats(0.2, 1.6),
        "taper": st.floats(0.2, 1.0),
        "sweep": st.floats(-0.3, 0.6),
        "dihedral": st.floats(-0.2, 0.2),
        "twist": st.floats(-0.1, 0.05),
        "tip_rounding": st.floats(0.0, 0.6),
    }
)


@pytest.mark.parametrize("name", SECTIONS)
def test_outlines_have_the_measures_of_the_table(name):
    row = SECTIONS.index(name)
    outline = foil.section_outline(coordinates=foil.section_coordinates(section=name, points=201))
    for measure in ("area", "perimeter", "centroid_x", "second_moment_flat", "second_moment_edge"):
        np.testing.assert_allclose(getattr(outline, measure), GEOMETRY.columns[measure][row], rtol=5e-4)
    np.testing.assert_allclose(outline.thickness, GEOMETRY.columns["thickness"][row], rtol=0.004)
    np.testing.assert_allclose(outline.area, 0.685 * GEOMETRY.columns["thickness"][row], rtol=0.005)


@settings(max_examples=20)
@given(st.sampled_from(SECTIONS), st.floats(0.0, 0.02))
def test_the_trailing_edge_is_as_thick_as_stated(name, edge):
    outline = foil.section_coordinates(section=name, points=61, trailing_edge=edge)
    assert outline.shape == (121, 2)
    np.testing.assert_allclose(np.hypot(*(outline[0] - outline[-1])), edge, atol=1e-12)
    np.testing.assert_allclose(outline[60], [0.0, 0.0], atol=1e-12)
    x, z = outline.T
    assert np.dot(x, np.roll(z, -1)) > np.dot(np.roll(x, -1), z)


def test_what_is_no_section_is_told_in_a_sentence():
    for name in ("naca24", "naca2400", "naca2012", "boat"):
        with pytest.raises(DataError, match="not a four-digit section"):
            foil.four_digit(section=name)


@settings(max_examples=40)
@given(planforms)
def test_the_ruled_outline_has_the_stated_area_and_span(written):
    stations = foil.stations(**written)
    wing = foil.planform(stations=stations)
    np.testing.assert_allclose(wing.area, written["area"], rtol=1e-12)
    np.testing.assert_allclose(wing.span, written["span"], rtol=1e-12)
    np.testing.assert_allclose(wing.mean_chord, written["area"] / written["span"], rtol=1e-12)
    assert wing.mean_aerodynamic_chord >= wing.mean_chord * (1.0 - 1e-12)
    assert np.all(np.diff(stations.y) >= 0.0)
    assert np.all(stations.chord > 0.0)
    np.testing.assert_allclose(stations.twist[0, [0, -1]], [0.0, written["twist"]], atol=1e-15)
    np.testing.assert_allclose(stations.x[0, -1], -0.5 * written["span"] * np.tan(written["sweep"]), atol=1e-12)


def test_a_straight_taper_has_the_chords_of_the_textbook():
    wing = foil.planform(stations=foil.stations(area=0.12, span=0.9, taper=0.4, sweep=0.2))
    root = 0.24 / (0.9 * 1.4)
    np.testing.assert_allclose(wing.root_chord, root, rtol=1e-12)
    np.testing.assert_allclose(wing.mean_aerodynamic_chord, root * 2 / 3 * 1.56 / 1.4, rtol=1e-12)
    np.testing.assert_allclose(wing.y, 0.45 / 3 * 1.8 / 1.4, rtol=1e-12)
    np.testing.assert_allclose(wing.x, -wing.y * np.tan(0.2), rtol=1e-12)


def test_rounding_sets_in_without_a_jump():
    sharp = foil.stations(area=0.12, span=0.9, taper=0.4, tip_rounding=1e-9)
    cut = foil.stations(area=0.12, span=0.9, taper=0.4)
    np.testing.assert_allclose(sharp.chord[0, 0], cut.chord[0, 0], rtol=1e-8)
    mixed = foil.stations(area=0.12, span=0.9, taper=0.4, tip_rounding=np.array([0.0, 0.3]))
    np.testing.assert_allclose(
        foil.volume(stations=mixed, area_factor=0.08)[0],
        foil.volume(stations=cut, area_factor=0.08)[0],
        rtol=1e-12,
    )


@settings(max_examples=20)
@given(st.lists(planforms, min_size=2, max_size=5))
def test_a_batch_is_its_members(written):
    columns = {key: np.array([one[key] for one in written]) for key in written[0]}
    batch = foil.stations(**columns)
    volumes = foil.volume(stations=batch, area_factor=0.0823)
    skins = foil.wetted_area(stations=batch, perimeter_factor=2.04, area_factor=0.0823)
    for k, one in enumerate(written):
        single = foil.stations(**one)
        np.testing.assert_allclose(foil.volume(stations=single, area_factor=0.0823)[0], volumes[k], rtol=1e-12)
        np.testing.assert_allclose(
            foil.wetted_area(stations=single, perimeter_factor=2.04, area_factor=0.0823)[0],
            skins[k],
            rtol=1e-12,
        )


def solid(points: np.ndarray) -> tuple[float, float]:
    """Return volume and skin of the port half that is ruled through the outlines, cut tip included."""
    fine = []
    for first, last in pairwise(points):
        share = np.linspace(0.0, 1.0, 21)[:-1, None, None]
        fine.append(first + share * (last - first))
    outlines = np.concatenate([*fine, points[-1:]])
    x, y, z = np.moveaxis(outlines, -1, 0)
    areas = 0.5 * np.abs((x * np.roll(z, -1, 1) - np.roll(x, -1, 1) * z).sum(axis=1))
    volume = float((np.diff(y[:, 0]) * 0.5 * (areas[1:] + areas[:-1])).sum())
    a, b = outlines[:-1], outlines[1:]
    c, d = np.roll(a, -1, 1), np.roll(b, -1, 1)
    skin = 0.5 * np.linalg.norm(np.cross(d - a, c - b), axis=-1).sum() + areas[-1]
    return volume, float(skin)


@settings(max_examples=15, deadline=None)
@given(planforms.filter(lambda one: one["span"] ** 2 / one["area"] > 3.0))
def test_volume_and_skin_are_those_of_the_loft(written):
    outline = foil.section_coordinates(section="naca2412", points=61)
    measures = foil.section_outline(coordinates=outline)
    stations = foil.stations(**written)
    volume, skin = solid(foil.loft(stations=stations, coordinates=outline)[0])
    computed = foil.volume(stations=stations, area_factor=measures.area)
    np.testing.assert_allclose(2.0 * volume, computed[0], rtol=0.002)
    straight = foil.stations(**{**written, "sweep": 0.0, "twist": 0.0, "tip_rounding": 0.0, "dihedral": 0.0})
    _, skin = solid(foil.loft(stations=straight, coordinates=outline)[0])
    wetted = foil.wetted_area(stations=straight, perimeter_factor=measures.perimeter, area_factor=measures.area)
    np.testing.assert_allclose(2.0 * skin, wetted[0], rtol=0.03)


def test_twice_the_size_is_four_times_the_skin_and_eight_times_the_volume():
    one, two = (
        foil.stations(area=0.12 * k * k, span=0.9 * k, taper=0.5, twist=-0.03, tip_rounding=0.2) for k in (1, 2)
    )
    np.testing.assert_allclose(
        foil.volume(stations=two, area_factor=0.08), 8.0 * foil.volume(stations=one, area_factor=0.08)
    )
    np.testing.assert_allclose(
        foil.wetted_area(stations=two, perimeter_factor=2.0, area_factor=0.08),
        4.0 * foil.wetted_area(stations=one, perimeter_factor=2.0, area_factor=0.08),
    )
