"""The machinery of the outside checks, on small files of its own."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from foilwright.core.errors import DataError, ModelError
from foilwright.core.model import REGISTRY, Model
from foilwright.study import evidence, points
from foilwright.study.records import RECORDS
from foilwright.study.yardsticks import ADAPTERS

HEADER = ",".join(points.COLUMNS)
Write = Callable[..., Path]


@dataclass(frozen=True, slots=True, kw_only=True)
class Craft:
    speeds: Any
    planes: bool = True
    stopped_by: str = "reach"


def double(*, length: Any, section: str = "", count: int = 1) -> Any:
    assert isinstance(count, int)
    assert isinstance(section, str)
    return np.asarray(length) * 2.0 * count


def craft(*, speed: Any) -> Craft:
    return Craft(speeds=np.outer(speed, [1.0, 2.0]))


def broken(*, length: Any) -> Any:
    raise ModelError("this has no meaning")


@pytest.fixture(autouse=True)
def models(monkeypatch: pytest.MonkeyPatch) -> None:
    for name, function in (("double", double), ("craft", craft), ("broken", broken)):
        monkeypatch.setitem(ADAPTERS, name, function)


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def rows(*lines: str, topic: str = "topic") -> Path:
        (tmp_path / f"{topic}.csv").write_text("\n".join((HEADER, *lines)) + "\n", encoding="utf-8")
        return tmp_path

    return rows


def only(place: Path) -> evidence.Check:
    (check,) = evidence.run(place)
    return check


@pytest.mark.parametrize(
    ("row", "computed"),
    [
        ("a,double,,length=2,4,0,abs,by hand,read,,arithmetic", 4.0),
        ("a,double,,length=2;section=0012;count=3,12,0,abs,by hand,read,,arithmetic", 12.0),
        ("a,double,[1],length=[1 2.5],5,0,abs,published,read,,arithmetic", 5.0),
        ('a,double,"[1,0]",length=[[1 2] [3 4]],6,0,rel,measured,read,,"one, two"', 6.0),
        ('a,craft,"speeds[0,1]",speed=1e1,20.4,0.02,rel,library,from memory,,arithmetic', 20.0),
        ("a,craft,planes,speed=1,true,,,published,common practice,,arithmetic", True),
        ("a,craft,stopped_by,speed=1,reach,,,published,read,,arithmetic", "reach"),
    ],
)
def test_a_row_is_computed_and_met(write: Write, row: str, computed: object) -> None:
    check = only(write(row))
    assert check.computed == computed
    assert check.passes
    assert check.word == "met"


def test_a_miss_is_shown_as_a_miss(write: Write) -> None:
    check = only(write("a,double,,length=2,4.5,0.4,abs,published,read,,arithmetic"))
    assert not check.passes
    assert check.unexpected
    assert evidence.exit_status([check]) == 1
    assert "MISSED" in evidence.text([check])


def test_a_known_miss_keeps_its_value_and_its_reason(write: Write) -> None:
    check = only(write("a,double,,length=2,4.5,0.4,abs,published,read,the test was cold,arithmetic"))
    assert not check.passes
    assert not check.unexpected
    assert evidence.exit_status([check]) == 0
    assert "known miss" in evidence.text([check])
    assert "why: the test was cold" in evidence.text([check])
    (shown,) = evidence.document([check])["checks"]
    assert shown["pass"] is False
    assert shown["known_miss"] == "the test was cold"


def test_the_edge_of_the_tolerance_is_inside(write: Write) -> None:
    assert only(write("a,double,,length=1.45,3.0,0.1,abs,published,read,,arithmetic")).passes


def test_a_value_that_does_not_exist_is_a_miss_and_null(write: Write) -> None:
    def nowhere(*, length: float) -> Any:
        return np.full(1, np.nan) * length

    ADAPTERS["nowhere"] = nowhere
    try:
        check = only(write("a,nowhere,,length=1,3.0,0.1,abs,published,read,,arithmetic"))
    finally:
        del ADAPTERS["nowhere"]
    assert not check.passes
    text = json.dumps(evidence.document([check]), allow_nan=False)
    assert json.loads(text)["checks"][0]["computed"] is None


def test_the_document_has_the_agreed_keys(write: Write) -> None:
    out = evidence.document(evidence.run(write("a,double,,length=2,4,0,abs,by hand,read,,arithmetic")))
    assert out["format"] == 1
    agreed = "id model source kind known expected computed error allowed pass known_miss"
    assert " ".join(out["checks"][0]) == agreed


def test_the_table_fits_a_screen_and_counts_by_kind(write: Write) -> None:
    long = "a-name-that-is-much-longer-than-its-column"
    place = write(
        f"{long},double,,length=2,4,0,abs,by hand,read,,{'a long source ' * 12}",
        "b,double,,length=2,4.5,0.1,abs,published,read,a reason,paper",
        "c,double,,length=2,4,0.1,abs,measured,read,,paper",
    )
    shown = evidence.text(evidence.run(place))
    assert max(map(len, shown.splitlines())) <= 80
    assert long in shown
    assert shown.startswith("topic: 3 checks (1 published, 1 measured, 1 by hand); 2 met")


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        (",double,,length=2,4,0,abs,by hand,read,,s", "the cell id is empty"),
        ("a,double,,length=2,4,0,abs,by hand,read,,", "the cell source is empty"),
        ("a,double,,length=2,4,0,abs,guess,read,,s", "kind is 'guess'; allowed: published"),
        ("a,double,,length=2,4,0,abs,by hand,heard,,s", "known is 'heard'; allowed: read"),
        ("a,double,,length=2,4,x,abs,by hand,read,,s", "tolerance is 'x'; allowed: a number"),
        ("a,double,,length=2,4,-1,abs,by hand,read,,s", "tolerance is '-1'"),
        ("a,double,,length=2,4,0,,by hand,read,,s", "tolerance_kind is ''; allowed: abs, rel"),
        ("a,double,,length=2,0,0.1,rel,by hand,read,,s", "a relative tolerance of a zero value"),
        ("a,double,a b,length=2,4,0,abs,by hand,read,,s", "field is 'a b'"),
        ("a,double,,length,4,0,abs,by hand,read,,s", "inputs has 'length'"),
        ("a,double,,length=1;length=2,4,0,abs,by hand,read,,s", "inputs names length twice"),
        ("a,double,,length=[1 2,4,0,abs,by hand,read,,s", "without its closing one"),
        ("a,double,,length=[1 b],4,0,abs,by hand,read,,s", "numbers only or words only"),
        ("a,double,,length=[[1 2][3]],4,0,abs,by hand,read,,s", "rows of one length"),
        ("a,double,,length=2,4,0,abs,by hand,read,,s,t", "12 cells where 11 are needed"),
        ('a,double,,length=2,4,0,abs,by hand,read,,"s', "not a table of comma-separated cells"),
        ("a,double,,width=2,4,0,abs,by hand,read,,s", "double takes length, section, count"),
        ("a,double,,length=[1 2],4,0,abs,by hand,read,,s", "gives 2 values; the field must name one"),
        ("a,double,mass,length=2,4,0,abs,by hand,read,,s", "double gives no mass"),
        ("a,craft,,speed=2,4,0,abs,by hand,read,,s", "craft gives Craft"),
        ("a,craft,stopped_by,speed=2,4,0,abs,by hand,read,,s", "'reach' cannot be compared with 4.0"),
        ("a,broken,,length=2,4,0,abs,by hand,read,,s", "broken cannot be computed: this has no meaning"),
        ("a,nothing.such,,length=2,4,0,abs,by hand,read,,s", "there is no one model nothing.such"),
    ],
)
def test_a_bad_row_is_told_with_its_file_and_line(write: Write, row: str, sentence: str) -> None:
    with pytest.raises(DataError) as caught:
        evidence.run(write("# a remark", row))
    assert sentence in str(caught.value)
    assert "points/topic.csv" in str(caught.value)
    assert "line 3" in str(caught.value) or "comma-separated" in sentence


def test_several_faults_are_told_at_once(write: Write) -> None:
    write("a,double,,length=2,4,0,abs,guess,read,,s", "b,double,,length=2,4,x,abs,by hand,read,,s")
    place = write("a,double,,length,4,0,abs,by hand,read,,s", topic="other")
    with pytest.raises(DataError) as caught:
        evidence.run(place)
    assert len(str(caught.value).splitlines()) == 3


def test_an_id_used_twice_is_told(write: Write) -> None:
    row = "a,double,,length=2,4,0,abs,by hand,read,,s"
    write(row)
    with pytest.raises(DataError, match=r"topic.csv, line 2: the id a is already used in points/other.csv, line 2"):
        evidence.run(write(row, topic="other"))


def test_wrong_columns_are_told(tmp_path: Path) -> None:
    (tmp_path / "topic.csv").write_text("id,model\na,b\n", encoding="utf-8")
    with pytest.raises(DataError, match="line 1: the columns must be id,model,field"):
        evidence.run(tmp_path)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1", 1.0),
        ("-.5e-3", -0.0005),
        ("0.5", 0.5),
        ("0012", "0012"),
        ("nan", "nan"),
        ("1_0", "1_0"),
        ("true", True),
    ],
)
def test_a_cell_is_a_number_only_where_it_is_written_as_one(text: str, value: object) -> None:
    got = points.value(text)
    assert got == value
    assert type(got) is type(value)


def test_an_array_of_words_stays_words() -> None:
    np.testing.assert_array_equal(points.value("[naca0012 0015]"), np.array(["naca0012", "0015"]))


def test_an_adapter_under_the_name_of_a_model_calls_it(monkeypatch: pytest.MonkeyPatch) -> None:
    called: list[str] = []
    plain = Model.__call__

    def noted(self: Model[..., Any], *args: Any, **kwargs: Any) -> Any:
        called.append(self.name)
        return plain(self, *args, **kwargs)

    monkeypatch.setattr(Model, "__call__", noted)
    for path in points.files():
        for point in points.read(path):
            if point.model in RECORDS:
                called.clear()
                evidence.check(point)
                assert point.model in called, point.where


def test_a_model_is_found_by_its_full_name_or_by_a_name_used_once(
    write: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("one.only_here", "one.shared", "two.shared"):
        monkeypatch.setitem(REGISTRY, name, Model(double, "Somebody 1900", ()))
    row = "a,{},,length=2,4,0,abs,by hand,read,,arithmetic"
    assert only(write(row.format("only_here"))).passes
    assert only(write(row.format("two.shared"))).passes
    with pytest.raises(DataError, match=r"model shared; the name stands in one\.shared, two\.shared"):
        evidence.run(write(row.format("shared")))
