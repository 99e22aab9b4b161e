"""The shop book as one HTML file with live links, which prints well."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from braces.reports.book_html import (
    caution_again,
    caution_box,
    checks,
    columns,
    heading,
    link,
    page,
    paragraph,
    picture,
    table,
)
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

Svgs = Mapping[str, tuple[str | bytes, str]]  #: a picture, and in words what is seen on it


def book_page(book: Book, svgs: Svgs, fonts: Mapping[str, bytes] | None = None) -> str:
    """Return the book. ``svgs`` holds the pictures by their keys; those that are not there are left out.

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
    first = heading(2, chapter.title, chapter.anchor)
    body = "".join(_block(b, svgs) for b in chapter.blocks) + "".join(_section(s, svgs) for s in chapter.sections)
    only_words = not any(isinstance(b, Table | Figure) for b in chapter.every_block)
    return first + (columns(body) if only_words else body)


def _section(section: Section, svgs: Svgs) -> str:
    blocks = section.blocks
    count = 1 if section.kind == "brace" and isinstance(blocks[0], Figure) else 0  # the side view goes across
    first, rest = ("".join(_block(b, svgs) for b in some) for some in (blocks[:count], blocks[count:]))
    inside = heading(3, section.title, section.anchor) + first + (columns(rest) if section.kind == "brace" else rest)
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
            return _figure(caption, *svgs[key]) if key in svgs else ""


def _figure(caption: str, svg: str | bytes, face: str) -> str:
    return picture(svg, f"{caption}; {face}" if face else caption)


def _links(links: Links) -> str:
    parts = []
    if links.pages:
        parts.append(f"In this book: {', '.join(link(x.name, x.anchor) for x in links.pages)}.")
    if links.sheets:
        parts.append(f"Sheets: {', '.join(map(escape, links.sheets))}.")
    return f'<p class="small">{" ".join(parts)}</p>'
