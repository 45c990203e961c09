"""A Build, with any of its fields varied, into a Craft of arrays; what was assumed is told."""

from __future__ import annotations

import functools
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright import craft as c
from foilwright.build.build import Build, Value, stand_ins
from foilwright.build.schema import Assumed, Meta
from foilwright.build.vary import Varied, checked
from foilwright.core import units
from foilwright.core.data import table
from foilwright.shape.mass import masses

__all__ = ["WEIGHED", "Assumption", "Reader", "Varied", "assemble", "assumption", "checked"]

Array = npt.NDArray[np.float64]

SALINITY = {"fresh": 0.0, "brackish": 10.0, "sea": 35.165}
"""Salt of the kinds of water [g/kg]; sea: TEOS-10 reference salinity."""
ROUGHNESS = {"painted": 0.0, "sanded": 0.0002, "rough": 0.0008}
"""Allowance on the friction coefficient: 0.0004 is usual for boats (ITTC practice), less when sanded."""
OVERHANG = 0.12
"""What a fuselage usually stands out beyond the two quarter chords together [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A default that was used because the maker left the field out."""

    path: str
    unit: str
    value: float | str
    low: float | str
    high: float | str
    spread: str
    source: str
    why: str


@dataclass(slots=True, kw_only=True)
class Reader:
    """Reads fields by path: the varied value, else what was measured, else written, else assumed."""

    build: Build
    designs: int
    varied: Varied
    as_built: bool
    assumed: dict[str, Assumption] = field(default_factory=dict)

    def number(self, path: str) -> Array:
        """Return a field as an (n,) array in SI; NaN where it is open."""
        given = self._varied(path)
        if given is not None:
            return np.asarray(given, dtype=np.float64)
        value = self._value(path)
        return np.full(self.designs, np.nan if value is None else float(value))

    def names(self, path: str) -> tuple[str, ...]:
        """Return a choice as n names; empty where it is open."""
        given = self._varied(path)
        if given is not None:
            return tuple(str(name) for name in given)
        value = self._value(path)
        return ("" if value is None else str(value),) * self.designs

    def _varied(self, path: str) -> Array | tuple[str, ...] | None:
        """Return the varied values: of the measurement that stands in, else of the field itself."""
        stand_in = stand_ins().get(path) if self.as_built else None
        if stand_in and stand_in in self.varied:
            return self.varied[stand_in]
        return self.varied.get(path)

    def _value(self, path: str) -> Value | None:
        stand_in = stand_ins().get(path)
        if self.as_built and stand_in and stand_in in self.build.values:
            return self.build.values[stand_in]
        if path in self.build.values:
            return self.build.values[path]
        meta = self.build.meta(path)
        if meta.default is None:
            return None
        told = assumption(path, meta, meta.default)
        self.assumed[path] = told
        return told.value


@functools.cache
def assumption(path: str, meta: Meta, default: Assumed) -> Assumption:
    """Return a field's default in SI, with its range and source."""
    plain = meta.kind in ("choice", "count", "flag")
    value, low, high = (
        text if plain else units.parse(text, meta.unit) for text in (default.value, default.low, default.high)
    )
    return Assumption(
        path=path,
        unit=meta.unit if meta.kind == "quantity" else "",
        value=value,
        low=low,
        high=high,
        spread=default.spread,
        source=default.source,
        why="left out in the build file",
    )


def assemble(
    build: Build, varied: Varied | None = None, *, as_built: bool = True
) -> tuple[c.Craft, tuple[Assumption, ...]]:
    """Return the craft of a build, or of many variants of it, and what was assumed.

    Parameters
    ----------
    build : Build
        A checked build.
    varied : mapping
        Path to (n,) array in SI, or to n names for a choice; every other written field holds.
    as_built : bool
        Let measured values stand in for designed ones.
    """
    varied = checked(build, varied or {})
    designs = next((len(values) for values in varied.values()), 1)
    reader = Reader(build=build, designs=designs, varied=varied, as_built=as_built)
    made = _craft(reader)
    return _as_weighed(made, reader), tuple(reader.assumed.values())


WEIGHED = ("board", "mast", "wing", "stabiliser", "fuselage", "pack")
"""Tables with a field ``mass`` that holds what the scale said."""


