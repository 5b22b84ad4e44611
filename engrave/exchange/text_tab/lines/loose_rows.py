"""Rows without a name in the margin, as people type them: PM----, let ring----, 1.   2., d   d u, x3, words to sing.

What they say becomes entries of the rows that have names (common practice, no source; what is taken for which: house rule).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from engrave.exchange.text_tab.lines.blocks import WordLine
from engrave.exchange.text_tab.lines.rows import ENDING, LYRICS, MARKS, SPANS, Entry

_SPAN_WORDS = (
    ("palm-mute", r"p\.? ?m\.?(?![a-z])|palm[ -]?mut(?:ed|es?|ing)"),
    ("let-ring", r"let (?:it |all |them )?ring|l\. ?r\.|ring out"),
)
_SPAN_WORD = re.compile(
    "|".join(f"(?P<s{n}>{words})" for n, (_, words) in enumerate(_SPAN_WORDS)), re.IGNORECASE
)
_DRAWN = re.compile(r"[ ]?[-_.~=]*[|>]?")
_TIMES = re.compile(
    r"[(\[]?(?:(?:repeat|play) )?(?:x ?(?P<after>\d{1,2})|(?P<before>\d{1,2}) ?(?:x|times))[)\]]?\.?",
    re.IGNORECASE,
)
_ENDING = re.compile(r"\|?_*(?P<number>[1-9])\.[-_ ]*\|?")
_STRUM = re.compile(r"[dDuU↓↑]")
_STRUM_WORDS = re.compile(r"\([^()]*\)|\bstrum(?:ming)?\b:?", re.IGNORECASE)
_SHIFTS = (0, -1, 1)
"""Columns by which a row of strokes may be typed off (house rule)."""
_PAUSE = ("-", ".", "|", "/")
_DOWN = ("d", "D", "↓")
_POINTING = ("here", "on", "out")
"""Words that may stand after it."""
_NEAR = 1
_APART = 3
"""A word may miss its note by a column where notes stand at least three apart (house rule)."""
_AGREEING = 0.6
"""The share of words that must stand over or under notes, so that a line is one to sing (house rule)."""
_EDGE = 4
"""Columns from a barline to the number of an ending."""
_WORD = re.compile(r"\S+")
_SYLLABLE = re.compile(r"[^-]+-?")
_HOLD = "..."


class Stage(NamedTuple):
    """What loose rows stand over: the notes of a block, its measures, whether anything in it repeats.

    Notes are (column of the text, how many strings), measures (first column, column after the last).
    """

    notes: tuple[tuple[int, int], ...]
    measures: tuple[tuple[int, int], ...]
    repeats: bool = False

    @property
    def onsets(self) -> list[int]:
        """The columns of the notes."""
        return [column for column, _ in self.notes]


def read_loose_row(line: WordLine, stage: Stage) -> list[Entry] | None:
    """What a line over or under a block says, when it is one of these rows; None for other lines."""
    readers: tuple[Callable[[WordLine, Stage], list[Entry] | None], ...] = (
        read_spans,
        _read_endings,
        _read_strums,
    )
    return next((entries for reader in readers if (entries := reader(line, stage)) is not None), None)


def read_times(text: str) -> int:
    """How often something is played, from x3, (3x) or play 3 times; 0 for other words."""
    match = _TIMES.fullmatch(text.strip())
    return int(match["after"] or match["before"]) if match else 0


def span_sign(words: str) -> str:
    """The sign that lasts which words name, as (palm muted) does; "" for others."""
    match = _SPAN_WORD.fullmatch(words.strip(" ()[]:.^"))
    return _sign(match) if match else ""


def read_spans(line: WordLine, stage: Stage) -> list[Entry] | None:
    """Palm mutes and notes that ring on: dashes reach to where they end; without dashes to the end of the measure.

    A palm mute without dashes is that of one note.
    """
    entries: list[Entry] = []
    position = 0
    for match in _SPAN_WORD.finditer(line.text):
        if line.text[position : match.start()].strip(" |^<-"):
            return None
        drawn = _DRAWN.match(line.text, match.end())
        position = drawn.end() if drawn else match.end()
        sign, column = _sign(match), match.start()
        pointed = line.text[: match.start()].rstrip()
        if pointed.endswith("^"):
            column = len(pointed) - 1
        if line.text[match.end() : position].strip():
            until = position
        elif sign == "let-ring":
            until = next((stop for start, stop in stage.measures if start - 1 <= column < stop), match.end())
            position = len(line.text) if line.text[position:].strip() in _POINTING else position
        else:
            until = column + 1
        entries.append(Entry(SPANS, 0, line.number, column, sign, until))
    return entries if entries and not line.text[position:].strip(" |>-") else None


def _sign(match: re.Match[str]) -> str:
    return next(sign for number, (sign, _) in enumerate(_SPAN_WORDS) if match[f"s{number}"])


def _read_endings(line: WordLine, stage: Stage) -> list[Entry] | None:
    """Numbers of endings, each at the barline nearest to it."""
    rest = _ENDING.sub("", line.text).strip(" |-_")
    found = list(_ENDING.finditer(line.text))
    if not stage.repeats or rest or not found or not stage.measures:
        return None
    entries: list[Entry] = []
    for match in found:
        start = min((start for start, _ in stage.measures), key=lambda start: abs(start - match.start()))
        column = start if abs(start - match.start()) <= _EDGE else match.start()
        drawn = match.group().rstrip(" |")
        until = match.start() + len(drawn) if drawn[-1:] in "-_" else column + 1
        entries.append(Entry(ENDING, 0, line.number, column, match["number"], max(until, column + 1)))
    return entries


def _read_strums(line: WordLine, stage: Stage) -> list[Entry] | None:
    """Letters or arrows for strokes down and up, which must stand at notes for the most part."""
    text = _STRUM_WORDS.sub(lambda match: " " * len(match.group()), line.text)
    words = [match for match in _WORD.finditer(text) if match.group() not in _PAUSE]
    if len(words) < 2 or not all(_STRUM.fullmatch(match.group()) for match in words):
        return None
    struck = dict(stage.notes)
    columns = [match.start() for match in words]
    shift = max(_SHIFTS, key=lambda step: sum(column + step in struck for column in columns))
    places = [column + shift for column in columns]
    if sum(place in struck for place in places) < _AGREEING * len(places):
        return None
    entries: list[Entry] = []
    for match, place in zip(words, places):
        hand = "strum" if struck.get(place, 2) > 1 else "pick"
        way = "down" if match.group() in _DOWN else "up"
        entries.append(Entry(MARKS, 0, line.number, place, f"all: {hand}-{way}", place + 1))
    return entries


def read_lyrics(line: WordLine, stage: Stage, sure: bool) -> list[Entry] | None:
    """Words to sing, each syllable at the note nearest to it that is left; None when there are too few notes for them.

    `sure`: chord names stand over the line; else most of its words must stand at notes.
    """
    words = [(match.start(), match.group()) for match in _WORD.finditer(line.words)]
    columns = sorted(stage.onsets)
    apart = min((b - a for a, b in pairwise(columns)), default=_APART)
    reach = _NEAR if apart >= _APART else 0
    near = sum(any(abs(column - start) <= reach for column in columns) for start, _ in words)
    if not columns or not any(sum(map(str.isalpha, word)) > 1 for _, word in words):
        return None
    if not sure and (len(words) < 2 or near < _AGREEING * len(words)):
        return None
    syllables = list(_syllables(words))
    places = _lay(syllables, columns)
    if places is None:
        return None
    texts = dict(zip(places, (text for _, text in syllables)))
    entries: list[Entry] = []
    for start, stop in stage.measures:
        inside = [column for column in columns if start <= column < stop]
        last = max((column for column in inside if column in texts), default=-1)
        entries.extend(
            Entry(LYRICS, 1, line.number, column, texts.get(column, _HOLD), column + 1)
            for column in inside
            if column <= last
        )
    return entries


def _syllables(words: Sequence[tuple[int, str]]) -> Iterator[tuple[int, str]]:
    """Syllables at their columns; a hyphen inside a word parts it."""
    for start, word in words:
        pieces = list(_SYLLABLE.finditer(word))
        if not pieces:
            continue
        for number, piece in enumerate(pieces):
            text = piece.group()
            yield start + piece.start(), text if number < len(pieces) - 1 else text.rstrip("-")


def _lay(syllables: Sequence[tuple[int, str]], columns: Sequence[int]) -> list[int] | None:
    """A note for each syllable, from left to right: the nearest of those that leave enough for the others."""
    if len(syllables) > len(columns):
        return None
    places: list[int] = []
    free = 0
    for number, (start, _) in enumerate(syllables):
        end = len(columns) - (len(syllables) - number - 1)
        index = min(range(free, end), key=lambda i: abs(columns[i] - start))
        places.append(columns[index])
        free = index + 1
    return places
