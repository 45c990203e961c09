"""The inputs of one part: each with its unit, range, meaning, where it comes from, and how to measure it."""

from __future__ import annotations

from dataclasses import dataclass

from foilwright.assemble import Assumption
from foilwright.build.build import Build, Value, stand_ins
from foilwright.build.schema import LISTS, NAMED, TABLES, Meta, Surface
from foilwright.core import units
from foilwright.page.desk import Desk
from foilwright.page.look import sign
from foilwright.page.marks import button, given, safe
from foilwright.questions.ask import Answers
from foilwright.questions.report import Ranked
from foilwright.study.spread.measuring import how

GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Who and where", ("rider", "water", "targets", "ride", "ride.leg")),
    ("Board", ("board", "part", "base", "laminate", "box", "materials")),
    ("Foils", ("mast", "wing", "stabiliser", "fuselage", "pod", "sections")),
    ("Drive", ("motor", "gear", "propeller", "controller")),
    ("Electrics", ("cell", "pack", "wires", "joint", "charger", "radio")),
    ("Use", ("loads", "sun", "workshop", "measured", "factors")),
)
TABLE_OF = {
    "antenna": "radio", "receiver": "radio", "transmitter": "radio", "fastenings": "box", "glands": "box", "lid": "box",
    "relief": "box", "seal": "box", "vent": "box", "drive": "propeller", "prints": "workshop", "craft": "rider",
}  # fmt: skip
"""Where the inputs are of a part that has no table of its own."""
IMPERIAL = {
    "m": ("in", "ft"), "m^2": ("in^2", "ft^2"), "m^3": ("L",), "kg": ("lb",), "m/s": ("mph", "kn"), "N": ("lbf",),
    "K": ("degF",),
}  # fmt: skip
"""Units offered first to those who measure in inches."""
SAID = {
    "cm^2": "cm²", "mm^2": "mm²", "in^2": "in²", "ft^2": "ft²", "m^2": "m²", "cm^3": "cm³", "m^3": "m³", "degC": "°C",
    "degF": "°F", "deg": "°", "ohm": "Ω", "mohm": "mΩ", "uohm": "µΩ", "um": "µm", "uF": "µF", "N*m": "N·m",
    "kg/m^3": "kg/m³", "g/cm^3": "g/cm³", "g/m^2": "g/m²", "kg/m^2": "kg/m²", "W/m^2": "W/m²",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """How inputs are shown in one window: the part, imperial or metric, and units chosen by field."""

    part: str
    imperial: bool
    units: dict[str, str]


def parts(build: Build) -> list[tuple[str, list[str]]]:
    """Return the parts of a build by group; an entry of a list is a part of its own; what has no group comes last."""
    placed = {name for _, names in GROUPS for name in names}
    rest = tuple(name for name in (*TABLES, *LISTS, *NAMED) if name not in placed)
    out = []
    for head, names in GROUPS:
        here: list[str] = []
        for name in names if head != GROUPS[-1][0] else (*names, *rest):
            if name in LISTS or name in NAMED:
                here += [f"{name}.{entry}" for entry in build.names[name]]
            elif name in TABLES:
                here.append(name)
        out.append((head, here))
    return out


def chooser(build: Build, found: Ranked, chosen: str) -> str:
    """Return the parts by group as a row of lists, each part with the worst verdict of what is said about it."""
    worst: dict[str, str] = {}
    for finding, word in found:
        worst.setdefault(TABLE_OF.get(finding.part, finding.part), word)
    groups = []
    for head, names in parts(build):
        items = "".join(_choice(name, worst.get(name, ""), name == chosen) for name in names)
        groups.append(f"<li><h3>{head}</h3><ul>{items}</ul></li>")
    return f'<nav aria-label="Parts"><ul class="parts">{"".join(groups)}</ul></nav>'


def _choice(name: str, word: str, is_chosen: bool) -> str:
    mark = f'{sign(word)}<span class="hidden">{word}</span>' if word in ("fails", "slim", "unknown") else ""
    told = name.partition(".")[2].removeprefix("leg.") if "." in name else name
    return (
        f'<li><button type="button" class="part" aria-pressed="{"true" if is_chosen else "false"}" '
        f"{given(do='part', part=name)}>{safe(told)}{mark}</button></li>"
    )


def fields(desk: Desk, answers: Answers, shown: Shown) -> str:
    """Return the fields of the chosen part: those stated first, then what is left out."""
    build = desk.build
    assumed = {each.path: each for each in answers.assumed}
    paths = [path for path in build.paths() if path.rpartition(".")[0] == shown.part]
    stated = [path for path in paths if path in build.values or path in desk.wrong]
    left = [path for path in paths if path not in stated and not _follows(build, path)]
    one = "".join(_field(desk, path, assumed.get(path), shown) for path in stated)
    two = "".join(_field(desk, path, assumed.get(path), shown) for path in left)
    name = shown.part.rpartition(".")[2] if shown.part.count(".") else shown.part
    rest = f'<h3>Left out of the file</h3><div class="fields">{two}</div>' if two else ""
    return (
        f'<section aria-labelledby="of"><h2 id="of">{safe(name)}</h2><p class="asks">{safe(_about(shown.part))}</p>'
        f'<div class="fields">{one}</div>{rest}</section>'
    )


def _about(part: str) -> str:
    kinds = {**TABLES, **LISTS, **NAMED}
    block = kinds.get(part) or kinds[part.rpartition(".")[0]]
    return (block.__doc__ or "").splitlines()[0]


def _follows(build: Build, path: str) -> bool:
    """Say whether a size of a lifting surface follows from the two that are written."""
    table, _, name = path.rpartition(".")
    block = TABLES.get(table)
    return block is not None and issubclass(block, Surface) and name in Surface.SIZES and path not in build.values


def _field(desk: Desk, path: str, assumed: Assumption | None, shown: Shown) -> str:
    build = desk.build
    meta = build.meta(path)
    name = path.rpartition(".")[2]
    key = identity(path)
    wrong = desk.wrong.get(path)
    value: Value | None = build.values.get(path)
    if value is None and assumed is not None:
        value = assumed.value
    changed = path in desk.edits or wrong is not None
    marks = [_origin(build, path, assumed)]
    marks += ['<span class="tag changed">changed</span>'] if changed else []
    told = "" if wrong is None else f'<p class="wrong" id="{key}-wrong">{safe(wrong[0])}: {safe(wrong[1])}.</p>'
    back = (
        button("Take back", "back", kind="small plain", path=path, label=f"Take back the change of {name}")
        if changed
        else ""
    )
    return (
        f'<div class="field {"bad" if wrong else ""}" data-key="{key}"><label for="{key}">'
        f"{safe(name.replace('_', ' '))}"
        f'</label><div class="value">{_entry(meta, path, key, value, assumed, wrong, shown)}{back}</div>'
        f'<p class="says">{safe(_upper(meta.says))}{_range(meta, path, shown)}</p>{told}'
        f'<p class="marks">{"".join(marks)}</p>{_measure(build, path, assumed)}</div>'
    )


def identity(path: str) -> str:
    """Return the name of a field in the page."""
    return "f-" + "".join(letter if letter.isalnum() else "-" for letter in path)


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _origin(build: Build, path: str, assumed: Assumption | None) -> str:
    stand_in = stand_ins().get(path)
    if path.startswith("measured.") and path in build.values:
        return '<span class="tag measured">measured</span>'
    if stand_in and stand_in in build.values:
        return '<span class="tag measured">measured value stands in</span>'
    if path in build.values:
        return '<span class="tag stated">stated</span>'
    if assumed is not None or build.meta(path).default is not None:
        source = assumed.source if assumed is not None else build.meta(path).default.source  # type: ignore[union-attr]
        return f'<span class="tag assumed">assumed</span> <span class="quiet">{safe(source)}</span>'
    return '<span class="tag open">not stated</span>'


def _entry(
    meta: Meta, path: str, key: str, value: Value | None, assumed: Assumption | None, wrong: tuple[str, str] | None,
    shown: Shown,
) -> str:  # fmt: skip
    bad = f' aria-invalid="true" aria-describedby="{key}-wrong"' if wrong else ""
    plain = f'id="{key}" {given(do="edit", path=path)}{bad}'
    left = ' class="left"' if assumed is not None else ""
    if meta.kind == "choice":
        now = "" if value is None else str(value)
        names = meta.choices if now else ("", *meta.choices)
        options = "".join(f'<option value="{safe(each)}"{" selected" if each == now else ""}>{safe(each)}</option>'
                          for each in names)  # fmt: skip
        return f'<select {plain}{left} data-value="{safe(now)}">{options}</select>'
    if meta.kind == "flag":
        now = "" if value is None else str(value).lower()
        names = ("true", "false") if now else ("", "true", "false")
        options = "".join(f"<option{' selected' if each == now else ''}>{each}</option>" for each in names)
        return f'<select {plain}{left} data-value="{now}">{options}</select>'
    if meta.kind != "quantity" or meta.unit == "1":
        text = (
            wrong[0] if wrong else "" if value is None else f"{value:.9g}" if isinstance(value, float) else str(value)
        )
        step = f' data-step="{1 if meta.kind == "count" else 0.01}"' if meta.kind != "text" else ""
        mode = ' inputmode="decimal"' if meta.kind != "text" else ""
        return f'<input {plain}{left}{step}{mode} type="text" autocomplete="off" value="{safe(text)}">'
    unit = unit_of(meta, path, shown)
    text = wrong[0] if wrong else "" if value is None else number(float(value), unit)
    options = "".join(
        f'<option value="{safe(each)}"{" selected" if each == unit else ""}>{safe(SAID.get(each, each))}</option>'
        for each in offered(meta, unit)
    )
    return (
        f'<input {plain}{left} type="text" inputmode="decimal" autocomplete="off" data-step="{_step(text)}" '
        f'data-unit="{safe(unit)}" value="{safe(text)}">'
        f'<select aria-label="Unit of {safe(path)}" {given(do="unit", path=path)} data-value="{safe(unit)}">'
        f"{options}</select>"
    )


def unit_of(meta: Meta, path: str, shown: Shown) -> str:
    """Return the unit in which a field is shown."""
    if path in shown.units:
        return shown.units[path]
    found = units.split(meta.example.strip('"'))
    own = found[1] if found else ""
    if shown.imperial and meta.unit in IMPERIAL:
        small, *large = IMPERIAL[meta.unit]
        return large[0] if large and own in ("m", "km", "m^2") else small
    known = units.texts_for(meta.unit) or (meta.unit,)
    return own if own in known else known[0]


def offered(meta: Meta, unit: str) -> list[str]:
    """Return the units in which a field can sensibly be written: its largest value is a number one can read."""
    if not units.texts_for(meta.unit):
        return [unit]
    _, high = (abs(end) for end in meta.bounds())
    sizes = {
        each: (high - units.accepted()[each][2]) / units.accepted()[each][1] for each in units.texts_for(meta.unit)
    }
    return [each for each, size in sizes.items() if each == unit or 0.5 <= abs(size) < 1e5]


def number(value: float, unit: str, digits: int = 6) -> str:
    """Return an SI value as a number in a unit, as many digits as were meant."""
    _, factor, offset = units.accepted().get(unit, (unit, 1.0, 0.0))
    size = (value - offset) / factor
    return f"{size:.0f}" if digits < len(f"{abs(size):.0f}") < 8 else f"{size:.{digits}g}"


def _step(text: str) -> str:
    """Return by how much an arrow key moves a number: one in its second digit."""
    try:
        size = abs(float(text))
    except ValueError:
        return "1"
    if size == 0.0:
        return "1"
    return f"{10.0 ** (len(str(int(size))) - 2 if size >= 1.0 else -2):g}"


def _range(meta: Meta, path: str, shown: Shown) -> str:
    if meta.kind == "quantity" and meta.unit != "1":
        unit = unit_of(meta, path, shown)
        low, high = meta.bounds()
        return f"; {number(low, unit, 3)} to {number(high, unit, 3)} {safe(SAID.get(unit, unit))}"
    if meta.kind in ("quantity", "count"):
        return f"; {safe(meta.span())}"
    return ""


def _measure(build: Build, path: str, assumed: Assumption | None) -> str:
    if build.meta(path).kind in ("text", "flag", "choice") and assumed is None:
        return ""
    told, takes = how(build, path)
    if told.startswith("find out and write down"):
        return ""
    text = f"{safe(_upper(told))}. Takes {safe(takes)}."
    return f'<details class="how"><summary>How to measure it</summary><p>{text}</p></details>'
