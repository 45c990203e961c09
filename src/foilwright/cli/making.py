"""`parts`: from the build file to the parts on the bench."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from foilwright.cli.app import FINE, Several, app
from foilwright.cli.given import build_of, fault


@app.command
def parts(
    build: str,
    /,
    *,
    folder: Annotated[Path | None, Parameter(name=["-o", "--folder"])] = None,
    only: Several = (),
    prices: Path | None = None,
) -> int:
    """Write solids, templates, schedules, drawings, lists and the report of a build, and an index of them.

    What is in the folder already and has not changed is left as it is. Begin with index.html.

    Parameters
    ----------
    build
        The build file.
    folder
        Folder to write into.
    only
        A kind to make: solids, prints, foam, cloth, order, wiring, money or report; may be given several times.
    prices
        Your own prices and what you own: a CSV file with the columns item, price and owned.
    """
    from foilwright.parts import make  # noqa: PLC0415

    made = build_of(build, {}, [] if folder else [fault("-o", "nothing", "a folder to write into", "-o lake-parts")])
    things = make(made, folder or Path(), only=only, tell=_tell, prices=prices)
    print(f"In {folder}: {len(things)} things; begin with {folder}/index.html")
    return FINE


def _tell(told: str) -> None:
    """Show progress: a line where somebody watches or reads a log."""
    print(told, file=sys.stderr, flush=True)
