"""A document of blocks, as a PDF by the typesetter of the extra ``parts`` and as one HTML page."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from foilwright.parts.paper.drawing import Drawing, on_page, rounded, svg
from foilwright.parts.paper.typeset import in_texts, typeset, whole_units
from foilwright.parts.ready.card import Caution, Rows, Say, Steps

PAGE_WIDTH = {"a4": 174.0, "letter": 180.0}
"""Width between the margins [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """A heading; ``apart``: on a page of its own."""

    text: str
    level: int = 1
    apart: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A drawing with what it shows, as wide and as tall on paper as stated [mm]."""

    drawing: Drawing
    caption: str
    wide: float = 174.0
    tall: float = 200.0


Part = Head | Figure | Say | Caution | Rows | Steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """Title, what build it belongs to, and blocks."""

    title: str
    about: str
    parts: tuple[Part, ...]


def pdf(document: Document, *, paper: str) -> bytes:
    """Return a document as a PDF; the same one, the same bytes."""
    told = {
        "title": document.title, "about": document.about, "paper": "a4" if paper == "a4" else "us-letter",
        "parts": [_typeset(part) for part in document.parts],
    }  # fmt: skip
    return typeset("parts/document.typ", in_texts(rounded(told), whole_units))


def _typeset(part: Part) -> dict[str, Any]:
    if isinstance(part, Head):
        return {"kind": "head", "text": part.text, "level": part.level, "apart": part.apart}
    if isinstance(part, Figure):
        return {"kind": "figure", "caption": part.caption, **on_page(part.drawing, wide=part.wide, tall=part.tall)}
    if isinstance(part, Say | Caution):
        return {"kind": type(part).__name__.lower(), "text": part.text}
    if isinstance(part, Rows):
        return {"kind": "rows", "title": part.title, "head": list(part.head), "rows": [list(row) for row in part.rows]}
    return {"kind": "steps", "title": part.title, "steps": list(part.steps), "mark": part.mark}


STYLE = """
:root { color-scheme: light; }
body { font: 16px/1.5 Georgia, 'Liberation Serif', serif; color: #123047; background: #fff; margin: 0 auto;
  max-width: 60rem; padding: 1.5rem; }
h1 { font-size: 1.9rem; line-height: 1.2; } h2 { font-size: 1.35rem; margin-top: 2.2rem; } h3 { font-size: 1.1rem; }
.about { color: #55626c; } figure { margin: 1.2rem 0; } figure svg, figure img { width: 100%; height: auto;
  max-height: 40rem; }
figcaption { color: #55626c; font-size: .92rem; }
table { border-collapse: collapse; width: 100%; margin: .6rem 0 1.2rem; font-size: .95rem; }
th, td { text-align: left; vertical-align: top; padding: .3rem .6rem .3rem 0; border-bottom: 1px solid #c6d0d8; }
th { border-bottom: 2px solid #123047; } td.number { text-align: right; font-variant-numeric: tabular-nums; }
.caution { background: #fff1e0; border-left: 4px solid #8a3b00; padding: .6rem .9rem; }
.note { background: #eef3f7; border-left: 4px solid #9aa7b1; padding: .4rem .9rem; }
.note, .caution { overflow: hidden; }
.caution b { color: #8a3b00; } .scroll { overflow-x: auto; } a { color: #1f5fa8; }
section { border-top: 1px solid #c6d0d8; padding-top: .6rem; margin-top: 1.4rem; overflow: hidden; }
section figure { float: right; width: 46%; margin: 0 0 .6rem 1.2rem; }
section figure img { max-height: 17rem; }
@media (max-width: 44rem) { section figure { float: none; width: 100%; margin: .6rem 0; } }
@media print { body { max-width: none; } h2 { break-after: avoid; } figure, table { break-inside: avoid; } }
"""


def page(title: str, body: str) -> str:
    """Return a whole HTML page with its style in it: nothing is fetched from anywhere."""
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{html.escape(title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n{body}</main>\n"
        "</body>\n</html>\n"
    )


def web(document: Document) -> str:
    """Return a document as one HTML page, drawings in it."""
    body = [f"<h1>{html.escape(document.title)}</h1>", f'<p class="about">{html.escape(document.about)}</p>']
    body += [_html(part) for part in document.parts]
    return page(document.title, "\n".join(body) + "\n")


def _html(part: Part) -> str:
    if isinstance(part, Head):
        level = part.level + 1
        return f"<h{level}>{html.escape(part.text)}</h{level}>"
    if isinstance(part, Figure):
        drawn = svg(part.drawing, wide=part.wide)
        return f"<figure>{drawn}<figcaption>{html.escape(part.caption)}</figcaption></figure>"
    if isinstance(part, Say):
        return f"<p>{_plain(part.text)}</p>"
    if isinstance(part, Caution):
        return f'<p class="caution"><b>Caution.</b> {_plain(part.text)}</p>'
    if isinstance(part, Rows):
        return _table(part.title, part.head, part.rows)
    kind = "ol" if part.mark == "number" else "ul"
    title = f"<h3>{html.escape(part.title)}</h3>" if part.title else ""
    return f"{title}<{kind}>" + "".join(f"<li>{_plain(step)}</li>" for step in part.steps) + f"</{kind}>"


def _table(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    told = f"<h3>{html.escape(title)}</h3>" if title else ""
    cells = "".join(f"<th>{_plain(cell)}</th>" for cell in head)
    lines = "".join("<tr>" + "".join(f"<td>{_plain(cell)}</td>" for cell in row) + "</tr>" for row in rows)
    return f'{told}<div class="scroll"><table><thead><tr>{cells}</tr></thead><tbody>{lines}</tbody></table></div>'


def _plain(text: str) -> str:
    parts = html.escape(whole_units(text)).split("`")
    return "".join(f"<code>{part}</code>" if k % 2 else part for k, part in enumerate(parts))
