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
AsJson = Annotated[bool, Parameter(name="--json", negative="", show_default=False)]
Flag = Annotated[bool, Parameter(negative="", show_default=False)]


@app.command
def new(name: str, /, *, from_: Annotated[str, Parameter(name="--from")] = "lake", set_: Setting = ()) -> int:
    """Write NAME.toml here: a build file with every field explained.

    Parameters
    ----------
    name
        Name of the new build; the file is NAME.toml in this folder and is never overwritten.
    from_
        Scenario to start from.
    set_
        A field and its value, such as wing.area="1600 cm^2"; may be given several times.
    """
    from foilwright.build import load, save  # noqa: PLC0415

    plain = name.removesuffix(".toml")
    settings, faults = _settings(set_)
    if from_ not in load.scenarios():
        faults.append(_fault("--from", from_, "one of " + ", ".join(load.scenarios()), "--from lake"))
    if not NAME.fullmatch(plain):
        faults.append(_fault("NAME", name, "a plain name; its file is written into this folder", "foilwright new mine"))
    if faults:
        raise BuildFileError(faults)
    place = Path(f"{plain}.toml")
    build = load.scenario(from_)
    changed = build.with_texts(settings)
    written = {path: value for path, value in changed.values.items() if build.values.get(path) != value}
    save.write_new(load.read(save.with_changes(build, written), name=plain, file=place.name), place)
    print(f"{place} written, from the scenario {from_}. Next: foilwright ask {shlex.quote(str(place))}")
    return FINE


@app.command
def ask(
    build: str,
    /,
    *questions: str,
    set_: Setting = (),
    as_designed: Flag = False,
    json_: AsJson = False,
    no_ways_out: Flag = False,  # noqa: ARG001 - so far nothing is looked for
    plot: Path | None = None,
) -> int:
    """Answer the questions about a build: margins, worst first, with their sources.

    Exit status: 0 nothing fails; 1 something fails, or an unknown can hurt or burn; 2 the text does
    not make a build; 3 an extra is missing, or a place cannot be written.

    Parameters
    ----------
    build
        The build file.
    questions
        Which questions: afloat, rise, fly, push, endure; none for all.
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
    if json_:
        from foilwright.questions import report_json  # noqa: PLC0415

        _print_json(report_json.document(answers))
    else:
        from foilwright.questions import report_text  # noqa: PLC0415

        print(report_text.text(answers), end="")
        if drawn:
            print(f"\nPlots in {plot}: {', '.join(dict.fromkeys(path.stem for path in drawn))} (PNG and SVG)")
    return SOMETHING_FAILS if report.something_fails(answers) else FINE


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
