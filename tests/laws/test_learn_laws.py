"""Laws of reading trials: posteriors in closed form, quadrature, clocks, tracks, phases, information."""

from __future__ import annotations

import math

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.build import load
from foilwright.core.model import Array
from foilwright.study.learn import charge, clock, segment, tracks
from foilwright.study.learn.causes import AS_DESIGNED, causes, changed, columns
from foilwright.study.learn.infer import identifiability, laplace, log_tail
from foilwright.study.learn.model import CHARGE, corrections, fields_of, slopes, together
from foilwright.study.learn.next_reading import information
from foilwright.study.learn.predict import predict
from foilwright.study.learn.seen import Reading, Scene, covariance

FIRST = load.scenario("first-try")


def solved(slope: Array, observed: Array, about: Array, **limits: Array) -> tuple[Array, Array, float]:
    m, p = slope.shape
    none = {
        "limit": np.zeros((1, 0)), "limit_slope": np.zeros((1, 0, p)), "side": np.zeros(0), "limit_error": np.zeros(0),
    }  # fmt: skip
    found = laplace(
        values=np.zeros((1, m)), slope=slope[None], centre=np.zeros((1, p)), observed=observed, covariance=about,
        **(none | limits),
    )  # fmt: skip
    return found.mode[0], found.covariance[0], float(found.log_evidence[0])


@given(st.integers(0, 10_000), st.integers(1, 6), st.integers(1, 4))
@settings(max_examples=25, deadline=None)
def test_a_linear_posterior_is_the_closed_form(seed: int, m: int, p: int) -> None:
    chance = np.random.default_rng(seed)
    slope, observed = 0.3 * chance.standard_normal((m, p)), 0.2 * chance.standard_normal(m)
    root = chance.standard_normal((m, m))
    about = root @ root.T * 0.01 + 0.05 * np.eye(m)
    mode, covariance_, evidence = solved(slope, observed, about)
    gain = slope.T @ np.linalg.inv(slope @ slope.T + about)
    np.testing.assert_allclose(mode, gain @ observed, rtol=1e-8, atol=1e-10)
    np.testing.assert_allclose(covariance_, np.eye(p) - gain @ slope, rtol=1e-8, atol=1e-10)
    whole = slope @ slope.T + about
    straight = -0.5 * (observed @ np.linalg.solve(whole, observed) + np.linalg.slogdet(2.0 * np.pi * whole)[1])
    assert evidence == pytest.approx(straight, rel=1e-8, abs=1e-8)


@given(st.floats(-2.0, 2.0), st.floats(0.2, 1.5), st.sampled_from([1.0, -1.0]))
@settings(max_examples=25, deadline=None)
def test_what_says_yes_or_no_is_summed_within_a_few_percent(limit: float, slope: float, side: float) -> None:
    """Laplace against quadrature, and against the closed form Phi(m / sqrt(s^2 + a^2))."""
    error = 0.5
    _, _, evidence = solved(
        np.zeros((0, 1)), np.zeros(0), np.zeros((0, 0)), limit=np.array([[limit]]),
        limit_slope=np.array([[[slope]]]), side=np.array([side]), limit_error=np.array([error]),
    )  # fmt: skip
    straight = log_tail(np.array([side * limit / math.hypot(error, slope)]))[0][0]
    assert evidence == pytest.approx(straight, abs=0.12)


def test_the_normal_tail_is_smooth_where_its_form_changes() -> None:
    z = np.linspace(-8.5, -7.5, 401)
    value, slope = log_tail(z)
    np.testing.assert_allclose(np.gradient(value, z)[1:-1], slope[1:-1], rtol=2e-3)


def test_more_readings_never_leave_less_known() -> None:
    slope, about = np.array([[0.25, -0.15]]), np.array([[0.0025]])
    _, one, _ = solved(slope, np.array([0.2]), about)
    _, two, _ = solved(np.vstack([slope, [[0.0, 0.1]]]), np.array([0.2, -0.06]), np.diag([0.0025, 0.0064]))
    assert (np.diag(two) <= np.diag(one) + 1e-12).all()
    values, _ = identifiability(one)
    np.testing.assert_allclose(values, [34.0, 0.0], atol=1e-9)


