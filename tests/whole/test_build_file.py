"""Every wrong field of a build file: the place, what was written, what is allowed and an example."""

from __future__ import annotations

import contextlib
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from told import AREA, BUILD, LAKE, MASS, changed, faults, line_with, only

from foilwright.build import load
from foilwright.build.schema import LISTS, TABLES
from foilwright.core.errors import BuildFileError

OLD = sorted((Path(__file__).parent / "old").glob("*.toml"))


def test_each_scenario_loads() -> None:
    assert "lake" in load.scenarios()
    for name in load.scenarios():
        assert load.scenario(name).name == name


@pytest.mark.parametrize("path", OLD, ids=lambda path: path.stem)
def test_a_file_of_an_earlier_version_loads_for_ever(path: Path) -> None:
    assert load.load(path).values


def test_each_scenario_is_kept_as_it_was_first() -> None:
    assert set(load.scenarios()) <= {path.stem for path in OLD}


NO_NUMBER = "which is not one number with one unit"
INFINITE = "which is not a finite number"
COMMA = "which has a comma in its number (the decimal mark is a point)"
HUGE = "a number of more than 40 digits"
VALUES = [
    (AREA, "area = 1600", "wing.area", "1600 without a unit"),
    (AREA, 'area = "1600"', "wing.area", '"1600" without a unit'),
    (AREA, 'area = "12 kg"', "wing.area", '"12 kg", which is in kg'),
    (AREA, 'area = ["1600 cm^2"]', "wing.area", "a list"),
    (AREA, 'area = {value = "1600 cm^2"}', "wing.area", "a table"),
    (AREA, "area = true", "wing.area", "true"),
    (AREA, "area = 2024-05-01", "wing.area", "the date 2024-05-01"),
    (AREA, "area = 07:30:00", "wing.area", "the time 07:30:00"),
    (AREA, "area = 2024-05-01T07:30:00Z", "wing.area", "the date 2024-05-01T07:30:00+00:00"),
    (AREA, 'area = ""', "wing.area", f'"", {NO_NUMBER}'),
    (AREA, 'area = "1600 cm^2 !"', "wing.area", f'"1600 cm^2 !", {NO_NUMBER}'),
    (AREA, 'area = "16 dm^2 2 cm^2"', "wing.area", f'"16 dm^2 2 cm^2", {NO_NUMBER}'),
    (AREA, 'area = "900000 cm^2"', "wing.area", '"900000 cm^2"'),
    (AREA, 'area = "-1600 cm^2"', "wing.area", '"-1600 cm^2"'),
    (AREA, 'area = "0 cm^2"', "wing.area", '"0 cm^2"'),
    (MASS, 'mass = "nan kg"', "rider.mass", f'"nan kg", {NO_NUMBER}'),
    (MASS, 'mass = "inf kg"', "rider.mass", f'"inf kg", {NO_NUMBER}'),
    (MASS, "mass = nan", "rider.mass", "nan without a unit"),
    (MASS, 'mass = "1e999 kg"', "rider.mass", f'"1e999 kg", {INFINITE}'),
    (MASS, 'mass = "82,5 kg"', "rider.mass", f'"82,5 kg", {COMMA}'),
    (MASS, 'mass = "82 furlong"', "rider.mass", '"82 furlong", whose unit is unknown or of another kind'),
    (MASS, 'mass = "82 kg^9^9^9"', "rider.mass", f'"82 kg^9^9^9", {NO_NUMBER}'),
    (MASS, 'mass = "82 kg\\u001b[31m\\n"', "rider.mass", f'"82 kg?[31m?", {NO_NUMBER}'),
    ("taper = 0.55", "taper = 1e999", "wing.taper", f"inf, {INFINITE}"),
    ("taper = 0.55", "taper = -inf", "wing.taper", f"-inf, {INFINITE}"),
    ("taper = 0.55", "taper = nan", "wing.taper", f"nan, {INFINITE}"),
    ("taper = 0.55", "taper = 55", "wing.taper", "55"),
    ("taper = 0.55", "taper = false", "wing.taper", "false"),
    ("series = 13", 'series = "13"', "pack.series", '"13"'),
    ("series = 13", "series = 13.0", "pack.series", "13.0"),
    ("series = 13", "series = true", "pack.series", "true"),
    ("series = 13", "series = 0", "pack.series", "0"),
    ("series = 13", "series = -13", "pack.series", "-13"),
    ("series = 13", f"series = 0x{'F' * 6000}", "pack.series", HUGE),
    ("taper = 0.55", f"taper = 0x{'F' * 6000}", "wing.taper", f"{HUGE}, {INFINITE}"),
    ('kind = "fresh"', "kind = 1", "water.kind", "1"),
    ('kind = "fresh"', 'kind = ["fresh"]', "water.kind", "a list"),
    ('kind = "fresh"', 'kind = "lava"', "water.kind", '"lava"'),
    ('name = "lake"', "name = 7", "name", "7"),
    ('name = "lake"', 'name = ""', "name", '""'),
    ('name = "mast plate"', "name = 7", "part number 2.name", "7"),
    ('name = "mast plate"', 'name = " mast plate"', "part. mast plate.name", '" mast plate"'),
]


