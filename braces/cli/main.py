"""The commands. Each is a few lines over the app; heavy libraries load only where a command needs them."""

from __future__ import annotations

import os
import sys
import textwrap
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from braces.app.study import Study, study
from braces.cli.messages import counted, listed, plain, problem_text, tally
from braces.cli.stock import stock_app

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="From a bracing idea to cut wood: templates, solids, a cut list and the numbers behind them.",
)

DesignArgument = Annotated[str, typer.Argument(metavar="DESIGN", help="a design file, or the name of a preset")]


class Paper(StrEnum):
    """Sheets that templates can be tiled on."""

    a4 = "a4"
    letter = "letter"
    a3 = "a3"
    tabloid = "tabloid"


def _say(text: str, err: bool = False) -> None:
    """Write text without anything that a terminal would obey, whatever a design or a file's name holds."""
    typer.echo("\n".join(map(plain, text.split("\n"))), err=err)


def _sound(design: str) -> Study:
    """Return a study with nothing fatal in it, or tell every problem and end with exit code 2."""
    found = study(design)
    if found.problems:
        _say(problem_text(found), err=True)
    if not found.sound:
        _say(f"\n{tally(found)}; nothing was written.", err=True)
        raise typer.Exit(2)
    return found


@app.command()
def check(design: DesignArgument) -> None:
    """Say everything that is wrong with a design, without making anything."""
    found = study(design)
    if found.problems:
        _say(problem_text(found), err=not found.sound)
        _say(f"\n{found.path}: {tally(found)}.", err=not found.sound)
    if not found.sound:
        raise typer.Exit(2)
    assert found.carved is not None
    if not found.problems:
        n = len(found.carved.braces)
        _say(f"{found.path}: {n} braces, no problems. Make it with: braces make {design}")


@app.command()
def make(
    design: DesignArgument,
    out: Annotated[Path, typer.Option(metavar="DIR", help="folder that gets a folder named after the design")] = Path(
        "out"
    ),
    paper: Annotated[Paper, typer.Option(help="sheets for the tiled templates")] = Paper.a4,
    only: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PRODUCT",
            help="make only these (a,b): summary, tables, drawings, templates, solids, rim, deck, tools, strength, "
            "book",
        ),
    ] = None,
    inches: Annotated[
        bool, typer.Option("--inches", help="inches to 1/64 beside mm on sheets and in the book")
    ] = False,
    jobs: Annotated[
        int, typer.Option(min=0, max=64, help="processes for long work; one for each core if not given")
    ] = 0,
) -> None:
    """Write templates, drawings, solids, cut list and numbers of a design."""
    from braces.app.make import UnknownProduct, make_all, product_list
    from braces.app.writer import UnsafeTarget
    from braces.base.problems import DesignError
    from braces.cli.progress import steps

    found = _sound(design)
    try:
        products = product_list(only, found)
        with steps(len(products)) as step:
            work = (found, out, paper.value, products, step)
            folder, files = make_all(*work, keep_others=bool(only), jobs=jobs or os.cpu_count() or 1, inches=inches)
    except UnknownProduct as error:
        _say(str(error), err=True)
        raise typer.Exit(2) from None
    except DesignError as error:
        _say(listed(found.path, error.problems, found.line) + "\n\nNothing was written.", err=True)
        raise typer.Exit(2) from None
    except (UnsafeTarget, OSError) as error:
        why = f"{error.filename}: {error.strerror}" if isinstance(error, OSError) and error.strerror else str(error)
        _say(f"Cannot write there: {why}. Choose another folder with --out.", err=True)
        raise typer.Exit(2) from None
    _say(f"{counted(len(files), 'file')} in {folder}{'/' if str(folder) != '/' else ''}")
    first = next((f for f in files if f == f"templates-{paper.value}.pdf"), None)
    if first:
        _say(f"Print {folder / first} at 100 % (actual size), and measure its two check bars first.")
    _say(
        "Edge tools, saws, dust, hot glue and bent go-bars can hurt: follow the makers' instructions and local "
        "rules,\nand protect eyes and lungs."
    )


