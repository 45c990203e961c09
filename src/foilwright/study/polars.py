"""Polars of a section from a section solver, for the shipped tables and for a maker's own section.

The solver is a neural-network surrogate of a viscous-inviscid section code. Its attached flow is
used, its stall is not: past its first peak of lift a polar is empty.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from foilwright.core.extras import need
from foilwright.core.model import Array
from foilwright.physics.section import (
    FINISHES,
    LIFT_AXIS,
    REYNOLDS_AXIS,
    SectionTables,
    blunt_edge_drag,
    panel,
    roughness_ratio,
)

INCIDENCE: Array = np.radians(np.arange(-18.0, 18.5, 1.0))
CRITICAL_AMPLIFICATION = 4.0
"""Logarithm of the amplification at transition (disturbed open water) [-]."""
TRIP = 0.05
"""Place of fixed transition on both sides over chord [-]."""
LEAST_GROWTH = 2e-3
"""Growth of lift from one incidence to the next below which the section stalls [-]."""
PRINTED_ROUGHNESS = 1e-4 / 0.12
"""Sand grains of 0.10 mm on a chord of 0.12 m: layers of 0.20 mm along the span [-]."""
PRINTED_EDGE = 8e-4 / 0.12
"""Two printed walls, 0.8 mm, on a chord of 0.12 m [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SolvedPolar:
    """A polar over Reynolds number and incidence, NaN where the flow is not attached."""

    reynolds: Array
    """(r,) [-]."""
    incidence: Array
    """(a,) [rad]."""
    lift: Array
    """(r, a) [-]."""
    drag: Array
    """(r, a) [-]."""
    moment: Array
    """About the quarter chord, nose up, (r, a) [-]."""
    confidence: Array
    """The solver's own confidence, (r, a) [-]."""


def solved_polar(
    *,
    coordinates: Array,
    thickness: float,
    finish: str,
    reynolds: Array = REYNOLDS_AXIS,
    incidence: Array = INCIDENCE,
) -> SolvedPolar:
    """Return the polar of an outline with a finish.

    Parameters
    ----------
    coordinates : (k, 2) array
        Outline from the trailing edge over the top and back, trailing edge as the section has it [chord].
    thickness : float
        Greatest thickness over chord [-].
    finish : str
        ``polished``, ``sanded`` or ``printed`` [-].
    reynolds : (r,) array
        Reynolds number on the chord [-].
    incidence : (a,) array
        Angle of the stream to the chord line [rad].

    Returns
    -------
    SolvedPolar
        Lift times 0.95 from 12 % thickness on, as measured slopes demand [-].
    """
    solver = need("neuralfoil", extra="sections")
    transition = 1.0 if finish == "polished" else TRIP
    answer = solver.get_aero_from_coordinates(
        np.asarray(coordinates, dtype=np.float64),
        np.tile(np.degrees(incidence), reynolds.size),
        np.repeat(reynolds, incidence.size),
        n_crit=CRITICAL_AMPLIFICATION,
        xtr_upper=transition,
        xtr_lower=transition,
    )
    shape = (reynolds.size, incidence.size)
    lift, drag, moment, confidence = (
        np.asarray(answer[name], dtype=np.float64).reshape(shape) for name in ("CL", "CD", "CM", "analysis_confidence")
    )
    there = _attached(lift, int(np.argmin(np.abs(incidence))))
    lift, drag, moment = (np.where(there, value, np.nan) for value in (lift, drag, moment))
    smooth = SolvedPolar(
        reynolds=reynolds,
        incidence=incidence,
        lift=lift * SectionTables.level(thickness),
        drag=drag,
        moment=moment,
        confidence=confidence,
    )
    return _printed(smooth) if finish == "printed" else smooth


def _printed(smooth: SolvedPolar) -> SolvedPolar:
    """Return the polar with layer lines and a blunt trailing edge."""
    ratio = roughness_ratio(reynolds=smooth.reynolds, relative_roughness=np.asarray(PRINTED_ROUGHNESS))
    rough = smooth.drag * np.asarray(ratio)[:, None]
    least = np.nanmin(rough, axis=-1)
    edge = blunt_edge_drag(edge_thickness=np.asarray(PRINTED_EDGE), friction_drag=least)
    return replace(smooth, drag=rough + np.asarray(edge)[:, None])


def _attached(lift: Array, middle: int) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Return where lift still grows away from zero incidence, both ways."""
    there = np.ones(lift.shape, dtype=np.bool_)
    grows = np.diff(lift, axis=-1) > LEAST_GROWTH
    there[:, middle + 1 :] = np.logical_and.accumulate(grows[:, middle:], axis=-1)
    there[:, :middle] = np.logical_and.accumulate(grows[:, :middle][:, ::-1], axis=-1)[:, ::-1]
    return there


def pressure_curve(*, coordinates: Array, lift_coefficient: Array = LIFT_AXIS) -> Array:
    """Return the least pressure coefficient of an outline at stated lift, in potential flow.

    Parameters
    ----------
    coordinates : (k, 2) array
        Outline from the trailing edge over the top and back, trailing edge closed [chord].
    lift_coefficient : (m,) array
        Lift coefficient of the section [-].

    Returns
    -------
    (m,) array
        Least pressure coefficient [-].
    """
    level, upright = panel(coordinates=coordinates, incidence=np.array([0.0, 0.5 * np.pi])).lift
    incidence = np.arcsin(lift_coefficient / np.hypot(level, upright)) - np.arctan2(level, upright)
    return panel(coordinates=coordinates, incidence=incidence).pressure_minimum


def polar_text(
    *, section: str, coordinates: Array, thickness: float, writer: str = "Written by scripts/write_polars.py."
) -> str:
    """Return the table of one section with all finishes, as it is shipped.

    Parameters
    ----------
    section : str
        Designation [-].
    coordinates : (k, 2) array
        Outline with the section's own open trailing edge [chord].
    thickness : float
        Greatest thickness over chord [-].
    writer : str
        Sentence for the head: by whom the table is written.
    """
    polars = {finish: solved_polar(coordinates=coordinates, thickness=thickness, finish=finish) for finish in FINISHES}
    rows = ["finish,reynolds,incidence,lift,drag,moment"]
    for finish, polar in polars.items():
        for i, reynolds in enumerate(polar.reynolds):
            for k, angle in enumerate(np.degrees(polar.incidence)):
                cells = (polar.lift[i, k], polar.drag[i, k], polar.moment[i, k])
                text = (f"{cell:.{digits}f}" for cell, digits in zip(cells, (4, 6, 5), strict=True))
                written = ["", "", ""] if np.isnan(cells[0]) else [_unsigned(cell) for cell in text]
                rows.append(f"{finish},{reynolds:.0f},{angle:.0f},{','.join(written)}")
    head = _head(section, coordinates, thickness, polars, writer)
    return "\n".join([*(f"# {line}" for line in head), *rows]) + "\n"


def _unsigned(cell: str) -> str:
    """Return a printed number without the sign of a zero."""
    return cell.lstrip("-") if float(cell) == 0.0 else cell


def _head(section: str, coordinates: Array, thickness: float, polars: dict[str, SolvedPolar], writer: str) -> list[str]:
    errors = {name: _between(coordinates, thickness, name, polars[name]) for name in ("polished", "sanded")}
    told = "; ".join(
        f"{name}: drag {100 * rms:.1f} % rms and {100 * most:.1f} % at most, lift {lift:.3f} at most"
        for name, (rms, most, lift) in errors.items()
    )
    sure = min(_confidence(polar) for polar in polars.values())
    level = SectionTables.level(thickness)
    rough, edge = f"{PRINTED_ROUGHNESS:.2e}", f"{PRINTED_EDGE:.2e}"
    return [
        f"Polar of {section}: NeuralFoil 0.3 (P. Sharpe 2023), model xlarge, 101 points a side, open edge.",
        f"{writer} reynolds [-] on the chord, incidence [deg], coefficients [-] on",
        "the chord; moment about the quarter chord, nose up. Empty past the first peak of lift: the",
        "solver's stall is not used.",
        f"Lift is the solver's times {level:g} (0.95 from 12 % thickness on, measured slopes are lower).",
        "polished: free transition, critical amplification 4 (disturbed open water), smooth.",
        "sanded: transition fixed at 5 % of the chord on both sides, hydraulically smooth.",
        f"printed: sanded, drag times the friction ratio of a fully rough plate (sand grains {rough} of the",
        f"chord: 0.10 mm on 0.12 m), plus base drag (Hoerner 1965) of a trailing edge {edge} of the chord",
        "thick (0.8 mm on 0.12 m). Its lift is that of sanded.",
        "Known error: tripped at 6e6 drag within 6 % (Ladson 1988); smooth at 6e6 drag +4 % mean, 10 % at",
        "most (Abbott & von Doenhoff 1959). The greatest lift is not to be trusted; drag near it may be",
        "10 to 17 % low.",
        f"Linear between rows, checked midway within the design limit of lift: {told}.",
        f"The solver's least own confidence within 0.85 of its peak lift: {sure:.2f}.",
    ]


def _confidence(polar: SolvedPolar) -> float:
    return float(polar.confidence[_within(polar.lift)].min())


def _within(lift: Array) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Return where lift is within the design limits of its row."""
    high = np.minimum(0.85 * np.nanmax(lift, axis=-1, keepdims=True), 1.2)
    low = np.maximum(0.85 * np.nanmin(lift, axis=-1, keepdims=True), -1.2)
    return np.asarray((lift <= high) & (lift >= low))


def _between(coordinates: Array, thickness: float, finish: str, polar: SolvedPolar) -> tuple[float, float, float]:
    """Return rms and greatest relative error of drag, and of lift, midway between the rows."""
    middle = solved_polar(
        coordinates=coordinates,
        thickness=thickness,
        finish=finish,
        reynolds=np.sqrt(polar.reynolds[1:] * polar.reynolds[:-1]),
        incidence=0.5 * (polar.incidence[1:] + polar.incidence[:-1]),
    )

    def mean(value: Array) -> Array:
        return 0.25 * (value[1:, 1:] + value[:-1, 1:] + value[1:, :-1] + value[:-1, :-1])

    used = _within(middle.lift) & np.isfinite(mean(polar.lift))
    drag = (mean(polar.drag) / middle.drag - 1.0)[used]
    lift = (mean(polar.lift) - middle.lift)[used]
    return float(np.sqrt((drag * drag).mean())), float(np.abs(drag).max()), float(np.abs(lift).max())
