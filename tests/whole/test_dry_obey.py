"""The box and the link: what must be said about lids, antennas and the fail-safe, and how it answers to change."""

from __future__ import annotations

import numpy as np
import pytest

from foilwright.assemble import assemble
from foilwright.build import load
from foilwright.build.build import Build
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import VERDICTS, Finding
from foilwright.questions.report import said, why
from foilwright.questions.state import State
from foilwright.questions.state.level import level

LAKE, SEA, TRAINER, FIRST = (load.scenario(name) for name in ("lake", "sea", "trainer", "first-try"))
ASKED = ("dry", "obey")
ACRYLIC = {
    "box.lid_length": "300 mm", "box.lid_width": "200 mm", "box.lid_thickness": "6 mm", "box.lid_material": "acrylic",
    "box.closed_temperature": "45 degC", "water.temperature": "12 degC", "box.vent": "none",
}  # fmt: skip
MUSTS = {
    "radio.loss_action": ("last value", "obey.last_value"),
    "radio.rearming": ("at once", "obey.rearm"),
    "radio.start": ("any throttle", "obey.start"),
    "radio.trigger": ("stays", "obey.trigger"),
    "radio.pairing": ("any of its kind", "obey.pairing"),
    "radio.kill_cord": ("nothing", "obey.kill_cord"),
}


def asked(build: Build, **vary: object) -> Answers:
    return ask(build, questions=ASKED, vary={path.replace("__", "."): values for path, values in vary.items()})  # type: ignore[arg-type]


def one(answers: Answers, name: str) -> Finding:
    return next(finding for finding in answers.all() if finding.id == name)


def word(answers: Answers, name: str, row: int = 0) -> str:
    return VERDICTS[one(answers, name).verdict[row]]


def waterline(build: Build) -> float:
    """Return the height of the water over the bottom where the antenna stands [m]."""
    state = State(assemble(build)[0])
    return float(level(state.craft, state.floating, state.craft.radio.antenna_x)[0])


def test_a_lid_closed_warm_and_cooled_bows_as_it_must_be_said() -> None:
    answers = asked(LAKE.with_texts(ACRYLIC))
    suction, bow = one(answers, "dry.suction"), one(answers, "dry.lid_bow")
    assert suction.demand[0] == pytest.approx(10.5e3, rel=0.005)
    assert "10.5" in said(suction, 0)
    assert "kPa" in said(suction, 0)
    assert 2.0e-3 < bow.demand[0] < 2.4e-3
    assert bow.cases[bow.case[0]].startswith("inward")
    assert word(answers, "dry.lid_bow") == "fails"
    assert "close the box cool and shade it, give it a vent, or thicken the lid" in bow.required_why


@pytest.mark.parametrize(
    "cure",
    [
        {"box.closed_temperature": "14 degC", "box.hottest": "20 degC"},
        {"box.vent": "middling"},
        {"box.lid_thickness": "12 mm"},
    ],
)
def test_each_of_the_three_cures_helps(cure: dict[str, str]) -> None:
    assert word(asked(LAKE.with_texts({**ACRYLIC, "box.hottest": "45 degC", **cure})), "dry.lid_bow") != "fails"


def test_a_vent_below_the_water_is_none() -> None:
    low = asked(LAKE.with_texts({**ACRYLIC, "box.vent": "middling", "box.vent_height": "2 cm"}))
    assert one(low, "dry.suction").demand[0] == pytest.approx(
        one(asked(LAKE.with_texts(ACRYLIC)), "dry.suction").demand[0]
    )


def test_an_antenna_in_the_box_under_sea_water_fails_as_it_must_be_said() -> None:
    sunk = {
        "radio.antenna_place": "in the box below deck", "radio.antenna_height": f"{waterline(SEA) - 0.03:.6f} m",
        "radio.band": "2400 MHz",
    }  # fmt: skip
    answers = asked(SEA.with_texts(sunk))
    way = one(answers, "obey.sunk")
    assert way.demand[0] == pytest.approx(33.0, abs=1.0)
    assert way.unit == "dB"
    assert said(way, 0).startswith("asks 33")
    assert word(answers, "obey.sunk") == word(answers, "obey.link") == "fails"


def test_an_antenna_above_deck_holds_in_calm_water_yet_a_fall_takes_the_link() -> None:
    answers = asked(SEA)
    stop = one(answers, "obey.fail_safe")
    assert word(answers, "obey.link") == "sound"
    assert not one(answers, "obey.sunk").applies[0]
    assert stop.applies[0]
    assert stop.cases[stop.case[0]].startswith("a fall takes the link away")
    assert word(answers, "obey.fail_safe") == "sound"
    assert stop.capacity[0] == 0.5


