"""Nodal analysis of many designs at once: voltages, currents, equivalent source, short circuits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.errors import ModelError
from foilwright.core.model import Array, Mask, model

Index = npt.NDArray[np.intp]
Flag = npt.NDArray[np.bool_]
Number = Array | Index | float
NEWTON_STEPS = 12
CLOSED = 1e-10
"""Change of voltage over open voltage at which several loads count as settled [-]."""
FAINT = 1e-3
"""Least current against which the closure is told [A]."""
RESISTANCE = (1e-7, 1e9, "conductances further apart than these leave no digits in a solution")


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """A network under load: branches b, joints j, loads k.

    ``voltage`` (..., j) of each joint over the minus joint of the first load [V]; ``current`` (..., b)
    out of the plus joint of each branch [A]; ``loss`` (..., b) heat in each branch [W]; ``drop``
    (..., b) voltage lost in it [V]; ``load_voltage`` and ``load_current`` (..., k) at the loads [V, A].
    ``open_voltage`` (..., k) without load [V], ``resistance`` (..., k) of the source that each load sees
    alone [ohm], ``share`` (..., k, b) change of current of a branch over that of a load [-],
    ``rest_current`` (..., b) without load [A]. ``closure`` (...,) is the largest current that does not
    add up at a joint over the largest current, a milliampere at least [-]. ``found`` (...,) is False, and
    the values under load NaN, where the voltage collapses.
    """

    voltage: Array
    current: Array
    loss: Array
    drop: Array
    load_voltage: Array
    load_current: Array
    open_voltage: Array
    resistance: Array
    share: Array
    rest_current: Array
    closure: Array
    found: Flag
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Shorts:
    """A dead short from each joint to one joint (..., j): current [A], open voltage [V], resistance [ohm].

    The current is 0 where the joint is not tied to the other by any branch.
    """

    current: Array
    open_voltage: Array
    resistance: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """Structure and conductances of a network, ready to be solved."""

    incidence: Array  # (b, j): 1 at the plus joint, -1 at the minus joint
    island: Index  # (j,) label of the connected part of each joint
    kept: Index  # joints whose voltage is unknown; one of each part is the reference
    conductance: Array  # (..., b)
    source: Array  # (..., b), open voltage

    @staticmethod
    def of(plus: Number, minus: Number, open_voltage: Number, resistance: Number, others: Index) -> Mesh:
        """Return the mesh; the first of ``others``, joints of loads, has zero voltage in its part."""
        p, m = np.asarray(plus).astype(np.intp), np.asarray(minus).astype(np.intp)
        source, ohms = np.broadcast_arrays(
            np.asarray(open_voltage, dtype=np.float64), np.asarray(resistance, dtype=np.float64)
        )
        if p.shape != m.shape or source.shape[-1:] != p.shape or not np.all(ohms > 0.0):
            raise ModelError("each branch needs two joints, an open voltage and a resistance above zero")
        joints = int(max(p.max(), m.max(), others.max())) + 1
        incidence = np.zeros((p.size, joints))
        incidence[np.arange(p.size), p] += 1.0
        incidence[np.arange(p.size), m] -= 1.0
        shut = np.isfinite(ohms)
        made = shut.reshape(-1, p.size)
        if np.any(made != made[0]):
            raise ModelError("a branch is open in all designs of a block or in none")
        island = _islands(joints, p[made[0]], m[made[0]])
        heads = {label: int(np.argmax(island == label)) for label in sorted(set(island.tolist()))}
        heads[int(island[others[0]])] = int(others[0])
        kept = np.flatnonzero(np.bincount(list(heads.values()), minlength=joints) == 0)
        conductance = np.where(shut, 1.0 / ohms, 0.0)
        return Mesh(
            incidence=incidence, island=island, kept=kept, conductance=conductance,
            source=np.where(shut, source, 0.0),
        )  # fmt: skip

    def inverse(self) -> Array:
        """Return the inverse of the nodal matrix: joint voltages over the currents sent into the kept joints."""
        across = self.incidence[:, self.kept]
        return np.asarray(np.linalg.inv((across.T * self.conductance[..., None, :]) @ across))

    def voltages(self, source: Array, drawn: Array, inverse: Array | None = None) -> tuple[Array, Array]:
        """Return joint voltages (..., j, columns) and branch currents (..., b, columns).

        ``source`` is (..., b, columns), ``drawn`` (j, columns). Two steps of refinement follow on what does
        not add up at the joints; they go into the currents themselves, whose last digits would drown in
        the voltages.
        """
        across = self.incidence[:, self.kept]
        along = self.conductance[..., None]
        inverse = self.inverse() if inverse is None else inverse
        out = np.zeros((*inverse.shape[:-2], self.island.size, drawn.shape[-1]))
        currents = along * source
        for _ in range(3):
            step = inverse @ (across.T @ currents - drawn[self.kept])
            out[..., self.kept, :] += step
            currents = currents - along * (across @ step)
        return out, currents


def _islands(joints: int, plus: Index, minus: Index) -> Index:
    """Return the label of the connected part of each joint: the number of its lowest joint."""
    label = list(range(joints))

    def root(joint: int) -> int:
        while label[joint] != joint:
            label[joint] = label[label[joint]]
            joint = label[joint]
        return joint

    for p, m in zip(plus.tolist(), minus.tolist(), strict=True):
        a, b = root(p), root(m)
        label[max(a, b)] = min(a, b)
    return np.array([root(joint) for joint in range(joints)], dtype=np.intp)


def _loads(joints: int, plus: Index, minus: Index) -> Array:
    """Return (j, k): 1 at the plus joint of a load, -1 at its minus joint."""
    out = np.zeros((joints, plus.size))
    out[plus, np.arange(plus.size)] += 1.0
    out[minus, np.arange(plus.size)] -= 1.0
    return out


def _settle(rest: Array, matrix: Array, power: Array, current: Array) -> tuple[Array, Flag]:
    """Return the voltages of loads of constant power and current (..., k), and where they exist."""
    own = np.diagonal(matrix, axis1=-2, axis2=-1)
    room = rest - (matrix @ current[..., None])[..., 0]
    if not power.any():
        return room, np.ones(room.shape[:-1], dtype=bool)
    under = room * room - 4.0 * own * power
    found = np.asarray(np.all((under >= 0.0) & (room > 0.0) | (power == 0.0), axis=-1))
    fed = (under >= 0.0) & (power != 0.0)
    voltage = np.where(fed, 0.5 * (room + np.sqrt(np.maximum(under, 0.0))), room)
    if rest.shape[-1] == 1:
        return voltage, found
    voltage = np.where(voltage == 0.0, 1.0, voltage)
    eye = np.eye(rest.shape[-1])
    step = np.zeros_like(voltage)
    for _ in range(NEWTON_STEPS):
        excess = voltage - room + (matrix @ (power / voltage)[..., None])[..., 0]
        slope = eye - matrix * (power / (voltage * voltage))[..., None, :]
        step = np.linalg.solve(slope, excess[..., None])[..., 0]
        voltage = voltage - step
    settled = np.abs(step) <= CLOSED * np.maximum(np.abs(rest), 1.0)
    return voltage, found & np.all(settled & ((voltage > 0.0) | (power == 0.0)), axis=-1)


@model(
    source="Kirchhoff's and Ohm's laws, nodal analysis; Thevenin's theorem; Newton's method for constant power",
    valid={"resistance": RESISTANCE},
)
def solve(
    *,
    plus: Number,
    minus: Number,
    open_voltage: Number,
    resistance: Number,
    load_plus: Number,
    load_minus: Number,
    power: Number = 0.0,
    current: Number = 0.0,
) -> Solution:
    """Return voltages and currents of a network of sources and resistances under its loads.

    Parameters
    ----------
    plus, minus : (b,) int arrays
        Joints of each branch, numbered from 0; its open voltage drives current out of ``plus`` [-].
    open_voltage : (b,) or (..., b) array
        Open voltage of each branch, 0 for a conductor [V].
    resistance : (b,) or (..., b) array
        Resistance of each branch, above zero; infinite where it is open [ohm].
    load_plus, load_minus : (k,) int arrays
        Joints of each load [-].
    power : float or (k,) or (..., k) array
        Power that each load draws whatever the voltage [W].
    current : float or (k,) or (..., k) array
        Current that each load draws besides, negative for a current source [A].

    Returns
    -------
    Solution
        Voltages [V], currents [A], losses [W], equivalent sources [V, ohm].
    """
    at_plus, at_minus = (np.atleast_1d(np.asarray(joint)).astype(np.intp) for joint in (load_plus, load_minus))
    mesh = Mesh.of(plus, minus, open_voltage, resistance, np.concatenate([at_minus, at_plus]))
    ports = _loads(mesh.island.size, at_plus, at_minus)
    tied = mesh.island[at_plus] == mesh.island[at_minus]
    drawn = np.concatenate([np.zeros((mesh.island.size, 1)), np.where(tied, ports, 0.0)], axis=1)
    sources = np.zeros((*mesh.source.shape, drawn.shape[1]))
    sources[..., 0] = mesh.source
    voltages, currents = mesh.voltages(sources, drawn)
    rest = np.where(tied, (ports.T @ voltages[..., :1])[..., 0], np.nan)
    matrix = -(ports.T @ voltages[..., 1:])
    watts = np.asarray(power, dtype=np.float64) + np.zeros(rest.shape)
    amps = np.asarray(current, dtype=np.float64) + np.zeros(rest.shape)
    known = np.where(tied, rest, 1.0)
    at_load, found = _settle(known, matrix, watts, amps)
    found = found & np.all(tied | ((watts == 0.0) & (amps == 0.0)), axis=-1)
    by_power = np.where(watts == 0.0, 0.0, watts / np.where(at_load == 0.0, 1.0, at_load))
    draw = np.where(found[..., None], by_power + amps, np.nan)
    total = currents[..., 0] + (currents[..., 1:] @ draw[..., None])[..., 0]
    joint = voltages[..., 0] + (voltages[..., 1:] @ draw[..., None])[..., 0]
    left = mesh.incidence.T @ total[..., None] - (ports @ draw[..., None])
    most = np.maximum(np.abs(total).max(axis=-1), FAINT)
    lost = np.where(mesh.conductance > 0.0, 1.0 / np.where(mesh.conductance > 0.0, mesh.conductance, 1.0), 0.0)
    return Solution(
        voltage=joint,
        current=total,
        loss=total * total * lost,
        drop=np.abs(total) * lost,
        load_voltage=np.where(found[..., None] & tied, at_load, np.nan),
        load_current=draw,
        open_voltage=rest,
        resistance=np.where(tied, np.diagonal(matrix, axis1=-2, axis2=-1), np.inf),
        share=np.swapaxes(currents[..., 1:], -1, -2),
        rest_current=currents[..., 0],
        closure=np.abs(left[..., 0]).max(axis=-1) / most,
        found=found,
        outside=_worst(lost, mesh.conductance > 0.0),
    )


def _worst(ohms: Array, shut: Flag) -> Mask:
    """Return the mask of the branches of each design, put together."""
    each = solve.mask(resistance=np.where(shut, ohms, 1.0))
    return np.asarray(np.bitwise_or.reduce(each, axis=-1), dtype=np.uint64)


@model(source="Thevenin's theorem at each pair of joints, from the inverse of the nodal matrix")
def shorts(*, plus: Number, minus: Number, open_voltage: Number, resistance: Number, joint: int) -> Shorts:
    """Return what a dead short from each joint to one of them would draw.

    Parameters
    ----------
    plus, minus : (b,) int arrays
        Joints of each branch, numbered from 0 [-].
    open_voltage : (b,) or (..., b) array
        Open voltage of each branch, 0 for a conductor [V].
    resistance : (b,) or (..., b) array
        Resistance of each branch, above zero; infinite where it is open [ohm].
    joint : int
        The joint to which the others are shorted, such as the minus of the pack [-].

    Returns
    -------
    Shorts
        Current [A], open voltage [V] and resistance [ohm] of each joint.
    """
    mesh = Mesh.of(plus, minus, open_voltage, resistance, np.array([joint]))
    joints = mesh.island.size
    inverse = mesh.inverse()
    voltages, _ = mesh.voltages(mesh.source[..., None], np.zeros((joints, 1)), inverse)
    own = np.zeros(voltages.shape[:-1])
    own[..., mesh.kept] = np.diagonal(inverse, axis1=-2, axis2=-1)
    tied = (mesh.island == mesh.island[joint]) & (np.arange(joints) != joint)
    rest = np.where(tied, voltages[..., 0], 0.0)
    ohms = np.where(tied, own, np.inf)
    return Shorts(current=rest / ohms, open_voltage=rest, resistance=ohms)
