"""Foam: layers, pieces on sheets, templates at full size, the list and order of cuts."""

from __future__ import annotations

from foilwright.core.data import write_whole
from foilwright.parts.foam import sheets, templates
from foilwright.parts.foam.layers import Blank, blank
from foilwright.parts.job import Job, Made
from foilwright.parts.paper import pages, tiles
from foilwright.parts.paper.drawing import dxf, svg
from foilwright.parts.paper.files import csv_of
from foilwright.parts.ready.card import Caution, Rows, Say, Steps
from foilwright.shape.nest import Nest

HOT = (
    "Foam that is cut with a hot wire or sanded with power gives off fumes and dust: outdoors or with a fan, a mask"
    " for organic vapours, eyes covered, a bucket of water at hand; the wire no hotter than it cuts."
)


def make(job: Job) -> list[Made]:
    """Write cut list, sheets, layers and templates."""
    craft = job.state.craft
    made = blank(craft)
    nest = sheets.nested(made, craft)
    paper, head = craft.workshop.paper[0], f"{job.build.name}, build {job.build.hash}"
    return [_cuts(job, made, nest, head), _layers(job, made), _templates(job, made, paper, head)]


def _cuts(job: Job, made: Blank, nest: Nest, head: str) -> Made:
    drawing = sheets.sheets_drawing(made, nest, job.state.craft)
    rows = _rows(made, nest)
    job.tell("foam: pieces nested on sheets")
    write_whole(job.folder / "foam/sheets.svg", svg(drawing, wide=300.0))
    write_whole(job.folder / "foam/sheets.dxf", dxf(drawing))
    write_whole(
        job.folder / "foam/cut-list.csv", csv_of(("piece", "layer", "length mm", "width mm", "sheet", "turned"), rows)
    )
    document = _document(job, made, nest, rows, head)
    write_whole(job.folder / "foam/cut-list.html", pages.web(document))
    write_whole(job.folder / "foam/cut-list.pdf", pages.pdf(document, paper=job.state.craft.workshop.paper[0]))
    volume = sum(one.along * one.across for one in nest.placed) * made.layers[0].high
    return Made(
        files=("foam/cut-list.pdf", "foam/cut-list.html", "foam/cut-list.csv", "foam/sheets.svg", "foam/sheets.dxf"),
        kind="foam", title="Foam: what to cut from which sheet",
        purpose="Mark and cut the pieces of the blank out of the sheets, straight edges that are glued first.",
        picture="foam/sheets.svg",
        numbers={"sheets": float(nest.sheets), "used": nest.used, "volume": volume, "stagger": _finite(made.stagger)},
        notes=_notes(made, nest, float(job.state.craft.workshop.sheets[0])), reached=_reached(made, nest),
    )  # fmt: skip


def _reached(made: Blank, nest: Nest) -> dict[str, float]:
    """Return what nest and layers came to."""
    staggered = {"foam.stagger": made.stagger, "foam.wanted": made.wanted} if made.stagger < 1e6 else {}
    return {"foam.sheets": float(nest.sheets), "foam.left": float(len(nest.too_large)), **staggered}


def _finite(value: float) -> float:
    return value if value < 1e6 else 0.0


def _notes(made: Blank, nest: Nest, at_hand: float) -> tuple[str, ...]:
    out = [HOT]
    if nest.sheets > at_hand:
        out.append(f"The pieces take {nest.sheets} sheets, {at_hand:.0f} are at hand.")
    if made.stagger < made.wanted - 1e-9:
        out.append(
            f"Joints of neighbouring layers are only {1000 * made.stagger:.0f} mm apart; {1000 * made.wanted:.0f} mm"
            " is the rule: longer sheets, or a strip of cloth between the layers there."
        )
    if nest.too_large:
        out.append("These pieces fit no sheet: " + ", ".join(one.name for one in nest.too_large) + ".")
    return tuple(out)


def _rows(made: Blank, nest: Nest) -> list[tuple[str, ...]]:
    where = {one.piece.name: one for one in nest.placed}
    rows: list[tuple[str, ...]] = []
    for layer in made.layers:
        for piece in layer.pieces:
            placed = where.get(piece.name)
            long, wide = (f"{1000.0 * side:.0f}" for side in piece.size)
            sheet = str(placed.sheet + 1) if placed else "none"
            rows.append((piece.name, str(layer.number), long, wide, sheet, "yes" if placed and placed.turned else ""))
    return rows


