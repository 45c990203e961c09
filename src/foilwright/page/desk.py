"""One open build: edits as texts by path, undo and redo, a draft on the disk, conflicts, saving; no screen here."""

from __future__ import annotations

import re
import threading
from collections.abc import Callable, Mapping
from pathlib import Path

from foilwright.build import load
from foilwright.build.build import Build, Value
from foilwright.build.save import as_written, with_changes, write_new
from foilwright.core.data import write_kept
from foilwright.core.errors import BuildFileError, FoilwrightError, PlaceError
from foilwright.page import draft as drafts
from foilwright.page.draft import Draft, Edits, fingerprint
from foilwright.questions.ask import Answers, ask
from foilwright.study.sections import ready

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _-]{0,59}")
"""Names that a new file may have, without the ending."""


class Desk:
    """A build file, what was changed on it and not saved, and what the questions answer now.

    ``told`` is what the maker should hear once: that a draft came back, that the file was read afresh.
    ``conflict``: the file on the disk is not the one that was changed here.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.lock = threading.RLock()
        self.told: list[str] = []
        self.conflict = False
        self.gone = False
        self.wrong: dict[str, tuple[str, str]] = {}
        self._steps: list[Edits] = [{}]
        self._at = 0
        self._answered: tuple[str, Answers] | None = None
        self._stamp = (0, 0)
        self._watchers: list[Callable[[], None]] = []
        self.file, self._base = self._read()
        self._saved_answers: tuple[str, Answers] | None = None
        self.build = self.file
        self._restore()

    # What is written now

    @property
    def edits(self) -> Edits:
        """The fields that differ from the file, as they are written."""
        return self._steps[self._at]

    @property
    def dirty(self) -> bool:
        """Whether something is not saved."""
        return bool(self.edits or self.wrong)

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to take back."""
        return self._at > 0

    @property
    def can_redo(self) -> bool:
        """Whether a step was taken back."""
        return self._at + 1 < len(self._steps)

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
        """Give several fields anew in one step; all of them or none."""
        with self.lock:
            edits = {**self.edits, **{path: text.strip() for path, text in changes.items()}}
            try:
                made = self.file.with_texts(edits)
            except BuildFileError as error:
                self._refuse(changes, error)
                self._keep()
                self._changed()
                return False
            for path in changes:
                self.wrong.pop(path, None)
            self._step({path: text for path, text in edits.items() if not self._as_filed(made, path)})
            return True

    def take_back(self, path: str) -> None:
        """Give a field the value that it has in the file."""
        with self.lock:
            self.wrong.pop(path, None)
            if path in self.edits:
                rest = {each: text for each, text in self.edits.items() if each != path}
                try:
                    self.file.with_texts(rest)
                except BuildFileError as error:
                    self.wrong[path] = (self.edits[path], _sentence(error))
                else:
                    self._step(rest)
                    return
            self._keep()
            self._changed()

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
                self.build = self.file.with_texts(self.edits)
                self._keep()
                self._changed()

    def _step(self, edits: Edits) -> None:
        if edits != self.edits:
            self._steps[self._at + 1 :] = [edits]
            del self._steps[: -drafts.MOST]
            self._at = len(self._steps) - 1
        self.build = self.file.with_texts(self.edits)
        self._keep()
        self._changed()

    def _refuse(self, changes: Edits, error: BuildFileError) -> None:
        for path, text in changes.items():
            own = [fault for fault in error.faults if fault.field == path] or list(error.faults)
            self.wrong[path] = (text, _sentence(BuildFileError(own)))

    def _as_filed(self, made: Build, path: str) -> bool:
        return path in self.file.values and self.file.values[path] == made.values.get(path)

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
            if not self.edits:
                return True
            text = with_changes(self.file, self._values())
            write_kept(self.path, text)
            old, edits = self.file, self.edits
            self.file, self._base = self._read()
            self._steps = _upon(self.file, old, edits, self._steps)
            self.build = self.file.with_texts(self.edits)
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
            text = with_changes(self.file, self._values())
            made = load.read(text, name=place.stem, file=place.name, beside=place.parent)
        write_new(made, place)
        return place

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
            edits = self.edits
            self.file, self._base = self._read()
            self.conflict = self.gone = False
            known = {path: text for path, text in edits.items() if _fits(self.file, {path: text})}
            lost = sorted(set(edits) - set(known))
            if not _fits(self.file, known):
                known, lost = {}, sorted(edits)
            self._steps = [{}, known] if known else [{}]
            self._at = len(self._steps) - 1 if mine else 0
            if lost:
                self.told.append(f"Not taken over, because the new file does not admit them: {', '.join(lost)}.")
                self.wrong |= {path: (edits[path], "does not fit the file as it is now") for path in lost}
            self.build = self.file.with_texts(self.edits)
            self._keep()
            self._changed()

    def _afresh(self) -> None:
        try:
            self.file, self._base = self._read()
        except FoilwrightError:
            self.conflict = True
            self._changed()
            return
        self._steps, self._at, self.conflict = [{}], 0, False
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
        kept = drafts.read(self.path)
        if kept is None:
            return
        at = kept.steps[kept.at]
        self.wrong = {path: (text, "not yet right") for path, text in kept.wrong.items()}
        if _fits(self.file, at):
            self._steps, self._at = [each if _fits(self.file, each) else {} for each in kept.steps], kept.at
            self.build = self.file.with_texts(at)
        else:
            self.wrong |= {path: (text, "does not fit the file as it is now") for path, text in at.items()}
        if kept.base != self._base:
            self.conflict = True
        elif at or kept.wrong:
            count = len(at) + len(kept.wrong)
            self.told.append(f"{count} unsaved change{'s' if count > 1 else ''} brought back from the draft.")

    def _keep(self) -> None:
        wrong = {path: text for path, (text, _) in self.wrong.items()}
        kept = Draft(base=self._base, steps=tuple(self._steps), at=self._at, wrong=wrong)
        try:
            drafts.write(self.path, kept)
        except PlaceError as error:
            if (sentence := str(error)) not in self.told:
                self.told.append(sentence)

    def _values(self) -> Mapping[str, Value]:
        return {path: self.build.values[path] for path in self.edits}


