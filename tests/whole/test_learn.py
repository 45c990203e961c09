"""Days on the water read back: the shipped demo, what must be said, what must not, and files that do not read."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from datetime import datetime
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import foilwright as fw
from foilwright.build import load
from foilwright.build.build import Build
from foilwright.cli import main
from foilwright.core.errors import BuildFileError, FoilwrightError
from foilwright.study import learn, plots
from foilwright.study.learn import demo, plot, tracks
from foilwright.study.learn.diagnose import Diagnosis
from foilwright.study.learn.sample import sample

FIRST, LAKE = load.scenario("first-try"), load.scenario("lake")
DAYS = demo.files()[0].parent
RUN = '[[run]]\nposture = "kneeling"\nthrottle = "100 %"\nspeed = "15 km/h"\nlifted = false\n'


def chances(found: Diagnosis) -> dict[str, float]:
    return {each.id: float(found.found.probability[k]) for k, each in enumerate(found.causes)}


@cache
def told(*names: str) -> Diagnosis:
    return learn.diagnose(FIRST, learn.read(FIRST, [DAYS / name for name in names]).trial)


def sheet(folder: Path, text: str, build: Build = FIRST) -> Diagnosis:
    path = folder / "day.toml"
    path.write_text(f"format = 1\n{text}", encoding="utf-8")
    return learn.diagnose(build, learn.read(build, [path]).trial)


def test_the_first_day_names_the_cause_and_what_to_read_next() -> None:
    found = told("day-1.gpx", "day-1.toml")
    assert found.leader.id == "pack_part"
    assert found.next[0].name in {"returned", "look_pack_part"}
    assert "do not tell apart" in learn.text(found)


def test_what_was_to_be_read_next_raises_the_leader() -> None:
    one, two = told("day-1.gpx", "day-1.toml"), told("day-1.gpx", "day-1.toml", "day-2.toml")
    assert any(each.kind == "capacity" for each in one.next)
    assert chances(two)["pack_part"] > chances(one)["pack_part"] + 0.2
    assert two.clear
    path, value, low, high = two.values[0]
    assert path == "pack.parallel"
    assert min(low, high) < 3.9 < max(low, high)
    assert value == pytest.approx(3.9, rel=0.2)


def test_the_log_of_the_first_day_is_enough() -> None:
    found = told("day-1.gpx", "day-1.csv", "day-1.toml")
    assert found.leader.id == "pack_part"
    assert found.clear
    assert any("clock is set by -3" in note for note in found.trial.notes)
    assert any("jumped" in note for note in found.trial.notes)


def test_part_lift_lying_is_reach_and_not_more_motor(tmp_path: Path) -> None:
    """Prone, 17 km/h, 122 kg, 0.12 m2, rides visibly higher."""
    craft = FIRST.with_texts(
        {
            "wing.area": "1200 cm^2", "wing.span": "82 cm", "rider.posture": "prone", "rider.mass": "90 kg",
            "rider.prone_from": "85 cm", "rider.prone_to": "1.15 m", "propeller.pitch": "14 cm",
            "controller.battery_current_limit": "110 A", "controller.phase_current_limit": "140 A",
            "pack.parallel": "12", "wires.modules_side_by_side": "3",
        }
    )  # fmt: skip
    text = (
        '[session]\nrider_mass = "95.5 kg"\ncraft_mass = "26.5 kg"\n[[run]]\nposture = "lying"\nthrottle = "100 %"\n'
        'speed = "17 km/h"\nlifted = false\n[[seen]]\nwhat = "rides_higher"\n'
    )
    found = sheet(tmp_path, text, craft)
    assert found.leader.id == "as_designed"
    assert found.stops[0][0] == "reach"
    said = " ".join(learn.text(found).split())
    for words in ("move it aft or kneel; more motor does not help", "rides higher", "legs drag"):
        assert words in said


def test_a_cold_pack_and_a_module_left_out_are_not_told_apart_by_one_reading(tmp_path: Path) -> None:
    craft = FIRST.with_texts({"pack.temperature": "20 degC"})
    found = sheet(tmp_path, '[[bollard]]\nthrottle = "100 %"\nvoltage = "31 V"\n', craft)
    assert not found.clear
    chance = chances(found)
    assert min(chance["cold_pack"], chance["pack_part"]) > 0.08
    said = " ".join(learn.text(found).split())
    assert "do not tell apart" in said
    assert "the pack is cold" in said
    assert "part of the pack is not connected" in said
    names = {each.name for each in found.next[:6]}
    assert names & {"look_cold_pack", "look_pack_part", "returned"}
    cold = sheet(
        tmp_path,
        '[[bollard]]\nthrottle = "100 %"\nvoltage = "31 V"\n[[look]]\nat = "cold_pack"\nfound = true\n',
        craft,
    )
    assert chances(cold)["cold_pack"] > 2.0 * chance["cold_pack"]


def test_one_vague_observation_lifts_no_fault_above_what_it_allows(tmp_path: Path) -> None:
    found = sheet(tmp_path, "[[run]]\nlifted = false\n")
    assert not found.clear
    for cause, chance in chances(found).items():
        prior = next(each.prior for each in found.causes if each.id == cause)
        assert chance < 1.6 * prior + 0.05


def test_drag_and_efficiency_are_said_to_be_one_without_a_pull(tmp_path: Path) -> None:
    found = sheet(tmp_path, RUN)
    assert ("board_drag", "propeller_efficiency") in {(one, two) for one, two, _ in found.together}
    pulled = sheet(
        tmp_path, RUN + '[[bollard]]\nthrottle = "100 %"\npull = "275 N"\n[[tow]]\nspeed = "15 km/h"\npull = "150 N"\n'
    )
    wide = {each.name: each.high / each.low for each in found.corrections}
    assert {each.name: each.high / each.low for each in pulled.corrections}["board_drag"] < 0.85 * wide["board_drag"]


def test_the_order_of_files_and_readings_changes_nothing() -> None:
    one = learn.diagnose(FIRST, learn.read(FIRST, [DAYS / "day-1.toml", DAYS / "day-1.gpx"]).trial)
    other = chances(told("day-1.gpx", "day-1.toml"))
    assert chances(one) == {cause: pytest.approx(chance, abs=1e-9) for cause, chance in other.items()}


def test_a_track_reads_as_another_reader_reads_it() -> None:
    found = tracks.read(DAYS / "day-1.gpx")
    space = "{http://www.topografix.com/GPX/1/1}"
    points = ET.parse(DAYS / "day-1.gpx").getroot().iter(f"{space}trkpt")  # noqa: S314 - our own file
    by_time = {}
    for point in points:
        stamp = point.findtext(f"{space}time") or ""
        time = datetime.fromisoformat(stamp.replace("Z", "+00:00")).timestamp()
        by_time[time] = (float(point.get("lat", "")), float(point.get("lon", "")))
    assert len(by_time) == found.time.size + 1
    for time, latitude, longitude in zip(found.time, found.latitude, found.longitude, strict=True):
        assert by_time[time] == (latitude, longitude)


def test_sampling_agrees_with_the_approximation() -> None:
    found = told("day-1.gpx", "day-1.toml", "day-2.toml")
    sampled = sample(found)
    by_name = {each.name: each for each in found.corrections}
    for name, each in sampled.document().items():
        wide = np.log(by_name[name].high / by_name[name].low)
        assert abs(np.log(each["factor"] / by_name[name].factor)) < 0.35 * wide


def test_nothing_is_written_unless_asked_and_then_dated_and_removable(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["new", "first-try", "--from", "first-try"]) == 0
    assert main(["learn", "first-try.toml", "--demo"]) == 0
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    capsys.readouterr()
    given = ["learn", "first-try.toml", "day-1.gpx", "day-1.csv", "day-1.toml"]
    assert main(given) == 0
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    out = capsys.readouterr().out
    assert "MOST LIKELY" in out
    assert max(len(line) for line in out.splitlines()) <= 80
    assert main([*given, "-o", "learnt.toml", "--json"]) == 0
    tree = json.loads(capsys.readouterr().out.splitlines()[-1])
    assert tree["leader"] == "pack_part"
    assert sum(each["probability"] for each in tree["explanations"]) == pytest.approx(1.0)
    text, old = (Path(name).read_text(encoding="utf-8") for name in ("learnt.toml", "first-try.toml"))
    build = load.load("learnt.toml")
    assert build.values["factors.read_on"] == "2026-05-17"
    kept = [line for line in old.splitlines() if line.startswith("#")]
    assert sum(line in text for line in kept) > 0.97 * len(kept)
    main(["ask", "learnt.toml", "rise", "--no-ways-out"])
    assert "rest on corrections to the models read on the water (2026-05-17)" in " ".join(
        capsys.readouterr().out.split()
    )
    again = learn.diagnose(build, learn.read(build, [Path(name) for name in given[2:]]).trial)
    assert again.leader.id == "pack_part"


def test_readings_that_nothing_fits_change_nothing(tmp_path: Path) -> None:
    text = "".join(f'[[tow]]\nspeed = "9 km/h"\npull = "{pull} N"\n' for pull in (20, 900))
    text += '[[bollard]]\nthrottle = "100 %"\npull = "20 N"\n[[bollard]]\nthrottle = "100 %"\npull = "900 N"\n'
    found = sheet(tmp_path, text)
    assert not found.fits
    assert not found.clear
    assert "Nothing should be changed on their word" in " ".join(learn.text(found).split())
    _, changes = learn.learnt(found)
    assert not any(path.startswith("factors.") for path in changes)


def test_the_python_door() -> None:
    found = fw.learn(FIRST, DAYS / "day-1.toml")
    assert found.readings
    assert isinstance(found, Diagnosis)


def test_plots_are_drawn(tmp_path: Path) -> None:
    days = learn.read(FIRST, [DAYS / name for name in ("day-1.gpx", "day-1.csv", "day-1.toml")])
    drawn = plots.draw(tmp_path, plot.figures(told("day-1.gpx", "day-1.csv", "day-1.toml"), days.rides))
    assert {path.name for path in drawn} == {"diagnosis.png", "diagnosis.svg", "day-1.png", "day-1.svg"}


BAD = {
    "a table.toml": ('format = 1\n[[runs]]\nspeed = "4 m/s"\n', "did you mean run?"),
    "a key.toml": ('format = 1\n[[run]]\nspeeed = "4 m/s"\n', "did you mean speed?"),
    "a unit.toml": ('format = 1\n[[run]]\nspeed = "4 kg"\n', "a speed"),
    "bare.toml": ("format = 1\n[[run]]\nspeed = 4\n", "without a unit"),
    "posture.toml": ('format = 1\n[[run]]\nposture = "sitting"\n', "one of lying"),
    "seen.toml": ('format = 1\n[[seen]]\nwhat = "rpm"\n', "one of"),
    "no format.toml": ('[[run]]\nspeed = "4 m/s"\n', "format = 1"),
    "broken.toml": ("format = 1\n[[run]\n", "no TOML"),
    "empty.gpx": ("", "GPX"),
    "words.gpx": ("not a track", "GPX"),
    "short.gpx": ('<gpx version="1.1" creator="x"><trk><trkseg></trkseg></trk></gpx>', "0 fixes"),
    "bare.csv": ("t,U\n1,2\n", "header file"),
    "picture.png": ("x", "a track (.gpx)"),
    "negative.toml": ('format = 1\n[[bollard]]\ncurrent = "-4 A"\n', "not below 0"),
    "more.toml": ('format = 1\n[[run]]\nthrottle = "120 %"\n', "from 0 to 1"),
    "light.toml": ('format = 1\n[session]\nrider_mass = "6 kg"\n', "rider.mass"),
    "warm.toml": ('format = 1\n[water]\ntemperature = "80 degC"\n', "water.temperature"),
    "word.toml": ('format = 1\nrun = "fast"\n', "a table"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_told_in_a_sentence(name: str, tmp_path: Path) -> None:
    text, says = BAD[name]
    (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(FoilwrightError) as caught:
        learn.read(FIRST, [tmp_path / name])
    assert says in str(caught.value)
    assert name in str(caught.value)


def test_everything_wrong_is_told_at_once(tmp_path: Path) -> None:
    names = ["a key.toml", "words.gpx"]
    for name in names:
        (tmp_path / name).write_text(BAD[name][0], encoding="utf-8")
    with pytest.raises(BuildFileError) as caught:
        learn.read(FIRST, [tmp_path / name for name in [*names, "none.gpx"]])
    assert all(name in str(caught.value) for name in [*names, "none.gpx"])


def test_a_header_file_maps_any_columns_and_says_what_is_wrong(tmp_path: Path) -> None:
    rows = "s\tU\tI\n" + "".join(f"{k * 0.5}\t{40.0 - 0.01 * k}\t{k % 7}\n" for k in range(60)) + "x\ty\tz\n"
    (tmp_path / "a.csv").write_text(rows, encoding="utf-8")
    head = 'format = 1\n[columns]\ntime = { column = "s", unit = "s" }\nvolts = { column = "U", unit = "V" }\n'
    (tmp_path / "columns.toml").write_text(head, encoding="utf-8")
    found = learn.read(FIRST, [tmp_path / "a.csv"])
    assert any("1 row without a time" in note for note in found.trial.notes)
    (tmp_path / "columns.toml").write_text(head + 'amps = { column = "J", unit = "A" }\n', encoding="utf-8")
    with pytest.raises(BuildFileError, match="no such column"):
        learn.read(FIRST, [tmp_path / "a.csv"])
    (tmp_path / "columns.toml").write_text(head + 'ampere = { column = "I", unit = "V" }\n', encoding="utf-8")
    with pytest.raises(BuildFileError, match="did you mean amps"):
        learn.read(FIRST, [tmp_path / "a.csv"])
