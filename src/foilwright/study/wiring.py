"""The wiring diagram of one build, black on white on A4, and the card of the plug-in order for the lid."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from foilwright.assemble import assemble
from foilwright.build.build import Build
from foilwright.network import (
    Bond,
    Contact,
    Controller,
    Fuse,
    Lead,
    Module,
    Motor,
    Network,
    Precharge,
    Supply,
    Switch,
    TwoPole,
)
from foilwright.physics.circuit import Plan
from foilwright.questions.ask import Answers
from foilwright.questions.state import State

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

A4 = (11.69, 8.27)
"""A4, lying [in]."""
WIDE, HIGH = 297.0, 210.0
"""The same [mm]."""
PLUS_BUS, MINUS_BUS, FIRST, LAST = 22.0, 176.0, 66.0, 160.0
"""Where the buses stand and the modules begin and end, from the left [mm]."""
TOP, BOTTOM = 172.0, 62.0
NARROW = 14.0
"""Half of a module below which its words are set small [mm]."""
SPARK = 1.0
"""Current at a joint from which it counts as a spark [A]."""
GAP = 0.05
"""Difference of voltage a cell at which strings may be joined [V]."""
LINE = 76
BLACK = "#000000"


@dataclass(slots=True)
class Sheet:
    """Lines, boxes and words on A4, in millimetres from the lower left corner."""

    axes: Axes
    words: list[str] = field(default_factory=list)

    def line(self, *points: tuple[float, float], thick: float = 1.0, over: bool = False, dashed: bool = False) -> None:
        """Draw a line through points, over boxes where it belongs to them."""
        xs, ys = zip(*points, strict=True)
        self.axes.plot(
            xs, ys, color=BLACK, linewidth=thick, solid_capstyle="butt", zorder=4 if over else 2,
            linestyle=(0, (3, 2)) if dashed else "-",
        )  # fmt: skip

    def box(self, x: float, y: float, wide: float, high: float, told: str = "", *, size: float = 7.0) -> None:
        """Draw a box about a point, with words in it."""
        from matplotlib.patches import Rectangle  # noqa: PLC0415

        self.axes.add_patch(
            Rectangle(
                (x - 0.5 * wide, y - 0.5 * high),
                wide,
                high,
                facecolor="white",
                edgecolor=BLACK,
                linewidth=1.2,
                zorder=3,
            )
        )
        if told:
            self.text(x, y, told, size=size, bare=True)

    def text(self, x: float, y: float, told: str, *, size: float = 7.0, ha: str = "center", bare: bool = False) -> None:
        """Write words; on white, unless they are bare."""
        self.axes.text(
            x, y, told, size=size, ha=ha, va="center", color=BLACK, zorder=4,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.6} if ha == "center" and not bare else None,
        )  # fmt: skip

    def ring(self, x: float, y: float, *, filled: bool = False) -> None:
        """Draw a contact."""
        self.axes.plot([x], [y], "o", color=BLACK, markersize=5.0, fillstyle="full" if filled else "none", zorder=5)


def diagram(answers: Answers) -> Figure:
    """Return the wiring diagram of the first design."""
    from matplotlib.figure import Figure  # noqa: PLC0415

    network = drawn_network(answers.build)
    figure = Figure(figsize=A4)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set(xlim=(0.0, WIDE), ylim=(0.0, HIGH))
    axes.axis("off")
    sheet = Sheet(axes)
    verdict = f" ({answers.verdict('wire')})" if "wire" in answers.findings else ""
    figure.text(12 / WIDE, 197 / HIGH, f"{answers.build.name}: wiring{verdict}", size=13.0, color=BLACK)
    sheet.text(
        12, 191, "Rings are contacts, filled on the side of the pack. Leads with copper area and length.", ha="left"
    )
    strings = _strings(network)
    rows = (
        np.linspace(TOP, BOTTOM, len(strings) + 2)[1:-1]
        if len(strings) < 4
        else np.linspace(TOP - 8, BOTTOM, len(strings))
    )
    for y, group in zip(rows.tolist(), strings, strict=True):
        _string(sheet, network, y, group)
    sheet.line((PLUS_BUS, min(rows)), (PLUS_BUS, TOP + 8), (196, TOP + 8), thick=2.6)
    sheet.line((MINUS_BUS, max(rows)), (MINUS_BUS, 52), (232, 52), thick=2.6)
    sheet.text(PLUS_BUS, TOP + 12, "+ bus", size=8.0)
    sheet.text(MINUS_BUS, 48, "- bus", size=8.0)
    _controller(sheet, network)
    _receiver(sheet, network)
    _notes(sheet, network, answers.build)
    return figure


def drawn_network(build: Build) -> Network:
    """Return the network of a build with the voltages that it has when it is joined."""
    state = State(assemble(build)[0])
    return state.looks.looks[0].network


def _strings(network: Network) -> list[list[Module]]:
    """Return the modules of the pack by string, in order."""
    groups: dict[str, list[Module]] = {}
    for one in network.of(Module):
        if one.name.startswith("module "):
            groups.setdefault(one.name.removeprefix("module ").partition(".")[0], []).append(one)
    return [sorted(group, key=lambda one: one.name) for _, group in sorted(groups.items())]


def _there(network: Network, name: str) -> Any:
    """Return an element, or the first of several side by side; None where it is left out."""
    names = set(network.names)
    return network.named(name) if name in names else network.named(f"{name} 1") if f"{name} 1" in names else None


def _count(network: Network, name: str) -> int:
    return sum(one == name or one.removeprefix(f"{name} ").isdigit() for one in network.names)


def first(value: Any) -> float:
    """Return the first of some values."""
    return float(np.asarray(value, dtype=np.float64).reshape(-1)[0])


def _lead(one: Any) -> str:
    """Return what is written at a lead."""
    if not isinstance(one, Lead):
        return "left out"
    return f"{first(one.area) * 1e6:.3g} mm²\n{first(one.length) * 100.0:.3g} cm"


def _string(sheet: Sheet, network: Network, y: float, group: list[Module]) -> None:
    """Draw one string from the plus bus to the minus bus."""
    s = group[0].name.removeprefix("module ").partition(".")[0]
    sheet.line((PLUS_BUS, y), (MINUS_BUS, y), thick=1.6)
    _contact(sheet, network, PLUS_BUS + 5, y, f"plus contact {s}")
    sheet.text(PLUS_BUS + 15, y - 8, _lead(_there(network, f"plus lead {s}")), size=6.0)
    _fuse(sheet, _there(network, f"fuse {s}"), PLUS_BUS + 27, y, s)
    sheet.text(PLUS_BUS + 38, y - 8, _lead(_there(network, f"fuse lead {s}")), size=6.0)
    width = (LAST - FIRST) / len(group)
    for k, one in enumerate(group):
        x = FIRST + (k + 0.5) * width
        half = 0.5 * min(0.62 * width, 40.0)
        narrow = half < NARROW
        sheet.box(x, y, 2.0 * half, 15, _module(one, narrow=narrow), size=5.5 if narrow else 7.0)
        sheet.text(x - half + 1.8, y + 5.4, "+", size=8.0, bare=True)
        sheet.text(x + half - 1.8, y + 5.4, "-", size=8.0, bare=True)
        if k:
            joint = FIRST + k * width
            for at, name in ((-3.0, f"{group[k - 1].name} minus contact"), (3.0, f"{one.name} plus contact")):
                _contact(sheet, network, joint + at, y, name)
            jumper = _there(network, f"series jumper {s}.{k}")
            sheet.text(joint, y - 8, _lead(jumper), size=6.0)
    _contact(sheet, network, MINUS_BUS - 12, y, f"minus contact {s}")
    sheet.text(MINUS_BUS - 6, y - 8, _lead(_there(network, f"minus lead {s}")), size=6.0)


def _contact(sheet: Sheet, network: Network, x: float, y: float, name: str) -> None:
    count = _count(network, name)
    if not count:
        sheet.text(x, y + 6, "left\nout", size=6.0)
        return
    sheet.ring(x - 0.9, y, filled=True)
    sheet.ring(x + 0.9, y)
    if count > 1:
        sheet.text(x, y + 4.5, f"x{count}", size=6.0, bare=True)


def _fuse(sheet: Sheet, one: Any, x: float, y: float, s: str) -> None:
    if not isinstance(one, Fuse):
        sheet.text(x, y + 6, "no fuse", size=6.5)
        return
    sheet.box(x, y, 11, 4.6)
    sheet.line((x - 5.5, y), (x + 5.5, y), thick=0.8, over=True)
    sheet.text(x, y + 7.5, f"F{s}\n{_known(one.rating, 'A')}", size=6.5)


def _known(value: Any, unit: str) -> str:
    number = first(value)
    return (
        f"{number:.0f} {unit}" if number >= 1000.0 else f"{number:.4g} {unit}" if np.isfinite(number) else f"? {unit}"
    )


def _module(one: Module, *, narrow: bool) -> str:
    cells = f"{first(one.series):.3g}s{first(one.parallel):.3g}p"
    if narrow:
        return f"{one.name.removeprefix('module ')}\n{cells}\n{_known(one.full_voltage, 'V')}"
    return f"{one.name}\n{cells}, full {_known(one.full_voltage, 'V')}"


def _controller(sheet: Sheet, network: Network) -> None:
    """Draw switch, pre-charge, main leads, controller, phases and motor."""
    switch, filling = _there(network, "main switch"), _there(network, "pre-charge")
    y = TOP + 8
    sheet.line((208, y), (232, y), (232, 138), thick=2.6)
    if isinstance(switch, TwoPole):
        sheet.ring(197, y, filled=True)
        sheet.ring(207, y)
        sheet.line((197, y), (206, y + 5), thick=2.0)
        sheet.text(202, y + 9, "S1 main switch or loop key", size=6.5)
    else:
        sheet.line((196, y), (208, y), thick=2.6)
        sheet.text(202, y + 9, "no main switch", size=6.5)
    if isinstance(filling, Precharge):
        sheet.line((192, y), (192, y - 10), (212, y - 10), (212, y), thick=1.0)
        sheet.box(202, y - 10, 10, 4)
        sheet.text(202, y - 15.5, f"R1 pre-charge {_known(filling.resistance, 'Ω')}", size=6.5)
    controllers = network.of(Controller)
    lead, count = _there(network, "main plus lead"), _count(network, "main plus lead")
    told = _lead(lead) + (f"\nx{count}" if count > 1 else "")
    sheet.text(232, 150, told, size=6.5)
    sheet.line((232, 52), (232, 112), thick=2.6)
    sheet.text(232, 76, _lead(_there(network, "main minus lead")) + (f"\nx{count}" if count > 1 else ""), size=6.5)
    limit = _known(controllers[0].voltage_limit, "V") if controllers else "left out"
    sheet.box(232, 125, 34, 26, f"controller\nup to {limit}")
    sheet.text(228.5, 135.5, "+", size=10.0)
    sheet.text(228.5, 114.5, "-", size=10.0)
    for k, name in enumerate("abc"):
        at = 125 + 8.0 * (1 - k)
        sheet.line((249, at), (270, at), thick=1.6)
        sheet.ring(262 - 0.9, at, filled=True)
        sheet.ring(262 + 0.9, at)
        sheet.text(253, at + 2.6, name, size=6.5)
    sheet.text(259, 107, "phase leads\n" + _lead(_there(network, "phase lead a")), size=6.5)
    motors = network.of(Motor)
    wanted = {1.0: "right", -1.0: "left"}.get(first(motors[0].wanted), "") if motors else ""
    sheet.box(279, 125, 18, 30, f"motor\n\n{wanted}-hand\npropeller")


def _receiver(sheet: Sheet, network: Network) -> None:
    """Draw what feeds the receiver."""
    supplies = network.of(Supply)
    sheet.box(278, 61, 20, 16, "receiver")
    sheet.line((268, 66), (252, 66), thick=0.8)
    sheet.line((268, 56), (247, 56), (247, 52), (232, 52), thick=0.8)
    for at, mark in ((66, "+"), (56, "-")):
        sheet.text(269.6, at, mark, size=7.0, bare=True)
    sheet.line((283, 69), (283, 88), (248, 88), (248, 112), thick=0.8, dashed=True)
    sheet.text(272, 84.5, "throttle signal", size=6.0, bare=True)
    if supplies:
        sheet.box(255, 61, 12, 16)
        sheet.text(255, 61, f"step\ndown\n{first(supplies[0].output_voltage):.3g} V", size=6.0)
    own = "receiver battery" in network.names
    if own:
        sheet.box(252, 78, 20, 7, "own battery", size=6.0)
        sheet.line((252, 74.5), (252, 69), thick=0.8)
    else:
        sheet.line((252, 66), (240, 66), (240, 144), (232, 144), thick=0.8)
        fuse = _there(network, "supply fuse")
        if isinstance(fuse, Fuse):
            sheet.box(240, 96, 3.6, 8)
            sheet.line((240, 92), (240, 100), thick=0.8, over=True)
            sheet.text(242.6, 96, f"F9\n{_known(fuse.rating, 'A')}", size=6.0, ha="left")
    thin = _there(network, "supply plus lead") or _there(network, "receiver plus lead")
    sheet.text(256, 47, f"leads {_lead(thin)}".replace("\n", ", "), size=6.0)


def _notes(sheet: Sheet, network: Network, build: Build) -> None:
    """Write what the drawing cannot show."""
    contacts, fuses = network.of(Contact), [one for one in network.of(Fuse) if one.name.startswith("fuse ")]
    told = []
    if contacts:
        state = "worn" if np.any(contacts[0].worn) else "new"
        told.append(f"Contacts: {first(contacts[0].diameter) * 1e3:.3g} mm bullets, {state}.")
    if fuses:
        told.append(
            f"Fuses: {_known(fuses[0].rating, 'A')}, {_known(fuses[0].voltage_limit, 'V')} direct current, break"
            f" {_known(fuses[0].interrupting, 'A')}; at the plus pole of each string."
        )
    tied = ", ".join(one.start for one in network.of(Bond))
    told.append(f"Tied to the water: {tied}." if tied else "Both poles float: no connection to mast, hull or water.")
    told.append("Plus leads red or marked +, minus leads black. Any two phase leads swapped turn the propeller round.")
    if build.names["joint"]:
        told.append("Not as in the short form: " + ", ".join(build.names["joint"]) + ".")
    told.append("Before any joint: the plug-in order, and the voltages on its card.")
    lines = [line for sentence in told for line in textwrap.wrap(sentence, 150)]
    for k, line in enumerate(lines[:8]):
        sheet.text(12, 36 - 4.4 * k, line, ha="left")


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One joint of the plug-in order, simulated: what to measure first, what joining it makes."""

    name: str
    ends: str  # empty where it is no contact
    volts: float  # across it just before, or of the string whose plug it is; NaN: nothing to read
    amps: float  # when it is joined
    tied: bool  # whether the two sides were already joined by another way
    makes: str  # "nothing", "little", "spark", "filling", "stop", "unknown"


