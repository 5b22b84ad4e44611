"""Bytes to lines: encodings, line ends, tab stops, the dashes and strokes that stand for one sign; remarks on lines."""

from __future__ import annotations

import json
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE
from typing import Literal, NamedTuple

Kind = Literal["dropped", "doubted", "guessed", "slip"]
"""dropped: not in the score; doubted: read, though it may mean something else; guessed: the text does not say it;
slip: probably a typing error, left as it stands."""


class Remark(NamedTuple):
    """A remark: line and column from 1 (after tab stops became spaces), in words what was found, and its kind."""

    line: int
    column: int
    what: str
    kind: Kind


class RemarkLog:
    """Remarks gathered while reading; the same one is kept once."""

    def __init__(self) -> None:
        """Nothing remarked yet."""
        self._found: dict[Remark, None] = {}

    def add(self, kind: Kind, line: int, column: int, what: str) -> None:
        """Note a remark at `line` (from 1) and `column` (from 0, as the reader counts)."""
        self._found.setdefault(Remark(line, max(0, column) + 1, what, kind))

    def in_order(self) -> list[Remark]:
        """All remarks by line and column."""
        return sorted(self._found)


LARGEST_INPUT = 400_000
"""Bytes that are read at most (house rule: a long songbook as text has half of it)."""
_TAB_STOP = 8
"""Columns from tab stop to tab stop (common practice, no source)."""
_LOOKALIKES = {
    "-": "\u00ad\u2010\u2011\u2012\u2013\u2014\u2015\u2212\u2500\u2501\ufe58\ufe63\uff0d\x96\x97",
    "|": "\u2502\u2503\u2551\u00a6\u01c0\uff5c",
    " ": "\u00a0\u2002\u2003\u2007\u2009\u202f\x0b\x0c",
    "~": "\u223c\u02dc\u301c\u3030",
    "/": "\u2044\u2215\u2197",
    "\\": "\u2216\u2198",
    "<": "\u2039\u27e8",
    ">": "\u203a\u27e9",
    "x": "\u00d7\u2715\u2717",
    "*": "\u2022\u25cf",
    "#": "\u266f",
    "b": "\u266d",
}
"""Each sign of tab with the characters that look like it: typographic hyphens and dashes (0x96 and 0x97 are the
dashes of old text files), lines of box drawing, spaces that do not break. (From memory of Unicode's charts.)"""
_UNSEEN = "\u200b\u200c\u200d\u2060\ufeff"
_NOTHING = dict.fromkeys(map(ord, _UNSEEN))
_SAME = {ord(twin): sign for sign, twins in _LOOKALIKES.items() for twin in twins}


def read_lines(data: bytes) -> list[str]:
    """The lines of `data`, with one sign for each dash, stroke and space, and spaces instead of tab stops.

    UTF-8 with or without its mark, UTF-16 with it, else Latin-1. Raises ValueError for more than `LARGEST_INPUT` bytes.
    """
    return [line.translate(_SAME).rstrip() for line in typed_lines(data)]


def typed_lines(data: bytes) -> list[str]:
    """The lines of `data` with the signs that were typed, column for column those of `read_lines`. Raises ValueError too."""
    if len(data) > LARGEST_INPUT:
        raise ValueError(f"the text has {len(data)} bytes; {LARGEST_INPUT} are the most that are read")
    text = _decode(data).replace("\r\n", "\n").replace("\r", "\n")
    return [line.expandtabs(_TAB_STOP).translate(_NOTHING).rstrip() for line in text.split("\n")]


def is_kept(text: str) -> bool:
    """Whether words in a line come back as they are."""
    return plain_words(text) == text and typed_lines(text.encode()) == [text]


def is_read_so(text: str) -> bool:
    """Whether a line of these signs alone is read as it is, with none of them taken for another."""
    return read_lines(text.encode()) == [text]


def as_typed(text: str) -> str:
    """Words as they are typed: as they are where they come back so, else in quotation marks, with escapes as JSON has them."""
    return text if text and is_kept(text) and without_quotes(text) == text else quoted(text)


def quoted(text: str) -> str:
    """Words in quotation marks, of which nothing is taken for anything else: odd signs, strokes, dashes and second spaces are escaped."""
    signs = [sign if _is_plain(sign) else _escape(sign) for sign in text]
    for index, sign in enumerate(signs):
        if sign == " " and signs[index - 1 : index] != [] and signs[index - 1].endswith(" "):
            signs[index] = _escape(" ")
    return f'"{"".join(signs)}"'


def without_quotes(words: str) -> str:
    """The words that quotation marks hold; other words as they are."""
    if not (len(words) > 1 and words[0] == words[-1] == '"'):
        return words
    try:
        text = str(json.loads(words))
        text.encode()
    except ValueError:
        return words
    return text


def _is_plain(sign: str) -> bool:
    """Whether a sign stays as it is between quotation marks."""
    if sign.isascii():
        return sign.isprintable() and sign not in '"\\|-;'
    return sign.isalnum() and ord(sign) not in _SAME


def _escape(sign: str) -> str:
    """A sign by its number, in one or two groups of UTF-16."""
    return json.dumps(sign)[1:-1] if not sign.isascii() or sign in '"\\' else f"\\u{ord(sign):04x}"


def _decode(data: bytes) -> str:
    encodings = ["latin-1"]
    if data.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        encodings.insert(0, "utf-16")
    encodings.insert(0, "utf-8-sig" if data.startswith(BOM_UTF8) else "utf-8")
    for encoding in encodings[:-1]:
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1")


def plain_words(text: str) -> str:
    """`text` without control characters and with single spaces, fit to be printed."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
