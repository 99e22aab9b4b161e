"""The shop book as one HTML file with live links, which prints well."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from braces.reports.book_html import caution_again, caution_box, checks, heading, link, page, paragraph, picture, table
from braces.workshop.book.blocks import (
    Block,
    Book,
    Chapter,
    Checks,
    Figure,
    Links,
    Section,
    Table,
    Warned,
    WarnedBefore,
    Words,
)

Svgs = Mapping[str, str | bytes]


def book_page(book: Book, svgs: Svgs, fonts: Mapping[str, bytes] | None = None) -> str:
    """Return the book. ``svgs`` holds the pictures' SVG texts by their keys; those that are not there are left out.

    ``fonts`` holds the drawings' typeface as TrueType files by CSS weight ("400", "700"), to be carried in the file.
    """
    contents = "".join(f"<li>{link(c.title, c.anchor)}</li>" for c in book.chapters)
    body = [_front(book, svgs), f"<nav><ol>{contents}</ol></nav>", *(_chapter(c, svgs) for c in book.chapters)]
    body.append(paragraph(f"{book.name}, revision {book.revision}.", small=True))
    return page(f"{book.name}: shop book", "\n".join(body), fonts or {})


def _front(book: Book, svgs: Svgs) -> str:
    pictures = "".join(_block(f, svgs) for f in book.pictures)
    words = paragraph(f"{book.about}, revision {book.revision}")
    rest = "".join(_block(b, svgs) for b in book.front)
    return f'<header class="cover"><h1>{escape(book.name)}</h1>{words}{pictures}{rest}</header>'


def _chapter(chapter: Chapter, svgs: Svgs) -> str:
    first = heading(2, chapter.title, chapter.anchor) + "".join(_block(b, svgs) for b in chapter.blocks)
    return first + "".join(_section(s, svgs) for s in chapter.sections)


def _section(section: Section, svgs: Svgs) -> str:
    inside = heading(3, section.title, section.anchor) + "".join(_block(b, svgs) for b in section.blocks)
    return f'<section class="{section.kind}">{inside}</section>'


def _block(block: Block, svgs: Svgs) -> str:
    match block:
        case Words(text, small):
            return paragraph(text, small)
        case Checks(items):
            return checks(items)
        case Warned(text):
            return caution_box(text)
        case WarnedBefore(title, place, anchor):
            return caution_again(title, place, anchor)
        case Links():
            return _links(block)
        case Table(caption, head, rows, numbers_count, written):
            return table(caption, head, rows, numbers_count, written)
        case Figure(key, caption):
            return picture(svgs[key], caption) if key in svgs else ""


def _links(links: Links) -> str:
    parts = []
    if links.pages:
        parts.append(f"In this book: {', '.join(link(x.name, x.anchor) for x in links.pages)}.")
    if links.sheets:
        parts.append(f"Sheets: {', '.join(map(escape, links.sheets))}.")
    return f'<p class="small">{" ".join(parts)}</p>'