@pytest.mark.parametrize("path", MUSTS)
def test_what_must_be_fails_where_it_is_not_and_is_never_assumed(path: str) -> None:
    wrong, name = MUSTS[path]
    answers = asked(LAKE.with_texts({path: wrong}))
    assert word(answers, name) == "fails"
    assert one(answers, name).meaning == "hurts"
    assert "test: " in one(answers, name).required_why
    line = next(each for each in LAKE.text.splitlines() if each.startswith(path.partition(".")[2] + " ="))
    bare = load.read(LAKE.text.replace(line + "\n", "", 1), name="lake", file="lake.toml")
    assert why(one(asked(bare), name), 0) == {"code": "missing", "about": path}


def test_a_throttle_that_is_held_never_stops() -> None:
    answers = asked(LAKE.with_texts({"radio.loss_action": "last value"}))
    for name in ("obey.fail_safe", "obey.run_on"):
        assert word(answers, name) == "fails"
        assert why(one(answers, name), 0) is not None


def test_a_slow_fail_safe_fails() -> None:
    answers = asked(LAKE, radio__hold_time=np.array([0.1, 0.25, 0.4]))
    assert [word(answers, "obey.fail_safe", row) for row in range(3)] == ["sound", "sound", "fails"]


def test_the_first_try_fails_where_its_text_says_so() -> None:
    answers = asked(FIRST)
    for name in ("obey.link", "obey.sunk", "dry.lid_bow", "dry.lid_stress", "dry.heel", "dry.relief", "obey.kill_cord"):
        assert word(answers, name) == "fails", name
    assert word(answers, "dry.suction") in ("fails", "slim")


@pytest.mark.parametrize("name", ["lake", "sea", "trainer"])
def test_the_good_ones_are_sound_or_slim(name: str) -> None:
    answers = asked(load.scenario(name))
    assert {word(answers, finding.id) for finding in answers.all()} <= {"sound", "slim"}


def margins(path: str, values: object, build: Build = SEA, finding: str = "obey.link") -> np.ndarray:
    return one(asked(build, **{path: values}), finding).margin


def test_the_link_never_gains_by_distance_film_salt_or_depth() -> None:
    assert (np.diff(margins("radio.distance", np.linspace(1.0, 150.0, 25))) <= 1e-9).all()
    assert (np.diff(margins("radio.film", np.linspace(0.0, 0.004, 25))) <= 1e-9).all()
    assert (np.diff(margins("radio.antenna_height", np.linspace(0.0, 0.5, 25))) >= -1e-9).all()
    wet = SEA.with_texts({"radio.antenna_height": "6 cm"})
    assert (np.diff(margins("water.salinity", np.linspace(0.1, 40.0, 25), wet)) <= 1e-9).all()


def test_less_is_lost_under_water_in_a_lower_band() -> None:
    wet = LAKE.with_texts({"radio.antenna_height": "6 cm"})
    lost = one(asked(wet, radio__band=("433 MHz", "868 MHz", "915 MHz", "2400 MHz")), "obey.sunk").demand
    assert (np.diff(lost) > 0.0).all()


def test_a_thicker_lid_never_bows_more_and_a_heel_is_felt_only_where_one_can_stand() -> None:
    answers = asked(
        LAKE.with_texts({**ACRYLIC, "box.lid_place": "stood on"}), box__lid_thickness=np.linspace(0.003, 0.02, 12)
    )
    for name in ("dry.lid_bow", "dry.heel", "dry.lid_stress"):
        assert (np.diff(one(answers, name).demand) < 0.0).all(), name
    assert not one(asked(LAKE.with_texts({"box.lid_place": "out of reach"})), "dry.heel").applies[0]


def test_a_wet_test_takes_the_place_of_the_guess() -> None:
    guess, tested = asked(LAKE), asked(LAKE.with_texts({"measured.drop_outs": "10 %"}))
    assert one(guess, "obey.link").required[0] == pytest.approx(25.0)
    assert one(tested, "obey.link").required[0] == pytest.approx(15.0)
    upright = one(tested, "obey.link").margin[0]
    assert upright <= 9.8, "a tenth lost is 9.8 dB, and the board heels"
    as_designed = ask(LAKE.with_texts({"measured.drop_outs": "10 %"}), questions=ASKED, as_built=False)
    assert one(as_designed, "obey.link").margin[0] == pytest.approx(one(guess, "obey.link").margin[0])


