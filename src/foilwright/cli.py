"""The commands: they read arguments, call, print, and set the exit status; no arithmetic here."""

from __future__ import annotations

import codecs
import json
import os
import re
import shlex
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import App, Parameter
from cyclopts.exceptions import CycloptsError

from foilwright.core.errors import BuildFileError, Fault, FoilwrightError, MissingExtraError, PlaceError
from foilwright.version import __version__

if TYPE_CHECKING:
    from foilwright.build.build import Build
    from foilwright.questions.ask import Answers
    from foilwright.study.explore import Progress

FINE, SOMETHING_FAILS, NO_BUILD, NO_PLACE, STOPPED = 0, 1, 2, 3, 130
"""Exit status; 130 is what shells expect of a command that was interrupted."""

PLAINER = {"│": "|", "┃": "!", "█": "#", "░": "-", "▸": ">", "◂": "<", "°": " deg", "·": "*", "²": "2", "Ω": "ohm"}
"""Signs for a screen that has no others."""

NAME = re.compile(r"\w[\w .+-]{0,79}")
"""The name of a build, and so of its file."""

app = App(
    name="foilwright",
    help="Will a home-made electric hydrofoil board float, rise, fly and last? Computed from one build file.",
    version=f"foilwright {__version__}",
    version_flags=["--version"],
    help_flags=["--help"],
    result_action="return_value",
    suppress_keyboard_interrupt=False,
)

Setting = Annotated[tuple[str, ...], Parameter(name="--set", negative="", consume_multiple=False, show_default=False)]
Several = Annotated[tuple[str, ...], Parameter(negative="", consume_multiple=False, show_default=False)]
AsJson = Annotated[bool, Parameter(name="--json", negative="", show_default=False)]
Flag = Annotated[bool, Parameter(negative="", show_default=False)]


@app.command
def new(
    name: str,
    /,
    *,
    from_: Annotated[str | None, Parameter(name="--from", show_default=False)] = None,
    owned: Path | None = None,
    set_: Setting = (),
) -> int:
    """Write NAME.toml here: a build file with every field explained.

    Exit status: 0 written; 1 not written, because what is owned stands in the way; 2 something given
    is not as it must be; 3 the file cannot be written.

    Parameters
    ----------
    name
        Name of the new build; the file is NAME.toml in this folder and is never overwritten.
    from_
        Scenario to start from (lake; with --owned the nearest in rider and water).
    owned
        Inventory: a TOML file with the tables of a build file and in them what is owned; the rest is
        sized to it.
    set_
        A field and its value, such as wing.area="1600 cm^2"; may be given several times.
    """
    from foilwright.build import load, save  # noqa: PLC0415

    plain = name.removesuffix(".toml")
    settings, faults = _settings(set_)
    if from_ is not None and from_ not in load.scenarios():
        faults.append(_fault("--from", from_, "one of " + ", ".join(load.scenarios()), "--from lake"))
    if not NAME.fullmatch(plain):
        faults.append(_fault("NAME", name, "a plain name; its file is written into this folder", "foilwright new mine"))
    if faults:
        raise BuildFileError(faults)
    place = Path(f"{plain}.toml")
    if owned is not None:
        return _sized(owned, from_, settings, place)
    from_ = from_ or "lake"
    build = load.scenario(from_)
    changed = build.with_texts(settings)
    written = {path: value for path, value in changed.values.items() if build.values.get(path) != value}
    save.write_new(load.read(save.with_changes(build, written), name=plain, file=place.name), place)
    print(f"{place} written, from the scenario {from_}. Next: foilwright ask {shlex.quote(str(place))}")
    return FINE


def _sized(owned: Path, scenario: str | None, settings: dict[str, str], place: Path) -> int:
    """Write a build in which everything is sized to what is owned, or say what stands in the way."""
    from foilwright.build import load, save  # noqa: PLC0415
    from foilwright.build import owned as inventories  # noqa: PLC0415
    from foilwright.study import size  # noqa: PLC0415

    inventory = inventories.load(owned)
    sized = size.size(inventory, scenario or size.nearest(inventory), settings=settings)
    if sized.against:
        print(size.against(sized, inventory), end="")
        return SOMETHING_FAILS
    save.write_new(load.read(size.text(sized, inventory), name=place.stem, file=place.name), place)
    print(f"{place} written. {size.summary(sized)} Next: foilwright ask {shlex.quote(str(place))}")
    return FINE


