"""The application: its name, its exit statuses, the kinds of options that several commands share."""

from __future__ import annotations

from typing import Annotated

from cyclopts import App, Parameter

from foilwright.version import __version__

FINE, SOMETHING_FAILS, NO_BUILD, NO_PLACE, STOPPED = 0, 1, 2, 3, 130
"""Exit status; 130 is what shells expect of a command that was interrupted."""


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
