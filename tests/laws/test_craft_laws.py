"""Laws of the whole craft: any valid build answers in numbers, forces close, more of this never less of that."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from foilwright.assemble import assemble, assumption
from foilwright.build import load
from foilwright.build.build import Build
from foilwright.core.model import Array
from foilwright.physics import strut
from foilwright.physics.water import GRAVITY
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import OUTSIDE
from foilwright.questions.report_json import document
from foilwright.questions.state import State
from foilwright.questions.state.drive import drive_state
from foilwright.questions.state.foils import Force, foils
from foilwright.questions.state.run import run

Vary = dict[str, Any]
LAKE = load.scenario("lake")
BATCH = 64
TRIM_STEP = 0.04
"""What the steps of trim in the run explain in a take-off speed [m/s]."""
JUMP = 0.12
SPEED_JUMP = 0.05
"""What they explain in a resistance, share of it."""


def variable(build: Build) -> dict[str, Any]:
    """Return what is known of every field of a build that may be varied."""
    out = {}
    for path in build.paths():
        meta = build.meta(path)
        sized = path.rpartition(".")[2] in ("area", "span", "aspect_ratio", "mean_chord")
        if meta.kind in ("quantity", "count", "choice") and not (sized and path not in build.values):
            out[path] = meta
    return out


FIELDS = variable(LAKE)
NUMBERS = {path: meta for path, meta in FIELDS.items() if meta.kind != "choice"}


def ends(path: str) -> tuple[float, float]:
    meta = NUMBERS[path]
    return meta.bounds() if meta.kind == "quantity" else (float(meta.low), float(meta.high))


def usual(path: str) -> float | None:
    """Return what the build says or assumes; none where the field is open."""
    meta = NUMBERS[path]
    if path in LAKE.values:
        return float(LAKE.values[path])
    return None if meta.default is None else float(assumption(path, meta, meta.default).value)


def anywhere(seed: int, *, reach: float = 6.0, share: float = 0.8) -> Vary:
    """Draw many fields at once, each between its usual value and an end of its own range.

    The larger ``reach``, the more of the draws lie near the usual value; 0 draws ends only.
    """
    random = np.random.default_rng(seed)
    vary: Vary = {}
    for path, meta in FIELDS.items():
        if random.random() > share:
            continue
        if meta.kind == "choice":
            vary[path] = tuple(random.choice(list(meta.choices), BATCH))
            continue
        low, high = ends(path)
        middle = usual(path)
        end = np.where(random.random(BATCH) < 0.5, low, high)
        if middle is not None:
            drawn = middle + random.random(BATCH) ** reach * (end - middle)
        elif path.startswith("measured.") or path.endswith(".mass"):
            continue
        else:
            drawn = low + (high - low) * random.random(BATCH)
        vary[path] = np.round(drawn) if meta.kind == "count" else drawn
    return vary


def near(seed: int, count: int = BATCH) -> Vary:
    """Draw designs that mostly fly."""
    random = np.random.default_rng(seed)
    spans = {
        "wing.area": (0.11, 0.2), "wing.span": (0.75, 1.1), "wing.sweep": (0.0, 0.2), "rider.mass": (55.0, 100.0),
        "mast.length": (0.6, 0.95), "mast.x": (0.5, 0.7), "targets.wing_depth": (0.25, 0.5),
        "pod.above_wing": (0.0, 0.2),
        "stabiliser.incidence": (-0.04, 0.0), "stabiliser.arm": (0.5, 0.8), "wing.incidence": (0.0, 0.035),
        "propeller.pitch": (0.11, 0.15), "water.wind": (0.0, 6.0), "pack.temperature": (275.0, 300.0),
    }  # fmt: skip
    return {path: random.uniform(low, high, count) for path, (low, high) in spans.items()}


def held(answers: Answers) -> None:
    """Check that every answer is plain JSON, and that a number that is missing has a reason."""
    for finding in answers.all():
        known = (finding.reason == 0) & finding.applies
        asks = known & ((finding.demand > 0.0) | (finding.kind == "difference"))
        for name, values, rows in (
            ("demand", finding.demand, known), ("capacity", finding.capacity, known), ("margin", finding.margin, asks),
            ("required", finding.required, np.ones_like(known)),
        ):  # fmt: skip
            assert np.isfinite(values[rows]).all(), (
                f"{finding.id}, {name}, designs {np.flatnonzero(rows & ~np.isfinite(values))}"
            )
        outside = (finding.reason == OUTSIDE) & finding.applies
        said = np.zeros_like(outside)
        for each in finding.beyond:
            said |= each.bad & each.decides
        assert said[outside].all(), f"{finding.id}: outside of what? designs {np.flatnonzero(outside & ~said)}"
    for row in range(0, answers.designs, 16):
        json.dumps(document(answers, row), allow_nan=False)


@pytest.mark.parametrize(("seed", "reach"), [(1, 6.0), (2, 6.0), (3, 3.0), (4, 1.0), (5, 0.0)])
def test_any_valid_build_answers_in_numbers(seed: int, reach: float) -> None:
    held(ask(LAKE, vary=anywhere(seed, reach=reach, share=1.0 if reach < 2.0 else 0.8)))


def test_every_field_at_its_ends_one_at_a_time() -> None:
    """One row a field and end; every other field as the build has it."""
    known = [path for path in NUMBERS if usual(path) is not None]
    rows = 2 * len(known)
    vary: Vary = {path: np.full(rows, usual(path)) for path in known}
    for k, path in enumerate(known):
        vary[path][2 * k : 2 * k + 2] = ends(path)
    held(ask(LAKE, vary=vary))


def test_open_fields_at_their_ends() -> None:
    for path in NUMBERS:
        if usual(path) is None:
            held(ask(LAKE, vary={path: np.array(ends(path))}))


def test_every_choice() -> None:
    for path, meta in FIELDS.items():
        if meta.kind == "choice":
            held(ask(LAKE, vary={path: meta.choices}))


@pytest.mark.parametrize("end", [0, 1])
def test_everything_at_one_end(end: int) -> None:
    known = [path for path in NUMBERS if usual(path) is not None]
    held(ask(LAKE, vary={path: np.array([ends(path)[end]]) for path in known}))


def state_of(vary: Vary) -> State:
    return State(assemble(LAKE, vary)[0])


def turned(x: Array, z: Array, trim: Array) -> tuple[Array, Array]:
    """Return where a place on the board is, forward and up, when the board trims nose up."""
    return x * np.cos(trim) - z * np.sin(trim), z * np.cos(trim) + x * np.sin(trim)


def own_moment(force: Force) -> Array:
    s = force.surface
    return np.asarray(s.pressure * s.area * s.chord * s.pitching)


def column(values: Array) -> Array:
    return np.asarray(values)[:, None]


def test_flight_is_in_balance() -> None:
    """Sum forces, and moments about a point far away, from the pieces of the craft themselves."""
    s = state_of(near(11))
    craft, f, w = s.craft, s.flight, s.weights
    trim = f.trim
    wing, tail = f.foils.forces(trim[..., None])
    mast, top = column(craft.mast.length), -(column(craft.mast.length) - column(f.depth))
    front = column(craft.mast.x - 0.25 * craft.mast.chord)
    pod, tube = (
        np.asarray(strut.pod_drag(
            length=column(each.length), diameter=column(each.diameter), speed=f.speeds, density=column(s.water.density),
            kinematic_viscosity=column(s.water.kinematic_viscosity),
        ))
        for each in (craft.pod, craft.fuselage)
    )  # fmt: skip
    np.testing.assert_allclose(pod + tube, f.hung.pod, rtol=1e-12)
    up = GRAVITY * column(s.water.density)
    none = np.zeros_like(trim)
    forces: list[tuple[Array, Array, Array, Array]] = [
        *((g.surface.x, g.surface.z, -g.drag[..., 0], g.lift[..., 0]) for g in (wing, tail)),
        (front, 0.5 * (top - mast), -f.hung.mast, none),
        (front, top, -f.hung.spray, none),
        (front, -mast, -f.hung.junction, none),
        (column(craft.pod.x), column(craft.pod.z), -pod, none),
        (column(craft.wing.x - 0.5 * craft.fuselage.arm), -mast, -tube, none),
        (column(craft.pod.x), column(craft.pod.z), f.thrust * np.cos(trim), f.thrust * np.sin(trim)),
        (f.place, column(w.deck), -f.causes["air"], none - column(w.rider) * GRAVITY),
        (column(w.craft_x), column(w.craft_z), none, none - column(w.masses.mass) * GRAVITY),
    ]
    for name, piece in w.masses.pieces.items():
        wet, z = piece.volume, piece.z
        if name == "mast":
            wet, z = piece.volume * f.depth / craft.mast.length, 0.5 * (top - mast)[:, 0]
        forces.append((column(piece.x), column(z), none, none + up * column(wet)))
    about_x, about_z = 1.3, -2.1
    ahead, lift, moment = none, none, np.asarray(own_moment(wing) + own_moment(tail))
    for x, z, forward, upward in forces:
        there_x, there_z = turned(x, z, trim)
        ahead, lift = ahead + forward, lift + upward
        moment = moment + (there_x - about_x) * upward - (there_z - about_z) * forward
    weight = column(w.total) * GRAVITY
    flies = (f.speeds >= f.slow[:, None]) & (f.speeds <= f.fast[:, None])
    assert flies.sum() > 500
    assert np.abs(ahead / f.thrust)[flies].max() < 1e-3
    assert np.abs(lift / weight)[flies].max() < 1e-3
    assert np.abs(moment / (weight * f.foils.wing.chord))[flies].max() < 1e-3
    assert np.abs(f.thrust_change / f.thrust)[flies].max() < 1e-3
    np.testing.assert_allclose(sum(f.causes.values()), f.drag, rtol=1e-9)


def test_pack_power_is_useful_power_and_losses() -> None:
    s = state_of(near(12))
    p = s.points.point
    losses = p.loss_propeller + p.loss_gear + p.loss_copper + p.loss_iron + p.loss_controller + p.loss_wires
    np.testing.assert_allclose((p.useful_power + losses)[p.found], p.pack_power[p.found], rtol=1e-3)
    np.testing.assert_allclose(p.useful_power[p.found], (p.thrust * s.points.speed)[p.found], rtol=1e-3, atol=1e-6)
    cruise = p.found[:, 3] & s.flight.found & s.points.holds
    assert cruise.sum() > 20
    deep = s.flight.immersion >= 1.0
    wanted = s.flight.at(s.flight.thrust, s.points.speed[:, 3])
    np.testing.assert_allclose(p.thrust[cruise & deep, 3], wanted[cruise & deep], rtol=1e-3)
    read = s.flight.at(s.flight.power, s.points.speed[:, 3])
    np.testing.assert_allclose(p.pack_power[cruise & deep, 3], read[cruise & deep], rtol=5e-3)


def by_aspect() -> Build:
    """Return the lake craft with its wing written by area and aspect ratio."""
    text = LAKE.text.replace('span = "96 cm"', "aspect_ratio = 5.76")
    return load.read(text, name="lake", file="lake.toml")


@pytest.mark.parametrize("build", [LAKE, by_aspect()], ids=["span kept", "aspect ratio kept"])
def test_a_larger_wing_never_takes_off_faster(build: Build) -> None:
    mass, area = (each.ravel() for each in np.meshgrid(np.linspace(60.0, 100.0, 8), np.linspace(0.1, 0.2, 16)))
    speed = ask(build, questions=["rise"], vary={"rider.mass": mass, "wing.area": area}).numbers["take_off_speed"]
    rise = np.diff(speed.reshape(16, 8), axis=0)
    assert np.isfinite(rise).sum() > 60
    assert np.nanmax(rise) < TRIM_STEP


def test_a_heavier_rider_never_takes_off_slower() -> None:
    area, mass = (each.ravel() for each in np.meshgrid(np.linspace(0.11, 0.2, 8), np.linspace(50.0, 110.0, 16)))
    speed = ask(LAKE, questions=["rise"], vary={"rider.mass": mass, "wing.area": area}).numbers["take_off_speed"]
    drop = np.diff(speed.reshape(16, 8), axis=0)
    assert np.isfinite(drop).sum() > 60
    assert np.nanmin(drop) > -TRIM_STEP


@pytest.mark.parametrize(("path", "low", "high"), [("rider.mass", 70.0, 95.0), ("wing.area", 0.12, 0.2)])
def test_resistance_has_no_jumps_in_load_and_area(path: str, low: float, high: float) -> None:
    s = state_of({path: np.linspace(low, high, 2 * BATCH)})
    share = np.abs(np.diff(s.run.resistance, axis=0)) / s.run.resistance[:-1]
    kept = s.run.open[1:] & s.run.open[:-1]
    assert share[kept].max() < JUMP
    assert np.median(share[kept]) < 0.01


def test_resistance_has_no_jumps_in_speed() -> None:
    s = state_of({"rider.mass": np.array([65.0, 82.0, 100.0])})
    speeds = np.linspace(1.5, 6.0, 181)
    drive = drive_state(s.craft, s.water, s.weights, s.supply, speeds)
    deep = foils(s.craft, s.water, s.craft.mast.length, speeds, s.compliance.flex)
    made = run(s.craft, s.water, s.weights, deep, drive, s.compliance.flex)
    share = np.abs(np.diff(made.resistance, axis=1)) / made.resistance.max(axis=1, keepdims=True)
    kept = made.open[:, 1:] & made.open[:, :-1]
    assert share[kept].max() < SPEED_JUMP
    assert np.median(share[kept]) < 0.02


def test_more_cells_in_series_never_push_less() -> None:
    series = np.arange(9.0, 24.0)
    drive = state_of({"pack.series": series}).drive
    lighter = np.diff(drive.thrust, axis=0) / np.maximum(drive.thrust[1:], 1.0)
    assert lighter.min() > -2e-3, "the winding, warmer under a heavier pack, explains no more"


def test_an_emptier_pack_never_pushes_more() -> None:
    charge = np.linspace(0.3, 1.0, 29)
    drive = state_of({"pack.start_charge": charge, "pack.stop_charge": np.full(29, 0.1)}).drive
    gain = np.diff(drive.thrust, axis=0) / np.maximum(drive.thrust[1:], 1.0)
    assert gain.min() > -2e-3


MEASURED = """
[measured]
wing_incidence = "0.4 deg"
motor_resistance = "26 mohm"
craft_mass = "26 kg"
balance_point = "0.80 m"
"""


def test_as_designed_differs_only_where_something_was_measured() -> None:
    plain, designed = ask(LAKE), ask(LAKE, as_built=False)
    built = load.read(LAKE.text + MEASURED, name="lake", file="lake.toml")
    as_built, back = ask(built), ask(built, as_built=False)
    for name, values in plain.numbers.items():
        np.testing.assert_array_equal(values, designed.numbers[name], err_msg=name)
        np.testing.assert_array_equal(values, back.numbers[name], err_msg=name)
    for one, other in zip(plain.all(), back.all(), strict=True):
        np.testing.assert_array_equal(one.margin, other.margin, err_msg=one.id)
    changed = {name for name, values in plain.numbers.items() if not np.array_equal(values, as_built.numbers[name])}
    assert {"total_mass", "take_off_speed", "cruise_electric_power", "static_margin"} <= changed
    assert "board_volume" not in changed
    assert as_built.numbers["total_mass"][0] == pytest.approx(26.0 + 82.0 + 5.0)


def test_each_member_is_computed_once_an_ask(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[State] = []

    class Watched(State):
        def __init__(self, craft: Any) -> None:
            super().__init__(craft)
            made.append(self)

    monkeypatch.setattr("foilwright.questions.ask.State", Watched)
    ask(LAKE)
    ask(LAKE, vary={"wing.area": np.linspace(0.1, 0.2, BATCH)})
    assert len(made) >= 2
    for state in made:
        assert state.computed, "nothing was counted"
        assert set(state.computed.values()) == {1}, state.computed
