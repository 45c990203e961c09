"""A maker's own section, from the build file to the answers."""

from __future__ import annotations

import multiprocessing
import pickle
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from foilwright import load as fw_load
from foilwright.build import load, save
from foilwright.build.sections import POLAR, PRESSURE, mark_line
from foilwright.cli import main
from foilwright.core import extras
from foilwright.core.data import folder
from foilwright.core.errors import BuildFileError, DataError, MissingExtraError
from foilwright.questions.ask import ask
from foilwright.shape.foil import section_coordinates
from foilwright.study import sections
from foilwright.study.compare import compare
from foilwright.study.compare import text as comparison_text
from foilwright.study.ways import fields

LAKE = (folder() / "scenarios" / "lake.toml").read_text(encoding="utf-8")
OWN = '\n[sections.mine]  # drawn in the winter\nfile = "mine.dat"\n\n[sections.strut]\nfile = "strut.dat"\n'


def outline(name: str, points: int = 61) -> str:
    rows = section_coordinates(section=name, points=points)
    return f"my {name}\n" + "\n".join(f"{x:.6f} {z:.6f}" for x, z in rows) + "\n"


def keep_tables(build: load.Build, name: str, like: str) -> None:
    """Lay the shipped tables of a section beside a build as if they had been computed."""
    section = build.sections[name]
    head = mark_line(section.mark) + "\n"
    polar = (folder() / "polars" / f"{like}.csv").read_text(encoding="utf-8")
    pressure = (folder() / "section_pressure.csv").read_text(encoding="utf-8").splitlines()
    kept = [line for line in pressure if line.startswith(("#", "section,", f"{like},"))]
    (build.beside / (section.file + POLAR)).write_text(head + polar, encoding="utf-8")
    (build.beside / (section.file + PRESSURE)).write_text(head + "\n".join(kept) + "\n", encoding="utf-8")


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Return a build with two own sections and the tables kept beside it."""
    (tmp_path / "mine.dat").write_text(outline("naca4412"), encoding="utf-8")
    (tmp_path / "strut.dat").write_text(outline("naca0015"), encoding="utf-8")
    path = tmp_path / "own.toml"
    path.write_text(LAKE + OWN, encoding="utf-8")
    build = load.load(path)
    keep_tables(build, "mine", "naca4412")
    keep_tables(build, "strut", "naca0015")
    return path


@pytest.fixture
def without_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(module: str, *, extra: str) -> None:
        raise MissingExtraError(f"no {module}: {extras.named(extra).command}")

    monkeypatch.setattr(sections, "need", missing)


WITHIN = {
    "static_margin": 0.005,
    "cruise_drag": 0.01,
    "take_off_speed": 0.005,
    "run_time": 0.01,
    "slowest_flight": 0.005,
}
"""How far numbers may lie apart where drag lies within 1 % rms and lift within 1 %."""


def test_the_copy_of_a_built_in_section_answers_as_it_does(tmp_path, monkeypatch, capsys):
    pytest.importorskip("neuralfoil")
    (tmp_path / "copy.dat").write_text(outline("naca2412"), encoding="utf-8")
    path = tmp_path / "own.toml"
    path.write_text(LAKE.replace('"naca2412"', '"copy"') + '\n[sections.copy]\nfile = "copy.dat"\n', encoding="utf-8")
    first = ask(fw_load(path))
    kept = sorted(each.name for each in tmp_path.iterdir())
    assert kept == ["copy.dat", "copy.dat" + POLAR, "copy.dat" + PRESSURE, "own.toml"]

    def never(module: str, *, extra: str) -> None:
        raise AssertionError(module)

    monkeypatch.setattr(sections, "need", never)
    again = ask(fw_load(path))
    plain = ask(load.scenario("lake"))
    for name, value in plain.numbers.items():
        np.testing.assert_array_equal(first.numbers[name], again.numbers[name])
        np.testing.assert_allclose(again.numbers[name], value, rtol=WITHIN.get(name, 0.02), err_msg=name)
    assert again.holds_back().id == plain.holds_back().id
    for mine, theirs in zip(again.all(), plain.all(), strict=True):
        assert (mine.id, mine.verdict.tolist()) == (theirs.id, theirs.verdict.tolist())
    assert main(["ask", str(path), "fly", "--no-ways-out"]) == 0
    capsys.readouterr()


def test_without_the_solver_and_without_tables_it_says_how_to_get_it(place, without_solver, capsys):
    assert main(["ask", str(place), "fly", "--no-ways-out", "--set", "wing.section=mine"]) == 0
    capsys.readouterr()
    (place.parent / ("mine.dat" + POLAR)).unlink()
    assert main(["ask", str(place), "fly"]) == 3
    told = capsys.readouterr().err
    assert "mine.dat: the polars of the section mine are not computed yet" in told
    assert "pip install 'foilwright[sections]'" in told
    assert told.count("\n") == 1


@pytest.mark.parametrize("spoilt", ["another outline", "cut short", "no numbers", "empty"])
def test_tables_that_are_not_of_this_outline_are_not_used(place, without_solver, spoilt):
    kept = place.parent / ("mine.dat" + POLAR)
    text = kept.read_text(encoding="utf-8")
    if spoilt == "another outline":
        (place.parent / "mine.dat").write_text(outline("naca4410"), encoding="utf-8")
    else:
        changed = {"cut short": text[: len(text) // 2], "no numbers": text.replace(",0.", ",x"), "empty": ""}
        kept.write_text(changed[spoilt], encoding="utf-8")
    with pytest.raises(MissingExtraError, match="not computed yet"):
        fw_load(place)


def test_a_build_that_was_only_read_says_what_computes_the_polars(place):
    (place.parent / ("mine.dat" + PRESSURE)).unlink()
    build = load.load(place)
    ask(build, questions=["afloat"])
    with pytest.raises(
        DataError, match=r"own.toml, wing.section: the section mine has no polars yet; .*foilwright ask"
    ):
        ask(build, questions=["afloat"], vary={"wing.section": ("naca2412", "mine")})


NAMES = ("naca2412", "mine", "strut", "naca4412", "mine")
VARY = {
    "wing.section": NAMES,
    "stabiliser.section": ("strut", "naca0010", "mine", "strut", "naca0012"),
    "mast.section": ("naca0012", "strut", "strut", "naca0015", "naca0010"),
    "wing.area": np.linspace(0.12, 0.16, 5),
}


def test_a_batch_of_own_and_built_in_sections_is_its_members(place):
    build = fw_load(place)
    batch = ask(build, vary=VARY)
    for k in range(len(NAMES)):
        one = ask(build, vary={path: values[k : k + 1] for path, values in VARY.items()})
        for name, values in batch.numbers.items():
            np.testing.assert_allclose(values[k], one.numbers[name][0], rtol=1e-10, err_msg=name)
        for many, single in zip(batch.all(), one.all(), strict=True):
            assert many.verdict[k] == single.verdict[0], many.id
    assert batch.numbers["cruise_drag"][1] != batch.numbers["cruise_drag"][0]


def _drag(raw: bytes) -> list[float]:
    build = pickle.loads(raw)  # noqa: S301
    return ask(build, questions=["fly"], vary={"wing.section": NAMES}).numbers["cruise_drag"].tolist()


def test_a_build_carries_its_sections_to_another_process(place):
    build = fw_load(place)
    for each in place.parent.iterdir():
        each.unlink()
    raw = pickle.dumps(build)
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        there = pool.apply(_drag, (raw,))
    assert there == _drag(raw)


def test_two_builds_may_call_different_shapes_alike(place, tmp_path_factory):
    build = fw_load(place)
    other = tmp_path_factory.mktemp("other")
    (other / "mine.dat").write_text(outline("naca2410"), encoding="utf-8")
    (other / "own.toml").write_text(LAKE + OWN.partition("\n[sections.strut]")[0], encoding="utf-8")
    keep_tables(load.load(other / "own.toml"), "mine", "naca2410")
    theirs = fw_load(other / "own.toml")
    assert build.hash != theirs.hash
    drags = [ask(each.with_texts({"wing.section": "mine"}), questions=["fly"]).numbers for each in (build, theirs)]
    assert drags[0]["cruise_drag"] != drags[1]["cruise_drag"]
    told = compare([build, theirs], questions=["fly"])
    (shape,) = (each for each in told.changes if each.path == "sections.mine.file")
    assert shape.values[0] != shape.values[1]
    assert "sections.mine.file" in comparison_text(told)


def test_an_own_section_is_varied_where_a_built_in_one_is(place):
    build = fw_load(place)
    meta = build.meta("wing.section")
    assert meta.choices[-2:] == ("mine", "strut")
    assert "mine" not in build.meta("mast.section").choices
    assert "strut" in build.meta("mast.section").choices
    named = {each.path: each for each in fields.admissible(build, as_built=True)}
    assert {"mine", "strut", "naca4412"} <= set(named["wing.section"].others())


def test_an_exploration_takes_own_sections(place, tmp_path):
    pytest.importorskip("pyarrow")
    import foilwright as fw

    found = fw.explore(
        fw.load(place), vary=["wing.section=naca2412,mine,strut", "wing.area=1100:1500:cm^2"],
        aim=["minimise cruise_drag"], out=tmp_path / "runs", count=24,
    )  # fmt: skip
    columns = found.columns("row", "wing.section")
    assert set(columns["wing.section"].tolist()) == {"mine", "strut", "naca2412"}
    row = int(columns["row"][columns["wing.section"].tolist().index("mine")])
    assert found.pick(row).sections["mine"].ready


def test_a_change_is_saved_with_everything_else_as_it_was(place):
    build = fw_load(place)
    text = save.with_changes(build, {"wing.section": "mine", "wing.area": 0.14})
    assert "[sections.mine]  # drawn in the winter" in text
    assert 'section = "mine"' in text
    differing = [line for line in text.splitlines() if line not in (LAKE + OWN).splitlines()]
    assert len(differing) == 2
    again = load.read(text, name="own", file="own.toml", beside=build.beside)
    assert again.values["wing.section"] == "mine"
    assert again.sections["mine"].ready


def test_a_new_file_explains_it_and_reads_back(place):
    build = fw_load(place)
    made = place.parent / "second.toml"
    save.write_new(build, made)
    text = made.read_text(encoding="utf-8")
    assert '[sections."mine"]  # a section shape of your own' in text
    assert "# drawn in the winter" in text
    assert load.load(made).sections["mine"].key == build.sections["mine"].key
    assert "[sections.NAME]" in save.explained(load.scenario("lake"), "plain")


FAULTS = {
    'wing.section = "minx"': ("", "wing.section: got .*minx.*did you mean mine"),
    "a built-in name": ('[sections.naca2412]\nfile = "mine.dat"', "got the name of a built-in section, naca2412"),
    "a folder": ('[sections.a]\nfile = "../mine.dat"', "sections.a.file: got .*mine.dat.*; allowed: the plain name of"),
    "no file": ('[sections.a]\nfile = "none.dat"', "none.dat, sections.a: got no such file"),
    "no name": ("[sections.a]", "sections.a.file: got nothing"),
    "a number": ("[sections.a]\nfile = 3", "sections.a.file: got 3"),
    "a full stop": ('[sections."a.b"]\nfile = "mine.dat"', "got .*a.b.*; allowed: a name of its own"),
    "no table": ('sections = "mine.dat"', "sections: got"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_what_is_wrong_with_a_section_is_told(place, name):
    more, told = FAULTS[name]
    text = LAKE + OWN + "\n" + more + "\n"
    if name == "no table":
        text = text.replace(OWN, "").replace("format = 1", "format = 1\n" + more, 1).rpartition(more)[0]
    elif not more:
        text = text.replace('section = "naca2412"', 'section = "minx"')
    place.write_text(text, encoding="utf-8")
    with pytest.raises(BuildFileError, match=told):
        load.load(place)


def test_a_mast_takes_only_a_symmetrical_one(place):
    build = fw_load(place)
    assert build.with_texts({"mast.section": "strut"}).values["mast.section"] == "strut"
    with pytest.raises(BuildFileError, match=r"mast.section: got .*mine"):
        build.with_texts({"mast.section": "mine"})
    with pytest.raises(BuildFileError, match=r"sections\.mine\.file: got a shape given anew"):
        build.with_texts({"sections.mine.file": "strut.dat"})


def test_kept_tables_load_no_solver(place):
    code = "import sys, foilwright as fw; fw.load(sys.argv[1]); print('neuralfoil' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code, str(place)], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
