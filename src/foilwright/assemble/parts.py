"""Each part of the craft from its fields."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright import craft as c
from foilwright.assemble.reader import Array, Reader, numbers, same
from foilwright.assemble.shapes import shapes
from foilwright.assemble.structure import is_printed, properties, solid, standing

SALINITY = {"fresh": 0.0, "brackish": 10.0, "sea": 35.165}
"""Salt of the kinds of water [g/kg]; sea: TEOS-10 reference salinity."""
ROUGHNESS = {"painted": 0.0, "sanded": 0.0002, "rough": 0.0008}
"""Allowance on the friction coefficient: 0.0004 is usual for boats (ITTC practice), less when sanded."""
OVERHANG = 0.12
"""What a fuselage usually stands out beyond the two quarter chords together [m]."""


def choices(read: Reader, table_name: str, names: str) -> dict[str, Any]:
    """Return several choices of one table by name."""
    return {name: read.names(f"{table_name}.{name}") for name in names.split()}


def water(read: Reader) -> c.Water:
    """Return where the craft runs."""
    salinity = read.number("water.salinity")
    by_kind = np.array([SALINITY[kind] for kind in read.names("water.kind")])
    return c.Water(
        salinity=np.where(np.isnan(salinity), by_kind, salinity),
        **numbers(read, "water", "temperature depth chop wind"),
    )


def board(read: Reader) -> c.Board:
    """Return the board."""
    return c.Board(
        roughness=np.array([ROUGHNESS[finish] for finish in read.names("board.finish")]),
        mass_ratio=np.ones(read.designs),
        **numbers(
            read,
            "board",
            "length width thickness tail_width nose_width wide_point nose_rocker rocker_start"
            " nose_thickness rail_radius tail_edge_radius foam_density foam_uptake skin_mass form_factor"
            " not_thought_of",
        ),
    )


def listed(read: Reader) -> c.Parts:
    """Return the listed parts."""
    names = read.build.names["part"]
    shape = (read.designs, len(names))

    def stack(field_name: str) -> Array:
        columns = [read.number(f"part.{name}.{field_name}") for name in names]
        return np.stack(columns, axis=1) if columns else np.zeros(shape)

    def where(field_name: str, wanted: str) -> npt.NDArray[np.bool_]:
        columns = [same(read.names(f"part.{name}.{field_name}"), wanted) for name in names]
        return np.stack(columns, axis=1) if columns else np.zeros(shape, dtype=bool)

    return c.Parts(
        names=names,
        in_hull=where("place", "hull"),
        below=where("place", "below"),
        sealed=where("water", "sealed"),
        floods=where("water", "floods"),
        **{name: stack(name) for name in ("mass", "x", "y", "z", "volume", "free_volume")},
    )


def surface(read: Reader, name: str, *, x: Array, z: Array) -> c.Surface:
    """Return a lifting surface whose quarter chord is at a place."""
    area, span = _sizes(read, name)
    section = shapes(read, f"{name}.section")
    made = properties(read, read.names(f"{name}.material"))
    level = np.zeros(read.designs)
    twisted = read.number("measured.wing_twist_left_right") if name == "wing" and read.as_built else level
    return c.Surface(
        area=area,
        span=span,
        section=section,
        finish=read.names(f"{name}.finish"),
        density=made.density,
        modulus=made.modulus,
        fill=solid(read, name, section, area / span),
        mass_ratio=np.ones(read.designs),
        x=x,
        z=z,
        twist_left_right=twisted,
        **numbers(read, name, "taper sweep dihedral twist incidence"),
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


def mast(read: Reader) -> c.Mast:
    """Return the mast."""
    made = properties(read, read.names("mast.material"))
    section, chord = shapes(read, "mast.section"), read.number("mast.chord")
    return c.Mast(
        section=section,
        finish=read.names("mast.finish"),
        density=made.density,
        modulus=made.modulus,
        chord=chord,
        fill=solid(read, "mast", section, chord),
        sealed=same(read.names("mast.floods"), "sealed"),
        mass_ratio=np.ones(read.designs),
        **numbers(read, "mast", "length x"),
    )


def fuselage(read: Reader, arm: Array) -> c.Fuselage:
    """Return the fuselage."""
    made = properties(read, read.names("fuselage.material"))
    up = standing(read, "fuselage", "lying") & is_printed(made.names)
    length = read.number("fuselage.length")
    return c.Fuselage(
        length=np.where(np.isnan(length), arm + OVERHANG, length),
        arm=arm,
        density=made.density,
        modulus=np.where(up, made.modulus_across, made.modulus)
        * np.where(is_printed(made.names), left_alone(read, "factors", STIFFER)[STIFFER], 1.0),
        mass_ratio=np.ones(read.designs),
        **numbers(read, "fuselage", "diameter fill"),
    )


def pod(read: Reader, mast: c.Mast) -> c.Pod:
    """Return the motor housing."""
    return c.Pod(
        x=mast.x + read.number("pod.ahead"),
        z=-mast.length + read.number("pod.above_wing"),
        behind=same(read.names("pod.propeller"), "behind"),
        filling=read.names("pod.filling"),
        **numbers(read, "pod", "diameter length mass seal_limit"),
    )


MOTOR_HEAT, STIFFER = "motor_heat_resistance", "print_stiffness"


def left_alone(read: Reader, table: str, names: str) -> dict[str, Array]:
    """Return factors that are one where they are left out."""
    return {name: np.nan_to_num(read.number(f"{table}.{name}"), nan=1.0) for name in names.split()}


def drive(read: Reader) -> c.Drive:
    """Return motor, gear, propeller and controller."""
    ratio = read.number("gear.ratio")
    blade = properties(read, read.names("propeller.material"))
    motor = numbers(
        read,
        "motor",
        "speed_constant resistance idle_current idle_slope pole_pairs winding_limit thermal_resistance",
    )
    screw = numbers(
        read,
        "propeller",
        "diameter pitch blades area_ratio root_chord root_thickness hub_diameter shaft_diameter"
        " pin_diameter bearing_load",
    )
    motor["thermal_resistance"] = motor["thermal_resistance"] * left_alone(read, "factors", MOTOR_HEAT)[MOTOR_HEAT]
    box = numbers(
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
        blade_density=blade.density,
        blade_strength=blade.proof,
        controller_mass=read.number("controller.mass"),
        controller_x=read.number("controller.x"),
        controller_z=read.number("controller.z"),
        **choices(read, "propeller", "finish hand nut_thread nut_lock thrust_bearing"),
        **numbers(read, "wires", "phase_area phase_length"),
        **motor,
        **screw,
        **box,
    )


def pack(read: Reader) -> c.Pack:
    """Return cells and pack."""
    return c.Pack(
        kind=read.names("cell.kind"),
        capacity=read.number("cell.capacity"),
        cell_mass=read.number("cell.mass"),
        cell_resistance=read.number("cell.resistance"),
        cell_current_limit=read.number("cell.current_limit"),
        temperature_limit=read.number("cell.temperature_limit"),
        mass_ratio=np.ones(read.designs),
        **numbers(
            read,
            "pack",
            "series parallel x z packaging link_resistance temperature cooling start_charge stop_charge stop_voltage",
        ),
    )


def ride(read: Reader) -> c.Ride:
    """Return the ride."""
    names = read.build.names["ride.leg"]
    legs = {
        field_name: np.stack([read.number(f"ride.leg.{name}.{field_name}") for name in names], axis=1)
        for field_name in ("speed", "time", "take_offs")
    }
    return c.Ride(names=names, reserve=read.number("ride.reserve"), home=read.number("ride.home"), **legs)
