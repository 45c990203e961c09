"""The cards: each scenario gives all of them, and their numbers are those of the answers."""

from __future__ import annotations

import re
import sys
import tomllib
from pathlib import Path

import numpy as np
import pytest

from foilwright import cli
from foilwright.assemble import assemble
from foilwright.build import load
from foilwright.core import units
from foilwright.core.data import folder, table
from foilwright.core.errors import BuildFileError, MissingExtraError
from foilwright.parts import ready
from foilwright.parts.ready import screen, session, tables, texts
from foilwright.parts.ready.card import Card, Caution, Rows, Say, Steps
from foilwright.parts.ready.facts import NO_NUMBER, Facts, facts
from foilwright.questions.finding import VERDICTS
from foilwright.questions.state import State

ROOT = Path(__file__).parents[2]
NAMES = load.scenarios()
STAGES = 9
ASKED_FOR = [
    "reach",
    "balance",
    "angles",
    "motor",
    "millivolts",
    "coupon",
    "foam",
    "box_heat",
    "towel",
    "goods",
    "weigh",
    "as_built",
    "torque",
    "proof",
    "plug_in",
    "charge",
    "shim",
    "throttle",
    "tow",
    "session",
    "after",
    "weather",
    "launch",
    "faults",
    "emergency",
]


@pytest.fixture(scope="module")
def known() -> dict[str, Facts]:
    return {name: facts(load.scenario(name)) for name in NAMES}


@pytest.fixture(scope="module")
def made(known: dict[str, Facts]) -> dict[str, dict[str, Card]]:
    return {name: {card.name: card for card in texts.filled(each)} for name, each in known.items()}


def lines(card: Card) -> list[str]:
    found = [card.title, card.place, card.needs, card.source]
    for block in card.blocks:
        if isinstance(block, Say | Caution):
            found.append(block.text)
        elif isinstance(block, Steps):
            found += [block.title, *block.steps]
        else:
            found += [block.title, *block.head, *(cell for row in block.rows for cell in row)]
    return found


def whole(card: Card) -> str:
    return "\n".join(lines(card))


def rows(card: Card, first: str) -> dict[str, tuple[str, ...]]:
    found = next(block for block in card.blocks if isinstance(block, Rows) and block.head[0] == first)
    return {row[0]: row for row in found.rows}


@pytest.mark.parametrize("name", NAMES)
def test_every_card_is_there_and_says_only_what_is_known(made: dict[str, dict[str, Card]], name: str) -> None:
    cards = made[name]
    assert set(ASKED_FOR) <= set(cards)
    assert sum(each.startswith("stage_") for each in cards) == STAGES
    for card in cards.values():
        assert card.blocks
        for line in lines(card):
            assert not re.search(r"\bnan\b|\binf\b|[{}]|\d\.\d{5}|\de[+-]\d", line), (card.name, line)
            assert NO_NUMBER not in line, (card.name, line)
            assert not re.match(r"\[(not )?[a-z ]+\] ", line), (card.name, line)


@pytest.mark.parametrize("name", NAMES)
def test_no_card_says_that_a_craft_is_safe(made: dict[str, dict[str, Card]], name: str) -> None:
    told = "\n".join(whole(card) for card in made[name].values()).replace("fail-safe", "")
    assert not re.search(r"\b(safe|safely|legal|guaranteed)\b", told, re.IGNORECASE)
    assert "ask the authority" in whole(made[name]["first"])


def test_every_text_can_be_reached_and_every_table_is_used() -> None:
    used = {block["table"] for card in texts.written() for block in card["block"] if "table" in block}
    assert used == set(tables.TABLES)
    names = [card["name"] for card in texts.written()]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("name", NAMES)
def test_the_fields_that_a_card_measures_exist(known: dict[str, Facts], name: str) -> None:
    for card in texts.written():
        for path in card.get("measures", ()):
            if "*" not in path:
                known[name].build.meta(path)


def test_numbers_on_cards_are_those_of_the_answers(known: dict[str, Facts], made: dict[str, dict[str, Card]]) -> None:
    numbers, cards = known["lake"].answers.numbers, made["lake"]

    def shown(name: str, unit: str) -> str:
        return units.show(float(numbers[name][0]), unit)

    assert shown("take_off_speed", "m/s") in whole(cards["stage_6"])
    assert shown("take_off_electric_power", "W") in whole(cards["stage_6"])
    for mark in ("slowest_flight", "fastest_flight", "cruise_speed"):
        assert shown(mark, "m/s") in whole(cards["stage_7"])
    assert shown("cruise_electric_power", "W") in whole(cards["stage_7"])
    assert f"{numbers['total_mass'][0]:.0f} kg" in whole(cards["tow"])
    assert f"{numbers['freeboard_prone'][0] * 100:.0f} cm" in whole(cards["stage_5"])


