"""Every row of the outside checks holds, and there are enough of them."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from foilwright.core.errors import DataError
from foilwright.study import evidence, points
from foilwright.study.points import Point

LEAST_IN_ALL = 90
LEAST_FROM_OTHERS = 45
MOST_KNOWN_MISSES = 0.05


def readable(path: Path) -> tuple[Point, ...]:
    try:
        return points.read(path)
    except DataError:
        return ()


FILES = points.files()
POINTS = [point for path in FILES for point in readable(path)]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_file_of_checks_is_readable(path: Path) -> None:
    assert points.read(path)


def test_no_id_is_used_twice() -> None:
    assert points.repeated(POINTS) == []


@pytest.mark.parametrize("point", POINTS, ids=lambda point: f"{point.topic}:{point.id}")
def test_a_published_value_is_met(point: Point) -> None:
    check = evidence.check(point)
    if point.known_miss:
        assert not check.passes, "this value is met now: empty its cell known_miss"
    else:
        assert check.passes, f"computed {check.computed}, expected {check.expected} within {check.allowed}"


def test_there_are_enough_checks_from_others() -> None:
    kinds = Counter(point.kind for point in POINTS)
    assert len(POINTS) >= LEAST_IN_ALL
    assert kinds["published"] + kinds["measured"] >= LEAST_FROM_OTHERS


def test_few_values_are_missed() -> None:
    assert sum(bool(point.known_miss) for point in POINTS) <= MOST_KNOWN_MISSES * len(POINTS)


def test_the_table_and_the_document_tell_every_check() -> None:
    checks = evidence.run()
    shown = evidence.text(checks)
    assert all(check.id in shown for check in checks)
    assert max(map(len, shown.splitlines())) <= 80
    assert len(evidence.document(checks)["checks"]) == len(checks) == len(POINTS)
    assert evidence.exit_status(checks) == 0
