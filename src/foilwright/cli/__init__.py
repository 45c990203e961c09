"""The commands: they read arguments, call, print, and set the exit status; no arithmetic here."""

from __future__ import annotations

import codecs
import os
import sys
from dataclasses import asdict
from typing import Any

from cyclopts.exceptions import CycloptsError

from foilwright.cli import asking, making, paging, showing, studies, trials
from foilwright.cli.app import FINE, NO_BUILD, NO_PLACE, STOPPED, app
from foilwright.cli.given import print_json
from foilwright.core.errors import FoilwrightError, MissingExtraError, PlaceError

__all__ = ["app", "asking", "main", "making", "paging", "showing", "studies", "trials"]

PLAINER = {"│": "|", "┃": "!", "█": "#", "░": "-", "▸": ">", "◂": "<", "°": " deg", "·": "*", "²": "2", "Ω": "ohm"}
"""Signs for a screen that has no others."""


def _tell(error: FoilwrightError, as_json: bool) -> None:
    """Print what is wrong: sentences, or the documented JSON."""
    if not as_json:
        print(error, file=sys.stderr)
        return
    told: list[dict[str, Any]] = [asdict(fault) for fault in getattr(error, "faults", ())]
    bare = {"file": "", "line": None, "field": "", "got": str(error), "allowed": "", "example": "", "nearest": None}
    print_json({"format": 1, "errors": told or [bare]})


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
