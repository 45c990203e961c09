"""Spread of whole builds: likelihoods, what decides them, text and JSON."""

from __future__ import annotations

import json
import math
from fnmatch import fnmatchcase
from typing import Any

import numpy as np
import pytest
from scipy import stats

from foilwright import cli
from foilwright.assemble import assemble
from foilwright.build import load
from foilwright.build.schema import LISTS, TABLES
from foilwright.core.data import folder, table
from foilwright.core.errors import BuildFileError
from foilwright.questions.ask import ask
from foilwright.study.even import even_points
from foilwright.study.spread import Spread, document, indices, spread, text, uncertain
from foilwright.study.spread.measuring import how

LAKE = load.scenario("lake")
FACTORS = [f"factors.{name}" for name, meta in TABLES["factors"].metas().items() if meta.default]


@pytest.fixture(scope="module")
def found() -> Spread:
    return spread(LAKE, samples=600, questions=["rise", "push"])


def test_what_is_assumed_is_uncertain_and_what_is_written_is_not() -> None:
    over = uncertain(LAKE, as_built=True, ranges={})
    paths = {each.path for each in over}
    assert set(FACTORS) < paths
    assert paths.isdisjoint(LAKE.values)
    assert paths <= {each.path for each in assemble(LAKE)[1]}
    given = uncertain(LAKE, as_built=True, ranges={"rider.mass": (70.0, 90.0)})
    assert {each.path for each in given} - paths == {"rider.mass"}


@pytest.mark.parametrize(
    ("path", "ends"), [("rider.mass", (90.0, 70.0)), ("rider.mass", (1.0, 80.0)), ("wing.section", (0.0, 1.0))]
)
def test_a_range_that_makes_no_sense_is_told(path: str, ends: tuple[float, float]) -> None:
    with pytest.raises(BuildFileError, match=path):
        uncertain(LAKE, as_built=True, ranges={path: ends})


def test_every_sample_is_one_of_a_batch(found: Spread) -> None:
    for each in found.chances:
        assert sum(each.counts.values()) <= found.samples
        assert 0.0 <= each.low <= each.fails <= each.high <= 1.0
        assert each.fails == each.counts["fails"] / found.samples
    assert [each.fails for each in found.chances] == sorted((each.fails for each in found.chances), reverse=True)
    assert spread(LAKE, samples=600, questions=["rise", "push"]).chances == found.chances, (
        "the same build, the same spread"
    )


def test_the_hump_hangs_on_the_resistance_of_the_board_as_the_library_says() -> None:
    """Five model bands alone, against Saltelli's scheme of the library through the same models."""
    paths = {path: (0.75, 1.25) if "board" in path else (0.9, 1.1) for path in FACTORS}
    build = LAKE.with_texts(
        {each.path: str(each.value) for each in uncertain(LAKE, as_built=True, ranges={}) if each.names}
    )

    def thrust(x: np.ndarray) -> np.ndarray:
        answers = ask(build, questions=["rise"], vary=dict(zip(paths, np.atleast_2d(x), strict=True)))
        return next(each for each in answers.all() if each.id == "rise.thrust").margin

    dists = [stats.uniform(low, high - low) for low, high in paths.values()]
    theirs = stats.sobol_indices(func=thrust, n=256, dists=dists, rng=np.random.default_rng(1))
    points = even_points(512, len(paths))
    ours = indices(points, thrust(np.stack([each.ppf(points[:, k]) for k, each in enumerate(dists)]))[:, None])
    np.testing.assert_allclose(ours.total[:, 0], theirs.total_order, atol=0.05)
    np.testing.assert_allclose(ours.first[:, 0], theirs.first_order, atol=0.08)
    assert list(paths)[int(np.argmax(ours.total[:, 0]))] == "factors.board_drag"