@app.command
def ask(
    build: str,
    /,
    *questions: str,
    set_: Setting = (),
    as_designed: Flag = False,
    json_: AsJson = False,
    no_ways_out: Flag = False,
    plot: Path | None = None,
    spread: int | None = None,
) -> int:
    """Answer the questions about a build: margins, worst first, with their sources.

    Exit status: 0 nothing fails; 1 something fails, or an unknown can hurt or burn; 2 the text does
    not make a build; 3 an extra is missing, or a place cannot be written.

    Parameters
    ----------
    build
        The build file.
    questions
        Which questions: afloat, rise, fly, push, endure, dry, obey; none for all.
    set_
        A field and its value, such as wing.area="1600 cm^2"; may be given several times.
    as_designed
        Leave out what was measured on the finished craft.
    json_
        Print the documented JSON instead of text.
    no_ways_out
        Do not look for changes that would cure a finding.
    plot
        Folder to write plots into (PNG and SVG).
    """
    from foilwright.questions import report  # noqa: PLC0415
    from foilwright.questions.ask import NAMES  # noqa: PLC0415
    from foilwright.questions.ask import ask as answer  # noqa: PLC0415
    from foilwright.questions.names import unknown  # noqa: PLC0415

    settings, faults = _settings(set_)
    made = _build(build, settings, unknown(questions, NAMES) + faults)
    answers = answer(made, questions=questions, as_built=not as_designed)
    drawn: list[Path] = []
    if plot is not None:
        from foilwright.study import plots  # noqa: PLC0415

        drawn = plots.write(answers, plot)
    told, out = ({}, "") if no_ways_out else _ways_out(answers, as_built=not as_designed, as_json=json_)
    likely = ""
    if spread is not None:
        from foilwright.study import spread as study  # noqa: PLC0415

        found = study.spread(made, samples=spread, questions=questions, as_built=not as_designed)
        told, likely = told | {"spread": study.document(found)}, "\n" + study.text(found)
    if json_:
        from foilwright.questions import report_json  # noqa: PLC0415

        _print_json(report_json.document(answers) | told)
    else:
        from foilwright.questions import report_text  # noqa: PLC0415

        print(report_text.text(answers) + out + likely, end="")
        if drawn:
            print(f"\nPlots in {plot}: {', '.join(dict.fromkeys(path.stem for path in drawn))} (PNG and SVG)")
    return SOMETHING_FAILS if report.something_fails(answers) else FINE


def _ways_out(answers: Answers, *, as_built: bool, as_json: bool) -> tuple[dict[str, Any], str]:
    """Return the ways out of what fails or is slim, as plain data or as text."""
    from foilwright.questions import report_ways  # noqa: PLC0415
    from foilwright.study import ways  # noqa: PLC0415

    found = ways.find(answers, as_built=as_built)
    if as_json:
        return report_ways.document(found), ""
    told = report_ways.text(found, answers)
    return {}, f"\n{told}" if told else ""


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

    found = study.compare(_builds(builds), as_built=not as_designed)
    drawn: list[Path] = []
    if plot is not None:
        from foilwright.study import plots  # noqa: PLC0415

        drawn = plots.draw(plot, study.figures(found))
    if json_:
        _print_json(study.document(found))
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

    made = _build(build, {}, [] if out else [_fault("-o", "nothing", "a place for the results", "-o lake.parquet")])
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
        _print_json(study.document(done.found))
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
        raise BuildFileError([_fault("--in", "nothing", "the results to pick from", "--in lake.parquet")])
    name = place.name.removesuffix(".toml")
    if not NAME.fullmatch(name):
        raise BuildFileError([_fault("-o", str(place), "a file NAME.toml", "-o better.toml")])
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


@app.command
def ready(
    build: str,
    /,
    *cards: str,
    folder: Annotated[Path | None, Parameter(name=["-o", "--folder"])] = None,
    no_pdf: Flag = False,
) -> int:
    """Write bench tests, sheets, cards for bench and beach, and the staged plan of trials of a build.

    Without -o: the index of the cards, or the named ones. With -o: ready.md, ready.pdf and session.toml.

    Parameters
    ----------
    build
        The build file.
    cards
        Names of cards to print here; all for every one.
    folder
        Folder to write into; a session.toml that is there is left alone, for it holds readings.
    no_pdf
        Leave the PDF out.
    """
    from foilwright.parts import ready as cards_of  # noqa: PLC0415

    made = _build(build, {}, [])
    all_cards = cards_of.cards(made)
    if folder is None:
        print(cards_of.text(all_cards, cards, build), end="")
        return FINE
    kept = cards_of.chosen(all_cards, cards) if cards else all_cards
    written = cards_of.write(made, kept, folder, printed=not no_pdf)
    print(f"In {folder}: {', '.join(path.name for path in written)}")
    return FINE


@app.command
def evidence(*, json_: AsJson = False) -> int:
    """Show every check against a published value, with its source and error.

    Exit status: 0 unless a value is missed and nobody said why.

    Parameters
    ----------
    json_
        Print the documented JSON instead of text.
    """
    from foilwright.study import evidence as study  # noqa: PLC0415

    checks = study.run()
    if json_:
        _print_json(study.document(checks))
    else:
        print(study.text(checks))
    return study.exit_status(checks)


@app.command
def installed(*, json_: AsJson = False) -> int:
    """Show what is installed, what an extra would add, and how to get it.

    Parameters
    ----------
    json_
        Print JSON instead of text.
    """
    from foilwright import installed as here  # noqa: PLC0415

    found = here.look()
    if json_:
        _print_json(here.document(found))
    else:
        print(here.text(found))
    return FINE


