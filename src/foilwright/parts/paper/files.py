"""Writing a file in one step, and rows as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from foilwright.core.errors import PlaceError


def write(path: Path, told: str | bytes) -> None:
    """Write a file in one step: an interrupted run leaves no half of it."""
    fresh = path.with_name(path.name + ".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh.write_bytes(told.encode("utf-8") if isinstance(told, str) else told)
        fresh.replace(path)
    except OSError as error:
        raise PlaceError(f"{path} cannot be written: {error.strerror or error}") from error


def csv_of(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return rows as CSV with a heading."""
    told = io.StringIO()
    writer = csv.writer(told, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(rows)
    return told.getvalue()
