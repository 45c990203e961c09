"""Nesting never overlaps, keeps the kerf, leaves nothing out; joints keep away from zones and from each other."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.shape.nest import Piece, joints, nest

shapely = pytest.importorskip("shapely")

sides = st.tuples(st.floats(0.05, 0.59), st.floats(0.05, 0.59), st.booleans())
SHEET = (1.25, 0.60)


@settings(max_examples=40, deadline=None)
@given(st.lists(sides, min_size=1, max_size=14), st.floats(0.0, 0.004))
def test_pieces_lie_on_their_sheet_a_kerf_apart(given_sides: list[tuple[float, float, bool]], kerf: float) -> None:
    pieces = [Piece(name=str(k), along=a, across=b, turns=turn) for k, (a, b, turn) in enumerate(given_sides)]
    made = nest(pieces, along=SHEET[0], across=SHEET[1], kerf=kerf)
    assert sorted(one.piece.name for one in made.placed) == sorted(one.name for one in pieces)
    assert not made.too_large
    boxes = {
        number: [
            shapely.box(one.x, one.y, one.x + one.along, one.y + one.across)
            for one in made.placed
            if one.sheet == number
        ]
        for number in range(made.sheets)
    }
    whole = shapely.box(0.0, 0.0, *SHEET).buffer(1e-9)
    for here in boxes.values():
        assert here, "no sheet is opened for nothing"
        assert all(whole.covers(each) for each in here)
        for first, second in itertools.combinations(here, 2):
            assert first.distance(second) >= kerf - 1e-9
            assert first.intersection(second).area <= 1e-12


def test_what_fits_no_sheet_is_told() -> None:
    made = nest([Piece(name="long", along=1.3, across=0.2), Piece(name="fits", along=0.2, across=0.2)], along=1.25,
        across=0.6)  # fmt: skip
    assert [one.name for one in made.too_large] == ["long"]
    assert [one.piece.name for one in made.placed] == ["fits"]
    assert nest([], along=1.0, across=1.0).sheets == 0


def test_the_same_pieces_lie_the_same_way() -> None:
    random = np.random.default_rng(3)
    pieces = [Piece(name=str(k), along=a, across=b) for k, (a, b) in enumerate(random.uniform(0.1, 0.5, (20, 2)))]
    first, second = (nest(pieces, along=SHEET[0], across=SHEET[1], kerf=0.0015) for _ in range(2))
    assert first == second
    assert first.used > 0.6


@settings(max_examples=40, deadline=None)
@given(st.floats(1.3, 2.4), st.integers(2, 5), st.floats(0.3, 0.9), st.floats(0.05, 0.4))
def test_joints_are_staggered_and_keep_out(length: float, layers: int, zone: float, wide: float) -> None:
    zones = [(zone, zone + wide)]
    made = joints([(0.0, length)] * layers, longest=1.25, free_of=zones, stagger=0.3)
    for places in made.places:
        ends = [0.0, *places, length]
        assert all(b - a <= 1.25 + 1e-9 for a, b in itertools.pairwise(ends))
        assert not any(low < x < high for x in places for low, high in zones)
    apart = [abs(a - b) for low, high in itertools.pairwise(made.places) for a in low for b in high]
    assert min(apart, default=np.inf) == made.stagger
    room = [x for x in np.arange(length - 1.25, 1.251, 0.01) if not any(a < x < b for a, b in zones)]
    if length < 2.4 and room and max(room) - min(room) > 0.35:
        assert made.stagger >= 0.29, "where there is room for a stagger it is found"
