"""`compare` and `explore`: several builds, and many."""

from __future__ import annotations

import shlex
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from foilwright.cli.app import FINE, SOMETHING_FAILS, AsJson, Flag, Several, app
from foilwright.cli.given import NAME, build_of, builds_of, fault, print_json
from foilwright.core.errors import BuildFileError

if TYPE_CHECKING:
    from foilwright.build.build import Build
    from foilwright.study.explore import Progress


@app.command
def compare(*builds: str, as_designed: Flag = False, json_: AsJson = False, plot: Path | None = None) -> int:
    """Hold builds against each other: what changed, and what it did to every finding.

    Parameters
    ----------
    builds
        The build files, two or more; the first is what the others are held against.
    as_designed
        Leave out what was measured on the finished craft.
    json_
        Print the documented JSON instead of text.
    plot
        Folder to write plots into, the curves of all builds laid over each other (PNG and SVG).
    """
    from foilwright.study import compare as study  # noqa: PLC0415

    found = study.compare(builds_of(builds), as_built=not as_designed)
    drawn: list[Path] = []
    if plot is not None:
        from foilwright.study import plots  # noqa: PLC0415

        drawn = plots.draw(plot, study.figures(found))
    if json_:
        print_json(study.document(found))
    else:
        print(study.text(found), end="")
        if drawn:
            print(f"\nPlots in {plot}: {', '.join(dict.fromkeys(path.stem for path in drawn))} (PNG and SVG)")
    return FINE


@app.command
def explore(
    build: str,
    /,
    *,
    vary: Several = (),
    aim: Several = (),
    for_: Annotated[
        tuple[str, ...], Parameter(name="--for", negative="", consume_multiple=False, show_default=False)
    ] = (),
    where: str = "not-failing",
    count: Annotated[int, Parameter(name=["-n", "--count"])] = 1000,
    out: Annotated[Path | None, Parameter(name=["-o", "--out"])] = None,
    cluster: str | None = None,
    in_: Annotated[Path | None, Parameter(name="--in")] = None,
    pick: int | None = None,
    as_designed: Flag = False,
    json_: AsJson = False,
    plot: Path | None = None,
) -> int:
    """Search many designs for the best by several aims, or make a build file of one of them.

    Results are kept as they come: stopped and called again, it goes on. Exit status: 0 some design is as
    wanted; 1 none is.

    Parameters
    ----------
    build
        The build file that is varied.
    vary
        A field and its range or values, such as wing.area=1000:1800:cm^2 or pack.parallel=4:8 or
        wing.section=naca2412,naca4412; may be given several times.
    aim
        What is wanted: 'minimise NUMBER', 'maximise NUMBER' or 'within NUMBER LO:HI:UNIT'; may be given
        several times. A NUMBER is one of the answer's numbers, a varied field, or the id of a finding.
    for_
        A field and values for which each design must be as wanted, such as rider.mass="60 kg,100 kg";
        the worst one counts; may be given several times.
    where
        Which designs count: sound, not-failing or any.
    count
        How many designs: half are sampled evenly, half are searched from the best of them.
    out
        Folder of the results (Parquet parts that read as one table); with --pick the new build file.
    cluster
        Address of a Dask scheduler, such as tcp://host:8786; else the cores of this machine.
    in_
        Results of an earlier run, to pick from.
    pick
        Row that becomes a build file.
    as_designed
        Leave out what was measured on the finished craft.
    json_
        Print the documented JSON instead of text.
    plot
        Folder to write plots into (PNG and SVG).
    """
    from foilwright.core.engine import Cores, Dask  # noqa: PLC0415
    from foilwright.study import explore as study  # noqa: PLC0415

    made = build_of(build, {}, [] if out else [fault("-o", "nothing", "a place for the results", "-o lake.parquet")])
    out = out or Path()
    if pick is not None:
        return _pick(made, in_, pick, out)
    plan = study.planned(made, vary=vary, aim=aim, where=where, count=count, every=for_, as_built=not as_designed)
    engine = Dask(address=cluster) if cluster else Cores()
    try:
        done = study.explore(plan, out, engine=engine, tell=_tell_progress)
    except KeyboardInterrupt:
        print(f"\nstopped; what is done is kept in {out}, and the same command goes on from there", file=sys.stderr)
        raise
    drawn: list[Path] = []
    if plot is not None:
        from foilwright.study import plots  # noqa: PLC0415

        drawn = plots.draw(plot, study.figures(done.found))
    if json_:
        print_json(study.document(done.found))
    else:
        print(study.text(done.found), end="")
        if drawn:
            print(f"\nPlots in {plot}: {', '.join(dict.fromkeys(path.stem for path in drawn))} (PNG and SVG)")
    return FINE if done.found.good else SOMETHING_FAILS


def _pick(build: Build, results: Path | None, row: int, place: Path) -> int:
    """Write one row of an exploration as a build file."""
    from foilwright.build import save  # noqa: PLC0415
    from foilwright.study import explore as study  # noqa: PLC0415

    if results is None:
        raise BuildFileError([fault("--in", "nothing", "the results to pick from", "--in lake.parquet")])
    name = place.name.removesuffix(".toml")
    if not NAME.fullmatch(name):
        raise BuildFileError([fault("-o", str(place), "a file NAME.toml", "-o better.toml")])
    place = place.with_name(f"{name}.toml")
    made = study.picked(build, study.Store(place=results), row, name=name, file=place.name)
    save.write_new(made, place)
    print(f"{place} written, row {row} of {results}. Next: foilwright ask {shlex.quote(str(place))}")
    return FINE


def _tell_progress(so_far: Progress) -> None:
    """Show how far a run is, on one line of a screen; nothing where nobody watches."""
    if not sys.stderr.isatty():
        return
    left = f", about {so_far.left:.0f} s left" if so_far.left >= 0.0 else ""
    print(f"\r{so_far.done} of {so_far.of} designs{left}   ", end="", file=sys.stderr, flush=True)
    if so_far.done == so_far.of:
        print(file=sys.stderr)
