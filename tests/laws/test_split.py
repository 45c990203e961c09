"""Printable lengths: what fits on a bed, and where a long part is cut."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.shape import split

sizes = st.floats(0.02, 0.5)
few = settings(max_examples=40, deadline=None)


@few
@given(sizes, sizes, sizes, sizes)
def test_what_fits_also_fits_smaller_and_on_a_larger_bed(a: float, b: float, x: float, y: float) -> None:
    def fits(*v: float) -> float:
        length, width, bed_length, bed_width = (np.asarray(each) for each in v)
        return float(split.turned_fit(length=length, width=width, bed_length=bed_length, bed_width=bed_width))

    assert fits(0.9 * a, b, x, y) >= fits(a, b, x, y)
    assert fits(a, b, 1.1 * x, y) >= fits(a, b, x, y)
    assert fits(a, b, x, y) == fits(b, a, y, x)


@few
@given(st.lists(sizes, min_size=1, max_size=5))
def test_a_batch_is_its_members(widths: list[float]) -> None:
    bed = {"bed_length": np.asarray(0.25), "bed_width": np.asarray(0.21)}
    many = split.longest_turned(width=np.array(widths), **bed)
    np.testing.assert_allclose(
        many, [float(split.longest_turned(width=np.asarray(w), **bed)) for w in widths], rtol=1e-12
    )


@few
@given(st.floats(0.1, 1.6), st.floats(0.1, 0.3), st.floats(0.5, 1.0))
def test_every_length_can_be_made_and_none_is_wasted(length: float, longest: float, share: float) -> None:
    place = np.linspace(0.0, length, 40)
    found = split.joints(
        length=length,
        longest=longest,
        first_longest=share * longest,
        least=0.02,
        place=place,
        load=1.0 - place / length,
    )
    pieces = np.diff(np.concatenate([[0.0], found, [length]]))
    assert pieces.max() <= longest * (1.0 + 1e-9)
    assert pieces[0] <= max(share, 1e-9) * longest * (1.0 + 1e-9) or found.size == 0
    assert len(pieces) <= 2 + int(np.ceil((length - share * longest) / longest))
    assert (pieces > 0.0).all()


def test_joints_keep_away_from_a_peak() -> None:
    place = np.linspace(0.0, 1.0, 201)
    load = np.exp(-(((place - 0.5) / 0.06) ** 2))
    (found,) = split.joints(length=1.0, longest=0.65, first_longest=0.65, least=0.05, place=place, load=load)
    assert abs(found - 0.5) > 0.14


def test_more_pieces_are_cut_where_they_are_asked_for() -> None:
    found = split.joints(
        length=0.4, longest=1.0, first_longest=1.0, least=0.05, place=np.array([0.0, 0.4]), load=np.ones(2), pieces=3
    )
    assert found.size == 2
    assert split.joints(
        length=0.4, longest=1.0, first_longest=1.0, least=0.05, place=np.array([0.0, 0.4]), load=np.ones(2)
    ).size == 0  # fmt: skip


def test_a_thin_strip_fits_along_the_diagonal() -> None:
    longest = split.longest_turned(width=np.asarray(1e-6), bed_length=np.asarray(4.0), bed_width=np.asarray(3.0))
    assert float(longest) == pytest.approx(5.0, abs=1e-5)
