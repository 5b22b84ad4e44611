"""The worst documents, settings files and pictures that are accepted, each made at a share of its full size."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable

from engrave.reading.rich_text import MOST_LETTERS
from engrave.source.files import LARGEST

SONG = "score: 1\nmeasures:\n" + "- notes: [1/8: 6:0 5:2 4:2 3:1 2:0 1:0 2:0 3:1]\n" * 200
"""What handouts and books name as song.yaml."""


def _text(*parts: str) -> bytes:
    return "".join(parts).encode()


def handout_items(share: float) -> bytes:
    """As many items as are allowed, each with measures of one song."""
    return _text(
        "handout: 1\ncontent:\n",
        "- {music: song.yaml, measures: 1-2, view: lead-sheet}\n" * int(share * 1000),
    )


def handout_music(share: float) -> bytes:
    """The longest handout of music written in it."""
    music = "{measures: [" + "{notes: [1/8: 6:0 5:2 4:2 3:1 2:0 1:0 2:0 3:1]}, " * 26 + "]}"
    return _text("handout: 1\ncontent:\n", f"- music: {music}\n" * int(share * 1000))


def handout_words(share: float) -> bytes:
    """The longest handout of words in paragraphs."""
    return _text(
        "handout: 1\ncontent:\n- text: |\n", "    A *line* of `words`.\n\n" * int(share * MOST_LETTERS / 24)
    )


def handout_links(share: float) -> bytes:
    """The longest handout of links."""
    links = "    [](#one) [](#one) [](#one)\n" * int(share * MOST_LETTERS / 27)
    return _text("handout: 1\ncontent:\n- {music: song.yaml, name: one}\n- text: |\n", links)


def handout_brackets(share: float) -> bytes:
    """The longest handout of brackets that open nothing."""
    return _text("handout: 1\ncontent:\n- text: |\n", f"    {'[' * 60}\n" * int(share * MOST_LETTERS / 61))


def handout_pictures(share: float) -> bytes:
    """As many items as are allowed, each with one picture."""
    return _text("handout: 1\ncontent:\n", "- {picture: small.png, alt: A hand}\n" * int(share * 1000))


def songbook_songs(share: float) -> bytes:
    """As many songs as are allowed, all of one file."""
    return _text("songbook: 1\nsongs:\n", "- {file: song.yaml, title: Quay}\n" * int(share * 5000))


def songbook_imprint(share: float) -> bytes:
    """The longest book by its imprint."""
    words = "  A **class**, gathered.\n\n" * int(share * MOST_LETTERS / 24)
    return _text("songbook: 1\ntitle: Songs\nimprint: |\n", words, "songs: [song.yaml]\n")


def style_keys(share: float) -> bytes:
    """As many keys as a mapping may have, each of them wrong."""
    signs = "".join(f"  w{number}: {{letters: a}}\n" for number in range(int(share * 990)))
    return _text("style: 1\nsigns:\n", signs)


def style_list(share: float) -> bytes:
    """The longest file as one list where numbers are wanted."""
    return _text("style: 1\nbeams: {ideal_stems: [", "1, " * int(share * (LARGEST - 100) / 3), "1]}\n")


def hand_keys(share: float) -> bytes:
    """As many keys as a mapping may have, each of them wrong."""
    return _text(
        "hand: 1\nbased-on: intermediate\n", "".join(f"w{number}: 1\n" for number in range(int(share * 990)))
    )


def table_words(share: float) -> bytes:
    """The longest table of words for sections."""
    words = ", ".join(f"w{number:x}" for number in range(int(share * LARGEST / 8)))
    return _text(f"sections: [{words}]\n")


def _png(width: int, height: int, *extra: tuple[bytes, bytes]) -> bytes:
    """A grey picture of one shade; `extra` are chunks before its pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    packer = zlib.compressobj(1)
    row = b"\0" + bytes(3 * width)
    pixels = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()
    chunks = (
        chunk(b"IHDR", head),
        *(chunk(*pair) for pair in extra),
        chunk(b"IDAT", pixels),
        chunk(b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def picture_png(share: float) -> bytes:
    """The PNG of most pixels, which packs to next to nothing."""
    return _png(4600, int(4600 * share))


def picture_chunks(share: float) -> bytes:
    """The largest PNG by what it says of itself, in the smallest pieces."""
    return _png(4, 4, *[(b"tEXt", b"a\0b")] * int(share * 20_000_000 / 15.1))


def picture_jpeg(share: float) -> bytes:
    """The JPEG of most pixels."""
    from PIL import Image

    stream = io.BytesIO()
    Image.new("L", (7700, int(7700 * share)), 128).save(stream, "JPEG")
    return stream.getvalue()


CASES: dict[str, Callable[[float], bytes]] = {
    "handout/items": handout_items,
    "handout/music": handout_music,
    "handout/words": handout_words,
    "handout/links": handout_links,
    "handout/brackets": handout_brackets,
    "handout/pictures": handout_pictures,
    "songbook/songs": songbook_songs,
    "songbook/imprint": songbook_imprint,
    "style/keys": style_keys,
    "style/list": style_list,
    "hand/keys": hand_keys,
    "table/words": table_words,
    "picture/png": picture_png,
    "picture/chunks": picture_chunks,
    "picture/jpeg": picture_jpeg,
}
"""What makes the file of each case, given the share of the full size."""
