"""A TrueType file opened for measuring.

Written with `struct` instead of a font library because every run of the program starts here: importing a
font library costs more time than drawing a page. Only what measuring needs is read, and each value only
when it is first asked for, so that opening a face costs little more than reading its file.

Source of every offset: OpenType specification 1.9 (chapters head, hhea, hmtx, maxp, OS/2, loca, glyf).
"""

from __future__ import annotations

from pathlib import Path
from struct import unpack_from

from engrave.fonts.character_map import CharacterMap

_TABLE_RECORD = 16
_LONG_OFFSETS = 1


class DamagedFont(Exception):
    """A font file is not what it should be: the message names the file and what is missing."""


class FontFile:
    """The tables of one TrueType file. Lengths are in font units, `units_per_em` to the em."""

    __slots__ = (
        "_full_metrics",
        "_long_offsets",
        "_tables",
        "characters",
        "data",
        "glyph_count",
        "path",
        "units_per_em",
    )

    def __init__(self, path: Path) -> None:
        """Open the file at `path`. Raises `DamagedFont` when a table is missing, OSError when unreadable."""
        self.path = path
        self.data = path.read_bytes()
        self._tables = _read_directory(self.data)
        head = self.table_start("head")
        self.units_per_em: int = unpack_from(">H", self.data, head + 18)[0]
        self._long_offsets: bool = unpack_from(">h", self.data, head + 50)[0] == _LONG_OFFSETS
        self.glyph_count: int = unpack_from(">H", self.data, self.table_start("maxp") + 4)[0]
        self._full_metrics: int = unpack_from(">H", self.data, self.table_start("hhea") + 34)[0]
        self.characters = CharacterMap(self.data, self.table_start("cmap"))

    def table_start(self, tag: str) -> int:
        """The offset of the table called `tag` in the file. Raises `DamagedFont` when there is none."""
        try:
            return self._tables[tag]
        except KeyError:
            raise DamagedFont(f"{self.path.name}: the font has no {tag!r} table") from None

    def advance(self, glyph: int) -> int:
        """The width that the glyph takes in a line of text, in font units."""
        index = min(glyph, self._full_metrics - 1)  # the last full entry stands for all that follow
        width: int = unpack_from(">H", self.data, self.table_start("hmtx") + 4 * index)[0]
        return width

    def advances(self) -> tuple[tuple[int, int], ...]:
        """The advance and the left side bearing of every glyph, in font units."""
        start, full = self.table_start("hmtx"), self._full_metrics
        pairs = unpack_from(f">{2 * full}H", self.data, start)
        rest = unpack_from(f">{self.glyph_count - full}H", self.data, start + 4 * full)
        return (*zip(pairs[0::2], pairs[1::2], strict=True), *((pairs[-2], bearing) for bearing in rest))

    def outline_offsets(self) -> tuple[int, ...]:
        """Where each glyph's outline starts in the table of outlines, and where the last one ends."""
        count = self.glyph_count + 1
        if self._long_offsets:
            return unpack_from(f">{count}L", self.data, self.table_start("loca"))
        return tuple(2 * half for half in unpack_from(f">{count}H", self.data, self.table_start("loca")))

    def glyph_span(self, glyph: int) -> tuple[int, int]:
        """Where the glyph's outline starts and ends in the file; equal when it has no ink."""
        loca, glyf = self.table_start("loca"), self.table_start("glyf")
        if self._long_offsets:
            start, end = unpack_from(">2L", self.data, loca + 4 * glyph)
        else:
            start, end = (2 * half for half in unpack_from(">2H", self.data, loca + 2 * glyph))
        return glyf + start, glyf + end

    def glyph_box(self, glyph: int) -> tuple[int, int, int, int] | None:
        """Left, bottom, right, top of the glyph's ink in font units, or None when it has none."""
        start, end = self.glyph_span(glyph)
        if start == end:
            return None
        left, bottom, right, top = unpack_from(">4h", self.data, start + 2)
        return left, bottom, right, top

    def vertical_metrics(self) -> tuple[int, int, int, int]:
        """Typographic ascent, descent (negative), x height and capital height in font units (table OS/2)."""
        start = self.table_start("OS/2")
        ascent, descent = unpack_from(">2h", self.data, start + 68)
        version = unpack_from(">H", self.data, start)[0]
        # Heights of x and of capitals came with version 2 of the table.
        x_height, cap_height = unpack_from(">2h", self.data, start + 86) if version >= 2 else (0, 0)
        return ascent, descent, x_height, cap_height


def _read_directory(data: bytes) -> dict[str, int]:
    count = unpack_from(">H", data, 4)[0]
    tables = {}
    for index in range(count):
        tag, _checksum, offset, _length = unpack_from(">4s3L", data, 12 + _TABLE_RECORD * index)
        tables[tag.decode("latin-1")] = offset
    return tables