@pytest.mark.parametrize("name", NAMES)
def test_masses_add_up_to_the_craft(known: dict[str, Facts], made: dict[str, dict[str, Card]], name: str) -> None:
    book, sheet = known[name].state.weights.masses, rows(made[name]["weigh"], "Part")
    assert sheet["whole craft, without rider"][1] == f"{book.mass[0]:.2f} kg"
    assert len(sheet) >= len(book.pieces) + 4
    assert all(row[-1] == "" for row in sheet.values())


@pytest.mark.parametrize("name", NAMES)
def test_the_throttle_card_ends_at_the_pull_at_rest(
    known: dict[str, Facts], made: dict[str, dict[str, Card]], name: str
) -> None:
    card = rows(made[name]["throttle"], "Setting")
    pulls = [float(row[3].split(" N")[0]) for row in card.values()]
    assert pulls == sorted(pulls)
    assert pulls[-1] == pytest.approx(known[name].state.drive.bollard[0], abs=0.5)
    stops = known[name].state.supply.stop_voltage[0]
    assert all(float(row[2].split()[0]) >= stops - 0.05 for row in card.values())


@pytest.mark.parametrize("name", NAMES)
def test_the_tow_sheet_follows_the_run(known: dict[str, Facts], made: dict[str, dict[str, Card]], name: str) -> None:
    run = known[name].state.run
    for row in rows(made[name]["tow"], "Speed").values():
        speed, drag = float(row[0].split()[0]) / 3.6, float(row[1].split()[0])
        assert drag == pytest.approx(np.interp(speed, run.speeds, run.resistance[0]), abs=6.0)


def test_the_shim_card_turns_angles_into_places_of_the_feet(
    known: dict[str, Facts], made: dict[str, dict[str, Card]]
) -> None:
    moved = known["lake"].state.motions.stance_per_angle[0] * np.radians(1.0) * 100.0
    plus, minus = (rows(made["lake"]["shim"], "Stabiliser's angle")[key] for key in ("+1.0°", "-1.0°"))
    for told, back, centimetres in zip(plus[2:], minus[2:], moved, strict=True):
        assert told == f"{abs(centimetres):.1f} cm {'forward' if centimetres > 0 else 'back'}"
        assert told.split()[:2] == back.split()[:2]
        assert told != back


def test_a_craft_that_never_rises_is_held_ashore(known: dict[str, Facts], made: dict[str, dict[str, Card]]) -> None:
    assert not known["first-try"].flies
    cards = made["first-try"]
    assert "not found to take off" in whole(cards["throttle"])
    assert "No hold with this lid" in whole(cards["vacuum"])
    gates = rows(cards["first"], "Stage")
    assert gates["2"][2] == "yes"
    assert "rise" in gates["6"][2]
    assert "rise" not in gates["5"][2]
    for stage in ("stage_6", "stage_7", "stage_8"):
        first = cards[stage].blocks[0]
        assert isinstance(first, Caution)
        assert "waits until" in first.text
    assert not any(isinstance(block, Rows) for block in cards["shim"].blocks)
    failing = {f.name for f in known["first-try"].answers.all() if f.applies[0] and VERDICTS[f.verdict[0]] == "fails"}
    assert failing <= {cell for block in cards["open"].blocks if isinstance(block, Rows) for _, cell, _ in block.rows}


def test_what_a_build_left_assumed_is_measured_first(known: dict[str, Facts]) -> None:
    for each in known.values():
        order = [card for card in texts.filled(each) if card.place in ("bench", "beach")]
        left = [
            bool(tables.assumed_of(each, next(c for c in texts.written() if c["name"] == card.name)["measures"]))
            for card in order
            if any("measures" in c for c in texts.written() if c["name"] == card.name)
        ]
        assert left == sorted(left, reverse=True)


def test_a_measured_build_has_less_to_measure() -> None:
    build = load.scenario("lake").with_texts(
        {"measured.craft_mass": "31 kg", "measured.balance_point": "0.8 m", "board.not_thought_of": "0 %"}
    )
    cards = ready.cards(build)
    balance = next(card for card in cards if card.name == "balance")
    assert "states all that this measures" in whole(balance)
    assert "31.00 kg" in whole(next(card for card in cards if card.name == "weigh"))


