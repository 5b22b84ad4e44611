"""Which glyph draws which character: the cmap table of a TrueType file, formats 4 and 12.

Source: OpenType specification 1.9, chapter cmap. The segments are read in bulk and searched, so that no
dictionary of thousands of characters is built for a page that uses thirty.
"""

from __future__ import annotations

from bisect import bisect_left
from struct import unpack_from

MISSING_GLYPH = 0

_UNICODE_ENCODINGS = ((3, 10), (0, 6), (0, 4), (3, 1), (0, 3))
"""Platform and encoding of the Unicode subtables, the largest repertoire first."""


class CharacterMap:
    """Looks up glyph numbers by code point."""

    __slots__ = ("_data", "_deltas", "_ends", "_range_offsets", "_range_start", "_starts")

    def __init__(self, data: bytes, start: int) -> None:
        """Read the map at offset `start` of the file. A file without a Unicode map has no characters."""
        self._data = data
        self._starts: tuple[int, ...] = ()
        self._ends: tuple[int, ...] = ()
        self._deltas: tuple[int, ...] = ()
        self._range_offsets: tuple[int, ...] = ()
        self._range_start = 0
        subtable = _find_unicode_subtable(data, start)
        if subtable is None:
            return
        if unpack_from(">H", data, subtable)[0] == 12:
            self._read_groups(subtable)
        else:
            self._read_segments(subtable)

    def _read_groups(self, subtable: int) -> None:
        """Format 12: groups of (first character, last character, first glyph)."""
        count = unpack_from(">L", self._data, subtable + 12)[0]
        numbers = unpack_from(f">{3 * count}L", self._data, subtable + 16)
        self._starts, self._ends = numbers[0::3], numbers[1::3]
        self._deltas = tuple(glyph - first for first, glyph in zip(self._starts, numbers[2::3], strict=True))
        self._range_offsets = (0,) * count

    def _read_segments(self, subtable: int) -> None:
        """Format 4: parallel lists of ends, starts, deltas and offsets into a list of glyphs."""
        count = unpack_from(">H", self._data, subtable + 6)[0] // 2
        self._ends = unpack_from(f">{count}H", self._data, subtable + 14)
        self._starts = unpack_from(f">{count}H", self._data, subtable + 16 + 2 * count)
        self._deltas = unpack_from(f">{count}h", self._data, subtable + 16 + 4 * count)
        self._range_start = subtable + 16 + 6 * count
        self._range_offsets = unpack_from(f">{count}H", self._data, self._range_start)

    def glyph(self, codepoint: int) -> int:
        """The glyph number of a character, `MISSING_GLYPH` when the face has none."""
        segment = bisect_left(self._ends, codepoint)
        if segment == len(self._ends) or self._starts[segment] > codepoint:
            return MISSING_GLYPH
        offset = self._range_offsets[segment]
        if offset == 0:
            return (codepoint + self._deltas[segment]) & 0xFFFF
        position = self._range_start + 2 * segment + offset + 2 * (codepoint - self._starts[segment])
        glyph: int = unpack_from(">H", self._data, position)[0]
        return (glyph + self._deltas[segment]) & 0xFFFF if glyph else MISSING_GLYPH

    def glyphs(self) -> dict[int, int]:
        """The glyph of every code point that has one, in rising order of the code points."""
        found: dict[int, int] = {}
        for first, last, delta, offset in zip(
            self._starts, self._ends, self._deltas, self._range_offsets, strict=True
        ):
            start = (first + delta) & 0xFFFF
            if offset == 0 and 0 < start <= 0xFFFF - (last - first):
                found.update(zip(range(first, last + 1), range(start, start + last - first + 1), strict=True))
            else:
                each = ((codepoint, self.glyph(codepoint)) for codepoint in range(first, last + 1))
                found.update((codepoint, glyph) for codepoint, glyph in each if glyph != MISSING_GLYPH)
        return found


def _find_unicode_subtable(data: bytes, start: int) -> int | None:
    count = unpack_from(">H", data, start + 2)[0]
    found: dict[tuple[int, int], int] = {}
    for index in range(count):
        platform, encoding, offset = unpack_from(">2HL", data, start + 4 + 8 * index)
        if unpack_from(">H", data, start + offset)[0] in (4, 12):
            found[platform, encoding] = start + offset
    return next((found[key] for key in _UNICODE_ENCODINGS if key in found), None)
