"""The shop book as one HTML file: the whole job from raw stock to a closed body, with live links."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape

from braces.carved.values import Carved
from braces.mechanics.values import Strength
from braces.reports.book_bench import glue_pages, rim_pages
from braces.reports.book_braces import brace_anchor, brace_pages
from braces.reports.book_html import caution_again, caution_box, checks, heading, link, page, paragraph, picture, table
from braces.reports.cutlist import cut_list
from braces.workshop.bench import Bench
from braces.workshop.order import Step, length_words, steps

Svgs = Mapping[str, str | bytes]
_DEFER = (
    "What is written here gives way to the instructions of tool, glue and material makers, to local rules and to "
    "qualified people. Try every set-up on scrap first."
)


def shop_book(
    carved: Carved,
    bench: Bench,
    svgs: Svgs,
    revision: str,
    strength: Strength | None = None,
    inches: bool = False,
    fonts: Mapping[str, bytes] | None = None,
) -> str:
    """Return the book. ``svgs`` holds the drawings' SVG texts by their keys; pictures that are not there are left out.

    ``strength`` adds the numbers of the mechanics. With ``inches`` lengths stand in mm and in inches to 1/64.
    ``fonts`` holds the drawings' typeface as TrueType files by CSS weight ("400", "700"), to be carried in the file.
    """
    found = steps(carved, bench, inches)
    parts = [
        ("job", "The job in order", _job(found, carved)),
        ("stock", "Stock", _stock(carved, inches)),
        ("braces", "Braces", brace_pages(carved.braces, svgs, inches, heading(2, "Braces", "braces"))),
        ("glue", "Glue-up", "".join(glue_pages(bench, svgs, inches))),
        ("rim", "Rim and box", "".join(rim_pages(bench, svgs, inches))),
    ]
    if strength is not None:
        parts.append(("numbers", "Numbers of the mechanics", "".join(_numbers(strength))))
    parts.append(("cautions", "Cautions", "".join(_cautions(found))))
    name = carved.placed.design.name
    body = [_cover(carved, svgs, revision, bench)]
    body.append("<nav><ol>" + "".join(f"<li>{link(title, key)}</li>" for key, title, _ in parts) + "</ol></nav>")
    body += [text if key == "braces" else heading(2, title, key) + text for key, title, text in parts if text]
    body.append(paragraph(f"{name}, revision {revision}.", small=True))
    return page(f"{name}: shop book", "\n".join(body), fonts or {})


def _cover(carved: Carved, svgs: Svgs, revision: str, bench: Bench) -> str:
    design = carved.placed.design
    plans = [(p, f"plan-{p}") for p in ("top", "back")]
    pictures = "".join(picture(svgs[k], f"{p}: inside, not to scale") for p, k in plans if k in svgs)
    problems = "".join(caution_box(f"Not worked out: {p}") for p in bench.problems)
    return (
        f'<header class="cover"><h1>{escape(design.name)}</h1>'
        + paragraph(f"Shop book, revision {revision}, {design.handed}-handed")
        + pictures
        + paragraph(_DEFER)
        + problems
        + "</header>"
    )


def _job(found: Sequence[Step], carved: Carved) -> str:
    pages = {brace_anchor(b) for b in carved.braces}
    out = []
    told: dict[str, int] = {}
    for step in found:
        links = [link(key, key) for key in step.drawings if key in pages or key.startswith(("deck-", "rim-strip-"))]
        others = [key for key in step.drawings if key not in pages and not key.startswith(("deck-", "rim-strip-"))]
        text = heading(3, f"{step.number}. {step.title}", f"step-{step.number}") + paragraph(step.text)
        text += checks(step.checks)
        for c in step.cautions:
            first = told.setdefault(c.text, step.number)
            text += caution_box(c.text) if first == step.number else caution_again(c.title, first)
        if links or others:
            text += f'<p class="small">Sheets: {", ".join([*map(escape, others), *links])}</p>'
        out.append(f'<section class="step">{text}</section>')
    return "".join(out)


def _stock(carved: Carved, inches: bool) -> str:
    rows = [
        [
            p.piece,
            p.plate,
            p.wood,
            str(p.count),
            " × ".join(length_words(v, inches) for v in p.size_mm),
            p.note,
        ]
        for p in cut_list(carved)
    ]
    return table("Lengths × widths × heights", ("piece", "plate", "wood", "count", "size", "note"), rows, 0)


def _cautions(found: Sequence[Step]) -> Iterator[str]:
    yield paragraph(_DEFER)
    told: dict[str, list[int]] = {}
    for step in found:
        for c in step.cautions:
            told.setdefault(c.text, []).append(step.number)
    for text, numbers in told.items():
        where = ", ".join(link(f"step {n}", f"step-{n}") for n in numbers)
        yield caution_box(text) + f'<p class="small">At {where}.</p>'


def _numbers(strength: Strength) -> Iterator[str]:
    yield paragraph("A model, not a promise. " + " ".join(strength.assumptions))
    rows = []
    for plate in (strength.top, strength.back):
        turn = "" if plate.bridge_turn_deg is None else f"{plate.bridge_turn_deg:.2f} deg"
        modes = ", ".join(f"{m.frequency_hz:.0f}" for m in plate.modes[:4])
        rows.append([plate.name, plate.rim, f"{plate.plate_mass_g:.0f} g", f"{plate.braces_mass_g:.0f} g", turn, modes])
    yield table("", ("plate", "held", "plate and patches", "braces", "bridge turns", "modes, Hz"), rows, 4)
    if strength.bounds:
        rows = [
            [b.quantity, f"-{100 * b.low_ratio:.1f} to +{100 * b.high_ratio:.1f} %", b.measured_on]
            for b in strength.bounds
        ]
        yield table("How far off the solution may be", ("number", "bound", "measured on"), rows, 0)
    if strength.marks:
        yield table("How sure the woods' figures are", ("wood", "mark"), [list(m) for m in strength.marks], 0)
