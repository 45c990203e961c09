"""The inputs of one part: each with its unit, range, meaning, where it comes from, and how to measure it."""

from __future__ import annotations

from dataclasses import dataclass, field

from foilwright.assemble import Assumption
from foilwright.build.build import Build, Value, stand_ins
from foilwright.build.schema import LISTS, NAMED, TABLES, Meta
from foilwright.core import units
from foilwright.page.carry import following, sizes_with
from foilwright.page.desk import Desk
from foilwright.page.entering import CALLED, Entry, add_button, form, kind_and_name, tools
from foilwright.page.look import sign
from foilwright.page.marks import button, given, safe
from foilwright.page.sizes import SAID, as_typed, number, offered, step, unit_of
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """How inputs are shown in one window: the part, imperial or metric, units chosen by field, an entry begun."""

    part: str
    imperial: bool
    units: dict[str, str]
    entry: Entry = field(default_factory=Entry)


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


def there(build: Build, part: str) -> str:
    """Return a part that the build has: the one asked for, or else the last of its list, or the wing."""
    if any(part in names for _, names in parts(build)):
        return part
    kind = kind_and_name(part)[0]
    names = build.names[kind] if kind else ()
    return f"{kind}.{names[-1]}" if names else "wing"


def chooser(build: Build, found: Ranked, chosen: str, adding: str = "") -> str:
    """Return the parts by group as a row of lists, each part with the worst verdict of what is said about it.

    Behind the entries of each list stands what adds one; ``adding`` is the list whose form is open.
    """
    worst: dict[str, str] = {}
    for finding, word in found:
        worst.setdefault(TABLE_OF.get(finding.part, finding.part), word)
    groups = []
    for (head, names), (_, kinds) in zip(parts(build), GROUPS, strict=True):
        items = "".join(_choice(name, worst.get(name, ""), name == chosen and not adding) for name in names)
        items += "".join(add_button(kind, kind == adding) for kind in kinds if kind in CALLED)
        groups.append(f"<li><h3>{head}</h3><ul>{items}</ul></li>")
    return f'<nav aria-label="Parts"><ul class="parts">{"".join(groups)}</ul></nav>'


def _choice(name: str, word: str, is_chosen: bool) -> str:
    mark = f'{sign(word)}<span class="hidden">{word}</span>' if word in ("fails", "slim", "unknown") else ""
    told = name.partition(".")[2].removeprefix("leg.") if "." in name else name
    return (
        f'<li><button type="button" class="part" aria-pressed="{"true" if is_chosen else "false"}" '
        f"{given(do='part', part=name)}>{safe(told)}{mark}</button></li>"
    )


def fields(desk: Desk, answers: Answers | None, shown: Shown) -> str:
    """Return the fields of the chosen part: those written first, then what is left out; or the form of a new entry."""
    build = desk.build
    if shown.entry.kind:
        return form(shown.entry, imperial=shown.imperial)
    assumed = {each.path: each for each in answers.assumed} if answers else {}
    paths = [path for path in build.paths() if path.rpartition(".")[0] == shown.part]
    written = [path for path in paths if path in build.values or path in desk.wrong]
    left = [path for path in paths if path not in written and not _follows(build, path)]
    one = "".join(_field(desk, path, assumed.get(path), shown) for path in written)
    two = "".join(_field(desk, path, assumed.get(path), shown) for path in left)
    name = safe(kind_and_name(shown.part)[1] or shown.part)
    name += ' <span class="tag changed">new</span>' if desk.is_new(f"{shown.part}.") else ""
    rest = f'<h3>Left out of the file</h3><div class="fields">{two}</div>' if two else ""
    return (
        f'<section aria-labelledby="of"><h2 id="of">{name}</h2><p class="asks">{safe(_about(shown.part))}</p>'
        f'{tools(desk, shown.part, shown.entry)}<div class="fields">{one}</div>{_following(build, shown)}{rest}'
        "</section>"
    )


def _following(build: Build, shown: Shown) -> str:
    """Return the sizes that follow, each with what writes it in place of another."""
    lines = []
    for path, value in following(build, shown.part).items():
        unit = unit_of(build.meta(path), path, shown)
        name = path.rpartition(".")[2].replace("_", " ")
        swaps = " ".join(
            button(f"write it in place of {each.rpartition('.')[2].replace('_', ' ')}", "swap", kind="small plain",
                   path=path, out=each)
            for each in sizes_with(path) if each in build.values
        )  # fmt: skip
        lines.append(f"<li>{safe(name)}: {number(value, unit, 4)} {safe(SAID.get(unit, unit))} {swaps}</li>")
    return f'<h3>Follows from these sizes</h3><ul class="follows">{"".join(lines)}</ul>' if lines else ""


def _about(part: str) -> str:
    block = {**TABLES, **LISTS, **NAMED}[kind_and_name(part)[0] or part]
    return (block.__doc__ or "").splitlines()[0]


def _follows(build: Build, path: str) -> bool:
    """Say whether a size of a lifting surface follows from the two that are written."""
    return len(sizes_with(path)) > 1 and path not in build.values