@pytest.mark.parametrize(("old", "new", "field", "got"), VALUES, ids=[f"{v[2]}-{v[1][:24]}" for v in VALUES])
def test_a_wrong_value_is_told_with_its_line(old: str, new: str, field: str, got: str) -> None:
    text = changed(old, new)
    fault = only(text)
    assert (fault.field, fault.got) == (field, got)
    assert fault.line == line_with(text, new)


def test_what_is_allowed_is_told_with_an_example() -> None:
    assert only(changed(AREA, "area = 1600")).sentence() == (
        f"mine.toml, line {line_with(LAKE, AREA)}, wing.area: got 1600 without a unit; "
        'allowed: an area from 30 to 5000 cm^2 (example: "1450 cm^2")'
    )


@pytest.mark.parametrize(
    ("old", "new", "field", "nearest"),
    [
        ('chord = "12 cm"', 'chord = "12 cm"\ncord = "12 cm"', "mast.cord", "chord"),
        ("[fuselage]", "[fuselages]", "fuselages", "fuselage"),
        ("[[ride.leg]]", "[[ride.legs]]\n[[ride.leg]]", "ride.legs", "leg"),
        ("place = ", "places = ", "part.battery box.places", "place"),
        ('section = "naca2412"', 'section = "NACA 2412"', "wing.section", "naca2412"),
        ('kind = "fresh"', 'kind = "Fresh"', "water.kind", "fresh"),
        ("[mast]", "[mast]\nspan = 1", "mast.span", "wing.span"),
        ("format = 1", "format = 1\nnam = 'x'", "nam", "name"),
        ("[mast]", '[mast]\n"chord\\n" = 1', "mast.chord?", "chord"),
    ],
)
def test_the_nearest_known_name_is_told(old: str, new: str, field: str, nearest: str) -> None:
    fault = only(changed(old, new))
    assert (fault.field, fault.nearest) == (field, nearest)


def test_what_is_missing_is_told_at_its_table() -> None:
    text = changed('ahead = "8 cm"\n', "")
    fault = only(text)
    assert (fault.field, fault.got, fault.line) == ("wing.ahead", "nothing", line_with(text, "[wing]"))
    fault = only(re.sub(r"\[pack\].*?(?=\n\[)", "", LAKE, flags=re.DOTALL))
    assert (fault.field, fault.got, fault.line) == ("pack", "nothing", None)
    assert fault.allowed == "one table [pack] with series, parallel, x"


NO_RIDE = LAKE.split("[[ride.leg]]")[0]
NO_PART = re.sub(r"\[\[part\]\].*?(?=\n\[mast\])", "", LAKE, flags=re.DOTALL)
ONE_PART = NO_PART.replace("\n[mast]", '\n[part]\nname = "a"\n\n[mast]')


@pytest.mark.parametrize(
    ("text", "field", "got", "example"),
    [
        (NO_RIDE, "ride", "nothing", "[ride]"),
        (NO_RIDE + "[ride]\n", "ride.leg", "nothing", "[[ride.leg]]"),
        (NO_RIDE + "[ride]\nleg = []\n", "ride.leg", "no leg", "[[ride.leg]]"),
        (NO_RIDE + '[ride.leg]\nname = "a"', "ride.leg", "a single table, [...]", "[[ride.leg]]"),
        (changed("[wing]", "[[wing]]"), "wing", "a list of tables, [[...]]", "[wing]"),
        (ONE_PART, "part", "a single table, [...]", "[[part]]"),
    ],
)
def test_a_list_is_no_table_and_a_table_no_list(text: str, field: str, got: str, example: str) -> None:
    fault = only(text)
    assert (fault.field, fault.got, fault.example) == (field, got, example)


