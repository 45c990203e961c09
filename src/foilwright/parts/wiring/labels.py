"""Labels for leads and warnings, on paper at full size."""

from __future__ import annotations

from foilwright.network import Contact, Fuse, Lead, Network
from foilwright.parts.paper.drawing import Drawing
from foilwright.study.wiring import first

WIDE, TALL = 0.062, 0.0175
"""One label [m]; it is folded round the lead and stuck to itself."""
ACROSS, DOWN = 4, 9
WARNINGS = (
    "LITHIUM PACK: no water, no short, watch it while it charges",
    "PROPELLER: pack apart before hands go near it",
    "FUSE FIRST OUT, LAST IN",
    "MEASURE BEFORE YOU JOIN",
    "WET OR KNOCKED PACK: outdoors, do not charge",
    "KILL CORD: try it before every ride",
)


def told(network: Network) -> list[tuple[str, str]]:
    """Return the two lines of each label."""
    out: list[tuple[str, str]] = []
    for one in network.of(Lead):
        for end, other in ((one.start, one.end), (one.end, one.start)):
            out.append((one.name, f"{end} > {other}, {first(one.area) * 1e6:.3g} mm²"))
    out += [(one.name, f"{one.start} > {one.end}") for one in network.of(Contact)]
    out += [(one.name, f"{first(one.rating):.4g} A, nothing larger") for one in network.of(Fuse)]
    return out + [(line, "") for line in WARNINGS]


def sheets(network: Network, name: str) -> list[Drawing]:
    """Return sheets of labels."""
    lines = told(network)
    page = ACROSS * DOWN
    made = []
    for start in range(0, len(lines), page):
        out = Drawing(name=f"labels of {name}")
        for k, (above, below) in enumerate(lines[start : start + page]):
            left, low = (k % ACROSS) * (WIDE + 0.003), -(k // ACROSS) * (TALL + 0.002)
            out.box((left, low), (left + WIDE, low + TALL), "hidden")
            middle = left + 0.5 * WIDE
            if below:
                out.say((middle, low + 0.66 * TALL), _fit(above, 34), size=3.6)
                out.say((middle, low + 0.28 * TALL), _fit(below, 44), size=2.7)
            else:
                first_line, second_line = _halves(above)
                out.say((middle, low + 0.66 * TALL), first_line, size=3.2)
                out.say((middle, low + 0.28 * TALL), second_line, size=2.8)
        made.append(out)
    return made


def _fit(words: str, letters: int) -> str:
    return words if len(words) <= letters else words[: letters - 1] + "…"


def _halves(words: str) -> tuple[str, str]:
    head, sign, rest = words.partition(":")
    return (head, rest.strip()) if sign else (words, "")
