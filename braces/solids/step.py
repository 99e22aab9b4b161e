"""STEP files: millimetres, AP214, ASCII names, the same bytes whenever and wherever they are written."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

from OCP.gp import gp_Trsf
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Fail
from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_AsIs
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Shape
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from braces.curves.frames import Placement
from braces.solids.kernel import SolidError

_SETTINGS = {"write.step.schema": "AP214IS", "write.step.unit": "MM", "xstep.cascade.unit": "MM"}
_HEADER = """ISO-10303-21;
HEADER;
FILE_DESCRIPTION(('{name}'),'2;1');
FILE_NAME('{name}','1970-01-01T00:00:00',(''),(''),'braces','braces','');
FILE_SCHEMA(('AUTOMOTIVE_DESIGN {{ 1 0 10303 214 1 1 1 1 }}'));
"""  # the standard wants a time; a fixed one keeps the bytes the same


@dataclass(frozen=True, slots=True)
class Part:
    """One solid of an assembly: its name, its shape in its own frame, and where that frame goes."""

    name: str
    shape: TopoDS_Shape
    placement: Placement


def step_bytes(shape: TopoDS_Shape, name: str) -> bytes:
    """Return one solid as a STEP file.

    Raises:
        SolidError: if the kernel cannot write it.
    """
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    _add(_shape_tool(document), shape, name)
    return _written(document, name)


def assembly_bytes(name: str, parts: Sequence[Part]) -> bytes:
    """Return several solids, each placed and named, as one STEP file.

    Raises:
        SolidError: if the kernel cannot write it.
    """
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    tool = _shape_tool(document)
    root = tool.NewShape()
    _set_name(root, name)
    for part in parts:
        label = _add(tool, part.shape, part.name)
        _set_name(tool.AddComponent(root, label, location(part.placement)), part.name)
    tool.UpdateAssemblies()
    return _written(document, name)


def location(placement: Placement) -> TopLoc_Location:
    """Return a placement as the kernel's location."""
    motion = gp_Trsf()
    motion.SetValues(*(v for row, t in zip(placement.rotation, placement.shift, strict=True) for v in (*row, t)))
    return TopLoc_Location(motion)


def ascii_name(name: str) -> str:
    """Return a name in plain ASCII: accents dropped, anything else unknown as an underscore.

    The kernel writes other letters as raw bytes, which readers garble; a backslash starts an escape in STEP.
    """
    plain = "".join(c for c in unicodedata.normalize("NFKD", name) if not unicodedata.combining(c))
    return "".join(c if c.isascii() and c.isprintable() and c != "\\" else "_" for c in plain)


def _shape_tool(document: TDocStd_Document) -> XCAFDoc_ShapeTool:
    XCAFApp_Application.GetApplication_s().InitDocument(document)
    return XCAFDoc_DocumentTool.ShapeTool_s(document.Main())


def _add(tool: XCAFDoc_ShapeTool, shape: TopoDS_Shape, name: str) -> TDF_Label:
    label = tool.AddShape(shape, False)
    _set_name(label, name)
    return label


def _set_name(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(ascii_name(name)))


def _written(document: TDocStd_Document, name: str) -> bytes:
    _quieten()
    STEPCAFControl_Controller.Init_s()  # before the first writer exists, settings are ignored
    for key, value in _SETTINGS.items():
        Interface_Static.SetCVal_s(key, value)
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 0)
    writer = STEPCAFControl_Writer()
    writer.SetColorMode(False)
    writer.SetLayerMode(False)
    stream = BytesIO()
    if not writer.Transfer(document, STEPControl_AsIs) or writer.WriteStream(stream) != IFSelect_RetDone:
        raise SolidError(f"{name}: the STEP file could not be written")
    return _normalised(stream.getvalue().decode("ascii"), ascii_name(name)).encode("ascii")


def _normalised(text: str, name: str) -> str:
    """Return the file with a fixed header and its assembly links counted from 1 in every file."""
    _, data = text.split("ENDSEC;", 1)
    count = 0

    def renumbered(match: re.Match[str]) -> str:
        nonlocal count
        count += 1
        return f"{match[1]}'{count}'"

    data = re.sub(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(\s*)'[^']*'", renumbered, data)
    return _HEADER.format(name=name.replace("'", "''")) + "ENDSEC;" + data


def _quieten() -> None:
    """Keep the kernel's progress notes off the terminal."""
    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Fail)
