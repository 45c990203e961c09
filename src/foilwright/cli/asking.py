"""`new` and `ask`: a build file, and its answers."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from foilwright.cli.app import FINE, SOMETHING_FAILS, AsJson, Flag, Setting, app
from foilwright.cli.given import NAME, build_of, fault, print_json, settings_of
from foilwright.core.errors import BuildFileError

if TYPE_CHECKING:
    from foilwright.questions.ask import Answers


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
    settings, faults = settings_of(set_)
    if from_ is not None and from_ not in load.scenarios():
        faults.append(fault("--from", from_, "one of " + ", ".join(load.scenarios()), "--from lake"))
    if not NAME.fullmatch(plain):
        faults.append(fault("NAME", name, "a plain name; its file is written into this folder", "foilwright new mine"))
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
    sections: Flag = False,
) -> int:
    """Answer the questions about a build: margins, worst first, with their sources.

    Exit status: 0 nothing fails; 1 something fails, or an unknown can hurt or burn; 2 the text does
    not make a build; 3 an extra is missing, or a place cannot be written.

    Parameters
    ----------
    build
        The build file.
    questions
        Which questions: afloat, rise, fly, push, endure, hold, dry, obey, wire, cool, charge, makeable; none
        for all.
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
    sections
        Say the stiffness of mast and wings by finite elements too (extra fe; kept once worked out).
    """
    from foilwright.questions import report  # noqa: PLC0415
    from foilwright.questions.ask import NAMES  # noqa: PLC0415
    from foilwright.questions.ask import ask as answer  # noqa: PLC0415
    from foilwright.questions.names import unknown  # noqa: PLC0415

    settings, faults = settings_of(set_)
    made = build_of(build, settings, unknown(questions, NAMES) + faults)
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
    if sections:
        from foilwright.study import stiffness  # noqa: PLC0415

        cut = stiffness.of_build(made, as_built=not as_designed)
        told, likely = told | {"sections": stiffness.document(cut)}, likely + "\n" + stiffness.text(cut)
    if json_:
        from foilwright.questions import report_json  # noqa: PLC0415

        print_json(report_json.document(answers) | told)
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
