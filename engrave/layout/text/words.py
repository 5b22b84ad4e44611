"""Runs as words that may be cut: measured characters, spaces, and the places where a hyphen may stand."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import accumulate
from typing import TYPE_CHECKING, NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.text.apostrophes import printed_words
from engrave.score.rich_text import Run
from engrave.style.sheets import ParagraphStyle

if TYPE_CHECKING:
    from pyphen import Pyphen


_THIN = 1 / 5
"""Width in ems of a narrow no-break space where the face has none (fact: a thin space, Unicode Standard, chapter 6)."""

_BLANKS = " \t\r\f\v"
_NO_BREAK, _NARROW_NO_BREAK, _SOFT_HYPHEN = "\u00a0", "\u202f", "\u00ad"
_HYPHENS = "-\u2010\u2013\u2014"
_APOSTROPHES = "'\u2019"


class Char(NamedTuple):
    """One character. `source` is what was written, `blank` the part of `width` that may stretch."""

    text: str
    face: str
    link: str
    width: float
    blank: float
    source: str
    is_whole: bool


class Segment(NamedTuple):
    """Characters between two places where a line may end, and what stands at the second: a blank, a hyphen to add."""

    chars: tuple[Char, ...]
    blank: Char | None = None
    hyphen: Char | None = None
    inside_word: bool = False


def stretches(runs: Iterable[tuple[Run, str]], size: float) -> Iterator[list[Char]]:
    """The characters between forced ends of lines, spaces in a row made one, none at the ends. Every run comes with its face.

    Raises `UnknownFace`.
    """
    chars: list[Char] = []
    for run, face in runs:
        for character in run.text if run.code else printed_words(run.text):
            if character == "\n":
                yield _without_last_blank(chars)
                chars = []
            elif character not in _BLANKS:
                chars.append(_char(character, face, run.link, bool(run.link) or run.code, size))
            elif chars and chars[-1].text != " ":
                chars.append(_char(" ", face, run.link, False, size))
    yield _without_last_blank(chars)


def _without_last_blank(chars: list[Char]) -> list[Char]:
    return chars[:-1] if chars and chars[-1].text == " " else chars


def _char(source: str, face: str, link: str, is_whole: bool, size: float) -> Char:
    text, metrics = source, text_face(face)
    width = 0.0 if source == _SOFT_HYPHEN else metrics.width(source, size)
    if source == _NARROW_NO_BREAK and not metrics.has(source):
        text, width = _NO_BREAK, _THIN * size
    blank = width if source in (" ", _NO_BREAK) else 0.0
    return Char(
        text=text,
        face=face,
        link=link,
        width=width,
        blank=blank,
        source=source,
        is_whole=is_whole,
    )


def cut(chars: Sequence[Char], language: str, size: float, style: ParagraphStyle) -> list[Segment]:
    """The paragraph cut wherever a line may end."""
    segments: list[Segment] = []
    start = 0
    for stop in [n for n, char in enumerate(chars) if char.text == " "] + [len(chars)]:
        parts = list(_parts(chars[start:stop], language, size, style))
        if parts and stop < len(chars):
            parts[-1] = parts[-1]._replace(blank=chars[stop])
        segments += parts
        start = stop + 1
    if segments:
        # Nothing but dropped soft hyphens may have followed the last blank.
        segments[-1] = segments[-1]._replace(blank=None)
    return segments


def _parts(word: Sequence[Char], language: str, size: float, style: ParagraphStyle) -> Iterator[Segment]:
    """A word cut at its hyphens, written or possible."""
    letters = [char for char in word if char.source != _SOFT_HYPHEN]
    start = 0
    for stop, is_added in sorted(_cuts(word, language, style).items()):
        base = letters[stop - 1]
        hyphen = _char("-", base.face, base.link, True, size) if is_added else None
        yield Segment(tuple(letters[start:stop]), None, hyphen, True)
        start = stop
    if letters:
        yield Segment(tuple(letters[start:]))


def _cuts(word: Sequence[Char], language: str, style: ParagraphStyle) -> dict[int, bool]:
    """Where a word may be cut, counted without soft hyphens, and whether a hyphen is to be added there.

    Words that touch a link or code stay whole, but for addresses, and those with a hyphen are cut only there: common practice.
    """
    text = "".join(char.source for char in word)
    if any(char.is_whole for char in word):
        return _address_cuts(text) if "/" in text else {}
    plain = text.replace(_SOFT_HYPHEN, "")
    cuts = {
        position: False
        for position in range(2, len(plain))
        if plain[position - 1] in _HYPHENS and plain[position - 2].isalpha() and plain[position].isalpha()
    }
    if _SOFT_HYPHEN in text:
        before = accumulate(len(part) for part in text.split(_SOFT_HYPHEN)[:-1])
        cuts |= {position: True for position in before if 0 < position < len(plain) and position not in cuts}
    elif not cuts:
        cuts = dict.fromkeys(_hyphenation(plain, language, style), True)
    return cuts


def _address_cuts(text: str) -> dict[int, bool]:
    """Where the address of a page may be cut: after slashes, before other marks, never with a hyphen added.

    After The Chicago Manual of Style (17th edition, 7.46, from memory).
    """
    plain = text.replace(_SOFT_HYPHEN, "")
    after = {n + 1 for n, character in enumerate(plain) if character == "/" and plain[n + 1 : n + 2] != "/"}
    before = {n for n, character in enumerate(plain) if character in _IN_ADDRESSES}
    return {position: False for position in sorted(after | before) if 1 < position < len(plain)}


_NARROWEST = 2.0
"""Ems: in a narrower column words are not cut letter by letter (safety limit)."""
_IN_ADDRESSES = "~.,-_?#%=&+"


def cut_wide(segments: Iterable[Segment], width: float, size: float) -> Iterator[Segment]:
    """The segments, those cut between any two characters that are wider than `width`: the last resort.

    A column of a letter or two is left alone.
    """
    for segment in segments:
        if width < _NARROWEST * size:
            yield segment
            continue
        chars, start, used = segment.chars, 0, 0.0
        for stop, char in enumerate(chars):
            if stop > start and used + char.width > width:
                yield Segment(chars[start:stop], inside_word=True)
                start, used = stop, 0.0
            used += char.width
        yield segment if start == 0 else segment._replace(chars=chars[start:])


@cache
def _hyphenation(word: str, language: str, style: ParagraphStyle) -> tuple[int, ...]:
    """Where the patterns of the language allow a hyphen; never where it would change the spelling."""
    patterns = _patterns(language)
    if patterns is None or len(word.lower()) != len(word):
        return ()
    found: list[int] = []
    start = 0
    for stop in range(len(word) + 1):
        if stop < len(word) and (_is_letter(word[stop]) or word[stop] in _APOSTROPHES):
            continue
        part = word[start:stop].replace("\u2019", "'")
        if _letters(part) >= style.least_letters:
            found += [
                start + position
                for position in patterns.positions(part)
                if position.data is None
                and _letters(part[:position]) >= style.least_before_hyphen
                and _letters(part[position:]) >= style.least_after_hyphen
            ]
        start = stop + 1
    return tuple(found)


@cache
def _patterns(language: str) -> Pyphen | None:
    import pyphen

    known = pyphen.language_fallback(language) if language else None
    return pyphen.Pyphen(lang=known) if known else None


def _is_letter(character: str) -> bool:
    return unicodedata.category(character)[0] in "LM"


def _letters(text: str) -> int:
    return sum(map(str.isalpha, text))
