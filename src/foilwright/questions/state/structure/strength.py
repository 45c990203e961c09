"""What every case uses of the strength of the mast, and how the mast gives; the worst of it by group of cases."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.core.shapes import column
from foilwright.craft import Craft
from foilwright.physics import beam, fatigue
from foilwright.questions.state.structure.cases import CARRIED, CASES, CYCLES, DOWN, TWIST, Cases
from foilwright.questions.state.structure.compliance import Compliance
from foilwright.questions.state.structure.stuff import HOT, IN_USE, Bears

NOTCH = 1.4
"""Stress at a root with a fillet over the plain one: prints feel it at once, tough metal the more the longer."""
LAYERS = 1.5
"""Notch of seams and layers of a print in the long run."""
WEIGHT_PROOF = 300.0
"""Side force at which a mast's stiffness is judged [N]."""
PROOF = 1.25
"""Proof load over the side slip."""
NEVER = 1e-12
"""A place that is not looked at: no strength is used there."""
SALTY, IN_SALT = 2.0, 0.5
"""Salt from which bare metal lasts a shorter time [g/kg], and the share of its strength left in the long run."""
LEAST = 1.0
"""Strength that stands for softened material [Pa]."""
BARS = 3
"""Layers of a section before its bars: wrap, wall, core."""
Flag = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Worst:
    """The worst of a group (n,): stress and strength where it breaks first, and what strength over stress must be."""

    stress: Array
    strength: Array
    needed: Array  # margin that every material there must have, in terms of the least one
    case: npt.NDArray[np.intp]  # case times stations plus station, within the group

    @property
    def used(self) -> Array:
        """Share of the strength that is used."""
        return self.stress / self.strength


