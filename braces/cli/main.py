"""The program's commands, in the order of its help. Heavy libraries load only where a command needs them."""

from __future__ import annotations

import sys
import textwrap
from typing import Annotated

import typer

from braces.cli.designs import check, make, new, open_design, show
from braces.cli.numbers import carve, compare
from braces.cli.outlines import trace
from braces.cli.speech import say
from braces.cli.stock import stock_app

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="From a bracing idea to cut wood: templates, solids, a cut list and the numbers behind them.",
)


def presets() -> None:
    """List the instruments that come with the program."""
    from braces.app.begin import preset_rows

    rows = preset_rows()
    width = max(len(name) for name, _ in rows) + 2
    for name, line in rows:
        typer.echo(textwrap.fill(line, 100, initial_indent=name.ljust(width), subsequent_indent=" " * width))


def reference(
    topic: Annotated[
        str, typer.Argument(help="fields, problems, summary, bench, tools, or a problem's code")
    ] = "fields",
) -> None:
    """Explain the fields of a design file, the problems, the keys of summary.json and bench.json, or the shop tools."""
    from braces.app.tools import tool_names
    from braces.reports.reference import UnknownTopic, listed_text, reference_text

    try:
        say(listed_text(tool_names()) if topic == "tools" else reference_text(topic))
    except UnknownTopic as error:
        say(str(error), err=True)
        raise typer.Exit(2) from None


app.command()(check)
app.command()(make)
app.command()(show)
app.command(name="open")(open_design)
for command in (new, trace, carve, compare, presets, reference):
    app.command()(command)
app.add_typer(stock_app, name="stock")


def run() -> None:
    """Start the program; an unforeseen failure is told in one line, with exit code 1."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal without the letters of a name still gets the rest
    try:
        app()
    except Exception as error:  # the last resort: a maker never sees a traceback
        say(
            f"braces failed: {type(error).__name__}: {error}\nThis is a fault of the program, not of your design; "
            "nothing was written.",
            err=True,
        )
        sys.exit(1)
