"""Write the wave resistance of a moving pressure patch as tables, from its integral.

The linear theory is that of Havelock (1932, Proc. Roy. Soc. A 138, 339), as used for air cushions by
Newman & Poole (1962, Schiffstechnik 9, 45) and Barratt (1965, J. Fluid Mech. 22, 39):

    R = 1/(pi rho g) Int_0^(pi/2) k^3 cos(th) |P|^2 / (1 - 2 k d/sinh(2 k d)) dth,
    k = k0 sec^2(th) tanh(k d),   k0 = g/V^2,

with P the transform of a rectangle of mean pressure W/(L B) whose edges fall off as a hyperbolic
tangent. The coefficient is C = (R/W)/(4 p0/(rho g L)).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
DATA = Path(__file__).resolve().parents[1] / "src" / "foilwright" / "data"
EDGES = {
    "sharp": 0.0,
    "aL40": 1 / 40,
    "aL20": 1 / 20,
    "aL13": 3 / 40,
    "aL10": 1 / 10,
    "aL7": 3 / 20,
    "aL5": 1 / 5,
}
BEAM_RATIOS = np.array([0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.85, 1, 1.5, 2, 4, 10])
DEPTH_RATIOS = np.array([0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.85, 1, 1.25, 1.5, 2, 3, 5])
DEPTH_FROUDES = np.concatenate(
    [
        np.arange(0.6, 0.89, 0.05),
        np.arange(0.9, 1.06, 0.025),
        [1.1, 1.15, 1.2, 1.3, 1.4, 1.6, 1.8, 2, 2.5, 3, 4, 6, 12],
    ]
).round(3)


def froude_numbers() -> Array:
    """Return the nodes: even in the phase 1/Fn^2 where humps follow each other, then ever wider."""
    slow = 1.0 / np.sqrt(np.linspace(1 / 0.15**2, 1 / 0.30**2, 52))
    middle = np.concatenate([np.arange(0.305, 0.42, 0.005), np.arange(0.42, 0.66, 0.01), np.arange(0.66, 0.90, 0.02)])
    fast = np.concatenate([np.arange(0.90, 1.50, 0.05), np.arange(1.5, 2.5, 0.1), np.arange(2.5, 6.01, 0.25)])
    return np.unique(np.round(np.concatenate([slow, middle, fast]), 4))


def shape(wave: Array, edge: float) -> Array:
    """Return sin(k/2)/(k/2) of a unit length times its edge factor q/sinh(q), q = pi k edge/2."""
    out: Array = np.sinc(wave / (2 * np.pi))
    if edge > 0.0:
        q = np.minimum(0.5 * np.pi * edge * wave, 300.0)
        out = out * np.where(q > 1e-6, q / np.sinh(np.maximum(q, 1e-6)), 1.0)
    return out


def coefficient(beam_ratio: float, froude: float, edge: float, points: int = 20001) -> float:
    """Return C in deep water; lengths in board lengths, sinh(u) = tan(th), midpoint rule in u."""
    k0 = 1.0 / froude**2
    step = 8.0 / points
    u = (np.arange(points) + 0.5) * step
    along = k0 * np.cosh(u)
    across = along * np.sinh(u)
    transform = shape(along, edge) * shape(across * beam_ratio, edge / beam_ratio)
    return float(0.25 * beam_ratio / np.pi * k0**3 * np.sum(np.cosh(u) ** 4 * transform**2) * step)


def wave_number(head: Array, depth: float) -> Array:
    """Return k > 0 of k = head tanh(k depth), Newton from the deep value."""
    k = np.maximum(head, 1e-9)
    for _ in range(200):
        t = np.tanh(np.minimum(k * depth, 50.0))
        slope = np.maximum(1.0 - head * depth * (1.0 - t * t), 1e-12)
        k = np.maximum(k - (k - head * t) / slope, 1e-9)
    return k


def coefficient_at_depth(beam_ratio: float, froude: float, edge: float, depth: float) -> float:
    """Return C over a bottom at ``depth`` lengths; th from the angle below which no wave keeps up."""
    first = float(np.arccos(min(1.0, np.sqrt(depth) / froude)))
    points = 40001
    share = (np.arange(points) + 0.5) / points
    span = 0.5 * np.pi - first
    th = first + span * share**2  # crowded where the longest waves are
    head = 1.0 / (froude * np.cos(th)) ** 2
    good = th < 0.5 * np.pi - 1e-3
    k = wave_number(head[good], depth)
    twice = np.minimum(2.0 * k * depth, 300.0)
    group = np.maximum(1.0 - twice / np.sinh(twice), 1e-14)
    along, across = k * np.cos(th[good]), k * np.sin(th[good])
    transform = shape(along, edge) * shape(across * beam_ratio, edge / beam_ratio)
    weight = 2.0 * share[good] * span / points
    return float(0.25 * beam_ratio / np.pi * np.sum(k**3 * np.cos(th[good]) * transform**2 / group * weight))


def default_edge(froude: float) -> float:
    """Return 1/aL of the default rule: aL 10 below Froude number 0.5, 20 above 0.6, linear between."""
    return 1.0 / float(np.interp(froude, [0.5, 0.6], [10.0, 20.0]))


def interpolation_error(nodes: Array, values: Array, slowest: float) -> dict[str, float]:
    """Return the largest error of linear reading between the nodes for boards (B/L 0.25-0.7) a column."""
    worst = dict.fromkeys(EDGES, 0.0)
    rows = [k for k, beam in enumerate(BEAM_RATIOS) if 0.25 <= beam < 0.7]
    for i in rows:
        beam = 0.5 * (BEAM_RATIOS[i] + BEAM_RATIOS[i + 1])
        for j in range(0, nodes.size - 1, 2):
            froude = 0.5 * (nodes[j] + nodes[j + 1])
            if froude < slowest:
                continue
            for e, (name, edge) in enumerate(EDGES.items()):
                read = values[i : i + 2, j : j + 2, e].mean()
                worst[name] = max(worst[name], abs(read - coefficient(beam, froude, edge, 8001)))
    return worst


def write_deep() -> None:
    """Write ``patch_wave.csv``."""
    nodes = froude_numbers()
    values = np.array([[[coefficient(b, f, e) for e in EDGES.values()] for f in nodes] for b in BEAM_RATIOS])
    told = []
    for slowest in (0.15, 0.5):
        errors = interpolation_error(nodes, values, slowest)
        told.append(", ".join(f"{name} {error:.4f}" for name, error in errors.items()))
    head = [
        "Linear wave resistance of a rectangular pressure patch in deep water, C = (R/W)/(4 p0/(rho g L)),",
        "p0 = W/(L B). Theory: Havelock 1932 (Proc. Roy. Soc. A 138, 339); Newman & Poole 1962",
        "(Schiffstechnik 9, 45); Barratt 1965 (J. Fluid Mech. 22, 39).",
        "beam_ratio = B/L [-]; froude = V/sqrt(g L) [-]; other columns:",
        "C [-] for uniform pressure (sharp), and for edges with a tanh fall-off of a L = 40, 20, 40/3, 10,",
        "20/3, 5. Written by scripts/write_patch_wave.py. Quadrature error below 1e-4 in C. Largest error of",
        "linear reading in both directions for B/L 0.25 to 0.7:",
        f"{told[0]};",
        f"at the hump and above (froude > 0.5): {told[1]}.",
        "The rows at Froude number 0.14 are zero by choice: below 0.15 the wave part is neglected.",
    ]
    lines = ["# " + line for line in head] + ["beam_ratio,froude," + ",".join(EDGES)]
    for b, table in zip(BEAM_RATIOS, values, strict=True):
        lines.append(f"{b:g},0.14," + ",".join(["0"] * len(EDGES)))
        for f, row in zip(nodes, table, strict=True):
            lines.append(f"{b:g},{f:g}," + ",".join(f"{v:.4f}" for v in row))
    (DATA / "patch_wave.csv").write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
    print("\n".join(told))


def write_depth() -> None:
    """Write ``patch_wave_depth.csv``."""
    head = [
        "Wave resistance of a pressure patch over a flat bottom at depth d, a factor on that in deep water.",
        "Finite-depth form of the linear theory (Barratt 1965, J. Fluid Mech. 22, 39), beam/length 0.4,",
        "default edges (aL 10 below Froude number 0.5, 20 above 0.6, linear between). depth_ratio = d/L [-];",
        "depth_froude = V/sqrt(g d) [-]. Written by scripts/write_patch_wave.py. Linear and steady: near",
        "depth_froude 1 a real board needs time to build such a wave, so the factor is an upper bound there.",
        "At depth_froude 0.6 the factor is 1 by choice (the depth is then 2.8 over the wave number).",
    ]
    lines = ["# " + line for line in head] + ["depth_ratio,depth_froude,factor"]
    for d in DEPTH_RATIOS:
        for depth_froude in DEPTH_FROUDES:
            froude = float(depth_froude * np.sqrt(d))
            edge = default_edge(froude)
            factor = coefficient_at_depth(0.4, froude, edge, d) / coefficient(0.4, froude, edge)
            lines.append(f"{d:g},{depth_froude:g},{1.0 if depth_froude == 0.6 else factor:.4f}")
    (DATA / "patch_wave_depth.csv").write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write_deep()
    write_depth()