def steps(network: Network) -> tuple[Step, ...]:
    """Return every step of the plug-in order that this program proposes."""
    plan = Plan.of(network)
    gaps, currents = (
        np.atleast_2d(np.asarray(values))[0] for values in (plan.joining.gap_voltage, plan.joining.current)
    )
    strings = _strings(network)
    cells = sum(first(one.series) for one in strings[0]) if strings else 1.0
    made = []
    for name, gap, current, tied in zip(
        plan.names, gaps.tolist(), currents.tolist(), plan.joining.tied.tolist(), strict=True
    ):
        one = network.named(name)
        volts = gap if tied else _string_reads(strings, name)
        ends = f"{one.start} to {one.end}" if isinstance(one, Contact) else ""
        makes = _makes(one, gap, current, tied=tied, cells=cells)
        made.append(Step(name=name, ends=ends, volts=volts, amps=current, tied=tied, makes=makes))
    return tuple(made)


def _makes(one: Any, gap: float, current: float, *, tied: bool, cells: float) -> str:
    """Return what joining an element makes."""
    if not tied:
        return "nothing"
    if not np.isfinite(current) or (isinstance(one, Precharge) and np.isnan(first(one.resistance))):
        return "unknown"
    if isinstance(one, Precharge):
        return "filling"
    if gap > GAP * cells:
        return "spark" if isinstance(one, Switch) else "stop"
    return "little" if current > SPARK else "nothing"


