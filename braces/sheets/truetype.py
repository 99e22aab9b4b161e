"""Just enough of a TrueType file: the glyph of a letter, its width, and a copy with unused glyphs emptied.

Table layouts follow the OpenType specification (cmap format 4, head, hhea, hmtx, loca, glyf).
"""

from __future__ import annotations

import struct
from collections.abc import Iterable
from dataclasses import dataclass

#: Tables that a PDF reader needs from an embedded TrueType font.
_EMBEDDED = ("cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "prep")
#: Flags of a composite glyph's component.
_WORDS, _SCALE, _MORE, _XY, _2X2 = 0x1, 0x8, 0x20, 0x40, 0x80


@dataclass(frozen=True, slots=True)
class TrueType:
    """A font: its tables as bytes, the glyph of every character, advances in font units by glyph."""

    tables: dict[str, bytes]
    glyph_of: dict[int, int]
    advances: tuple[int, ...]
    units_per_em: int

    @property
    def cap_height(self) -> int:
        """Height of a capital letter in font units."""
        return int(struct.unpack_from(">h", self.tables["OS/2"], 88)[0])

    @property
    def box(self) -> tuple[int, int, int, int]:
        """Box of all glyphs in font units."""
        return struct.unpack_from(">4h", self.tables["head"], 36)

    @property
    def rise_and_fall(self) -> tuple[int, int]:
        """Ascent (positive) and descent (negative) in font units."""
        return struct.unpack_from(">2h", self.tables["hhea"], 4)


def read_truetype(data: bytes) -> TrueType:
    """Read a TrueType file; raise ``ValueError`` if it has no outlines or no Unicode character map."""
    count = struct.unpack_from(">H", data, 4)[0]
    tables: dict[str, bytes] = {}
    for k in range(count):
        tag, _, offset, length = struct.unpack_from(">4sLLL", data, 12 + 16 * k)
        tables[tag.decode("ascii")] = data[offset : offset + length]
    if "glyf" not in tables:
        raise ValueError("not a TrueType font with outlines")
    metric_count = struct.unpack_from(">H", tables["hhea"], 34)[0]
    glyph_count = struct.unpack_from(">H", tables["maxp"], 4)[0]
    pairs = struct.unpack_from(f">{2 * metric_count}H", tables["hmtx"])
    advances = pairs[::2] + (pairs[-2],) * (glyph_count - metric_count)
    units = struct.unpack_from(">H", tables["head"], 18)[0]
    return TrueType(tables, _glyphs(tables["cmap"]), advances, units)


def _glyphs(cmap: bytes) -> dict[int, int]:
    """Return code point -> glyph from the Windows Unicode subtable (format 4)."""
    for k in range(struct.unpack_from(">H", cmap, 2)[0]):
        platform, encoding, at = struct.unpack_from(">HHL", cmap, 4 + 8 * k)
        if (platform, encoding) == (3, 1) and struct.unpack_from(">H", cmap, at)[0] == 4:
            return _segments(cmap, at)
    raise ValueError("the font has no Unicode character map of format 4")


def _segments(cmap: bytes, at: int) -> dict[int, int]:
    double = struct.unpack_from(">H", cmap, at + 6)[0]
    n = double // 2
    ends = struct.unpack_from(f">{n}H", cmap, at + 14)
    starts = struct.unpack_from(f">{n}H", cmap, at + 16 + double)
    deltas = struct.unpack_from(f">{n}H", cmap, at + 16 + 2 * double)
    offsets_at = at + 16 + 3 * double
    offsets = struct.unpack_from(f">{n}H", cmap, offsets_at)
    found: dict[int, int] = {}
    for k, (start, end, delta, offset) in enumerate(zip(starts, ends, deltas, offsets, strict=True)):
        for code in range(start, min(end, 0xFFFE) + 1):
            glyph = code
            if offset:
                glyph = struct.unpack_from(">H", cmap, offsets_at + 2 * k + offset + 2 * (code - start))[0]
            if glyph or not offset:
                glyph = (glyph + delta) & 0xFFFF
            if glyph:
                found[code] = glyph
    return found


def subset(font: TrueType, glyphs: Iterable[int]) -> bytes:
    """Return a TrueType file with the same glyph numbers in which all but ``glyphs`` are empty."""
    offsets = _offsets(font)
    wanted = _with_parts(font.tables["glyf"], offsets, glyphs)
    outlines, starts = bytearray(), [0]
    for glyph in range(len(offsets) - 1):
        if glyph in wanted:
            outlines += font.tables["glyf"][offsets[glyph] : offsets[glyph + 1]]
            outlines += b"\0" * (-len(outlines) % 4)
        starts.append(len(outlines))
    head = bytearray(font.tables["head"])
    struct.pack_into(">h", head, 50, 1)  # long offsets in loca
    struct.pack_into(">L", head, 8, 0)
    kept = {tag: font.tables[tag] for tag in _EMBEDDED if tag in font.tables}
    kept |= {"head": bytes(head), "glyf": bytes(outlines), "loca": struct.pack(f">{len(starts)}L", *starts)}
    return _file(kept)


def _offsets(font: TrueType) -> tuple[int, ...]:
    loca = font.tables["loca"]
    if struct.unpack_from(">h", font.tables["head"], 50)[0]:
        return struct.unpack(f">{len(loca) // 4}L", loca)
    return tuple(2 * v for v in struct.unpack(f">{len(loca) // 2}H", loca))


def _with_parts(glyf: bytes, offsets: tuple[int, ...], glyphs: Iterable[int]) -> set[int]:
    """Return ``glyphs``, the missing-glyph box and every glyph that a composite one is built from."""
    wanted: set[int] = set()
    todo = [0, *glyphs]
    while todo:
        glyph = todo.pop()
        if glyph in wanted:
            continue
        wanted.add(glyph)
        at, end = offsets[glyph], offsets[glyph + 1]
        if end > at and struct.unpack_from(">h", glyf, at)[0] < 0:
            todo.extend(_components(glyf, at + 10))
    return wanted


def _components(glyf: bytes, at: int) -> Iterable[int]:
    flags = _MORE
    while flags & _MORE:
        flags, glyph = struct.unpack_from(">HH", glyf, at)
        yield glyph
        at += 4 + (4 if flags & _WORDS else 2)
        if flags & _SCALE:
            at += 2
        elif flags & _XY:
            at += 4
        elif flags & _2X2:
            at += 8


def _file(tables: dict[str, bytes]) -> bytes:
    """Assemble a TrueType file from its tables, with check sums."""
    n = len(tables)
    power = n.bit_length() - 1
    header = struct.pack(">LHHHH", 0x00010000, n, 16 << power, power, 16 * (n - (1 << power)))
    directory, body = b"", b""
    start = 12 + 16 * n
    for tag in sorted(tables):
        data = tables[tag]
        directory += struct.pack(">4sLLL", tag.encode("ascii"), _checksum(data), start + len(body), len(data))
        body += data + b"\0" * (-len(data) % 4)
    whole = bytearray(header + directory + body)
    adjustment = (0xB1B0AFBA - _checksum(bytes(whole))) & 0xFFFFFFFF
    head_at = next(
        struct.unpack_from(">L", whole, 12 + 16 * k + 8)[0]
        for k in range(n)
        if whole[12 + 16 * k : 16 + 16 * k] == b"head"
    )
    struct.pack_into(">L", whole, head_at + 8, adjustment)
    return bytes(whole)


def _checksum(data: bytes) -> int:
    padded = data + b"\0" * (-len(data) % 4)
    words: tuple[int, ...] = struct.unpack(f">{len(padded) // 4}L", padded)
    return sum(words) & 0xFFFFFFFF
