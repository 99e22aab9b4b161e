"""braces stock: what a stick or a plate of the maker's own is like, from measurements at the bench."""

from __future__ import annotations

from typing import Annotated

import typer

from braces.cli.messages import listed, plain

stock_app = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode=None,
    help="Turn bench measurements into stiffness and density, with a [stock.NAME] section to paste. A reading may "
    'state its uncertainty: "412 Hz +- 2 Hz".',
)

Name = Annotated[str, typer.Option("--name", help="what to call the piece")]
Like = Annotated[str, typer.Option("--like", metavar="WOOD", help="the wood of the table that it is")]
Length = Annotated[str, typer.Option(help="of the whole piece, along the grain")]
Width = Annotated[str, typer.Option(help="across the load")]
Height = Annotated[str, typer.Option(help="in the direction of the load or the tap")]
Mass = Annotated[str, typer.Option(help="weighed, such as 41.2 g")]


@stock_app.command()
def bend(
    name: Name,
    like: Like,
    span: Annotated[str, typer.Option(help="between the supports")],
    load: Annotated[str, typer.Option(help="in the middle, such as 9.8 N or 1 kg")],
    deflection: Annotated[str, typer.Option(help="of the middle under that load")],
    width: Width,
    height: Height,
) -> None:
    """Three-point bend of a stick: modulus along the grain."""
    values = {"span": span, "load": load, "deflection": deflection, "width": width, "height": height}
    _tell("bent", name, like, values, f"three-point bend on {span}")


@stock_app.command()
def bar(
    name: Name,
    like: Like,
    frequency: Annotated[str, typer.Option(help="lowest tone, held at 22 % of its length from either end")],
    length: Length,
    width: Width,
    height: Height,
    mass: Mass,
) -> None:
    """Tap tone of a free bar: modulus along the grain and density."""
    values = {"frequency": frequency, "length": length, "width": width, "height": height, "mass": mass}
    _tell("tapped", name, like, values, f"tap tone {frequency}")


@stock_app.command()
def plate(
    name: Name,
    like: Like,
    twist: Annotated[
        str, typer.Option(help="tone that leaves a cross at rest: held at the middle, tapped at a corner")
    ],
    along: Annotated[str, typer.Option(help="tone that bends along the grain: held at 22 % of the length")],
    across: Annotated[str, typer.Option(help="tone that bends across the grain: held at 22 % of the width")],
    length: Length,
    width: Annotated[str, typer.Option(help="across the grain")],
    thickness: Annotated[str, typer.Option(help="even all over")],
    mass: Mass,
) -> None:
    """Three tap tones of a rectangular quartersawn plate: both moduli, shear and density."""
    values = {"twist": twist, "along": along, "across": across, "length": length, "width": width}
    values |= {"thickness": thickness, "mass": mass}
    _tell("tapped_plate", name, like, values, f"plate taps {twist}, {along}, {across}")


def _tell(test: str, name: str, like: str, values: dict[str, str], how: str) -> None:
    from braces.app import stock
    from braces.base.problems import DesignError
    from braces.reports.stock_table import stock_table

    try:
        key, listed_wood = stock.stock_name(name), stock.listed_wood(like)
        found = getattr(stock, test)(values, listed_wood)
    except DesignError as error:
        typer.echo(listed("braces stock", error.problems), err=True)
        raise typer.Exit(2) from None
    text = stock_table(found, listed_wood, stock.stock_section(key, like, found, how))
    typer.echo("\n".join(map(plain, text.split("\n"))))
