"""Values known as a range only: low, typical and high, read by name from a packaged table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.core.model import Array

Names = str | Sequence[str] | npt.NDArray[np.str_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A value that is known as a range: ``low``, ``typical`` and ``high``, one a design."""

    low: Array
    typical: Array
    high: Array

    @classmethod
    def of(cls, name: str, column: str, wanted: Names) -> Self:
        """Return three columns of a table, ``column_low`` and so on, in the rows that are wanted."""
        read = table(name)
        rows = _places(read.texts[next(iter(read.texts))], wanted, name)
        return cls(**{end: read.columns[f"{column}_{end}"][rows] for end in ("low", "typical", "high")})

    def scaled(self, factor: Array) -> Self:
        """Return the range times a factor."""
        return type(self)(low=self.low * factor, typical=self.typical * factor, high=self.high * factor)


def _places(known: tuple[str, ...], wanted: Names, name: str) -> npt.NDArray[np.intp]:
    """Return the row of each wanted name."""
    asked = np.asarray(wanted, dtype=np.str_)
    row = sum(((k + 1) * (asked == one) for k, one in enumerate(known)), np.zeros(asked.shape, dtype=np.intp))
    if np.any(row == 0):
        raise DataError(f"table {name} has {', '.join(known)}; not {', '.join(np.unique(asked[row == 0]))}")
    return np.asarray(row - 1, dtype=np.intp)
