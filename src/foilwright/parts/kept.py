"""What was made before: a small list in the folder, so that only what changed is made anew."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from foilwright.core.data import write_whole
from foilwright.parts.job import Made

LIST = "made.json"


@dataclass(slots=True, kw_only=True)
class Kept:
    """What stands in a folder: by name its key, what was made, and the hash of each file."""

    folder: Path
    build: str  # hash of the build that is made now
    entries: dict[str, dict[str, Any]]
    missing: dict[str, str] = field(default_factory=dict)  # by kind, why it was not made

    @classmethod
    def read(cls, folder: Path, build: str) -> Kept:
        """Read the list of a folder; one that cannot be read counts as none."""
        try:
            tree = json.loads((folder / LIST).read_text(encoding="utf-8"))
            entries = dict(tree["made"]) if tree.get("format") == 1 else {}
            missing = {str(kind): str(why) for kind, why in tree.get("missing", {}).items()}
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            entries, missing = {}, {}
        return cls(folder=folder, build=build, entries=entries, missing=missing)

    def things(self) -> list[tuple[Made, str]]:
        """Return what stands in the list, each with the build that it was made for; what does not read is left out."""
        told = []
        for entry in self.entries.values():
            try:
                told += [(_made(one), str(entry["build"])) for one in entry["things"]]
            except (KeyError, TypeError, AttributeError):
                continue
        return told

    def same(self, name: str, key: str) -> list[Made] | None:
        """Return what was made under a name with the same key, if every file is still as it was."""
        entry = self.entries.get(name)
        if not isinstance(entry, dict) or entry.get("key") != key:
            return None
        try:
            if any(_hash(self.folder / file) != told for file, told in entry["files"].items()):
                return None
            things = [_made(one) for one in entry["things"]]
        except (OSError, KeyError, TypeError, AttributeError):
            return None
        entry["build"] = self.build
        return things

    def before(self, name: str) -> list[Made] | None:
        """Return what an earlier run made under a name, for whatever build, if its files are still there."""
        entry = self.entries.get(name, {})
        told = entry.get("build")
        things = self.same(name, str(entry.get("key")))
        if things is not None:
            entry["build"] = told
        return things

    def put(self, name: str, key: str, things: Iterable[Made]) -> None:
        """Keep what was made, and write the list."""
        made = list(things)
        files = {
            file: _hash(self.folder / file)
            for one in made
            for file in (*one.files, *([one.picture] * bool(one.picture)))
        }
        self.entries[name] = {"key": key, "build": self.build, "files": files, "things": [asdict(one) for one in made]}
        self.write()

    def drop(self, names: Iterable[str], kept: Mapping[str, object]) -> None:
        """Forget some entries, and take away their files that no other thing has."""
        there = {file for name in kept for file in self.entries.get(name, {}).get("files", {})}
        for name in names:
            for file in self.entries.pop(name, {}).get("files", {}):
                if file not in there:
                    (self.folder / file).unlink(missing_ok=True)
        self.write()

    def write(self) -> None:
        """Write the list in one step."""
        tree = {"format": 1, "made": {name: self.entries[name] for name in sorted(self.entries)}}
        tree |= {"missing": self.missing} if self.missing else {}
        write_whole(self.folder / LIST, json.dumps(tree, indent=1, sort_keys=True) + "\n")


def _made(told: Mapping[str, Any]) -> Made:
    return Made(
        files=tuple(told["files"]), kind=told["kind"], title=told["title"], purpose=told["purpose"],
        picture=told["picture"], numbers=dict(told["numbers"]), notes=tuple(told["notes"]),
        reached=dict(told.get("reached", {})),
    )  # fmt: skip


def _hash(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()[:16]


def key_of(*told: object) -> str:
    """Return a short hash of all that decides some files."""
    return hashlib.sha256(repr(told).encode("utf-8")).hexdigest()[:16]