def test_a_list_of_something_else_is_told() -> None:
    told = faults("part = [1, 'two']\n" + NO_PART)
    assert [(fault.field, fault.got) for fault in told] == [
        ("part number 1", "1"),
        ("part number 2", '"two"'),
    ]
    assert only("part = 3\n" + NO_PART).field == "part"


@pytest.mark.parametrize("kind", [kind for kind in LISTS if len(BUILD.names[kind]) > 1])
def test_names_in_a_list_are_their_own(kind: str) -> None:
    names = BUILD.names[kind]
    text = changed(f'name = "{names[1]}"', f'name = "{names[0]}"')
    fault = only(text)
    assert (fault.field, fault.got) == (f"{kind}.name", f'"{names[0]}" a second time')
    assert fault.line == [k for k, line in enumerate(text.splitlines(), 1) if f'"{names[0]}"' in line][1]
    for wrong in ("a.b", "a=b", 'a\\"b'):
        assert only(changed(f'name = "{names[1]}"', f'name = "{wrong}"')).field == f"{kind}.name"


@pytest.mark.parametrize("table", ["wing", "stabiliser"])
def test_a_surface_has_exactly_two_sizes(table: str) -> None:
    span = {"wing": 'span = "96 cm"', "stabiliser": 'span = "42 cm"'}[table]
    assert only(changed(span, "")).got == "1 of its sizes (area)"
    assert only(changed(span, f"{span}\naspect_ratio = 6.0")).got == "3 of its sizes (area, span, aspect_ratio)"
    assert only(changed(span, f"{span}\naspect_ratio = 6.0")).field == table
    assert load.read(changed(span, "aspect_ratio = 6.0"), name="m", file="m").values[f"{table}.aspect_ratio"] == 6.0


HEIGHT = 'height = "1.80 m"'
NOSE = 'nose_width = "48 cm"'
PIN = 'pin_diameter = "4 mm"'
ADDED = [
    (HEIGHT, 'prone_from = "1.2 m"\nprone_to = "90 cm"', "rider.prone_from", "rider.prone_to"),
    (HEIGHT, 'kneeling_from = "1.2 m"\nkneeling_to = "1.1 m"', "rider.kneeling_from", "rider.kneeling_to"),
    (NOSE, 'nose_thickness = "14 cm"', "board.nose_thickness", "board.thickness"),
    ("series = 13", 'start_charge = "40 %"\nstop_charge = 0.4', "pack.stop_charge", "pack.start_charge"),
    (PIN, 'hub_diameter = "9 mm"', "propeller.shaft_diameter", "propeller.hub_diameter"),
]
CHANGED = [
    (NOSE, 'nose_width = "71 cm"', "board.nose_width", "board.width"),
    ('tail_width = "52 cm"', 'tail_width = "71 cm"', "board.tail_width", "board.width"),
    (
        'free_volume = "6 L"',
        'free_volume = "15 L"',
        "part.battery box.free_volume",
        "part.battery box.volume",
    ),
    (PIN, 'pin_diameter = "10 mm"', "propeller.pin_diameter", "propeller.shaft_diameter"),
    (
        'diameter = "16 cm"',
        'hub_diameter = "12 cm"\ndiameter = "11 cm"',
        "propeller.hub_diameter",
        "propeller.diameter",
    ),
]


@pytest.mark.parametrize(
    ("old", "new", "low", "high"),
    [*CHANGED, *((old, f"{old}\n{new}", low, high) for old, new, low, high in ADDED)],
)
def test_written_fields_that_contradict_each_other_are_told(old: str, new: str, low: str, high: str) -> None:
    text = changed(old, new)
    fault = only(text)
    assert fault.field == low
    assert high in fault.got
    assert high in fault.allowed
    name = low.rpartition(".")[2]
    assert fault.line in [k for k, line in enumerate(text.splitlines(), 1) if line.startswith(f"{name} =")]


def test_equal_widths_do_not_contradict() -> None:
    assert load.read(changed('tail_width = "52 cm"', 'tail_width = "700 mm"'), name="m", file="m")


