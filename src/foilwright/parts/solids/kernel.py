"""The solid modeller: the OpenCascade kernel below build123d, loaded when a solid is asked for.

Everything here takes and gives metres; the kernel itself works in millimetres, as printers do. Its own names are
used (``OCP``) since they load in under a second, build123d in four or more.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core.errors import MissingExtraError, ModelError
from foilwright.core.extras import need

Array = npt.NDArray[np.float64]
Shape = Any  # the kernel's own

MM = 1000.0
CLOSE = 1e-6
"""Tolerance of volumes, share."""
DEFLECTION, TURN = 0.06, 0.35
"""How far a mesh may lie off the surface [mm], and how much one facet may turn against the next [rad]."""

SMALLEST = 0.1
"""Below this edge a mesh is not made finer: slivers would fold [mm]."""
WELD = 1e-3
"""Corners nearer than this are one [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """Volume, skin and extent of a solid, in SI."""

    volume: float  # m^3
    area: float  # m^2
    centre: Array  # (3,) m
    low: Array  # (3,) m
    high: Array  # (3,) m

    @property
    def size(self) -> Array:
        """Return the extent along each axis [m]."""
        return self.high - self.low


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """Facets of a solid; corners in metres."""

    corners: Array  # (n, 3)
    facets: npt.NDArray[np.int64]  # (m, 3), turned so that the outside sees them counter-clockwise


@functools.cache
def ocp(module: str) -> Any:
    """Return one module of the kernel."""
    return need(f"OCP.{module}", extra="cad")


def _point(place: Sequence[float] | Array) -> Any:
    x, y, z = (float(v) * MM for v in place)
    return ocp("gp").gp_Pnt(x, y, z)


def _direction(way: Sequence[float] | Array) -> Any:
    return ocp("gp").gp_Dir(*(float(v) for v in way))


def _made(shape: Shape) -> Shape:
    if shape is None or shape.IsNull():
        raise ModelError("the solid modeller made nothing of a part; its sizes do not go together")
    return shape


# ---- lines ------------------------------------------------------------------


def _spline(points: Array) -> Shape:
    """Return one smooth edge; the same parameters for all outlines keep a loft between them ruled."""
    try:
        lists = ocp("collections")
        row, numbers = lists.HArray1_gp_Pnt, lists.HArray1_double
    except MissingExtraError:  # kernels before release 8 keep their lists elsewhere
        row, numbers = ocp("TColgp").TColgp_HArray1OfPnt, ocp("TColStd").TColStd_HArray1OfReal
    places, steps = row(1, len(points)), numbers(1, len(points))
    for k, point in enumerate(points):
        places.SetValue(k + 1, _point(point))
        steps.SetValue(k + 1, float(k))
    curve = ocp("GeomAPI").GeomAPI_Interpolate(places, steps, False, 1e-7)
    curve.Perform()
    return ocp("BRepBuilderAPI").BRepBuilderAPI_MakeEdge(curve.Curve()).Edge()


def outline(points: Array) -> Shape:
    """Return a closed wire: a smooth curve through (k, 3) points, closed by a straight edge."""
    build = ocp("BRepBuilderAPI")
    back = build.BRepBuilderAPI_MakeEdge(_point(points[-1]), _point(points[0])).Edge()
    return build.BRepBuilderAPI_MakeWire(_spline(points), back).Wire()


def polygon(points: Array) -> Shape:
    """Return a closed wire of straight edges through (k, 3) points."""
    made = ocp("BRepBuilderAPI").BRepBuilderAPI_MakePolygon()
    for point in points:
        made.Add(_point(point))
    made.Close()
    return made.Wire()


# ---- solids -----------------------------------------------------------------


def loft(outlines: Sequence[Array], *, smooth: bool = True) -> Shape:
    """Return the ruled solid through outlines of (k, 3) points each, in order."""
    made = _through(outlines, smooth=smooth)
    return made if _signed(made) > 0.0 else _through(outlines[::-1], smooth=smooth)


def _through(outlines: Sequence[Array], *, smooth: bool) -> Shape:
    made = ocp("BRepOffsetAPI").BRepOffsetAPI_ThruSections(True, True, 1e-6)
    made.CheckCompatibility(False)
    for points in outlines:
        made.AddWire(outline(points) if smooth else polygon(points))
    made.Build()
    return _made(made.Shape())


def _signed(shape: Shape) -> float:
    """Return the volume of a solid, negative where its inside is outside [mm^3]."""
    props = ocp("GProp").GProp_GProps()
    ocp("BRepGProp").BRepGProp.VolumeProperties_s(shape, props)
    return float(props.Mass())


def _outward(shape: Shape) -> Shape:
    """Return a solid whose inside is inside."""
    return shape.Reversed() if _signed(shape) < 0.0 else shape


def prism(points: Array, way: Sequence[float] | Array, *, smooth: bool = False) -> Shape:
    """Return a flat outline of (k, 3) points drawn out along a way [m].

    A smooth one is lofted: the kernel measures a drawn-out curve some per cent wrong.
    """
    if smooth:
        return loft([points, points + np.asarray(way)])
    wire = polygon(points)
    face = ocp("BRepBuilderAPI").BRepBuilderAPI_MakeFace(wire, True).Face()
    along = ocp("gp").gp_Vec(*(float(v) * MM for v in way))
    return _outward(_made(ocp("BRepPrimAPI").BRepPrimAPI_MakePrism(face, along).Shape()))


def box(low: Sequence[float] | Array, high: Sequence[float] | Array) -> Shape:
    """Return a block between two corners."""
    return ocp("BRepPrimAPI").BRepPrimAPI_MakeBox(_point(low), _point(high)).Shape()


def round_block(low: Sequence[float] | Array, high: Sequence[float] | Array, radius: float) -> Shape:
    """Return a block with its four upright edges rounded."""
    (x1, y1, z1), (x2, y2, z2) = low, high
    r = min(radius, 0.499 * (x2 - x1), 0.499 * (y2 - y1))
    corners = [(x2 - r, y2 - r, 0.0), (x1 + r, y2 - r, 90.0), (x1 + r, y1 + r, 180.0), (x2 - r, y1 + r, 270.0)]
    edges, build, gp = [], ocp("BRepBuilderAPI"), ocp("gp")
    ends: list[tuple[Array, Array]] = []
    for x, y, turn in corners:
        angles = np.radians([turn, turn + 45.0, turn + 90.0])
        first, mid, last = (np.array([x + r * np.cos(a), y + r * np.sin(a), z1]) for a in angles)
        arc = ocp("GC").GC_MakeArcOfCircle(_point(first), _point(mid), _point(last)).Value()
        edges.append(build.BRepBuilderAPI_MakeEdge(arc).Edge())
        ends.append((first, last))
    made = build.BRepBuilderAPI_MakeWire()
    for k, edge in enumerate(edges):
        made.Add(edge)
        made.Add(build.BRepBuilderAPI_MakeEdge(_point(ends[k][1]), _point(ends[(k + 1) % 4][0])).Edge())
    face = build.BRepBuilderAPI_MakeFace(made.Wire(), True).Face()
    up = gp.gp_Vec(0.0, 0.0, (z2 - z1) * MM)
    return _made(ocp("BRepPrimAPI").BRepPrimAPI_MakePrism(face, up).Shape())


def cylinder(base: Sequence[float] | Array, way: Sequence[float] | Array, radius: float) -> Shape:
    """Return a cylinder from its base along a way that is as long as it [m]."""
    long = float(np.linalg.norm(way))
    axis = ocp("gp").gp_Ax2(_point(base), _direction(way))
    return ocp("BRepPrimAPI").BRepPrimAPI_MakeCylinder(axis, radius * MM, long * MM).Shape()


def cone(base: Sequence[float] | Array, way: Sequence[float] | Array, first: float, last: float) -> Shape:
    """Return a frustum from its base along a way, between two radii [m]."""
    if abs(first - last) < 1e-9:
        return cylinder(base, way, first)
    long = float(np.linalg.norm(way))
    axis = ocp("gp").gp_Ax2(_point(base), _direction(way))
    return ocp("BRepPrimAPI").BRepPrimAPI_MakeCone(axis, first * MM, last * MM, long * MM).Shape()


def revolve(profile: Array, *, smooth: bool = False) -> Shape:
    """Return the solid of a profile of (k, 2) points, along x and away from it, turned about the x axis."""
    flat = np.column_stack([profile[:, 0], profile[:, 1], np.zeros(len(profile))])
    wire = _smooth_profile(flat) if smooth else polygon(flat)
    face = ocp("BRepBuilderAPI").BRepBuilderAPI_MakeFace(wire, True).Face()
    gp = ocp("gp")
    axis = gp.gp_Ax1(gp.gp_Pnt(0.0, 0.0, 0.0), gp.gp_Dir(1.0, 0.0, 0.0))
    return _outward(_made(ocp("BRepPrimAPI").BRepPrimAPI_MakeRevol(face, axis).Shape()))


def _smooth_profile(flat: Array) -> Shape:
    build = ocp("BRepBuilderAPI")
    made = build.BRepBuilderAPI_MakeWire(_spline(flat))
    ends = [flat[-1], np.array([flat[-1, 0], 0.0, 0.0]), np.array([flat[0, 0], 0.0, 0.0]), flat[0]]
    for a, b in itertools.pairwise(ends):
        if np.linalg.norm(a - b) > 1e-9:
            made.Add(build.BRepBuilderAPI_MakeEdge(_point(a), _point(b)).Edge())
    return made.Wire()


# ---- putting together -------------------------------------------------------


def _boolean(kind: str, shape: Shape, tools: Sequence[Shape]) -> Shape:
    operation = getattr(ocp("BRepAlgoAPI"), f"BRepAlgoAPI_{kind}")
    for tool in tools:
        shape = _made(operation(shape, tool).Shape())
    return shape


def cut(shape: Shape, *tools: Shape) -> Shape:
    """Return a solid less others."""
    return _boolean("Cut", shape, tools)


def join(shape: Shape, *others: Shape) -> Shape:
    """Return solids as one, seams between flush faces gone."""
    made = _boolean("Fuse", shape, others)
    tidy = ocp("ShapeUpgrade").ShapeUpgrade_UnifySameDomain(made, True, True, False)
    tidy.Build()
    return _made(tidy.Shape())


def common(shape: Shape, *others: Shape) -> Shape:
    """Return what solids share."""
    return _boolean("Common", shape, others)


def together(shapes: Sequence[Shape]) -> Shape:
    """Return solids side by side as one thing to write."""
    builder, made = ocp("BRep").BRep_Builder(), ocp("TopoDS").TopoDS_Compound()
    builder.MakeCompound(made)
    for shape in shapes:
        builder.Add(made, shape)
    return made


# ---- placing ----------------------------------------------------------------


def placed(shape: Shape, *, turn: Array | None = None, move: Sequence[float] | Array = (0.0, 0.0, 0.0)) -> Shape:
    """Return a solid turned by a (3, 3) rotation and then moved [m]; a reflection mirrors it."""
    t = ocp("gp").gp_Trsf()
    m = np.eye(3) if turn is None else np.asarray(turn, dtype=np.float64)
    x, y, z = (float(v) * MM for v in move)
    if np.linalg.det(m) < 0.0:
        return _mirrored(shape, m, (x, y, z))
    t.SetValues(m[0, 0], m[0, 1], m[0, 2], x, m[1, 0], m[1, 1], m[1, 2], y, m[2, 0], m[2, 1], m[2, 2], z)
    return ocp("BRepBuilderAPI").BRepBuilderAPI_Transform(shape, t, True).Shape()


def _mirrored(shape: Shape, m: Array, move: tuple[float, float, float]) -> Shape:
    gp = ocp("gp")
    flip = gp.gp_Trsf()
    flip.SetMirror(gp.gp_Ax2(gp.gp_Pnt(0.0, 0.0, 0.0), gp.gp_Dir(0.0, 1.0, 0.0)))
    made = ocp("BRepBuilderAPI").BRepBuilderAPI_Transform(shape, flip, True).Shape()
    rest = m @ np.diag([1.0, -1.0, 1.0])
    return placed(made, turn=rest, move=np.array(move) / MM)


def mirrored(shape: Shape) -> Shape:
    """Return the starboard twin of a solid to port."""
    return placed(shape, turn=np.diag([1.0, -1.0, 1.0]))


def rotation(axis: Sequence[float], angle: float) -> Array:
    """Return the (3, 3) rotation about an axis by an angle [rad]."""
    u = np.asarray(axis, dtype=np.float64) / np.linalg.norm(axis)
    k = np.array([[0.0, -u[2], u[1]], [u[2], 0.0, -u[0]], [-u[1], u[0], 0.0]])
    return np.asarray(np.eye(3) + np.sin(angle) * k + (1.0 - np.cos(angle)) * (k @ k))


# ---- measuring --------------------------------------------------------------


def measure(shape: Shape) -> Measure:
    """Return volume, skin and extent of a solid."""
    prop, tool = ocp("GProp"), ocp("BRepGProp").BRepGProp
    inside, skin = prop.GProp_GProps(), prop.GProp_GProps()
    tool.VolumeProperties_s(shape, inside, CLOSE, False, False)
    tool.SurfaceProperties_s(shape, skin, 1e-4, False)
    mass = inside.CentreOfMass()
    around = ocp("Bnd").Bnd_Box()
    ocp("BRepBndLib").BRepBndLib.AddOptimal_s(shape, around, False, False)
    low, high = around.CornerMin(), around.CornerMax()
    return Measure(
        volume=inside.Mass() / MM**3,
        area=skin.Mass() / MM**2,
        centre=np.array([mass.X(), mass.Y(), mass.Z()]) / MM,
        low=np.array([low.X(), low.Y(), low.Z()]) / MM,
        high=np.array([high.X(), high.Y(), high.Z()]) / MM,
    )


def sound(shape: Shape) -> bool:
    """Return whether the kernel itself finds nothing wrong with a solid."""
    return bool(ocp("BRepCheck").BRepCheck_Analyzer(shape).IsValid())


def solids(shape: Shape) -> int:
    """Return how many separate solids there are."""
    return sum(1 for _ in _each(shape, "SOLID"))


def largest(shape: Shape) -> Shape:
    """Return the solid of the most volume: what a cut left over beside it is gone."""
    found = list(_each(shape, "SOLID"))
    if len(found) < 2:
        return shape
    return found[int(np.argmax([abs(_signed(each)) for each in found]))]


def _each(shape: Shape, kind: str) -> Any:
    found = ocp("TopExp").TopExp_Explorer(shape, getattr(ocp("TopAbs").TopAbs_ShapeEnum, f"TopAbs_{kind}"))
    while found.More():
        yield found.Current()
        found.Next()


def mesh(shape: Shape, *, deflection: float = DEFLECTION, turn: float = TURN) -> Mesh:
    """Return the facets of a solid, closed along every edge."""
    how = ocp("IMeshTools").IMeshTools_Parameters()
    how.Deflection, how.Angle, how.MinSize = deflection, turn, SMALLEST
    ocp("BRepMesh").BRepMesh_IncrementalMesh(shape, how)
    corners, facets, seen = [], [], 0
    topods = ocp("TopoDS").TopoDS
    as_face = getattr(topods, "Face", None) or topods.Face_s
    reversed_one = ocp("TopAbs").TopAbs_Orientation.TopAbs_REVERSED
    for each in _each(shape, "FACE"):
        face, where = as_face(each), ocp("TopLoc").TopLoc_Location()
        net = ocp("BRep").BRep_Tool.Triangulation_s(face, where)
        if net is None:
            continue
        move = where.Transformation()
        for k in range(1, net.NbNodes() + 1):
            node = net.Node(k).Transformed(move)
            corners.append((node.X(), node.Y(), node.Z()))
        for k in range(1, net.NbTriangles() + 1):
            a, b, c = net.Triangle(k).Get()
            facets.append((a, c, b) if face.Orientation() == reversed_one else (a, b, c))
            facets[-1] = tuple(v - 1 + seen for v in facets[-1])
        seen += net.NbNodes()
    return _welded(np.array(corners), np.array(facets, dtype=np.int64))


def _welded(corners: Array, facets: npt.NDArray[np.int64]) -> Mesh:
    """Return a mesh whose faces share their corners; facets that fell into a line are gone.

    Corners that are one place are found on three grids shifted against each other, so that none is parted by a line of
    a grid.
    """
    for shift in (0.0, 1.0 / 3.0, 2.0 / 3.0):
        _, first, place = np.unique(np.round(corners / WELD + shift), axis=0, return_index=True, return_inverse=True)
        corners, facets = corners[first], place.reshape(-1)[facets]
    real = (facets[:, 0] != facets[:, 1]) & (facets[:, 1] != facets[:, 2]) & (facets[:, 2] != facets[:, 0])
    return Mesh(corners=np.round(corners, 6) / MM + 0.0, facets=facets[real])
