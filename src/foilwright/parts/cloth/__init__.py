"""Cloth and resin: plies by zone, cuts on the roll, grams, working time, another cloth, what does not go together."""

from __future__ import annotations

import numpy as np

from foilwright.core.data import write_whole
from foilwright.craft import Craft
from foilwright.parts.cloth import other, plies
from foilwright.parts.job import Job, Made
from foilwright.parts.paper import pages
from foilwright.parts.paper.drawing import Drawing, dxf, svg
from foilwright.parts.paper.files import csv_of
from foilwright.parts.ready.card import Caution, Rows, Say, Steps
from foilwright.physics import material, workshop
from foilwright.questions.state.making import BATCH

RESIN = (
    "Resin and hardener: gloves, long sleeves, eyes covered, fresh air or a mask for organic vapours; sanding cured"
    " glass needs a dust mask and a covered skin. Nobody else in the room. The label and its data sheet go first."
)
CUP = (
    "A full cup heats itself: {batch:.0f} g left standing soon make {times:.1f} times the heat that the cup gives off,"
    " the same resin spread a millimetre thin {spread:.1f} times. Pour it out over the work within half its time; a cup"
    " that smokes goes outdoors onto stone, never into a bin. Never fill more than 10 mm deep in one go: foam softens"
    " at 75 °C."
)
FILES = ("schedule.pdf", "schedule.html", "schedule.csv", "roll.svg", "roll.dxf")
TEMPERATURES = (288.15, 293.15, 298.15, 303.15)
BATCHES = (0.1, 0.2, 0.3, 0.5)
FILM, HEAT, ACTIVATION = 10.0, 4.0e5, 5.5e4
"""Of a cup in air [W/(m^2 K)], of curing epoxy [J/kg], [J/mol] (text books)."""
RESIN_DENSITY, CUP_SHAPE = 1100.0, 5.5
"""Of mixed resin [kg/m^3], and surface of a cup over its volume to the power of two thirds."""
REACTED = 0.03
"""Share of the reaction in the first half of the stated pot life (judgement)."""
CONSUMABLES = (
    "peel ply as large as the lay-ups, where layers follow on another day",
    "rollers, brushes and squeegees, two of each",
    "mixing cups with a scale, 20",
    "nitrile gloves, 30 pairs",
    "paper or film for the bench and the floor",
    "sandpaper 80, 120, 220 and 400 grit",
    "masking tape",
    "alcohol and rags for wiping",
    "dust masks",
)


def make(job: Job) -> list[Made]:
    """Write the laminate schedule, or why it must not be laid up so."""
    craft = job.state.craft
    errors = wrong(craft)
    head = f"{job.build.name}, build {job.build.hash}"
    paper = craft.workshop.paper[0]
    if errors:
        document = pages.Document(
            title="Cloth and resin: not like this", about=head,
            parts=(*(Caution(text=error) for error in errors),
                   Say(text="Change the resin, the foam or the print; then the schedule is written.")),
        )  # fmt: skip
        write_whole(job.folder / "cloth/schedule.html", pages.web(document))
        write_whole(job.folder / "cloth/schedule.pdf", pages.pdf(document, paper=paper))
        return [
            Made(
                files=("cloth/schedule.pdf", "cloth/schedule.html"), kind="cloth",
                title="Cloth and resin: not like this", purpose="What does not go together, and must be changed first.",
                notes=tuple(errors),
            )
        ]  # fmt: skip
    return [_schedule(job, head, paper)]