@given(st.lists(st.floats(0.01, 1.0), min_size=2, max_size=5), st.integers(0, 1000))
@settings(max_examples=30, deadline=None)
def test_information_lies_between_none_and_what_is_open(weights: list[float], seed: int) -> None:
    share = np.array(weights) / sum(weights)
    outcome = np.random.default_rng(seed).dirichlet(np.ones(4), share.size)
    told = information(share, outcome)
    open_ = float(-(share * np.log2(share)).sum())
    assert -1e-12 <= told <= open_ + 1e-9
    assert information(share, np.tile(outcome[:1], (share.size, 1))) == pytest.approx(0.0, abs=1e-12)
    assert information(share, np.eye(share.size)) == pytest.approx(open_)


def test_errors_of_a_model_are_shared_by_readings_alike() -> None:
    near, far = (
        Reading(kind="amps", says="", source="", speed=4.0),
        Reading(kind="amps", says="", source="", speed=40.0),
    )
    about = covariance((near, near, far, Reading(kind="volts", says="", source="", speed=4.0)))
    assert about[0, 1] > 0.5 * 0.06**2
    assert about[0, 2] == pytest.approx(0.0, abs=1e-9)
    assert about[0, 3] == 0.0
    assert (np.linalg.eigvalsh(about) > 0.0).all()


@given(st.floats(-70.0, 70.0), st.floats(-179.0, 179.0), st.floats(-0.01, 0.01), st.floats(-0.01, 0.01))
@settings(max_examples=40, deadline=None)
def test_distances_are_those_of_the_geodesic(latitude: float, longitude: float, up: float, along: float) -> None:
    east, north = tracks.metres(
        latitude=np.array([latitude, latitude + up]), longitude=np.array([longitude, longitude + along])
    )
    straight = Geodesic.WGS84.Inverse(latitude, longitude, latitude + up, longitude + along)["s12"]
    assert math.hypot(east[1] - east[0], north[1] - north[0]) == pytest.approx(straight, rel=1e-4, abs=1e-3)


def test_a_track_is_cleaned_of_repeats_jumps_and_disorder() -> None:
    time = np.array([0.0, 1.0, 2.0, 2.0, 4.0, 3.0, 5.0, *np.arange(6.0, 20.0)])
    latitude = 47.0 + 3e-5 * time
    latitude[6] += 0.01
    found = tracks.cleaned(time, latitude, np.full(time.size, 8.0), "day.gpx")
    assert found.time.tolist() == [0.0, 1.0, 2.0, 3.0, 4.0, *np.arange(6.0, 20.0)]
    assert {note.split(": ")[1] for note in found.notes} == {
        "1 fix with a time that was there before", "1 fix that jumped", "1 fix out of order",
    }  # fmt: skip
    speed = tracks.series(found).north
    np.testing.assert_allclose(speed[np.isfinite(speed)], 3e-5 * 111_174.0, rtol=2e-3)


@pytest.mark.parametrize("shift", [-90.0, -7.5, 0.0, 42.0])
def test_clocks_are_brought_together(shift: float) -> None:
    chance = np.random.default_rng(3)
    time = 1e9 + tracks.STEP * np.arange(1200)
    amps = np.repeat(chance.uniform(0.0, 60.0, 60) * (chance.random(60) > 0.4), 20)
    speed = clock._followed(amps) / 15.0
    track = tracks.Series(time=time, east=speed, north=np.zeros(1200), columns={})
    log = tracks.Series(time=time + shift, east=speed * np.nan, north=speed * np.nan, columns={"amps": amps})
    joint, found = clock.together(track, log)
    assert found.found
    assert found.seconds == pytest.approx(-shift, abs=1.0)
    fine = np.isfinite(joint.columns["amps"])
    np.testing.assert_allclose(joint.columns["amps"][fine], amps[fine], atol=1e-6)


def test_clocks_of_different_rides_are_not_brought_together() -> None:
    chance = np.random.default_rng(4)
    rides = [np.repeat(chance.uniform(0.0, 60.0, 40), 30) for _ in range(2)]
    time = tracks.STEP * np.arange(1200)
    track = tracks.Series(time=time, east=clock._followed(rides[0]), north=np.zeros(1200), columns={})
    log = tracks.Series(time=time, east=time * np.nan, north=time * np.nan, columns={"amps": rides[1]})
    assert clock.together(track, log)[1].agreement < 0.7


def test_a_current_is_taken_off_by_legs_both_ways() -> None:
    heading = np.repeat(np.arange(6) * np.pi / 3.0, 40)
    east, north = 5.0 * np.cos(heading) + 0.8, 5.0 * np.sin(heading) - 0.3
    (e, n), known = segment.current_of(east, north)
    assert known
    assert (e, n) == (pytest.approx(0.8, abs=1e-6), pytest.approx(-0.3, abs=1e-6))
    assert not segment.current_of(np.full(200, 5.0), np.zeros(200))[1]


