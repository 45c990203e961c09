"""How much of a section a wall takes up, and how thick the wall is that takes up a share."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from foilwright.core import solve
from foilwright.core.model import Array, model
from foilwright.physics.beam.inset import AREA, INNER_ROWS, OUTER_ROWS, insets


def _shares(sections: Sequence[str]) -> tuple[Array, Array]:
    """Return the share of the area within each depth (n, rows), and half the greatest thickness (n,) [chord]."""
    tables, which = insets(sections)
    area = tables.values[:, OUTER_ROWS - 1 : OUTER_ROWS - 1 + INNER_ROWS, AREA]
    share = 1.0 - area / area[:, :1]
    wide: npt.NDArray[np.intp] = which
    return share[wide], tables.deepest[wide]


@model(source="polygon areas of parallel outlines", valid={"wall": (0.0, 1.0)})
def shell_share(*, sections: Sequence[str], chord: Array, wall: Array) -> Array:
    """Return the share of a foil section that its wall takes up.

    Parameters
    ----------
    sections : sequence of str
        Designations, one a design [-].
    chord : (n,) array
        Chord [m].
    wall : (n,) array
        Thickness of the wall; from half the thickness of the section on it is solid [m].

    Returns
    -------
    (n,) array
        Area of the wall over that of the section [-].
    """
    share, deepest = _shares((sections,) if isinstance(sections, str) else sections)
    depth = np.minimum(np.atleast_1d(np.asarray(wall, dtype=np.float64)) / chord / deepest, 1.0)
    return solve.even_rows(depth[:, None], share)[0][:, 0]


@model(source="polygon areas of parallel outlines, read backwards", valid={"share": (0.0, 1.0)})
def shell_wall(*, sections: Sequence[str], chord: Array, share: Array) -> Array:
    """Return the wall that takes up a share of a foil section.

    Parameters
    ----------
    sections : sequence of str
        Designations, one a design [-].
    chord : (n,) array
        Chord [m].
    share : (n,) array
        Area of the wall over that of the section [-].

    Returns
    -------
    (n,) array
        Thickness of the wall; half the thickness of the section where it is solid [m].
    """
    known, deepest = _shares((sections,) if isinstance(sections, str) else sections)
    rows = np.broadcast_to(np.linspace(0.0, 1.0, INNER_ROWS), known.shape)
    rising = known + np.arange(INNER_ROWS) * 1e-12
    wanted = np.clip(np.atleast_1d(np.asarray(share, dtype=np.float64)), rising[:, 0], rising[:, -1])
    return solve.rows(wanted[:, None], rising, rows)[:, 0] * deepest * chord
