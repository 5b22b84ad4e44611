"""The lines around a block: section names, chord names, headings, words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from engrave.exchange.text_tab.lines.blocks import WordLine
from engrave.exchange.text_tab.lines.loose_rows import (
    Stage,
    read_loose_row,
    read_lyrics,
    read_times,
    span_sign,
)
from engrave.exchange.text_tab.lines.rows import LYRICS, SPANS, Entry
from engrave.exchange.text_tab.lines.table import ReadingTable
from engrave.exchange.text_tab.lines.text_lines import plain_words, without_quotes
from engrave.exchange.text_tab.reading.rhythm import RhythmRow, read_rhythm_row, second_row
from engrave.theory.chord_name import parse_chord_name

_LABEL = re.compile(r"\s*\[([^\[\]]{1,60})\]\s*:?\s*")
_LETTER = re.compile(r"\s*([A-Z])\s*[:.]?\s*")
"""A rehearsal letter alone on its line."""
_NUMBERING = re.compile(r"[\s\d:.]+")
_HEADING = re.compile(r"\s*([A-Za-z][A-Za-z -]{0,20}?)\s*[:=]\s*(\S.{0,120}|\".*\")")
_CAPO = re.compile(r"\s*capo\s+(?:on\s+|at\s+|fret\s+)*(\d{1,2})\b.{0,20}", re.IGNORECASE)
_TIME = re.compile(
    r"\s*\(?(?:(?:time:?\s*)?(\d{1,2}(?:\+\d{1,2})*/\d{1,2})(?:\s+time)?|time:?\s*((?:cut )?c))\)?\s*",
    re.IGNORECASE,
)
_ASIDE = re.compile(r"(?P<name>[^()]+?)\s*\((?P<words>[^()]+)\)\s*:?\s*")
_IN_PROSE = (
    ("time", re.compile(r"(?<![\d/])((?:[2-9]|1[0-9])/(?:2|4|8|16))(?![\d/])")),
    ("tempo", re.compile(r"(?<!\d)(\d{2,3})(?= ?bpm\b)", re.IGNORECASE)),
    ("capo", re.compile(r"\bcapo (?:on |at |fret )*(\d{1,2})\b", re.IGNORECASE)),
)
_WORD = re.compile(r"[A-Za-z]+")
_PRINTED = ("title", "subtitle", "music", "words", "arrangement")
_LONGEST_CHORD = 12
_CHORD_FILLERS = ("|", "||", "-", "/", "%")
_LONGEST_NAME = 30
_MOST_NAME_WORDS = 3


@dataclass(slots=True)
class Around:
    """What the lines around a block say.

    `chords` are (column from 0, name, line); `words` have not been understood; `under` is the row of a second voice;
    `part` is the line with the name of the part; `entries` come from rows without a name; `times` are (line, column, how
    often) of what is played again; `sung` is the line of words that are taken for lyrics, 0 without one.
    """

    rows: list[RhythmRow] = field(default_factory=list)
    chords: list[tuple[int, str, int]] = field(default_factory=list)
    labels: list[tuple[int, str]] = field(default_factory=list)
    heads: list[tuple[int, str, str]] = field(default_factory=list)
    words: list[WordLine] = field(default_factory=list)
    time: str = ""
    part: WordLine | None = None
    used: set[int] = field(default_factory=set)
    under: RhythmRow | None = None
    entries: list[Entry] = field(default_factory=list)
    times: list[tuple[int, int, int]] = field(default_factory=list)
    sung: int = 0


def chord_row(text: str) -> list[tuple[int, str]]:
    """(column, chord name) of a line that holds nothing but chord names; empty for other lines."""
    found: list[tuple[int, str]] = []
    for match in re.finditer(r"\S+", text):
        name = match.group(0)
        if name in _CHORD_FILLERS:
            continue
        if len(name) > _LONGEST_CHORD:
            return []
        try:
            parse_chord_name(name)
        except ValueError:
            return []
        found.append((match.start(), name))
    return found


def section_label(text: str, table: ReadingTable) -> str:
    """The name of a section: in square brackets, or a capital or one of the usual words alone on its line; "" for other lines."""
    match = _LABEL.fullmatch(text) or _LETTER.fullmatch(text)
    if match:
        return plain_words(match.group(1))
    word = _NUMBERING.sub(" ", text.lower()).strip()
    return plain_words(text).rstrip(":").strip() if word in table.sections else ""


def instrument_family(text: str, table: ReadingTable) -> str:
    """The family of instruments that a heading names; "" when it names none."""
    words = [word.lower() for word in _WORD.findall(text)]
    named = [table.instruments[word] for word in words if word in table.instruments]
    return named[-1] if named else ""


def part_name(text: str, table: ReadingTable) -> str:
    """The name of a part: a short line with the name of an instrument in it; "" for other lines."""
    words = text.strip().rstrip(":").split()
    if not 0 < len(words) <= _MOST_NAME_WORDS or len(text.strip()) > _LONGEST_NAME:
        return ""
    return plain_words(" ".join(words)) if instrument_family(" ".join(words), table) else ""


def colon_name(text: str, table: ReadingTable) -> str:
    """A short line that ends with a colon and names no section."""
    name = text.strip()
    short = name.endswith(":") and 1 < len(name) <= _LONGEST_NAME and len(name.split()) <= _MOST_NAME_WORDS
    return plain_words(name[:-1]) if short and not section_label(text, table) else ""


def heading(text: str, table: ReadingTable, typed: str = "") -> tuple[str, str] | None:
    """(key of the score, words) of a line that says something of the whole piece, such as a title; None for others.

    Titles and names are taken from `typed`, the line with the signs that were typed.
    """
    match = _HEADING.fullmatch(text)
    key = table.headings.get(" ".join(match.group(1).lower().split())) if match else None
    if match is None or key is None:
        return None
    if key in _PRINTED:
        return key, without_quotes(plain_words((typed or text)[match.start(2) :]))
    return key, plain_words(match.group(2))


def read_above(
    lines: Sequence[WordLine], stage: Stage, table: ReadingTable, people: frozenset[str], loose: bool
) -> Around:
    """What the lines above a block say. `people` are names that head blocks; `loose`: rows without a name are read."""
    around = Around()
    near = True
    for index in range(len(lines) - 1, -1, -1):
        line = lines[index]
        if near and _read_near(line, stage, around, loose):
            continue
        if _read_head(line, stage, table, people, around):
            continue
        over = lines[index - 1] if index else None
        sung = near and loose and line.touches and over is not None and over.touches and not around.chords
        words = read_lyrics(line, stage, True) if sung and over is not None and chord_row(over.text) else None
        if words is not None:
            around.entries.extend(words)
            continue
        near = False
        around.words.append(line)
    around.words.reverse()
    around.labels.reverse()
    return around


def read_below(lines: Sequence[WordLine], stage: Stage, around: Around, loose: bool) -> None:
    """Add what stands under the block: a rhythm row, that of a second voice when there are values above, loose rows."""
    for line in lines:
        row = None
        entries = None
        if not around.rows:
            row = read_rhythm_row(line.text, stage.onsets, line.number)
            around.rows.extend([row] if row is not None else [])
        elif around.under is None and not around.rows[0].counts:
            row = around.under = second_row(line.text, stage.onsets)
        if row is None and loose:
            entries = _read_loose(line, stage, around)
            has_lyrics = any(entry.row == LYRICS for entry in around.entries)
            if entries is None and line is lines[0] and not has_lyrics:
                entries = read_lyrics(line, stage, False)
                around.sung = 0 if entries is None else line.number
            around.entries.extend(entries or ())
        if row is not None or entries is not None:
            around.used.add(line.number)


def _read_loose(line: WordLine, stage: Stage, around: Around) -> list[Entry] | None:
    """The entries of a row without a name, or how often something is played; None for other lines."""
    times = read_times(line.text)
    if times:
        around.times.append((line.number, len(line.text) - len(line.text.lstrip()), times))
        return []
    return read_loose_row(line, stage)


def _read_near(line: WordLine, stage: Stage, around: Around, loose: bool) -> bool:
    """Rows that go by columns: chord names, rhythm, others. A capital alone that stands over no note names a section."""
    onsets = stage.onsets
    letter = _LETTER.fullmatch(line.text)
    apart = letter is not None and (not line.touches or letter.start(1) + 1 < min(onsets, default=0))
    entries = _read_loose(line, stage, around) if loose and stage.repeats and line.touches else None
    if entries is not None:
        around.entries.extend(entries)
        return True
    chords = [] if apart else chord_row(line.text)
    if chords and not around.chords:
        around.chords = [(column, name, line.number) for column, name in chords]
        return True
    row = read_rhythm_row(line.text, onsets, line.number)
    if row is not None and not around.rows:
        around.rows.append(row)
        return True
    entries = _read_loose(line, stage, around) if loose and line.touches and not apart else None
    around.entries.extend(entries or ())
    return entries is not None


def _read_head(
    line: WordLine, stage: Stage, table: ReadingTable, people: frozenset[str], around: Around
) -> bool:
    """Lines that name something: a section, a part, a time, a heading of the whole."""
    text = line.text
    label = section_label(text, table)
    name = part_name(text, table) or (colon_name(text, table) if colon_name(text, table) in people else "")
    time, head = _TIME.fullmatch(text), heading(text, table, line.typed)
    capo = _CAPO.fullmatch(text)
    if label:
        around.labels.append((line.number, section_label(line.words, table) or label))
    elif time:
        around.time = around.time or time.group(1) or time.group(2)
    elif capo:
        around.heads.append((line.number, "capo", capo.group(1)))
    elif head:
        around.heads.append((line.number, *head))
    elif name and around.part is None:
        around.part = line
    else:
        return _read_aside(line, stage, table, around)
    return True


def _read_aside(line: WordLine, stage: Stage, table: ReadingTable, around: Around) -> bool:
    """The name of a section with something in brackets after it: a capo, a time, what is done throughout, or words.

    A capo or a time may stand so after other words too.
    """
    match = _ASIDE.fullmatch(line.text)
    if match is None:
        return False
    words = match["words"].strip()
    capo, time, sign = _CAPO.fullmatch(words), _TIME.fullmatch(words), span_sign(words)
    label = section_label(match["name"], table)
    if label:
        around.labels.append((line.number, label))
    elif (time or capo) and not match["name"].endswith(":"):
        around.words.append(
            WordLine(line.number, match["name"], line.touches, line.typed[: match.end("name")])
        )
    else:
        return False
    if capo:
        around.heads.append((line.number, "capo", capo.group(1)))
    elif time:
        around.time = around.time or time.group(1) or time.group(2)
    elif sign and stage.measures:
        around.entries.append(throughout(sign, line.number, stage))
    elif times := read_times(words):
        around.times.append((line.number, match.start("words"), times))
    else:
        around.words.append(WordLine(line.number, words, line.touches, words))
    return True


def facts_in_prose(text: str) -> list[tuple[str, str]]:
    """(key of the score, words) of a time, a tempo and a capo that a line of words speaks of."""
    found = [(key, match) for key, pattern in _IN_PROSE if (match := pattern.search(text)) is not None]
    return [(key, match.group(1)) for key, match in found]


def throughout(sign: str, line: int, stage: Stage) -> Entry:
    """A sign that lasts from the first to the last measure of a block."""
    return Entry(SPANS, 0, line, stage.measures[0][0], sign, stage.measures[-1][1])
