"""The commands: what they print, where they write, and the exit status."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

from foilwright import cli, installed
from foilwright.build import load
from foilwright.core.data import folder
from foilwright.core.errors import MissingExtraError
from foilwright.questions import report, report_text
from foilwright.questions.ask import QUESTIONS, ask
from foilwright.questions.state.reasons import REASONS
from foilwright.study import evidence

LAKE = folder() / "scenarios" / "lake.toml"
COMMANDS = ("new", "ask", "compare", "explore", "parts", "evidence", "installed", "ready")
NAMES = [question.name for question in QUESTIONS]
NO_THRUST = ("--set", "controller.battery_current_limit=15 A")
"""What keeps the lake cruiser on the water."""


class Told:
    """What a command said and how it ended."""

    def __init__(self, status: int, out: str, err: str) -> None:
        self.status, self.out, self.err = status, out, err

    @property
    def tree(self) -> dict[str, Any]:
        tree: dict[str, Any] = json.loads(self.out, parse_constant=pytest.fail)
        return tree


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.chdir(tmp_path)

    def called(*arguments: str) -> Told:
        status = cli.main(list(arguments))
        caught = capsys.readouterr()
        return Told(status, caught.out, caught.err)

    return called


def process(*arguments: str, **extra: Any) -> subprocess.CompletedProcess[str]:
    code = "import sys; from foilwright.cli import main; sys.exit(main())"
    return subprocess.run([sys.executable, "-c", code, *arguments], text=True, check=False, **extra)


# new


def test_new_writes_a_build_that_asks_the_same(run: Any, tmp_path: Path) -> None:
    told = run("new", "mine")
    assert (told.status, told.err) == (0, "")
    assert "foilwright ask mine.toml" in told.out
    assert load.load(tmp_path / "mine.toml").values == load.load(LAKE).values


@pytest.mark.parametrize("scenario", load.scenarios())
def test_new_from_each_scenario(run: Any, tmp_path: Path, scenario: str) -> None:
    assert run("new", "a", "--from", scenario).status == 0
    assert load.load(tmp_path / "a.toml").values == load.scenario(scenario).values


def test_new_with_several_fields_set(run: Any, tmp_path: Path) -> None:
    told = run("new", "mine", "--set", 'wing.area="1600 cm^2"', "--set", "rider.mass=70 kg", "--set", "pack.parallel=5")
    assert told.status == 0
    values = load.load(tmp_path / "mine.toml").values
    assert (values["wing.area"], values["rider.mass"], values["pack.parallel"]) == (pytest.approx(0.16), 70.0, 5)
    assert tomllib.loads((tmp_path / "mine.toml").read_text("utf-8"))["wing"]["area"] == "1600 cm^2"


def test_new_refuses_to_overwrite(run: Any, tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text("weeks of work", encoding="utf-8")
    told = run("new", "mine")
    assert (told.status, told.out) == (3, "")
    assert "exists already" in told.err
    assert (tmp_path / "mine.toml").read_text(encoding="utf-8") == "weeks of work"


@pytest.mark.parametrize("name", ["", ".toml", "../mine", "a/b", "a\\b", "a\nb", "a\0b", "x" * 300, ". ."])
def test_new_takes_a_plain_name_only(run: Any, tmp_path: Path, name: str) -> None:
    told = run("new", name)
    assert told.status == 2
    assert "a plain name" in told.err
    assert list(tmp_path.iterdir()) == []


def test_new_takes_the_name_of_the_file_too(run: Any, tmp_path: Path) -> None:
    assert run("new", "my board.toml").status == 0
    assert [path.name for path in tmp_path.iterdir()] == ["my board.toml"]


def test_new_tells_several_errors_at_once(run: Any, tmp_path: Path) -> None:
    told = run("new", "a/b", "--from", "bog", "--set", "wing.area")
    assert told.status == 2
    assert [line.split(":")[0] for line in told.err.splitlines()] == [
        "command line, --set", "command line, --from", "command line, NAME",
    ]  # fmt: skip
    told = run("new", "mine", "--set", "wing.aera=1 m^2", "--set", "wing.span=3 kg")
    assert told.status == 2
    assert "did you mean wing.area?" in told.err
    assert "3 kg" in told.err
    assert list(tmp_path.iterdir()) == []


# ask


def test_ask_prints_every_question_within_eighty_columns(run: Any) -> None:
    told = run("ask", str(LAKE))
    assert told.err == ""
    assert max(map(len, told.out.splitlines())) <= 80
    for name in NAMES:
        assert re.search(rf"^{name.upper()}  \w+$", told.out, re.MULTILINE)
    assert "\x1b" not in told.out
    for name in NAMES:
        alone = " ".join(run("ask", str(LAKE), name, "--no-ways-out").out.split())
        for finding in ask(load.load(LAKE), questions=[name]).worst_first():
            assert " ".join(finding.name.split()) in alone, "names stand there whole"


@pytest.mark.parametrize("extra", [(), NO_THRUST])
def test_where_all_is_asked_what_is_sound_is_counted_beyond_the_least(run: Any, extra: tuple[str, ...]) -> None:
    text, tree = (run("ask", str(LAKE), "--no-ways-out", *more, *extra) for more in ((), ("--json",)))
    for name, answer in tree.tree["answers"].items():
        part = text.out.partition(f"\n{name.upper()}  ")[2].partition("\n\n")[0]
        told = re.findall(r"^  (?:FAILS|unknown|slim|sound) {2,}\S", part, re.MULTILINE)
        more_ = re.search(r"and (\d+) more, sound: foilwright ask \S+ " + name, " ".join(part.split()))
        sound = sum(finding["verdict"] == "sound" for finding in answer["findings"])
        assert len(told) + (int(more_[1]) if more_ else 0) == len(answer["findings"])
        assert len(told) - (len(answer["findings"]) - sound) <= report_text.BRIEF + 1


@pytest.mark.parametrize("extra", [(), NO_THRUST, ("--set", "water.depth=0.7 m"), ("--set", "water.chop=0.5 m")])
def test_text_and_json_tell_the_same_worst_first(run: Any, extra: tuple[str, ...]) -> None:
    some = NAMES[:-1]
    text, tree = (run("ask", str(LAKE), *some, "--no-ways-out", *more, *extra) for more in ((), ("--json",)))
    assert text.status == tree.status
    assert max(map(len, text.out.splitlines())) <= 80
    findings = [finding for answer in tree.tree["answers"].values() for finding in answer["findings"]]
    told = re.findall(r"^  (FAILS|unknown|slim|sound) {2,}\S", text.out, re.MULTILINE)
    assert [word.lower() for word in told] == [finding["verdict"] for finding in findings]
    order = ["fails", "unknown", "slim", "sound"]
    for answer in tree.tree["answers"].values():
        words = [order.index(finding["verdict"]) for finding in answer["findings"]]
        assert words == sorted(words)


def test_ask_some_questions(run: Any) -> None:
    tree = run("ask", str(LAKE), "rise", "endure", "--json").tree
    assert list(tree["answers"]) == ["rise", "endure"]
    told = run("ask", str(LAKE), "endure").out
    assert "\nENDURE  " in told
    assert "\nRISE  " not in told


def test_ask_a_question_that_there_is_not(run: Any) -> None:
    told = run("ask", str(LAKE), "rize", "fly", "dance")
    assert (told.status, told.out) == (2, "")
    assert 'got "rize"' in told.err
    assert "did you mean rise?" in told.err
    assert 'got "dance"' in told.err
    assert '"fly"' not in told.err


def test_the_exit_status_is_what_the_findings_say(run: Any, tmp_path: Path) -> None:
    without = re.sub(r"(?m)^voltage_limit.*\n", "", LAKE.read_text("utf-8"))
    (tmp_path / "unstated.toml").write_text(without, encoding="utf-8")
    cases = [(str(LAKE),), (str(LAKE), *NO_THRUST), ("unstated.toml", "push"), (str(LAKE), "afloat")]
    seen = set()
    for case in cases:
        told = run("ask", *case, "--json")
        found = [finding for answer in told.tree["answers"].values() for finding in answer["findings"]]
        fails = any(finding["verdict"] == "fails" for finding in found)
        grave = any(finding["verdict"] == "unknown" and finding["meaning"] in ("hurts", "burns") for finding in found)
        assert told.status == int(fails or grave)
        seen.add((fails, grave))
    assert len(seen) == 3, "sound, failing and gravely unknown"


def test_ask_with_fields_set(run: Any) -> None:
    plain = run("ask", str(LAKE), "--json").tree
    told = run("ask", str(LAKE), "--json", "--set", "rider.mass=70 kg", "--set", 'wing.span = "95 cm"').tree
    assert told["numbers"]["total_mass"] == pytest.approx(plain["numbers"]["total_mass"] - 12.0, abs=0.2)
    assert told["build"]["hash"] != plain["build"]["hash"]


@pytest.mark.parametrize(
    ("setting", "says"),
    [
        ("wing.aera=1 m^2", "did you mean wing.area?"),
        ("wing.area", "PATH=VALUE"),
        ("=3 m", "PATH=VALUE"),
        ("wing.area=3 kg", "3 kg"),
        ("wing.area=3", "without a unit"),
        ("wing.aspect_ratio=9", "a size that follows from"),
        ("", "PATH=VALUE"),
    ],
)
def test_a_field_that_cannot_be_set_is_told(run: Any, setting: str, says: str) -> None:
    told = run("ask", str(LAKE), "--set", setting)
    assert (told.status, told.out) == (2, "")
    assert says in told.err


def test_a_field_is_set_once(run: Any) -> None:
    told = run("ask", str(LAKE), "--set", "rider.mass=70 kg", "--set", "rider.mass=80 kg")
    assert told.status == 2
    assert "one value for rider.mass" in told.err


def test_as_designed_leaves_out_what_was_measured(run: Any, tmp_path: Path) -> None:
    weighed = LAKE.read_text("utf-8") + '\n[measured]\ncraft_mass = "60 kg"\n'
    (tmp_path / "built.toml").write_text(weighed, encoding="utf-8")
    built, designed = run("ask", "built.toml", "--json").tree, run("ask", "built.toml", "--as-designed", "--json").tree
    assert built["numbers"]["total_mass"] > designed["numbers"]["total_mass"]


def test_ask_without_ways_out(run: Any) -> None:
    assert run("ask", str(LAKE), "--no-ways-out", "--json").tree["ways_out"] == []


def test_plots_are_written_where_asked(run: Any, tmp_path: Path) -> None:
    told = run("ask", str(LAKE), "--plot", "deep/plots")
    assert re.search(r"\nPlots in deep/plots: rise, balance, fly, endure, [\w, ]+\(.*\)\n$", told.out)
    assert {path.suffix for path in (tmp_path / "deep" / "plots").iterdir()} == {".png", ".svg"}


def test_a_place_that_cannot_be_written_is_told(run: Any, tmp_path: Path) -> None:
    (tmp_path / "full").write_text("", encoding="utf-8")
    told = run("ask", str(LAKE), "--plot", "full/plots")
    assert (told.status, told.out) == (3, "")
    assert "cannot be written" in told.err
    tree = run("ask", str(LAKE), "--plot", "full", "--json")
    assert tree.status == 3
    assert "cannot be written" in tree.tree["errors"][0]["got"]


def test_a_missing_extra_is_told(run: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def lacking() -> None:
        raise MissingExtraError("this needs a library; pip install 'foilwright[sections]'")

    monkeypatch.setattr(installed, "look", lacking)
    told = run("installed")
    assert (told.status, told.out) == (3, "")
    assert "pip install 'foilwright[sections]'" in told.err


def test_a_scenario_is_no_file_and_the_way_to_one_is_told(run: Any) -> None:
    told = run("ask", "lake")
    assert told.status == 2
    assert "foilwright new lake --from lake" in told.err
    assert run("new", "lake").status == 0
    told = run("ask", "lake")
    assert told.status == 2
    assert "did you mean lake.toml?" in told.err
    assert run("ask", "lake.toml").status in (0, 1)


@pytest.mark.parametrize("file", ["nothere.toml", "", "a\0b", "x" * 5000, "."])
def test_a_file_that_is_not_there_is_told(run: Any, file: str) -> None:
    told = run("ask", file)
    assert (told.status, told.out) == (2, "")
    assert "a build file" in told.err
    assert max(map(len, told.err.splitlines())) < 300


def test_all_that_is_wrong_with_a_file_and_a_call_is_told_at_once(run: Any, tmp_path: Path) -> None:
    wrong = LAKE.read_text("utf-8").replace('"82 kg"', "82").replace("thickness = ", "thikness = ")
    (tmp_path / "wrong.toml").write_text(wrong, encoding="utf-8")
    told = run("ask", "wrong.toml", "rize", "--set", "wing")
    assert told.status == 2
    for part in ("rize", "--set", "rider.mass", "board.thikness", "did you mean thickness"):
        assert part in told.err
    tree = run("ask", "wrong.toml", "rize", "--set", "wing", "--json").tree
    assert len(tree["errors"]) == len(told.err.splitlines()) >= 4


# the others


def test_evidence_tells_every_check(run: Any) -> None:
    told = run("evidence")
    assert told.status == 0, "a value is missed and nobody said why"
    checks = evidence.run()
    assert f"All: {len(checks)} checks" in " ".join(told.out.split())
    tree = run("evidence", "--json").tree
    assert [check["id"] for check in tree["checks"]] == [check.id for check in checks]


def test_evidence_that_is_missed_sets_the_status(run: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(evidence, "exit_status", lambda _: 1)
    monkeypatch.setattr(evidence, "run", tuple)
    assert run("evidence").status == 1


def test_installed_tells_what_there_is(run: Any) -> None:
    told = run("installed")
    assert told.status == 0
    assert "numpy" in told.out
    assert "sections" in told.out
    assert run("installed", "--json").tree["format"] == 1


@pytest.mark.parametrize("command", [(), *((name,) for name in COMMANDS)], ids=" ".join)
def test_help_and_version_everywhere(run: Any, command: tuple[str, ...]) -> None:
    told = run(*command, "--help")
    assert told.status == 0
    assert "Usage: foilwright" in told.out
    assert max(map(len, told.out.splitlines())) <= 80
    assert run(*command, "--version").out == "foilwright 0.1.0\n"


def test_the_help_names_every_command_question_and_option(run: Any) -> None:
    assert all(re.search(rf"│ {name} ", run("--help").out) for name in COMMANDS)
    told = " ".join(run("ask", "--help").out.replace("│", " ").split())
    assert ", ".join(NAMES) in told
    for option in ("--set", "--as-designed", "--json", "--no-ways-out", "--plot"):
        assert option in told


@pytest.mark.parametrize("arguments", [("ask",), ("dance",), ("ask", "x", "--spred", "3"), ("new", "a", "--set")])
def test_a_call_that_is_no_command_is_told(run: Any, arguments: tuple[str, ...]) -> None:
    told = run(*arguments)
    assert (told.status, told.out) == (2, "")
    assert "foilwright --help" in told.err
    assert len(told.err.splitlines()) == 1
    tree = run(*arguments, "--json")
    assert tree.status == 2


def test_errors_in_json_have_every_key(run: Any) -> None:
    for call in (("ask", "no.toml", "--json"), ("dance", "--json"), ("ask", str(LAKE), "--set", "a.b=3", "--json")):
        tree = run(*call).tree
        assert set(tree) == {"format", "errors"}
        assert tree["format"] == 1
        for error in tree["errors"]:
            assert set(error) == {"file", "line", "field", "got", "allowed", "example", "nearest"}
            assert error["got"]


def test_an_interrupt_says_nothing(run: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted() -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(installed, "look", interrupted)
    told = run("installed")
    assert (told.status, told.out, told.err) == (130, "", "")


def test_a_closed_pipe_says_nothing() -> None:
    read, write = os.pipe()
    os.close(read)
    with os.fdopen(write, "w") as closed:
        done = process("ask", str(LAKE), stdout=closed, stderr=subprocess.PIPE)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full device here")
def test_an_answer_that_cannot_be_written_is_told() -> None:
    with Path("/dev/full").open("w") as full:
        done = process("ask", str(LAKE), stdout=full, stderr=subprocess.PIPE)
    assert done.returncode == 3
    assert done.stderr.startswith("the answer cannot be written")


def test_a_screen_without_our_signs_shows_plainer_ones() -> None:
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = process("ask", str(LAKE), "afloat", capture_output=True, env=environment)
    assert done.stderr == ""
    assert re.search(r"^ +\|#*!", done.stdout, re.MULTILINE)


def test_a_plain_ask_loads_no_heavy_library() -> None:
    code = (
        "import sys; from foilwright.cli import main; main(['ask', sys.argv[1], '--no-ways-out'])"
        "\nprint(*sys.modules, file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code, str(LAKE)], capture_output=True, text=True, check=True)
    loaded = {name.partition(".")[0] for name in done.stderr.split()} | ({"numpy.ma"} & set(done.stderr.split()))
    assert loaded.isdisjoint({"matplotlib", "scipy", "pint", "tomlkit", "PIL", "rich", "asyncio", "numpy.ma"})
    assert "numpy" in loaded


# words


def test_a_bar_shows_margin_and_need_about_zero() -> None:
    width = report_text.LEFT + 1 + report_text.RIGHT
    for margin in (-9.0, -0.61, -0.3, 0.0, 0.04, 0.5, 1.0, 40.0, float("inf")):
        for need in (0.0, 0.05, 0.3, 1.0, 9.0):
            drawn = report_text.bar(margin, need)
            assert len(drawn) == width
            assert drawn.count("┃") == 1 or margin > 1.0
            assert ("░" in drawn) == (margin <= -0.05)
    assert report_text.bar(0.5, 0.2) == "      │█┃███     "
    assert report_text.bar(-0.3, 0.0) == "   ░░░┃          "
    assert report_text.bar(5.0, 0.3) == "      │██┃██████▸"
    assert report_text.bar(-5.0, 0.3) == "◂░░░░░│  ┃       "


def test_amounts_are_in_units_that_makers_use() -> None:
    assert report.amount(22880.0, "m") == "22.9 km"
    assert report.amount(0.0102, "m") == "10.2 mm"
    assert report.amounts([0.08, 0.46], "m") == (("8", "46"), " cm")
    assert report.amount(3408.0, "s") == "56.8 min"
    assert report.amount(2700.0, "W") == "2.7 kW"
    assert report.amount(333.15, "K") == "60 °C"
    assert report.amount(10.0, "K", difference=True) == "10 K"
    assert report.amount(0.0, "rad") == "0°"
    assert report.amount(12566.3706, "rad/s") == "120000 rpm"
    assert report.amount(39.2, "N*m") == "39.2 N·m"


def test_every_reason_has_words_for_its_relief() -> None:
    assert set(report.RELIEF) == set(REASONS[1:])
    for told in report.RELIEF.values():
        assert "{percent}" in told or "{shift}" in told


def test_what_stops_a_run_is_told_in_plain_words(run: Any) -> None:
    told = " ".join(run("ask", str(LAKE), "rise", *NO_THRUST).out.split())
    assert re.search(r"FAILS Take-off: never, because a set current limit holds .* \d+ % more thrust", told)
    assert "least relief" not in told


def test_right_or_wrong_is_told_without_numbers(run: Any) -> None:
    told = " ".join(run("ask", str(LAKE), "push").out.split())
    assert "thread against the turning of the shaft: as it must be" in told
    told = " ".join(run("ask", str(LAKE), "push", "--set", "propeller.nut_thread=left").out.split())
    other = " ".join(run("ask", str(LAKE), "push", "--set", "propeller.nut_thread=right").out.split())
    assert ("not as it must be" in told) != ("not as it must be" in other)
    assert "asks 1, has 1" not in told + other
