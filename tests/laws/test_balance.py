"""Laws of balance, trim, motion in flight, rider and seaway."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foilwright.physics import balance

few = settings(max_examples=25, deadline=None)
numbers = st.floats(0.0, 1.0)
shares = st.lists(numbers, min_size=12, max_size=12)

FOILS = {"wing_slope": 4.6, "stabiliser_slope": 3.8, "wing_area": 0.15, "stabiliser_area": 0.03}


def between(low, high, share):
    return low + (high - low) * share


def test_a_batch_equals_its_members_in_trim():
    rng = np.random.default_rng(1)
    n = 7
    inputs = {
        "weight": rng.uniform(700, 1300, n),
        "speed": rng.uniform(3.5, 9, n),
        "density": rng.uniform(998, 1027, n),
        "wing_area": rng.uniform(0.08, 0.2, n),
        "wing_slope": rng.uniform(3.5, 5, n),
        "wing_chord": rng.uniform(0.1, 0.2, n),
        "wing_moment": rng.uniform(-0.1, 0, n),
        "stabiliser_area": rng.uniform(0.015, 0.04, n),
        "stabiliser_slope": rng.uniform(3, 4.5, n),
        "arm": rng.uniform(0.45, 0.8, n),
        "decalage": rng.uniform(-0.08, 0.0, n),
        "downwash_slope": rng.uniform(0.2, 0.4, n),
        "thrust": rng.uniform(60, 200, n),
        "thrust_height": rng.uniform(-0.1, 0.2, n),
        "drag_moment": rng.uniform(10, 80, n),
        "flexibility": rng.uniform(0, 2e-4, n),
    }
    batch = balance.trim_in_flight(**inputs)
    for k in range(n):
        single = balance.trim_in_flight(**{name: float(values[k]) for name, values in inputs.items()})
        for field in ("incidence", "wing_lift", "stabiliser_lift", "centre_ahead"):
            np.testing.assert_allclose(getattr(batch, field)[k], getattr(single, field), rtol=1e-13)
    np.testing.assert_allclose(batch.wing_lift + batch.stabiliser_lift, inputs["weight"], rtol=1e-12)


def test_roots_of_a_known_craft():
    known = {119.2: (-19.46, -3.089, 0.0461, 0.5806), 814.3: (-19.11, -3.765, 0.2078, 1.3759)}
    out = balance.heave_pitch_roots(
        mass=102.0,
        inertia=45.0,
        added_mass=14.0,
        added_inertia=1.0,
        speed=6.0,
        density=1025.0,
        wing_area=0.15,
        wing_slope=4.6,
        wing_place=0.0,
        wing_stiffness=np.array(list(known)),
        stabiliser_area=0.03,
        stabiliser_slope=2.66,
        stabiliser_place=-0.62,
        stabiliser_stiffness=0.0,
    )
    for roots, (fast, slow, growth, swing) in zip(out.roots, known.values(), strict=True):
        expected = [growth + 1j * swing, growth - 1j * swing, slow, fast]
        np.testing.assert_allclose(roots, expected, rtol=2e-3)


def motion_inputs(share):
    return {
        "mass": between(80, 140, share[0]),
        "inertia": between(5, 60, share[1]),
        "speed": between(3.5, 10, share[2]),
        "density": 1000.0,
        "wing_area": between(0.08, 0.2, share[3]),
        "wing_slope": between(3.5, 5, share[4]),
        "wing_place": between(-0.05, 0.05, share[5]),
        "wing_stiffness": between(0, 800, share[6]),
        "stabiliser_area": between(0.015, 0.04, share[7]),
        "stabiliser_slope": between(2, 4, share[8]),
        "stabiliser_place": between(-0.8, -0.45, share[9]),
        "stabiliser_stiffness": between(0, 60, share[10]),
        "added_mass": between(5, 20, share[11]),
    }


def test_a_batch_equals_its_members_in_heave_and_pitch():
    rng = np.random.default_rng(2)
    share = rng.uniform(size=(12, 5, 3))
    batch = balance.heave_pitch_roots(**motion_inputs(share))
    assert batch.roots.shape == (5, 3, 4)
    for place in np.ndindex(5, 3):
        single = balance.heave_pitch_roots(**motion_inputs(share[(slice(None), *place)]))
        np.testing.assert_allclose(batch.roots[place], single.roots, rtol=1e-9, atol=1e-12)


@few
@given(shares)
def test_roots_have_the_trace_and_determinant_of_the_motion(share):
    inputs = motion_inputs(np.array(share))
    roots = balance.heave_pitch_roots(**inputs).roots
    q = 0.5 * inputs["density"] * inputs["speed"] ** 2
    heavy = inputs["mass"] + inputs["added_mass"]
    foils = [
        [inputs[f"{name}_{kind}"] for kind in ("area", "slope", "place", "stiffness")]
        for name in ("wing", "stabiliser")
    ]
    damping = sum(q * s * a / inputs["speed"] * (1 / heavy + x * x / inputs["inertia"]) for s, a, x, _ in foils)
    np.testing.assert_allclose(roots.sum().real, -damping, rtol=1e-9)
    stiff = sum(np.array([[k, k * x - q * s * a], [k * x, k * x * x - q * s * a * x]]) for s, a, x, k in foils)
    np.testing.assert_allclose(
        np.prod(roots).real, np.linalg.det(stiff) / (heavy * inputs["inertia"]), rtol=1e-6, atol=1e-6
    )


def forces(state, h):
    """Lift and drag of two foils below the centre of mass, without small angles."""
    z, th, w, rate = state
    speed, density, total, moment = 6.0, 1025.0, 0.0, 0.0
    cosine, sine = np.cos(th), np.sin(th)
    for area, slope, x, stiff, lift, drag, drag_slope in (
        (0.15, 4.6, 0.03, 119.2, 880.0, 80.0, 450.0),
        (0.03, 2.66, -0.59, 20.0, 45.0, 0.0, 0.0),
    ):
        across, up = x * cosine + h * sine, x * sine - h * cosine
        ahead, rise = speed - rate * up, w + rate * across
        flow = np.arctan2(rise, ahead)
        square = (ahead**2 + rise**2) / speed**2
        incidence = th - flow
        now = (lift + 0.5 * density * speed**2 * area * slope * incidence) * square
        back = (drag + drag_slope * incidence) * square
        upward = now * np.cos(flow) - back * np.sin(flow) - stiff * (z + up + h)
        forward = -now * np.sin(flow) - back * np.cos(flow)
        total += upward
        moment += across * upward - up * forward
    return np.array([total, moment])


@pytest.mark.parametrize("h", [0.0, 0.8, 1.5])
def test_heave_and_pitch_is_the_linear_part_of_the_full_forces(h):
    step = 1e-6
    columns = []
    for k in range(4):
        d = np.zeros(4)
        d[k] = step
        columns.append((forces(d, h) - forces(-d, h)) / (2 * step))
    slopes = np.array(columns).T
    heavy = np.diag([102.0, 45.0])
    full = np.zeros((4, 4))
    full[:2, 2:] = np.eye(2)
    full[2:] = np.linalg.solve(heavy, slopes)
    # The full forces also hold small terms that the model leaves out: drag in heave, drag at x.
    drag, x, speed = 80.0, 0.03, 6.0
    neglected = np.array(
        [
            [0.0, 0.0, -drag / speed, -drag * x / speed],
            [0.0, drag * x, -drag * x / speed, -drag * x * x / speed],
        ]
    )
    full[2:] -= np.linalg.solve(heavy, neglected)
    expected = np.linalg.eigvals(full)
    expected = expected[np.argsort(-expected.real, kind="stable")]
    ours = balance.heave_pitch_roots(
        mass=102.0,
        inertia=45.0,
        speed=6.0,
        density=1025.0,
        wing_area=0.15,
        wing_slope=4.6,
        wing_place=0.03,
        wing_stiffness=119.2,
        stabiliser_area=0.03,
        stabiliser_slope=2.66,
        stabiliser_place=-0.59,
        stabiliser_stiffness=20.0,
        centre_height=h,
        wing_lift=880.0,
        stabiliser_lift=45.0,
        wing_drag_slope=450.0,
        drag=80.0,
    ).roots
    np.testing.assert_allclose(np.sort(ours.real), np.sort(expected.real), rtol=1e-5)
    np.testing.assert_allclose(np.sort(ours.imag), np.sort(expected.imag), rtol=1e-5, atol=1e-9)


@few
@given(numbers, numbers)
def test_static_margin_has_the_sign_of_stability(arm, ahead):
    centre = between(-0.2, 0.2, ahead)
    point = balance.neutral_point(arm=between(0.4, 0.9, arm), downwash_slope=0.3, **FOILS)
    margin = balance.static_margin(neutral_point=point.behind, centre_ahead=centre, chord=0.165)
    slope = balance.moment_slope(
        slope=point.slope,
        wing_area=0.15,
        dynamic_pressure=18000.0,
        neutral_point=point.behind,
        centre_ahead=centre,
    )
    assert np.sign(margin) == -np.sign(slope)


def test_moment_slope_is_the_derivative_of_the_trim_moment():
    common = {"wing_area": 0.15, "wing_slope": 4.6, "stabiliser_area": 0.03, "stabiliser_slope": 3.8}
    point = balance.neutral_point(arm=0.62, downwash_slope=0.3, **common)
    rest = {
        "speed": 6.0,
        "density": 1000.0,
        "wing_chord": 0.165,
        "wing_moment": -0.06,
        "arm": 0.62,
        "decalage": -0.05,
        "downwash_slope": 0.3,
        "thrust": 0.0,
        "thrust_height": 0.0,
        "drag_moment": 0.0,
    }
    weights = np.array([900.0, 901.0])
    state = balance.trim_in_flight(weight=weights, **common, **rest)
    moment = weights * state.centre_ahead
    about_wing = np.diff(moment)[0] / np.diff(state.incidence)[0]
    expected = balance.moment_slope(
        slope=point.slope,
        wing_area=0.15,
        dynamic_pressure=18000.0,
        neutral_point=point.behind,
        centre_ahead=0.0,
    )
    np.testing.assert_allclose(about_wing, expected, rtol=1e-9)


def test_a_longer_arm_moves_the_neutral_point_back_and_a_soft_fuselage_forward():
    arms = np.linspace(0.4, 0.9, 6)
    stiff = balance.neutral_point(arm=arms, downwash_slope=0.3, **FOILS)
    soft = balance.neutral_point(arm=arms, downwash_slope=0.3, flexibility=1e-4, dynamic_pressure=18000.0, **FOILS)
    assert np.all(np.diff(stiff.behind) > 0)
    assert np.all(soft.behind < stiff.behind)


def test_decalage_error_moves_the_rider_as_trim_says():
    common = {
        "speed": np.array([4.0, 6.0, 8.0]),
        "density": 1000.0,
        "wing_area": 0.15,
        "wing_slope": 4.6,
        "stabiliser_area": 0.03,
        "stabiliser_slope": 3.8,
        "arm": 0.62,
        "downwash_slope": 0.3,
    }
    rest = {
        "wing_chord": 0.165,
        "wing_moment": -0.06,
        "thrust": 90.0,
        "thrust_height": 0.1,
        "drag_moment": 40.0,
    }
    one, two = (balance.trim_in_flight(weight=1000.0, decalage=d, **common, **rest) for d in (-0.05, -0.04))
    shift = balance.rigging_shift(rider_weight=800.0, **common)
    np.testing.assert_allclose((two.centre_ahead - one.centre_ahead) * 1000 / 800 / 0.01, shift.rider, rtol=1e-9)
    np.testing.assert_allclose((two.incidence - one.incidence) / 0.01, shift.attitude, rtol=1e-9)


@few
@given(shares)
def test_the_rider_balances_what_load_point_leaves_over(share):
    craft, body, deck, x_craft = 300.0, 800.0, 0.12, between(0.5, 0.9, share[0])
    lift, x_lift = between(0, 900, share[1]), between(0.7, 1.1, share[2])
    excess, depth, drag = between(-50, 250, share[3]), between(0.5, 0.9, share[4]), between(0, 60, share[5])
    x_board = between(0.2, 1.2, share[6])
    moment = (
        -craft * x_craft
        + lift * x_lift
        + balance.pitching_moment(place=0.0, height=-depth, forward=excess, upward=0.0)
        + (craft + body - lift) * x_board
    )
    x = balance.rider_place(moment=moment, rider_weight=body, rider_drag=drag, deck_height=deck)
    board = balance.load_point(
        weight=craft + body,
        weight_place=(craft * x_craft + body * x) / (craft + body),
        foil_lift=lift,
        foil_place=x_lift,
        thrust_excess=excess,
        thrust_depth=depth,
        air_drag=drag,
        air_height=deck,
    )
    np.testing.assert_allclose(board.place, x_board, rtol=1e-9, atol=1e-9)


def test_a_board_that_flies_has_no_load_point():
    board = balance.load_point(
        weight=np.array([900.0, 900.0]),
        weight_place=0.7,
        foil_lift=np.array([0.0, 950.0]),
        foil_place=0.8,
        thrust_excess=0.0,
        thrust_depth=0.7,
        air_drag=0.0,
        air_height=1.0,
    )
    assert board.carried.tolist() == [True, False]
    assert np.isnan(board.place).tolist() == [False, True]


@few
@given(numbers, numbers)
def test_excess_held_undoes_the_shift_and_lean_is_the_rest(reach, height):
    craft = {"thrust_height": between(-0.9, -0.3, height), "craft_mass": 30.0, "craft_height": 0.02}
    reach = between(0.01, 0.3, reach)
    held = balance.excess_held(reach=reach, rider_mass=80.0, rider_height=0.12, **craft)
    shift = balance.thrust_excess_shift(excess=held, rider_mass=80.0, deck_height=0.12, centre_height=1.1, **craft)
    np.testing.assert_allclose(shift.support, reach, rtol=1e-12)
    lean = balance.body_lean(
        rider_mass=80.0,
        centre_height=1.1 - 0.12,
        rider_drag=0.0,
        drag_height=1.0,
        acceleration=shift.acceleration,
    )
    np.testing.assert_allclose(shift.body - shift.support, lean, rtol=1e-9)


def test_no_surplus_lifts_the_nose_when_the_thrust_is_high():
    held = balance.excess_held(
        reach=0.2,
        thrust_height=np.array([-0.7, 1.0]),
        craft_mass=30.0,
        craft_height=0.0,
        rider_mass=80.0,
        rider_height=0.12,
    )
    assert np.isfinite(held).tolist() == [True, False]


def test_added_mass_grows_with_span_and_ends_at_the_strip():
    spans = np.array([0.15, 0.3, 0.45, 0.9, 1.5, 15.0])
    water = balance.added_mass(chord=0.15, span=spans, density=1000.0)
    assert np.all(np.diff(water.coefficient) > 0)
    assert water.coefficient[-1] > 0.99
    outside = balance.added_mass(chord=0.15, span=np.array([0.1, 0.9]), density=1000.0)
    assert np.isnan(outside.coefficient).tolist() == [True, False]
    assert (outside.outside > 0).tolist() == [True, False]


def test_more_span_falls_over_more_slowly():
    spans = np.linspace(0.6, 1.4, 5)
    damping = balance.roll_damping(slope=4.0, taper=0.5, area=0.14, span=spans, speed=6.0, density=1000.0)
    roll = balance.roll_roots(inertia=300.0, damping=damping.damping, weight=1000.0, centre_height=1.5)
    assert np.all(np.diff(roll.time_to_double) > 0)
    np.testing.assert_allclose(roll.growth * roll.decay, -roll.toppling, rtol=1e-12)
    np.testing.assert_allclose(roll.growth + roll.decay, -roll.damping_rate, rtol=1e-9)


def test_nothing_grows_for_ever_to_double():
    times = balance.time_to_double(growth=np.array([-1.0, 0.0, 2.0]))
    assert np.isinf(times).tolist() == [True, True, False]


def fastest_with_delay(toppling, damping, delay):
    """Return the least spectral radius over many corrections of angle and rate after a delay."""
    cells = 24
    step = delay / (cells + 0.5)
    plant = np.array([[0.0, 1.0], [toppling, -damping]])
    values, vectors = np.linalg.eig(plant)
    carry = (vectors * np.exp(values * step)) @ np.linalg.inv(vectors)
    push = np.linalg.solve(plant, (carry - np.eye(2)) @ np.array([0.0, 1.0]))
    p, d = np.meshgrid(
        toppling * np.linspace(1.002, 1.8, 24), np.sqrt(toppling) * np.linspace(0.0, 3.0, 49), indexing="ij"
    )
    size = 2 + cells
    matrix = np.zeros((*p.shape, size, size))
    matrix[..., :2, :2] = carry
    matrix[..., :2, -1] = push
    matrix[..., 2, 0], matrix[..., 2, 1] = -p, -d
    matrix[..., np.arange(3, size), np.arange(2, size - 1)] = 1.0
    return np.abs(np.linalg.eigvals(matrix)).max(axis=-1).min()


@pytest.mark.parametrize(("toppling", "damping"), [(8.6, 0.0), (5.32, 0.344), (6.0, 4.0)])
def test_the_critical_delay_divides_what_can_be_held(toppling, damping):
    limit = float(balance.critical_delay(toppling=toppling, damping_rate=damping))
    assert fastest_with_delay(toppling, damping, 0.85 * limit) < 1.0
    assert fastest_with_delay(toppling, damping, 1.1 * limit) > 1.0


@pytest.mark.parametrize(("share", "ratio"), [(0.5, 2.54), (0.5 * np.log(2.0), 3.92)])
def test_growth_limit_note_on_the_range_of_corrections(share, ratio):
    angles = np.linspace(1e-4, np.pi / 2 - 1e-9, 2_000_001)
    phase = np.interp(-share, -angles / np.tan(angles), angles)
    np.testing.assert_allclose(np.hypot(1.0, phase / share), ratio, atol=0.01)


def test_body_flags_what_was_not_surveyed():
    shape = balance.rider_body(mass=np.array([80.0, 30.0]), stature=np.array([1.78, 1.2]))
    assert (shape.outside > 0).tolist() == [False, True]
    narrow = balance.stance_reach(stance=0.2, foot_length=0.27)
    assert narrow.foot_pressure == 0.0


def test_gusts_fade_with_depth_and_a_full_bank_needs_no_side_slip():
    gust = balance.wave_gust(
        height=0.2, period=1.2, depth=np.linspace(0, 1, 5), speed=6.0, density=1000.0, area=0.15, slope=4.5
    )
    assert np.all(np.diff(gust.orbital_speed) < 0)
    bank = balance.turn(speed=6.0, radius=np.array([10.0, 30.0])).bank
    slip = balance.sideslip(
        speed=6.0,
        radius=np.array([10.0, 30.0]),
        bank=bank,
        mass=110.0,
        density=1000.0,
        mast_area=0.05,
        slope=2.0,
    )
    np.testing.assert_allclose(slip, 0.0, atol=1e-12)
