"""What keeps the box shut: seal, fastenings, and the relief of a cell that vents."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import box, joint, material, seal
from foilwright.questions.state.dryness import Dryness
from foilwright.questions.state.level import is_named, or_else

SPONGE_LEAST, CORD_LEAST = 0.10, 0.07
"""Squeeze that still seals [-]: sponge of any grade, cord (practice)."""
SPONGE_MOST, CORD_FILL = 0.50, 0.85
"""Squeeze at which sponge takes a set, and share of the groove that a cord may fill [-]."""
CORD_SPREAD = 1.0 / 3.0
"""How far the load of cords of one hardness differs to either side [-]."""
CONTACT = 2.4
"""Width of a cord's contact over squeeze and diameter [-]; estimate."""
GIVEN_UP = 0.25
"""Share of its squeeze that a seal may lose between two fastenings [-]; practice."""
PITCHES = {"metal": 0.10, "other": 0.08}
"""Longest pitch of practice [m]: stiff metal or laminate lids, and plastic or wood."""
METAL = ("aluminium", "glass laminate", "carbon laminate")
DESIGN_SHARE = 0.25
"""Share of the mean pull-out of an insert that is used [-]."""
ONCE = 2.0
"""What a fastening holds once, over the force that it holds for good [-]; estimate."""
GAS_TEMPERATURE = 450.0
"""Of air and gas once a cell vents, 350 to 600 [K]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sealing:
    """Seal, fastenings and relief; arrays (n,), NaN where an open field decides."""

    cord: npt.NDArray[np.bool_]
    squeeze: Array  # when shut
    left: Array  # of it when aged, midway between fastenings
    least: Array  # that still seals
    crowding: Array  # squeeze of sponge, fill of a cord's groove
    room: Array  # most of that
    contact: Array  # Pa, lowest pressure of the seal when aged, midway
    pitch: Array  # m
    pitch_most: Array  # m
    each: Array  # N, on one fastening, box warm
    insert: Array  # N, that one insert holds for good
    growth: Array  # m, of the lid against the box between farthest screws
    vented: Array  # Pa, that a failing cell's gas reaches
    unvented: Array  # Pa, that it would reach without a relief
    gives_way: Array  # Pa, at which lid or fastenings let go


def sealing(craft: Craft, dry: Dryness) -> Sealing:
    """Work out what keeps every box shut."""
    b = craft.box
    strip = _strip(craft)
    perimeter, area = 2.0 * (b.lid_length + b.lid_width), b.lid_length * b.lid_width
    pitch = perimeter / b.fastenings
    bends: dict[str, Any] = {
        "flange_width": b.flange_width, "seal_width": strip.width, "modulus": dry.lid.modulus,
        "thickness": b.lid_thickness, "least_pressure": strip.low / strip.width,
        "most_pressure": strip.high / strip.width,
    }  # fmt: skip
    stand_off = np.asarray(seal.bow_between(pitch=pitch, **bends))
    left = np.asarray(
        seal.squeeze_left(
            squeeze=strip.squeeze, thickness=b.seal_thickness, compression_set=b.seal_set, stand_off=stand_off
        )
    )
    most = np.asarray(seal.fastening_pitch(allowed_bow=GIVEN_UP * strip.squeeze * b.seal_thickness, **bends))
    metal = is_named(b.lid_material, *METAL)
    closing = seal.closing_force(
        line_load=strip.high, perimeter=perimeter, pressure=dry.trapped.warm, lid_area=area, fastenings=b.fastenings
    )
    insert = _insert(craft)
    holds = np.where(is_named(b.fastening, "screws in inserts"), insert, b.fastening_limit)
    vented, unvented = _gas(craft, dry)
    lid_bears = dry.lid.strength * dry.lid.softened / dry.lid.stress
    shut = (ONCE * holds * b.fastenings - strip.typical * perimeter) / area
    return Sealing(
        cord=strip.cord, squeeze=strip.squeeze, left=left, least=np.where(strip.cord, CORD_LEAST, SPONGE_LEAST),
        crowding=np.where(strip.cord, strip.fill, strip.squeeze),
        room=np.where(strip.cord, CORD_FILL, SPONGE_MOST),
        contact=_contact(strip, left), pitch=pitch,
        pitch_most=np.minimum(most, np.where(metal, PITCHES["metal"], PITCHES["other"])),
        each=closing.each, insert=insert,
        growth=np.asarray(
            box.hole_clearance(
                length=np.hypot(b.lid_length, b.lid_width), expansion=dry.lid.expansion,
                temperature_range=np.maximum(b.hottest, b.closed_temperature) - craft.water.temperature,
            )
        ),
        vented=vented, unvented=unvented, gives_way=np.fmin(lid_bears, np.maximum(shut, 0.0)),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Strip:
    """The seal as a strip: line loads [N/m]."""

    cord: npt.NDArray[np.bool_]
    squeeze: Array
    fill: Array
    width: Array
    low: Array
    typical: Array
    high: Array
    softest: Array  # Pa, lowest pressure of sponge at its own squeeze


def _strip(craft: Craft) -> _Strip:
    b = craft.box
    cord, unstated = is_named(b.seal, "cord"), is_named(b.seal, "")
    groove = seal.cord_groove(cord_diameter=b.seal_thickness, groove_depth=b.groove_depth, groove_width=b.groove_width)
    squeeze = np.where(unstated, np.nan, np.where(cord, groove.squeeze, b.seal_squeeze))
    grades = tuple("2x1" if name in ("cord", "") else name.removeprefix("sponge ") for name in b.seal)
    sponge = seal.sponge_pressure(grade=grades, squeeze=squeeze)
    held = np.maximum(squeeze, 0.02)
    load = np.asarray(
        seal.cord_line_load(
            diameter=b.seal_thickness, squeeze=held, modulus=np.asarray(seal.rubber_modulus(hardness=b.cord_hardness))
        )
    )
    return _Strip(
        cord=cord, squeeze=squeeze, fill=groove.fill,
        width=np.where(cord, CONTACT * held * b.seal_thickness, b.seal_width),
        low=np.where(cord, load * (1.0 - CORD_SPREAD), sponge.low * b.seal_width),
        typical=np.where(cord, load, sponge.typical * b.seal_width),
        high=np.where(cord, load * (1.0 + CORD_SPREAD), sponge.high * b.seal_width),
        softest=sponge.low,
    )  # fmt: skip


def _contact(strip: _Strip, left: Array) -> Array:
    """Return the lowest pressure of the aged seal on the lid, midway between fastenings."""
    aged = np.clip(left, 0.0, None)
    share = aged / strip.squeeze
    sponge = strip.softest * share * (1.0 - strip.squeeze) / (1.0 - np.minimum(aged, 0.9))
    return np.where(strip.cord, strip.low / strip.width * np.sqrt(share), sponge)


def _insert(craft: Craft) -> Array:
    """Return the force that one threaded insert holds for good."""
    b = craft.box
    host = material.gather(names=or_else(b.insert_host, "printed pla"))
    pulled = np.asarray(
        joint.insert_pull_out(diameter=b.insert_diameter, length=b.insert_length, shear_strength=host.shear_across)
    )
    return np.where(is_named(b.insert_host, ""), np.nan, DESIGN_SHARE * pulled)


def _gas(craft: Craft, dry: Dryness) -> tuple[Array, Array]:
    """Return the pressure that a failing cell's gas reaches, and that it would reach in a shut box."""
    b = craft.box
    chemistry = tuple(kind.partition(" ")[0] for kind in craft.pack.kind)
    gas = box.cell_gas(chemistry=chemistry, capacity=craft.pack.capacity).high
    haste = box.venting_time(chemistry=chemistry).low
    warm = np.full(craft.designs, GAS_TEMPERATURE)
    shut = np.asarray(box.closed_vent_pressure(gas_volume=gas, volume=dry.trapped.volume, gas_temperature=warm))
    steady = np.asarray(
        box.relief_pressure(gas_rate=gas / haste, gas_temperature=warm, relief=np.nan_to_num(b.relief_area))
    )
    opened = np.maximum(steady, b.relief_pressure)
    none = b.relief_area <= 0.0
    vented = np.where(none, shut, np.minimum(shut, opened))
    return np.where(np.isnan(b.relief_area), np.nan, vented), shut