def _document(job: Job, made: Blank, nest: Nest, rows: list[tuple[str, ...]], head: str) -> pages.Document:
    shop = job.state.craft.workshop
    kerf = 1000.0 * float(shop.kerf[0])
    glued = "no joint" if made.stagger > 1e6 else f"joints at least {1000.0 * made.stagger:.0f} mm apart"
    pockets = [
        (one.name, f"{1000 * (one.high[0] - one.low[0]):.0f} x {1000 * (one.high[1] - one.low[1]):.0f}",
         f"{1000 * one.low[0]:.0f} to {1000 * one.high[0]:.0f}", f"{1000 * one.floor:.0f} to {1000 * one.top:.0f}",
         ", ".join(str(layer.number) for layer in made.layers if one in sheets.cut_by(made.pockets, layer)))
        for one in made.pockets
    ]  # fmt: skip
    steps = (
        f"Draw the pieces on the sheets as in the picture; they lie {kerf:.1f} mm apart, the width of the cut.",
        "Cut every straight edge that will be glued first, against a rail; then part the pieces; curved edges last,"
        " 2 mm outside the line.",
        "Write the name on each piece, and an arrow to the nose.",
        "Lay out each layer dry on the bench: middle lines in one line, joints where the layer plan shows them.",
        "Sand the faces with 60 grit; dust off. Cut pockets inside one layer now: they are out of reach later.",
        "Glue the joints of a layer, then layer on layer from the bottom up, weights all over, flat until cured.",
        f"Plane {1000 * made.planed:.0f} mm off the top at the thickest place, down to the deck line of the rocker"
        " template.",
        "Outline, then rocker and deck line, then the rails by their section templates.",
    )  # fmt: skip
    return pages.Document(
        title="Foam: what to cut from which sheet", about=head,
        parts=(
            Say(text=f"{len(made.layers)} layers of {1000 * float(shop.sheet_thickness[0]):.0f} mm from {nest.sheets}"
                f" sheets, {100 * nest.used:.0f} % of them used; {glued} from layer to layer, none in the mast zone or"
                " under the feet."),
            *(Caution(text=note) for note in _notes(made, nest, float(job.state.craft.workshop.sheets[0]))),
            pages.Figure(drawing=sheets.sheets_drawing(made, nest, job.state.craft), caption="Pieces on the sheets.",
                tall=150.0),
            Rows(title="Pieces", head=("piece", "layer", "length mm", "width mm", "sheet", "turned"), rows=tuple(rows)),
            pages.Figure(drawing=sheets.layers_drawing(made), tall=150.0,
                caption="The layers from above, tail to the left. Red dashes: no joint here. Thin lines: pockets."
                " Grey dashes: where a face is planed away (rocker, rails)."),
            Rows(title="Pockets", head=("pocket", "length x width mm", "from the tail mm", "height mm", "layers"),
                rows=tuple(pockets)),
            Steps(title="Order", steps=steps, mark="number"),
        ),
    )  # fmt: skip


def _layers(job: Job, made: Blank) -> Made:
    drawing = sheets.layers_drawing(made)
    write_whole(job.folder / "foam/layers.svg", svg(drawing, wide=300.0))
    write_whole(job.folder / "foam/layers.dxf", dxf(drawing))
    return Made(
        files=("foam/layers.svg", "foam/layers.dxf"), kind="foam", title="Foam: the layers from above",
        purpose="Where each piece lies in its layer, and where joints, pockets, mast zone and feet are.",
        picture="foam/layers.svg", numbers={"layers": float(len(made.layers))},
    )  # fmt: skip


def _templates(job: Job, made: Blank, paper: str, head: str) -> Made:
    drawings = [templates.outline(made), templates.rocker(made), *templates.sections(made, job.state.craft)]
    names = ("half-outline", "rocker", *(f"rail-{k}" for k in range(1, len(drawings) - 1)))
    files = []
    for name, drawing in zip(names, drawings, strict=True):
        write_whole(job.folder / f"foam/{name}.dxf", dxf(drawing))
        write_whole(job.folder / f"foam/{name}.svg", svg(drawing))
        files += [f"foam/{name}.dxf", f"foam/{name}.svg"]
    job.tell("foam: templates on paper")
    write_whole(job.folder / "foam/templates.svg", svg(drawings[0], wide=300.0))
    write_whole(job.folder / "foam/templates.pdf", tiles.pdf(drawings, paper=paper, head=head))
    return Made(
        files=("foam/templates.pdf", "foam/templates.svg", *files), kind="foam", title="Foam: templates at full size",
        purpose="Half outline, rocker and deck line, and six rail sections to print, glue together and cut along.",
        picture="foam/templates.svg",
        notes=("Print at 100 % and measure the bar of 100 mm on each sheet before you cut anything.",),
    )  # fmt: skip
