"""Every check against a value that others made: looked up, computed here, compared, shown."""

from __future__ import annotations

import functools
import importlib
import inspect
import math
import pkgutil
import re
import textwrap
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np

from foilwright import physics, shape
from foilwright.core.errors import DataError, FoilwrightError
from foilwright.core.model import REGISTRY, Model
from foilwright.study import points
from foilwright.study.points import Point, Scalar
from foilwright.study.yardsticks import ADAPTERS

WIDTH = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One outside check, computed.

    ``error`` and ``allowed`` are absolute, in the unit of the value; for text and yes-or-no values
    they are 0 or 1 and 0. ``known_miss`` says why a published value is missed, empty otherwise.
    """

    id: str
    topic: str
    model: str
    source: str
    kind: str
    known: str
    expected: Scalar
    computed: Scalar
    error: float
    allowed: float
    passes: bool
    known_miss: str

    @property
    def unexpected(self) -> bool:
        """Return True where the value is missed and nobody said why."""
        return not self.passes and not self.known_miss

    @property
    def word(self) -> str:
        """Return the outcome in words; a known miss that is met now should lose its remark."""
        if self.passes:
            return "met now" if self.known_miss else "met"
        return "known miss" if self.known_miss else "MISSED"


def run(place: Path | None = None) -> tuple[Check, ...]:
    """Compute every outside check of a folder (the packaged one if none is named)."""
    checks: list[Check] = []
    faults: list[str] = []
    for point in points.read_all(place):
        try:
            checks.append(check(point))
        except DataError as error:
            faults.append(str(error))
    if faults:
        raise DataError("\n".join(faults))
    return tuple(checks)


def check(point: Point) -> Check:
    """Compute one outside check and compare it."""
    function = find(point)
    arguments = _arguments(point, function)
    try:
        result = function(**arguments)
    except (ArithmeticError, LookupError, TypeError, ValueError, FoilwrightError) as error:
        raise DataError(f"{point.where}: {point.model} cannot be computed: {error}") from error
    computed = _pick(point, result)
    miss, allowed = _compare(point, computed)
    slack = 1e-12 * abs(point.value) if isinstance(point.value, float) else 0.0
    return Check(
        id=point.id,
        topic=point.topic,
        model=point.model,
        source=point.source,
        kind=point.kind,
        known=point.known,
        expected=point.value,
        computed=computed,
        error=miss,
        allowed=allowed,
        passes=miss <= allowed + slack,
        known_miss=point.known_miss,
    )


@functools.cache
def load_models() -> None:
    """Import every module of physics and shape, so that each model has registered itself."""
    for package in (physics, shape):
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            importlib.import_module(module.name)


def find(point: Point) -> Callable[..., Any]:
    """Return the model or adapter that a row names: ``module.function``, or a name used once."""
    if point.model in ADAPTERS:
        return ADAPTERS[point.model]
    load_models()
    short = {name.removeprefix("foilwright.shape."): function for name, function in REGISTRY.items()}
    if point.model in short:
        return short[point.model]
    last = point.model.rpartition(".")[2]
    near = [name for name in short if name.rpartition(".")[2] == last]
    if len(near) == 1 and point.model == last:
        return short[near[0]]
    hint = f"; the name stands in {', '.join(sorted(near))}" if near else ""
    raise DataError(f"{point.where}: there is no one model {point.model}{hint}")


def _arguments(point: Point, function: Callable[..., Any]) -> dict[str, Any]:
    """Return the inputs as the function takes them: text stays text where it asks for text."""
    plain = function.function if isinstance(function, Model) else function
    signature = inspect.signature(plain)
    try:
        signature.bind(**point.inputs)
    except TypeError as error:
        takes = ", ".join(signature.parameters)
        raise DataError(f"{point.where}: {point.model} takes {takes}; {error}") from error
    out: dict[str, Any] = {}
    for name, text in point.inputs.items():
        given = signature.parameters.get(name)
        wanted = "" if given is None else str(getattr(given.annotation, "__name__", given.annotation))
        if re.fullmatch(r"str( \| None)?", wanted):
            out[name] = text
        elif wanted == "int" and re.fullmatch(r"[+-]?\d+", text):
            out[name] = int(text)
        else:
            out[name] = points.value(text)
    return out


def _pick(point: Point, result: Any) -> Scalar:
    """Return the one value that a row asks of a result."""
    found = points.FIELD.fullmatch(point.field)
    name, index = (found["name"], found["index"]) if found else (None, None)
    value = result
    try:
        for part in name.split(".") if name else ():
            value = getattr(value, part)
        if index:
            value = np.asarray(value)[tuple(int(place) for place in index.split(","))]
    except (AttributeError, IndexError) as error:
        raise DataError(f"{point.where}: {point.model} gives no {point.field}: {error}") from error
    array = np.asarray(value)
    if array.size != 1 or array.dtype.kind not in "biufU":
        got = f"{array.size} values" if array.dtype.kind in "biufU" else type(value).__name__
        raise DataError(
            f"{point.where}: {point.model} gives {got}; the field must name one number, for example field[0]"
        )
    plain = array.reshape(()).item()
    return plain if isinstance(plain, bool | str) else float(plain)


def _compare(point: Point, computed: Scalar) -> tuple[float, float]:
    """Return the absolute error and what is allowed."""
    expected = point.value
    if isinstance(expected, float) and not isinstance(computed, str):
        allowed = point.tolerance * abs(expected) if point.relative else point.tolerance
        return abs(float(computed) - expected), allowed
    if type(expected) is not type(computed):
        raise DataError(f"{point.where}: {computed!r} cannot be compared with {expected!r}")
    return float(computed != expected), 0.0


def exit_status(checks: Iterable[Check]) -> int:
    """Return 0 unless a value is missed without a stated reason."""
    return int(any(check.unexpected for check in checks))


def document(checks: Iterable[Check]) -> dict[str, Any]:
    """Return the checks as plain data for JSON; a number that does not exist is null."""
    return {
        "format": 1,
        "checks": [
            {
                "id": check.id,
                "model": check.model,
                "source": check.source,
                "kind": check.kind,
                "known": check.known,
                "expected": check.expected,
                "computed": _finite(check.computed),
                "error": _finite(check.error),
                "allowed": check.allowed,
                "pass": check.passes,
                "known_miss": check.known_miss,
            }
            for check in checks
        ],
    }


def text(checks: Sequence[Check]) -> str:
    """Return the checks as a table for a screen of 80 columns, one part a topic."""
    lines: list[str] = []
    heading = f"  {'':33}{'expected':>13}{'computed':>13}{'error':>9}{'allowed':>9}"
    for topic, of_topic in groupby(checks, key=lambda check: check.topic):
        part = list(of_topic)
        lines += [*_wrapped(f"{topic}: {_counts(part)}", indent=0), heading]
        for (model, source), rows in groupby(part, key=lambda check: (check.model, check.source)):
            lines += _wrapped(f"{model}: {source}", indent=2)
            lines += [line for row in rows for line in _row(row)]
        lines.append("")
    lines += _wrapped(f"All: {_counts(checks)}", indent=0)
    return "\n".join(lines)


def _row(check: Check) -> list[str]:
    cells = ((check.expected, 6, 13), (check.computed, 6, 13), (check.error, 2, 9), (check.allowed, 2, 9))
    numbers = "".join(f"{_shown(value, digits):>{width}}" for value, digits, width in cells)
    lines = [f"  {check.word:<11}{check.id}"]
    if len(check.id) <= 22 and len(numbers) == 44:
        lines = [f"  {check.word:<11}{check.id:<22}{numbers}"]
    else:
        lines += [f"{numbers:>79}"]
    if check.known_miss:
        lines += _wrapped(f"why: {check.known_miss}", indent=13)
    return lines


def _counts(checks: Sequence[Check]) -> str:
    kinds = Counter(check.kind for check in checks)
    words = Counter(check.word for check in checks)
    parts = [f"{kinds[kind]} {kind}" for kind in points.KINDS if kinds[kind]]
    out = f"{len(checks)} checks ({', '.join(parts)}); {words['met'] + words['met now']} met"
    for word, called in (("known miss", "missed as known"), ("MISSED", "MISSED")):
        out += f", {words[word]} {called}" if words[word] else ""
    return out


def _wrapped(sentence: str, *, indent: int) -> list[str]:
    return textwrap.wrap(sentence, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2))


def _shown(value: Scalar, digits: int) -> str:
    return f"{value:.{digits}g}" if isinstance(value, float) else str(value)


def _finite(value: Scalar) -> Scalar | None:
    return None if isinstance(value, float) and not math.isfinite(value) else value
