"""Build files that are no TOML, no text or no file at all: a sentence each, never a traceback."""

from __future__ import annotations

import os
import random
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from told import AREA, BUILD, LAKE, MASS, RIDE, changed, faults, line_with, only

from foilwright.build import load, save
from foilwright.core.errors import BuildFileError


@pytest.mark.parametrize(
    ("form", "got"),
    [
        ("", "no format"),
        ("format = 2", "format 2 (a later format needs a later version of this program)"),
        ('format = "1"', 'format "1"'),
        ("format = 1.0", "format 1.0"),
        ("format = true", "format true"),
        ("format = [1]", "format a list"),
        ("format = 0", "format 0"),
        ("format = 2024-05-01", "format the date 2024-05-01"),
    ],
)
def test_the_format_is_the_whole_number_1(form: str, got: str) -> None:
    fault = only(changed("format = 1", form))
    assert (fault.field, fault.got, fault.example) == ("format", got, "format = 1")
    assert fault.line == (2 if form else None)


@pytest.mark.parametrize("text", ["", "\n", "# nothing\n", "[wing]\n"])
def test_an_empty_file_has_no_format(text: str) -> None:
    assert only(text).got == "no format"


def test_a_file_of_nothing_but_its_format_lacks_every_table() -> None:
    assert {fault.field for fault in faults("format = 1\n")} >= {"water", "rider", "board", "wing", "ride"}


@pytest.mark.parametrize(
    ("old", "new", "field", "got"),
    [
        (AREA, f'{AREA}\narea = "1 m^2"', "wing.area", "a key that is written twice"),
        ("[wing]", "[wing]\n[wing]", "", "a table that is written twice"),
        (AREA, "area = 1600 cm^2", "wing.area", "1600 cm^2 without straight quotes"),
        (AREA, "area = “1600 cm^2”", "wing.area", "“1600 cm^2” without straight quotes"),
        (AREA, 'area = "1600 cm^2', "wing.area", "a text whose quotes are not closed"),
        (AREA, "area = '1600 cm^2", "wing.area", "a text whose quotes are not closed"),
        (AREA, "area", "", "a line that is neither a [table] nor a key = value"),
        (AREA, 'area: "1600 cm^2"', "", "a line that is neither a [table] nor a key = value"),
        (AREA, "area =", "wing.area", "no TOML: Invalid value"),
        (AREA, "area = 1.2.3", "wing.area", "1.2.3 without straight quotes"),
        ("[[part]]", "[part]", "", "a key that is written twice"),
    ],
)
def test_what_is_no_toml_is_told_in_plain_words(old: str, new: str, field: str, got: str) -> None:
    fault = only(changed(old, new))
    assert (fault.field, fault.got) == (field, got)
    assert fault.line is not None


def test_a_quantity_without_quotes_is_shown_with_them() -> None:
    assert only(changed(AREA, "area = 1700 cm^2  # more")).example == 'area = "1700 cm^2"'
    assert only(changed(MASS, "mass = 82,5")).example == 'mass = "82 kg"'


@pytest.mark.parametrize(
    "tail",
    [
        "\nx = " + "[" * 200_000,
        "\nx = " + "[\n" * 200_000,
        "\nx = " + "{a=" * 3000,
        "\n" + ".".join("a" * 4000) + " = 1",
        "\n" + ".".join("a" * 400_000) + " = 1",
        "\n[" + ".".join("a" * 4000) + "]",
        "\nx = " + "9" * 9000,
        "\nx = '" + "y" * 9000 + "'",
        "\nx = '''" + "y\n" * 9000,
        "\n" * 9000 + "x",
    ],
    ids=lambda tail: tail[:12].replace("\n", "/"),
)
def test_what_is_endless_or_deep_ends_in_a_sentence(tail: str) -> None:
    assert all(len(fault.sentence()) < 500 for fault in faults(LAKE + tail))


def test_a_deep_table_in_place_of_a_value_ends_in_a_sentence() -> None:
    assert only(changed(AREA, "area" + ".a" * 3000 + " = 1")).got == "a table"


def written(folder: Path, raw: bytes) -> BuildFileError:
    path = folder / "mine.toml"
    path.write_bytes(raw)
    with pytest.raises(BuildFileError) as caught:
        load.load(path)
    return caught.value


@pytest.mark.parametrize(
    ("raw", "got"),
    [
        (b"#" * 5_000_000, "more than 1000000 bytes"),
        (bytes(range(256)) * 20, "bytes that are not text"),
        (LAKE.replace("wing", "fl\xfcgel").encode("latin-1"), "bytes that are not text"),
        (LAKE.encode("utf-16"), "bytes that are not text"),
        (b"", "no format"),
        (b"\x00", "a line that is neither a [table] nor a key = value"),
        (b"\x7fELF\x02\x01", "a line that is neither a [table] nor a key = value"),
    ],
    ids=["5 MB", "binary", "Latin", "UTF-16", "empty", "null", "program"],
)
def test_what_is_no_text_ends_in_a_sentence(tmp_path: Path, raw: bytes, got: str) -> None:
    (fault,) = written(tmp_path, raw).faults
    assert (fault.file, fault.got) == ("mine.toml", got)


