"""The session file: one day on the water as TOML, blank, with the keys that are read back later."""

from __future__ import annotations

from collections.abc import Iterable

from foilwright.build.build import Build
from foilwright.core.data import table

FIRST = (
    "# One day on the water. Take the # from a line that you fill in; leave out what was not read.",
    "# A value is written with its unit, as in a build file. What has [[two brackets]] is repeated, once a reading.",
    "format = 1",
)


def blank(build: Build) -> str:
    """Return a session file without readings."""
    lines = [*FIRST]
    last = ""
    for heading, many, key, example, says in _keys():
        if heading != last:
            opening = f"[[{heading}]]" if many else f"[{heading}]"
            lines += ["", f"# {opening}" if many else opening]
            last = heading
        lines.append(_line(build, key, example, says))
    return "\n".join(lines) + "\n"


def _keys() -> Iterable[tuple[str, bool, str, str, str]]:
    book = table("cards/session").texts
    yield from zip(
        book["table"], (many == "yes" for many in book["many"]), book["key"], book["example"], book["says"], strict=True
    )


def _line(build: Build, key: str, example: str, says: str) -> str:
    if key == "build":
        return f'build = "{build.name} {build.hash}"'
    plain = example if example in ("true", "false") or example.replace(".", "").isdigit() else f'"{example}"'
    return f"# {key} = {plain}  # {says}"
