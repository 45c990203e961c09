"""One open build: fields and entries changed, undo and redo, a draft on the disk, conflicts, saving; no screen here."""

from __future__ import annotations

import re
import threading
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from foilwright.build import entries, load
from foilwright.build.build import Build, Value
from foilwright.build.save import place_of, with_changes, write_new
from foilwright.core.data import write_kept
from foilwright.core.errors import BuildFileError, FoilwrightError, PlaceError
from foilwright.page import draft as drafts
from foilwright.page.carry import carried, differing, entry_of, given_anew, sentence, sizes_with, text_of
from foilwright.page.draft import Draft, Edits, Step, fingerprint
from foilwright.questions.ask import Answers, ask
from foilwright.study.sections import ready

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _-]{0,59}")
"""Names that a new file may have, without the ending."""
TEXTS = 12
"""Texts of which the build is kept in memory."""


class Desk:
    """A build file, what was changed on it and not saved, and what the questions answer now.

    A step is fields given anew or left out, upon the file or upon a text with other entries in its lists.
    ``told`` is what the maker should hear, in order, each window once: that a draft came back, that the file was
    read afresh; ``stale`` of it are news no longer to a window that is opened now. ``conflict``: the file on the
    disk is not the one that was changed here.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.lock = threading.RLock()
        self.told: list[str] = []
        self.stale = 0
        self.conflict = False
        self.gone = False
        self.wrong: dict[str, tuple[str, str]] = {}
        self._steps: list[Step] = [Step()]
        self._at = 0
        self._builds: dict[str, Build] = {}
        self._tree: tuple[str, dict[str, Any]] = ("", {})
        self._answered: tuple[str, Answers] | None = None
        self._differs: tuple[str, tuple[str, ...]] | None = None
        self._stamp = (0, 0)
        self._watchers: list[Callable[[], None]] = []
        self.file, self._base = self._read()
        self._saved_answers: tuple[str, Answers] | None = None
        self.build = self.file
        self._restore()

    # What is written now

    @property
    def edits(self) -> Edits:
        """The fields given anew in the last steps, as they are written; none where one is left out."""
        return self._steps[self._at].edits

    @property
    def differs(self) -> tuple[str, ...]:
        """What differs from the file: fields, and entries of lists as one each."""
        key = f"{self.file.hash} {self.build.hash}"
        if self._differs is None or self._differs[0] != key:
            self._differs = (key, differing(self.file, self.build))
        return self._differs[1]

    @property
    def dirty(self) -> bool:
        """Whether something is not saved."""
        return bool(self.differs or self.wrong)

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to take back."""
        return self._at > 0

    @property
    def can_redo(self) -> bool:
        """Whether a step was taken back."""
        return self._at + 1 < len(self._steps)

    def is_new(self, path: str) -> bool:
        """Say whether a field lies in an entry that the file has not."""
        entry = entry_of(path)
        return entry is not None and entry[1] not in self.file.names[entry[0]]

    def written(self, path: str) -> str | None:
        """Return a field as the maker wrote it; none where it is left out."""
        if path in self.edits:
            return self.edits[path]
        ground = self._ground()
        if self._tree[0] != ground.text:
            self._tree = (ground.text, tomllib.loads(ground.text))
        here: Any = self._tree[1]
        try:
            for key in place_of(ground, path):
                here = here[key]
        except (KeyError, IndexError, TypeError, ValueError):
            return None
        return str(here)

    def watch(self, call: Callable[[], None]) -> Callable[[], None]:
        """Call back after every change; return what ends it."""
        self._watchers.append(call)
        return lambda: self._watchers.remove(call) if call in self._watchers else None

    def answers(self) -> Answers:
        """Return the answers to what is written now, worked out once for each state."""
        with self.lock:
            build = self.build
            if self._answered is not None and self._answered[0] == build.hash:
                return self._answered[1]
        found = ask(build)
        with self.lock:
            self._answered = (build.hash, found)
        return found

    def saved_answers(self) -> Answers:
        """Return the answers to the file as it was read."""
        with self.lock:
            file = self.file
            if self._saved_answers is not None and self._saved_answers[0] == file.hash:
                return self._saved_answers[1]
        found = ask(file)
        with self.lock:
            self._saved_answers = (file.hash, found)
        return found

    # Changing

    def edit(self, path: str, text: str) -> bool:
        """Give a field anew; what cannot be is kept beside it with the sentence that says why."""
        return self.apply({path: text})

    def apply(self, changes: Edits) -> bool:
        """Give several fields anew, or leave them out (none), in one step; all of them or none."""
        with self.lock:
            ground = self._ground()
            edits = {**self.edits, **{path: text and text.strip() for path, text in changes.items()}}
            try:
                made = given_anew(ground, edits)
            except BuildFileError as error:
                self._refuse(changes, error)
                self._keep()
                self._changed()
                return False
            for path in changes:
                self.wrong.pop(path, None)
            kept = {path: text for path, text in edits.items() if ground.values.get(path) != made.values.get(path)}
            self._step(replace(self._steps[self._at], edits=kept))
            return True

    def leave_out(self, *paths: str) -> bool:
        """Leave fields out of the file: what is assumed then counts."""
        return self.apply(dict.fromkeys(paths))

    def take_back(self, path: str) -> None:
        """Give a field what it has in the file; all sizes of a wing where others of them are written than there."""
        with self.lock:
            self.wrong.pop(path, None)
            ground, edits = self._ground(), dict(self.edits)
            sizes = sizes_with(path)
            swapped = any((each in self.file.values) != (each in self.build.values) for each in sizes)
            for each in sizes if swapped else (path,):
                edits.pop(each, None)
                filed = self.file.values.get(each)
                if filed is not None and ground.values.get(each) != filed:
                    edits[each] = text_of(self.file.meta(each), filed)
                elif each in ground.values and filed is None and not self.is_new(each):
                    edits[each] = None
            if edits != self.edits:
                try:
                    given_anew(ground, edits)
                except BuildFileError as error:
                    self.wrong[path] = (self.edits.get(path) or "", sentence(error))
                else:
                    self._step(replace(self._steps[self._at], edits=edits))
                    return
            self._keep()
            self._changed()

    # Entries of lists: what cannot be raises BuildFileError and changes nothing

    def with_entry(self, kind: str, name: str, fields: Mapping[str, str]) -> Build:
        """Return the build with one more entry in a list, changing nothing; an own section takes seconds, once."""
        return self._build_of(entries.added(self._ground(), kind, name, fields))

    def add(self, kind: str, name: str, fields: Mapping[str, str]) -> None:
        """Put an entry into a list."""
        self._restructure(self.with_entry(kind, name, fields).text, self.edits)

    def remove(self, kind: str, name: str) -> None:
        """Take an entry out of a list."""
        edits = {path: text for path, text in self.edits.items() if entry_of(path) != (kind, name)}
        self._restructure(entries.removed(self._ground(), kind, name), edits)
        self.told.append(f"{name} is taken out; undo brings it back.")
        self.wrong = {path: told for path, told in self.wrong.items() if entry_of(path) != (kind, name)}

    def rename(self, kind: str, name: str, to: str) -> None:
        """Give an entry another name, and the fields that name it too."""
        if name == to:
            return
        ground, naming = self._ground(), entries.named_by(self.build, name) if kind not in ("part", "joint") else []
        edits = {
            f"{kind}.{to}.{path.rpartition('.')[2]}" if entry_of(path) == (kind, name) else path:
            to if path in naming and text == name else text
            for path, text in self.edits.items()
        }  # fmt: skip
        self._restructure(entries.renamed(ground, kind, name, to), edits)
        self.wrong = {path: told for path, told in self.wrong.items() if entry_of(path) != (kind, name)}

    def rewrite(self, text: str) -> None:
        """Put another text in place of what is written now, in one step; what cannot be raises BuildFileError."""
        self._restructure(text, {})

    def _restructure(self, text: str, edits: Edits) -> None:
        with self.lock:
            given_anew(self._build_of(text), edits)
            self._step(Step(edits=edits, text=None if text == self.file.text else text))

    def undo(self) -> None:
        """Take the last step back."""
        self._go(self._at - 1)

    def redo(self) -> None:
        """Take the step again that was taken back."""
        self._go(self._at + 1)

    def _go(self, at: int) -> None:
        with self.lock:
            if 0 <= at < len(self._steps):
                self._at = at
                self.wrong.clear()
                self.build = self._ground().with_texts(self.edits)
                self._keep()
                self._changed()

    def _step(self, step: Step) -> None:
        if step != self._steps[self._at]:
            self._steps[self._at + 1 :] = [step]
            del self._steps[: -drafts.MOST]
            self._at = len(self._steps) - 1
        self.stale = len(self.told)
        self.build = self._ground().with_texts(self.edits)
        self._keep()
        self._changed()

    def _ground(self) -> Build:
        """Return the build upon which fields are given anew."""
        text = self._steps[self._at].text
        return self.file if text is None else self._build_of(text)

    def _build_of(self, text: str) -> Build:
        if text == self.file.text:
            return self.file
        if text not in self._builds:
            read = load.read(text, name=self.path.stem, file=self.path.name, beside=self.path.parent)
            self._builds[text] = ready(read)
            while len(self._builds) > TEXTS:
                del self._builds[next(iter(self._builds))]
        return self._builds[text]

    def _refuse(self, changes: Edits, error: BuildFileError) -> None:
        for path, text in changes.items():
            own = [fault for fault in error.faults if fault.field == path] or list(error.faults)
            self.wrong[path] = (text or "", sentence(BuildFileError(own)))

    def _changed(self) -> None:
        for call in list(self._watchers):
            call()

    # The disk

    def save(self) -> bool:
        """Write what was changed into the file, comments kept; a file changed meanwhile is never overwritten."""
        with self.lock:
            self.look()
            if self.conflict or self.gone:
                return False
            if not self.differs:
                return True
            write_kept(self.path, self._text())
            old = self.file.text
            self.file, self._base = self._read()
            texts = [old if each.text is None else each.text for each in self._steps]
            self._steps = [
                replace(each, text=None if text == self.file.text else text)
                for each, text in zip(self._steps, texts, strict=True)
            ]
            self._steps[self._at] = Step()
            self.stale = len(self.told)
            self.build = self.file
            if self.wrong:
                self._keep()
            else:
                drafts.drop(self.path)
            self._changed()
            return True

    def save_as(self, name: str) -> Path:
        """Write what is on the desk as a new file in the same folder; this one stays as it is."""
        place = self.path.with_name(f"{plain_name(name)}.toml")
        with self.lock:
            made = load.read(self._text(), name=place.stem, file=place.name, beside=place.parent)
        write_new(made, place)
        return place

    def _text(self) -> str:
        """Return the text of what is written now, units and digits as they were typed."""
        values: Mapping[str, Value | None] = {path: self.build.values.get(path) for path in self.edits}
        return with_changes(self._ground(), values, self.edits)

    def look(self) -> None:
        """See whether the file changed on the disk: read it afresh where nothing is lost by it."""
        with self.lock:
            before = (self.gone, self.conflict)
            try:
                stat = self.path.stat()
                stamp = (stat.st_mtime_ns, stat.st_size)
                raw = self.path.read_bytes() if stamp != self._stamp or self.gone else None
            except OSError:
                self.gone = True
                if not before[0]:
                    self._changed()
                return
            self.gone = False
            if raw is None:
                return
            self._stamp = stamp
            if fingerprint(raw) == self._base:
                self.conflict = False
            elif self.dirty or self.conflict:
                self.conflict = True
            else:
                self._afresh()
                return
            if (self.gone, self.conflict) != before:
                self._changed()

    def settle(self, *, mine: bool) -> None:
        """End a conflict: what was changed here upon the new file, or the new file as it is.

        What was changed here stays in the steps either way.
        """
        with self.lock:
            old, build, edits = self.file, self.build, self.edits
            self.file, self._base = self._read()
            self.conflict = self.gone = False
            kept = carried(self.file, old, build, edits, self._build_of)
            mine_step = Step(edits=kept.edits, text=None if kept.text == self.file.text else kept.text)
            self._steps = [Step(), mine_step] if mine_step != Step() else [Step()]
            self._at = len(self._steps) - 1 if mine else 0
            if kept.lost:
                self.told.append(
                    f"Not taken over, because the new file does not admit them: {', '.join(sorted(kept.lost))}."
                )
                self.wrong |= {
                    path: (text, "does not fit the file as it is now") for path, text in kept.lost.items() if text
                }
            self.build = self._ground().with_texts(self.edits)
            self._keep()
            self._changed()

    def _afresh(self) -> None:
        try:
            self.file, self._base = self._read()
        except FoilwrightError:
            self.conflict = True
            self._changed()
            return
        self._steps, self._at, self.conflict = [Step()], 0, False
        self.build = self.file
        self.told.append(f"{self.path.name} was changed outside this page and has been read afresh.")
        self._changed()

    def _read(self) -> tuple[Build, str]:
        try:
            stat = self.path.stat()
            self._stamp = (stat.st_mtime_ns, stat.st_size)
            raw = self.path.read_bytes()
        except OSError as error:
            raise PlaceError(f"{self.path.name} cannot be read: {error.strerror or error}") from error
        return ready(load.load(self.path)), fingerprint(raw)

    def _restore(self) -> None:
        """Bring back what was not saved; upon the text that it belongs to, if the file is another one by now."""
        kept = drafts.read(self.path)
        if kept is None:
            return
        now = self.file
        self.wrong = {path: (text, "not yet right") for path, text in kept.wrong.items()}
        if kept.base != self._base:
            self.conflict, self._base = True, kept.base
            self.file = self._fitting(kept.file) or now
        steps = [each if self._admits(each) else Step() for each in kept.steps]
        edits = kept.steps[kept.at].edits
        if steps[kept.at] == kept.steps[kept.at]:
            self._steps, self._at = steps, kept.at
        else:
            self.wrong |= {path: (text or "", "does not fit the file as it is now") for path, text in edits.items()}
        self.build = self._ground().with_texts(self.edits)
        if not self.conflict and self.dirty:
            count = len(self.differs) + len(self.wrong)
            self.told.append(f"{count} unsaved change{'s' if count > 1 else ''} brought back from the draft.")

    def _fitting(self, text: str) -> Build | None:
        try:
            return self._build_of(text)
        except FoilwrightError:
            return None

    def _admits(self, step: Step) -> bool:
        ground = self.file if step.text is None else self._fitting(step.text)
        try:
            return ground is not None and bool(ground.with_texts(step.edits))
        except BuildFileError:
            return False

    def _keep(self) -> None:
        wrong = {path: text for path, (text, _) in self.wrong.items()}
        kept = Draft(base=self._base, file=self.file.text, steps=tuple(self._steps), at=self._at, wrong=wrong)
        try:
            drafts.write(self.path, kept)
        except PlaceError as told:
            if (why := str(told)) not in self.told:
                self.told.append(why)


def plain_name(name: str) -> str:
    """Return a name for a new file, or say what is wrong."""
    plain = name.strip().removesuffix(".toml")
    if not NAME.fullmatch(plain):
        raise PlaceError("a name has letters, digits, spaces, - and _ only, and at most 60 of them")
    return plain