@pytest.mark.parametrize(
    ("path", "got"),
    [
        (".", "a folder"),
        ("", "a folder"),
        ("there-is-none.toml", "no such file or directory"),
        ("lake.toml/lake.toml", "not a directory"),
        ("a\0b.toml", "a name that no file can have"),
        ("x" * 5000, "file name too long"),
    ],
)
def test_what_is_no_file_ends_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, path: str, got: str
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lake.toml").write_text(LAKE)
    with pytest.raises(BuildFileError) as caught:
        load.load(path)
    (fault,) = caught.value.faults
    assert fault.got == got
    assert len(fault.sentence()) < 300


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser reads every file")
def test_a_file_that_may_not_be_read_ends_in_a_sentence(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(LAKE)
    path.chmod(0)
    with pytest.raises(BuildFileError, match="permission denied"):
        load.load(path)


def test_a_refused_reading_ends_in_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(BuildFileError, match="permission denied"):
        load.load(tmp_path / "mine.toml")


@pytest.mark.parametrize(
    "raw",
    [b"\xef\xbb\xbf" + LAKE.encode(), LAKE.replace("\n", "\r\n").encode(), LAKE.rstrip("\n").encode()],
    ids=["byte order mark", "CRLF", "no last line end"],
)
def test_the_habits_of_editors_are_read(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(raw)
    assert load.load(path).values == BUILD.values


def test_dotted_keys_and_inline_tables_are_read_and_their_lines_told() -> None:
    table = re.search(r"\[targets\]\n(.*)", LAKE, flags=re.DOTALL)
    assert table
    keys = dict(re.findall(r'(\w+) = ("[^"]+")', table[1]))
    rest = LAKE.replace(table[0], "")
    inline = "targets = {" + ", ".join(f"{key} = {value}" for key, value in keys.items()) + "}\n"
    dotted = "".join(f"targets.{key} = {value}\n" for key, value in keys.items())
    quoted = "".join(f"\"targets\" . '{key}' = {value}\n" for key, value in keys.items())
    for head in (inline, dotted, quoted):
        assert load.read(head + rest, name="m", file="m").values == BUILD.values
        wrong = head.replace("25 km/h", "25 kg")
        assert only(wrong + rest).line == line_with(wrong, "25 kg")


def test_lists_that_alternate_keep_their_lines() -> None:
    first, second = 'name = "battery box"', 'name = "mast plate"'
    assert first in LAKE
    text = LAKE.replace(f"[[part]]\n{second}", f"{RIDE}\n[[part]]\n{second}").replace('mass = "0.9 kg"', "mass = 9")
    fault = only(text)
    assert (fault.field, fault.line) == ("part.mast plate.mass", line_with(text, "mass = 9"))


def test_a_text_of_several_lines_does_not_mislead_the_line() -> None:
    text = LAKE.replace('name = "lake"', 'name = """\n[wing]\narea = 3\n"""', 1).replace(AREA, "area = 1600")
    told = {fault.field: fault.line for fault in faults(text)}
    assert told["wing.area"] == line_with(text, "area = 1600")


@given(st.text(max_size=60))
def test_any_text_gives_a_build_or_sentences(text: str) -> None:
    faults(text)
    faults(f"format = 1\n{text}")


MARKS = "[]{}=\"'#.,\n 0199-+eéµ%\\x"


def test_any_slip_of_the_keys_gives_a_build_or_sentences() -> None:
    """Letters changed, lost, doubled or moved, in a file that was right."""
    chance = random.Random(1)  # noqa: S311 - slips of the keys, no secret
    sound = 0
    for _ in range(400):
        letters = list(LAKE)
        for _ in range(chance.randint(1, 4)):
            at, slip = chance.randrange(len(letters)), chance.random()
            if slip < 0.4:
                letters[at] = chance.choice(MARKS)
            elif slip < 0.6:
                del letters[at : at + chance.randint(1, 30)]
            elif slip < 0.8:
                letters[at:at] = letters[chance.randrange(len(letters)) :][: chance.randint(1, 40)]
            else:
                letters.insert(at, chance.choice(MARKS))
        try:
            build = load.read("".join(letters), name="mine", file="mine.toml")
        except BuildFileError:
            continue
        sound += 1
        assert load.read(save.explained(build, "mine"), name="mine", file="mine.toml").values == build.values
        assert load.read(save.with_changes(build, {"water.depth": 2.5}), name="m", file="m")
    assert 3 < sound < 300
