"""The commands: they read arguments, call, print, and set the exit status; no arithmetic here."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Annotated, Any

from cyclopts import App, Parameter
from cyclopts.exceptions import CycloptsError

from foilwright import __version__
from foilwright.core.errors import BuildFileError, Fault, FoilwrightError, MissingExtraError, PlaceError

FINE, SOMETHING_FAILS, NO_BUILD, NO_PLACE = 0, 1, 2, 3

app = App(
    name="foilwright",
    help="Will a home-made electric hydrofoil board float, rise, fly and last? Computed from one build file.",
    version=f"foilwright {__version__}",
    version_flags=["--version"],
    help_flags=["--help"],
    result_action="return_value",
)


@app.command
def new(
    name: str,
    *,
    from_: Annotated[str, Parameter(name="--from")] = "lake",
    set_: Annotated[tuple[str, ...], Parameter(name="--set", consume_multiple=False)] = (),
) -> int:
    """Write NAME.toml here: a build file with every field explained.

    Parameters
    ----------
    name
        Name of the new build; the file is NAME.toml in this folder and is never overwritten.
    from_
        Scenario to start from: lake, first-try, sea or trainer.
    set_
        A field and its value, such as wing.area="1600 cm^2"; may be given several times.
    """
    from foilwright.build import load, save  # noqa: PLC0415

    if from_ not in load.scenarios():
        raise _wrong("--from", from_, "one of " + ", ".join(load.scenarios()), "--from lake")
    if not name or "/" in name or "\\" in name:
        raise _wrong("NAME", repr(name), "a plain name; the file is written into this folder", "foilwright new mine")
    place = Path(name if name.endswith(".toml") else f"{name}.toml")
    build = load.scenario(from_)
    changed = build.with_texts(_settings(set_))
    written = {path: value for path, value in changed.values.items() if build.values.get(path) != value}
    save.write_new(load.read(save.with_changes(build, written), name=name, file=place.name), place)
    print(f"{place} written, from the scenario {from_}. Next: foilwright ask {place}")
    return FINE


@app.command
def ask(
    build: str,
    *questions: str,
    set_: Annotated[tuple[str, ...], Parameter(name="--set", consume_multiple=False)] = (),
    as_designed: bool = False,
    json_: Annotated[bool, Parameter(name="--json")] = False,
    no_ways_out: bool = False,
    plot: Path | None = None,
) -> int:
    """Answer the questions about a build: margins, worst first, with their sources.

    Parameters
    ----------
    build
        The build file.
    questions
        Which questions; none for all: afloat, rise, fly, push, endure.
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
    from foilwright.build import load  # noqa: PLC0415
    from foilwright.questions import report  # noqa: PLC0415
    from foilwright.questions.ask import QUESTIONS  # noqa: PLC0415
    from foilwright.questions.ask import ask as answer  # noqa: PLC0415

    known = [question.name for question in QUESTIONS]
    for name in questions:
        if name not in known:
            raise _wrong("QUESTION", name, "one of " + ", ".join(known), "foilwright ask lake.toml rise")
    made = load.load(build).with_texts(_settings(set_))
    answers = answer(made, questions=questions, as_built=not as_designed)
    if plot is not None:
        from foilwright.study import plots  # noqa: PLC0415

        plots.write(answers, plot)
    if json_:
        print(json.dumps(report.as_json(answers), allow_nan=False, ensure_ascii=False))
    else:
        print(report.as_text(answers), end="")
    return SOMETHING_FAILS if report.something_fails(answers) else FINE


@app.command
def evidence(*, json_: Annotated[bool, Parameter(name="--json")] = False) -> int:
    """Show every check against a published value, with its source and error.

    Parameters
    ----------
    json_
        Print the documented JSON instead of text.
    """
    from foilwright.study import evidence as study  # noqa: PLC0415

    checks = study.run()
    print(json.dumps(study.as_json(checks), allow_nan=False, ensure_ascii=False) if json_ else study.as_text(checks))
    return study.exit_status(checks)


@app.command
def installed() -> int:
    """Show what is installed, what an extra would add, and how to get it."""
    from foilwright import installed as told  # noqa: PLC0415

    print(told.as_text())
    return FINE


def _settings(pairs: tuple[str, ...]) -> dict[str, str]:
    out = {}
    for pair in pairs:
        path, sign, value = pair.partition("=")
        if not sign:
            raise _wrong("--set", repr(pair), "PATH=VALUE", '--set wing.area="1600 cm^2"')
        out[path.strip()] = value.strip()
    return out


def _wrong(field: str, got: str, allowed: str, example: str) -> BuildFileError:
    return BuildFileError(
        [Fault(file="command line", line=None, field=field, got=got, allowed=allowed, example=example)]
    )


def _told(error: FoilwrightError, as_json: bool) -> None:
    if not as_json:
        print(error, file=sys.stderr)
        return
    faults = error.faults if isinstance(error, BuildFileError) else ()
    tree: list[dict[str, Any]] = [
        {
            "file": fault.file,
            "line": fault.line,
            "field": fault.field,
            "got": fault.got,
            "allowed": fault.allowed,
            "example": fault.example,
            "nearest": fault.nearest,
        }
        for fault in faults
    ]
    told = {"file": "", "line": None, "field": "", "got": str(error), "allowed": "", "example": "", "nearest": None}
    print(json.dumps({"format": 1, "errors": tree or [told]}, ensure_ascii=False))


def main(arguments: list[str] | None = None) -> int:
    """Run the command line; return the exit status."""
    given = sys.argv[1:] if arguments is None else arguments
    as_json = "--json" in given
    try:
        status = app(given, exit_on_error=False, print_error=False)
    except CycloptsError as error:
        _told(_wrong("", str(error).strip(), "see foilwright --help", "foilwright ask lake.toml"), as_json)
        return NO_BUILD
    except (MissingExtraError, PlaceError) as error:
        _told(error, as_json)
        return NO_PLACE
    except FoilwrightError as error:
        _told(error, as_json)
        return NO_BUILD
    except BrokenPipeError:
        sys.stderr.close()
        return FINE
    return status if isinstance(status, int) else FINE
