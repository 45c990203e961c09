"""Wing, stabiliser, fuselage, motor mount and board under their load cases."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import beam, fatigue, joint, laminate
from foilwright.physics.water import Water
from foilwright.questions.state.flight import Flight
from foilwright.questions.state.structure.cases import Cases
from foilwright.questions.state.structure.compliance import ALONG, Compliance
from foilwright.questions.state.structure.strength import LEAST, NOTCH
from foilwright.questions.state.structure.stuff import IN_USE, Bears, bearing

WING_CASES = ("touchdown", "hard turn")
SWING = 0.3
"""Swing of the lift in chop and pumping, share of the weight (judgement)."""
FLIGHT_CYCLES = 6000.0
"""Of that swing in an hour."""
FUSELAGE_CASES = ("touchdown on the wing", "push on the stabiliser")
ONE_SIDED = 0.1
"""Roll couple of one-sided lift over lift times span (judgement)."""
SPAN = 0.85
"""Distance of two crests that carry the board, share of its length."""
NARROW = 0.75
"""Mean width of the board over its greatest."""
HEEL = 50e-4
"""Patch of a heel or knee [m^2]."""
INSERT_LENGTH = 2.0
"""Length of a heat-set insert over its thread."""
INSERT_WIDE = 1.4
"""Its diameter over that of its thread."""
_UNIT = np.sqrt(1.0 - ALONG * ALONG)
_LEFT = (1.0 - ALONG * ALONG) * _UNIT / 3.0 - ALONG * (0.25 * np.pi - 0.5 * (ALONG * _UNIT + np.arcsin(ALONG)))
BENT: Array = np.maximum(_LEFT, 0.0) / (0.25 * np.pi)
"""Moment of an elliptic lift at the stations of a half wing, over its lift times the half span."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """A part under its cases: (n, cases), (n,)."""

    stress: Array
    strength: Array
    gamma: Array  # (n,)


@dataclass(frozen=True, slots=True, kw_only=True)
class WingStrength:
    """Wing or stabiliser."""

    bent: Bent
    tired: Bent  # (n, 1)
    deflection: Array  # (n,) m, of the tip in straight flight
    half: Array  # (n,) m, half span
    divergence: Array  # (n,) m/s


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """The other parts."""

    wing: WingStrength
    stabiliser: WingStrength
    fuselage: Bent
    half_speed: Array  # (n,) m/s, at which bending of the fuselage halves the stabiliser's effect
    socket: Array  # (n, 2) Pa
    socket_bears: Array  # (n,) Pa
    mount: Array  # (n,) N, on a screw of the motor
    mount_bears: Array
    face: Array  # (n, 2) Pa: stress of the skin where it breaks, where it wrinkles
    face_bears: Array  # (n, 2) Pa
    face_gamma: Array  # (n,)
    core: Array  # (n,) Pa, shear
    core_bears: Array
    heel: Array  # (n,) Pa, on the foam under a heel
    slam: Array  # (n,) Pa
    foam: Array  # (n,) Pa, what the foam bears pressed


def holding(
    craft: Craft, water: Water, loads: Cases, stuffs: dict[str, Bears], held: Compliance, flight: Flight,
    torque: Array, ride: Array,
) -> Holding:  # fmt: skip
    """Return what the cases ask of every other part; ``torque`` of the motor at a standstill, time of a ride (n,)."""
    wings = _wings(craft, water, stuffs, held, flight, loads, ride)
    steep = 0.5 * water.density * craft.stabiliser.area * flight.foils.stabiliser.slope[:, 0]
    return Holding(
        half_speed=1.0 / np.sqrt(np.maximum(-steep * held.flex.stabiliser.force, 1e-12)),
        wing=wings[0], stabiliser=wings[1], **_fuselage(craft, loads, stuffs), **_mount(craft, stuffs, loads, torque),
        **_board(craft, loads, stuffs, held),
    )  # fmt: skip


def _wings(
    craft: Craft, water: Water, stuffs: dict[str, Bears], held: Compliance, flight: Flight, loads: Cases, ride: Array,
) -> list[WingStrength]:  # fmt: skip
    """Return the strength of wing and stabiliser, worked out one below the other."""
    n, f, weight = craft.designs, craft.structure.loads, loads.weight
    half = _both(
        np.stack([f.touchdown * f.uneven * weight, 0.5 * weight / np.cos(f.bank), 0.5 * weight], axis=1),
        np.stack([0.5 * f.stabiliser * weight] * 2 + [0.25 * f.stabiliser * weight], axis=1),
    )
    span = 0.5 * _both(craft.wing.span, craft.stabiliser.span)
    layers = {
        name: np.stack([_both(*(getattr(stuffs["laminate"], name),) * 2), _both(*(getattr(stuffs[part], name)
        for part in ("wing", "stabiliser")))], axis=-1)
        for name in ("tension", "compression", "gamma", "thousand", "million")
    }  # fmt: skip
    bears = np.maximum(np.minimum(layers["tension"], layers["compression"])[:, IN_USE], LEAST)
    cycles = np.maximum(f.rides * ride / fatigue.HOUR * FLIGHT_CYCLES, 1.0)
    left = fatigue.life_share(
        cycles=np.tile(cycles, 2)[:, None], at_thousand=layers["thousand"], at_million=layers["million"]
    )
    moment = half * span[:, None]
    bent = _bend(held, moment, bears, layers["gamma"])
    swing = _bend(held, SWING * NOTCH * moment[:, -1:], bears * left, layers["gamma"])
    strength = bent.strength[:, -1:]
    used = fatigue.goodman(
        amplitude=swing.stress, mean_stress=bent.stress[:, -1:], fatigue_strength=swing.strength,
        tension_strength=strength,
    )  # fmt: skip
    lift = _UNIT * (half[:, -1] / (0.25 * np.pi * span))[:, None]
    tip = beam.cantilever(
        place=ALONG * span[:, None], bending_stiffness=held.wings.stiff_flat, spread_load=lift
    ).deflection[:, -1]
    fast = _divergence(craft, water, held, flight)
    return [
        WingStrength(
            bent=Bent(stress=bent.stress[rows, :-1], strength=bent.strength[rows, :-1], gamma=bent.gamma[rows, :-1]),
            tired=Bent(stress=(used * strength)[rows], strength=strength[rows], gamma=bent.gamma[rows, -1:]),
            deflection=tip[rows], half=span[rows], divergence=fast[rows],
        )
        for rows in (slice(0, n), slice(n, 2 * n))
    ]  # fmt: skip


def _both(wing: Array, stabiliser: Array) -> Array:
    """Return the rows of the wing and those of the stabiliser below them."""
    return np.concatenate([wing, stabiliser])


def _bend(held: Compliance, moment: Array, bears: Array, gammas: Array) -> Bent:
    """Return the worst of stations and layers for each case; ``moment`` is half lift times half span (2 n, cases)."""
    whole = _worst(held.wings, [beam.WRAP, beam.WALL], moment, bears, gammas)
    if held.wings_bare is None:
        return whole
    return _longer(whole, _worst(held.wings_bare, [beam.WALL], moment, bears[:, 1:], gammas[:, 1:]))


def _worst(section: beam.Section, kept: list[int], moment: Array, bears: Array, gammas: Array) -> Bent:
    unit = section.modulus[..., kept] * section.height[..., kept] * (BENT / section.stiff_flat)[..., None]
    used = moment[:, :, None, None] * (unit / bears[:, None, :])[:, None]
    flat = used.reshape(*used.shape[:2], -1)
    at = flat.argmax(axis=-1)
    strength = np.take_along_axis(bears, at % len(kept), axis=1)
    most = np.take_along_axis(flat, at[..., None], -1)[..., 0]
    wanted = (used * gammas[:, None, None, :]).reshape(flat.shape).max(axis=-1)
    return Bent(stress=most * strength, strength=strength, gamma=wanted / np.maximum(most, 1e-12))


def _longer(one: Bent, other: Bent) -> Bent:
    """Return for each case the one that holds longer."""
    bare = other.stress / other.strength < one.stress / one.strength
    return Bent(
        **{name: np.where(bare, getattr(other, name), getattr(one, name)) for name in ("stress", "strength", "gamma")}
    )


def _divergence(craft: Craft, water: Water, held: Compliance, flight: Flight) -> Array:
    """Return the divergence speeds of wing and stabiliser (2 n,) [m/s]."""
    wing, tail, foils = craft.wing, craft.stabiliser, flight.foils
    return beam.divergence(
        torsion_stiffness=held.twist, span=_both(wing.span, tail.span),
        chord=_both(wing.area / wing.span, tail.area / tail.span), lift_ahead=held.ahead,
        section_slope=_both(foils.wing.section_slope.max(axis=1), foils.stabiliser.section_slope.max(axis=1)),
        density=np.tile(water.density, 2),
    )  # fmt: skip


def _fuselage(craft: Craft, loads: Cases, stuffs: dict[str, Bears]) -> dict[str, Any]:
    f, mast, bears, given = craft.fuselage, craft.mast, stuffs["fuselage"], craft.structure.loads
    tube = beam.round_bar(diameter=f.diameter, bore=f.diameter * np.sqrt(1.0 - f.fill))
    lift, push = given.touchdown * loads.weight, given.stabiliser * loads.weight
    ahead = np.maximum(np.abs(craft.wing.x - (mast.x - 0.5 * mast.chord)) - 0.5 * mast.chord, 0.0)
    behind = np.maximum(mast.x - mast.chord - craft.stabiliser.x, 0.0)
    moment = np.stack([lift * ahead, push * behind], axis=1)
    torque = np.stack([ONE_SIDED * lift * craft.wing.span * (2.0 * given.uneven - 1.0) / 0.2, 0.0 * push], axis=1)
    stress = moment * (tube.half_height / tube.flat)[:, None]
    turned = torque * (tube.half_height / tube.torsion)[:, None]
    used = beam.utilisation(
        tension=stress, compression=stress, shear=turned, tension_strength=bears.tension[:, :1],
        compression_strength=bears.compression[:, :1], shear_strength=bears.shear[:, :1],
    )  # fmt: skip
    strength = np.maximum(np.minimum(bears.tension, bears.compression)[:, :1], LEAST)
    held = joint.socket(
        moment=moment, cross_force=np.stack([0.0 * lift, push], axis=1),
        engagement=craft.structure.joints.socket[:, None], width=f.diameter[:, None],
    )  # fmt: skip
    return {
        "fuselage": Bent(stress=used * strength, strength=np.broadcast_to(strength, used.shape), gamma=bears.gamma),
        "socket": held.pressure, "socket_bears": bearing(bears.names).hole,
    }  # fmt: skip


def _mount(craft: Craft, stuffs: dict[str, Bears], loads: Cases, torque: Array) -> dict[str, Any]:
    """Return the load on a screw of the motor at full throttle, and what it bears."""
    j, host = craft.structure.joints, stuffs["mount"]
    bolt = joint.fastener(sizes=j.mount_size, grades=("a2-70",) * craft.designs)
    thrust = loads.thrust.max(axis=1)
    share = np.hypot(thrust / j.mount_bolts, torque / (0.5 * j.mount_circle * j.mount_bolts))
    pulled = joint.insert_pull_out(
        diameter=INSERT_WIDE * bolt.diameter, length=INSERT_LENGTH * bolt.diameter,
        shear_strength=0.5 * host.tension[:, IN_USE],
    )  # fmt: skip
    return {"mount": share, "mount_bears": np.where(j.inserts, pulled, SHEAR * bolt.proof)}


SHEAR = 0.6
"""Shear over tension of a screw."""


def _board(craft: Craft, loads: Cases, stuffs: dict[str, Bears], held: Compliance) -> dict[str, Any]:
    b, s, given = craft.board, craft.structure, craft.structure.loads
    skin, foam = stuffs["laminate"], stuffs["foam"]
    bottom, deck = held.ply * s.laminate.bottom, held.ply * s.laminate.deck
    width = NARROW * b.width
    strip = laminate.sandwich(
        width=width, core_thickness=b.thickness - 2.0 * bottom, face_thickness=bottom, face_modulus=skin.modulus,
        core_modulus=foam.modulus, core_shear_modulus=foam.shear_modulus,
    )  # fmt: skip
    made = laminate.sandwich_beam(
        bending_stiffness=strip.bending, shear_stiffness=strip.shear, depth=strip.depth, face_thickness=bottom,
        width=width, length=SPAN * b.length, load=given.dynamic * loads.weight, case="supported, middle load",
    )  # fmt: skip
    wrinkles = laminate.wrinkling(
        face_modulus=skin.modulus, core_modulus=foam.modulus, core_shear_modulus=foam.shear_modulus
    )
    dent = laminate.heel(
        load=given.fall * loads.rider, patch_radius=s.laminate.pad + np.sqrt(HEEL / np.pi), face_thickness=deck,
        face_modulus=skin.modulus, face_poisson=skin.poisson, core_thickness=b.thickness, core_modulus=foam.modulus,
    )  # fmt: skip
    breaks = np.minimum(skin.tension, skin.compression)[:, IN_USE]
    return {
        "face": np.stack([made.face_stress] * 2, axis=1), "face_bears": np.stack([breaks, wrinkles], axis=1),
        "face_gamma": skin.gamma, "core": made.core_shear, "core_bears": foam.shear[:, IN_USE],
        "heel": dent.pressure, "slam": given.slam, "foam": foam.compression[:, IN_USE],
    }  # fmt: skip
