"""Pictures of solids: three views of a mesh, shaded, with the edges drawn and the size written beside them."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.parts.solids.kernel import Array, Mesh

WIDTH = 1240
"""Width of a picture [pixels]."""
TALLEST = 520
MARGIN, GAP = 36, 46
FINE = 2
"""Pixels are computed this much finer, then averaged."""
LIGHT: Array = np.array([-0.30, 0.75, 0.90])
"""From where light falls: left, above, and the eye."""
PAPER, INK, FAINT = (255, 255, 255), (40, 44, 52), (110, 116, 126)
COLOURS: Array = np.array(
    [[0.36, 0.52, 0.68], [0.80, 0.62, 0.36], [0.47, 0.63, 0.50], [0.66, 0.50, 0.62], [0.55, 0.58, 0.62]]
)
CREASE = 0.86
"""Cosine between the faces of two neighbouring pixels below which an edge is drawn."""
UP, FORWARD, PORT = np.array([0.0, 0.0, 1.0]), np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0])
OBLIQUE = ("oblique", np.array([0.62, -0.74, 0.55]), UP)
"""A view: its name, from where one looks, what is up in the picture."""
ABOVE, ABOVE_TURNED = ("from above", UP, FORWARD), ("from above", UP, PORT)
SIDE, AHEAD = ("from the side", -PORT, UP), ("from ahead", FORWARD, UP)
LONG = 2.6
"""A view so much wider than high has a row of its own."""


def picture(meshes: Sequence[Mesh], *, title: str) -> bytes:
    """Return three views of meshes, drawn to one scale each, as a PNG."""
    from PIL import Image, ImageDraw, ImageFont  # noqa: PLC0415

    corners, facets, group = _stacked(meshes)
    size = corners.max(axis=0) - corners.min(axis=0)
    across = size[1] > size[0]
    views = (OBLIQUE, ABOVE if across else ABOVE_TURNED, AHEAD if across else SIDE)
    frames = [_axes(way, up) for _, way, up in views]
    spans = [np.ptp(corners @ frame[:2].T, axis=0) for frame in frames]
    boxes, height = _boxes(spans)
    page = Image.new("RGB", (WIDTH, height), PAPER)
    draw = ImageDraw.Draw(page)
    draw.text((MARGIN, 14), title, fill=INK, font=ImageFont.load_default(21))
    for (name, _, _), frame, span, (x, y, wide, high) in zip(views, frames, spans, boxes, strict=True):
        scale = min(wide / max(span[0], 1e-9), high / max(span[1], 1e-9))
        shot = _shot(corners, facets, group, frame, scale)
        drawn = Image.fromarray(shot)
        left, top = x + (wide - drawn.width) // 2, y + (high - drawn.height) // 2
        page.paste(drawn, (left, top))
        told = name if name == "oblique" else f"{name}: {span[0] * 1e3:.0f} x {span[1] * 1e3:.0f} mm"
        draw.text((x, y + high + 8), told, fill=FAINT, font=ImageFont.load_default(16))
    out = io.BytesIO()
    page.quantize(256, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
    return out.getvalue()


def _boxes(spans: Sequence[Array]) -> tuple[list[tuple[int, int, int, int]], int]:
    """Return where each view stands (left, top, width, height), and the height of the picture: long views get a row."""
    long = [k for k, span in enumerate(spans) if k and span[0] > LONG * span[1]]
    rows = [[k for k in range(len(spans)) if k not in long], *([k] for k in long)]
    out, top = [(0, 0, 0, 0)] * len(spans), 56
    for row in rows:
        wide = (WIDTH - (len(row) + 1) * MARGIN) // len(row)
        tallest = TALLEST if len(row) > 1 else 0.62 * TALLEST
        high = int(np.clip(wide * max(spans[k][1] / max(spans[k][0], 1e-9) for k in row), 50, tallest))
        for place, k in enumerate(row):
            out[k] = (MARGIN + place * (wide + MARGIN), top, wide, high)
        top += high + GAP
    return out, top


def _stacked(meshes: Sequence[Mesh]) -> tuple[Array, npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Return the corners and facets of all meshes, and which mesh each facet is of."""
    starts = np.cumsum([0, *(len(each.corners) for each in meshes)])
    corners = np.concatenate([each.corners for each in meshes])
    facets = np.concatenate([each.facets + start for each, start in zip(meshes, starts, strict=False)])
    return corners, facets, np.repeat(np.arange(len(meshes)), [len(each.facets) for each in meshes])


def _axes(way: Array, up: Array) -> Array:
    """Return right, up and towards the eye, as rows."""
    eye = way / np.linalg.norm(way)
    right = np.cross(up, eye)
    right /= np.linalg.norm(right)
    return np.stack([right, np.cross(eye, right), eye])


