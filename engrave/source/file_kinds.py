"""What a file is that is no document of ours, and which command reads it."""

from __future__ import annotations

import re
from pathlib import PurePath
from typing import NamedTuple

_DOCUMENT = re.compile(rb"^(score|handout|songbook|paper|style|hand)\s*:", re.MULTILINE)
_TAB_LINE = re.compile(rb"^[^\n]{0,40}?\|?[-\d|hpbrsxt/\\~ ()<>*.]*(?:-{3}|\|-)[^\n]*$", re.MULTILINE)
_FEWEST_LINES = 4
"""Lines of dashes that make a typed tab: as many as the smallest instrument has strings."""
_STARTS: tuple[tuple[bytes, str], ...] = (
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"%PDF", "a PDF file"),
    (b"MThd", "a MIDI file"),
    (b"RIFF", "a sound file"),
    (b"ID3", "a sound file"),
    (b"OggS", "a sound file"),
    (b"fLaC", "a sound file"),
    (b"PK\x03\x04", "a zip file"),
    (b"{\\rtf", "a word processor's file"),
    (b"\xd0\xcf\x11\xe0", "a word processor's file"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
)
"""How files of well-known kinds start (their published formats)."""
_READ = ("a MIDI file", "a MusicXML file", "a compressed MusicXML file", "typed tab", "a text file")
_START = 65536
"""Bytes that are looked at."""


class FileKind(NamedTuple):
    """What a file is, in words; `is_read`: `engrave read` turns it into a score."""

    words: str
    is_read: bool = False


def find_kind(data: bytes, path: str) -> FileKind | None:
    """What the file with the content `data` is; None for a document of ours, or what may be a mistyped one."""
    start = data[:_START].removeprefix(b"\xef\xbb\xbf")
    words = next((name for sign, name in _STARTS if start.startswith(sign)), "")
    if words == "a zip file" and PurePath(path).suffix.lower() == ".mxl":
        words = "a compressed MusicXML file"
    text = start.lstrip()
    if not words and text.startswith(b"<"):
        words = _markup(text)
    if not words and _DOCUMENT.search(start) is None and len(_TAB_LINE.findall(start)) >= _FEWEST_LINES:
        words = "typed tab"
    if not words and text and PurePath(path).suffix.lower() == ".txt" and _DOCUMENT.search(start) is None:
        words = "a text file"
    return FileKind(words, words in _READ) if words else None


def _markup(text: bytes) -> str:
    if b"<score-partwise" in text or b"<score-timewise" in text:
        return "a MusicXML file"
    if b"<svg" in text:
        return "an SVG picture"
    return "an HTML page" if re.match(rb"<(!doctype )?html", text, re.IGNORECASE) else "an XML file"
