"""A vortex lattice for straight-tapered wings: offline oracle and source of the planform table.

One horseshoe a panel: bound vortex on the quarter line of the panel, control point on its
three-quarter line, legs straight downstream; drag from the far wake. Nothing on the way of a plain
question imports this module.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model


@dataclass(frozen=True, slots=True, kw_only=True)
class Loading:
    """What a lattice found for one wing; coefficients on planform area, span and mean chord."""

    lift_coefficient: float
    moment_coefficient: float
    """Nose-up moment about the nose of the root section [-]."""
    roll_coefficient: float
    """Rolling moment that lifts the positive half span [-]."""
    induced_drag_coefficient: float
    span_efficiency: float
    side: Array
    """(spanwise,) Place of each strip over the half span [-]."""
    local_lift: Array
    """(spanwise,) Local lift coefficient of each strip on its own chord [-]."""

    @property
    def peak(self) -> tuple[float, float]:
        """Largest local lift over the mean one, and its place over the half span."""
        at = int(np.argmax(self.local_lift))
        low, high = max(at - 1, 0), min(at + 1, self.side.size - 1)
        if low < at < high:
            a, b, c = np.polyfit(self.side[low : high + 1], self.local_lift[low : high + 1], 2)
            place = float(-b / (2.0 * a))
            return float(c - b * b / (4.0 * a)) / self.lift_coefficient, place
        return float(self.local_lift[at]) / self.lift_coefficient, float(self.side[at])


@dataclass(frozen=True, slots=True, kw_only=True)
class Panels:
    """Horseshoes and control points of the positive half span, strip by strip, nose to tail."""

    inner: Array
    outer: Array
    control: Array
    width: Array
    chord: Array
    side: Array
    mean_chord: float
    rows: int


def _panels(
    *,
    span: float,
    root_chord: float,
    taper: float,
    sweep: float,
    dihedral: float,
    rows: int,
    strips: int,
    even: bool,
) -> Panels:
    """Return the panels of a half wing; ``sweep`` is that of the quarter-chord line."""
    place = np.arange(strips + 1) / strips
    middle = (np.arange(strips) + 0.5) / strips
    edges, centres = (place, middle) if even else (np.sin(np.pi / 2 * place), np.sin(np.pi / 2 * middle))
    half = 0.5 * span

    def points(eta: Array, share: Array) -> Array:
        """Return the points at ``eta`` of the half span and ``share`` of the chord."""
        chord = root_chord * (1.0 - (1.0 - taper) * eta)
        nose = 0.25 * (root_chord - chord) + half * eta * np.tan(sweep)
        x = nose[:, None] + share * chord[:, None]
        y = np.broadcast_to(half * eta[:, None], x.shape)
        return np.stack([x, y, y * np.tan(dihedral)], axis=-1)

    front = (np.arange(rows) + 0.25) / rows
    bound = points(edges, front)
    return Panels(
        inner=bound[:-1].reshape(-1, 3),
        outer=bound[1:].reshape(-1, 3),
        control=points(centres, front + 0.5 / rows).reshape(-1, 3),
        width=half * np.diff(edges),
        chord=root_chord * (1.0 - (1.0 - taper) * centres),
        side=centres,
        mean_chord=0.5 * root_chord * (1.0 + taper),
        rows=rows,
    )


def _induced(at: Array, inner: Array, outer: Array) -> Array:
    """Return the velocity (m, n, 3) at ``at`` (m, 3) of unit horseshoes from ``inner`` to ``outer``."""
    a, b = at[:, None, :] - inner[None, :, :], at[:, None, :] - outer[None, :, :]
    la, lb = np.linalg.norm(a, axis=-1), np.linalg.norm(b, axis=-1)
    cross, dot = np.cross(a, b), np.einsum("mnk,mnk->mn", a, b)
    bound = cross * ((la + lb) / (la * lb * (la * lb + dot)))[..., None]
    ahead = np.array([1.0, 0.0, 0.0])
    leg_a = np.cross(a, ahead) / (la * (la - a[..., 0]))[..., None]
    leg_b = np.cross(b, ahead) / (lb * (lb - b[..., 0]))[..., None]
    return np.asarray((bound + leg_a - leg_b) / (4.0 * np.pi))


def _images(panels: Panels, depth: float) -> list[tuple[Array, Array, float]]:
    """Return inner ends, outer ends and sign of the surface image (same circulation) where there is one."""
    sets = [(panels.inner, panels.outer, 1.0)]
    if np.isfinite(depth):
        up = np.array([0.0, 0.0, 2.0 * depth])
        turn = np.array([1.0, 1.0, -1.0])
        sets.append((panels.inner * turn + up, panels.outer * turn + up, 1.0))
    return sets


def _far_wash(panels: Panels, depth: float, mirror: float) -> Array:
    """Return the normal velocity in the far wake at each strip for unit circulation of each strip."""
    first = slice(None, None, panels.rows)
    inner, outer = panels.inner[first, 1:], panels.outer[first, 1:]
    tangent = outer - inner
    normal = np.stack([-tangent[:, 1], tangent[:, 0]], -1) / np.linalg.norm(tangent, axis=-1)[:, None]
    across = panels.side * (outer[-1, 0])
    middle = np.stack([across, across * tangent[-1, 1] / tangent[-1, 0]], -1)
    total = np.zeros((across.size, across.size))
    sheets = [(inner, outer)]
    if np.isfinite(depth):
        turn, up = np.array([1.0, -1.0]), np.array([0.0, 2.0 * depth])
        sheets.append((inner * turn + up, outer * turn + up))
    flip = np.array([-1.0, 1.0])
    for a, b in sheets:
        for start, end, sign in ((a, b, 1.0), (b * flip, a * flip, mirror)):
            for point, turnwise in ((start, -1.0), (end, 1.0)):
                gap = middle[:, None, :] - point[None, :, :]
                wash = (gap[..., 0] * normal[:, None, 1] - gap[..., 1] * normal[:, None, 0]) / np.sum(gap**2, -1)
                total += sign * turnwise * wash / (2.0 * np.pi)
    return total


@model(source="Falkner 1943, ARC R&M 1910; Katz & Plotkin 2001, ch. 12; far-wake drag: Munk 1921")
def wing(
    *,
    span: float,
    root_chord: float,
    taper: float = 1.0,
    sweep: float = 0.0,
    incidence: float = 1.0,
    twist: float = 0.0,
    dihedral: float = 0.0,
    depth: float = np.inf,
    chordwise: int = 6,
    spanwise: int = 20,
    even: bool = False,
    rolled: str = "",
) -> Loading:
    """Return the loading of one flat-section, straight-tapered wing in linear theory.

    Parameters
    ----------
    span : float
        Tip to tip [m].
    root_chord : float
        Chord in the middle [m].
    taper : float
        Tip chord over root chord [-].
    sweep : float
        Sweep of the quarter-chord line, tips aft positive [rad].
    incidence : float
        Incidence of the root section [rad].
    twist : float
        Incidence of the tip less that of the root, growing evenly outwards [rad].
    dihedral : float
        Rise of the half wings [rad].
    depth : float
        Depth below a free surface passed at high Froude number [m].
    chordwise, spanwise : int
        Panels along the chord, and along each half span [-].
    even : bool
        Strips of equal width; otherwise they crowd towards the tip by a cosine.
    rolled : str
        Antisymmetric incidence instead of the symmetric one: ``"step"`` (+incidence on one half,
        -incidence on the other) or ``"linear"`` (growing evenly to +-incidence at the tips).

    Returns
    -------
    Loading
        Coefficients [-] on planform area, span and mean chord.
    """
    panels = _panels(
        span=span,
        root_chord=root_chord,
        taper=taper,
        sweep=sweep,
        dihedral=dihedral,
        rows=chordwise,
        strips=spanwise,
        even=even,
    )
    mirror = -1.0 if rolled else 1.0
    normal = np.array([0.0, -np.sin(dihedral), np.cos(dihedral)])
    flip = np.array([1.0, -1.0, 1.0])
    influence = np.zeros((panels.control.shape[0], panels.control.shape[0]))
    for inner, outer, sign in _images(panels, depth):
        influence += sign * _induced(panels.control, inner, outer) @ normal
        influence += sign * mirror * _induced(panels.control, outer * flip, inner * flip) @ normal
    eta = np.repeat(panels.side, chordwise)
    angle = {"": incidence + twist * eta, "step": incidence + 0.0 * eta, "linear": incidence * eta}[rolled]
    circulation = np.linalg.solve(influence, -angle * np.cos(dihedral)).reshape(spanwise, chordwise)
    strip = circulation.sum(axis=1)
    area = span * panels.mean_chord
    nose = 0.5 * (panels.inner[:, 0] + panels.outer[:, 0]).reshape(spanwise, chordwise)
    lift = 4.0 * float(strip @ panels.width) / area
    wash = _far_wash(panels, depth, mirror) @ strip
    arc = panels.width / np.cos(dihedral)
    drag = -2.0 * float((strip * wash) @ arc) / area
    aspect_ratio = span * span / area
    return Loading(
        lift_coefficient=0.0 if rolled else lift,
        moment_coefficient=0.0
        if rolled
        else -4.0 * float(np.sum(circulation * nose, 1) @ panels.width) / area / panels.mean_chord,
        roll_coefficient=4.0 * float((strip * panels.side * 0.5 * span) @ panels.width) / (area * span)
        if rolled
        else 0.0,
        induced_drag_coefficient=drag,
        span_efficiency=lift * lift / (np.pi * aspect_ratio * drag),
        side=panels.side,
        local_lift=2.0 * strip / panels.chord,
    )
