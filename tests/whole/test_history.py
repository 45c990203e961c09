"""The history of a craft from the plain files in its folder."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from foilwright.cli import main
from foilwright.core.errors import FoilwrightError, PlaceError
from foilwright.study import history


def test_builds_and_days_are_told_with_what_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    main(["new", "mine", "--from", "first-try"])
    main(["new", "mine-2", "--from", "first-try", "--set", "wing.area=1500 cm^2", "--set", "factors.board_drag=1.12"])
    main(["learn", "mine.toml", "--demo"])
    (tmp_path / "broken.toml").write_text("format = 1\n[[run]\n", encoding="utf-8")
    capsys.readouterr()
    assert main(["history", "."]) == 0
    out = capsys.readouterr().out
    assert max(len(line) for line in out.splitlines()) <= 80
    assert out.index("mine.toml") < out.index("mine-2.toml")
    told = " ".join(out.split())
    for words in (
        "wing.area: 760 cm² before",
        "corrections: board drag 1.12",
        "2026-05-17 day-1.toml",
        "Not read: broken.toml",
    ):
        assert words in told, words
    assert main(["history", ".", "--json"]) == 0
    tree = json.loads(capsys.readouterr().out)
    assert [each["file"] for each in tree["builds"]] == ["mine.toml", "mine-2.toml"]
    assert [each["date"] for each in tree["days"]] == ["2026-05-17", "2026-05-24"]


def test_a_folder_without_builds_is_told(tmp_path: Path) -> None:
    with pytest.raises(FoilwrightError, match="no build file"):
        history.history(tmp_path)
    with pytest.raises(PlaceError, match="no folder"):
        history.history(tmp_path / "none")
