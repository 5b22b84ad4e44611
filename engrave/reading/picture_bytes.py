"""The bytes of PNG and JPEG files cleaned: what draws the picture is kept as it is, all else is left out.

Places (GPS), names, previews, comments and second pictures do not travel into what is printed or sent on.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator

PNG = b"\x89PNG\r\n\x1a\n"
JPEG = b"\xff\xd8"
_DRAWN_CHUNKS = frozenset((b"IHDR", b"PLTE", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"IDAT", b"IEND"))
"""Chunks that say which colour each pixel has (W3C PNG, third edition, 11)."""
_MOST_PROFILE = 4_000_000
"""Bytes of a colour profile, at most; longer ones are left out (house rule)."""
_START_OF_SCAN, _END, _APPLICATION, _COMMENT = 0xDA, 0xD9, range(0xE0, 0xF0), 0xFE
_KEPT = ((0xE0, b"JFIF\0"), (0xE2, b"ICC_PROFILE\0"), (0xEE, b"Adobe"))
"""Application segments that say how colours are meant (JFIF 1.02; ICC.1, B.4; Adobe Technical Note 5116)."""
_MOST_SCANS = 64
"""Scans of a progressive picture, at most: cameras and programs make about ten, and each one costs time (house rule)."""
_FRAMES = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})
"""JPEG markers that hold the size of the picture (ITU-T T.81, table B.1)."""
_WITHOUT_LENGTH = frozenset((0x01, *range(0xD0, 0xD8)))


class Damaged(ValueError):
    """A picture that breaks off, or is not what it says it is."""


def clean_png(data: bytes) -> bytes:
    """The chunks that draw the picture, of an animation the first. Raises Damaged for wrong check sums and missing ends."""
    kept = [PNG]
    for kind, content in _chunks(data):
        if kind in _DRAWN_CHUNKS and not (kind == b"iCCP" and len(content) > _MOST_PROFILE):
            body = kind + content
            kept += [struct.pack(">I", len(content)), body, struct.pack(">I", zlib.crc32(body))]
    return b"".join(kept)


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    position = len(PNG)
    while True:
        if position + 12 > len(data):
            raise Damaged("it breaks off")
        (length,) = struct.unpack_from(">I", data, position)
        kind, content = data[position + 4 : position + 8], data[position + 8 : position + 8 + length]
        if len(content) < length or position + 12 + length > len(data):
            raise Damaged("it breaks off")
        if struct.unpack_from(">I", data, position + 8 + length)[0] != zlib.crc32(kind + content):
            raise Damaged("a check sum is wrong")
        yield kind, content
        if kind == b"IEND":
            return
        position += 12 + length


def clean_jpeg(data: bytes) -> bytes:
    """The segments that draw the first picture of the file. Raises Damaged when it breaks off or never ends."""
    kept, scans = [JPEG], 0
    for marker, segment in _segments(data):
        is_told = marker == _COMMENT or marker in _APPLICATION
        if not is_told or any(marker == kind and segment[4:].startswith(name) for kind, name in _KEPT):
            kept.append(segment)
        scans += marker == _START_OF_SCAN
        if scans > _MOST_SCANS:
            raise Damaged(f"it has more than {_MOST_SCANS} scans")
    return b"".join(kept)


def _segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Each marker with its bytes, a scan with its data, to the end of the picture (ITU-T T.81, B.1.1)."""
    position = len(JPEG)
    while True:
        start = data.find(b"\xff", position)
        if start != position or start + 1 >= len(data):
            raise Damaged("it breaks off")
        while start + 1 < len(data) and data[start + 1] == 0xFF:
            start += 1
        marker = data[start + 1] if start + 1 < len(data) else _END
        if marker == _END or marker in _WITHOUT_LENGTH:
            yield marker, data[start : start + 2]
            if marker == _END:
                return
            position = start + 2
            continue
        stop = start + 2 + int.from_bytes(data[start + 2 : start + 4])
        if marker == _START_OF_SCAN:
            stop = _end_of_scan(data, stop)
        if stop > len(data) or stop < start + 4:
            raise Damaged("it breaks off")
        yield marker, data[start:stop]
        position = stop


def _end_of_scan(data: bytes, position: int) -> int:
    """Where the data of a scan ends: at the next marker that is no restart and no stuffed byte."""
    while True:
        position = data.find(b"\xff", position)
        if position < 0 or position + 1 >= len(data):
            raise Damaged("it breaks off")
        following = data[position + 1]
        if following not in (0x00, 0xFF) and not 0xD0 <= following <= 0xD7:
            return position
        position += 1 if following == 0xFF else 2


def jpeg_size(data: bytes) -> tuple[int, int] | None:
    """Width and height in pixels from the header of the frame; None when there is none."""
    for marker, segment in _segments(data):
        if marker in _FRAMES and len(segment) >= 9:
            height, width = struct.unpack_from(">HH", segment, 5)
            return width, height
    return None


def png_size(data: bytes) -> tuple[int, int] | None:
    """Width and height in pixels from the header chunk (W3C PNG, 11.2.1); None when there is none."""
    if len(data) < 24 or data[12:16] != b"IHDR":
        return None
    width, height = struct.unpack_from(">II", data, 16)
    return width, height
