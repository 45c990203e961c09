"""Writing solids: STEP for further work, STL and 3MF for the printer; the same solid gives the same bytes."""

from __future__ import annotations

import io
import itertools
import re
import struct
import tempfile
import zipfile
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from foilwright.parts.solids.kernel import MM, Mesh, Shape, ocp

STAMP = "2000-01-01T00:00:00"
ZIP_TIME = (1980, 1, 1, 0, 0, 0)
DIGITS = 4
"""Places behind the point of a coordinate in millimetres."""
CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>'
    "</Types>\n"
)
RELATIONS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Target="/3D/3dmodel.model" Id="rel0" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>\n'
)


def step(shape: Shape, name: str) -> bytes:
    """Return a solid as STEP (AP214), in millimetres, without the clock."""
    control, interface = ocp("STEPControl"), ocp("Interface").Interface_Static
    as_is = control.STEPControl_StepModelType.STEPControl_AsIs
    _quiet()
    writer = control.STEPControl_Writer()
    interface.SetCVal_s("write.step.unit", "MM")
    writer.Transfer(shape, as_is)
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "solid.step"
        writer.Write(str(path))
        text = path.read_text(encoding="utf-8")
    text = re.sub(r"'\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d'", f"'{STAMP}'", text, count=1)
    text = re.sub(r"'Open CASCADE STEP translator [\d. ]+'", f"'{name}'", text)
    uses = itertools.count(1)  # the kernel numbers on from one file to the next
    text = re.sub(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\()'\d+'", lambda m: f"{m[1]}'{next(uses)}'", text)
    text = text.replace("FILE_NAME('Open CASCADE Shape Model'", f"FILE_NAME('{name}'", 1)
    return text.encode()


def _quiet() -> None:
    """Keep the kernel from telling what it writes."""
    message = ocp("Message")
    printers = message.Message.DefaultMessenger_s()
    printers.RemovePrinters(message.Message_PrinterOStream.get_type_descriptor_s())


def stl(mesh: Mesh) -> bytes:
    """Return a mesh as binary STL, in millimetres."""
    places = (mesh.corners[mesh.facets] * MM).astype("<f4")
    ways = np.cross(places[:, 1] - places[:, 0], places[:, 2] - places[:, 0])
    long = np.linalg.norm(ways, axis=1, keepdims=True)
    rows = np.zeros(len(places), dtype=[("way", "<f4", 3), ("places", "<f4", (3, 3)), ("rest", "<u2")])
    rows["way"] = np.divide(ways, long, out=np.zeros_like(ways), where=long > 0.0)
    rows["places"] = places
    return b"foilwright, millimetres".ljust(80, b" ") + struct.pack("<I", len(rows)) + rows.tobytes()


def three_mf(parts: Sequence[tuple[str, Mesh, Sequence[float]]]) -> bytes:
    """Return named meshes, each with where it stands on the bed [m], as one 3MF package in millimetres."""
    text = io.StringIO()
    text.write(f'<?xml version="1.0" encoding="UTF-8"?>\n<model unit="millimeter" xml:lang="en-US" xmlns="{CORE}">\n')
    text.write("<resources>\n")
    for number, (name, mesh, _) in enumerate(parts, 1):
        text.write(f'<object id="{number}" type="model" name="{name}"><mesh><vertices>\n')
        text.writelines(f'<vertex x="{x:.{DIGITS}f}" y="{y:.{DIGITS}f}" z="{z:.{DIGITS}f}"/>\n'
                        for x, y, z in (mesh.corners * MM).tolist())  # fmt: skip
        text.write("</vertices><triangles>\n")
        text.writelines(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>\n' for a, b, c in mesh.facets.tolist())
        text.write("</triangles></mesh></object>\n")
    text.write("</resources>\n<build>\n")
    for number, (_, _, place) in enumerate(parts, 1):
        x, y, z = (float(v) * MM for v in place)
        text.write(f'<item objectid="{number}" transform="1 0 0 0 1 0 0 0 1 {x:.3f} {y:.3f} {z:.3f}"/>\n')
    text.write("</build>\n</model>\n")
    package = io.BytesIO()
    with zipfile.ZipFile(package, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as zipped:
        for inside, content in (
            ("[Content_Types].xml", TYPES), ("_rels/.rels", RELATIONS), ("3D/3dmodel.model", text.getvalue()),
        ):  # fmt: skip
            entry = zipfile.ZipInfo(inside, ZIP_TIME)
            entry.compress_type = zipfile.ZIP_DEFLATED
            zipped.writestr(entry, content)
    return package.getvalue()
