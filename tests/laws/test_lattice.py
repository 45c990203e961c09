"""The vortex lattice keeps the laws that it is an oracle for."""

from __future__ import annotations

import numpy as np
import pytest

from foilwright.study import lattice

FLAT = {"span": 6.0, "root_chord": 1.0}


def test_it_converges() -> None:
    lift = [
        lattice.wing(**FLAT, chordwise=rows, spanwise=strips).lift_coefficient
        for rows, strips in ((2, 5), (4, 10), (8, 20))
    ]
    assert abs(lift[2] - lift[1]) < 0.3 * abs(lift[1] - lift[0])


@pytest.mark.parametrize("sweep", [-0.2, 0.0, 0.5])
@pytest.mark.parametrize("taper", [0.3, 1.0])
def test_no_flat_wing_beats_the_ellipse(taper: float, sweep: float) -> None:
    found = lattice.wing(span=7.0, root_chord=1.2, taper=taper, sweep=sweep, incidence=0.1)
    assert found.span_efficiency < 1.0
    mean = 0.6 * (1.0 + taper)
    edges = np.sin(0.5 * np.pi * np.arange(21) / 20)
    chord = 1.2 * (1.0 - (1.0 - taper) * found.side)
    assert found.local_lift * chord / mean @ np.diff(edges) == pytest.approx(found.lift_coefficient, rel=1e-12)


def test_the_surface_image_takes_lift_and_adds_drag() -> None:
    deep = lattice.wing(**FLAT)
    near = lattice.wing(**FLAT, depth=0.8)
    far = lattice.wing(**FLAT, depth=500.0)
    assert near.lift_coefficient < 0.9 * deep.lift_coefficient
    assert near.span_efficiency < 0.8 * deep.span_efficiency
    assert far.lift_coefficient == pytest.approx(deep.lift_coefficient, rel=1e-4)


def test_incidence_and_twist_add_up() -> None:
    one = lattice.wing(**FLAT, incidence=0.03).lift_coefficient
    two = lattice.wing(**FLAT, incidence=0.0, twist=0.05).lift_coefficient
    both = lattice.wing(**FLAT, incidence=0.03, twist=0.05).lift_coefficient
    assert both == pytest.approx(one + two, rel=1e-12)


def test_dihedral_costs_little_lift() -> None:
    flat = lattice.wing(**FLAT).lift_coefficient
    for rise in (0.1, 0.2, 0.35):
        bent = lattice.wing(**FLAT, dihedral=rise).lift_coefficient
        assert bent / flat == pytest.approx(np.sqrt(np.cos(rise)), abs=0.015)


def test_roll_is_antisymmetric_and_a_step_is_more_than_a_slope() -> None:
    linear, step = (lattice.wing(**FLAT, rolled=kind) for kind in ("linear", "step"))
    assert linear.lift_coefficient == step.lift_coefficient == 0.0
    assert 0.0 < linear.roll_coefficient < step.roll_coefficient