def wrong(craft: Craft) -> list[str]:
    """Return what does not go together, as sentences."""
    s = craft.structure
    out = []
    resin = s.laminate.resin[:1]
    for name, stuff, there in (
        ("the foam", s.laminate.foam.names, True), ("the printed mast", s.mast.stuff.names, s.mast.wrap[0] > 0.0),
        ("the printed wing", s.wing.stuff.names, s.wing.wrap[0] > 0.0),
    ):  # fmt: skip
        found = material.contact(agents=resin, stuff=stuff[:1])
        if there and bool(found.attacks[0]):
            out.append(f"{resin[0]} on {name} ({stuff[0]}): {found.because[0]}.")
    if np.isfinite(s.laminate.post_cure[0]):
        bears = material.cure_margin(stuff=s.laminate.foam.names[:1], cure_temperature=s.laminate.post_cure[:1])
        if float(np.asarray(bears)[0]) < 0.0:
            out.append(
                f"a cure at {s.laminate.post_cure[0] - 273.15:.0f} °C is more than {s.laminate.foam.names[0]} bears."
            )
    return out


def _schedule(job: Job, head: str, paper: str) -> Made:
    craft, m = job.state.craft, job.state.making
    cuts = plies.plies(craft)
    job.tell("cloth: shapes on the roll")
    nest, belongs = plies.on_roll(cuts, craft)
    goes = plies.lay_ups(cuts, craft, m)
    drawing = plies.roll_drawing(nest, belongs, craft)
    write_whole(job.folder / "cloth/roll.svg", svg(drawing, wide=300.0))
    write_whole(job.folder / "cloth/roll.dxf", dxf(drawing))
    rows: list[tuple[str, ...]] = [
        (one.name, one.plies, f"{one.area:.2f}", f"{1000 * one.cloth:.0f}", f"{1000 * one.mixed:.0f}",
         f"{1000 * one.resin:.0f}", f"{1000 * one.hardener:.0f}", str(one.batches))
        for one in goes
    ]  # fmt: skip
    columns = ("go", "plies", "m²", "cloth g", "mixed g", "resin g", "hardener g", "batches")
    write_whole(job.folder / "cloth/schedule.csv", csv_of(columns, rows))
    document = _document(job, head, cuts, rows, columns, sum(plies.lengths(nest)), drawing)
    write_whole(job.folder / "cloth/schedule.html", pages.web(document))
    write_whole(job.folder / "cloth/schedule.pdf", pages.pdf(document, paper=paper))
    area = sum(one.count * one.area for one in cuts)
    return Made(
        files=tuple(f"cloth/{name}" for name in FILES),
        kind="cloth", title="Cloth and resin: the laminate schedule",
        purpose="Which plies go where, what to cut from the roll, how many grams to mix and how long they work.",
        picture="cloth/roll.svg",
        numbers={
            "area": area, "resin": sum(one.mixed for one in goes), "mass": float(m.skin_mass[0] * m.skin_area[0]),
        },
        notes=(RESIN, *_short(craft, sum(plies.lengths(nest)))),
        reached={"cloth.length": sum(plies.lengths(nest)), "cloth.left": float(len(nest.too_large))},
    )  # fmt: skip


def _short(craft: Craft, reach: float) -> tuple[str, ...]:
    """Return that the cloth at hand is too short, where it is."""
    there = float(craft.workshop.cloth_length[0])
    return (f"The cuts take {reach:.1f} m of the roll, {there:.1f} m are at hand.",) if reach > there else ()


def heats(craft: Craft, *, spread: bool) -> float:
    """Return the self-heating of a batch in its cup, or spread a millimetre thin, over what runs away [-]."""
    room, batch = craft.workshop.room_temperature[:1], np.array([BATCH])
    stated = np.array([0.1])
    pot = np.asarray(workshop.working_time(pot_life=craft.workshop.pot_life[:1], batch=stated, temperature=room))
    surface = batch / (RESIN_DENSITY * 0.001) if spread else CUP_SHAPE * np.cbrt(batch / RESIN_DENSITY) ** 2
    number = workshop.self_heating(
        batch=batch, surface=surface, film=np.array(FILM), reaction_rate=REACTED / (0.5 * pot),
        reaction_heat=np.array(HEAT), activation_energy=np.array(ACTIVATION), temperature=room,
    )  # fmt: skip
    return float(np.asarray(number)[0]) / workshop.SEMENOV