def _field(desk: Desk, path: str, assumed: Assumption | None, shown: Shown) -> str:
    build = desk.build
    meta = build.meta(path)
    name = path.rpartition(".")[2].replace("_", " ")
    key = identity(path)
    wrong = desk.wrong.get(path)
    value: Value | None = build.values.get(path)
    if value is None and assumed is not None:
        value = assumed.value
    differs = path in desk.edits if desk.is_new(path) else desk.file.values.get(path) != build.values.get(path)
    changed = wrong is not None or differs
    marks = _origin(build, path, assumed, unit_of(meta, path, shown))
    marks += '<span class="tag changed">changed</span>' if changed else ""
    told = "" if wrong is None else f'<p class="wrong" id="{key}-wrong">{safe(wrong[0])}: {safe(wrong[1])}.</p>'
    back = button("Take back", "back", kind="small plain", path=path, label=f"Take back the change of {name}")
    entry = _entry(meta, path, key, value, assumed, wrong, shown, desk.written(path))
    return (
        f'<div class="field {"bad" if wrong else ""}" data-key="{key}"><label for="{key}">{safe(name)}</label>'
        f'<div class="value">{entry}{back if changed else ""}{_leave(build, path, wrong, shown)}</div>'
        f'<p class="says">{safe(_upper(meta.says))}{_range(meta, path, shown)}</p>{told}'
        f'<p class="marks">{marks}</p>{_measure(build, path, assumed)}</div>'
    )


def _leave(build: Build, path: str, wrong: tuple[str, str] | None, shown: Shown) -> str:
    """Return what leaves a written field out, and says what is assumed then."""
    meta, (table, _, name) = build.meta(path), path.rpartition(".")
    sized = len(sizes_with(path)) > 1
    if path not in build.values or wrong or meta.required or sized or table.startswith("sections."):
        return ""
    unit = unit_of(meta, path, shown)
    then = "left out" if _instead(meta) else f"then {_default(meta, unit)}" if meta.default else "not known then"
    told = f"Leave {name.replace('_', ' ')} out of the file: {then}"
    return button(f"Leave out<small>{safe(then)}</small>" if then != "left out" else "Leave out", "leave",
                  kind="small plain leave", path=path, label=told)  # fmt: skip


def _default(meta: Meta, unit: str) -> str:
    """Return the default of a field in the unit in which the field is shown."""
    if meta.default is None or meta.kind != "quantity":
        return "" if meta.default is None else str(meta.default.value)
    size = number(units.parse(meta.default.value, meta.unit), unit)
    return f"{size} {SAID.get(unit, unit)}".rstrip()


def _instead(meta: Meta) -> bool:
    """Say whether a field tells itself what is done where it is left out."""
    return "left out:" in meta.says or "in place of" in meta.says


def identity(path: str) -> str:
    """Return the name of a field in the page."""
    return "f-" + "".join(letter if letter.isalnum() else "-" for letter in path)


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _origin(build: Build, path: str, assumed: Assumption | None, unit: str) -> str:
    """Return where a value comes from: measured, written, assumed with its range, a default that nothing asks for."""
    stand_in, meta = stand_ins().get(path), build.meta(path)
    if path.startswith("measured.") and path in build.values:
        return '<span class="tag measured">measured</span>'
    if stand_in and stand_in in build.values:
        return f'<span class="tag measured">measured</span> <span class="quiet">{safe(stand_in)} stands in</span>'
    if path in build.values:
        return '<span class="tag written">written</span>'
    if assumed is not None:
        between = ""
        if meta.kind in ("quantity", "count"):
            low, high = (number(float(end), unit, 3) for end in (assumed.low, assumed.high))
            between = f", between {low} and {high} {SAID.get(unit, unit)}".rstrip()
        return f'<span class="tag assumed">assumed</span> <span class="quiet">{safe(assumed.source + between)}</span>'
    if meta.default is not None:
        told = f"{_default(meta, unit)}; nothing asks for it now"
        return f'<span class="tag default">default</span> <span class="quiet">{safe(told)}</span>'
    return f'<span class="tag open">{"left out" if _instead(meta) or path.startswith("joint.") else "not known"}</span>'


def _entry(
    meta: Meta, path: str, key: str, value: Value | None, assumed: Assumption | None, wrong: tuple[str, str] | None,
    shown: Shown, own: str | None,
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
    if meta.kind != "quantity":
        text = wrong[0] if wrong else "" if value is None else str(value)
        step_ = ' data-step="1" inputmode="numeric"' if meta.kind == "count" else ""
        return f'<input {plain}{left}{step_} type="text" autocomplete="off" value="{safe(text)}">'
    unit = unit_of(meta, path, shown)
    text = wrong[0] if wrong else "" if value is None else as_typed(own, float(value), meta.unit, unit)
    return (
        f'<input {plain}{left} type="text" inputmode="decimal" autocomplete="off" data-step="{step(text)}" '
        f'{given(unit=unit)} value="{safe(text)}">{_units(meta, path, unit)}'
    )


def _units(meta: Meta, path: str, unit: str) -> str:
    """Return the units in which a field can be written; one alone is told and not chosen."""
    names = offered(meta, unit)
    if len(names) < 2:
        return f'<span class="quiet">{safe(SAID.get(unit, unit))}</span>' if unit else ""
    options = "".join(
        f'<option value="{safe(each)}"{" selected" if each == unit else ""}>{safe(SAID.get(each, each))}</option>'
        for each in names
    )
    return (
        f'<select aria-label="Unit of {safe(path)}" {given(do="unit", path=path)} data-value="{safe(unit)}">'
        f"{options}</select>"
    )


def _range(meta: Meta, path: str, shown: Shown) -> str:
    if meta.kind == "quantity":
        unit = unit_of(meta, path, shown)
        low, high = meta.bounds()
        return f"; {number(low, unit, 3)} to {number(high, unit, 3)} {safe(SAID.get(unit, unit))}".rstrip()
    return f"; {safe(meta.span())}" if meta.kind == "count" else ""


def _measure(build: Build, path: str, assumed: Assumption | None) -> str:
    if build.meta(path).kind in ("text", "flag", "choice") and assumed is None:
        return ""
    told, takes = how(build, path)
    if told.startswith("find out and write down"):
        return ""
    text = f"{safe(_upper(told))}. Takes {safe(takes)}."
    return f'<details class="how"><summary>How to measure it</summary><p>{text}</p></details>'