@app.command()
def show(
    design: DesignArgument,
    strength: Annotated[
        bool, typer.Option("--strength", help="weights, stiffness and modes instead; takes half a minute")
    ] = False,
    spread: Annotated[
        bool, typer.Option("--spread", help="with --strength: also how far they spread from stick to stick")
    ] = False,
) -> None:
    """Show a design's braces, joints, pockets and cut list as tables."""
    from braces.base.problems import DesignError
    from braces.reports.show import tables

    found = _sound(design)
    assert found.carved is not None
    if not strength:
        _say(tables(found.carved))
        return
    from braces.app.strength import strength_of
    from braces.reports.strength_outlook import outlook_tables
    from braces.reports.strength_tables import strength_tables

    try:
        answer = strength_of(found.carved, spread=spread)
        _say(strength_tables(answer.strength))
        _say("\n" + outlook_tables(answer.outlook, answer.strength))
    except DesignError as error:
        _say(listed(found.path, error.problems, found.line), err=True)
        raise typer.Exit(2) from None


@app.command(name="open")
def open_design(
    design: DesignArgument,
    out: Annotated[Path, typer.Option(metavar="DIR", help="folder for what is made from the page")] = Path("out"),
    port: Annotated[int, typer.Option(min=0, max=65535, help="port on this machine; a free one if not given")] = 0,
    browser: Annotated[bool, typer.Option(help="open the browser; otherwise only the address is printed")] = True,
    solve: Annotated[bool, typer.Option(help="work out deflection and modes whenever the design rests")] = True,
) -> None:
    """Change a design by looking: serve one page to the browser on this machine."""
    from braces.design.load import BadFile, find
    from braces.web.open import open_page

    path = find(design)
    try:
        open_page(path, out, port, browser, solve, _say)
    except BadFile as error:
        _say(listed(path, error.problems), err=True)
        raise typer.Exit(2) from None
    except OSError as error:
        _say(f"Cannot open a door on this machine: {error.strerror}. Choose another --port.", err=True)
        raise typer.Exit(2) from None


