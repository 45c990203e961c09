"""Arithmetic of the workshop: more cloth takes more resin, warmth and mass shorten the time, a batch is its members."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.physics import workshop

masses = st.floats(0.02, 2.0)
warmth = st.floats(279.0, 312.0)
few = settings(max_examples=30, deadline=None)


@few
@given(masses, warmth, st.floats(1.0, 10.0))
def test_warmer_and_larger_batches_gel_sooner(batch: float, temperature: float, more: float) -> None:
    time = workshop.working_time(pot_life=1800.0, batch=batch, temperature=temperature)
    assert workshop.working_time(pot_life=1800.0, batch=batch, temperature=temperature + more) < time
    assert workshop.working_time(pot_life=1800.0, batch=batch * (1.0 + more), temperature=temperature) < time
    twice = workshop.working_time(pot_life=1800.0, batch=batch, temperature=temperature - 10.0)
    np.testing.assert_allclose(twice, 2.0 * np.asarray(time), rtol=1e-12)


@few
@given(st.lists(masses, min_size=2, max_size=5), st.floats(0.01, 1.0))
def test_resin_and_hardener_make_the_batch(batches: list[float], ratio: float) -> None:
    made = workshop.mix(batch=np.array(batches), mix_ratio=ratio)
    np.testing.assert_allclose(made.resin + made.hardener, batches, rtol=1e-14)
    np.testing.assert_allclose(made.hardener / made.resin, ratio, rtol=1e-9)
    single = [float(np.asarray(workshop.mix(batch=each, mix_ratio=ratio).resin)) for each in batches]
    np.testing.assert_allclose(made.resin, single, rtol=1e-14)


@few
@given(st.floats(0.1, 5.0), st.floats(0.2, 0.7), st.floats(0.0, 0.5))
def test_a_drier_laminate_takes_less_resin(cloth: float, share: float, lost: float) -> None:
    resin = workshop.resin_mass(dry_cloth=cloth, fibre_mass_share=share, lost=lost)
    assert workshop.resin_mass(dry_cloth=cloth, fibre_mass_share=share + 0.05, lost=lost) < resin
    np.testing.assert_allclose(
        workshop.resin_mass(dry_cloth=2.0 * cloth, fibre_mass_share=share, lost=lost), 2.0 * np.asarray(resin)
    )


@few
@given(st.floats(0.1, 3.0), st.floats(0.3, 1.5), st.floats(0.01, 0.1))
def test_strips_cover_the_width_and_one_less_does_not(width: float, roll: float, lap: float) -> None:
    count = float(workshop.strips(width=width, roll_width=roll, lap=lap))
    assert count * (roll - lap) + lap >= width - 1e-6
    assert count == 1.0 or (count - 1.0) * (roll - lap) + lap < width + 1e-6


def test_a_batch_runs_away_above_the_number_of_semenov() -> None:
    """Integrate the heat balance with the exponential law of the theory: below 1/e it settles, above it does not."""
    for share, settles in ((0.98, True), (1.03, False)):
        number = share * workshop.SEMENOV
        warm, step = 0.0, 0.01
        for _ in range(20000):
            warm += step * (number * np.exp(warm) - warm)
            if warm > 10.0:
                break
        assert (warm < 1.5) == settles


def test_self_heating_grows_with_mass_and_falls_with_surface() -> None:
    given = {
        "film": 10.0,
        "reaction_rate": 5e-5,
        "reaction_heat": 4e5,
        "activation_energy": 5.5e4,
        "temperature": 295.0,
    }
    cup = workshop.self_heating(batch=0.2, surface=0.02, **given)
    assert workshop.self_heating(batch=0.2, surface=0.2, **given) < workshop.SEMENOV < cup
    np.testing.assert_allclose(workshop.self_heating(batch=0.4, surface=0.02, **given), 2.0 * np.asarray(cup))