def _build(file: str, settings: dict[str, str], faults: list[Fault]) -> Build:
    """Return the build of a file with fields given anew; everything wrong is told together."""
    from foilwright.build import load  # noqa: PLC0415

    if not os.path.exists(file):  # noqa: PTH110 - takes any text
        raise BuildFileError([*faults, _no_file(file, load.scenarios())])
    try:
        build = load.load(file).with_texts(settings)
    except BuildFileError as error:
        raise BuildFileError([*faults, *error.faults]) from None
    if faults:
        raise BuildFileError(faults)
    return build


def _builds(files: tuple[str, ...]) -> list[Build]:
    """Return the builds of several files; everything wrong in any of them is told together."""
    made: list[Build] = []
    faults: list[Fault] = []
    for file in files:
        try:
            made.append(_build(file, {}, []))
        except BuildFileError as error:
            faults += error.faults
    if faults:
        raise BuildFileError(faults)
    return made


def _no_file(file: str, scenarios: tuple[str, ...]) -> Fault:
    """Return what helps where there is no such file: one of nearly that name, or a scenario that becomes one."""
    name = file.removesuffix(".toml")
    there = "a build file, and there is none of this name"
    if os.path.exists(f"{name}.toml"):  # noqa: PTH110
        return _fault("BUILD", file, there, f"foilwright ask {name}.toml", nearest=f"{name}.toml")
    if name in scenarios:
        there += f"; the scenario {name} becomes one with: foilwright new {name} --from {name}"
        return _fault("BUILD", file, there, f"foilwright ask {name}.toml")
    return _fault("BUILD", file, f"{there}; write one with: foilwright new mine", "foilwright ask mine.toml")


def _settings(pairs: tuple[str, ...]) -> tuple[dict[str, str], list[Fault]]:
    """Return fields and their new values as text, and what is wrong with how they are given."""
    out: dict[str, str] = {}
    faults = []
    for pair in pairs:
        path, sign, value = pair.partition("=")
        if not sign or not path.strip():
            faults.append(_fault("--set", pair, "PATH=VALUE", '--set wing.area="1600 cm^2"'))
        elif path.strip() in out:
            faults.append(_fault("--set", pair, f"one value for {path.strip()}", '--set wing.area="1600 cm^2"'))
        out[path.strip()] = value.strip()
    return {path: value for path, value in out.items() if path}, faults


def _fault(field: str, got: str, allowed: str, example: str, nearest: str | None = None) -> Fault:
    from foilwright.core import units  # noqa: PLC0415

    return Fault(
        file="command line",
        line=None,
        field=field,
        got=units.quoted(got),
        allowed=allowed,
        example=example,
        nearest=nearest,
    )


def _print_json(tree: object) -> None:
    print(json.dumps(tree, allow_nan=False, ensure_ascii=False))


def _tell(error: FoilwrightError, as_json: bool) -> None:
    """Print what is wrong: sentences, or the documented JSON."""
    if not as_json:
        print(error, file=sys.stderr)
        return
    told: list[dict[str, Any]] = [asdict(fault) for fault in getattr(error, "faults", ())]
    bare = {"file": "", "line": None, "field": "", "got": str(error), "allowed": "", "example": "", "nearest": None}
    _print_json({"format": 1, "errors": told or [bare]})


def _plainer(error: UnicodeError) -> tuple[str, int]:
    """Return other signs for those that a screen or a file does not have."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(PLAINER.get(sign, "?") for sign in error.object[error.start : error.end]), error.end


def main(arguments: list[str] | None = None) -> int:
    """Run the command line; return the exit status."""
    given = sys.argv[1:] if arguments is None else arguments
    codecs.register_error("plainer", _plainer)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="plainer")
    try:
        status = _run(given)
        if sys.stdout is not None:
            sys.stdout.flush()
    except KeyboardInterrupt:
        return STOPPED
    except BrokenPipeError:
        _silence()
        return FINE
    except OSError as error:
        _silence()
        print(f"the answer cannot be written: {error.strerror or error}", file=sys.stderr)
        return NO_PLACE
    return status


def _run(given: list[str]) -> int:
    as_json = "--json" in given
    try:
        status = app(given, exit_on_error=False, print_error=False)
    except CycloptsError as error:
        told = " ".join(str(error).split())
        _tell(FoilwrightError(f"{told} See: foilwright --help"), as_json)
        return NO_BUILD
    except (MissingExtraError, PlaceError) as error:
        _tell(error, as_json)
        return NO_PLACE
    except FoilwrightError as error:
        _tell(error, as_json)
        return NO_BUILD
    return status if isinstance(status, int) else FINE


def _silence() -> None:
    """Let the rest of what was to be printed go nowhere, so that leaving the program says nothing."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


if __name__ == "__main__":
    sys.exit(main())