@pytest.mark.parametrize("name", NAMES)
def test_a_terminal_of_eighty_columns_shows_every_card(made: dict[str, dict[str, Card]], name: str) -> None:
    for card in made[name].values():
        text = screen.text(card)
        assert max(map(len, text.splitlines())) <= screen.WIDE
        for block in card.blocks:
            if isinstance(block, Say):
                assert " ".join(block.text.split()) in " ".join(text.split())
    listed = screen.index(tuple(made[name].values()), f"{name}.toml")
    assert max(map(len, listed.splitlines())) <= screen.WIDE


def test_a_card_that_is_none_is_told_with_the_nearest(made: dict[str, dict[str, Card]]) -> None:
    with pytest.raises(BuildFileError, match="did you mean throttle"):
        ready.chosen(tuple(made["lake"].values()), ["throtle"])


# written


def test_the_files_are_written_and_a_filled_session_is_left_alone(tmp_path: Path) -> None:
    pytest.importorskip("typst")
    build = load.scenario("lake")
    cards = ready.cards(build)
    place = tmp_path / "new" / "cards"
    assert [path.name for path in ready.write(build, cards, place)] == ["ready.md", "session.toml", "ready.pdf"]
    page = (place / "ready.md").read_text(encoding="utf-8")
    assert all(f'<a id="{card.name}"></a>' in page for card in cards)
    printed = (place / "ready.pdf").read_bytes()
    assert printed.startswith(b"%PDF")
    (place / "session.toml").write_text("weeks of readings", encoding="utf-8")
    assert [path.name for path in ready.write(build, cards, place)] == ["ready.md", "ready.pdf"]
    assert (place / "session.toml").read_text(encoding="utf-8") == "weeks of readings"
    assert (place / "ready.pdf").read_bytes() == printed, "the same build gives the same bytes"


def test_without_the_typesetter_the_rest_is_written_and_the_way_to_it_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    build = load.scenario("lake")
    cards = ready.cards(build)
    assert [path.name for path in ready.write(build, cards, tmp_path, printed=False)] == ["ready.md", "session.toml"]
    with pytest.raises(MissingExtraError, match=r"foilwright\[parts\]"):
        ready.write(build, cards, tmp_path / "two")
    assert (tmp_path / "two" / "ready.md").is_file()


def test_the_command_prints_an_index_and_cards(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = str(folder() / "scenarios" / "lake.toml")
    assert cli.main(["ready", file]) == 0
    assert "throttle" in capsys.readouterr().out
    assert cli.main(["ready", file, "emergency"]) == 0
    assert "EMERGENCY CARD" in capsys.readouterr().out
    assert cli.main(["ready", file, "emergncy"]) == 2
    assert "did you mean emergency" in capsys.readouterr().err
    assert cli.main(["ready", file, "-o", str(tmp_path), "--no-pdf"]) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["ready.md", "session.toml"]


# the session file


def test_a_blank_session_is_toml_and_each_key_of_it_too() -> None:
    text = session.blank(load.scenario("lake"))
    blank = tomllib.loads(text)
    assert blank["format"] == 1
    assert blank["session"]["build"].startswith("lake ")
    filled = tomllib.loads(re.sub(r"^# (?=\[|[a-z_]+ = )", "", text, flags=re.MULTILINE))
    book = table("cards/session").texts
    for heading, many, key, unit in zip(book["table"], book["many"], book["key"], book["unit"], strict=True):
        entry = filled[heading][0] if many == "yes" else filled[heading]
        assert key in entry
        if unit and key != "stage":
            units.parse(entry[key], unit)


def test_the_page_tells_every_key_of_a_session() -> None:
    page = (ROOT / "docs" / "ready.md").read_text(encoding="utf-8")
    book = table("cards/session").texts
    for heading, many, key in zip(book["table"], book["many"], book["key"], strict=True):
        name = f"[[{heading}]]" if many == "yes" else f"[{heading}]"
        assert re.search(rf"^\| `{re.escape(name)}` \| `{key}` \|", page, re.MULTILINE)
    assert all(f"`{seen}`" in page for seen in table("cards/seen").texts["seen"])


def test_nothing_is_computed_that_the_answers_have(known: dict[str, Facts]) -> None:
    state = State(assemble(known["lake"].build)[0])
    np.testing.assert_array_equal(state.run.resistance, known["lake"].state.run.resistance)
    np.testing.assert_array_equal(state.drive.bollard, known["lake"].state.drive.bollard)
