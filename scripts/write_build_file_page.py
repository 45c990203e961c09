"""Write docs/build-file.md from the schema of the build file.

Run it after a field was added or changed; a test holds the page to the schema.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from foilwright.build.explain import about
from foilwright.build.schema import BEHIND, LISTS, NAMED, OPTIONAL, ORDER, TABLES, Block, Meta, Surface, span
from foilwright.core import units

PAGE = Path(__file__).parents[1] / "docs" / "build-file.md"
HEAD = """\
# The build file

Written by `scripts/write_build_file_page.py` from the schema; do not edit it here.

One TOML file says what is built, by whom it is ridden, where and how long. `foilwright new` writes one
with every field explained. It begins with `format = 1` and, if you like, a `name`.

- A **quantity** is a text with a number and a unit: `span = "90 cm"`. A number without a unit is an
  error where a unit is needed; so is a key that is not listed here.
- **Places** are x forward from the tail, y to port, z up from the bottom of the board at the tail.
- A field that is **left out** is assumed where this page gives a value; the answers list what was
  assumed, with its range and source. What is never assumed stays unknown, and the answer that needs it
  says so. A limit of your own part is assumed only where a published band exists.
- A **path** names a field on the command line: `wing.area`; in a list the name of the entry stands
  between, as in `part.battery box.x` or `ride.leg.cruise out.speed`.
- **Changed** says where a change can be made that cures a finding: at the beach, in the workshop, or
  not at all, and why.
"""


def page() -> str:
    """Return the whole page."""
    return "\n".join([HEAD, *_units(), *_tables(), *_order()]).rstrip() + "\n"


def _units() -> Iterator[str]:
    yield "## Units\n"
    yield "| kind | written in |"
    yield "|---|---|"
    for si, kind in units.KINDS.items():
        texts = ", ".join(f"`{text}`" for text in units.texts_for(si) if text != "1")
        if si == "1":
            texts = f"a plain number, or {texts}"
        if any(meta.unit == si for _, block in _blocks() for meta in block.metas().values()):
            yield f"| {kind.removeprefix('a ').removeprefix('an ')} | {texts} |"
    yield "\nAny other unit of the kind is read too; these are read fastest.\n"


def _blocks() -> Iterator[tuple[str, type[Block]]]:
    """Yield the tables in the order of a new file: a list stands behind the table that it belongs to."""
    for table, block in TABLES.items():
        yield table, block
        for kind in BEHIND.get(table, ()):
            yield kind, LISTS[kind]
    yield from NAMED.items()


def _tables() -> Iterator[str]:
    for name, block in _blocks():
        listed = name in LISTS
        yield f"## {'[[' if listed else '['}{name}{'.NAME' if name in NAMED else ''}{']]' if listed else ']'}\n"
        told = about(block)
        yield f"{told[:1].upper()}{told[1:]}.{_whether(name)}\n"
        yield "| field | means | range | left out | changed |"
        yield "|---|---|---|---|---|"
        yield from (_row(field, meta) for field, meta in block.metas().items())
        yield ""


def _whether(name: str) -> str:
    if name in ("part", "joint"):
        return " As many as there are; none is possible."
    if name == "sections":
        return " As many as there are; wing, stabiliser or a mast that is symmetrical then names it (docs/sections.md)."
    if name in NAMED:
        return " As many as there are; a part then names it as its material."
    if name in LISTS:
        return " At least one."
    return " The whole table may be left out." if name in OPTIONAL else ""


def _row(field: str, meta: Meta) -> str:
    means, _, left_out = meta.says.removesuffix(")").partition(" (left out: ")
    if not left_out:
        means = meta.says
    changed = "at the beach" if meta.beach else f"no: {meta.fixed}" if meta.fixed else "in the workshop"
    ranges = {"count": f"whole number, {meta.span()}", "flag": "true or false", "text": "text"}
    cells = means, ranges.get(meta.kind) or meta.span(), _missing(field, meta, left_out), changed
    return f"| `{field}` | {' | '.join(cells)} |"


def _missing(field: str, meta: Meta, left_out: str) -> str:
    """Return what is done when a field is left out."""
    if meta.required:
        return "**needed**"
    given = meta.default
    if given is None:
        sized = field in Surface.SIZES
        return left_out or ("follows from the two that are written" if sized else "unknown")
    band = "" if given.low == given.high else f"{span(given.low, given.high)}; "
    return f"{given.value} ({band}{given.source})"


def _order() -> Iterator[str]:
    yield "## What must not contradict itself\n"
    yield "A surface is written by exactly two of `area`, `span`, `aspect_ratio`, `mean_chord`. Names in a"
    yield "list differ and hold no full stop, `=` or quote. Where both fields of a row are written:\n"
    yield "| field | is | field |"
    yield "|---|---|---|"
    yield from (f"| `{low}` | {relation} | `{high}` |" for low, relation, high in ORDER)


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    print(f"{PAGE.name}: {sum(len(block.metas()) for _, block in _blocks())} fields")


if __name__ == "__main__":
    main()
