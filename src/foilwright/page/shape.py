"""The craft as faces in space, to be turned."""

from __future__ import annotations

from typing import Any

import numpy as np

from foilwright.core.model import Array
from foilwright.page.drawing import worst
from foilwright.page.side import Views
from foilwright.questions.report import Ranked

ROUND = 10
"""Corners of what is round."""
Face = list[list[float]]


def solid(views: Views, found: Ranked) -> list[dict[str, Any]]:
    """Return the parts as lists of faces (corners in metres), each with its worst verdict."""
    words = worst(found)
    lead, chord, length, thick = views.mast
    rear, long, tube, height = views.fuselage
    middle, pod_long, pod_thick, pod_z = views.pod
    at, across = views.propeller
    shapes = {
        "board": _board(views),
        "mast": _prism(_lens(lead, chord, thick), 0.0, -length),
        "wing": _wing(views.wing.loft),
        "stabiliser": _wing(views.stabiliser.loft),
        "fuselage": _rod(rear, rear + long, 0.5 * tube, height),
        "pod": _rod(middle - 0.5 * pod_long, middle + 0.5 * pod_long, 0.5 * pod_thick, pod_z),
        "propeller": _rod(at - 0.008, at + 0.008, 0.5 * across, pod_z),
    }
    return [
        {"part": part, "verdict": words.get(part, "sound"), "faces": [_plain(face) for face in faces]}
        for part, faces in shapes.items()
    ]


def _plain(face: Array) -> Face:
    return [[round(float(each), 4) for each in corner] for corner in face]


def _skin(rings: Array) -> list[Array]:
    """Return the faces between rings of corners (m, k, 3), and those that close the ends."""
    count = rings.shape[1]
    faces = [
        np.stack([rings[i, j], rings[i, (j + 1) % count], rings[i + 1, (j + 1) % count], rings[i + 1, j]])
        for i in range(rings.shape[0] - 1)
        for j in range(count)
    ]
    return [*faces, rings[0], rings[-1]]


def _board(views: Views) -> list[Array]:
    chosen = np.unique(np.linspace(0, views.x.size - 1, 13).astype(int))
    rings = []
    for k in chosen:
        x, beam = views.x[k], max(float(views.half_beam[k]), 1e-3)
        low, high = float(views.bottom[k]), float(views.deck[k])
        soft = min(0.25 * (high - low), 0.5 * beam)
        port = [(beam - soft, low), (beam, low + soft), (beam, high - soft), (beam - soft, high)]
        around = [*port, *((-y, z) for y, z in reversed(port))]
        rings.append([(x, y, z) for y, z in around])
    return _skin(np.array(rings))


def _wing(loft: Array) -> list[Array]:
    """Return the faces of both halves; corners around a section are thinned out."""
    around = np.unique(np.linspace(0, loft.shape[1] - 2, 12).astype(int))
    stations = np.unique(np.linspace(0, loft.shape[0] - 1, 6).astype(int))
    port = loft[np.ix_(stations, around)]
    both = np.concatenate([(port * np.array([1.0, -1.0, 1.0]))[:0:-1], port])
    return _skin(both)


def _lens(lead: float, chord: float, thick: float) -> Array:
    share = np.array([0.0, 0.15, 0.4, 0.7, 1.0, 0.7, 0.4, 0.15])
    side = np.array([0.0, 0.8, 1.0, 0.6, 0.0, -0.6, -1.0, -0.8])
    return np.stack([lead - share * chord, 0.5 * thick * side], axis=1)


def _prism(outline: Array, top: float, low: float) -> list[Array]:
    rings = [np.column_stack([outline, np.full(len(outline), z)]) for z in (top, low)]
    return _skin(np.array(rings))


def _rod(start: float, end: float, radius: float, height: float) -> list[Array]:
    angle = np.linspace(0.0, 2.0 * np.pi, ROUND, endpoint=False)
    ring = np.column_stack([radius * np.cos(angle), height + radius * np.sin(angle)])
    return _skin(np.array([np.column_stack([np.full(ROUND, x), ring]) for x in (start, end)]))
