"""Ways out: each one that is reported holds when the build is asked afresh with it, and none trades worse for bad."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from foilwright import cli
from foilwright.build import load, owned
from foilwright.build.build import Build
from foilwright.core.errors import BuildFileError
from foilwright.questions import report, report_ways
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import MEANINGS, VERDICTS
from foilwright.questions.way import Change, Way, WaysOut
from foilwright.study import size, ways
from foilwright.study.ways.fields import admissible

FIRST = load.scenario("first-try")
WITHIN = 1e-9
CHANGED = 8
"""Fields in which a random build differs from its scenario."""
OFTEN, ALL = 20, 200
"""Random failing builds: in every run, and in the long one."""
WIDE = 80


def with_(build: Build, changes: tuple[Change, ...]) -> Build:
    """Return a build with changes as they are written: by the door of --set."""
    return build.with_texts({change.path: change.written for change in changes})


def failing(answers: Answers) -> set[str]:
    return {f.id for f in answers.all() if f.applies[0] and VERDICTS[f.verdict[0]] == "fails"}


def holds(build: Build, way: Way, before: Answers) -> None:
    """Check one way out against a fresh answer: its finding is sound, and its effects are those told."""
    after = ask(with_(build, way.changes))
    found = {finding.id: finding for finding in after.all()}
    target = found[way.finding]
    assert VERDICTS[target.verdict[0]] == "sound", way.text
    assert target.applies[0], way.text
    if way.margin_after is not None:
        assert float(target.margin[0]) == pytest.approx(way.margin_after, rel=WITHIN, abs=WITHIN)
    for old in before.all():
        new = found[old.id]
        named = tuple(VERDICTS[f.verdict[0]] if f.applies[0] else "not asked" for f in (old, new))
        if old.id == way.finding:
            continue
        assert way.verdicts.get(old.id, named) == named, way.text
        assert (old.id in way.verdicts) == (named[0] != named[1]), way.text
        if old.id in way.effects and way.effects[old.id][1] is not None:
            assert float(new.margin[0]) == pytest.approx(way.effects[old.id][1], rel=WITHIN, abs=WITHIN), old.id
        elif old.id not in way.effects and new.applies[0] and not new.reason[0]:
            np.testing.assert_allclose(new.margin[0], old.margin[0], rtol=1e-6, atol=1e-6, err_msg=old.id)


def worst(way: Way, before: Answers) -> tuple[int, int]:
    """Return verdict and meaning of the gravest finding that a way out makes worse."""
    meanings = {finding.id: MEANINGS.index(finding.meaning) for finding in before.all()}
    worse = [
        (VERDICTS.index(now), meanings[name])
        for name, (was, now) in way.verdicts.items()
        if "not asked" not in (was, now) and VERDICTS.index(now) < VERDICTS.index(was)
    ]
    return min(worse, default=(len(VERDICTS), 0))


def sound_together(build: Build, found: WaysOut) -> None:
    assert found.together is not None
    after = ask(with_(build, found.together.changes))
    assert failing(after) <= set(found.together.failing)


def random_build(seed: int) -> Build:
    """Return a scenario in which some fields were changed until something fails."""
    choose = random.Random(seed)  # noqa: S311 - no secret
    name = "first-try" if seed % 10 == 9 else ("lake", "sea", "trainer")[seed % 3]
    build = load.scenario(name)
    fields = [field for field in admissible(build, as_built=True) if field.base is not None]
    while True:
        changes = {}
        for field in choose.sample(fields, CHANGED):
            if field.meta.kind == "choice":
                changes[field.path] = choose.choice(field.others())
            else:
                away = choose.uniform(0.6, 1.6), choose.uniform(-0.2, 0.2)
                value = field.start * away[0] if field.steep else field.start + away[1] * (field.high - field.low)
                changes[field.path] = field.written(field.rounded(value))
        try:
            made = build.with_texts(changes)
        except BuildFileError:
            continue
        if failing(ask(made)):
            return made


def check_random(seed: int, every: int) -> None:
    build = random_build(seed)
    before = ask(build)
    found = ways.find(before)
    assert found.ways or found.without
    for way in found.ways[seed % every :: every]:
        holds(build, way, before)
    sound_together(build, found)


@pytest.fixture(scope="module")
def before() -> Answers:
    return ask(FIRST)


@pytest.fixture(scope="module")
def found(before: Answers) -> WaysOut:
    return ways.find(before)


# The first try


def test_each_bad_finding_has_ways_out_or_is_said_to_have_none(before: Answers, found: WaysOut) -> None:
    bad = {f.id for f in before.all() if f.applies[0] and VERDICTS[f.verdict[0]] in ("fails", "slim")}
    assert {way.finding for way in found.ways} | set(found.without) == bad
    assert {way.finding for way in found.ways}.isdisjoint(found.without)


def test_applied_together_they_leave_nothing_failing(found: WaysOut) -> None:
    assert found.together is not None
    assert found.together.failing == ()
    assert failing(ask(with_(FIRST, found.together.changes))) == set()


def test_no_admissible_field_is_left_out(found: WaysOut) -> None:
    assert set(found.tried) == {field.path for field in admissible(FIRST, as_built=True)}


def test_each_way_out_holds(before: Answers, found: WaysOut) -> None:
    for way in found.ways[::4]:
        holds(FIRST, way, before)


def test_a_change_that_trades_one_failure_for_a_graver_one_is_not_offered(before: Answers, found: WaysOut) -> None:
    gravity = {f.id: (int(f.verdict[0]), MEANINGS.index(f.meaning)) for f in before.all()}
    for way in found.ways:
        assert worst(way, before) > gravity[way.finding], way.text


def test_a_pair_is_offered_only_where_no_single_change_is_enough(found: WaysOut) -> None:
    counts: dict[str, set[int]] = {}
    for way in found.ways:
        counts.setdefault(way.finding, set()).add(len(way.changes))
    assert all(each in ({1}, {2}) for each in counts.values())


def test_the_beach_is_told_from_the_workshop(found: WaysOut) -> None:
    for way in found.ways:
        beach = [FIRST.meta(change.path).beach for change in way.changes]
        assert way.place == ("beach" if all(beach) else "workshop")
        assert [change.place == "beach" for change in way.changes] == beach


def test_the_same_build_gives_the_same_ways_out() -> None:
    build = load.scenario("lake").with_texts({"controller.battery_current_limit": "15 A"})
    one, two = (ways.find(ask(build)) for _ in range(2))
    assert one == two


# What must be said


def thin(changes: dict[str, str]) -> tuple[Answers, WaysOut]:
    build = load.scenario("lake").with_texts(changes)
    answers = ask(build)
    return answers, ways.find(answers)


def test_area_or_thrust_lets_a_small_wing_rise() -> None:
    """A wing of 0.075 m^2 under 122 kg on a craft that tops out at 20 km/h."""
    changes = {"wing.area": "750 cm^2", "rider.mass": "84 kg", "controller.battery_current_limit": "21.5 A"}
    answers, found = thin(changes)
    run = answers.curves["rise"]
    assert answers.numbers["total_mass"][0] == pytest.approx(122.0, abs=3.0)
    top = run["speed"][run["thrust"] >= run["resistance"]].max()
    assert top == pytest.approx(20.0 / 3.6, abs=0.3)
    assert "rise.take_off" in failing(answers)
    clears = [way for way in found.ways if way.finding == "rise.take_off"]
    force = {"wing.area", "controller.battery_current_limit", "propeller.diameter", "propeller.pitch"}
    meant = [way for way in clears if force & {change.path for change in way.changes}]
    assert meant
    assert all("fastest_flight" in way.numbers for way in meant)
    assert any("ride_range" in way.numbers and "top speed" in way.text for way in meant)


def test_more_current_is_no_way_out_of_a_propeller_made_for_pulling() -> None:
    """350 N of static pull from a pitch of 0.10 m at 2,700 rpm: the pull is gone where the speed is needed."""
    changes = {"propeller.pitch": "10 cm", "motor.speed_constant": "62 rpm/V", "wing.area": "1000 cm^2"}
    answers, found = thin(changes)
    pull = next(f for f in answers.all() if f.id == "push.static_pull")
    assert 2.0 * float(pull.demand[0]) == pytest.approx(350.0, rel=0.05)
    current = {"controller.battery_current_limit", "controller.phase_current_limit"}
    bad = failing(answers)
    assert {"rise.thrust", "fly.thrust"} <= bad
    for way in found.ways:
        if way.finding in ("rise.take_off", "rise.thrust", "fly.thrust", "push.static_pull"):
            assert not {change.path for change in way.changes} <= current, way.text
    sound_together(answers.build, found)


# Any build


@pytest.mark.parametrize("seed", range(OFTEN))
def test_the_ways_out_of_a_random_build_hold(seed: int) -> None:
    check_random(seed, every=5)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(OFTEN, ALL))
def test_the_ways_out_of_many_random_builds_hold(seed: int) -> None:
    check_random(seed, every=1)


@pytest.mark.parametrize("name", ["lake", "sea", "trainer"])
def test_the_ways_out_of_a_good_scenario_hold(name: str) -> None:
    build = load.scenario(name)
    answers = ask(build)
    found = ways.find(answers)
    slim = {f.id for f in answers.all() if f.applies[0] and VERDICTS[f.verdict[0]] in ("fails", "slim")}
    assert {way.finding for way in found.ways} | set(found.without) == slim
    for way in found.ways:
        holds(build, way, answers)


def test_what_was_measured_stands_where_the_search_begins(tmp_path: Path) -> None:
    text = load.scenario("lake").text + '\n[measured]\npropeller_pitch = "9 cm"\n'
    (tmp_path / "built.toml").write_text(text, encoding="utf-8")
    build = load.load(tmp_path / "built.toml")
    answers = ask(build)
    found = ways.find(answers)
    assert found.ways
    for way in found.ways:
        holds(build, way, answers)
        for change in way.changes:
            assert change.path != "propeller.pitch" or change.before == pytest.approx(0.09)
    assert len(ways.find(ask(build, as_built=False), as_built=False).ways) < len(found.ways)


def test_only_what_was_asked_is_cleared() -> None:
    build = load.scenario("lake").with_texts({"controller.battery_current_limit": "15 A"})
    found = ways.find(ask(build, questions=["endure"]))
    assert {way.finding.partition(".")[0] for way in found.ways} | {"endure"} == {"endure"}


def test_what_is_held_stays_and_what_is_owned_comes_later() -> None:
    build = load.scenario("lake").with_texts({"controller.battery_current_limit": "15 A"})
    answers = ask(build)
    held = ways.find(answers, held=("controller.battery_current_limit",))
    assert "controller.battery_current_limit" not in {change.path for way in held.ways for change in way.changes}
    found = ways.find(answers, inventory=("controller.battery_current_limit",))
    for name in {way.finding for way in found.ways}:
        kept = [way.owned for way in found.of(name) if way.place == "workshop"]
        assert kept == sorted(kept, reverse=True)
    assert all(way.owned is None for way in held.ways)


# As text and as JSON


def test_the_text_fits_the_screen_and_ends_with_the_set(before: Answers, found: WaysOut) -> None:
    lines = report_ways.text(found, before).splitlines()
    assert max(map(len, lines)) <= WIDE
    assert lines[0] == "WAYS OUT"
    told = " ".join(" ".join(lines).split())
    assert "APPLIED TOGETHER" in told
    assert "Then nothing fails" in told
    for finding, verdict in report.ranked(before):
        if verdict in ("fails", "slim"):
            assert finding.name in told


def test_the_command_that_is_shown_leaves_nothing_failing(before: Answers, found: WaysOut) -> None:
    import shlex

    text = report_ways.text(found, before).partition("To see it:")[2].replace("\\\n", " ")
    words = shlex.split(text)
    assert words[:2] == ["foilwright", "ask"]
    settings = dict(word.split("=", 1) for word in words[4::2])
    assert set(words[3::2]) == {"--set"}
    assert failing(ask(FIRST.with_texts(settings))) == set()


def test_the_json_is_as_documented(before: Answers, found: WaysOut) -> None:
    tree: dict[str, Any] = json.loads(json.dumps(report_ways.document(found), allow_nan=False))
    assert set(tree) == {"ways_out", "together"}
    ids = {finding.id for finding in before.all()}
    for way in tree["ways_out"]:
        assert {"finding", "changes", "place", "cost", "owned", "margin_after", "effects", "text"} <= set(way)
        assert way["finding"] in ids
        assert set(way["effects"]) <= ids
        assert all(len(pair) == 2 for pair in way["effects"].values())
        for change in way["changes"]:
            assert set(change) == {"path", "from", "to", "unit"}
            assert change["from"] != change["to"]
            assert "None" not in way["text"]
    assert tree["together"]["failing"] == []


def test_the_command_line_has_them_unless_told_not_to(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(["new", "mine", "--set", "controller.battery_current_limit=15 A"]) == 0
    capsys.readouterr()
    assert cli.main(["ask", "mine.toml", "rise"]) == 1
    assert "WAYS OUT" in capsys.readouterr().out
    cli.main(["ask", "mine.toml", "rise", "--json"])
    assert json.loads(capsys.readouterr().out)["ways_out"]
    cli.main(["ask", "mine.toml", "rise", "--no-ways-out"])
    assert "WAYS OUT" not in capsys.readouterr().out
    cli.main(["ask", "mine.toml", "rise", "--no-ways-out", "--json"])
    assert json.loads(capsys.readouterr().out)["ways_out"] == []


# What is owned

SHED = """
[rider]
mass = "75 kg"
[water]
kind = "fresh"
temperature = "16 degC"
[motor]
speed_constant = "140 rpm/V"
resistance = "30 mohm"
mass = "1.4 kg"
current_limit = "70 A"
[wing]
mean_chord = "14 cm"
span = "82 cm"
"""
WEAK = """
[rider]
mass = "95 kg"
[pack]
series = 4
parallel = 1
"""


@pytest.fixture
def new(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    monkeypatch.chdir(tmp_path)

    def run(text: str, *more: str) -> tuple[int, str, str]:
        (tmp_path / "shed.toml").write_text(text, encoding="utf-8")
        status = cli.main(["new", "mine", "--owned", "shed.toml", *more])
        told = capsys.readouterr()
        return status, told.out, told.err

    return run


def test_the_rest_is_sized_to_what_is_owned(new: Any, tmp_path: Path) -> None:
    status, out, _ = new(SHED)
    assert status == 0, out
    build = load.load(tmp_path / "mine.toml")
    shed = owned.load(tmp_path / "shed.toml")
    for path in shed.paths():
        assert build.values[path] == shed.value(path), path
    assert "wing.area" not in build.values
    assert failing(ask(build)) == set()
    assert not report.something_fails(ask(build))
    things = [path for path in shed.paths() if path.startswith(("motor.", "wing."))]
    assert build.text.count("# owned, from shed.toml") == len(things)
    assert "# given, from shed.toml" in build.text


def test_the_owned_thing_in_the_way_is_named(new: Any, tmp_path: Path) -> None:
    status, out, _ = new(WEAK)
    assert status == 1
    assert "In the way: [pack]" in out
    assert "fails:" in out
    assert not (tmp_path / "mine.toml").exists()


def test_the_scenario_nearest_in_rider_and_water_is_taken(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text('[water]\nkind = "sea"\n', encoding="utf-8")
    assert size.nearest(owned.load(tmp_path / "a.toml")) == "sea"
    for name in ("lake", "trainer"):
        mass = load.scenario(name).values["rider.mass"]
        warm = float(load.scenario(name).values["water.temperature"]) - 273.15
        text = f'[rider]\nmass = "{mass} kg"\n[water]\nkind = "fresh"\ntemperature = "{warm} degC"\n'
        (tmp_path / "b.toml").write_text(text, encoding="utf-8")
        assert size.nearest(owned.load(tmp_path / "b.toml")) == name


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[engine]\npower = 3\n", "shed.toml, line 1, engine: got an unknown table"),
        ('[measured]\ncraft_mass = "30 kg"\n', "something that is not owned"),
        ("[[part]]\nname = 'box'\n", "something that is not owned"),
        ('[motor]\nspeed_constant = "140 rpm/V"\n', "motor.resistance"),
        ('[motor]\nspeed_konstant = "140 rpm/V"\n', "did you mean speed_constant"),
        ('[wing]\narea = "1400 cm^2"\n', "of its sizes"),
        ('[rider]\nmass = "82"\n', "line 2, rider.mass"),
        ("[rider\n", "shed.toml, line 1"),
    ],
)
def test_a_wrong_inventory_is_told_at_its_line(new: Any, text: str, told: str) -> None:
    status, _, err = new(text)
    assert status == 2
    assert told in err


def test_nothing_of_the_scenarios_own_motor_stays(tmp_path: Path) -> None:
    (tmp_path / "shed.toml").write_text(SHED, encoding="utf-8")
    made = owned.joined(load.scenario("lake"), owned.load(tmp_path / "shed.toml"))
    mine = {path for path in made.values if path.startswith("motor.")}
    assert mine == {"motor.speed_constant", "motor.resistance", "motor.mass", "motor.current_limit"}
    assert "wing.area" not in made.values