def _string_reads(strings: list[list[Module]], name: str) -> float:
    """Return the voltage of the string whose plus contact is joined last; NaN at any other joint."""
    if not name.startswith("plus contact "):
        return float("nan")
    number = name.removeprefix("plus contact ").split()[0].split(".")[0]
    mine = [group for group in strings if group[0].name.removeprefix("module ").partition(".")[0] == number]
    return sum(first(one.open_voltage) for one in mine[0]) if mine else float("nan")


def card(build: Build) -> str:
    """Return the card for the inside of the lid: the order, and the voltage to measure before each joint."""
    network = drawn_network(build)
    modules = [one for group in _strings(network) for one in group]
    cells = sum(first(one.series) for one in _strings(network)[0])
    lines = [
        f"{build.name}: plug-in order",
        "",
        *_wrapped("Dry hands, dry pack, switch open, propeller clear. " + _reads(modules)),
    ]
    for k, step in enumerate(steps(network), 1):
        lines += _wrapped(f"{k}. {told(step)}")
    lines += _wrapped(
        f"The whole pack now reads {_full(modules, cells)}. To part it, go the same way back, switch first."
    )
    if len(_strings(network)) > 1:
        lines += ["", *_wrapped(_alike(build))]
    return "\n".join(lines) + "\n"


