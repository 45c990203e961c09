"""The rows of the outside checks: values that others published, measured or worked out.

One CSV file a topic in ``data/points``; the columns are explained in ``docs/words.md``. Anything
wrong in a row is told with its file and line, and several faults of a file are told at once.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from foilwright.core.data import folder
from foilwright.core.errors import DataError

COLUMNS = (
    "id",
    "model",
    "field",
    "inputs",
    "value",
    "tolerance",
    "tolerance_kind",
    "kind",
    "known",
    "known_miss",
    "source",
)
TOLERANCE_KINDS = ("abs", "rel")
KINDS = ("published", "measured", "by hand", "library")
KNOWN = ("read", "from memory", "common practice")

Scalar = float | str | bool
Value = Scalar | npt.NDArray[np.float64] | npt.NDArray[np.str_]

NUMBER = re.compile(r"[+-]?(?:(?:0|[1-9]\d*)(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?")
FIELD = re.compile(r"(?P<name>[a-z_]\w*(?:\.[a-z_]\w*)*)?(?:\[(?P<index>-?\d+(?:,-?\d+)*)\])?")
TOKEN = re.compile(r"\[|\]|[^\s\[\],]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One outside check as written; ``inputs`` keeps its cells as text until a model is known."""

    topic: str
    line: int
    id: str
    model: str
    field: str
    inputs: Mapping[str, str]
    value: Scalar
    tolerance: float
    relative: bool
    kind: str
    known: str
    known_miss: str
    source: str

    @property
    def where(self) -> str:
        """Return file and line, for sentences."""
        return f"points/{self.topic}.csv, line {self.line}"


def read_all(place: Path | None = None) -> tuple[Point, ...]:
    """Return the rows of every file in a folder (the packaged one if none is named)."""
    points: list[Point] = []
    faults: list[str] = []
    for path in files(place):
        try:
            points += read(path)
        except DataError as error:
            faults.append(str(error))
    faults += repeated(points)
    if faults:
        raise DataError("\n".join(faults))
    return tuple(points)


def files(place: Path | None = None) -> list[Path]:
    """Return the files of outside checks in a folder, sorted by topic."""
    return sorted((place or folder() / "points").glob("*.csv"))


def repeated(points: Iterable[Point]) -> list[str]:
    """Return a sentence for each id that was used before."""
    first: dict[str, Point] = {}
    out = []
    for point in points:
        earlier = first.setdefault(point.id, point)
        if earlier is not point:
            out.append(f"{point.where}: the id {point.id} is already used in {earlier.where}")
    return out


def read(path: Path) -> tuple[Point, ...]:
    """Return the rows of one file; raise one DataError that names every fault in it."""
    name = f"points/{path.name}"
    points: list[Point] = []
    faults: list[str] = []
    header: list[str] | None = None
    try:
        for line, cells in _records(path):
            if header is None:
                header = cells
                if tuple(header) != COLUMNS:
                    raise DataError(f"{name}, line {line}: the columns must be {','.join(COLUMNS)}")
            elif len(cells) != len(COLUMNS):
                faults.append(
                    f"{name}, line {line}: {len(cells)} cells where {len(COLUMNS)} are needed "
                    "(quote a cell that contains a comma)"
                )
            else:
                row = dict(zip(COLUMNS, (cell.strip() for cell in cells), strict=True))
                wrong = _wrong(row)
                faults += [f"{name}, line {line}: {sentence}" for sentence in wrong]
                if not wrong:
                    points.append(_point(row, topic=path.stem, line=line))
    except csv.Error as error:
        faults.append(f"{name}: not a table of comma-separated cells ({error})")
    if faults:
        raise DataError("\n".join(faults))
    return tuple(points)


def _records(path: Path) -> Iterable[tuple[int, list[str]]]:
    """Give each record with the number of its line; comment lines and empty ones are passed over."""
    lines = path.read_text(encoding="utf-8").splitlines()
    kept = [(number, line) for number, line in enumerate(lines, 1) if line.strip() and not line.startswith("#")]
    reader = csv.reader((line for _, line in kept), strict=True)
    start = 0
    for cells in reader:
        yield kept[start][0], cells
        start = reader.line_num


