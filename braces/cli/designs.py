"""Commands on one design: begin it, check it, make it, show it, open it in the browser."""

from __future__ import annotations

import os
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from braces.app.study import study
from braces.cli.messages import counted, listed, problem_text, tally
from braces.cli.speech import DesignArgument, say, sound


class Paper(StrEnum):
    """Sheets that templates can be tiled on."""

    a4 = "a4"
    letter = "letter"
    a3 = "a3"
    tabloid = "tabloid"


def check(design: DesignArgument) -> None:
    """Say everything that is wrong with a design, without making anything."""
    found = study(design)
    if found.problems:
        say(problem_text(found), err=not found.sound)
        say(f"\n{found.path}: {tally(found)}.", err=not found.sound)
    if not found.sound:
        raise typer.Exit(2)
    assert found.carved is not None
    if not found.problems:
        n = len(found.carved.braces)
        say(f"{found.path}: {n} braces, no problems. Make it with: braces make {design}")


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

    found = sound(design)
    try:
        products = product_list(only, found)
        with steps(len(products)) as step:
            work = (found, out, paper.value, products, step)
            folder, files = make_all(*work, keep_others=bool(only), jobs=jobs or os.cpu_count() or 1, inches=inches)
    except UnknownProduct as error:
        say(str(error), err=True)
        raise typer.Exit(2) from None
    except DesignError as error:
        say(listed(found.path, error.problems, found.line) + "\n\nNothing was written.", err=True)
        raise typer.Exit(2) from None
    except (UnsafeTarget, OSError) as error:
        why = f"{error.filename}: {error.strerror}" if isinstance(error, OSError) and error.strerror else str(error)
        say(f"Cannot write there: {why}. Choose another folder with --out.", err=True)
        raise typer.Exit(2) from None
    say(f"{counted(len(files), 'file')} in {folder}{'/' if str(folder) != '/' else ''}")
    first = next((f for f in files if f == f"templates-{paper.value}.pdf"), None)
    if first:
        say(f"Print {folder / first} at 100 % (actual size), and measure its two check bars first.")
    say(
        "Edge tools, saws, dust, hot glue and bent go-bars can hurt: follow the makers' instructions and local "
        "rules,\nand protect eyes and lungs."
    )


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

    found = sound(design)
    assert found.carved is not None
    if not strength:
        say(tables(found.carved))
        return
    from braces.app.strength import strength_of
    from braces.reports.strength_outlook import outlook_tables
    from braces.reports.strength_tables import strength_tables

    try:
        answer = strength_of(found.carved, spread=spread)
        say(strength_tables(answer.strength))
        say("\n" + outlook_tables(answer.outlook, answer.strength))
    except DesignError as error:
        say(listed(found.path, error.problems, found.line), err=True)
        raise typer.Exit(2) from None


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
        open_page(path, out, port, browser, solve, say)
    except BadFile as error:
        say(listed(path, error.problems), err=True)
        raise typer.Exit(2) from None
    except OSError as error:
        say(f"Cannot open a door on this machine: {error.strerror}. Choose another --port.", err=True)
        raise typer.Exit(2) from None


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
        say(str(error), err=True)
        raise typer.Exit(2) from None
    say(f"Wrote {file}. Change it in any editor, then: braces check {file}")
