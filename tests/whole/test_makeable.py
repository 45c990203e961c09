"""`makeable`: each of the workshop's limits is seen, and what it takes follows from the build."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest

from foilwright.assemble import assemble
from foilwright.build import load
from foilwright.build.build import Build
from foilwright.core.data import table
from foilwright.parts.foam.layers import blank
from foilwright.parts.foam.sheets import nested
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import VERDICTS
from foilwright.questions.report import why
from foilwright.questions.state import State
from foilwright.questions.state.making import making

LAKE = load.scenario("lake")
FIRST = load.scenario("first-try")
MAKEABLE = ["makeable"]


def words(build: Build, settings: Mapping[str, str] | None = None) -> dict[str, str]:
    """Return the verdict of each finding that applies, by the last part of its id."""
    answers = ask(build.with_texts(dict(settings or {})), questions=MAKEABLE)
    return {
        one.id.removeprefix("makeable."): VERDICTS[one.verdict[0]]
        for one in answers.findings["makeable"]
        if one.applies[0]
    }


def one_of(answers: Answers, name: str) -> float:
    return next(float(one.demand[0]) for one in answers.all() if one.id == f"makeable.{name}")


@pytest.mark.parametrize("scenario", ["lake", "sea", "trainer"])
def test_the_sound_scenarios_can_be_made(scenario: str) -> None:
    assert set(words(load.scenario(scenario)).values()) <= {"sound", "slim"}


def test_the_first_try_cannot_be_made_in_its_cellar() -> None:
    found = words(FIRST)
    assert {name for name, word in found.items() if word == "fails"} >= {
        "resin.cold", "resin.scale", "print.mast", "bench",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("finding", "path", "value"),
    [
        ("print.heat", "workshop.nozzle_temperature", "200 degC"),
        ("foam.joints", "workshop.sheet_width", "25 cm"),
        ("foam.sheets", "workshop.sheets", "2"),
        ("foam.cutter", "workshop.foam_cutter", "knife"),
        ("bench", "workshop.bench", "1.5 m"),
        ("cloth.length", "workshop.cloth_length", "5 m"),
        ("resin.working", "workshop.pot_life", "4 min"),
        ("resin.cold", "workshop.room_temperature", "10 degC"),
        ("resin.post_cure", "workshop.warmest_cure", "40 degC"),
        ("resin.scale", "workshop.scale", "10 g"),
        ("skin.mass", "board.bottom_layers", "9"),
        ("tools.metal", "workshop.metalwork", "none"),
        ("tools.crimp", "workshop.crimper", "hand crimper"),
        ("time", "workshop.time", "3 week"),
        ("money", "workshop.budget", "500"),
    ],
)
def test_each_limit_of_the_workshop_is_seen(finding: str, path: str, value: str) -> None:
    assert words(LAKE).get(finding, "sound") == "sound"
    assert words(LAKE, {path: value})[finding] == "fails"


def test_a_print_asks_for_printer_room_heat_and_housing() -> None:
    printed = {"mast.material": "printed abs", "mast.print": "standing", "mast.pieces": "3"}
    found = words(LAKE, printed)
    assert found["print.chamber"] == "fails"
    assert found["print.mast"] == "fails"
    assert words(LAKE, {**printed, "mast.pieces": "4"})["print.mast"] == "sound"
    assert words(LAKE, {**printed, "workshop.chamber": "warm"})["print.chamber"] == "sound"
    assert words(LAKE, {**printed, "workshop.printers": "0"})["print.printer"] == "fails"
    assert "print.mast" not in words(LAKE), "an aluminium mast asks for no printer"


def test_more_of_a_craft_takes_more_of_everything() -> None:
    small, large = (ask(LAKE.with_texts({"board.length": size}), questions=MAKEABLE) for size in ("1.6 m", "2.1 m"))
    for name in ("time", "money", "bench"):
        assert one_of(small, name) < one_of(large, name)


def test_a_batch_equals_its_members_and_nothing_is_lost() -> None:
    random = np.random.default_rng(11)
    vary = {
        "board.length": random.uniform(1.2, 2.2, 20), "workshop.bed_z": random.uniform(0.1, 0.4, 20),
        "workshop.sheet_thickness": random.uniform(0.02, 0.1, 20), "laminate.cloth": random.uniform(0.1, 0.4, 20),
        "mast.material": tuple(random.choice(["aluminium", "printed pla", "printed asa"], 20)),
        "workshop.foam_cutter": tuple(random.choice(["knife", "hot wire"], 20)),
    }  # fmt: skip
    many = ask(LAKE, questions=MAKEABLE, vary=vary)
    for row in range(20):
        single = ask(LAKE, questions=MAKEABLE, vary={path: values[row : row + 1] for path, values in vary.items()})
        for one, each in zip(single.all(), many.all(), strict=True):
            assert one.id == each.id
            np.testing.assert_allclose(each.demand[row], one.demand[0], rtol=1e-10, atol=1e-12)
            np.testing.assert_allclose(each.capacity[row], one.capacity[0], rtol=1e-10, atol=1e-12)
            assert each.verdict[row] == one.verdict[0]
            assert each.applies[row] == one.applies[0]
            assert why(each, row) is None


def test_the_state_is_computed_once() -> None:
    state = State(assemble(LAKE)[0])
    assert state.making is state.making
    assert state.computed["making"] == 1


@pytest.mark.parametrize("scenario", load.scenarios())
def test_the_bound_on_sheets_is_near_the_real_nest(scenario: str) -> None:
    craft = assemble(load.scenario(scenario))[0]
    state = State(craft)
    real = nested(blank(craft), craft).sheets
    assert abs(float(state.making.sheets[0]) - real) <= max(2.0, 0.35 * real)


def test_the_keys_of_hours_and_prices_are_quantities() -> None:
    state = State(assemble(LAKE)[0])
    known = making(state.craft, state.weights).quantities
    for name in ("workshop/tasks", "workshop/prices"):
        assert set(table(name).texts["key"]) <= set(known)
    assert all(np.isfinite(values).all() and (values >= 0.0).all() for values in known.values())
    prices = table("workshop/prices").columns
    assert (prices["low"] <= prices["price"]).all()
    assert (prices["price"] <= prices["high"]).all()