def _wrong(row: Mapping[str, str]) -> list[str]:
    """Return what is wrong in a row, as sentences."""
    out = [f"the cell {name} is empty" for name in ("id", "model", "value", "source") if not row[name]]
    for name, allowed in (("kind", KINDS), ("known", KNOWN)):
        if row[name] not in allowed:
            out.append(f"{name} is {row[name]!r}; allowed: {', '.join(allowed)}")
    if not FIELD.fullmatch(row["field"]):
        out.append(f"field is {row['field']!r}; allowed: a name, a name[index], or nothing")
    try:
        inputs(row["inputs"])
    except DataError as error:
        out.append(str(error))
    if isinstance(scalar(row["value"]), float):
        out += _wrong_tolerance(row)
    return out


def _wrong_tolerance(row: Mapping[str, str]) -> list[str]:
    out = []
    if row["tolerance_kind"] not in TOLERANCE_KINDS:
        out.append(f"tolerance_kind is {row['tolerance_kind']!r}; allowed: {', '.join(TOLERANCE_KINDS)}")
    tolerance = scalar(row["tolerance"])
    if not isinstance(tolerance, float) or not 0.0 <= tolerance < math.inf:
        out.append(f"tolerance is {row['tolerance']!r}; allowed: a number, zero or more")
    elif row["tolerance_kind"] == "rel" and scalar(row["value"]) == 0.0:
        out.append("a relative tolerance of a zero value allows nothing; write an absolute one")
    return out


def _point(row: Mapping[str, str], *, topic: str, line: int) -> Point:
    value = scalar(row["value"])
    return Point(
        topic=topic,
        line=line,
        id=row["id"],
        model=row["model"],
        field=row["field"],
        inputs=inputs(row["inputs"]),
        value=value,
        tolerance=float(row["tolerance"]) if isinstance(value, float) else 0.0,
        relative=row["tolerance_kind"] == "rel",
        kind=row["kind"],
        known=row["known"],
        known_miss=row["known_miss"],
        source=row["source"],
    )


def inputs(cell: str) -> dict[str, str]:
    """Return the inputs of a row by name, each as text: ``a=1;b=[1 2];section=naca0012``."""
    out: dict[str, str] = {}
    for part in filter(None, (part.strip() for part in cell.split(";"))):
        name, equals, written = (piece.strip() for piece in part.partition("="))
        if not equals or not name.isidentifier() or not written:
            raise DataError(f"inputs has {part!r}; allowed: name=value, parted by semicolons")
        if name in out:
            raise DataError(f"inputs names {name} twice")
        value(written)
        out[name] = written
    return out


def scalar(text: str) -> Scalar:
    """Return a cell as a number, true or false, or text."""
    if NUMBER.fullmatch(text):
        return float(text)
    return text == "true" if text in {"true", "false"} else text


def value(text: str) -> Value:
    """Return an input as a number, an array in brackets (nested for more axes), or text."""
    if not text.startswith("["):
        return scalar(text)
    tokens = TOKEN.findall(text)
    nested, rest = _nested(tokens[1:])
    if rest:
        raise DataError(f"inputs has {text!r}; allowed: one pair of brackets, nested for more axes")
    try:
        out = np.array(nested)
    except ValueError:
        out = np.array(None)
    if out.dtype.kind not in "fU" or not out.size or (out.dtype.kind == "U" and not _all_text(tokens)):
        raise DataError(f"inputs has {text!r}; allowed: numbers only or words only, rows of one length")
    return out


def _all_text(tokens: list[str]) -> bool:
    return all(word in "[]" or isinstance(scalar(word), str) for word in tokens)


def _nested(tokens: list[str]) -> tuple[list[object], list[str]]:
    """Return the list that the tokens make up to its closing bracket, and the tokens after it."""
    out: list[object] = []
    while tokens:
        word, tokens = tokens[0], tokens[1:]
        if word == "]":
            return out, tokens
        if word == "[":
            inner, tokens = _nested(tokens)
            out.append(inner)
        else:
            out.append(scalar(word))
    raise DataError("inputs has an opening bracket without its closing one")