def test_a_factor_moves_what_it_is_about() -> None:
    def at(path: str, name: str) -> float:
        numbers = ask(LAKE, vary={f"factors.{path}": np.array([1.0, 1.1])}).numbers[name]
        return float(numbers[1] / numbers[0] - 1.0)

    assert 0.03 < at("board_drag", "hump_resistance") < 0.10
    assert at("board_drag", "cruise_drag") == 0.0
    assert -0.06 < at("wing_lift", "slowest_flight") < -0.03
    assert 0.02 < at("wing_drag", "cruise_drag") < 0.10
    assert at("propeller_efficiency", "cruise_electric_power") == pytest.approx(1.0 / 1.1 - 1.0, abs=0.02)
    assert -0.02 < at("pack_resistance", "run_time") < 0.0


def test_what_is_in_doubt_hangs_on_what_is_named(found: Spread) -> None:
    assert 0 < len(found.deciding) <= 3
    totals = [each.total for each in found.deciding]
    assert totals == sorted(totals, reverse=True)
    for each in found.deciding:
        assert each.first <= each.total + 1e-12
        assert set(each.findings) <= {chance.id for chance in found.chances}
    assert found.deciding[0].range.path == "motor.thermal_resistance"


def test_a_known_input_is_no_longer_in_doubt(found: Spread) -> None:
    first = found.deciding[0].range
    known = spread(LAKE.with_texts({first.path: "0.3 K/W"}), samples=600, questions=["rise", "push"])
    assert first.path not in {each.path for each in known.ranges}
    assert known.nothing_fails[0] > found.nothing_fails[0]


def test_the_words(found: Spread) -> None:
    told = text(found)
    assert max(map(len, told.splitlines())) <= 80
    assert "MEASURE FIRST" in told
    assert "How: " in told
    assert "Winding temperature" in told


def test_text_of_every_scenario() -> None:
    for name in load.scenarios():
        told = text(spread(load.scenario(name), samples=64))
        assert max(map(len, told.splitlines())) <= 80
        assert "nan" not in told.replace("finan", "")


def test_the_tree(found: Spread) -> None:
    tree = json.loads(json.dumps(document(found), allow_nan=False))
    assert set(tree) == {"samples", "nothing_fails", "inputs", "findings", "measure_first", "in_doubt"}
    assert tree["samples"] == 600
    for each in tree["findings"]:
        assert set(each) == {"id", "now", "fails", "low", "high", "unknown", "slim", "sound", "explained"}
        assert each["fails"] + each["unknown"] + each["slim"] + each["sound"] <= 1.0 + 1e-12
    for each in tree["measure_first"]:
        assert set(each) == {"path", "total", "first", "findings", "how", "takes"}


def test_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    place = str(folder() / "scenarios" / "lake.toml")
    assert cli.main(["ask", place, "push", "--spread", "64"]) in (0, 1)
    assert "SPREAD  64 likely versions" in capsys.readouterr().out
    assert cli.main(["ask", place, "push", "--spread", "64", "--json"]) in (0, 1)
    tree: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert tree["spread"]["samples"] == 64
    assert cli.main(["ask", place, "--spread", "7"]) == 2
    assert "from 64 to 100000" in capsys.readouterr().err


def test_every_way_to_measure_is_of_a_field_that_exists() -> None:
    fields = [f"{name}.{key}" for name, block in {**TABLES, **LISTS}.items() for key in block.metas()]
    fields += [field.replace("part.", "part.box.") for field in fields if field.startswith("part.")]
    later = {"charger.*"}
    for pattern in set(table("measuring").texts["path"]) - later:
        assert any(fnmatchcase(field, pattern) for field in fields), pattern


@pytest.mark.parametrize("name", load.scenarios())
def test_how_to_measure_is_known_for_all_that_is_uncertain(name: str) -> None:
    build = load.scenario(name)
    for each in uncertain(build, as_built=True, ranges={}):
        told, takes = how(build, each.path)
        assert len(told) > 10
        assert takes.split()[1] in ("min", "h", "day", "week")


def test_confidence_narrows_with_samples() -> None:
    wide, narrow = (spread(LAKE, samples=n, questions=["push"]).nothing_fails for n in (64, 1024))
    assert narrow[2] - narrow[1] < 0.4 * (wide[2] - wide[1])
    assert math.isclose(wide[0], narrow[0], abs_tol=0.1)
