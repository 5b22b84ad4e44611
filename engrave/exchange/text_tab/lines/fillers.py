"""String lines that are drawn with other signs than dashes: = _ . · or blanks; they are read as if drawn with dashes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

_FEWEST_LINES = 4
_FEWEST_SIGNS = 3
"""Signs of a kind that a line is drawn with, at least (house rule)."""
_FILLERS = ("=", "_", ".", "\u00b7\u2219\u22c5\u2027\u2024", " ")
"""Signs that lines are drawn with; the fourth are dots at half height (from memory of Unicode's charts)."""
_NAME = r"\s*(?:[A-Ha-h][#b]?-?[0-9]?|[1-8])?\s*"
_SIGNS = r"\-\d|:xXhHpPbBrRsStTvV^/\\~()<>\[\]*"


def draw_with_dashes(lines: Sequence[str]) -> list[str]:
    """The lines with dashes instead of what four or more of them in a row are drawn with, column for column."""
    drawn = list(lines)
    for fillers in _FILLERS:
        pattern = _pattern(fillers)
        for start, stop in _runs(
            [pattern.fullmatch(text) is not None and _is_many(text, fillers) for text in lines]
        ):
            for index in range(start, stop):
                match = pattern.fullmatch(lines[index])
                if match is not None:
                    text, (first, last) = lines[index], match.span("body")
                    body = re.sub(f"[{re.escape(fillers)}]", "-", text[first:last])
                    drawn[index] = text[:first] + body + text[last:]
    return drawn


def _pattern(fillers: str) -> re.Pattern[str]:
    """A line drawn with `fillers`: blanks must stand between barlines, other signs need none."""
    signs = re.escape(fillers)
    if fillers == " ":
        return re.compile(rf"{_NAME}(?P<body>\|[{_SIGNS} ]*\|)(?:\s+\(?[xX]?\d{{1,2}}[xX]?\)?)?")
    return re.compile(rf"{_NAME}(?P<body>[|{signs}][{_SIGNS}{signs}]*)(?:\|\s.{{0,40}})?")


def _is_many(text: str, fillers: str) -> bool:
    return sum(map(text.count, fillers)) >= _FEWEST_SIGNS > text.count("-")


def _runs(flags: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """(start, stop) of runs of four or more."""
    start = 0
    for index, flag in enumerate([*flags, False]):
        if not flag:
            if index - start >= _FEWEST_LINES:
                yield start, index
            start = index + 1