@dataclass(frozen=True, slots=True, kw_only=True)
class Uses:
    """Utilisation at each case and station (n, cases, stations), the joint last: 1 is failure."""

    used: Array
    strength: Array  # Pa, of the layer that breaks first
    wanted: Array  # greatest utilisation times the factor of its material

    def worst(self, cases: Sequence[int]) -> Worst:
        """Return the worst of some cases."""
        used, strength, wanted = (values[:, list(cases)] for values in (self.used, self.strength, self.wanted))
        rows = np.arange(used.shape[0])
        flat = used.reshape(rows.size, -1)
        at = flat.argmax(axis=1)
        most, bears = flat[rows, at], strength.reshape(rows.size, -1)[rows, at]
        return Worst(
            stress=most * bears, strength=bears, case=at,
            needed=wanted.reshape(rows.size, -1).max(axis=1) / np.maximum(most, 1e-12) - 1.0,
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class MastStrength:
    """The mast."""

    uses: Uses
    tired: Uses  # after the stated rides
    crept: Uses  # straight flight for as long as a ride lasts
    joint: Uses  # at the joint nearest to the board
    deflection: Array  # (n,) m, at the wing under ``WEIGHT_PROOF``, base and all
    twist: Array  # (n,) rad, in the case that twists
    proof: Array  # (n,) N, sideways at its end
    proof_deflection: Array  # (n,) m
    lengthways: Array  # (n,) N m, at which it breaks lengthways at the base
    sideways: Array  # (n,) N m


@dataclass(frozen=True, slots=True, kw_only=True)
class _Layers:
    """Use of each layer (n, cases, stations, layers) without notches, what it bears in tension, its factor."""

    used: Array
    tension: Array
    gamma: Array

    def uses(self, easier: Array) -> Uses:
        """Return the layer that breaks first where each breaks ``easier`` times more easily."""
        used = self.used * easier
        at = used.argmax(axis=-1)[..., None]
        return Uses(
            used=np.take_along_axis(used, at, -1)[..., 0],
            strength=np.take_along_axis(np.broadcast_to(self.tension / easier, used.shape), at, -1)[..., 0],
            wanted=(used * self.gamma).max(axis=-1),
        )


def _bears(kinds: Sequence[Bears]) -> dict[str, Array]:
    """Return what the layers of the mast bear (n, cases, 1, layers)."""
    warm = np.full(len(CASES), IN_USE)
    warm[CARRIED] = HOT
    return {
        name: np.maximum(np.stack([getattr(each, name)[:, warm] for each in kinds], axis=-1), LEAST)[:, :, None, :]
        for name in ("tension", "compression", "shear")
    }


def _layers(section: beam.Section, acting: dict[str, Array], bears: dict[str, Array], gamma: Array) -> _Layers:
    """Return the use of wrap, wall and bars of a section (n, 1) under loads (n, cases, stations)."""
    stress = section.spread(1).stresses(**acting)
    shown = _kept(section)
    parts = {name: getattr(stress, name)[..., shown] for name in bears}
    used = beam.utilisation(**parts, **{f"{name}_strength": values for name, values in bears.items()})
    return _Layers(used=used, tension=bears["tension"], gamma=gamma)


def _kept(section: beam.Section) -> list[int]:
    """Return the layers that count: wrap, wall and bars; a core that cracks is not the end."""
    return [beam.WRAP, beam.WALL, *range(BARS, section.modulus.shape[-1])]


def mast_strength(craft: Craft, loads: Cases, stuffs: dict[str, Bears], held: Compliance, ride: Array) -> MastStrength:
    """Return the strength and stiffness of every mast; ``ride`` is the time of one ride (n,) [s]."""
    n, joints = craft.designs, craft.structure.joints
    kinds = [stuffs["laminate"], stuffs["mast"], *[stuffs["spar"]] * (held.mast.modulus.shape[-1] - BARS)]
    first = 1.0 / np.maximum(joints.pieces, 2.0)
    acting = _acting(loads, np.concatenate([np.broadcast_to(DOWN, (n, DOWN.size)), first[:, None]], axis=1))
    bears = _bears(kinds)
    gamma = np.stack([each.gamma for each in kinds], axis=-1)[:, None, None, :]
    easier = _easier(craft, kinds, stuffs["mast"].is_print, ride)
    whole = _layers(held.mast, acting, bears, gamma)
    made: dict[str, Any] = {name: whole.uses(each) for name, each in easier.items()}
    if held.mast_bare is not None:
        bare = _layers(held.mast_bare, acting, bears, gamma)
        made = {name: _better(each, bare.uses(easier[name])) for name, each in made.items()}
    return MastStrength(**made, **_stiffness(craft, loads, held, bears))


def _easier(craft: Craft, kinds: Sequence[Bears], brittle: Flag, ride: Array) -> dict[str, Array]:
    """Return how much more easily layers break: at a notch, after many rides, after a long one, at a joint."""
    n, wall = craft.designs, 1
    root = np.ones((n, 1, DOWN.size + 1, len(kinds)))
    root[:, 0, 0, wall] = np.where(brittle, NOTCH, 1.0)
    cycles = np.maximum(column(craft.structure.loads.rides * ride / fatigue.HOUR) * CYCLES, 1.0)
    feels = NOTCH ** np.minimum(np.log10(cycles) / 6.0, 1.0)
    long = np.ones((n, len(CASES), DOWN.size + 1, len(kinds)))
    long[:, :, 0, :] = feels[..., None]
    long[:, :, 0, wall] = np.where(brittle[:, None], NOTCH, feels)
    long[..., wall] *= np.where(brittle, LAYERS, 1.0)[:, None, None]
    salt = np.where(craft.water.salinity > SALTY, IN_SALT, 1.0)
    lasting = np.stack([np.where(each.is_metal, salt, 1.0) * each.million for each in kinds], axis=-1)
    left = fatigue.life_share(
        cycles=cycles[..., None], at_thousand=np.stack([each.thousand for each in kinds], axis=-1)[:, None, :],
        at_million=lasting[:, None, :],
    )  # fmt: skip
    crept = fatigue.creep_strength(
        time=np.maximum(ride, 1.0)[:, None], at_hours=np.stack([each.hours for each in kinds], axis=-1),
        standing=np.stack([each.standing for each in kinds], axis=-1),
    )  # fmt: skip
    weak = np.zeros((n, 1, DOWN.size + 1, len(kinds))) + NEVER
    weak[:, 0, -1, :] = 1.0
    joints = craft.structure.joints
    weak[:, 0, -1, wall] = 1.0 / np.where(joints.pieces > 1.0, np.maximum(joints.share, 1e-6), 1.0)
    root[:, 0, -1] = long[:, :, -1] = NEVER
    return {"uses": root, "tired": long / left[:, :, None, :], "crept": root / crept[:, None, None, :], "joint": weak}


def _better(one: Uses, other: Uses) -> Uses:
    """Return at each place the one that holds longer: where a wrap tears first, the bare print still stands."""
    bare = other.used < one.used
    names = ("used", "strength", "wanted")
    return Uses(**{name: np.where(bare, getattr(other, name), getattr(one, name)) for name in names})


def _acting(loads: Cases, down: Array) -> dict[str, Array]:
    """Return forces and moments at shares of the length (n, cases, stations)."""
    side, long = loads.shear(down)
    shape = side.shape
    return {
        "moment_flat": loads.sideways(down), "moment_edge": loads.lengthways(down), "shear_force_flat": side,
        "shear_force_edge": long, "torque": np.broadcast_to(loads.torque[..., None], shape),
        "axial_force": np.broadcast_to(-loads.press[..., None], shape),
    }  # fmt: skip


def _stiffness(craft: Craft, loads: Cases, held: Compliance, bears: dict[str, Array]) -> dict[str, Any]:
    section, length = held.mast, craft.mast.length
    bend = beam.cantilever(
        place=length[:, None] * np.array([0.0, 1.0]), bending_stiffness=section.stiff_flat,
        force=np.array([0.0, WEIGHT_PROOF]), root_stiffness=held.base, shear_stiffness=section.shear_flat,
    ).deflection[:, 1]  # fmt: skip
    proof = PROOF * loads.roll_cap / length
    return {
        "deflection": bend, "twist": loads.torque[:, TWIST] * length / section.stiff_twist[:, 0],
        "proof": proof, "proof_deflection": bend * proof / WEIGHT_PROOF,
        "lengthways": _breaking(section, bears, "moment_edge"), "sideways": _breaking(section, bears, "moment_flat"),
    }  # fmt: skip


def _breaking(section: beam.Section, bears: dict[str, Array], moment: str) -> Array:
    """Return the moment at which a mast breaks one way (n,) [N m]."""
    kept = _kept(section)
    stress = section.stresses(**{moment: 1.0})
    used = np.maximum(
        stress.tension[:, 0, kept] / bears["tension"][:, 0, 0, :],
        stress.compression[:, 0, kept] / bears["compression"][:, 0, 0, :],
    )
    out: Array = 1.0 / np.maximum(used.max(axis=1), 1e-12)
    return out


def along_mast(loads: Cases, mast: MastStrength) -> dict[str, Array]:
    """Return what acts along the mast of the first design, over all cases in the water, from the board down."""
    down = np.sort(np.append(np.linspace(0.0, 1.0, 41), loads.shaft[0] / loads.length[0]))
    side, long = (np.abs(each[0, :CARRIED]) for each in (loads.sideways(down), loads.lengthways(down)))
    used = np.hypot(side / mast.sideways[0], long / mast.lengthways[0])
    return {
        "below_board": down * loads.length[0], "moment_sideways": side.max(axis=0),
        "moment_lengthways": long.max(axis=0), "breaks_sideways": np.full(down.size, mast.sideways[0]),
        "breaks_lengthways": np.full(down.size, mast.lengthways[0]), "used": used.max(axis=0),
    }  # fmt: skip