def test_phases_falls_and_steady_stretches_are_found() -> None:
    speed = np.concatenate(
        [np.zeros(60), np.linspace(0, 2.0, 20), np.full(120, 2.0), np.linspace(2, 7, 30), np.full(200, 7.0)]
    )
    speed = np.concatenate([speed, np.linspace(7.0, 0.5, 4), np.full(80, 0.1)])
    series = tracks.Series(time=tracks.STEP * np.arange(speed.size), east=speed, north=np.zeros(speed.size), columns={})
    found = segment.ride(series, segment.Marks(hump=3.0, take_off=4.5))
    assert found.phase[20] == segment.REST
    assert found.phase[150] == segment.DISPLACEMENT
    assert found.phase[350] == segment.FLYING
    assert found.falls.size == 1
    kinds = {(each.phase, round(each.speed)) for each in found.stretches}
    assert kinds == {(segment.DISPLACEMENT, 2), (segment.FLYING, 7)}
    grounded = segment.ride(series, segment.Marks(hump=3.0, take_off=4.5), may_fly=False)
    assert grounded.flew == 0.0


def test_the_volts_at_rest_of_a_log_tell_how_the_charge_falls() -> None:
    amps = np.tile(np.repeat([0.0, 40.0], 60), 6)
    used = np.cumsum(amps) * tracks.STEP
    volts = 40.0 - 2e-4 * used - 0.05 * amps
    series = tracks.Series(
        time=tracks.STEP * np.arange(amps.size), east=np.where(amps > 0, 3.0, 0.0), north=np.zeros(amps.size),
        columns={"amps": amps, "volts": volts, "throttle": amps / 40.0},
    )  # fmt: skip
    found = charge.Charge.of(FIRST, segment.ride(series, segment.Marks(hump=3.0, take_off=5.0)))
    assert found.slope == pytest.approx(-2e-4, rel=1e-6)
    assert found.over(0.0) > 1.0 > found.over(2.0 * found.middle)


def test_an_explanation_runs_from_mild_to_grave() -> None:
    size = np.linspace(0.0, 1.0, 5)
    for cause in causes(FIRST):
        for each in cause.changes:
            values = changed(each, 2.0, size)
            assert (np.diff(values) > 0.0).all() or (np.diff(values) < 0.0).all()
    assert sum(each.prior for each in causes(FIRST)) == pytest.approx(1.0)
    assert causes(FIRST)[0].id == AS_DESIGNED
    assert "overweight" not in {each.id for each in causes(FIRST, asked={"masses"})}


def test_a_batch_of_crafts_tells_what_each_tells_alone() -> None:
    scenes = (Scene(values={"rider.posture": "kneeling", "pack.temperature": 281.0}),)
    readings = [
        Reading(kind=kind, says="", source="", speed=speed, throttle=0.8)
        for kind, speed in (
            ("balance", 3.5),
            ("amps", 3.5),
            ("volts", 3.5),
            ("bollard", 0.0),
            ("tow", 2.5),
            ("lifted", 0.0),
        )
    ]
    some = [
        next(c for c in causes(FIRST) if c.id == name) for name in ("pack_part", "propeller_slips", "weed", "cold_pack")
    ]
    p = len(corrections().names)
    parts = [fields_of(np.full((1, p), 0.3), columns(FIRST, cause, np.full(1, 0.6)), corrections()) for cause in some]
    whole = predict(FIRST, together(FIRST, parts, scenes), scenes, readings).values
    assert np.isfinite(whole).all()
    for k, part in enumerate(parts):
        alone = predict(FIRST, together(FIRST, [part], scenes), scenes, readings).values
        np.testing.assert_allclose(whole[k : k + 1], alone, rtol=1e-9, atol=1e-9)


def test_a_nearly_full_pack_still_tells_its_charge() -> None:
    """The models stop at full; a slope taken across that would say that charge changes nothing."""
    scenes = (Scene(values={"rider.posture": "kneeling", "charge": 0.96}),)
    readings = [Reading(kind="volts", says="", source="", speed=3.5, throttle=0.8)]
    at = corrections().names.index(CHARGE)
    plain = [cause for cause in causes(FIRST) if cause.id == AS_DESIGNED]
    for high in (0.0, 1.5):
        centre = np.zeros((1, at + 1))
        centre[0, at] = high
        assert slopes(FIRST, plain, scenes, readings, centre=centre).slope[0, 0, at] > 0.005
