"""Foilwright: tells whether a home-made electric hydrofoil board will float, rise, fly and last.

>>> import foilwright as fw
>>> build = fw.load("lake.toml")
>>> answers = fw.ask(build)
>>> many = fw.ask(build, vary={"wing.area": areas})

Quantities are in SI, angles in radians, temperatures in kelvin. Importing this package loads the
standard library only; each function imports what it needs when it is called.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from foilwright.core.errors import FoilwrightError
from foilwright.version import __version__ as __version__

if TYPE_CHECKING:
    from foilwright.assemble import Varied
    from foilwright.build.build import Build
    from foilwright.questions.ask import Answers

__all__ = ["FoilwrightError", "ask", "load"]


def load(path: str | Path) -> Build:
    """Read and check a build file.

    Parameters
    ----------
    path : str or Path
        A build file (TOML).

    Returns
    -------
    Build
        What was written, in SI; ``build.values`` maps each path to its value.

    Raises
    ------
    FoilwrightError
        The text does not make a build; the message names every fault, its line, and what is allowed.
    """
    from foilwright.build import load as reading  # noqa: PLC0415

    return reading.load(path)


def ask(
    build: Build,
    *,
    questions: Sequence[str] = (),
    vary: Varied | None = None,
    as_built: bool = True,
) -> Answers:
    """Answer the questions about a build, or about many variants of it at once.

    Parameters
    ----------
    build : Build
        From ``load``.
    questions : sequence of str
        Names of the questions; none for all.
    vary : mapping
        Path to (n,) array in SI, or to n names for a choice; all of the same length n.
    as_built : bool
        Let measured values stand in for designed ones.

    Returns
    -------
    Answers
        Findings by question, the flat numbers, the curves (of one design), and what was assumed.
        Arrays have n rows.

    Raises
    ------
    FoilwrightError
        There is no such question or field, or a value lies outside what its field allows.
    """
    from foilwright.questions import ask as asking  # noqa: PLC0415

    return asking.ask(build, questions=questions, vary=vary, as_built=as_built)
