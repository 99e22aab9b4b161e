"""braces trace: a mould's outline into a file that a design can name."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import Annotated

import typer

from braces.cli.messages import listed
from braces.cli.speech import say


def trace(
    file: Annotated[Path, typer.Argument(help="a DXF, SVG or CSV drawing of the body, whole or half")],
    out: Annotated[
        Path | None, typer.Option(metavar="FILE", help="outline file to write; beside the drawing if not given")
    ] = None,
    unit: Annotated[str | None, typer.Option(help="unit of the drawing (mm, cm, in), over what the file says")] = None,
    neck: Annotated[
        str | None, typer.Option(help="the way the neck points in the drawing: up, down, left, right")
    ] = None,
    symmetrise: Annotated[
        bool, typer.Option("--symmetrise", help="make both sides alike; kept as drawn otherwise")
    ] = False,
    inside: Annotated[
        bool, typer.Option("--inside", help="the drawing shows the body from inside: treble on the left")
    ] = False,
    layer: Annotated[str | None, typer.Option(help="read only what lies on this layer")] = None,
    gap: Annotated[str, typer.Option(help="widest gap that is bridged")] = "0.5 mm",
    within: Annotated[str, typer.Option(help="how near the curve should come to the points")] = "0.1 mm",
    axis: Annotated[
        str | None, typer.Option(metavar="X,Y,X,Y", help="tail and neck end of the centre line, in the drawing's units")
    ] = None,
) -> None:
    """Trace your own mould's outline into a file that a design can name."""
    from braces.app.outlines import trace_file
    from braces.base.problems import DesignError
    from braces.base.units import UnitError, length_mm
    from braces.traced.trace import TraceOptions

    try:
        options = TraceOptions(
            unit=unit,
            neck=neck,
            symmetry="symmetrise" if symmetrise else "keep",
            mirrored=inside,
            layer=layer,
            gap_mm=length_mm(gap),
            within_mm=length_mm(within),
            axis=_two_points(axis),
        )
        target = out if out is not None else file.with_name(f"{file.stem}.outline.toml")
        made = trace_file(file, target, options)
    except UnitError as error:
        say(f"{error.found}: {error.advice}", err=True)
        raise typer.Exit(2) from None
    except DesignError as error:
        say(listed(str(file), error.problems), err=True)
        raise typer.Exit(2) from None
    except OSError as error:
        say(f"Cannot write there: {error}. Choose another file with --out.", err=True)
        raise typer.Exit(2) from None
    if made.traced.notes:
        say(listed(str(file), made.traced.notes) + "\n")
    width = max(len(subject) for subject, _ in made.traced.report) + 2
    for subject, sentence in made.traced.report:
        say(textwrap.fill(f"{subject.ljust(width)}{sentence}", 100, subsequent_indent=" " * width))
    say(f"\nWrote {made.outline} and a picture of it, {made.picture}.")
    say(f"Begin a design on it:  braces new DESIGN.toml --like PRESET --outline {made.outline.name}")


def _two_points(text: str | None) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Read "0,0,0,482" as tail and neck end."""
    if text is None:
        return None
    try:
        x0, y0, x1, y1 = (float(part) for part in text.replace(",", " ").split())
    except ValueError:
        raise typer.BadParameter("write four numbers, tail and neck end, such as 0,0,0,482") from None
    return (x0, y0), (x1, y1)
