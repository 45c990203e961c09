"""Fields varied over many designs: checked like the file, at the one door for all who vary."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.build.build import Build
from foilwright.build.schema import Meta
from foilwright.core import units
from foilwright.core.errors import BuildFileError, Fault

Array = npt.NDArray[np.float64]
Varied = Mapping[str, "Array | tuple[str, ...]"]


def checked(build: Build, varied: Varied) -> Varied:
    """Check that varied fields exist, may vary, have one length, and lie in their range."""
    faults: list[Fault] = []
    out: dict[str, Array | tuple[str, ...]] = {}
    for path, values in varied.items():
        try:
            meta = build.check_variable(path)
        except BuildFileError as error:
            faults.extend(error.faults)
            continue
        wrong = "" if meta.kind in ("text", "flag") else _range_fault(meta, values)
        if meta.kind in ("text", "flag"):
            faults.append(_vary_fault(build, meta, path, f"a {meta.kind}, which is not varied"))
        elif wrong:
            faults.append(_vary_fault(build, meta, path, wrong))
        elif meta.kind == "choice":
            out[path] = tuple(str(name) for name in _listed(values))
        else:
            out[path] = np.atleast_1d(np.asarray(values, dtype=np.float64))
    lengths = sorted({len(values) for values in out.values()})
    if not faults and (len(lengths) > 1 or 0 in lengths):
        faults = [
            Fault(
                file=build.file,
                line=None,
                field=path,
                got=f"{len(values)} values",
                allowed=f"one number of values for all, at least 1 (here: {', '.join(map(str, lengths))})",
                example="",
            )
            for path, values in out.items()
        ]
    if faults:
        raise BuildFileError(faults)
    return out


def _vary_fault(build: Build, meta: Meta, path: str, got: str) -> Fault:
    return Fault(file=build.file, line=None, field=path, got=got, allowed=meta.allowed(), example=meta.example)


def _listed(values: Any) -> list[Any]:
    return [values] if isinstance(values, str) else list(values)


def _range_fault(meta: Meta, values: Any) -> str:
    if meta.kind == "choice":
        try:
            wrong = [str(name) for name in _listed(values) if str(name) not in meta.choices]
        except TypeError:
            return "something that is not names"
        return units.quoted(wrong[0]) if wrong else ""
    try:
        numbers = np.atleast_1d(np.asarray(values))
    except ValueError:
        numbers = np.zeros((1, 1))
    if numbers.ndim != 1 or (numbers.dtype.kind not in "iuf" and numbers.size):
        return "something that is not one row of numbers in SI"
    low, high = (float(meta.low), float(meta.high)) if meta.kind == "count" else meta.bounds()
    wide = 1e-9 * max(abs(low), abs(high))
    bad = ~((numbers >= low - wide) & (numbers <= high + wide))
    if meta.kind == "count":
        bad |= numbers != np.round(numbers)
    return f"{numbers[bad][0]:g} (in SI)" if bad.any() else ""
