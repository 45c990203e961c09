"""Where in the text of a build file each field is written; read only when a fault must be told."""

from __future__ import annotations

import re

Loc = tuple[str | int, ...]

KEY = r"(?:[A-Za-z0-9_-]+|\"(?:[^\"\\]|\\.)*\"|'[^']*')"
DOTTED = rf"{KEY}(?:\s*\.\s*{KEY})*"
HEAD = re.compile(rf"\s*(\[\[?)\s*({DOTTED})\s*\]")
ENTRY = re.compile(rf"\s*({DOTTED})\s*=")
TOKEN = re.compile(r"\"\"\"|'''|\"(?:[^\"\\]|\\.)*\"|'[^']*'|#.*|[\[{]|[\]}]")


def keys_of(dotted: str) -> tuple[str, ...]:
    """Return the single keys of a dotted key, without their quotes."""
    return tuple(key.strip("\"'") for key in re.findall(KEY, dotted))


class Places:
    """The line of each table and field of a text that is TOML; ``heads`` are the lines on which a table begins."""

    def __init__(self, text: str) -> None:
        self._lines: dict[Loc, int] = {}
        self._entries: dict[Loc, int] = {}
        self._table: Loc = ()
        self.heads: list[int] = []
        depth, inside = 0, ""
        for number, line in enumerate(text.split("\n"), start=1):
            rest = self._begin(line, number) if depth == 0 and not inside else line
            depth, inside = _after(rest, depth, inside)

    def line(self, loc: Loc) -> int | None:
        """Return the line on which a field, or else what holds it, is written; None where neither is."""
        for length in range(len(loc), 0, -1):
            if loc[:length] in self._lines:
                return self._lines[loc[:length]]
        return None

    def written(self) -> dict[int, Loc]:
        """Return what is written on each line: a table, an entry of a list or a field."""
        return {number: loc for loc, number in sorted(self._lines.items(), key=lambda each: len(each[0]))}

    def _begin(self, line: str, number: int) -> str:
        """Note what begins on a line; return what follows it there."""
        head = HEAD.match(line)
        if head:
            self.heads.append(number)
            keys = keys_of(head[2])
            self._table = (*self._inside(keys[:-1]), keys[-1])
            if head[1] == "[[":
                self._entries[self._table] = self._entries.get(self._table, -1) + 1
                self._note(self._table, number)
            self._table = self._inside(keys)
            self._note(self._table, number)
            return ""
        entry = ENTRY.match(line)
        if not entry:
            return line
        self._note((*self._table, *keys_of(entry[1])), number)
        return line[entry.end() :]

    def _inside(self, keys: tuple[str, ...]) -> Loc:
        """Return the place of a table, with the number of the entry where a list is on the way."""
        out: Loc = ()
        for key in keys:
            out = (*out, key)
            if out in self._entries:
                out = (*out, self._entries[out])
        return out

    def _note(self, loc: Loc, number: int) -> None:
        for length in range(1, len(loc) + 1):
            self._lines.setdefault(loc[:length], number)


def comment_of(line: str) -> str:
    """Return the comment on a line, with its mark; empty where there is none."""
    return next((found[0] for found in TOKEN.finditer(line) if found[0].startswith("#")), "")


def _after(line: str, depth: int, inside: str) -> tuple[int, str]:
    """Return the depth of brackets and the open quotes at the end of a line."""
    while line:
        if inside:
            _, found, line = line.partition(inside)
            if not found:
                return depth, inside
            inside = ""
        token = TOKEN.search(line)
        if not token:
            return depth, ""
        line = line[token.end() :]
        if token[0] in ("[", "{"):
            depth += 1
        elif token[0] in ("]", "}"):
            depth = max(depth - 1, 0)
        elif token[0] in ('"""', "'''"):
            inside = token[0]
            if not line:
                return depth, inside
    return depth, inside
