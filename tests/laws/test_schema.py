"""Every field of the build file says what it means, in which range, and why it may not be changed."""

from __future__ import annotations

import re
import tomllib

import pytest

from foilwright.build.schema import LISTS, NAMED, OPTIONAL, ORDER, TABLES, Block, Meta, Root
from foilwright.core import units
from write_build_file_page import PAGE, page

FIELDS = {
    f"{table}.{name}": meta
    for table, block in {**TABLES, **LISTS, **NAMED}.items()
    for name, meta in block.metas().items()
}
each_field = pytest.mark.parametrize(("path", "meta"), FIELDS.items(), ids=FIELDS)
each_block = pytest.mark.parametrize(("name", "block"), {**TABLES, **LISTS}.items(), ids=[*TABLES, *LISTS])


@each_block
def test_a_table_says_what_it_is(name: str, block: type[Block]) -> None:
    assert re.fullmatch(r"[A-Z].{9,78}\.", (block.__doc__ or "").splitlines()[0])


@each_field
def test_a_field_is_described_in_a_few_plain_words(path: str, meta: Meta) -> None:
    assert re.fullmatch(r"[a-z].{6,110}[a-zC0-9%)\]]", meta.says)
    assert "  " not in meta.says
    for word in ("it ", "the the", "TODO"):
        assert not meta.says.startswith(word)


@each_field
def test_a_reason_against_change_is_a_clause(path: str, meta: Meta) -> None:
    assert not (meta.fixed and meta.beach)
    assert meta.fixed == "" or re.fullmatch(r"[a-z][a-z' ]+", meta.fixed)


@each_field
def test_the_example_is_right(path: str, meta: Meta) -> None:
    value = tomllib.loads(f"x = {meta.example}")["x"]
    assert meta.read(value) is not None


@each_field
def test_the_range_has_a_low_and_a_high_end(path: str, meta: Meta) -> None:
    if meta.kind in ("quantity", "count"):
        low, high = meta.bounds()
        assert low < high
        assert meta.unit in units.KINDS or meta.unit in units.accepted()
    elif meta.kind == "choice":
        assert len(set(meta.choices)) == len(meta.choices) >= 2


@each_field
def test_a_default_lies_in_its_range_and_has_a_source(path: str, meta: Meta) -> None:
    given = meta.default
    if given is None:
        return
    assert not meta.required
    assert re.search(r"\w{4}", given.source)
    value, low, high = (meta.read(text) for text in (given.value, given.low, given.high))
    if meta.kind in ("quantity", "count"):
        assert low <= value <= high
        bounds = meta.bounds()
        assert bounds[0] <= low <= high <= bounds[1]
    else:
        assert {value, low, high} <= set(meta.choices)


@each_field
def test_a_measured_field_stands_in_for_one_of_its_kind(path: str, meta: Meta) -> None:
    if meta.replaces:
        other = FIELDS[meta.replaces]
        assert path.startswith("measured.")
        assert (other.kind, other.unit, other.bounds()) == (meta.kind, meta.unit, meta.bounds())


def test_the_tables_are_those_of_the_whole_file() -> None:
    assert {*TABLES, *NAMED, "format", "name", "part", "joint"} == set(Root.model_fields)
    optional = {name for name, field in Root.model_fields.items() if not field.is_required()}
    assert optional == {*OPTIONAL, *NAMED, "name", "part", "joint"}


def test_what_must_be_in_order_is_of_one_kind() -> None:
    for low, relation, high in ORDER:
        assert relation in ("at most", "less than")
        assert FIELDS[low].unit == FIELDS[high].unit
        assert low.rpartition(".")[0] == high.rpartition(".")[0]


def test_the_defaults_themselves_are_in_order() -> None:
    for low, relation, high in ORDER:
        both = FIELDS[low].default, FIELDS[high].default
        if both[0] and both[1]:
            less, more = (FIELDS[path].read(each.value) for path, each in zip((low, high), both, strict=True) if each)
            assert less < more or (less == more and relation == "at most")


def test_a_reader_of_a_field_says_what_is_allowed() -> None:
    assert FIELDS["wing.area"].allowed() == "an area from 30 to 5000 cm^2"
    assert FIELDS["wires.phase_length"].allowed() == "a length from 5 cm to 3 m"
    assert FIELDS["wing.taper"].allowed() == "a number from 0.15 to 1"
    assert FIELDS["pack.series"].allowed() == "a whole number from 3 to 28"
    assert FIELDS["water.kind"].allowed() == "one of fresh, brackish, sea"
    assert FIELDS["part.name"].allowed() == "a text of one line and at most 60 letters"


def test_the_page_of_the_build_file_is_up_to_date() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "run scripts/write_build_file_page.py"
    assert page().count("\n| `") == len(FIELDS) + len(ORDER)