def _shot(corners: Array, facets: Any, group: Any, frame: Array, scale: float) -> npt.NDArray[np.uint8]:
    """Return one view as pixels."""
    seen = corners @ frame.T
    flat = (seen[:, :2] - seen[:, :2].min(axis=0)) * scale * FINE + FINE
    wide, high = (np.ceil(flat.max(axis=0) + FINE).astype(int) // FINE + 1) * FINE
    flat[:, 1] = high - 1 - flat[:, 1]
    ways = np.cross(corners[facets[:, 1]] - corners[facets[:, 0]], corners[facets[:, 2]] - corners[facets[:, 0]])
    ways /= np.maximum(np.linalg.norm(ways, axis=1, keepdims=True), 1e-300)
    towards = ways @ frame[2]
    front = np.flatnonzero(towards > 1e-6)
    owner, depth = _nearest(flat, seen[:, 2], facets, front, int(wide), int(high))
    return _inked(owner, depth, ways, group, frame, scale)


def _nearest(flat: Array, near: Array, facets: Any, front: Any, wide: int, high: int) -> tuple[Any, Array]:
    """Return the facet that each pixel sees (-1: none) and how near it is: every facet cut into rows of pixels."""
    tri = flat[facets[front]]
    a, b, c = tri[:, 0], tri[:, 1], tri[:, 2]
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    good = np.abs(area) > 1e-9
    front, tri, area = front[good], tri[good], area[good]
    a, b, c = tri[:, 0], tri[:, 1], tri[:, 2]
    first = np.ceil(tri[:, :, 1].min(axis=1) - 0.5).astype(int).clip(0, high)
    last = np.floor(tri[:, :, 1].max(axis=1) - 0.5).astype(int).clip(-1, high - 1)
    rows = np.maximum(last - first + 1, 0)
    of = np.repeat(np.arange(len(front)), rows)
    row = np.arange(rows.sum()) - np.repeat(np.cumsum(rows) - rows, rows) + first[of]
    left, right = _span(tri[of], row + 0.5)
    start = np.ceil(left - 0.5 - 1e-9).astype(int).clip(0, wide)
    end = np.floor(right - 0.5 + 1e-9).astype(int).clip(-1, wide - 1)
    count = np.maximum(end - start + 1, 0)
    line = np.repeat(np.arange(len(of)), count)
    x = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + start[line]
    y, of = row[line], of[line]
    px, py = x + 0.5 - a[of, 0], y + 0.5 - a[of, 1]
    u = (px * (c[of, 1] - a[of, 1]) - py * (c[of, 0] - a[of, 0])) / area[of]
    v = (py * (b[of, 0] - a[of, 0]) - px * (b[of, 1] - a[of, 1])) / area[of]
    corner = near[facets[front]][of]
    depth = corner[:, 0] + u * (corner[:, 1] - corner[:, 0]) + v * (corner[:, 2] - corner[:, 0])
    order = np.argsort(depth, kind="stable")
    place = (y * wide + x)[order]
    owner, nearest = np.full(wide * high, -1), np.full(wide * high, -np.inf)
    owner[place], nearest[place] = front[of[order]], depth[order]
    return owner.reshape(high, wide), nearest.reshape(high, wide)


def _span(tri: Array, at: Array) -> tuple[Array, Array]:
    """Return where a line across each triangle enters and leaves it."""
    low, high = np.full(len(at), np.inf), np.full(len(at), -np.inf)
    for k in range(3):
        p, q = tri[:, k], tri[:, (k + 1) % 3]
        rise = q[:, 1] - p[:, 1]
        share = (at - p[:, 1]) / np.where(rise == 0.0, 1.0, rise)
        crosses = (rise != 0.0) & (share >= 0.0) & (share <= 1.0)
        x = p[:, 0] + share * (q[:, 0] - p[:, 0])
        low, high = np.where(crosses, np.minimum(low, x), low), np.where(crosses, np.maximum(high, x), high)
    return low, high


def _inked(owner: Any, depth: Array, ways: Array, group: Any, frame: Array, scale: float) -> npt.NDArray[np.uint8]:
    """Return the shaded picture with outlines and creases drawn, averaged to its size."""
    there = owner >= 0
    facing = np.where(there[..., None], ways[owner], 0.0)
    light = LIGHT @ frame
    shade = 0.42 + 0.58 * np.clip(facing @ (light / np.linalg.norm(light)), 0.0, 1.0)
    colour = COLOURS[group[owner] % len(COLOURS)]
    image = np.where(there[..., None], np.clip(colour * shade[..., None] * 1.22, 0.0, 1.0), 1.0)
    edge = np.zeros(owner.shape, dtype=bool)
    jump = 2.5 / scale / FINE
    for axis in (0, 1):
        one, two = (slice(None, -1), slice(1, None)) if axis == 0 else (slice(None), slice(None))
        first = (one, slice(None)) if axis == 0 else (slice(None), slice(None, -1))
        second = (two, slice(None)) if axis == 0 else (slice(None), slice(1, None))
        both = there[first] & there[second]
        turned = np.einsum("ijk,ijk->ij", facing[first], facing[second]) < CREASE
        with np.errstate(invalid="ignore"):
            apart = np.abs(depth[first] - depth[second]) > jump * 6.0
        found = (there[first] != there[second]) | (
            both & (turned | apart | (group[owner[first]] != group[owner[second]]))
        )
        edge[first] |= found
    image[edge] *= 0.28
    image[edge & ~there] = 0.25
    high, wide = (n // FINE * FINE for n in owner.shape)
    small = image[:high, :wide].reshape(high // FINE, FINE, wide // FINE, FINE, 3).mean(axis=(1, 3))
    return np.asarray(np.round(small * 255.0), dtype=np.uint8)
