"""A score as a text of braille music: head, then parallels of all parts (see the package for what is covered)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from engrave.exchange.braille import signs
from engrave.exchange.braille.beside import chord_row, lyric_rows
from engrave.exchange.braille.layout import MusicRow, Parallel, Row, as_pages, lay_out, wrapped
from engrave.exchange.braille.literary import is_known, literary
from engrave.exchange.braille.measures import PartWriter, begins_section, signature_cells
from engrave.exchange.braille.signs import cells
from engrave.exchange.words.speech import Speaker, speaker_of
from engrave.score.structure import Measure, NewLine, Part, PartMeasure, Score, Tempo
from engrave.style.wordbook import fill
from engrave.theory.numbering import name_measures

Losses = list[tuple[str, str]]
"""What braille has no sign for here, and where in the music."""
_LONGEST_NAME = 3
"""Letters of a part's name at the start of its lines (house rule)."""


class Sheet(NamedTuple):
    """Cells of a line, lines of a page; `tells_strings`: parts with a tab have string signs."""

    width: int = 40
    height: int = 25
    tells_strings: bool = True


def write_braille(score: Score, sheet: Sheet, language: str = "") -> tuple[str, Losses]:
    """The score in cells of Unicode, in lines and pages as `sheet` says, and what is not covered.

    `language` (a BCP 47 tag) is that of words that are not the author's; "" for the score's own, else English.
    """
    speaker = speaker_of(language or score.language)
    names = _names(score.parts)
    rows = [
        row
        for part, name in zip(score.parts, names, strict=True)
        for row in _rows(score, part, name, speaker, sheet)
    ]
    numbers = [measure.number for measure in score.measures]
    starts = [index for index, measure in enumerate(score.measures) if index == 0 or begins_section(measure)]
    parallels: list[Parallel] = []
    for first, stop in pairwise((*starts, len(score.measures))):
        laid = lay_out(rows, numbers, first, stop, sheet.width)
        heading = _centred(_section_heading(score, first), sheet.width)
        parallels.extend([[*heading, *laid[0]], *laid[1:]])
    head = [line for text in _titles(score, names, speaker) for line in _centred(text, sheet.width)]
    return as_pages(head, parallels, sheet.height), list(_losses(score))


def _names(parts: Sequence[Part]) -> list[str]:
    """What the lines of each part begin with: nothing where it is alone, else its first letters, made unlike by a number."""
    if len(parts) == 1:
        return [""]
    short = ["".join(filter(str.isalpha, part.name.lower()))[:_LONGEST_NAME] or part.id for part in parts]
    return [
        literary(name if short.count(name) == 1 else f"{name}{short[: index + 1].count(name)}") + " "
        for index, name in enumerate(short)
    ]


def _rows(score: Score, part: Part, name: str, speaker: Speaker, sheet: Sheet) -> Iterator[Row]:
    """The lines of a part: its words, its music, its chord names."""
    yield from lyric_rows(part)
    yield MusicRow(name, PartWriter(score, part, speaker, sheet.tells_strings))
    yield from chord_row(part, "")


def _titles(score: Score, names: Sequence[str], speaker: Speaker) -> Iterator[str]:
    """Title, subtitle, who made the piece, how the strings are tuned, the names of parts."""
    page, credits = speaker.book.page, score.credits
    yield literary(speaker.book.title(score.title))
    yield literary(score.subtitle)
    for words, who in (
        (page.words_by, credits.words),
        (page.music_by, credits.music),
        (page.arranged_by, credits.arrangement),
    ):
        if who:
            yield literary(fill(words, who))
    yield literary(score.copyright)
    for part, name in zip(score.parts, names, strict=True):
        if name:
            yield f"{name}{literary(speaker.book.part_name(part))}"
        if part.instrument.names_its_strings:
            tuned = " ".join(reversed(part.instrument.string_names))
            yield literary(fill(page.tuning, tuned))
        if part.instrument.capo:
            yield literary(fill(page.capo, str(part.instrument.capo)))


def _section_heading(score: Score, index: int) -> str:
    """What stands over a section: its label, its tempo, key and time where they are new."""
    measure = score.measures[index]
    before = score.measures[index - 1].key if index else None
    said = [literary(measure.label), _tempo(measure.tempo), signature_cells(measure, before)]
    return " ".join(filter(None, said))


def _tempo(tempo: Tempo | None) -> str:
    """A tempo as the manual has it: words with a full stop, then the note, the equals sign and the number."""
    if tempo is None:
        return ""
    text = literary(f"{tempo.words}.") if tempo.words else ""
    if tempo.value is None or tempo.per_minute is None:
        return text
    note = (
        cells(f"{signs.STEPS[0]}{signs.VALUE_DOTS[tempo.value.denominator]}") + signs.DOT * tempo.value.dots
    )
    number = literary(f"{float(tempo.per_minute):g}")
    return f"{text} {note}{signs.EQUALS}{number}".strip()


def _centred(text: str, width: int) -> list[str]:
    """A heading in the middle of its lines; three cells stay free on either side."""
    return [line.center(width).rstrip() for line in wrapped(text, width - 6)]


def _losses(score: Score) -> Iterator[tuple[str, str]]:
    """What is not written, or not as print has it."""
    measures = score.measures
    yield from _told(
        "breaks of lines and pages have no sign", [m for m in measures if m.new is not NewLine.NONE]
    )
    yield from _told("counts under the notes have no sign", [m for m in measures if m.counting])
    sums = [m for m in measures if m.metre_changes and len(m.metre.groups) > 1]
    yield from _told("the sum of a time signature is written as one number", sums)
    if score.shapes or any(
        chord.shape for part in score.parts for own in part.measures for chord in own.chords
    ):
        yield "shapes of chords are not written", ""
    for part in score.parts:
        for what, found in _lost_in(part, measures).items():
            for told, where in _told(what, found):
                yield told, f"{part.name}, {where}"


def _told(what: str, measures: Sequence[Measure]) -> Iterator[tuple[str, str]]:
    if measures:
        yield what, name_measures([str(measure.number) for measure in measures])


def _lost_in(part: Part, measures: Sequence[Measure]) -> dict[str, list[Measure]]:
    """What a part has that is not written, by measure."""
    found: dict[str, list[Measure]] = {}
    for measure, content in zip(measures, part.measures, strict=True):
        for what in _lost_in_measure(content):
            found.setdefault(what, []).append(measure)
    return found


def _lost_in_measure(content: PartMeasure) -> Iterator[str]:
    events = [event for voice in content.voices for event in voice.events]
    if any(note.is_slash for event in events for note in event.notes):
        yield "rhythm slashes are written as notes of the middle line"
    if any(chord.onset > Fraction(0) for chord in content.chords):
        yield "chord names stand under their measure, not under their beat"
    if content.neck is not None:
        yield "neck diagrams are not written"
    if content.clefs:
        yield "changes of clef are not written"
    if any(span.detail for span in content.spans):
        yield "where a position or barre ends is not written"
    texts = [text.text for text in content.texts]
    sung = [syllable.text for event in events for syllable in event.lyrics if syllable is not None]
    if not all(map(is_known, (*texts, *sung))):
        yield "characters without a cell are written as dots 456 26"
