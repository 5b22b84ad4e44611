"""PNG and JPEG files read for the page: whole, of a bearable size, upright, and without what they tell of their maker."""

from __future__ import annotations

import struct
import warnings
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from engrave.marks.turn import UPRIGHT, is_turn, lies_down
from engrave.reading.picture_bytes import JPEG, PNG, Damaged, clean_jpeg, clean_png, jpeg_size, png_size
from engrave.source.files import PATHS_START, is_file, suggest_file

if TYPE_CHECKING:
    from PIL.Image import Image

_MOST = 20_000_000
"""Bytes: a larger picture does not belong on a handout (house rule)."""
_MOST_PNG = 64_000_000
"""Bytes of the pixels of a PNG, which are all held at once: 21 megapixels in colour (house rule)."""
_MOST_JPEG = 60_000_000
"""Pixels of a JPEG, which goes into the PDF as it is (house rule)."""
_CHANNELS = {"1": 1, "L": 1, "I;16": 3, "I": 4, "LA": 2, "P": 3, "RGB": 3}
"""Bytes of a pixel by the mode in which Pillow holds it, on its way to the page; 4 for others."""
_ORIENTATION = 0x0112
"""The tag of EXIF that says how the camera was held (EXIF 2.32)."""
_SMALLER = 8
"""JPEG pictures are checked at an eighth of their size: every byte is read, a sixty-fourth of the memory is needed."""
_HALF_WIDTH = 1 / 256
"""From 16 bits of grey to 8."""

ENDINGS = (".png", ".jpg", ".jpeg")
_DECODING = (
    *(OSError, EOFError, SyntaxError, struct.error, Damaged),
    *(ArithmeticError, AttributeError, LookupError, NotImplementedError, TypeError),
)
"""What Pillow raises for damaged pictures, whose headers it takes at their word (found by damaging many)."""


class ReadPicture(NamedTuple):
    """A picture's bytes, its (width, height) in pixels as it is looked at, and how it is turned (EXIF 1 to 8)."""

    data: bytes
    size: tuple[int, int]
    turn: int


def read_picture(path: Path) -> ReadPicture:
    """The picture in the file at `path`. Raises ValueError when it cannot be used."""
    if not is_file(path):
        hint = suggest_file(path, endings=ENDINGS) or PATHS_START
        raise ValueError(f'there is no picture "{path.name}"; {hint}')
    try:
        if path.stat().st_size > _MOST:
            raise ValueError(f'the picture "{path.name}" is larger than 20 MB')
        data = path.read_bytes()
    except OSError as error:
        raise ValueError(f'the picture "{path.name}" cannot be read: {error.strerror or error}') from error
    if not data.startswith((PNG, JPEG)):
        raise ValueError(f'"{path.name}" is not a PNG or JPEG picture')
    try:
        return _read(data, path.name)
    except _DECODING as error:
        raise ValueError(f'the picture "{path.name}" is damaged; save it again') from error


def _read(data: bytes, name: str) -> ReadPicture:
    clean, size = (
        (clean_png(data), png_size(data)) if data.startswith(PNG) else (clean_jpeg(data), jpeg_size(data))
    )
    if size is None or not all(size):
        raise Damaged("it has no size")
    turn = _turn(data)
    clean = _check_whole(clean, size, name)
    return ReadPicture(clean, size[::-1] if lies_down(turn) else size, turn)


def _check_whole(data: bytes, size: tuple[int, int], name: str) -> bytes:
    """The bytes of a picture that can be decoded to its end, in a form that can be printed.

    Raises ValueError for one that is too large, and what Pillow raises for one that is damaged.
    """
    from PIL import Image

    with warnings.catch_warnings():
        warnings.simplefilter("ignore", Image.DecompressionBombWarning)
        try:
            with Image.open(BytesIO(data)) as picture:
                if picture.size != size:
                    raise Damaged("its size is not what its header says")
                room = size[0] * size[1]
                is_jpeg = picture.format != "PNG"
                if room > _MOST_JPEG or (not is_jpeg and room * _CHANNELS.get(picture.mode, 4) > _MOST_PNG):
                    raise _too_large(name)
                if is_jpeg:
                    picture.draft(None, (size[0] // _SMALLER, size[1] // _SMALLER))
                picture.load()
                return _in_8_bits(picture) if picture.mode.startswith("I") else data
        except Image.DecompressionBombError as error:
            raise _too_large(name) from error


def _too_large(name: str) -> ValueError:
    return ValueError(f'the picture "{name}" has too many pixels; save it smaller')


def _in_8_bits(picture: Image) -> bytes:
    """A picture of 16 bits of grey as a PNG of 8, which is what printers have."""
    narrow = picture.convert("I").point(lambda value: value * _HALF_WIDTH).convert("L")
    buffer = BytesIO()
    narrow.save(buffer, "PNG")
    return buffer.getvalue()


def _turn(data: bytes) -> int:
    """How the picture is to be turned to stand upright; damaged notes about it count as none."""
    from PIL import Image

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            with Image.open(BytesIO(data)) as picture:
                turn = picture.getexif().get(_ORIENTATION, UPRIGHT)
        except Exception:  # whatever is wrong with such notes, the picture may be good
            return UPRIGHT
    return int(turn) if is_turn(turn) else UPRIGHT
