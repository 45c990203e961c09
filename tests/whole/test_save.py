"""Saving: what was there stays, comments and order too; a new file explains every field."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from told import BUILD as LAKE

from foilwright.build import load, save
from foilwright.build.build import Build
from foilwright.build.explain import WIDTH, explained
from foilwright.build.schema import LISTS, TABLES
from foilwright.core.errors import BuildFileError, PlaceError

OWN = """\
# Mine, third attempt.
format = 1
# (the name comes later)

[wing] # from the big printer
area = "1600 cm^2"  # measured on the drawing
taper = 0.55 # tips 11 cm
# span decides whether it fits the car
span = "960 mm"   # fits
ahead = "8 cm"
# end of the wing
"""


def own() -> Build:
    rest = re.sub(r"\[wing\].*?(?=\n\[)", "", LAKE.text, flags=re.DOTALL)
    body = rest[rest.index("[water]") :]
    return load.read(OWN + "\n" + body + "\n# the end\n", name="mine", file="mine.toml")


def again(text: str) -> Build:
    return load.read(text, name="mine", file="mine.toml")


def changed_lines(before: str, after: str) -> list[tuple[str, str]]:
    one, two = before.split("\n"), after.split("\n")
    assert len(one) == len(two)
    return [(a, b) for a, b in zip(one, two, strict=True) if a != b]


def test_nothing_changed_is_the_same_text() -> None:
    assert save.with_changes(own(), {}) == own().text


def test_a_change_touches_its_own_line_only() -> None:
    build = own()
    after = save.with_changes(build, {"wing.span": 1.0, "wing.taper": 0.5})
    assert changed_lines(build.text, after) == [
        ("taper = 0.55 # tips 11 cm", "taper = 0.5  # tips 11 cm"),
        ('span = "960 mm"   # fits', 'span = "1000 mm"  # fits'),
    ]
    assert again(after).values["wing.span"] == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("path", "value", "line"),
    [
        ("part.mast plate.mass", 1.25, 'mass = "1.25 kg"'),
        ("part.mast plate.place", "deck", 'place = "deck"'),
        ("ride.leg.play.time", 360.0, 'time = "6 min"'),
        ("ride.leg.play.take_offs", 5, "take_offs = 5"),
        ("motor.pole_pairs", 10.0, "pole_pairs = 10"),
        ("wing.fill", 0.6, 'fill = "60 %"'),
        ("wires.phase_area", 1.2e-5, 'phase_area = "12 mm^2"'),
        ("water.temperature", 290.15, 'temperature = "17 degC"'),
        ("wing.incidence", 0.03, 'incidence = "1.71887339 deg"'),
    ],
)
def test_a_field_is_changed_in_the_unit_in_which_it_stood(path: str, value: float | str, line: str) -> None:
    after = save.with_changes(LAKE, {path: value})
    ((_, new),) = changed_lines(LAKE.text, after)
    assert new == line
    made = again(after)
    assert made.values[path] == (value if isinstance(value, str) else pytest.approx(value, rel=1e-8))
    assert {name for name in LAKE.paths() if made.values.get(name) != LAKE.values.get(name)} == {path}


@pytest.mark.parametrize(
    ("path", "value", "line"),
    [
        ("wing.twist", -0.01745329252, 'twist = "-1 deg"'),
        ("gear.ratio", 3.0, "ratio = 3.0"),
        ("gear.efficiency", 0.96, 'efficiency = "96 %"'),
        ("ride.home", 300.0, 'home = "300 m"'),
        ("measured.craft_mass", 31.0, 'craft_mass = "31 kg"'),
        ("part.mast plate.y", 0.01, 'y = "0.01 m"'),
        ("ride.leg.play.take_offs", 4, "take_offs = 4"),
    ],
)
def test_a_field_that_was_not_there_is_added_to_its_table(path: str, value: float, line: str) -> None:
    before = LAKE.text.replace(
        'take_offs = 3\n\n[[ride.leg]]\nname = "cruise home"', '\n[[ride.leg]]\nname = "cruise home"'
    )
    after = save.with_changes(again(before), {path: value})
    assert set(after.splitlines()) >= set(before.splitlines())
    assert line in after.splitlines()
    assert again(after).values[path] == pytest.approx(value, rel=1e-8)


def test_a_field_that_stands_there_as_a_comment_comes_alive() -> None:
    build = again(explained(LAKE, "mine"))
    after = save.with_changes(build, {"wing.twist": -0.01745329252, "gear.ratio": 3.0})
    (twist, ratio) = changed_lines(build.text, after)
    assert twist[0].startswith('# twist = "0 deg"')
    assert twist[1].startswith('twist = "-1 deg"')
    assert twist[0].index("angle") == twist[1].index("angle")
    assert ratio[1].startswith("ratio = 3.0")
    assert again(after).values["gear.ratio"] == 3.0


def test_a_measured_value_is_kept_as_a_comment_when_its_field_is_given_anew() -> None:
    build = again(LAKE.text + '\n[measured]\nwing_incidence = "0.6 deg"  # by laser\ncraft_mass = "31 kg"\n')
    after = save.with_changes(build, {"wing.incidence": 0.0349065850})
    assert '\n# wing_incidence = "0.6 deg"  # by laser (before the change)\ncraft_mass = "31 kg"\n' in after
    assert 'incidence = "2 deg"' in after
    assert "measured.wing_incidence" not in again(after).values
    assert build.with_texts({"wing.incidence": "2 deg"}).values.keys() == again(after).values.keys()
    both = save.with_changes(build, {"wing.incidence": 0.0349065850, "measured.wing_incidence": 0.0349065850})
    assert again(both).values["measured.wing_incidence"] == pytest.approx(0.0349065850)


def test_an_order_of_its_own_is_kept() -> None:
    heads = re.split(r"\n(?=\[)", LAKE.text)
    text = "\n".join([heads[0], *reversed(heads[1:])])
    build = again(text)
    after = save.with_changes(build, {"wing.area": 0.15, "part.mast plate.x": 0.61})
    assert [new for _, new in changed_lines(text, after)] == ['area = "1500 cm^2"', 'x = "0.61 m"']


def test_dotted_and_inline_tables_are_changed() -> None:
    table = LAKE.text[LAKE.text.index("[targets]") :]
    rest = LAKE.text.replace(table, "")
    for head in (
        'targets = {cruise_speed = "25 km/h", wing_depth = "35 cm"} # aims\n',
        'targets.cruise_speed = "25 km/h" # aims\ntargets.wing_depth = "35 cm"\n',
    ):
        after = save.with_changes(again(head + rest), {"targets.cruise_speed": 7.5, "targets.run_time": 1200.0})
        made = again(after)
        assert made.values["targets.cruise_speed"] == pytest.approx(7.5)
        assert made.values["targets.run_time"] == pytest.approx(1200.0)
        assert made.values["targets.wing_depth"] == pytest.approx(0.35)
        assert "27 km/h" in after
        assert "# aims" in after


def test_the_line_ends_of_a_file_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(LAKE.text.replace("\n", "\r\n").encode())
    build = load.load(path)
    save.save(build, {"wing.area": 0.15, "wing.twist": 0.01, "gear.ratio": 3.0}, path)
    raw = path.read_bytes()
    assert raw.count(b"\r\n") == raw.count(b"\n")
    assert load.load(path).values["wing.area"] == pytest.approx(0.15)


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        ("wing.area", 9.0, "90000 cm\\^2"),
        ("board.tail_width", 0.9, "board.width"),
        ("wing.aspect_ratio", 6.0, "wing.area or wing.span"),
        ("wing.aera", 1.0, "did you mean wing.area"),
        ("wing.section", "naca9999", "naca9999"),
    ],
)
def test_a_change_that_makes_no_build_is_refused(tmp_path: Path, path: str, value: float | str, told: str) -> None:
    place = tmp_path / "lake.toml"
    place.write_text(LAKE.text)
    with pytest.raises(BuildFileError, match=told):
        save.save(LAKE, {path: value}, place)
    assert place.read_text() == LAKE.text
    assert [each.name for each in tmp_path.iterdir()] == ["lake.toml"]


def test_the_previous_file_stays_beside_the_new_one(tmp_path: Path) -> None:
    place = tmp_path / "mine.toml"
    place.write_text(own().text)
    save.save(load.load(place), {"wing.span": 1.0}, place)
    assert (tmp_path / "mine.toml.bak").read_text() == own().text
    first = place.read_text()
    save.save(load.load(place), {"wing.span": 1.1}, place)
    assert (tmp_path / "mine.toml.bak").read_text() == first
    assert {each.name for each in tmp_path.iterdir()} == {"mine.toml", "mine.toml.bak"}


def test_new_refuses_to_overwrite(tmp_path: Path) -> None:
    place = tmp_path / "mine.toml"
    save.write_new(LAKE, place)
    first = place.read_bytes()
    with pytest.raises(PlaceError, match=r"mine\.toml exists already"):
        save.write_new(LAKE, place)
    assert place.read_bytes() == first
    with pytest.raises(PlaceError, match="cannot be written"):
        save.write_new(LAKE, tmp_path / "no folder" / "mine.toml")
    with pytest.raises(PlaceError, match=r"exists already|cannot be written"):
        save.write_new(LAKE, tmp_path)


@pytest.mark.parametrize("scenario", load.scenarios())
def test_a_new_file_says_the_same_as_its_scenario(scenario: str) -> None:
    build = load.scenario(scenario)
    made = again(explained(build, 'a "new" one'))
    assert made.name == 'a "new" one'
    assert made.values == build.values
    assert made.names == build.names
    assert again(explained(made, "once more")).values == build.values


@pytest.mark.parametrize("scenario", load.scenarios())
def test_a_new_file_explains_every_field_in_lines_of_fair_length(scenario: str) -> None:
    build = load.scenario(scenario)
    text = explained(build, "mine")
    assert max(len(line) for line in text.splitlines()) <= WIDTH
    assert not any(line != line.rstrip() for line in text.splitlines())
    assert "\n\n\n" not in text
    own = {line for line in build.text.splitlines() if line.startswith("#")}
    lines = [line for line in text.splitlines() if line not in own]
    above = [lines[k - 1] for k, line in enumerate(lines) if line.startswith("[")]
    assert set(above) == {""}, "a table, or what is told above it, begins after an empty line"
    for name, block in {**TABLES, **LISTS}.items():
        place = re.search(rf"^(?:# )?\[+{re.escape(name)}\]+  # .*?(?=^$|\Z)", text, flags=re.MULTILINE | re.DOTALL)
        assert place, name
        for field, meta in block.metas().items():
            line = re.search(rf"^(?:# )?{field} = .*$", place[0], flags=re.MULTILINE)
            assert line, f"{name}.{field}"
            assert meta.says.split()[0] in line[0]


def test_every_line_that_is_left_out_can_be_made_alive() -> None:
    text = explained(LAKE, "mine")
    lines = text.splitlines()
    metas = {f"{table}.{name}" for table, block in TABLES.items() for name in block.metas()}
    table, alive = "", set()
    for k, line in enumerate(lines):
        head = re.match(r"(?:# )?\[+([\w.]+)\]", line)
        table = head[1] if head else table
        found = re.match(r"# (\w+) = ", line)
        if not found or table not in TABLES:
            continue
        with_it = "\n".join([*lines[:k], line[2:], *lines[k + 1 :]])
        if found[1] in ("aspect_ratio", "mean_chord"):
            with pytest.raises(BuildFileError, match="exactly two of"):
                again(with_it)
        else:
            assert f"{table}.{found[1]}" in again(with_it).values
            alive.add(f"{table}.{found[1]}")
    sizes = {f"{table}.{size}" for table in ("wing", "stabiliser") for size in ("aspect_ratio", "mean_chord")}
    assert metas - set(LAKE.values) - alive <= sizes


def test_a_block_of_lines_made_alive_at_once_is_toml() -> None:
    text = explained(LAKE, "mine")
    _, _, rest = text.partition("[measured]")
    block = [re.sub("^# ", "", line) for line in rest.splitlines()[1:]]
    assert set(tomllib.loads("\n".join(block))) == set(TABLES["measured"].metas())


def test_own_comments_move_into_a_new_file() -> None:
    text = explained(own(), "mine")
    for told in (
        "# Mine, third attempt.", "# from the big printer", "# measured on the drawing", "# tips 11 cm",
        "# span decides whether it fits the car", "# fits", "# end of the wing", "# the end",
    ):  # fmt: skip
        assert told in text
    assert again(text).values == own().values


def test_a_build_without_parts_shows_how_to_write_one() -> None:
    rest = re.sub(r"\[\[part\]\].*?(?=\n\[mast\])", "", LAKE.text, flags=re.DOTALL)
    text = explained(again(rest), "mine")
    assert again(text).names["part"] == ()
    assert "\n# [[part]]  # " in text
    alive = re.sub(
        r"^# \[\[part\]\].*?(?=^$)", lambda found: re.sub("^# ", "", found[0], flags=re.MULTILINE), text,
        flags=re.MULTILINE | re.DOTALL,
    )  # fmt: skip
    assert again(alive).names["part"] == ("battery box",)