def test_a_leak_that_a_hold_told_is_water_at_the_lake() -> None:
    left = np.array([19.9e3, 19.0e3, 10e3])
    answers = asked(TRAINER, measured__box_vacuum_left=left, box__air_volume=np.full(3, 7e-3))
    leak = one(answers, "dry.leak")
    assert (np.diff(leak.demand) > 0.0).all()
    assert [word(answers, "dry.leak", row) for row in (0, 2)] == ["sound", "fails"]
    assert "numeral 7 of IEC 60529" in leak.cases[leak.case[0]]
    warmed = asked(TRAINER.with_texts({"measured.box_vacuum_warming": "0.5 K"}))
    assert one(warmed, "dry.leak").demand[0] < one(asked(TRAINER), "dry.leak").demand[0]
    assert not one(asked(LAKE), "dry.leak").applies[0], "no hold was made"


def test_a_box_without_a_relief_cannot_hold_a_venting_cell() -> None:
    answers = asked(LAKE, box__relief_area=np.array([0.0, 100e-6, 600e-6]))
    relief = one(answers, "dry.relief")
    assert (np.diff(relief.demand) <= 0.0).all()
    assert relief.demand[0] > 50e3
    assert relief.meaning == "burns"
    assert [word(answers, "dry.relief", row) for row in (0, 2)] == ["fails", "sound"]


def test_ram_water_reaches_the_gland_through_an_open_duct_only() -> None:
    answers = asked(LAKE, box__duct=("plugged", "flush", "faces forward"))
    pressed = one(answers, "dry.gland").demand
    assert pressed[0] == pressed[1] < pressed[2]
    assert pressed[2] == pytest.approx(0.5 * 999.2 * (28.0 / 3.6) ** 2 - 999.2 * 9.80665 * 0.08, rel=1e-3)


def test_open_strands_wick_and_blocked_ones_do_not() -> None:
    wicked = one(asked(LAKE, box__wire_block=("potted", "solid studs", "none")), "dry.wick").demand
    assert wicked[0] == wicked[1] == 0.0
    assert wicked[2] > 0.0


def test_what_stands_lowest_is_named() -> None:
    answers = asked(LAKE, radio__receiver_height=np.array([0.02, 0.10]))
    low = one(answers, "dry.lowest")
    assert [low.cases[case] for case in low.case] == ["the receiver", "the pack"]
    assert word(answers, "dry.lowest") == "fails"


def test_a_cord_in_its_groove_is_judged_by_squeeze_and_fill() -> None:
    cord = {"box.seal": "cord", "box.seal_thickness": "4 mm", "box.groove_width": "5.4 mm"}
    answers = asked(LAKE.with_texts(cord), box__groove_depth=np.array([0.0026, 0.0030, 0.0039]))
    assert [word(answers, "dry.squeeze", row) for row in (1, 2)] == ["sound", "fails"]
    assert word(answers, "dry.seal_room", 0) == "fails"
    assert one(answers, "dry.seal_room").cases[1] == "cord"


def test_a_dip_of_the_supply_is_carried_or_not() -> None:
    answers = asked(LAKE, radio__receiver_capacitance=np.array([0.0, 100e-6, 2200e-6]))
    assert [word(answers, "obey.supply", row) for row in range(3)] == ["fails", "fails", "sound"]
    assert not one(asked(LAKE.with_texts({"radio.receiver_supply": "own cell"})), "obey.supply").applies[0]


def test_cold_and_age_shorten_the_transmitters_time() -> None:
    time = one(asked(LAKE, radio__transmitter_age=np.array([0.4, 1.0])), "obey.transmitter_time").capacity
    assert time[1] == pytest.approx(2.5 * time[0])
    cold = one(asked(LAKE.with_texts({"water.temperature": "2 degC"})), "obey.transmitter_time").capacity
    assert cold[0] < one(asked(LAKE), "obey.transmitter_time").capacity[0]


def test_an_open_field_is_named_and_the_parts_own_limits_are_not_assumed() -> None:
    for path, name in {
        "box.gland_limit": "dry.gland", "box.relief_area": "dry.relief", "box.seal": "dry.squeeze",
        "box.lid_material": "dry.suction", "pod.seal_limit": "dry.pod", "radio.transmitter_rating": "dry.transmitter",
        "radio.antenna_place": "obey.link", "radio.transmitter_capacity": "obey.transmitter_time",
    }.items():  # fmt: skip
        key = path.partition(".")[2]
        text = "\n".join(line for line in LAKE.text.splitlines() if not line.startswith(f"{key} ="))
        answers = asked(load.read(text + "\n", name="lake", file="lake.toml"))
        assert word(answers, name) == "unknown", path
        assert why(one(answers, name), 0) == {"code": "missing", "about": path}


def test_the_map_of_the_link_falls_with_distance_and_rises_with_height() -> None:
    curve = ask(LAKE, questions=["obey"]).curves["obey"]
    far, high = (np.unique(curve[name]).size for name in ("distance", "antenna_height"))
    margin = curve["margin"].reshape(far, high)
    assert (np.diff(margin, axis=0) <= 1e-9).all()
    assert (np.diff(margin, axis=1) >= -1e-9).all()
