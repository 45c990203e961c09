"""`learn` and `history`: days on the water read back into the model, and a craft's folder over time."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from foilwright.cli.app import FINE, SOMETHING_FAILS, AsJson, Flag, app
from foilwright.cli.given import build_of, fault, print_json


@app.command
def learn(
    build: str,
    /,
    *trials: Path,
    json_: AsJson = False,
    out: Annotated[Path | None, Parameter(name=["-o", "--out"])] = None,
    plot: Path | None = None,
    sample: Flag = False,
    demo: Flag = False,
) -> int:
    """Read days on the water back into the model: what explains them, and what to read next.

    Writes nothing unless asked. Exit status: 0 one explanation leads; 1 it cannot be told; 2 a file is not
    as it must be; 3 an extra is missing, or a place cannot be written.

    Parameters
    ----------
    build
        The build file of what was ridden.
    trials
        Tracks (.gpx), logs (.csv with a header file .columns.toml beside them) and session sheets (.toml);
        files of one name, day-1.gpx and day-1.toml, belong together.
    json_
        Print the documented JSON instead of text.
    out
        Build file to write, with dated corrections; the given one may be named, the previous stays as .bak.
    plot
        Folder to write plots into (PNG and SVG).
    sample
        Also sample the corrections of the likeliest explanation by an ensemble.
    demo
        Write the two days of first-try here first, and read nothing.
    """
    from foilwright.core.errors import BuildFileError  # noqa: PLC0415
    from foilwright.study import learn as study  # noqa: PLC0415

    if demo:
        from foilwright.study.learn import demo as shipped  # noqa: PLC0415

        made = shipped.written_out(Path())
        print(f"written: {', '.join(made)}")
        return FINE
    missing = [
        fault("TRIAL", "nothing", "at least one track, log or session sheet", "foilwright learn mine.toml day-1.toml")
    ]
    craft = build_of(build, {}, [] if trials else missing)
    if out is not None and out.suffix != ".toml":
        raise BuildFileError([fault("-o", str(out), "a file NAME.toml", "-o mine.toml")])
    days = study.read(craft, trials)
    found = study.diagnose(craft, days.trial)
    sampled = None
    if sample:
        from foilwright.study.learn import sample as ensemble  # noqa: PLC0415

        sampled = ensemble.sample(found)
    drawn: list[Path] = []
    if plot is not None:
        from foilwright.study import plots  # noqa: PLC0415
        from foilwright.study.learn import plot as pictures  # noqa: PLC0415

        drawn = plots.draw(plot, pictures.figures(found, days.rides))
    if json_:
        print_json(study.document(found) | ({"sampled": sampled.document()} if sampled else {}))
    else:
        print(study.text(found), end="")
        if sampled:
            print(sampled.text(), end="")
    if out is not None:
        _write(found, out, quiet=json_)
    if drawn and not json_:
        print(f"\nPlots in {plot}: {', '.join(dict.fromkeys(path.stem for path in drawn))} (PNG and SVG)")
    return FINE if found.clear else SOMETHING_FAILS


def _write(found: object, out: Path, *, quiet: bool) -> None:
    """Write the build with what was learnt, and say what changed."""
    from foilwright.core.data import write_kept  # noqa: PLC0415
    from foilwright.study import learn as study  # noqa: PLC0415

    text, changes = study.learnt(found)  # type: ignore[arg-type]
    write_kept(out, text)
    if not quiet:
        told = ", ".join(changes) or "nothing: these readings teach no correction"
        print(f"\n{out} written; changed: {told}. Next: foilwright ask {shlex.quote(str(out))}")


@app.command
def history(folder: Path, /, *, json_: AsJson = False) -> int:
    """Tell the builds, trials and corrections of one craft over time, from the plain files in its folder.

    Parameters
    ----------
    folder
        Folder with build files and the files of trials.
    json_
        Print the documented JSON instead of text.
    """
    from foilwright.study import history as study  # noqa: PLC0415

    found = study.history(folder)
    if json_:
        print_json(study.document(found))
    else:
        print(study.text(found), end="")
    return FINE
