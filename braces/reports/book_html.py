"""The few kinds of HTML that the shop book is made of, and its look on screen and paper."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterable, Mapping, Sequence
from html import escape

FAMILY = "IBM Plex Sans"  #: what the drawings are lettered in: with another typeface their words would run together
STYLE = """
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { font: 10pt/1.4 "IBM Plex Sans", "Helvetica Neue", Arial, sans-serif; color: #000; background: #fff;
  max-width: 190mm; margin: 0 auto; padding: 8mm 6mm; }
h1 { font-size: 26pt; line-height: 1.1; margin: 0 0 2mm; }
h2 { font-size: 16pt; margin: 12mm 0 3mm; border-bottom: 0.35mm solid #000; padding-bottom: 1mm; }
h3 { font-size: 12pt; margin: 6mm 0 1.5mm; }
h2, h3 { break-after: avoid; }
p { margin: 1.5mm 0; }
a { color: inherit; text-decoration: underline; text-decoration-thickness: 0.2mm; text-underline-offset: 0.6mm; }
nav ol, ul.checks { list-style: none; padding: 0; margin: 2mm 0; }
nav ol { columns: 2; }
ul.checks label { display: flex; gap: 3mm; align-items: center; margin: 0.8mm 0; }
ul.checks input { width: 4mm; height: 4mm; margin: 0; flex: none; }
table { border-collapse: collapse; margin: 1mm 0 3mm; font-size: 8.5pt; }
p.head { font-weight: 600; font-size: 8.5pt; margin: 2mm 0 0; break-after: avoid; }
th, td { padding: 0.3mm 2.5mm 0.3mm 0; text-align: left; vertical-align: baseline; }
tr { break-inside: avoid; }
th { font-weight: 600; border-bottom: 0.2mm solid #000; }
td.n, th.n { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
table.bare td:first-child { white-space: nowrap; padding-right: 4mm; }
.columns { columns: 2; column-gap: 8mm; }
.columns > :first-child, .columns > .step:first-child h3 { margin-top: 0; }
@media screen and (max-width: 150mm) { .columns { columns: 1; } }
table.write { width: 100%; }
table.write td { border-bottom: 0.2mm solid #000; height: 7mm; vertical-align: bottom; }
.caution { border: 0.35mm solid #000; border-left-width: 2mm; padding: 1.5mm 3mm; margin: 2mm 0; }
.caution b { display: block; }
.step, .sheet, figure, .caution { break-inside: avoid; }
figure { margin: 3mm 0; }
figure svg { display: block; width: 100%; height: auto; max-height: 235mm; }
figcaption { font-size: 8.5pt; }
p.again { border-left: 2mm solid #000; padding-left: 3mm; }
.cover figure { display: inline-block; width: 48%; vertical-align: top; }
.small { font-size: 8.5pt; }
@page { size: A4; margin: 14mm 12mm 16mm; @bottom-right { content: counter(page); font-size: 8.5pt; } }
@media print {
  body { max-width: none; padding: 0; }
  h2 { break-before: auto; }
  nav { break-after: page; }
  .brace { break-inside: avoid; }
  a { text-decoration: none; }
}
"""

_WHOLE_ROWS = 16  #: longer tables may run on over a page
_CHECK_GROUP = re.compile(r'<g id="check".*?</g>\s*', re.DOTALL)
_NAMES = re.compile(r' (?:id|inkscape:[a-z]+|xmlns:inkscape)="[^"]*"')
_SIZE = re.compile(r'(<svg[^>]*?) width="([^"]*)" height="[^"]*"')


def picture(svg: str | bytes, caption: str) -> str:
    """Return a drawing scaled down to the page if it is wider, never up.

    Its check bar is taken off, since it would not be true there.
    """
    text = svg.decode("utf-8") if isinstance(svg, bytes) else svg
    text = text[text.index("<svg") :]
    size = _SIZE.search(text)
    text = _NAMES.sub("", _CHECK_GROUP.sub("", text)).strip()
    text = _SIZE.sub(r"\1", text, count=1)
    label = escape(caption, quote=True)
    wide = f' style="max-width:{size.group(2)}"' if size else ""
    text = text.replace("<svg", f'<svg role="img" aria-label="{label}"{wide}', 1)
    return f"<figure>{text}<figcaption>{escape(caption)}</figcaption></figure>"


def table(
    caption: str,
    head: Sequence[str],
    rows: Iterable[Sequence[str]],
    numbers: int | None = None,
    written: bool = False,
) -> str:
    """Return a table; the last ``numbers`` columns are set as numbers, all but the first if not given.

    One to be ``written`` in has high rows with lines.
    """
    flush = 1 if numbers is None else len(head) - numbers

    def row(cells: Sequence[str], tag: str) -> str:
        marks = (' class="n"' if i >= flush else "" for i in range(len(cells)))
        inside = "".join(f"<{tag}{m}>{escape(c)}</{tag}>" for m, c in zip(marks, cells, strict=True))
        return f"<tr>{inside}</tr>"

    lines = [row(r, "td") for r in rows]
    body = "".join(lines)
    top = f'<p class="head">{escape(caption)}</p>' if caption else ""
    first = f"<thead>{row(head, 'th')}</thead>" if any(head) else ""
    kind = "sheet" if len(lines) <= _WHOLE_ROWS else "long"
    own = ' class="write"' if written else ("" if any(head) else ' class="bare"')
    return f'<div class="{kind}">{top}<table{own}>{first}<tbody>{body}</tbody></table></div>'


def paragraph(text: str, small: bool = False) -> str:
    """Return a paragraph of plain words."""
    mark = ' class="small"' if small else ""
    return f"<p{mark}>{escape(text)}</p>"


def columns(body: str) -> str:
    """Return what stands in two columns where there is room for them."""
    return f'<div class="columns">{body}</div>'


def heading(level: int, text: str, anchor: str) -> str:
    """Return a heading that can be linked to."""
    return f'<h{level} id="{escape(anchor, quote=True)}">{escape(text)}</h{level}>'


def link(text: str, anchor: str) -> str:
    """Return a link within the book."""
    return f'<a href="#{escape(anchor, quote=True)}">{escape(text)}</a>'


def checks(items: Iterable[str]) -> str:
    """Return boxes to tick, on screen or on paper."""
    inside = "".join(f'<li><label><input type="checkbox">{escape(i)}</label></li>' for i in items)
    return f'<ul class="checks">{inside}</ul>'


def caution_box(text: str) -> str:
    """Return a warning in a box."""
    return f'<div class="caution"><b>Caution</b>{escape(text)}</div>'


def caution_again(what: str, place: str, anchor: str) -> str:
    """Return one line that sends back to a warning given in full before."""
    return f'<p class="again"><b>Caution</b> as at {link(place, anchor)}: {escape(what)}.</p>'


def page(title: str, body: str, fonts: Mapping[str, bytes]) -> str:
    """Return the whole file: everything it needs is in it. ``fonts`` holds TrueType files by CSS weight."""
    faces = "".join(
        f'@font-face {{ font-family: "{FAMILY}"; font-weight: {weight}; '
        f'src: url("data:font/ttf;base64,{b64encode(data).decode("ascii")}") format("truetype"); }}\n'
        for weight, data in fonts.items()
    )
    return (
        '<!DOCTYPE html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{faces}{STYLE}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )
