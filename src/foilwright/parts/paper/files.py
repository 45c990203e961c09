"""Rows as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence


def csv_of(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return rows as CSV with a heading."""
    told = io.StringIO()
    writer = csv.writer(told, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(rows)
    return told.getvalue()