@app.command()
def compare(
    first: Annotated[str, typer.Argument(metavar="A", help="a design file, or the name of a preset")],
    second: Annotated[str, typer.Argument(metavar="B", help="another")],
    as_json: Annotated[bool, typer.Option("--json", help="as JSON")] = False,
) -> None:
    """Show two designs side by side: weights, stiffness, modes, and what differs. Takes a minute."""
    import json

    from braces.app.compare import compare as compared
    from braces.base.problems import DesignError
    from braces.reports.compare_tables import compare_numbers, compare_tables

    studies = _sound(first), _sound(second)
    for each in studies:
        try:
            _with_strings(each)
        except DesignError as error:
            _say(listed(each.path, error.problems, each.line), err=True)
            raise typer.Exit(2) from None
    found = compared(*studies)
    what = (found.names, (found.first, found.second), (found.top, found.back), found.differences)
    if as_json:
        _say(json.dumps(compare_numbers(*what), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        _say(compare_tables(*what))


def _with_strings(found: Study) -> None:
    """Raise DesignError if a design does not say which strings it carries."""
    from braces.app.strength import load_of

    if found.carved is not None:
        load_of(found.carved.placed.design)


@app.command()
def carve(
    design: DesignArgument,
    target: Annotated[
        str,
        typer.Option(
            metavar="WORDS",
            help='what to reach: "bridge turns 0.6 deg", "top mode 1 at 200 Hz", "top braces weigh 95 g", "braced top '
            'weighs 260 g", "as stiff in billet-7" (a [stock.NAME] of the file, or a wood), "back as stiff in ..."',
        ),
    ],
    out: Annotated[
        Path | None, typer.Option(metavar="FILE", help="design file to write; NAME-carved.toml here if not given")
    ] = None,
    change: Annotated[
        str | None, typer.Option(metavar="PARTS", help="what may change: heights, valleys, peaks, stations; else all")
    ] = None,
    braces: Annotated[
        str | None,
        typer.Option(metavar="NAMES", help='which braces may change: "x, tone bar 1"; else all of the plate'),
    ] = None,
    off: Annotated[str, typer.Option(help="most to take off any height")] = "3 mm",
    on: Annotated[str, typer.Option(help="most to leave on any height")] = "2 mm",
) -> None:
    """Find the heights that reach a target, and write them into a new design file. Takes a minute or two."""
    from braces.app.begin import CannotBegin, write_new
    from braces.app.carve import carve_design
    from braces.app.carve_ask import Ask, limit_mm, names_of, parts_of, target_of
    from braces.base.problems import DesignError
    from braces.reports.carve_tables import carve_tables

    found = _sound(design)
    file = out if out is not None else Path(f"{found.stem}-carved.toml")
    if file.exists():
        _say(f'"{file}" exists already; it was left as it is. Name another file with --out.', err=True)
        raise typer.Exit(2)
    try:
        ask = Ask(target_of(target), parts_of(change), names_of(braces), limit_mm(off), limit_mm(on))
        plan = carve_design(found, ask)
        write_new(file, plan.text)
    except DesignError as error:
        _say(listed(found.path, error.problems, found.line) + "\n\nNothing was written.", err=True)
        raise typer.Exit(2) from None
    except CannotBegin as error:
        _say(str(error), err=True)
        raise typer.Exit(2) from None
    _say(carve_tables(plan))
    _say(f"\nWrote {file}. See what it makes: braces make {file} --only strength")


@app.command()
def new(
    file: Annotated[Path, typer.Argument(help="the design file to begin")],
    like: Annotated[str, typer.Option(metavar="PRESET", help="preset to begin from")],
    outline: Annotated[
        Path | None, typer.Option(metavar="FILE", help="outline of your own, as braces trace wrote it")
    ] = None,
) -> None:
    """Begin a design file of your own as a copy of a preset."""
    from braces.app.begin import CannotBegin, begin

    try:
        begin(file, like, outline)
    except CannotBegin as error:
        _say(str(error), err=True)
        raise typer.Exit(2) from None
    _say(f"Wrote {file}. Change it in any editor, then: braces check {file}")


@app.command()
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
        typer.echo(f"{error.found}: {error.advice}", err=True)
        raise typer.Exit(2) from None
    except DesignError as error:
        typer.echo(listed(str(file), error.problems), err=True)
        raise typer.Exit(2) from None
    except OSError as error:
        typer.echo(f"Cannot write there: {error}. Choose another file with --out.", err=True)
        raise typer.Exit(2) from None
    if made.traced.notes:
        typer.echo(listed(str(file), made.traced.notes) + "\n")
    width = max(len(subject) for subject, _ in made.traced.report) + 2
    for subject, sentence in made.traced.report:
        typer.echo(textwrap.fill(f"{subject.ljust(width)}{sentence}", 100, subsequent_indent=" " * width))
    typer.echo(f"\nWrote {made.outline} and a picture of it, {made.picture}.")
    typer.echo(f"Begin a design on it:  braces new DESIGN.toml --like PRESET --outline {made.outline.name}")


def _two_points(text: str | None) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Read "0,0,0,482" as tail and neck end."""
    if text is None:
        return None
    try:
        x0, y0, x1, y1 = (float(part) for part in text.replace(",", " ").split())
    except ValueError:
        raise typer.BadParameter("write four numbers, tail and neck end, such as 0,0,0,482") from None
    return (x0, y0), (x1, y1)


app.add_typer(stock_app, name="stock")


@app.command()
def presets() -> None:
    """List the instruments that come with the program."""
    from braces.app.begin import preset_rows

    rows = preset_rows()
    width = max(len(name) for name, _ in rows) + 2
    for name, line in rows:
        typer.echo(textwrap.fill(line, 100, initial_indent=name.ljust(width), subsequent_indent=" " * width))


@app.command()
def reference(
    topic: Annotated[
        str, typer.Argument(help="fields, problems, summary, bench, tools, or a problem's code")
    ] = "fields",
) -> None:
    """Explain the fields of a design file, the problems, the keys of summary.json and bench.json, or the shop tools."""
    from braces.app.tools import tool_names
    from braces.reports.reference import UnknownTopic, listed_text, reference_text

    try:
        _say(listed_text(tool_names()) if topic == "tools" else reference_text(topic))
    except UnknownTopic as error:
        _say(str(error), err=True)
        raise typer.Exit(2) from None


def run() -> None:
    """Start the program; an unforeseen failure is told in one line, with exit code 1."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal without the letters of a name still gets the rest
    try:
        app()
    except Exception as error:  # the last resort: a maker never sees a traceback
        _say(
            f"braces failed: {type(error).__name__}: {error}\nThis is a fault of the program, not of your design; "
            "nothing was written.",
            err=True,
        )
        sys.exit(1)