def _as_weighed(made: c.Craft, read: Reader) -> c.Craft:
    """Keep each weighed mass as its ratio to what the unvaried build computes to."""
    written = read.build.values.keys() | read.varied.keys()
    weighed = [name for name in WEIGHED if f"{name}.mass" in written]
    whole = read.as_built and not written.isdisjoint(("measured.craft_mass", "measured.balance_point"))
    if not weighed and not whole:
        return made
    filed = Reader(build=replace(read.build, values=read.build.filed), designs=1, varied={}, as_built=read.as_built)
    plain = _craft(filed)
    pieces = masses(plain).pieces
    made, plain = (
        replace(
            each,
            **{
                name: replace(getattr(each, name), mass_ratio=reader.number(f"{name}.mass") / pieces[name].mass)
                for name in weighed
                if not np.isnan(reader.number(f"{name}.mass")).all()
            },
        )
        for each, reader in ((made, read), (plain, filed))
    )
    if not whole:
        return made
    book = masses(plain)
    return replace(
        made,
        mass_ratio=read.number("measured.craft_mass") / book.planned,
        balance_shift=read.number("measured.balance_point") - book.x,
    )


def _craft(read: Reader) -> c.Craft:
    mast = _mast(read)
    wing = _surface(read, "wing", x=mast.x + read.number("wing.ahead"), z=-mast.length)
    arm = read.number("stabiliser.arm")
    return c.Craft(
        designs=read.designs,
        water=_water(read),
        rider=c.Rider(
            skill=read.names("rider.skill"),
            posture=read.names("rider.posture"),
            **_numbers(
                read,
                "rider",
                "mass kit_mass height stance stance_width foot_length step prone_from prone_to"
                " kneeling_from kneeling_to",
            ),
        ),
        board=_board(read),
        parts=_parts(read),
        mast=mast,
        wing=wing,
        stabiliser=_surface(read, "stabiliser", x=wing.x - arm, z=wing.z + read.number("stabiliser.height")),
        fuselage=_fuselage(read, arm),
        pod=_pod(read, mast),
        drive=_drive(read),
        pack=_pack(read),
        ride=_ride(read),
        targets=c.Targets(**_numbers(read, "targets", "cruise_speed wing_depth run_time")),
        mass_ratio=np.full(read.designs, np.nan),
        balance_shift=np.full(read.designs, np.nan),
    )


def _numbers(read: Reader, table_name: str, names: str) -> dict[str, Any]:
    return {name: read.number(f"{table_name}.{name}") for name in names.split()}


def _choices(read: Reader, table_name: str, names: str) -> dict[str, Any]:
    return {name: read.names(f"{table_name}.{name}") for name in names.split()}


def _stuff(names: tuple[str, ...], column: str) -> Array:
    """Return a property of the named materials."""
    materials = table("materials")
    rows = {name: k for k, name in enumerate(materials.texts["material"])}
    return materials.columns[column][[rows[name] for name in names]]


def _is(names: tuple[str, ...], name: str) -> npt.NDArray[np.bool_]:
    return np.array([each == name for each in names])


def _water(read: Reader) -> c.Water:
    salinity = read.number("water.salinity")
    by_kind = np.array([SALINITY[kind] for kind in read.names("water.kind")])
    return c.Water(
        salinity=np.where(np.isnan(salinity), by_kind, salinity),
        **_numbers(read, "water", "temperature depth chop wind"),
    )


def _board(read: Reader) -> c.Board:
    return c.Board(
        roughness=np.array([ROUGHNESS[finish] for finish in read.names("board.finish")]),
        mass_ratio=np.ones(read.designs),
        **_numbers(
            read,
            "board",
            "length width thickness tail_width nose_width wide_point nose_rocker rocker_start"
            " nose_thickness rail_radius tail_edge_radius foam_density foam_uptake skin_mass form_factor"
            " not_thought_of",
        ),
    )


def _parts(read: Reader) -> c.Parts:
    names = read.build.names["part"]
    shape = (read.designs, len(names))

    def stack(field_name: str) -> Array:
        columns = [read.number(f"part.{name}.{field_name}") for name in names]
        return np.stack(columns, axis=1) if columns else np.zeros(shape)

    def where(field_name: str, wanted: str) -> npt.NDArray[np.bool_]:
        columns = [_is(read.names(f"part.{name}.{field_name}"), wanted) for name in names]
        return np.stack(columns, axis=1) if columns else np.zeros(shape, dtype=bool)

    return c.Parts(
        names=names,
        in_hull=where("place", "hull"),
        below=where("place", "below"),
        sealed=where("water", "sealed"),
        floods=where("water", "floods"),
        **{name: stack(name) for name in ("mass", "x", "y", "z", "volume", "free_volume")},
    )


