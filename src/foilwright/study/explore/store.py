"""Results as they come: a folder of Parquet parts, each written in one step, and what they hang on."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from foilwright.core import units
from foilwright.core.errors import BuildFileError, Fault, PlaceError
from foilwright.core.extras import need
from foilwright.study.explore.plan import Columns

PLAN = "_plan.json"
PART = re.compile(r"part-(\d{6,})\.parquet")


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """A folder that any reader of Parquet takes for one table."""

    place: Path

    def open(self, told: str) -> None:
        """Make the folder, or make sure that it holds this very exploration."""
        need("pyarrow.parquet", extra="study")
        try:
            self.place.mkdir(parents=True, exist_ok=True)
            kept = self.place / PLAN
            if kept.exists():
                if kept.read_text(encoding="utf-8") == told:
                    return
                got = "the results of another exploration"
            elif any(self.place.iterdir()):
                got = "a folder with other files"
            else:
                fresh = kept.with_name(kept.name + ".new")
                fresh.write_text(told, encoding="utf-8", newline="\n")
                fresh.replace(kept)
                return
        except OSError as error:
            raise PlaceError(f"{self.place} cannot be written: {error.strerror or error}") from error
        allowed = "a new place, or that of this same exploration, which then goes on"
        fault = Fault(
            file="command line", line=None, field="-o", got=f"{units.quoted(str(self.place))}: {got}",
            allowed=allowed, example="-o another.parquet",
        )  # fmt: skip
        raise BuildFileError([fault])

    def numbers(self) -> frozenset[int]:
        """Return the numbers of the parts that are there."""
        if not self.place.is_dir():
            return frozenset()
        found = (PART.fullmatch(path.name) for path in self.place.iterdir())
        return frozenset(int(each[1]) for each in found if each)

    def write(self, number: int, columns: Columns) -> None:
        """Write one part in one step; what was written before stays whatever happens."""
        arrow, parquet = need("pyarrow", extra="study"), need("pyarrow.parquet", extra="study")
        table = arrow.table({name: arrow.array(values, from_pandas=True) for name, values in columns.items()})
        path = self._part(number)
        fresh = path.with_name(f"_{path.name}.new")
        try:
            parquet.write_table(table, fresh, compression="zstd")
            fresh.replace(path)
        except OSError as error:
            fresh.unlink(missing_ok=True)
            raise PlaceError(
                f"{path} cannot be written: {error.strerror or error}; the {len(self.numbers())} parts before it are"
                " kept, and the same command goes on from there"
            ) from error

    def read(self, number: int, columns: Sequence[str] | None = None) -> dict[str, Any]:
        """Return columns of one part as arrays."""
        parquet = need("pyarrow.parquet", extra="study")
        try:
            table = parquet.read_table(
                self._part(number), columns=None if columns is None else list(columns), use_threads=False
            )
        except (OSError, ValueError) as error:
            raise PlaceError(f"{self._part(number)} cannot be read: {error}") from error
        return {name: table[name].to_numpy() for name in table.column_names}

    def parts(self, columns: Sequence[str] | None = None) -> Iterator[dict[str, Any]]:
        """Yield the parts in their order."""
        for number in sorted(self.numbers()):
            yield self.read(number, columns)

    def all(self, columns: Sequence[str] | None = None) -> dict[str, Any]:
        """Return columns of all parts, in the order of the rows."""
        parts = list(self.parts(columns))
        if not parts:
            return {}
        return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}

    def _part(self, number: int) -> Path:
        return self.place / f"part-{number:06d}.parquet"