def _document(
    job: Job, head: str, cuts: tuple[plies.Ply, ...], rows: list[tuple[str, ...]], columns: tuple[str, ...],
    reach: float, drawing: Drawing,
) -> pages.Document:  # fmt: skip
    craft = job.state.craft
    lam, shop = craft.structure.laminate, craft.workshop
    thick, mass = plies.thickness(craft)
    zones: list[tuple[str, ...]] = [
        (one.name, one.zone, str(one.count), f"{1000 * one.size[0]:.0f} x {1000 * one.size[1]:.0f}",
         f"{1000 * thick * one.count:.2f}", f"{mass * one.count:.2f}")
        for one in cuts
    ]  # fmt: skip
    cup = CUP.format(batch=1000.0 * BATCH, times=heats(craft, spread=False), spread=heats(craft, spread=True))
    times: list[tuple[str, ...]] = [
        (f"{temperature - 273.15:.0f} °C", *(_minutes(craft, batch, temperature) for batch in BATCHES),
         f"{_hours(craft, temperature):.0f} h")
        for temperature in TEMPERATURES
    ]  # fmt: skip
    found = other.instead(
        job.build, job.answers, cloth=float(lam.cloth[0]), deck=int(lam.deck[0]), bottom=int(lam.bottom[0]),
        at_hand=float(shop.cloth_at_hand[0]),
    )  # fmt: skip
    swap = [
        (f"{1000 * one.cloth:.0f} g/m²", str(one.deck) if one.holds else "none tried",
         str(one.bottom) if one.holds else "none tried",
         f"{100 * (one.fibre - 1.0):+.0f} %" if one.holds else "")
        for one in found
    ]  # fmt: skip
    return pages.Document(
        title="Cloth and resin: the laminate schedule", about=head,
        parts=(
            Say(text=f"{lam.stuff.names[0]}, cloth of {1000 * lam.cloth[0]:.0f} g/m², {lam.resin[0]} mixed"
                f" 100 : {100 * float(shop.mix_ratio[0]):.0f} by mass, fibre {100 * lam.fibre_share[0]:.0f} % of the"
                f" mass. {reach:.1f} m of a roll {float(shop.cloth_width[0]):.2f} m wide. Expected mass of the skin"
                f" {float(job.state.making.skin_mass[0] * job.state.making.skin_area[0]):.1f} kg with paint."),
            Caution(text=RESIN), Caution(text=cup),
            Rows(title="Plies by zone", head=("ply", "where", "times", "length x width mm", "thickness mm", "kg/m²"),
                rows=tuple(zones)),
            Rows(title=f"Each go, with a quarter for what is lost; batches of at most {1000 * BATCH:.0f} g",
                head=columns, rows=tuple(rows)),
            pages.Figure(drawing=drawing, caption="Cuts on lengths off the roll; strips of one ply lap by"
                f" {1000 * float(shop.overlap[0]):.0f} mm.", tall=120.0),
            Rows(title="Working time of a batch in its cup, and hours until it can be sanded",
                head=("room", *(f"{1000 * batch:.0f} g" for batch in BATCHES), "sand after"), rows=tuple(times)),
            Rows(title="Another cloth instead: plies with which everything on the board holds as well as before",
                head=("cloth", "deck, under the feet", "bottom", "fibre"), rows=tuple(swap)),
            Steps(title="Have ready", steps=CONSUMABLES, mark="box"),
        ),
    )  # fmt: skip


def _minutes(craft: Craft, batch: float, temperature: float) -> str:
    time = workshop.working_time(
        pot_life=craft.workshop.pot_life[:1], batch=np.array([batch]), temperature=np.array([temperature])
    )
    return f"{float(np.asarray(time)[0]) / 60.0:.0f} min"


def _hours(craft: Craft, temperature: float) -> float:
    time = workshop.cure(cure_time=craft.workshop.cure_time[:1], temperature=np.array([temperature]))
    return float(np.asarray(time)[0]) / 3600.0
