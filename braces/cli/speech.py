"""What every command has in common: reading a design, and saying things plainly."""

from __future__ import annotations

from typing import Annotated

import typer

from braces.app.study import Study, study
from braces.cli.messages import plain, problem_text, tally

DesignArgument = Annotated[str, typer.Argument(metavar="DESIGN", help="a design file, or the name of a preset")]


def say(text: str, err: bool = False) -> None:
    """Write text without anything that a terminal would obey, whatever a design or a file's name holds."""
    typer.echo("\n".join(map(plain, text.split("\n"))), err=err)


def sound(design: str) -> Study:
    """Return a study with nothing fatal in it, or tell every problem and end with exit code 2."""
    found = study(design)
    if found.problems:
        say(problem_text(found), err=True)
    if not found.sound:
        say(f"\n{tally(found)}; nothing was written.", err=True)
        raise typer.Exit(2)
    return found
