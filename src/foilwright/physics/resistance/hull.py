"""The board from floating over the hump to planing, with the wing taking load off it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core import solve
from foilwright.core.model import Array, Mask, model
from foilwright.physics.resistance import prismatic
from foilwright.physics.resistance.allowances import rounded_edge
from foilwright.physics.resistance.prismatic import GRAVITY, RADIAN


@dataclass(frozen=True, slots=True, kw_only=True)
class Displacement:
    """A floating board: friction [N], wave [N] and their sum resistance [N]; outside."""

    friction: Array
    wave: Array
    resistance: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """The board at given load, speed and trim.

    resistance [N], load_point [m] ahead of the tail, wetted_length [m], planing_share [-] (0 floating,
    1 planing); outside.
    """

    resistance: Array
    load_point: Array
    wetted_length: Array
    planing_share: Array
    outside: Mask


@model(
    source="ITTC 1957 line and 1978 form factor; wave part of patch_wave",
    valid={
        "draught_ratio": (0.0, 0.08, "draught above 8 % of the length: too deep for a pressure patch"),
        "form_factor": (0.0, 0.5, "form factor beyond blunt boards"),
    },
)
def displacement(
    *, load: Array, speed: Array, length: Array, beam: Array, wetted_area: Array, wave_coefficient: Array,
    form_factor: Array, roughness_allowance: Array, density: Array, kinematic_viscosity: Array,
) -> Displacement:  # fmt: skip
    r"""Return the resistance of a floating board: friction with a form factor, and waves.

    Parameters
    ----------
    load : float or array
        Weight carried by the board [N].
    speed : float or array
        Speed through water [m/s].
    length : float or array
        Waterline length [m].
    beam : float or array
        Waterline beam [m].
    wetted_area : float or array
        Wetted area at this load and trim [m^2].
    wave_coefficient : float or array
        From `patch_wave_coefficient` [s^2/m^4].
    form_factor : float or array
        Addition for form, 0.15 (0.10 to 0.30) for blunt flat boards [-].
    roughness_allowance : float or array
        Addition to the friction coefficient [-].
    density : float or array
        Water density [kg/m^3].
    kinematic_viscosity : float or array
        Kinematic viscosity of the water [m^2/s].

    Returns
    -------
    Displacement
        Forces [N], of the broadcast shape.

    Notes
    -----
    .. math:: R = \tfrac12 \rho V^2 S [(1 + k) C_F + \Delta C_F] + c W^2/\rho
    """
    load, speed = np.asarray(load, dtype=np.float64), np.asarray(speed, dtype=np.float64)
    line = prismatic.friction(np.log10((speed + 1e-6) * length / kinematic_viscosity))
    per_area = 0.5 * density * speed * speed * ((1.0 + form_factor) * line + roughness_allowance)
    friction = per_area * wetted_area
    carried = np.maximum(load, 0.0)
    wave = (wave_coefficient / density) * carried * carried
    draught_ratio = load / (density * GRAVITY * length * length * beam)
    outside = displacement.mask(draught_ratio=np.maximum(draught_ratio, 0.0), form_factor=form_factor)
    return Displacement(friction=friction, wave=wave, resistance=friction + wave, outside=outside)


@model(
    source="upper bound for a nearly unloaded board: whole bottom wet as a flat plate, load at 2 degrees",
    valid={"trim": (0.0, 2.0 * RADIAN, "trim above 2 degrees: the planing formulas themselves hold")},
)
def skimming(
    *, load: Array, speed: Array, beam: Array, trim: Array, bottom_length: Array, density: Array,
    kinematic_viscosity: Array, roughness_allowance: Array | float = 0.0,
) -> Array:  # fmt: skip
    """Return the cap on the resistance of a planing board trimmed below the tests (under 2 degrees).

    Below 2 degrees the planing formula for friction is kept, but no answer may exceed this cap. In
    `board` the planing branch stays below it by itself, because it is left where the whole
    bottom would have to be wet.

    Parameters
    ----------
    load : float or array
        Weight carried by the board [N].
    speed : float or array
        Speed through water [m/s].
    beam : float or array
        Beam of the bottom [m].
    trim : float or array
        Angle of the bottom, nose up; says only whether the cap applies [rad].
    bottom_length : float or array
        Length of bottom that can be wet [m].
    density : float or array
        Water density [kg/m^3].
    kinematic_viscosity : float or array
        Kinematic viscosity of the water [m^2/s].
    roughness_allowance : float or array
        Addition to the friction coefficient [-].

    Returns
    -------
    float or array
        Largest resistance [N].
    """
    reynolds = (np.asarray(speed, dtype=np.float64) + 1e-6) * bottom_length / kinematic_viscosity
    area = np.asarray(beam, dtype=np.float64) * bottom_length + np.zeros_like(trim)
    friction = 0.5 * density * np.square(speed) * area * (prismatic.friction(np.log10(reynolds)) + roughness_allowance)
    cap: Array = friction + np.maximum(load, 0.0) * np.tan(2.0 * RADIAN)
    return cap


@model(
    source="Savitsky 1964 where planing; ITTC 1957 and Barratt 1965 where floating; the blend is a choice",
    valid={
        "trim": (2.0 * RADIAN, 15.0 * RADIAN, "planing at a trim outside the 2 to 15 degrees of the tests"),
        "draught_ratio": (0.0, 0.08, "draught above 8 % of the length: too deep for a pressure patch"),
    },
)
def board(
    *, load: Array, speed: Array, trim: Array, length: Array, bottom_length: Array, beam: Array,
    rest_load_point: Array, rest_wetted_area: Array, wave_coefficient: Array, rail_radius: Array,
    tail_edge_radius: Array, form_factor: Array, roughness_allowance: Array, density: Array,
    kinematic_viscosity: Array,
) -> Board:  # fmt: skip
    r"""Return resistance and load point of the board from floating over the hump to skimming.

    Floating below a speed coefficient V/sqrt(g b) of 0.7, planing above 1.2, blended between; floating
    also where the planing formulas would need more bottom than there is (from 0.8 of `bottom_length`
    on, wholly at its end) and below 1 degree of trim. Force and load point are blended alike.

    Pressure on a flat bottom gives W tan(trim) along the path. Planing it is that; floating it is the
    wave part, and at planing speeds, where the tail runs dry, the larger of the two, never their sum.
    With no load there is no resistance; it fades over the load that sinks the bottom by 1 mm.

    Parameters
    ----------
    load : float or array
        Weight carried by the board, what the wing leaves of it [N].
    speed : float or array
        Speed through water [m/s].
    trim : float or array
        Angle of the bottom, nose up [rad].
    length : float or array
        Waterline length [m].
    bottom_length : float or array
        Length of flat bottom from the tail to the nose rocker [m].
    beam : float or array
        Beam of the bottom at the tail half, rails taken as sharp [m].
    rest_load_point : float or array
        Where buoyancy acts at this load and trim, ahead of the tail [m].
    rest_wetted_area : float or array
        Wetted area floating at this load and trim [m^2].
    wave_coefficient : float or array
        From `patch_wave_coefficient` [s^2/m^4].
    rail_radius, tail_edge_radius : float or array
        Radius of the lower edge of rails and tail [m].
    form_factor : float or array
        Addition for form when floating [-].
    roughness_allowance : float or array
        Addition to the friction coefficient [-].
    density : float or array
        Water density [kg/m^3].
    kinematic_viscosity : float or array
        Kinematic viscosity of the water [m^2/s].

    Returns
    -------
    Board
        Force [N], lengths [m], share [-], of the broadcast shape.
    """
    load, speed, trim, beam = (np.asarray(v, dtype=np.float64) for v in (load, speed, trim, beam))
    carried = np.maximum(load, 0.0)
    floating = displacement(
        load=load, speed=speed, length=length, beam=beam, wetted_area=rest_wetted_area,
        wave_coefficient=wave_coefficient, form_factor=form_factor, roughness_allowance=roughness_allowance,
        density=density,
        kinematic_viscosity=kinematic_viscosity,
    )  # fmt: skip
    edge = rounded_edge(
        speed=speed, beam=beam, rail_radius=rail_radius, tail_edge_radius=tail_edge_radius, density=density
    )
    width = beam - edge.lost_beam
    tau = np.maximum(trim, 0.1 * RADIAN)
    squared, power = prismatic.squared(speed, width), (tau / RADIAN) ** 1.1
    suction = edge.lift_loss * carried / (edge.lift_loss + carried + 1e-9)
    pressed = carried + suction
    root = prismatic.root_of_wetted_ratio(prismatic.flat_plate_lift(pressed, speed, width, density) / power, squared)
    ratio = root * root
    wetted = ratio * width
    friction = prismatic.bottom_friction(
        root=root, power=power, speed=speed, beam=width, trim=tau, deadrise=np.zeros(()),
        roughness_allowance=np.asarray(roughness_allowance), density=density,
        kinematic_viscosity=kinematic_viscosity,
    )  # fmt: skip
    slope = np.tan(tau)
    edge_drag = suction * (0.0052 * (edge.turning - tau) / RADIAN)
    planing_force = pressed * slope + friction / np.cos(tau) + edge_drag
    centre = prismatic.centre(ratio, squared) * width
    centre = centre + (suction / (carried + 1e-9)) * (centre - np.minimum(centre, 0.6 * width))

    fast = solve.smoothstep(speed / np.sqrt(GRAVITY * beam), 0.7, 1.2)
    share = fast * solve.smoothstep(trim / RADIAN, 0.1, 1.0)
    share = share * solve.smoothstep(wetted / bottom_length, 1.0, 0.8)
    floating_force = floating.resistance + fast * np.maximum(carried * slope - floating.wave, 0.0)
    force = floating_force + share * (planing_force - floating_force)
    touching = np.minimum(carried / (0.001 * GRAVITY * density * beam * bottom_length), 1.0)
    outside = board.mask(
        trim=np.where(share > 0.0, trim, 0.1),
        draught_ratio=carried / (density * GRAVITY * length * length * beam),
    )
    return Board(
        resistance=force * touching,
        load_point=rest_load_point + share * (centre - rest_load_point),
        wetted_length=length + share * (wetted - length),
        planing_share=share,
        outside=outside,
    )
