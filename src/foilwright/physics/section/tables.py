"""Section tables for thousands of designs: built once a section and finish, then gathered.

Both axes are evenly spaced (lift coefficient, logarithm of the Reynolds number), so that reading
costs index arithmetic only.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from foilwright.core.data import Table, different, table, table_of
from foilwright.core.errors import DataError
from foilwright.core.model import Array, Mask, model
from foilwright.shape import own as own_sections

Index = npt.NDArray[np.intp]

FINISHES = ("polished", "sanded", "printed")
LOWEST, HIGHEST = 8e4, 6e6
REYNOLDS_AXIS: Array = np.geomspace(LOWEST, HIGHEST, 11)
LIFT_AXIS: Array = np.linspace(-1.4, 1.4, 57)
LOG_STEP = float(np.log(HIGHEST / LOWEST)) / 10.0
LIFT_STEP = 0.05
SHARE_OF_SOLVER = 0.85
LIFT_CAP = 1.2
FIT_HALF_WIDTH = 0.6
"""The straight line is fitted where lift lies within this of the lift at zero incidence [-]."""

SOLVER = (
    "neural-network surrogate of a viscous-inviscid section code (NeuralFoil 0.3, Sharpe 2023), "
    "lift times 0.95 from 12 % thickness on"
)
REYNOLDS_LIMIT = (LOWEST, HIGHEST, "the section polars end there; the value of the last row is held")


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionTables:
    """Section data of n designs over the common axes (r Reynolds numbers, m lift coefficients)."""

    lift_axis: Array
    """Lift coefficient, (m,) [-]."""
    log_reynolds: Array
    """Natural logarithm of the Reynolds number, (r,) [-]."""
    drag: Array
    """Drag coefficient, (n, r, m); beyond the attached range its last slope goes on [-]."""
    slope: Array
    """Lift slope of the section, (n, r) [1/rad]."""
    zero_lift_angle: Array
    """Where the fitted line has no lift, (n, r) [rad]."""
    moment: Array
    """Moment coefficient about the quarter chord at no lift, nose up, (n, r) [-]."""
    moment_slope: Array
    """Change of that moment coefficient with lift coefficient, (n, r) [-]."""
    lift_limit: Array
    """Upper design limit of the lift coefficient, (n, r) [-]."""
    lift_limit_negative: Array
    """Lower design limit of the lift coefficient, (n, r) [-]."""
    pressure: Array
    """Least pressure coefficient, (n, m) [-]."""
    thickness: Array
    """Greatest thickness over chord, (n,) [-]."""
    area_factor: Array
    """Area over chord squared, (n,) [-]."""

    @staticmethod
    def level(thickness: float) -> float:
        """Return the factor on the solver's lift: 0.95 from 12 % thickness on, else 1 [-]."""
        return 0.95 if thickness >= 0.12 - 1e-9 else 1.0

    @classmethod
    def from_polar(
        cls,
        *,
        incidence: Array,
        lift: Array,
        drag: Array,
        moment: Array,
        pressure: Array,
        thickness: float,
        area_factor: float,
    ) -> SectionTables:
        """Build the tables of one section and finish, n = 1.

        ``lift``, ``drag`` and ``moment`` are (11, a) over ``REYNOLDS_AXIS`` and ``incidence`` [rad],
        NaN where the flow is not attached; ``pressure`` is (57,) over ``LIFT_AXIS``.
        """
        level = cls.level(thickness)
        high, low = np.nanmax(lift, axis=-1) / level, np.nanmin(lift, axis=-1) / level
        centre = np.array([np.interp(0.0, incidence, row) for row in lift])[:, None]
        used = np.abs(lift - centre) <= FIT_HALF_WIDTH
        slope, offset = _line(np.broadcast_to(incidence, lift.shape), lift, used)
        moment_slope, moment_zero = _line(lift, moment, used)
        return cls(
            lift_axis=LIFT_AXIS,
            log_reynolds=np.log(REYNOLDS_AXIS),
            drag=np.stack([_over_lift(a, b) for a, b in zip(lift, drag, strict=True)])[None],
            slope=slope[None],
            zero_lift_angle=(-offset / slope)[None],
            moment=moment_zero[None],
            moment_slope=moment_slope[None],
            lift_limit=np.minimum(SHARE_OF_SOLVER * high, LIFT_CAP)[None],
            lift_limit_negative=np.maximum(SHARE_OF_SOLVER * low, -LIFT_CAP)[None],
            pressure=np.asarray(pressure, dtype=np.float64)[None],
            thickness=np.array([thickness]),
            area_factor=np.array([area_factor]),
        )

    @classmethod
    def stack(cls, members: Sequence[SectionTables], rows: Index | Sequence[int]) -> SectionTables:
        """Return the tables whose design k is the first row of ``members[rows[k]]``."""
        place = np.asarray(rows, dtype=np.intp)
        columns = {
            field.name: np.concatenate([getattr(member, field.name)[:1] for member in members])[place]
            for field in fields(cls)[2:]
        }
        return cls(lift_axis=LIFT_AXIS, log_reynolds=members[0].log_reynolds, **columns)

    def inverted(self) -> SectionTables:
        """Return the tables of the sections turned upside down."""
        return SectionTables(
            lift_axis=self.lift_axis,
            log_reynolds=self.log_reynolds,
            drag=self.drag[..., ::-1],
            slope=self.slope,
            zero_lift_angle=-self.zero_lift_angle,
            moment=-self.moment,
            moment_slope=self.moment_slope,
            lift_limit=-self.lift_limit_negative,
            lift_limit_negative=-self.lift_limit,
            pressure=self.pressure[..., ::-1],
            thickness=self.thickness,
            area_factor=self.area_factor,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Characteristics:
    """Straight-line data of a section at a Reynolds number; arrays (n, ...)."""

    slope: Array
    """Lift slope [1/rad]."""
    zero_lift_angle: Array
    """Angle without lift [rad]."""
    moment: Array
    """Moment coefficient about the quarter chord at no lift, nose up [-]."""
    moment_slope: Array
    """Change of that moment coefficient with lift coefficient [-]."""
    lift_limit: Array
    """Upper design limit of the lift coefficient [-]."""
    lift_limit_negative: Array
    """Lower design limit of the lift coefficient [-]."""
    outside: Mask
    """Limits that the inputs violate."""


@model(source=f"{SOLVER}; least pressure by a panel method; design limit of lift min(0.85 solver, 1.2), estimate")
def gather(
    *,
    sections: str | Sequence[str],
    finishes: str | Sequence[str],
    inverted: Sequence[bool] | None = None,
) -> SectionTables:
    """Return the tables of the stated sections and finishes, one design each.

    Parameters
    ----------
    sections : sequence of str
        Designations, for example ``naca2412``, one a design or one for all [-].
    finishes : sequence of str
        ``polished``, ``sanded`` or ``printed``, one a design or one for all [-].
    inverted : sequence of bool, optional
        Section turned upside down, as some stabilisers have it, one a design [-].

    Returns
    -------
    SectionTables
        Leading axis n; coefficients [-], angles [rad], slopes [1/rad].
    """
    names = [sections] if isinstance(sections, str) else [str(name) for name in sections]
    skins = [finishes] if isinstance(finishes, str) else [str(name) for name in finishes]
    turned = [False] if inverted is None else [bool(flag) for flag in inverted]
    count = max(len(names), len(skins), len(turned))
    for column in (names, skins, turned):
        if len(column) not in {1, count}:
            raise DataError(f"{len(column)} entries where 1 or {count} are needed")
    keys = tuple((names[k % len(names)], skins[k % len(skins)], turned[k % len(turned)]) for k in range(count))
    return _stacked(keys)


@functools.lru_cache(maxsize=256)
def _stacked(keys: tuple[tuple[str, str, bool], ...]) -> SectionTables:
    """Return the tables of sections, one design each, made once for what is asked again and again."""
    distinct = {key: place for place, key in enumerate(dict.fromkeys(keys))}
    members = [_member(section, finish, flag) for section, finish, flag in distinct]
    return SectionTables.stack(members, [distinct[key] for key in keys])


def _member(section: str, finish: str, inverted: bool) -> SectionTables:
    tables = built_in(section, finish)
    return tables.inverted() if inverted else tables


@functools.cache
def built_in(section: str, finish: str) -> SectionTables:
    """Return the tables of one shipped or kept section and finish, n = 1, made once a process."""
    incidence, polar = stored(section, finish)
    places, pressure = pressures(section)
    if own_sections.kept(section):
        thickness, area = own_sections.measures(section)
    else:
        geometry = table("sections")
        row = geometry.texts["section"].index(section)
        thickness, area = (float(geometry.columns[name][row]) for name in ("thickness", "area"))
    return SectionTables.from_polar(
        incidence=incidence,
        lift=polar["lift"],
        drag=polar["drag"],
        moment=polar["moment"],
        pressure=np.interp(LIFT_AXIS, places, pressure),
        thickness=thickness,
        area_factor=area,
    )


@functools.cache
def stored(section: str, finish: str) -> tuple[Array, dict[str, Array]]:
    """Return incidence [rad] and the shipped polar as arrays (Reynolds number, incidence)."""
    known = _known(section)
    if finish not in FINISHES:
        raise DataError(f"there is no finish {finish}; allowed: {', '.join(FINISHES)}")
    rows = np.array([name == finish for name in known.texts["finish"]])
    incidence = np.radians(different(known.columns["incidence"]))
    shape = (REYNOLDS_AXIS.size, incidence.size)
    return incidence, {name: known.columns[name][rows].reshape(shape) for name in ("lift", "drag", "moment")}


def _known(section: str) -> Table:
    if mine := own_sections.kept(section):
        return table_of(f"polar of {section}", mine.polar)
    names = table("sections").texts["section"]
    if section not in names:
        raise DataError(f"there is no polar of {section}; shipped: {', '.join(names)}")
    return table(f"polars/{section}")


@functools.cache
def pressures(section: str) -> tuple[Array, Array]:
    """Return lift coefficient and least pressure coefficient of a shipped section [-]."""
    if mine := own_sections.kept(section):
        own = table_of(f"least pressure of {section}", mine.pressure)
        return own.columns["lift_coefficient"], own.columns["pressure_minimum"]
    _known(section)
    known = table("section_pressure")
    rows = np.array([name == section for name in known.texts["section"]])
    return known.columns["lift_coefficient"][rows], known.columns["pressure_minimum"][rows]


def _line(x: Array, y: Array, used: npt.NDArray[np.bool_]) -> tuple[Array, Array]:
    """Return slope and offset of the least-squares line of each row, over the used points."""
    count = used.sum(axis=-1, keepdims=True)
    x, y = np.where(used, x, 0.0), np.where(used, y, 0.0)
    mx, my = x.sum(axis=-1, keepdims=True) / count, y.sum(axis=-1, keepdims=True) / count
    dx, dy = np.where(used, x - mx, 0.0), np.where(used, y - my, 0.0)
    slope = (dx * dy).sum(axis=-1) / (dx * dx).sum(axis=-1)
    return slope, my[..., 0] - slope * mx[..., 0]


def _over_lift(lift: Array, drag: Array) -> Array:
    """Return drag over the lift axis; beyond the attached range the outward slope goes on."""
    there = np.isfinite(lift)
    cl, cd = lift[there], drag[there]
    out = np.interp(LIFT_AXIS, cl, cd)
    top = max((cd[-1] - cd[-2]) / (cl[-1] - cl[-2]), 0.0)
    bottom = max((cd[0] - cd[1]) / (cl[1] - cl[0]), 0.0)
    above, below = np.maximum(LIFT_AXIS - cl[-1], 0.0), np.maximum(cl[0] - LIFT_AXIS, 0.0)
    return np.asarray(out + top * above + bottom * below)


def _cell(value: Array, first: float, step: float, size: int) -> tuple[Index, Array]:
    """Return the cell of an evenly spaced axis and the share of it (outside 0..1 beyond the ends)."""
    place = (value - first) * (1.0 / step)
    with np.errstate(invalid="ignore"):
        low = place.astype(np.intp)
    low = np.minimum(np.maximum(low, 0), size - 2)
    return low, place - low


def _held(reynolds: Array) -> tuple[Index, Array]:
    """Return cell and share on the Reynolds axis, held at its ends."""
    log = np.log(np.minimum(np.maximum(reynolds, LOWEST), HIGHEST))
    return _cell(log, float(np.log(LOWEST)), LOG_STEP, REYNOLDS_AXIS.size)


def _rows(count: int, axes: int) -> Index:
    return np.arange(count).reshape((count,) + (1,) * (axes - 1))


@model(
    source=f"{SOLVER}; linear in lift coefficient and logarithm of the Reynolds number",
    valid={
        "reynolds": REYNOLDS_LIMIT,
        "lift_coefficient": (
            -1.4,
            1.4,
            "beyond the lift that a section holds; the last slope of drag goes on",
        ),
    },
    decides=("lift_coefficient",),
)
def drag_at(*, tables: SectionTables, lift_coefficient: Array, reynolds: Array) -> Array:
    """Return the profile drag of each design's section.

    A value beyond the design limit of lift (``characteristics_at``) means nothing but "more".

    Parameters
    ----------
    tables : SectionTables
        Sections of n designs [-].
    lift_coefficient : float or (n, ...) array
        Lift coefficient of the section [-].
    reynolds : float or (n, ...) array
        Reynolds number on the chord; as many axes as the lift coefficient, or one number [-].

    Returns
    -------
    (n, ...) array
        Drag coefficient [-]; never NaN for finite inputs.
    """
    lift, number = np.asarray(lift_coefficient), np.asarray(reynolds)
    count, _, width = tables.drag.shape
    low, share = _cell(lift, -1.4, LIFT_STEP, width)
    row, part = _held(number)
    first = _rows(count, max(lift.ndim, number.ndim, 1)) * (REYNOLDS_AXIS.size * width) + row * width
    at = first + low
    flat = tables.drag.ravel()
    left = flat.take(at)
    upper_left = flat.take(at + width)
    at += 1
    near = left + share * (flat.take(at) - left)
    at += width
    far = upper_left + share * (flat.take(at) - upper_left)
    out: Array = near + part * (far - near)
    return out


@model(
    source="linear vortex panels (Katz & Plotkin 2001), linear in lift coefficient",
    valid={"lift_coefficient": (-1.4, 1.4, "beyond the lift that a section holds; the last slope goes on")},
    decides=("lift_coefficient",),
)
def pressure_at(*, tables: SectionTables, lift_coefficient: Array) -> Array:
    """Return the least pressure coefficient of each design's section in potential flow.

    Parameters
    ----------
    tables : SectionTables
        Sections of n designs [-].
    lift_coefficient : float or (n, ...) array
        Lift coefficient of the section [-].

    Returns
    -------
    (n, ...) array
        Least pressure coefficient, negative [-].
    """
    lift = np.asarray(lift_coefficient)
    count, width = tables.pressure.shape
    low, share = _cell(lift, -1.4, LIFT_STEP, width)
    at = _rows(count, max(lift.ndim, 1)) * width + low
    flat = tables.pressure.ravel()
    left = flat.take(at)
    out: Array = left + share * (flat.take(at + 1) - left)
    return out


@model(
    source=f"{SOLVER}; least-squares line over lift within 0.6 of that at zero incidence; "
    "design limit of lift min(0.85 solver, 1.2), estimate",
    valid={"reynolds": REYNOLDS_LIMIT},
)
def characteristics_at(*, tables: SectionTables, reynolds: Array) -> Characteristics:
    """Return slope, zero-lift angle, moment and design limits of each design's section.

    Parameters
    ----------
    tables : SectionTables
        Sections of n designs [-].
    reynolds : float or (n, ...) array
        Reynolds number on the chord [-].

    Returns
    -------
    Characteristics
        Arrays (n, ...): slope [1/rad], angle [rad], coefficients [-].
    """
    number = np.asarray(reynolds)
    count, height = tables.slope.shape
    row, part = _held(number)
    at = _rows(count, max(number.ndim, 1)) * height + row
    after = at + 1

    def read(values: Array) -> Array:
        flat = values.ravel()
        left = flat.take(at)
        return np.asarray(left + part * (flat.take(after) - left))

    return Characteristics(
        slope=read(tables.slope),
        zero_lift_angle=read(tables.zero_lift_angle),
        moment=read(tables.moment),
        moment_slope=read(tables.moment_slope),
        lift_limit=read(tables.lift_limit),
        lift_limit_negative=read(tables.lift_limit_negative),
        outside=characteristics_at.mask(reynolds=number),
    )
