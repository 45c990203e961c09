"""What was typed and is not saved yet, kept on the disk beside the build file."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from foilwright.core.data import write_kept
from foilwright.core.errors import PlaceError

FORMAT = 2
MOST = 200
"""Steps back that are kept."""

Edits = Mapping[str, str | None]
"""Fields given anew, as they are written, by path; none where a field is left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What is written after a step: fields given anew upon a text; none is the file as it is."""

    edits: Edits = field(default_factory=dict)
    text: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """The steps that led from the file to what is written now.

    ``base`` is the fingerprint of the file, ``file`` its text; ``at`` the step that counts; ``wrong`` what was
    typed and cannot be, by path.
    """

    base: str
    file: str
    steps: tuple[Step, ...]
    at: int
    wrong: Mapping[str, str]


def fingerprint(text: bytes) -> str:
    """Return what tells one text from another."""
    return hashlib.sha256(text).hexdigest()


def place(path: Path) -> Path:
    """Return where the draft of a build file is kept."""
    return path.with_name(f".{path.name}.draft")


def write(path: Path, draft: Draft) -> None:
    """Keep a draft; a failure to do so is an error, since what is typed must not be lost in silence."""
    steps = draft.steps[-MOST:]
    at = max(draft.at - (len(draft.steps) - len(steps)), 0)
    texts = list(dict.fromkeys(each.text for each in steps if each.text is not None))
    tree = {
        "format": FORMAT, "base": draft.base, "file": draft.file, "at": at, "wrong": dict(draft.wrong), "texts": texts,
        "steps": [[dict(each.edits), None if each.text is None else texts.index(each.text)] for each in steps],
    }  # fmt: skip
    kept = place(path)
    fresh = kept.with_name(kept.name + ".new")
    try:
        fresh.write_text(json.dumps(tree, ensure_ascii=False, indent=0), encoding="utf-8", newline="\n")
        fresh.replace(kept)
    except OSError as error:
        raise PlaceError(f"the draft {kept.name} cannot be kept: {error.strerror or error}") from error


def drop(path: Path) -> None:
    """Take a draft away, once all of it is in the file."""
    try:
        place(path).unlink(missing_ok=True)
    except OSError as error:
        raise PlaceError(f"the draft {place(path).name} cannot be removed: {error.strerror or error}") from error


def read(path: Path) -> Draft | None:
    """Return the draft of a build file, if there is one; one that cannot be read is put aside, not thrown away."""
    kept = place(path)
    try:
        raw = kept.read_text(encoding="utf-8")
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError):
        raw = ""
    try:
        return _read(json.loads(raw))
    except (ValueError, KeyError, TypeError, AttributeError, IndexError):
        _aside(kept)
    return None


def _read(tree: Mapping[str, Any]) -> Draft:
    """Return a draft from what was kept; what is not of this form is an error."""
    steps = tuple(_step(each, tree) for each in tree["steps"])
    at = int(tree["at"])
    if tree["format"] not in (1, FORMAT) or at < 0:
        raise ValueError(tree["format"])
    _ = steps[at]
    wrong = {str(path): str(text) for path, text in tree["wrong"].items()}
    return Draft(base=str(tree["base"]), file=str(tree.get("file", "")), steps=steps, at=at, wrong=wrong)


def _step(kept: Any, tree: Mapping[str, Any]) -> Step:
    """Return a step; in the first format it is its edits alone."""
    edits, text = (kept, None) if tree["format"] == 1 else kept
    given = {str(path): None if each is None else str(each) for path, each in edits.items()}
    return Step(edits=given, text=None if text is None else str(tree["texts"][int(text)]))


def _aside(kept: Path) -> None:
    try:
        write_kept(kept.with_name(kept.name + ".unreadable"), kept.read_text(encoding="utf-8", errors="replace"))
        kept.unlink()
    except OSError:
        return
