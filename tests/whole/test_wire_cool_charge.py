"""Wiring, heat and charging: wrong joints are named, what must be said is said, right ones raise nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from joined import RIGHT, WRONG
from matplotlib.text import Text

from foilwright.assemble import assemble
from foilwright.assemble.drawn import as_joints
from foilwright.assemble.drawn import drawn as networks
from foilwright.build import load
from foilwright.build.build import Build
from foilwright.core.errors import BuildFileError
from foilwright.network import Network
from foilwright.parts.ready.facts import facts
from foilwright.parts.ready.workshop import plug_in
from foilwright.physics import pack as packs
from foilwright.questions import report_json, report_text
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import VERDICTS, Finding
from foilwright.questions.state import State, heat
from foilwright.questions.state.network import WARM, network_state
from foilwright.questions.wire import TOLD
from foilwright.study import wiring

NAMES = ("first-try", "lake", "sea", "trainer")
SETTINGS = {
    "wires.modules_in_series": "2", "wires.modules_side_by_side": "2", "wires.contact_diameter": "6 mm",
    "wires.lead_area": "10 mm^2", "wires.lead_length": "0.4 m", "wires.stub_length": "0.1 m",
    "wires.jumper_length": "0.15 m", "wires.main_area": "16 mm^2", "wires.main_length": "0.3 m",
    "wires.fuse_rating": "60 A", "wires.fuse_voltage": "72 V", "wires.fuse_interrupting": "10000 A",
    "wires.voltage_apart": "0 V", "pack.series": "14", "pack.parallel": "8", "pack.start_charge": "90 %",
    "controller.voltage_limit": "63 V", "controller.battery_current_limit": "80 A", "controller.capacitance": "3 mF",
    "radio.receiver_power": "0.5 W", "radio.receiver_least": "4.5 V", "cell.charge_limit": "2.5 A",
}  # fmt: skip
"""The wiring of the lake craft made like that of the drawn networks."""
RULE = {"reversed polarity": "reversed module", "no pre-charge": "no precharge", "over-voltage": "over voltage"}
LISTED = {rule.replace(" ", "_") for rule in TOLD}


@pytest.fixture(scope="module")
def lake() -> Build:
    return load.scenario("lake")


@pytest.fixture(scope="module")
def answers() -> dict[str, Answers]:
    return {name: ask(load.scenario(name)) for name in NAMES}


def found(answers: Answers, name: str) -> Finding:
    return next(one for one in answers.all() if one.id == name)


def verdict(answers: Answers, name: str, row: int = 0) -> str:
    return VERDICTS[found(answers, name).verdict[row]]


def case(answers: Answers, name: str, row: int = 0) -> str:
    one = found(answers, name)
    return one.cases[one.case[row]]


def ask_of(build: Build, *questions: str, **settings: str) -> Answers:
    changed = build.with_texts({path.replace("__", "."): text for path, text in settings.items()})
    return ask(changed, questions=questions)


def drawn(lake: Build, network: Network) -> Build:
    """Return the lake craft wired like a network, every joint written in its file."""
    short = networks(assemble(lake.with_texts(SETTINGS))[0])[0].network
    text = lake.text + "\n" + as_joints(network, short=short)
    return load.read(text, name="lake", file="lake.toml").with_texts(SETTINGS)


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_build_is_found_and_its_joint_named(lake: Build, name: str) -> None:
    network, faults = WRONG[name]
    answers = ask(drawn(lake, network), questions=["wire"])
    failing = {
        one.id.partition(".")[2] for one in answers.findings["wire"] if VERDICTS[one.verdict[0]] == "fails"
    } & LISTED
    assert failing == {RULE.get(kind, kind).replace(" ", "_") for kind, _ in faults}
    for kind, joint in faults:
        told = case(answers, f"wire.{RULE.get(kind, kind).replace(' ', '_')}")
        assert joint in told
        assert ": " in told


@pytest.mark.parametrize("name", RIGHT)
def test_a_right_build_raises_nothing(lake: Build, name: str) -> None:
    answers = ask(drawn(lake, RIGHT[name]), questions=["wire"])
    wrong = {one.id for one in answers.findings["wire"] if VERDICTS[one.verdict[0]] in ("fails", "unknown")}
    assert not {name.partition(".")[2] for name in wrong} & LISTED


def test_a_joint_that_is_none_is_a_sentence(lake: Build) -> None:
    text = lake.text + '\n[[joint]]\nname = "fuse 9"\nrating = "5 A"\n'
    with pytest.raises(BuildFileError, match="fuse 1"):
        ask(load.read(text, name="lake", file="lake.toml"))


@pytest.mark.parametrize("name", NAMES)
def test_the_solved_network_is_the_sum_where_the_wiring_is_plain(name: str) -> None:
    craft, _ = assemble(load.scenario(name))
    voltage, ohms = np.array([3.7]), np.array([0.021])
    solved = network_state(craft, networks(craft), cell_voltage=voltage, cell_resistance=ohms, copper_temperature=WARM)
    p = craft.pack
    np.testing.assert_allclose(solved.open_voltage, p.series * voltage, rtol=1e-9)
    np.testing.assert_allclose(solved.resistance, p.series / p.parallel * ohms + p.link_resistance, rtol=1e-9)
    assert solved.stands.all()


def test_the_supply_of_the_drive_is_that_of_the_network() -> None:
    craft, _ = assemble(load.scenario("trainer"))
    supply = State(craft).supply
    plain = packs.supply(
        cell=supply.tables, charge=supply.charge, temperature=supply.supply.temperature,
        cell_resistance=supply.cell_resistance, series=craft.pack.series, parallel=craft.pack.parallel,
        leads=supply.leads, current_limit=np.inf,
    )  # fmt: skip
    np.testing.assert_allclose(supply.supply.resistance, plain.resistance, rtol=1e-9)
    np.testing.assert_allclose(supply.supply.open_voltage, plain.open_voltage, rtol=1e-9)


def test_hot_copper_and_warm_cells_reach_the_drive() -> None:
    craft, _ = assemble(load.scenario("lake"))
    thin = replace(craft, harness=replace(craft.harness, main_area=craft.harness.main_area / 4.0))
    assert State(thin).supply.network.copper_temperature > State(craft).supply.network.copper_temperature + 10.0
    state = State(craft)
    assert state.supply.supply.temperature > craft.pack.temperature + 5.0
    assert np.abs(state.heat.cell_residual) < 8.0
    assert np.abs(state.heat.copper_residual) < 15.0
    assert np.abs(state.heat.winding_residual) < 15.0


def test_a_drive_that_does_not_give_the_usual_thrust_has_a_warm_winding_all_the_same() -> None:
    craft, _ = assemble(load.scenario("first-try"))
    warm = State(craft).drive.winding_temperature - craft.water.temperature
    assert warm > 35.0
    strong = replace(craft, drive=replace(craft.drive, battery_current_limit=craft.drive.battery_current_limit * 4.0))
    weak = replace(craft, drive=replace(craft.drive, battery_current_limit=craft.drive.battery_current_limit * 0.6))
    rises = [float((State(one).drive.winding_temperature - one.water.temperature)[0]) for one in (weak, craft, strong)]
    assert rises == sorted(rises)


@pytest.mark.parametrize("name", ["lake", "sea", "trainer"])
def test_what_the_drive_was_worked_out_with_is_what_the_ride_has(answers: dict[str, Answers], name: str) -> None:
    assert verdict(answers[name], "cool.closure") == "sound"
    assert case(answers[name], "cool.closure") in ("cells", "leads", "winding at cruise")


@pytest.mark.parametrize("name", NAMES)
def test_every_scenario_answers(answers: dict[str, Answers], name: str) -> None:
    for question in ("wire", "cool", "charge"):
        assert answers[name].findings[question]
        if name != "first-try":
            assert answers[name].verdict(question) in ("sound", "slim")


def test_the_first_try_cooks_its_controller_and_its_contacts(answers: dict[str, Answers]) -> None:
    first = answers["first-try"]
    failing = {one.id for one in first.all() if VERDICTS[one.verdict[0]] == "fails"}
    assert {"cool.controller", "wire.contacts", "charge.watched_cells"} <= failing
    assert verdict(first, "wire.dead_short") == "sound"


def test_two_modules_a_fifth_of_a_volt_apart_are_not_joined(lake: Build) -> None:
    answers = ask_of(
        lake, "wire", pack__series="14", pack__parallel="8", wires__modules_side_by_side="2",
        wires__voltage_apart="0.2 V", cell__charge_limit="2.5 A", pack__start_charge="60 %",
    )  # fmt: skip
    assert verdict(answers, "wire.unequal_strings") == "fails"
    assert "do not join" in case(answers, "wire.unequal_strings")
    flows = float(found(answers, "wire.unequal_strings").demand[0])
    assert flows > 10.0
    assert f"; {flows:.2g} A where 10 A is allowed" in case(answers, "wire.unequal_strings")


def test_that_is_19_ampere_at_75_milliohm_each(lake: Build) -> None:
    network, _ = WRONG["0.2 V a cell apart"]
    answers = ask(drawn(lake, network), questions=["wire"])
    assert found(answers, "wire.unequal_strings").demand[0] == pytest.approx(18.5, abs=0.5)
    assert "; 19 A where" in case(answers, "wire.unequal_strings")


def test_a_jumper_left_in_is_a_dead_short_with_its_name(lake: Build) -> None:
    network, _ = WRONG["series jumper left in with the parallel harness"]
    told = case(ask(drawn(lake, network), questions=["wire"]), "wire.dead_short")
    assert "series jumper" in told
    assert "take it out" in told


CLOSED_BOX = {
    "controller.seat": "closed box", "controller.sink_area": "1000 cm^2", "controller.sink_mass": "0.3 kg",
    "box.wall_material": "printed petg",
}  # fmt: skip


def limit_time(build: Build, settings: dict[str, str], case_: str) -> tuple[float, bool]:
    answers = ask(build.with_texts(settings), questions=["cool"])
    one = found(answers, case_)
    return float(one.capacity[0]), "an hour and more" not in one.cases[one.case[0]]


def test_a_finned_controller_in_a_closed_box_has_minutes(lake: Build) -> None:
    small, met = limit_time(lake, CLOSED_BOX, "cool.full_throttle")
    assert met
    assert 60.0 < small < 1200.0
    large, still = limit_time(
        lake, CLOSED_BOX | {"controller.sink_area": "4000 cm^2", "controller.sink_mass": "1.2 kg"}, "cool.full_throttle"
    )
    assert still, "a bigger sink inside only delays it"
    assert large > 1.3 * small
    wet = CLOSED_BOX | {"controller.seat": "wetted plate", "controller.plate_area": "200 cm^2"}
    _, at_all = limit_time(lake, wet, "cool.full_throttle")
    assert not at_all, "a wetted plate cures it"
    dry, on_the_beach = limit_time(lake, wet, "cool.dry_plate")
    assert on_the_beach
    assert dry < 3000.0


def test_every_seat_of_the_controller_is_told_in_one_table(lake: Build) -> None:
    boxed = lake.with_texts(CLOSED_BOX)
    answers = ask(boxed, questions=["cool"])
    rows = {(each["seat"], each["sink"]): each for each in answers.seats()}
    assert [seat for seat, _ in rows] == [*heat.SEATS, "closed box"]
    mine = rows["closed box", 1.0]
    assert mine["own"]
    assert mine["controller"] == pytest.approx(float(found(answers, "cool.controller").demand[0]), rel=1e-12)
    assert mine["full_throttle"] == pytest.approx(float(found(answers, "cool.full_throttle").capacity[0]), rel=1e-12)
    assert rows["closed box", 2.0]["full_throttle"] > mine["full_throttle"]
    for seat in ("wetted plate", "mast or pod"):
        alone = ask(boxed.with_texts({"controller.seat": seat}), questions=["cool"])
        assert rows[seat, 1.0]["controller"] == pytest.approx(
            float(found(alone, "cool.controller").demand[0]), rel=1e-9
        )
        assert rows[seat, 1.0]["dry_plate"] == pytest.approx(
            float(found(alone, "cool.dry_plate").capacity[0]), rel=1e-9
        )
        assert rows[seat, 1.0]["controller"] < mine["controller"]
    told = report_text.text(answers)
    assert "> closed box " in told
    assert "sink 2 times as large" in told
    assert max(map(len, told.splitlines())) <= report_text.WIDE
    tree = report_json.document(answers)
    assert [each["seat"] for each in tree["seats"]] == [seat for seat, _ in rows]
    assert tree["seats"][0]["dry_plate"] is None
    assert report_json.document(ask(boxed, questions=["wire"]))["seats"] == []


def test_one_reading_does_not_tell_a_cold_pack_from_a_module_left_out(lake: Build) -> None:
    answers = ask_of(
        lake, "wire", pack__series="14", pack__parallel="8", wires__modules_side_by_side="2",
        cell__kind="nmc energy cylindrical", pack__temperature="20 degC",
    )  # fmt: skip
    assert "cannot tell" in case(answers, "wire.readings")
    assert found(answers, "wire.readings").demand[0] == 2.0
    one = ask_of(lake, "wire", wires__modules_side_by_side="1")
    assert not found(one, "wire.readings").applies[0]


def test_what_is_not_stated_is_unknown_and_names_its_field(lake: Build) -> None:
    kept = [line for line in lake.text.splitlines() if not line.startswith(("fuse_", "main_switch", "rotation"))]
    answers = ask(load.read("\n".join(kept), name="lake", file="lake.toml"), questions=["wire"])
    for name, path in (
        ("wire.no_fuse", "wires.fuse_rating"), ("wire.no_main_switch", "wires.main_switch"),
        ("wire.rotation_sense", "wires.rotation"), ("wire.fuse_voltage", "wires.fuse_kind"),
        ("wire.fuse_too_large", "wires.fuse_rating"),
    ):  # fmt: skip
        assert verdict(answers, name) == "unknown", name
        assert found(answers, name).missing == path


def test_small_capacitors_and_slow_pulses_leave_ripple(lake: Build) -> None:
    usual, slow, small = (
        ask_of(lake, "wire", controller__pulse_frequency=pulses, controller__capacitance=farads)
        for pulses, farads in (("16 kHz", "1 mF"), ("8 kHz", "1 mF"), ("8 kHz", "0.1 mF"))
    )
    ripples = [float(found(answers, "wire.ripple").demand[0]) for answers in (usual, slow, small)]
    assert ripples[1] == pytest.approx(2.0 * ripples[0])
    assert ripples[2] == pytest.approx(20.0 * ripples[0])
    assert [verdict(answers, "wire.ripple") for answers in (usual, small)] == ["sound", "fails"]
    assert "its capacitors carry" in case(small, "wire.ripple")
    assert any(each.bad[0] for each in found(small, "wire.ripple").beyond), "leads and capacitors ring with the pulses"


def test_four_contacts_carry_more_than_one(lake: Build) -> None:
    one, four = (ask_of(lake, "wire", wires__contacts=count) for count in ("1", "4"))
    each = [float(found(answers, "wire.contacts").demand[0]) for answers in (one, four)]
    assert each[1] == pytest.approx(each[0] / 4.0, rel=0.02)


@pytest.mark.parametrize(
    ("path", "text", "finding", "expected"),
    [
        ("charger.voltage", "58.8 V", "charge.voltage", "fails"),
        ("charger.voltage", "42 V", "charge.fills", "fails"),
        ("charger.voltage", "42 V", "charge.time", "fails"),
        ("charger.current", "40 A", "charge.current", "fails"),
        ("charger.temperature", "-3 degC", "charge.cold", "fails"),
        ("charger.temperature", "5 degC", "charge.current", "sound"),
        ("charger.temperature", "50 degC", "charge.hot", "fails"),
        ("charger.state", "wet", "charge.state", "fails"),
        ("charger.place", "unwatched", "charge.place", "fails"),
        ("charger.protection", "nothing", "charge.watched_cells", "fails"),
        ("charger.stored_charge", "100 %", "charge.storage", "fails"),
        ("charger.carriage", "aircraft", "charge.carriage", "fails"),
        ("charger.carriage", "parcel", "charge.carriage", "fails"),
        ("charger.source", "small power station", "charge.source", "fails"),
        ("charger.source", "vehicle socket", "charge.time", "slim"),
        ("charger.cell_spread", "30 %", "charge.balance", "fails"),
    ],
)
def test_each_way_to_charge_wrongly_is_said(lake: Build, path: str, text: str, finding: str, expected: str) -> None:
    answers = ask(lake.with_texts({path: text}), questions=["charge"])
    assert verdict(answers, finding) == expected


def test_a_caution_stands_beside_the_charge(lake: Build) -> None:
    told = " ".join(report_text.text(ask(lake, questions=["charge"])).split())
    for word in ("After a wet box", "swells", "The rules of the place go first"):
        assert word in told
    assert "After a wet box" not in report_text.text(ask(lake, questions=["wire"]))


def test_structures_may_differ_within_a_batch(lake: Build) -> None:
    vary = {
        "wires.modules_side_by_side": np.array([1.0, 2.0, 3.0, 2.0]),
        "wires.contacts": np.array([1.0, 2.0, 1.0, 2.0]),
        "pack.parallel": np.array([6.0, 6.0, 6.0, 4.0]),
        "wires.voltage_apart": np.array([0.0, 0.3, 0.0, 0.0]),
        "controller.seat": ("closed box", "wetted plate", "mast or pod", "open air stream"),
        "charger.source": ("mains socket", "vehicle socket", "mains socket", "small power station"),
    }
    many = ask(lake, vary=vary)
    for row in range(4):
        one = ask(lake, vary={path: values[row : row + 1] for path, values in vary.items()})
        for single, batch in zip(one.all(), many.all(), strict=True):
            for what in ("demand", "capacity"):
                np.testing.assert_allclose(
                    getattr(batch, what)[row], getattr(single, what)[0], rtol=1e-10, atol=1e-10, err_msg=single.id
                )
            assert batch.verdict[row] == single.verdict[0], single.id
            assert batch.cases[batch.case[row]] == single.cases[single.case[0]], single.id


def test_a_network_is_not_looked_at_twice(lake: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    from foilwright.questions.state import network

    ask(lake, questions=["wire"])
    monkeypatch.setattr(network, "Inspection", None)
    ask(lake.with_texts({"wing.area": "1700 cm^2"}), questions=["wire"])


def test_the_full_form_is_the_short_one_written_out(lake: Build) -> None:
    short = networks(assemble(lake)[0])[0].network
    full = load.read(lake.text + "\n" + as_joints(short), name="lake", file="lake.toml")
    one, other = (ask(build, questions=["wire"]) for build in (lake, full))
    for mine, theirs in zip(one.findings["wire"], other.findings["wire"], strict=True):
        np.testing.assert_allclose(mine.demand, theirs.demand, rtol=1e-9, err_msg=mine.id)
        assert mine.verdict[0] == theirs.verdict[0], mine.id


def test_the_card_tells_the_order_and_what_to_measure(lake: Build) -> None:
    told = wiring.card(lake)
    assert max(map(len, told.splitlines())) <= wiring.LINE
    steps = [line for line in told.splitlines() if line[:1].isdigit()]
    assert [line.partition(".")[0] for line in steps] == [f"{k + 1}" for k in range(len(steps))]
    assert "pre-charge" in steps[-2]
    assert "wait until it reads below 1 V" in told.replace("\n   ", " ")
    first = wiring.card(load.scenario("first-try")).replace("\n   ", " ")
    assert "SPARK" in first
    apart = load.scenario("first-try").with_texts({"wires.voltage_apart": "0.2 V"})
    assert "do not join" in wiring.card(apart).replace("\n   ", " ")


@pytest.mark.parametrize("name", NAMES)
def test_the_bench_card_and_the_lid_card_tell_the_same_steps(name: str) -> None:
    build = load.scenario(name)
    steps = wiring.steps(wiring.drawn_network(build))
    heading, *rows = plug_in(facts(build))
    assert heading[2] == "Measure first"
    assert [row[1] for row in rows] == [step.name for step in steps]
    assert [f"{step.volts:.1f} V" in row[2] for step, row in zip(steps, rows, strict=True)] == [
        bool(np.isfinite(step.volts)) for step in steps
    ]
    assert steps[-1].name == "main switch"
    assert (steps[-1].makes == "spark") == (name == "first-try")
    lid = wiring.card(build).replace("\n   ", " ")
    assert all(wiring.told(step) in lid for step in steps)


def test_strings_too_far_apart_are_stopped_on_the_bench_card() -> None:
    apart = load.scenario("first-try").with_texts({"wires.voltage_apart": "0.2 V"})
    stopped = [row for row in plug_in(facts(apart)) if "do not join" in row[3]]
    assert [row[1] for row in stopped] == ["plus contact 2"]


@pytest.mark.parametrize("name", ["no main switch", "one string not plugged in", "receiver on two cells"])
def test_a_wrong_network_can_be_drawn(lake: Build, name: str) -> None:
    answers = ask(drawn(lake, WRONG[name][0]), questions=["wire"])
    told = "\n".join(text.get_text() for text in wiring.diagram(answers).findobj(Text))
    assert "Not as in the short form" in told
