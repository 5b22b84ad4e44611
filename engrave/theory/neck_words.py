"""What a neck diagram shows, in a player's words: "A minor pentatonic, position 5", "E7 arpeggio, strings 4 to 1, frets 7 to 10".

words   = tones { "," where }
tones   = root scale | chord "arpeggio" | chord "triad"          (theory/scales.py)
where   = "position" fret | "open position" | "whole neck" | "frets" fret "to" fret
        | "strings" string "to" string | ( "two" | "three" | "four" ) "notes a string"
        | "root position" | "first inversion" | "second inversion"
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any, NamedTuple

from engrave.problems import did_you_mean
from engrave.theory.inversion import Inversion
from engrave.theory.scales import ToneSet, parse_tones

_NUMBERS = {"two": 2, "three": 3, "four": 4, "2": 2, "3": 3, "4": 4}
_RANGE = re.compile(r"(\d{1,2})(?:\s*(?:to|-|–)\s*(\d{1,2}))?")
_WHERE = re.compile(r"(position|frets?|strings?)\s+(.*)")
_EACH = re.compile(r"(\w+) notes (?:a|per) string")
_KNOWN = (
    "position 5", "open position", "whole neck", "frets 5 to 8", "strings 4 to 1", "three notes a string",
    "two notes a string", "root position", "first inversion", "second inversion",
)  # fmt: skip


class NeckWords(NamedTuple):
    """What is asked for. `position` 0, `each` 0 and None: nothing is said. Ranges are as typed."""

    tones: ToneSet
    position: int = 0
    is_whole: bool = False
    frets: tuple[int, int] | None = None
    strings: tuple[int, int] | None = None
    each: int = 0
    inversion: Inversion | None = None


def parse_range(text: str, what: str) -> tuple[int, int]:
    """Read "5 to 8", "5-8" or "5", the lower number first. `what`: frets or strings. Raises ValueError."""
    match = _RANGE.fullmatch(text.strip())
    if match is None:
        raise ValueError(
            f'"{text}" does not say which {what}; write two numbers: {what} 4 to 1'.replace(
                "frets 4 to 1", "frets 5 to 8"
            )
        )
    first, second = int(match.group(1)), int(match.group(2) or match.group(1))
    return min(first, second), max(first, second)


@lru_cache(maxsize=256)
def parse_neck(text: str) -> NeckWords:
    """Read the words of a neck. Raises ValueError that says what is wrong and what would be right."""
    first, *rest = (" ".join(piece.split()) for piece in text.split(","))
    words = NeckWords(parse_tones(first))
    said: set[str] = set()
    for piece in rest:
        field, value = _read_where(piece.lower(), text)
        if field in said:
            raise ValueError(f'"{text}" says twice where it lies; leave out "{piece}"')
        said.add(field)
        words = words._replace(**{field: value})
    _check(words, text)
    return words


def _read_where(piece: str, text: str) -> tuple[str, Any]:
    """The field of `NeckWords` that one piece sets, and its value."""
    if piece == "open position":
        return "position", 1
    if piece == "whole neck":
        return "is_whole", True
    for inversion in Inversion:
        if piece == inversion.value:
            return "inversion", inversion
    each = _EACH.fullmatch(piece)
    if each is not None and each.group(1) in _NUMBERS:
        return "each", _NUMBERS[each.group(1)]
    match = _WHERE.fullmatch(piece)
    if match is None:
        raise ValueError(f'"{piece}" in "{text}" does not say where it lies; {did_you_mean(piece, _KNOWN)}')
    what, number = match.group(1).rstrip("s"), match.group(2)
    if what == "position":
        if not number.isascii() or not number.isdigit() or not 1 <= int(number) <= 24:
            raise ValueError(f'"{piece}" is not a position; write the fret of the first finger: position 5')
        return "position", int(number)
    return f"{what}s", parse_range(number, f"{what}s")


def _check(words: NeckWords, text: str) -> None:
    """Refuse what cannot be meant together."""
    ways = {
        "a position": words.position,
        "the whole neck": words.is_whole,
        "a range of frets": words.frets is not None,
    }
    chosen = [name for name, there in ways.items() if there]
    if len(chosen) > 1:
        raise ValueError(f'"{text}" asks for {" and ".join(chosen)} at once; leave one of them out')
    for what, there in (("notes a string", words.each), ("an inversion", words.inversion is not None)):
        if there and (words.is_whole or words.frets is not None):
            raise ValueError(f'"{text}" asks for {what}, which says the frets; leave out {chosen[0]}')
    if words.each and words.inversion is not None:
        raise ValueError(f'"{text}" asks for notes a string and an inversion at once; leave one of them out')
    if words.each and not words.tones.is_scale:
        raise ValueError(f'"{text}": only a scale has so many notes a string; leave that out')
    if words.inversion is not None and words.tones.kind != "triad":
        raise ValueError(f'"{text}": only a triad has an inversion here; write triad, or leave that out')
