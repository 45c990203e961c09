"""What is installed here, what an extra would add, and how to get it."""

from __future__ import annotations

import importlib.metadata
import importlib.util
import platform
import re
import textwrap
from dataclasses import dataclass

from foilwright import __version__
from foilwright.core.extras import EXTRAS, Extra

WIDTH = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Library:
    """A library that the core stands on; ``version`` is None where it is missing."""

    name: str
    version: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Installed:
    """What this installation has: program, interpreter, core libraries, extras."""

    version: str
    python: str
    core: tuple[Library, ...]
    extras: tuple[tuple[Extra, bool], ...]

    @property
    def complete(self) -> bool:
        """Return True where every library of the core is there."""
        return all(library.version is not None for library in self.core)


def look() -> Installed:
    """Look what is installed, without importing any of it."""
    return Installed(
        version=__version__,
        python=platform.python_version(),
        core=tuple(Library(name=name, version=_version(name)) for name in _core_names()),
        extras=tuple((extra, _present(extra)) for extra in EXTRAS),
    )


def text(found: Installed) -> str:
    """Return what was found as lines for a screen."""
    lines = [f"Foilwright {found.version} on Python {found.python}", "", "Core"]
    lines += [f"  {lib.name:<12} {lib.version or 'missing: pip install foilwright'}" for lib in found.core]
    lines += ["", "Extras"]
    for extra, present in found.extras:
        state = "installed" if present else f"not installed, about {extra.megabytes} MB"
        lines += [f"  {extra.name:<12} {state}"]
        lines += textwrap.wrap(extra.adds, WIDTH, initial_indent=" " * 15, subsequent_indent=" " * 15)
        if not present:
            lines += [f"{'':15}{extra.command}"]
    return "\n".join(lines)


def document(found: Installed) -> dict[str, object]:
    """Return what was found as plain data for JSON."""
    return {
        "format": 1,
        "program": found.version,
        "python": found.python,
        "core": [{"name": lib.name, "version": lib.version} for lib in found.core],
        "extras": [
            {
                "name": extra.name,
                "installed": present,
                "adds": extra.adds,
                "megabytes": extra.megabytes,
                "command": extra.command,
            }
            for extra, present in found.extras
        ],
    }


def _core_names() -> list[str]:
    """Return the names of the libraries that every installation needs, as the package states them."""
    stated = importlib.metadata.requires("foilwright") or []
    return [re.split(r"[^\w.-]", line, maxsplit=1)[0] for line in stated if "extra ==" not in line]


def _version(name: str) -> str | None:
    try:
        return importlib.metadata.version(name)
    except importlib.metadata.PackageNotFoundError:
        return None


def _present(extra: Extra) -> bool:
    return all(importlib.util.find_spec(module) is not None for module in extra.modules)
