"""The index of a folder of parts: each thing with picture, purpose, files and the build it belongs to."""

from __future__ import annotations

import html
from collections.abc import Mapping, Sequence

from foilwright.core.data import write_whole
from foilwright.parts.job import Job, Made
from foilwright.parts.paper import pages

KINDS = {
    "report": "Read first", "order": "Order of work", "money": "What to buy", "foam": "Foam and templates",
    "cloth": "Cloth and resin", "solids": "Solids", "prints": "Printing", "wiring": "Wiring and drilling",
}  # fmt: skip
"""Headings of the index, in the order in which they stand."""
PLAIN = ("solids", "prints")
"""Kinds whose notes tell of sizes sooner than of what can hurt."""
UNITS = {
    "mass": ("kg", 1.0), "mass_with_rider": ("kg", 1.0), "volume": ("L", 1000.0), "area": ("m²", 1.0),
    "time": ("h", 1.0 / 3600.0),
    "money": ("", 1.0), "resin": ("kg", 1.0), "used": ("%", 100.0), "stagger": ("mm", 1000.0),
}  # fmt: skip


Row = tuple[str, str, str, str]
"""Verdict, finding, what was compared, and what the bound in an ask said."""


def told(
    job: Job, made: Sequence[tuple[Made, str]], missing: Mapping[str, str], found: Sequence[Row] = ()
) -> tuple[str, str]:
    """Return the index as HTML and as Markdown."""
    build = job.build
    about = (
        f"Build {build.name}, {build.hash}. Each thing names the build that it was made for; when the build changes,"
        " make them anew."
    )
    verdict = (
        f"{job.answers.verdict()}: {job.answers.holds_back().name}"
        if job.answers.verdict() != "sound"
        else "nothing fails under the stated assumptions"
    )
    web = [f"<h1>Parts of {html.escape(build.name)}</h1>", f'<p class="about">{html.escape(about)}</p>']
    web.append(f"<p>The build's answers: {html.escape(verdict)}.</p>")
    text = [f"# Parts of {build.name}", "", about, "", f"The build's answers: {verdict}.", ""]
    web.append(_found_web(found))
    text += _found_text(found)
    for kind, heading in KINDS.items():
        things = [(one, of) for one, of in made if one.kind == kind]
        if things:
            web.append(f"<h2>{heading}</h2>")
            text += [f"## {heading}", ""]
        for one, of in things:
            whose = f"build {of}" if of == build.hash else f"OF AN EARLIER BUILD, {of}: make it anew before you use it"
            web.append(_web(one, whose))
            text += _text(one, whose)
    for kind, why in missing.items():
        web.append(f'<p class="caution"><b>Not made: {html.escape(kind)}.</b> {html.escape(why)}</p>')
        text += [f"> **Not made: {kind}.** {why}", ""]
    return pages.page(f"Parts of {build.name}", "\n".join(web) + "\n"), "\n".join(text) + "\n"


HEAD = ("verdict", "finding", "asked and there", "by bounds, in an ask")
SAYS = "What nests, splits and plans really came to, beside what an ask reckons by bounds; also in findings.json."


def _found_web(found: Sequence[Row]) -> str:
    """Return the findings on what was made as a table."""
    if not found:
        return ""
    head = "".join(f"<th>{one}</th>" for one in HEAD)
    rows = "".join("<tr>" + "".join(f"<td>{html.escape(cell)}</td>" for cell in row) + "</tr>" for row in found)
    return f"<h2>What the parts came to</h2><p>{SAYS}</p><table><tr>{head}</tr>{rows}</table>"


def _found_text(found: Sequence[Row]) -> list[str]:
    if not found:
        return []
    rows = ["| " + " | ".join(row) + " |" for row in (HEAD, ("---",) * len(HEAD), *found)]
    return ["## What the parts came to", "", SAYS, "", *rows, ""]


def write(job: Job, made: Sequence[tuple[Made, str]], missing: Mapping[str, str], found: Sequence[Row] = ()) -> None:
    """Write index.html and index.md."""
    web, text = told(job, made, missing, found)
    write_whole(job.folder / "index.html", web)
    write_whole(job.folder / "index.md", text)


def amounts(one: Made) -> str:
    """Return the numbers of a thing with their units."""
    parts = []
    for name, value in one.numbers.items():
        unit, factor = UNITS.get(name, ("", 1.0))
        parts.append(f"{name.replace('_', ' ')} {value * factor:.4g} {unit}".strip())
    return ", ".join(parts)


def _web(one: Made, whose: str) -> str:
    links = ", ".join(f'<a href="{html.escape(file)}">{html.escape(file)}</a>' for file in one.files)
    picture = (
        f'<figure><a href="{html.escape(one.files[0])}"><img src="{html.escape(one.picture)}"'
        f' alt="{html.escape(one.title)}" loading="lazy"></a></figure>'
        if one.picture
        else ""
    )
    looks = "note" if one.kind in PLAIN else "caution"
    notes = "".join(f'<p class="{looks}">{html.escape(note)}</p>' for note in one.notes)
    numbers = f'<p class="about">{html.escape(amounts(one))}</p>' if one.numbers else ""
    return (
        f"<section>{picture}<h3>{html.escape(one.title)}</h3><p>{html.escape(one.purpose)}</p>{numbers}{notes}"
        f'<p class="about">{links}<br>{html.escape(whose)}</p></section>'
    )


def _text(one: Made, whose: str) -> list[str]:
    lines = [f"### {one.title}", "", one.purpose, ""]
    if one.picture:
        lines += [f"![{one.title}]({one.picture})", ""]
    if one.numbers:
        lines += [amounts(one), ""]
    lines += [f"> {note}" for note in one.notes] + [""] * bool(one.notes)
    lines += [*(f"- [{file}]({file})" for file in one.files), "", f"{whose[:1].upper()}{whose[1:]}.", ""]
    return lines
