"""What is installed, and what is said where something is not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from foilwright import installed
from foilwright.core.errors import MissingExtraError, ModelError
from foilwright.core.extras import EXTRAS, Extra, need


def test_a_library_that_is_there_is_returned() -> None:
    assert need("json", extra="sections") is json


def test_a_library_that_is_missing_is_told_with_the_command_that_brings_it() -> None:
    with pytest.raises(MissingExtraError) as caught:
        need("no_such_library.part", extra="sections")
    assert "no_such_library, which is not installed" in str(caught.value)
    assert "pip install 'foilwright[sections]'" in str(caught.value)


def test_a_library_that_does_not_load_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "halfway_there.py").write_text("from math import no_such_thing\n", encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    with pytest.raises(MissingExtraError, match="halfway_there is installed but does not load"):
        need("halfway_there", extra="sections")


def test_an_unknown_extra_is_a_mistake_of_the_program() -> None:
    with pytest.raises(ModelError, match="there is no extra nothing"):
        need("json", extra="nothing")


def test_the_core_is_complete_where_the_tests_run() -> None:
    found = installed.look()
    assert found.complete
    assert "numpy" in {library.name for library in found.core}


def test_text_and_document_tell_every_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    missing = Extra(name="wings", adds="a thing " * 30, modules=("no_such_library",), megabytes=7)
    there = Extra(name="tables", adds="another thing", modules=("csv", "json"), megabytes=1)
    monkeypatch.setattr(installed, "EXTRAS", (missing, there))
    found = installed.look()
    shown = installed.text(found)
    assert max(map(len, shown.splitlines())) <= 80
    assert "pip install 'foilwright[wings]'" in shown
    assert "foilwright[tables]" not in shown
    document = json.loads(json.dumps(installed.document(found)))
    assert [(extra["name"], extra["installed"]) for extra in document["extras"]] == [
        ("wings", False),
        ("tables", True),
    ]


def test_each_extra_says_what_it_adds() -> None:
    assert all(extra.adds and extra.modules and extra.megabytes > 0 for extra in EXTRAS)
