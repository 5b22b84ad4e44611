"""The words of a text tab: the lines at its head, and what may stand over its blocks without being misread."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.exchange.text_tab.lines.blocks import WordLine, read_tab_line
from engrave.exchange.text_tab.lines.head_facts import fact_lines
from engrave.exchange.text_tab.lines.instruments import Strung, find_instrument, is_upside_down, read_tuning
from engrave.exchange.text_tab.lines.loose_rows import Stage
from engrave.exchange.text_tab.lines.rows import is_row
from engrave.exchange.text_tab.lines.table import ReadingTable
from engrave.exchange.text_tab.lines.text_lines import is_kept, quoted, read_lines, without_quotes
from engrave.exchange.text_tab.reading.score_tree import read_head_tempo
from engrave.exchange.text_tab.reading.words import (
    colon_name,
    facts_in_prose,
    heading,
    instrument_family,
    part_name,
    read_above,
    section_label,
)
from engrave.score.structure import Part, Score, Tempo
from engrave.theory.instrument import PRESETS, TUNINGS, Instrument, parse_tuning
from engrave.theory.key import Key
from engrave.writing.score_tree import tempo_text

_LONGEST_HEADING = 120
"""Characters after the colon of a heading that the reader takes."""
_LONGEST_TEXT = 60


def head_lines(score: Score, parts: Sequence[Part], tunings: bool = True) -> list[str]:
    """The lines at the head: titles, credits, tempo, tuning, capo, key and time, each where the score has it.

    Without tuning and capo where other lines tell of the parts (`tunings` False).
    """
    first = score.measures[0]
    capos = {part.instrument.capo for part in parts}
    headings = [
        ("Title", score.title),
        ("Subtitle", score.subtitle),
        ("Music", score.credits.music),
        ("Words", score.credits.words),
        ("Arrangement", score.credits.arrangement),
        ("Tempo", tempo_text(first.tempo) if first.tempo and is_head_tempo(first.tempo) else ""),
        ("Tuning", _tuning(parts[0]) if tunings and len(parts) == 1 else ""),
        ("Capo", str(capos.pop()) if tunings and len(capos) == 1 and capos != {0} else ""),
        ("Key", first.key.name if first.key != Key(0) else ""),
        ("Time", first.metre.text),
    ]
    told = [f"{key}: {_heading_words(text)}" for key, text in headings if text]
    return [*told, *fact_lines(score)]


def _heading_words(text: str) -> str:
    """Words after the colon of a heading."""
    return text if _is_safe(text, _LONGEST_HEADING) and without_quotes(text) == text else quoted(text)


def is_head_tempo(tempo: Tempo | None) -> bool:
    """Whether a line at the head tells a tempo as it is."""
    text = tempo_text(tempo) if tempo is not None else ""
    return bool(text) and _is_safe(text, _LONGEST_HEADING) and read_head_tempo(text) == text


def _is_safe(text: str, longest: int) -> bool:
    """Whether words come back as they are, and are no string line."""
    return (
        len(text) <= longest
        and not is_row(text + " ")
        and is_kept(text)
        and "|" not in read_lines(text.encode())[0]
        and read_tab_line(1, read_lines(text.encode())[0]) is None
    )


def is_label(text: str, table: ReadingTable) -> bool:
    """Whether `text` in square brackets is read as the name of a section."""
    return _is_safe(text, _LONGEST_TEXT) and section_label(f"[{text}]", table) == text


def is_plain_text(text: str, table: ReadingTable) -> bool:
    """Whether a line over a block is read as nothing but words."""
    if not _is_safe(text, _LONGEST_TEXT) or colon_name(text, table):
        return False
    columns = [column for column, sign in enumerate(text) if sign != " "]
    stage = Stage(tuple((column, 1) for column in columns), ((0, len(text)),), True)
    around = read_above([WordLine(1, text, True)], stage, table, frozenset(), True)
    return [line.words for line in around.words] == [text] and not (around.labels or facts_in_prose(text))


def block_names(parts: Sequence[Part], table: ReadingTable) -> list[str]:
    """What each part is called over its blocks: its name where the reader sees a part in it, else its instrument."""
    if len(parts) < 2:
        return ["" for _ in parts]
    names: list[str] = []
    for part in parts:
        family = _family(part.instrument)
        tries = [part.name, f"{part.name} {family}", *(f"{family} {number}" for number in range(1, 99))]
        taken = {name.lower() for name in names}
        able = [name for name in tries if name.lower() not in taken and _is_part_name(name, table)]
        names.append(next((name for name in able if _names_instrument(part, name, table)), able[0]))
    return names


def _is_part_name(name: str, table: ReadingTable) -> bool:
    """Whether a line with `name` alone is read as the name of a part."""
    other = section_label(name, table) or heading(name, table)
    return _is_safe(name, _LONGEST_TEXT) and part_name(name, table) == name and not other


def _names_instrument(part: Part, name: str, table: ReadingTable) -> bool:
    """Whether a block under `name` is read for the part's instrument and tuning."""
    strung = find_instrument(string_names(part, name, table), instrument_family(name, table))
    known = part.instrument.name in (strung.preset, *({part.instrument.name} - PRESETS.keys()))
    return known and _tuning_of(strung) == part.instrument.tuning


def _family(instrument: Instrument) -> str:
    words = instrument.name.split("-")
    return next(
        (word for word in words if word in ("guitar", "bass", "ukulele", "mandolin", "banjo")), "guitar"
    )


def string_letters(part: Part) -> list[str]:
    """The letters of the strings, thinnest first; a small one where the thickest has the same."""
    letters = list(part.instrument.string_names)
    if letters[0] in letters[1:] and len(letters[0]) == 1:
        letters[0] = letters[0].lower()
    return letters


def string_names(part: Part, name: str, table: ReadingTable) -> list[str]:
    """What the strings are called, thinnest first: by letters where they tell the tuning, else with octaves."""
    tuning = part.instrument.tuning
    letters = string_letters(part)
    family = instrument_family(name, table)
    full = [pitch.name for pitch in tuning]
    for names in (letters, full):
        if _tuning_of(find_instrument(names, family)) == tuning and not is_upside_down(names, family):
            return names
    return full if not is_upside_down(full, family) else letters


def _tuning_of(strung: Strung) -> tuple[object, ...]:
    return parse_tuning(strung.tuning) if strung.tuning else PRESETS[strung.preset].tuning


def _tuning(part: Part) -> str:
    """The tuning in words or as letters, thickest string first; "" when that would be misread."""
    tuning = part.instrument.tuning
    known = [name for name, pitches in TUNINGS.items() if parse_tuning(pitches) == tuning]
    letters = " ".join(reversed(part.instrument.string_names))
    full = " ".join(pitch.name for pitch in reversed(tuning))
    for text in [*(name for name in known if name != "standard"), letters, full]:
        names = read_tuning(text, len(tuning))
        if names and _tuning_of(find_instrument(names)) == tuning:
            return text
    return ""