def plain_name(name: str) -> str:
    """Return a name for a new file, or say what is wrong with it."""
    plain = name.strip().removesuffix(".toml")
    if not NAME.fullmatch(plain):
        raise PlaceError("a name has letters, digits, spaces, - and _ only, and at most 60 of them")
    return plain


def _fits(build: Build, edits: Edits) -> bool:
    try:
        build.with_texts(edits)
    except BuildFileError:
        return False
    return True


def _sentence(error: BuildFileError) -> str:
    """Return what is wrong in one sentence, without the name of the file and the field beside which it stands."""
    told = []
    for fault in error.faults:
        near = f"; did you mean {fault.nearest}?" if fault.nearest else ""
        told.append(f"{fault.got} cannot be: it takes {fault.allowed}, such as {fault.example}{near}")
    return "; ".join(told)


def _upon(file: Build, old: Build, saved: Edits, steps: list[Edits]) -> list[Edits]:
    """Return steps as they are upon the file into which one of them was saved."""
    out: list[Edits] = []
    for step in steps:
        new = dict(step)
        for path in saved:
            if path not in new and path in old.values:
                new[path] = str(as_written(old.meta(path), old.values[path]))
            elif path not in new and (default := old.meta(path).default) is not None:
                new[path] = str(default.value)
        made = {path: text for path, text in new.items() if _fits(file, {path: text})}
        made = {p: t for p, t in made.items() if file.with_texts({p: t}).values.get(p) != file.values.get(p)}
        out.append(made)
    return out
