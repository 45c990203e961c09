"""What a maker takes in hand: solids, foam, cloth, order of work, wiring, lists, report; and cards for bench and beach.

The package can be called, ``foilwright.parts(build, "lake-parts")``, as the function of that name beside it.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foilwright.build.build import Build
    from foilwright.parts.job import Made

__all__ = ["KINDS", "make"]

KINDS = ("solids", "prints", "foam", "cloth", "order", "wiring", "money", "report")
"""What can be made, in the order in which it is."""


def make(
    build: Build,
    folder: str | Path,
    *,
    only: Sequence[str] = (),
    tell: Callable[[str], None] | None = None,
    prices: str | Path | None = None,
) -> list[Made]:
    """Write the parts of a build into a folder; what is there already and has not changed is left as it is.

    Parameters
    ----------
    build : Build
        From ``load``.
    folder : str or Path
        Where they go; an index page (index.html and index.md) shows each file.
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
    """
    from foilwright.parts import run  # noqa: PLC0415

    return run.run(build, Path(folder), only=only, tell=tell, prices=None if prices is None else Path(prices))


class _Callable(ModuleType):
    """The package as a function, since the two have one name."""

    def __call__(
        self,
        build: Build,
        folder: str | Path,
        *,
        only: Sequence[str] = (),
        tell: Callable[[str], None] | None = None,
        prices: str | Path | None = None,
    ) -> list[Made]:
        return make(build, folder, only=only, tell=tell, prices=prices)


sys.modules[__name__].__class__ = _Callable
