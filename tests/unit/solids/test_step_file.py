"""STEP files: units, schema, names, and the same bytes everywhere."""

import hashlib
import os
import re
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool
from solid_reading import reread, solids
from solid_specimens import notch, x_bass

from braces.curves.frames import Placement, stay
from braces.solids.brace import brace_solid
from braces.solids.check import volume_mm3
from braces.solids.step import Part, ascii_name, assembly_bytes, step_bytes

ASIDE = Placement(((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)), (10.0, 20.0, 30.0))


def pair() -> bytes:
    one = brace_solid(x_bass())
    other = brace_solid(x_bass(notches=[notch(250.0, 9.0, "plate")]))
    return assembly_bytes("Fieldfare top", [Part("x-bass", one, stay()), Part("x-treble", other, ASIDE)])


def digest() -> str:
    """Of an assembly, and of a brace that needed a boolean."""
    crossed = x_bass(notches=[notch(250.0, 9.0, "plate"), notch(252.0, 5.0, "plate", 115.0)])
    return hashlib.sha256(pair() + step_bytes(brace_solid(crossed), "x-bass")).hexdigest()


@pytest.fixture(scope="module")
def text() -> str:
    return step_bytes(brace_solid(x_bass()), "x-bass").decode("ascii")


def test_header_and_units(text):
    """ISO 10303-21 layout; ISO 10303-214 schema name; millimetres as SI prefix milli on metre."""
    assert text.startswith("ISO-10303-21;\nHEADER;\n")
    assert text.rstrip().endswith("END-ISO-10303-21;")
    assert "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'))" in text
    assert "SI_UNIT(.MILLI.,.METRE.)" in text
    assert "PRODUCT('x-bass','x-bass'" in text


def test_nothing_of_the_day_or_the_kernel_in_the_header(text):
    header = text.split("ENDSEC;")[0]
    assert re.findall(r"\d{4}-\d{2}-\d{2}T[\d:]+", header) == ["1970-01-01T00:00:00"]
    assert "Open CASCADE" not in header


def test_no_curves_in_parameter_space(text):
    assert "PCURVE" not in text


def test_the_same_bytes_twice_and_after_other_files():
    first = pair()
    step_bytes(brace_solid(x_bass(notches=[])), "tone bar 1")
    assert pair() == first


def test_the_same_bytes_in_another_process():
    here = Path(__file__).parent
    code = (
        f"import sys; sys.path[:0] = [{str(here)!r}, {str(here.parents[2])!r}]\n"
        "from test_step_file import digest; print(digest())"
    )
    for seed in ("1", "2"):
        run = subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )
        assert run.stdout.strip() == digest()


def test_an_assembly_keeps_names_places_and_links():
    data = pair()
    text = data.decode("ascii")
    assert re.findall(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('([^']*)','([^']*)'", text) == [
        ("1", "x-bass"),
        ("2", "x-treble"),
    ]
    assert re.findall(r"PRODUCT\('([^']*)'", text) == ["Fieldfare top", "x-bass", "x-treble"]
    shape = reread(data)
    assert len(solids(shape)) == 2
    expected = [x_bass().volume_mm3, x_bass(notches=[notch(250.0, 9.0, "plate")]).volume_mm3]
    assert [volume_mm3(s) for s in solids(shape)] == pytest.approx(expected, rel=1e-6)


def test_names_survive_a_reader_that_knows_them():
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    XCAFApp_Application.GetApplication_s().InitDocument(document)
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.ReadStream("top", BytesIO(pair()))
    assert reader.Transfer(document)
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    roots, parts = TDF_LabelSequence(), TDF_LabelSequence()
    tool.GetFreeShapes(roots)
    XCAFDoc_ShapeTool.GetComponents_s(roots.Value(1), parts)

    def name(label):
        found = TDataStd_Name()
        label.FindAttribute(TDataStd_Name.GetID_s(), found)
        return found.Get().ToExtString()

    assert name(roots.Value(1)) == "Fieldfare top"
    assert [name(parts.Value(i)) for i in (1, 2)] == ["x-bass", "x-treble"]


@pytest.mark.parametrize(
    ("written", "plain"),
    [("brace Á2", "brace A2"), ("tværstok", "tv_rstok"), ("a\\b\n", "a_b_"), ("maker's", "maker's"), ("½", "1_2")],
)
def test_names_in_plain_ascii(written, plain):
    assert ascii_name(written) == plain


def test_an_apostrophe_is_doubled_as_the_standard_asks():
    """ISO 10303-21: an apostrophe inside a string is written twice."""
    text = step_bytes(brace_solid(x_bass(notches=[])), "maker's bar").decode("ascii")
    assert "PRODUCT('maker''s bar'" in text
    assert "FILE_NAME('maker''s bar'" in text
