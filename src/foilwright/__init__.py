"""Foilwright: tells whether a home-made electric hydrofoil board will float, rise, fly and last.

>>> import foilwright as fw
>>> build = fw.load("lake.toml")
>>> answers = fw.ask(build)
>>> many = fw.ask(build, vary={"wing.area": areas})

Quantities are in SI, angles in radians, temperatures in kelvin. Importing this package loads the
standard library only; each function imports what it needs when it is called.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from foilwright.core.errors import FoilwrightError
from foilwright.version import __version__ as __version__

if TYPE_CHECKING:
    from foilwright.assemble import Varied
    from foilwright.build.build import Build
    from foilwright.parts.job import Made
    from foilwright.questions.ask import Answers
    from foilwright.study.compare import Comparison
    from foilwright.study.explore import Exploration
    from foilwright.study.learn import Diagnosis

__all__ = ["FoilwrightError", "ask", "compare", "explore", "learn", "load", "parts"]


def load(path: str | Path) -> Build:
    """Read and check a build file.

    Parameters
    ----------
    path : str or Path
        A build file (TOML).

    Returns
    -------
    Build
        What was written, in SI; ``build.values`` maps each path to its value. Polars of own sections
        are there, or computed and kept beside the file.

    Raises
    ------
    FoilwrightError
        The text does not make a build; the message names every fault, its line, and what is allowed.
    """
    from foilwright.build import load as reading  # noqa: PLC0415

    build = reading.load(path)
    if not build.sections:
        return build
    from foilwright.study import sections  # noqa: PLC0415

    return sections.ready(build)


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


def compare(*builds: Build, questions: Sequence[str] = (), as_built: bool = True) -> Comparison:
    """Hold builds against each other: what changed, and what it did to every finding.

    Parameters
    ----------
    builds : Build
        Two or more, from ``load``; the first is what the others are held against.
    questions : sequence of str
        Names of the questions; none for all.
    as_built : bool
        Let measured values stand in for designed ones.

    Returns
    -------
    Comparison
        The answers of each build, the fields that changed, and every finding side by side.

    Raises
    ------
    FoilwrightError
        There are fewer than two builds, or there is no such question.
    """
    from foilwright.study import compare as study  # noqa: PLC0415

    return study.compare(builds, questions=questions, as_built=as_built)


def explore(
    build: Build,
    *,
    vary: Sequence[str],
    aim: Sequence[str] = (),
    out: str | Path,
    count: int = 1000,
    where: str = "not-failing",
    every: Sequence[str] = (),
    cluster: str = "",
    as_built: bool = True,
) -> Exploration:
    """Search many designs for the best by several aims; results are kept as they come, a rerun goes on.

    Parameters
    ----------
    build : Build
        From ``load``.
    vary : sequence of str
        Fields with range or values: ``"wing.area=1000:1800:cm^2"``, ``"wing.section=naca2412,naca4412"``.
    aim : sequence of str
        ``"minimise NAME"``, ``"maximise NAME"`` or ``"within NAME LO:HI:UNIT"``.
    out : str or Path
        Folder of the results, Parquet parts that read as one table.
    count : int
        How many designs.
    where : str
        Which designs count: ``sound``, ``not-failing`` or ``any``.
    every : sequence of str
        Fields and values for which each design must be as wanted: ``"rider.mass=60 kg,100 kg"``.
    cluster : str
        Address of a Dask scheduler; else the cores of this machine.
    as_built : bool
        Let measured values stand in for designed ones.

    Returns
    -------
    Exploration
        The designs that no other beats, all columns, and any row as a build.

    Raises
    ------
    FoilwrightError
        Something is not as it can be written, an extra is missing, or the place cannot be written.
    """
    from foilwright.core.engine import Cores, Dask  # noqa: PLC0415
    from foilwright.study import explore as study  # noqa: PLC0415

    plan = study.planned(build, vary=vary, aim=aim, where=where, count=count, every=every, as_built=as_built)
    return study.explore(plan, Path(out), engine=Dask(address=cluster) if cluster else Cores())


def parts(
    build: Build,
    folder: str | Path,
    *,
    only: Sequence[str] = (),
    tell: Callable[[str], None] | None = None,
    prices: str | Path | None = None,
) -> list[Made]:
    """Write the parts of a build into a folder: solids, templates, schedules, drawings, lists, report, index.

    Parameters
    ----------
    build : Build
        From ``load``.
    folder : str or Path
        Where they go; what is there already and has not changed is left as it is.
    only : sequence of str
        Kinds to make; none for all.
    tell : function
        Is told of progress, a short sentence at a time.
    prices : str or Path
        The maker's own prices and what is owned, a CSV file.

    Returns
    -------
    list of Made
        What there is now, made anew or kept.

    Raises
    ------
    FoilwrightError
        There is no such kind, a list of prices is not as it must be, or the place cannot be written.
    """
    from foilwright.parts import make  # noqa: PLC0415

    return make(build, folder, only=only, tell=tell, prices=prices)


def learn(build: Build, *trials: str | Path) -> Diagnosis:
    """Read days on the water back into the model: what explains them, and what to read next.

    Parameters
    ----------
    build : Build
        What was ridden, from ``load``.
    trials : str or Path
        Tracks (.gpx), logs (.csv with a header file beside them) and session sheets (.toml).

    Returns
    -------
    Diagnosis
        Explanations with their probabilities, corrections with their intervals, and the next reading.

    Raises
    ------
    FoilwrightError
        A file is not as it must be, or an extra is missing.
    """
    from foilwright.study import learn as study  # noqa: PLC0415

    return study.diagnose(build, study.read(build, [Path(each) for each in trials]).trial)
