"""PNG and JPEG files: what they are, how many pixels they have, and that they are whole."""

from __future__ import annotations

import struct
import warnings
from io import BytesIO
from pathlib import Path

from engrave.source.files import PATHS_START, is_file, suggest_file

_PNG = b"\x89PNG\r\n\x1a\n"
_JPEG = b"\xff\xd8"
_MOST = 20_000_000
"""Bytes: a larger picture does not belong on a handout (house rule)."""
_FRAMES = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})
"""JPEG markers that hold the size of the picture (ITU-T T.81, table B.1)."""


ENDINGS = (".png", ".jpg", ".jpeg")


def read_picture(path: Path) -> tuple[bytes, tuple[int, int]]:
    """The bytes of a picture file and its (width, height) in pixels. Raises ValueError when it cannot be used."""
    if not is_file(path):
        hint = suggest_file(path, endings=ENDINGS) or PATHS_START
        raise ValueError(f'there is no picture "{path.name}"; {hint}')
    try:
        if path.stat().st_size > _MOST:
            raise ValueError(f'the picture "{path.name}" is larger than 20 MB')
        data = path.read_bytes()
    except OSError as error:
        raise ValueError(f'the picture "{path.name}" cannot be read: {error.strerror or error}') from error
    size = _png_size(data) if data.startswith(_PNG) else _jpeg_size(data) if data.startswith(_JPEG) else None
    if size is None or not all(size):
        raise ValueError(f'"{path.name}" is not a PNG or JPEG picture')
    _check_whole(data, path.name)
    return data, size


def _check_whole(data: bytes, name: str) -> None:
    """Raise ValueError for a picture that cannot be decoded to its end."""
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(BytesIO(data)) as picture:
                picture.load()
    except (OSError, ValueError, SyntaxError, EOFError, struct.error) as error:
        raise ValueError(f'the picture "{name}" is damaged; save it again') from error
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise ValueError(f'the picture "{name}" has too many pixels; save it smaller') from error


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
