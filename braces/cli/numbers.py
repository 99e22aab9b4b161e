"""Commands about numbers to carve by: heights that reach a target, and two designs side by side."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from braces.app.study import Study
from braces.cli.messages import listed
from braces.cli.speech import DesignArgument, say, sound


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

    studies = sound(first), sound(second)
    for each in studies:
        try:
            _with_strings(each)
        except DesignError as error:
            say(listed(each.path, error.problems, each.line), err=True)
            raise typer.Exit(2) from None
    found = compared(*studies)
    what = (found.names, (found.first, found.second), (found.top, found.back), found.differences)
    if as_json:
        say(json.dumps(compare_numbers(*what), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        say(compare_tables(*what))


def _with_strings(found: Study) -> None:
    """Raise DesignError if a design does not say which strings it carries."""
    from braces.app.strength import load_of

    if found.carved is not None:
        load_of(found.carved.placed.design)


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

    found = sound(design)
    file = out if out is not None else Path(f"{found.stem}-carved.toml")
    if file.exists():
        say(f'"{file}" exists already; it was left as it is. Name another file with --out.', err=True)
        raise typer.Exit(2)
    try:
        ask = Ask(target_of(target), parts_of(change), names_of(braces), limit_mm(off), limit_mm(on))
        plan = carve_design(found, ask)
        write_new(file, plan.text)
    except DesignError as error:
        say(listed(found.path, error.problems, found.line) + "\n\nNothing was written.", err=True)
        raise typer.Exit(2) from None
    except CannotBegin as error:
        say(str(error), err=True)
        raise typer.Exit(2) from None
    say(carve_tables(plan))
    say(f"\nWrote {file}. See what it makes: braces make {file} --only strength")