def _surface(read: Reader, name: str, *, x: Array, z: Array) -> c.Surface:
    area, span = _sizes(read, name)
    material = read.names(f"{name}.material")
    level = np.zeros(read.designs)
    twisted = read.number("measured.wing_twist_left_right") if name == "wing" and read.as_built else level
    return c.Surface(
        area=area,
        span=span,
        section=read.names(f"{name}.section"),
        finish=read.names(f"{name}.finish"),
        density=_stuff(material, "density"),
        modulus=_stuff(material, "modulus"),
        mass_ratio=np.ones(read.designs),
        x=x,
        z=z,
        twist_left_right=twisted,
        **_numbers(read, name, "taper sweep dihedral twist incidence fill"),
    )


def _sizes(read: Reader, name: str) -> tuple[Array, Array]:
    """Return area and span from the two sizes that are written."""
    known = {size: read.number(f"{name}.{size}") for size in ("area", "span", "aspect_ratio", "mean_chord")}
    area, span, aspect, chord = known.values()
    span = _first(span, area / chord, np.sqrt(area * aspect), aspect * chord)
    return _first(area, span * chord, span**2 / aspect), span


def _first(*values: Array) -> Array:
    out = values[0]
    for value in values[1:]:
        out = np.where(np.isnan(out), value, out)
    return out


def _mast(read: Reader) -> c.Mast:
    material = read.names("mast.material")
    return c.Mast(
        section=read.names("mast.section"),
        finish=read.names("mast.finish"),
        density=_stuff(material, "density"),
        modulus=_stuff(material, "modulus"),
        sealed=_is(read.names("mast.floods"), "sealed"),
        mass_ratio=np.ones(read.designs),
        **_numbers(read, "mast", "length chord x fill"),
    )


def _fuselage(read: Reader, arm: Array) -> c.Fuselage:
    material = read.names("fuselage.material")
    length = read.number("fuselage.length")
    return c.Fuselage(
        length=np.where(np.isnan(length), arm + OVERHANG, length),
        arm=arm,
        density=_stuff(material, "density"),
        modulus=_stuff(material, "modulus"),
        mass_ratio=np.ones(read.designs),
        **_numbers(read, "fuselage", "diameter fill"),
    )


def _pod(read: Reader, mast: c.Mast) -> c.Pod:
    return c.Pod(
        x=mast.x + read.number("pod.ahead"),
        z=-mast.length + read.number("pod.above_wing"),
        behind=_is(read.names("pod.propeller"), "behind"),
        **_numbers(read, "pod", "diameter length mass"),
    )


def _drive(read: Reader) -> c.Drive:
    ratio = read.number("gear.ratio")
    blade = read.names("propeller.material")
    motor = _numbers(
        read,
        "motor",
        "speed_constant resistance idle_current idle_slope pole_pairs winding_limit thermal_resistance",
    )
    screw = _numbers(
        read,
        "propeller",
        "diameter pitch blades area_ratio root_chord root_thickness hub_diameter shaft_diameter"
        " pin_diameter bearing_load",
    )
    box = _numbers(
        read,
        "controller",
        "battery_current_limit phase_current_limit voltage_limit electrical_speed_limit duty_limit"
        " path_resistance standby",
    )
    return c.Drive(
        motor_mass=read.number("motor.mass"),
        motor_current_limit=read.number("motor.current_limit"),
        gear_ratio=ratio,
        gear_efficiency=np.where(ratio == 1.0, 1.0, read.number("gear.efficiency")),
        propeller_mass=read.number("propeller.mass"),
        blade_density=_stuff(blade, "density"),
        blade_strength=_stuff(blade, "strength"),
        controller_mass=read.number("controller.mass"),
        controller_x=read.number("controller.x"),
        controller_z=read.number("controller.z"),
        **_choices(read, "propeller", "finish hand nut_thread nut_lock thrust_bearing"),
        **_numbers(read, "wires", "phase_area phase_length"),
        **motor,
        **screw,
        **box,
    )


def _pack(read: Reader) -> c.Pack:
    return c.Pack(
        kind=read.names("cell.kind"),
        capacity=read.number("cell.capacity"),
        cell_mass=read.number("cell.mass"),
        cell_resistance=read.number("cell.resistance"),
        cell_current_limit=read.number("cell.current_limit"),
        temperature_limit=read.number("cell.temperature_limit"),
        mass_ratio=np.ones(read.designs),
        **_numbers(
            read,
            "pack",
            "series parallel x z packaging link_resistance temperature cooling start_charge stop_charge stop_voltage",
        ),
    )


def _ride(read: Reader) -> c.Ride:
    names = read.build.names["ride.leg"]
    legs = {
        field_name: np.stack([read.number(f"ride.leg.{name}.{field_name}") for name in names], axis=1)
        for field_name in ("speed", "time", "take_offs")
    }
    return c.Ride(names=names, reserve=read.number("ride.reserve"), home=read.number("ride.home"), **legs)