def test_a_contradiction_repeats_what_was_written() -> None:
    assert only(changed('tail_width = "52 cm"', 'tail_width = "810 mm"')).got == '"810 mm" where board.width is "70 cm"'


def test_all_faults_are_told_at_once_in_the_order_of_the_file() -> None:
    text = LAKE
    for old, new in [
        ('kind = "fresh"', 'kind = "lava"'),
        ('tail_width = "52 cm"', 'tail_width = "99 cm"'),
        ('name = "mast plate"', 'name = "battery box"'),
        ('chord = "12 cm"\n', ""),
        ('span = "96 cm"', 'span = "96 kg"\nmean_chord = "10 cm"'),
        ("blades = 3", "blades = 33\nblade = 3"),
    ]:
        text = text.replace(old, new, 1)
    told = faults(text)
    assert [fault.field for fault in told] == [
        "water.kind",
        "board.tail_width",
        "part.name",
        "mast.chord",
        "wing.span",
        "wing",
        "propeller.blades",
        "propeller.blade",
    ]
    assert [fault.line for fault in told] == sorted(fault.line or 0 for fault in told)


def test_thousands_of_faults_are_cut_short() -> None:
    told = load_error("\n".join(f"unknown{k} = 1" for k in range(3000)) + "\n" + LAKE)
    assert len(told.faults) == 41
    assert told.faults[-1].got == "2960 more faults"


def load_error(text: str) -> BuildFileError:
    with pytest.raises(BuildFileError) as caught:
        load.read(text, name="mine", file="mine.toml")
    return caught.value


def test_a_nameless_entry_does_not_hide_other_faults() -> None:
    text = changed('name = "battery box"\n', "").replace('tail_width = "52 cm"', 'tail_width = "99 cm"')
    assert [fault.field for fault in faults(text)] == ["board.tail_width", "part number 1.name"]
    text = changed('name = "mast plate"\nmass = "0.9 kg"\n', 'name = "battery box"\n')
    assert [fault.field for fault in faults(text)] == ["part.battery box.mass", "part.name"]


def test_path_names_of_the_command_line() -> None:
    build = BUILD
    with pytest.raises(BuildFileError) as caught:
        build.with_texts(
            {
                "wing.aera": "1 m^2",
                "part.box.x": "1 m",
                "wing.aspect_ratio": "6",
                "wing.section": "naca 2412",
                "pack.series": "13.5",
                "wing.taper": "nan",
                "wing": "1",
                "": "",
                "part.battery box.name": "b",
                "board.tail_width": "90 cm",
            }
        )
    told = {fault.field: fault for fault in caught.value.faults}
    assert told["wing.aera"].nearest == "wing.area"
    assert told["wing.aspect_ratio"].allowed == "wing.area or wing.span, the sizes written in this build"
    assert told["wing.section"].nearest == "naca2412"
    assert told["pack.series"].got == '"13.5"'
    assert told["board.tail_width"].got == '"90 cm" where board.width is "70 cm"'
    assert set(told) >= {"part.box.x", "wing.taper", "wing", "", "part.battery box.name"}


def test_fields_given_as_text_are_read_as_in_the_file() -> None:
    changes = [
        (AREA, "wing", "area", "1500 cm^2"),
        ("taper = 0.55", "wing", "taper", "0.5"),
        ('fill = "55 %"', "wing", "fill", "60 %"),
        ("series = 13", "pack", "series", "14"),
        ('section = "naca2412"', "wing", "section", "naca2410"),
        ('time = "5 min"', "ride.leg.play", "time", "6 min"),
    ]
    made = BUILD.with_texts({f"{table}.{name}": text for _, table, name, text in changes})
    text = LAKE
    for old, _, name, new in changes:
        text = text.replace(old, f"{name} = {new}" if '"' not in old else f'{name} = "{new}"', 1)
    assert made.values == load.read(text, name="lake", file="lake.toml").values
    assert made.hash != BUILD.hash
    assert BUILD.with_texts({"wing.section": "'naca2410'"}).values["wing.section"] == "naca2410"


@given(
    st.sampled_from([f"{table}.{name}" for table, block in TABLES.items() for name in block.metas()]),
    st.text(max_size=30),
)
def test_any_value_from_the_command_line_gives_a_build_or_sentences(path: str, text: str) -> None:
    with contextlib.suppress(BuildFileError):
        BUILD.with_texts({path: text})
