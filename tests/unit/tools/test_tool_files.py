"""STL and 3MF files of tools.

Sources: the layout of binary STL (80 bytes, a 32-bit count, 50 bytes for each facet, little-endian; common usage since
the 3D Systems interface of 1989, from memory); 3MF Core Specification 1.3, read by lib3mf, the 3MF consortium's own
reader, in its strict mode.
"""

import hashlib
import os
import struct
import subprocess
import sys
import xml.etree.ElementTree as ET
import zipfile
from io import BytesIO
from pathlib import Path

import lib3mf
import numpy as np
import pytest
import trimesh
from support.designs import carved_of
from support.tool_parts import SETTINGS, parts_of

from braces.solids.stl import stl_bytes
from braces.solids.threemf import Body, threemf_bytes
from braces.solids.tools.bodies import box, triangles
from braces.solids.tools.registry import part_files, tool_files, tool_rows

CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
BLOCK = triangles(box((0, 0, 0), (30, 20, 10)))


def test_stl_layout():
    data = stl_bytes(*BLOCK)
    (count,) = struct.unpack_from("<I", data, 80)
    assert count == len(BLOCK[1]) == 12
    assert len(data) == 84 + 50 * count
    assert not data.startswith(b"solid")
    for k in range(count):
        numbers = struct.unpack_from("<12f", data, 84 + 50 * k)
        n, a, b, c = (np.array(numbers[i : i + 3]) for i in (0, 3, 6, 9))
        assert np.linalg.norm(n) == pytest.approx(1, abs=1e-6)
        assert np.cross(b - a, c - a) @ n > 0
        assert struct.unpack_from("<H", data, 84 + 50 * k + 48) == (0,)


def test_stl_is_read_by_another_library():
    read = trimesh.load(BytesIO(stl_bytes(*BLOCK)), file_type="stl")
    assert read.is_watertight
    assert read.volume == pytest.approx(30 * 20 * 10)


def read_strictly(data: bytes):
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(data)
    return model, reader.GetWarningCount()


def test_a_strict_reader_finds_the_bodies_in_millimetres_and_has_nothing_to_say():
    data = threemf_bytes("two <blocks> & more", [Body("one", *BLOCK), Body('the "other"', *BLOCK)])
    model, warnings = read_strictly(data)
    assert warnings == 0
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    found = model.GetMeshObjects()
    names = []
    while found.MoveNext():
        one = found.GetCurrentMeshObject()
        names.append(one.GetName())
        assert one.IsManifoldAndOriented()
        assert one.GetVertexCount() == 8
        assert one.GetTriangleCount() == 12
    assert names == ["one", 'the "other"']


def test_the_strict_reader_does_find_fault():
    data = threemf_bytes("block", [Body("one", *BLOCK)])
    whole = zipfile.ZipFile(BytesIO(data))
    spoilt = BytesIO()
    with zipfile.ZipFile(spoilt, "w") as package:
        for name in whole.namelist():
            package.writestr(name, whole.read(name).replace(b'unit="millimeter"', b'unit="cubit"'))
    try:
        _, warnings = read_strictly(spoilt.getvalue())
    except lib3mf.ELib3MFException:
        return
    assert warnings > 0


def test_bodies_lie_side_by_side_on_the_bed():
    """3MF Core 1.3, 4.3: the last three numbers of a transform are the move."""
    data = threemf_bytes("blocks", [Body("a", *BLOCK), Body("b", BLOCK[0] - [7, 7, 7], BLOCK[1])])
    root = ET.fromstring(zipfile.ZipFile(BytesIO(data)).read("3D/3dmodel.model"))
    assert root.get("unit") == "millimeter"
    moves = [[float(v) for v in item.get("transform").split()[9:]] for item in root.iter(f"{CORE}item")]
    assert moves == [[0, 0, 0], [7, 20 + 5 + 7, 7]]


@pytest.mark.parametrize("part", parts_of("fieldfare"), ids=lambda p: p.name)
def test_every_3mf_of_a_guitar_is_read_without_a_warning(part):
    data = part_files(part)[f"tools/{part.name}.3mf"]
    model, warnings = read_strictly(data)
    assert warnings == 0
    found = model.GetMeshObjects()
    count = 0
    while found.MoveNext():
        assert found.GetCurrentMeshObject().IsManifoldAndOriented()
        count += 1
    assert count == len(part.pieces)


def test_rows_name_the_files_that_are_made():
    parts = parts_of("dunnock")
    rows = tool_rows(parts, SETTINGS)
    made = {name for part in parts for name in part_files(part)}
    assert {f"tools/{name}" for row in rows for name in row["files"]} == made
    assert all(name.isascii() and " " not in name for name in made)


def digest() -> str:
    """Of the files of a few tools with curved faces, marks, splits and seats."""
    found = hashlib.sha256()
    files = tool_files(carved_of("fieldfare"), SETTINGS, ("sanding-caul", "clamping-caul", "notch-gauge"))
    for name, data in sorted(files.items()):
        found.update(name.encode() + data)
    return found.hexdigest()


def test_the_same_bytes_in_another_process():
    here = Path(__file__).resolve()
    code = (
        f"import sys; sys.path[:0] = [{str(here.parent)!r}, {str(here.parents[2])!r}]\n"
        "from test_tool_files import digest; print(digest())"
    )
    run = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONHASHSEED": "7"},
    )
    assert run.stdout.strip() == digest()
