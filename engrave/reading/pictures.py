"""PNG and JPEG files: what they are and how many pixels they have, found without decoding them."""

from __future__ import annotations

import struct
from pathlib import Path

_PNG = b"\x89PNG\r\n\x1a\n"
_JPEG = b"\xff\xd8"
_MOST = 20_000_000
"""Bytes: a larger picture does not belong on a handout (house rule)."""
_FRAMES = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})
"""JPEG markers that hold the size of the picture (ITU-T T.81, table B.1)."""


def read_picture(path: Path) -> tuple[bytes, tuple[int, int]]:
    """The bytes of a picture file and its (width, height) in pixels. Raises ValueError when it cannot be used."""
    if not path.is_file():
        raise ValueError(f'there is no picture "{path.name}"')
    try:
        if path.stat().st_size > _MOST:
            raise ValueError(f'the picture "{path.name}" is larger than 20 MB')
        data = path.read_bytes()
    except OSError as error:
        raise ValueError(f'the picture "{path.name}" cannot be read: {error.strerror or error}') from error
    size = _png_size(data) if data.startswith(_PNG) else _jpeg_size(data) if data.startswith(_JPEG) else None
    if size is None or not all(size):
        raise ValueError(f'"{path.name}" is not a PNG or JPEG picture')
    return data, size


def _png_size(data: bytes) -> tuple[int, int] | None:
    """Width and height from the header chunk (W3C PNG specification, 11.2.2)."""
    if len(data) < 24 or data[12:16] != b"IHDR":
        return None
    width, height = struct.unpack(">II", data[16:24])
    return width, height


def _jpeg_size(data: bytes) -> tuple[int, int] | None:
    position = 2
    while position + 9 < len(data) and data[position] == 0xFF:
        marker, length = data[position + 1], int.from_bytes(data[position + 2 : position + 4])
        if marker in _FRAMES:
            height, width = struct.unpack(">HH", data[position + 5 : position + 9])
            return width, height
        position += 2 + length
    return None
