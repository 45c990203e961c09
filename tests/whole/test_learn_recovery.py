"""Made-up trials with a known fault: how often it is found; the long study is told in docs/learn-recovery.md."""

from __future__ import annotations

import numpy as np
import pytest

from foilwright.build import load
from foilwright.study.learn import recover
from foilwright.study.learn import truth as made_up
from foilwright.study.learn.causes import AS_DESIGNED

BUILDS = [load.scenario("lake"), load.scenario("first-try")]
SHOWS = 3.0


def test_faults_that_show_are_found_with_track_and_log() -> None:
    found = recover.study(BUILDS, range(30), "track and log")
    show = [each for each in found if each.shows > SHOWS or each.cause == AS_DESIGNED]
    rates = recover.rates(show)
    assert rates["first"] >= 0.75
    assert rates["first_three"] >= 0.85
    assert rates["family_first_three"] >= 0.95
    everything = recover.rates(found)
    assert everything["right_where_clear"] >= 0.85
    assert everything["coverage"] >= 0.75


def test_the_same_seed_is_the_same_trial_and_stays_finite() -> None:
    truth = made_up.draw(BUILDS[0], 5)
    (one, ridden), (two, _) = (made_up.trial(BUILDS[0], truth) for _ in range(2))
    assert one == two
    for values in (ridden.speed, ridden.volts, ridden.amps):
        assert np.isfinite(values).all()
    assert ridden.speed.max() < 12.0


@pytest.mark.long
def test_the_long_study_holds_what_its_page_says() -> None:
    found = recover.study(BUILDS, range(1000, 1300), "track and log")
    show = [each for each in found if each.shows > SHOWS or each.cause == AS_DESIGNED]
    assert recover.rates(show)["first"] >= 0.8
    assert 0.83 <= recover.rates(found)["coverage"] <= 0.95
