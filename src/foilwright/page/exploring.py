"""A search for better designs: what is varied and wanted, how far it is, the designs that no other beats, one taken."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from foilwright.build.build import Build
from foilwright.core import units
from foilwright.core.errors import FoilwrightError
from foilwright.page.look import many
from foilwright.page.marks import button, given, safe
from foilwright.page.sizes import SAID
from foilwright.questions import report
from foilwright.questions.report_text import NUMBERS

ROWS = 3
"""Fields varied at once on the page."""
COUNTS = (300, 1000, 3000)
LISTED = 12
WIDE, HIGH = 560.0, 300.0
"""Size of the picture."""
FIRST = ("wing.area", "wing.span", "propeller.pitch")
WANTED = {"not-failing": "designs in which nothing fails", "any": "all designs, whatever their verdict"}


@dataclass(slots=True, kw_only=True)
class Search:
    """What one window searches for, and what was found."""

    vary: list[list[str]] = field(default_factory=list)
    aims: list[str] = field(default_factory=lambda: ["minimise cruise_electric_power", "minimise take_off_speed"])
    where: str = "any"
    count: int = COUNTS[0]
    progress: tuple[int, int] = (0, 0)
    running: bool = False
    wrong: str = ""
    found: dict[str, Any] | None = None

    def fill(self, build: Build, *, fails: bool) -> None:
        """Begin with fields that matter, a quarter to either side of what they are."""
        if self.vary:
            return
        self.where = "any" if fails else "not-failing"
        paths = [path for path in FIRST if path in build.values][:ROWS]
        self.vary = [_around(build, path) for path in paths] + [["", "", ""]] * (ROWS - len(paths))

    def given(self) -> dict[str, Any]:
        """Return the search as the study takes it."""
        return {
            "vary": [_range(*row) for row in self.vary if row[0]],
            "aim": self.aims,
            "where": self.where,
            "count": self.count,
        }


def _range(path: str, low: str, high: str) -> str:
    """Return a range as it is written: numbers and one unit."""
    first, last = (units.split(each) for each in (low, high))
    if first is None or last is None or first[1] != last[1]:
        raise FoilwrightError(f"{path}: from and to are numbers with the same unit, such as 900 cm^2 and 1500 cm^2")
    unit = f":{first[1]}" if first[1] else ""
    return f"{path}={first[0]:.9g}:{last[0]:.9g}{unit}"


def _around(build: Build, path: str) -> list[str]:
    meta, value = build.meta(path), float(build.values[path])
    low, high = (float(end) for end in (meta.bounds() if meta.kind == "quantity" else (meta.low, meta.high)))
    ends = sorted((max(0.75 * value, low), min(1.25 * value, high)))
    if meta.kind == "count":
        return [path, *(str(round(end)) for end in ends)]
    return [path, *(units.write(float(f"{end:.4g}"), meta.unit, like=meta.example.strip('"')) for end in ends)]


def chosen(build: Build, path: str) -> list[str]:
    """Return a field with a range about what it is."""
    return _around(build, path) if path in fields(build) else ["", "", ""]


def fields(build: Build) -> list[str]:
    """Return the fields that can be varied: numbers that are written."""
    out = []
    for path in build.values:
        if path in build.paths() and build.meta(path).kind in ("quantity", "count") and not build.meta(path).fixed:
            out.append(path)
    return out


def explored(
    build: Build, *, vary: Sequence[str], aim: Sequence[str], where: str, count: int, tell: Callable[[Any], None]
) -> dict[str, Any]:
    """Search, telling how far it is; return what the page shows of it as plain data."""
    from foilwright.core.engine import Cores  # noqa: PLC0415
    from foilwright.study import explore as study  # noqa: PLC0415

    plan = study.planned(build, vary=vary, aim=aim, where=where, count=count)
    place = Path(tempfile.mkdtemp(prefix="foilwright-"))
    try:
        done = study.explore(plan, place / "search", engine=Cores(), tell=lambda each: tell((each.done, each.of)))
        first, last = plan.goals[0], plan.goals[-1]
        every = done.columns("row", "lacks", *dict.fromkeys((first.column, last.column)))
        good = np.asarray(every["lacks"]) <= 0.0
        best = done.best
        paths = [each.path for each in plan.variables]
        rows = range(len(best["row"]) if best else 0)
        return {
            "done": done.found.done, "good": done.found.good,
            "axes": [[each.column, each.kind, each.unit] for each in (first, last)],
            "cloud": [[float(value) for value in np.asarray(every[each.column])[good]] for each in (first, last)],
            "best": [
                {
                    "row": int(best["row"][k]), "at": [float(best[each.column][k]) for each in (first, last)],
                    "texts": {path: _text(build, path, best[path][k]) for path in paths},
                }
                for k in rows
            ],
        }  # fmt: skip
    finally:
        shutil.rmtree(place, ignore_errors=True)


def _text(build: Build, path: str, value: Any) -> str:
    meta = build.meta(path)
    if meta.kind == "count":
        return str(round(float(value)))
    if meta.kind != "quantity":
        return str(value)
    return units.write(float(f"{float(value):.4g}"), meta.unit, like=meta.example.strip('"'))


def search(build: Build, here: Search, *, fails: bool) -> str:
    """Return what is searched for, and what was found."""
    here.fill(build, fails=fails)
    known = fields(build)
    rows = "".join(_row(number, row, known) for number, row in enumerate(here.vary))
    aims = "".join(_aim(number, aim) for number, aim in enumerate(here.aims))
    where = "".join(
        f'<option value="{name}"{" selected" if name == here.where else ""}>{told}</option>'
        for name, told in WANTED.items()
    )
    counts = "".join(f"<option{' selected' if each == here.count else ''}>{each}</option>" for each in COUNTS)
    go = button("Stop", "stop", kind="plain") if here.running else button("Search", "search", kind="main")
    done, of = here.progress
    far = (
        f'<progress max="{of or 1}" value="{done}" aria-label="Designs done"></progress> {done} of {of}'
        if here.running
        else ""
    )
    wrong = f'<p class="wrong">{safe(here.wrong)}</p>' if here.wrong else ""
    return (
        "<h3>Is there a better one?</h3><p>Many designs at once: a few fields varied within a range, the best by "
        "two aims."
        f'</p><div class="search"><fieldset><legend>Vary</legend>{rows}</fieldset><fieldset><legend>Aim</legend>{aims}'
        f'<p class="row"><label for="where">Of</label><select id="where" {given(do="searched", what="where")} '
        f'data-value="{here.where}">'
        f'{where}</select></p><p class="row"><label for="count">Designs</label><select id="count" '
        f'{given(do="searched", what="count")} data-value="{here.count}">{counts}</select></p></fieldset></div>'
        f'<p class="row">{go}<span role="status">{far}</span></p>{wrong}{_found(here)}'
    )


def _row(number: int, row: list[str], known: list[str]) -> str:
    path, low, high = row
    options = "".join(
        f'<option value="{each}"{" selected" if each == path else ""}>{each}</option>' for each in ("", *known)
    )
    ends = "".join(
        f'<input type="text" autocomplete="off" aria-label="{told} of field {number + 1}" value="{safe(text)}" '
        f"{given(do='searched', what=what, number=number)}>"
        for what, told, text in (("low", "from", low), ("high", "to", high))
    )
    return (
        f'<p class="row"><select aria-label="Field {number + 1}" {given(do="searched", what="path", number=number)} '
        f'data-value="{safe(path)}">{options}</select>{ends}</p>'
    )


def _aim(number: int, aim: str) -> str:
    kind, _, name = aim.partition(" ")
    kinds = "".join(
        f"<option{' selected' if each == kind else ''}>{each}</option>" for each in ("minimise", "maximise")
    )
    names = "".join(
        f'<option value="{each}"{" selected" if each == name else ""}>{safe(label)}</option>'
        for each, (label, _) in NUMBERS.items()
    )
    return (
        f'<p class="row"><select aria-label="Aim {number + 1}" {given(do="searched", what="kind", number=number)} '
        f'data-value="{kind}">{kinds}</select><select aria-label="Of what, {number + 1}" '
        f'{given(do="searched", what="name", number=number)} data-value="{safe(name)}">{names}</select></p>'
    )


def _found(here: Search) -> str:
    found = here.found
    if found is None:
        return ""
    best = many(len(found["best"]), "design")
    head = f"<p>{found['done']} designs, {found['good']} as wanted, {best} that no other beats.</p>"
    if not found["best"]:
        return f"{head}<p>None is as wanted: widen the ranges, or count all designs.</p>"
    labels = [NUMBERS[column][0] for column, _, _ in found["axes"]]
    shown = np.unique(np.linspace(0, len(found["best"]) - 1, min(len(found["best"]), LISTED)).round().astype(int))
    fields_ = list(found["best"][0]["texts"])
    heads = "".join(f'<th scope="col">{safe(each)}</th>' for each in (*fields_, *dict.fromkeys(labels)))
    lines = []
    for k in shown:
        each = found["best"][k]
        cells = [safe(_said(text)) for text in each["texts"].values()]
        cells += list(
            dict(
                zip(
                    labels, (_amount(at, axis) for at, axis in zip(each["at"], found["axes"], strict=True)), strict=True
                )
            ).values()
        )
        told = "".join(f"<td>{cell}</td>" for cell in cells)
        take = button("Take it", "take", kind="small plain", number=k, label=f"Take design {each['row']}")
        lines.append(f"<tr>{told}<td>{take}</td></tr>")
    table = (
        '<div class="scroll" tabindex="0" role="group" aria-label="Best designs"><table><thead><tr>'
        f"{heads}<td></td></tr></thead><tbody>{''.join(lines)}</tbody></table></div>"
    )
    return f"{head}{_picture(found, labels)}{table}"


def _said(text: str) -> str:
    """Return a written number with its unit as it is printed: 1450 cm²."""
    number, _, unit = text.partition(" ")
    return f"{number} {SAID.get(unit, unit)}".strip()


def _amount(value: float, axis: Sequence[str]) -> str:
    unit = NUMBERS[axis[0]][1]
    if not np.isfinite(value):
        return "none"
    return report.percent(value) if unit == "%" else report.amount(value, unit)


def _picture(found: dict[str, Any], labels: list[str]) -> str:
    """Return all designs that count as dots, and those that no other beats as rings that can be taken."""
    points = np.array([each["at"] for each in found["best"]], dtype=np.float64)
    cloud = np.array(found["cloud"], dtype=np.float64).T
    both = np.concatenate([points, cloud]) if cloud.size else points
    both = both[np.isfinite(both).all(axis=1)]
    if not both.size:
        return ""
    low, high = both.min(axis=0), both.max(axis=0)
    reach = np.where(high > low, high - low, 1.0)

    def at(point: Any) -> tuple[float, float]:
        x, y = (point - low) / reach
        return 20.0 + float(x) * (WIDE - 40.0), HIGH - 30.0 - float(y) * (HIGH - 50.0)

    dots = "".join(
        f'<circle class="dot" cx="{x:.1f}" cy="{y:.1f}" r="1.8"/>'
        for x, y in (at(p) for p in cloud[:3000] if np.isfinite(p).all())
    )
    rings = "".join(
        f'<circle class="ring" cx="{x:.1f}" cy="{y:.1f}" r="6" {given(do="take", number=k)}><title>take this '
        "one</title></circle>"
        for k, (x, y) in ((k, at(p)) for k, p in enumerate(points) if np.isfinite(p).all())
    )
    ends = [[_amount(float(end[k]), found["axes"][k]) for end in (low, high)] for k in (0, 1)]
    return (
        f'<svg class="cloud" viewBox="0 0 {WIDE:.0f} {HIGH:.0f}" role="img" aria-label="Designs by '
        f"{safe(labels[0])} and"
        f' {safe(labels[1])}; the best are in the table">{dots}{rings}<path class="axis" d="M20 '
        f'{HIGH - 24:.0f}H{WIDE - 20:.0f}M14 20V{HIGH - 30:.0f}"/>'
        f'<text x="20" y="{HIGH - 8:.0f}">{ends[0][0]}</text><text x="{WIDE - 20:.0f}" y="{HIGH - 8:.0f}" '
        f'text-anchor="end">{ends[0][1]}</text>'
        f'<text x="{WIDE / 2:.0f}" y="{HIGH - 8:.0f}" text-anchor="middle">{safe(labels[0])}</text>'
        f'<text x="20" y="12">{safe(labels[1])}: {ends[1][1]} at the top, {ends[1][0]} at the foot</text></svg>'
    )