def _wrapped(sentence: str) -> list[str]:
    return textwrap.wrap(sentence, LINE, subsequent_indent="   ")


def _reads(modules: list[Module]) -> str:
    volts = sorted({f"{first(one.open_voltage):.1f} V" for one in modules})
    return f"Each module must read {' to '.join(volts)}; write down what it reads."


def _full(modules: list[Module], cells: float) -> str:
    rest = sum(first(one.open_voltage) for one in modules) / max(sum(first(one.series) for one in modules), 1.0)
    return f"{rest * cells:.1f} V"


def told(step: Step) -> str:
    """Return one step in words: what to measure, what to join, whether it sparks."""
    if step.makes == "filling":
        return f"Touch {step.name}: {step.volts:.1f} V across it, {step.amps:.2g} A; wait until it reads below 1 V."
    joined = f"Join {step.name}" + (f" ({step.ends})." if step.ends else ".")
    if not step.tied and np.isnan(step.volts):
        return f"{joined} One side hangs free: nothing flows."
    if not step.tied:
        return f"Measure from the free plus plug to the minus bus: {step.volts:.1f} V. {joined} Nothing flows."
    return f"Measure across {step.name}: {step.volts:.2f} V. {joined}{flows(step)}"


def flows(step: Step) -> str:
    """Return what flows when a step is joined, where that is worth a word."""
    return {
        "spark": f" SPARK: {step.amps:.0f} A into empty capacitors; a pre-charge resistor tames it.",
        "stop": f" STOP: {step.volts:.1f} V is more than 0.05 V a cell: do not join, {step.amps:.0f} A would flow.",
        "little": f" It sparks: {step.amps:.1f} A flow from the fuller string into the other and fade.",
        "unknown": " What flows is not known: write wires.precharge and the modules into the build.",
    }.get(step.makes, "")


def _alike(build: Build) -> str:
    """Return what one reading under load cannot tell."""
    load = State(assemble(build)[0]).loads
    which = load.reading_cases[int(load.reading_case[0])]
    return f"Weak under load? {which[:1].upper()}{which[1:]}. Measure every string and contact by itself."
