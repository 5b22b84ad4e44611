"""What stands in the rows over and under a block: marks, fingers, words, signs that last, endings, lyrics."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.exchange.text_tab.lines import rows
from engrave.exchange.text_tab.lines.rows import RowWords, draw_rows
from engrave.exchange.text_tab.lines.text_lines import as_typed
from engrave.exchange.text_tab.writing.layout import Laid
from engrave.exchange.text_tab.writing.music import Music, MusicColumn
from engrave.exchange.text_tab.writing.notes import Spelled
from engrave.score.short_form import FINGER
from engrave.score.sign_list import SIGNS, Carrier, SignName
from engrave.score.structure import Measure, Note, PartMeasure, Score, SpanAt
from engrave.score.techniques import Pluck, technique_words
from engrave.theory.metre import beat_text
from engrave.writing.score_tree import tempo_text

_WIDE_GAP = 2
_DERIVED = (SignName.ACCIDENTAL_MARK, SignName.SLASH)
"""Marks that the reader of the score finds by itself, or that are no marks of the author."""
_HAIRPINS = ("crescendo", "diminuendo")


class RowEntry(NamedTuple):
    """Words of a row at a moment of a measure; `span` is the sign that they are of.

    `moment` is the column of notes that they belong to, -1 where they go by time.
    """

    row: str
    onset: Fraction
    text: str
    span: SpanAt | None = None
    moment: int = -1


class LaidMeasure(NamedTuple):
    """A measure of a block: its index, the column where it starts, its layout."""

    measure: int
    column: int
    laid: Laid
    timed: bool


def measure_marks(music: Music, cells: Sequence[Mapping[int, Spelled]]) -> list[RowEntry]:
    """The marks and fingers of a measure that the strings do not tell."""
    entries: list[RowEntry] = []
    for index, (moment, here) in enumerate(zip(music.moments, cells)):
        struck = list(moment.notes)
        alone = len(struck) == 1
        pieces = _event_pieces(moment, "all: " if alone else "")
        for note in struck:
            where = "" if alone else f"{note.string}: "
            pieces += [f"{where}{piece}" for piece in _note_pieces(note, here[note.string].told)]
        for note in _held_notes(moment):
            finger = [f"{FINGER} {note.finger}"] if note.finger else []
            pieces += [
                f"{note.string}: {p}" for p in (*_note_pieces(note, frozenset({SignName.DEAD})), *finger)
            ]
        if pieces:
            entries.append(RowEntry(rows.MARKS, moment.onset, ", ".join(pieces), moment=index))
        fingers = [(note.string, note.finger) for note in struck if note.finger]
        plucks = [(n.string, t.finger.value) for n in struck for t in n.techniques if isinstance(t, Pluck)]
        for row, signs in ((rows.FINGERS, fingers), (rows.PLUCK, plucks)):
            if signs:
                text = ",".join(f"{string}:{sign}" if len(struck) > 1 else sign for string, sign in signs)
                entries.append(RowEntry(row, moment.onset, text, moment=index))
    return entries


def _event_pieces(moment: MusicColumn, prefix: str) -> list[str]:
    """The marks of whole events at a moment, and of slashes.

    `prefix` tells a mark that a single note could have too from one of that note.
    """
    pieces: list[str] = []
    for number, event in moment.events:
        where = prefix if len(moment.events) == 1 else ("upper: ", "lower: ")[number]
        techniques = [
            *event.techniques,
            *(technique for note in event.notes if note.is_slash for technique in note.techniques),
        ]
        for technique in techniques:
            if technique.sign not in _DERIVED:
                known = where == prefix and SIGNS[technique.sign].carrier is Carrier.EVENT
                pieces.append(technique.sign.value if known else where + technique.sign.value)
    return pieces


def _held_notes(moment: MusicColumn) -> list[Note]:
    notes = [note for _, event in moment.events for note in event.notes if note.string]
    return [note for note in notes if note.tie_from]


def _note_pieces(note: Note, told: frozenset[SignName]) -> list[str]:
    """What a note has that its cell does not tell."""
    pieces = [
        technique_words(technique)
        for technique in note.techniques
        if technique.sign not in told
        and technique.sign not in _DERIVED
        and technique.sign is not SignName.PLUCK
    ]
    if note.has(SignName.DEAD) and note.fret and not note.tie_from:
        pieces.append(f"fret {note.fret}")
    return pieces


def measure_words(content: PartMeasure, plain: str) -> list[RowEntry]:
    """Free words but for those that stand alone over the block (`plain`), dynamics, and signs that last."""
    entries = [
        RowEntry(rows.TEXT, text.onset, as_typed(text.text))
        for text in content.texts
        if text.onset or text.text != plain
    ]
    entries += [RowEntry(rows.DYNAMICS, text.onset, text.text) for text in content.dynamics]
    for span in content.spans:
        row = rows.DYNAMICS if span.name in _HAIRPINS else rows.SPANS
        entries.append(RowEntry(row, span.onset, f"{span.name} {span.detail}".strip(), span))
    return entries


def shared_words(measure: Measure, before: Measure | None, told: frozenset[str]) -> list[RowEntry]:
    """Jumps, tempo and the rest that all parts share; `told` are the keys that the lines over the block tell."""
    start, repeat, entries = Fraction(0), measure.repeat, []
    roadmap = [
        word
        for word, there in (
            ("segno", repeat.segno),
            ("coda", repeat.coda),
            ("to coda", repeat.to_coda),
            ("fine", repeat.fine),
        )
        if there
    ]
    if repeat.go_back is not None:
        roadmap.append(repeat.go_back.value)
    if measure.label and "label" not in told:
        entries.append(RowEntry(rows.LABEL, start, as_typed(measure.label)))
    facts = [f"{word} {value}".strip() for word, value in _measure_facts(measure, before, told)]
    if measure.tempo is not None and "tempo" not in told:
        entries.append(RowEntry(rows.TEMPO, start, as_typed(tempo_text(measure.tempo))))
    if facts:
        entries.append(RowEntry(rows.MEASURES, start, ", ".join(facts)))
    if roadmap:
        entries.append(RowEntry(rows.ROADMAP, start, ", ".join(roadmap)))
    return entries


def _measure_facts(
    measure: Measure, before: Measure | None, told: frozenset[str]
) -> Iterator[tuple[str, str]]:
    """What the row of measures tells: (word, value)."""
    usual = (0 if measure.pickup else 1) if before is None else _next_number(before)
    inside = measure.pickup and before is not None
    if inside:
        yield rows.PICKUP, ""
    if measure.number != usual or inside:
        yield "number", str(measure.number)
    if before is not None and measure.key != before.key:
        yield "key", measure.key.name
    if measure.new.value != "none":
        yield "new", measure.new.value
    if before is not None and measure.swing is not before.swing:
        yield "swing", measure.swing.value
    if before is not None and measure.counting != before.counting:
        yield "counting", "on" if measure.counting else "off"
    if "barline" not in told:
        yield "barline", measure.barline.value


def _next_number(before: Measure) -> int:
    """The number that a measure has when nothing is said."""
    return before.number + before.rests


def rooms_of(entries: Sequence[RowEntry], ending: str) -> tuple[Mapping[Fraction, int], ...]:
    """The columns that words take up by moment, for each row whose words stay within their measure."""
    found: dict[str, dict[Fraction, int]] = {}
    for entry in entries:
        name = entry.row.split()[0]
        if name in (rows.MARKS, rows.FINGERS, rows.PLUCK, rows.LYRICS):
            gap = 1 if name == rows.LYRICS else _WIDE_GAP
            room = found.setdefault(entry.row, {})
            room[entry.onset] = max(room.get(entry.onset, 0), len(entry.text) + gap)
    if ending:
        found[rows.ENDING] = {Fraction(0): len(ending) + 1}
    return tuple(found.values())


def ending_text(measure: Measure) -> str:
    """The numbers over an ending: "1.", "1,2."."""
    return ",".join(map(str, measure.repeat.ending)) + "." if measure.repeat.ending else ""


def rows_of_block(
    score: Score,
    laid_measures: Sequence[LaidMeasure],
    entries: Mapping[int, Sequence[RowEntry]],
    leads: bool,
    margin: int,
) -> tuple[list[str], list[str]]:
    """The rows over and under a block of measures at `laid_measures`; `entries` by the index of the measure."""
    found: dict[str, list[RowWords]] = {}
    for number, shown in enumerate(laid_measures):
        if number and laid_measures[number - 1].measure == shown.measure:
            continue
        for entry in entries.get(shown.measure, ()):
            found.setdefault(entry.row, []).append(_place(score, laid_measures, number, entry))
    if leads:
        found[rows.ENDING] = list(_endings(score, laid_measures))
    above = [line for name in rows.ABOVE for line in draw_rows(name, found.get(name, ()), margin)]
    below = sorted(
        (name for name in found if name.split()[0] == rows.LYRICS), key=lambda name: (len(name), name)
    )
    return above, [line for name in below for line in draw_rows(name, found[name], margin)]


def _endings(score: Score, laid_measures: Sequence[LaidMeasure]) -> Iterator[RowWords]:
    """Endings with dashes as far as they reach."""
    start = 0
    while start < len(laid_measures):
        text = ending_text(score.measures[laid_measures[start].measure])
        stop = start + 1
        while stop < len(laid_measures) and ending_text(score.measures[laid_measures[stop].measure]) == text:
            stop += 1
        if text:
            last = laid_measures[stop - 1]
            yield RowWords(laid_measures[start].column + 1, text, last.column + last.laid.width - 1)
        start = stop


def _place(score: Score, laid_measures: Sequence[LaidMeasure], number: int, entry: RowEntry) -> RowWords:
    """Where an entry stands: over its note or rest, else with its beat before it."""
    shown = laid_measures[number]
    measure = score.measures[shown.measure]
    exact = {onset: column for column, onset in reversed(shown.laid.onsets)}
    narrow = entry.row.split()[0] in (rows.LYRICS, rows.FINGERS, rows.PLUCK, rows.MARKS)
    looks_timed = entry.text.startswith("@") and entry.row in (
        rows.TEXT,
        rows.DYNAMICS,
        rows.SPANS,
        rows.CHORDS,
    )
    if entry.moment >= 0:
        column, text = shown.column + shown.laid.columns[entry.moment], entry.text
    elif not shown.laid.onsets and not entry.onset and not looks_timed:
        column, text = shown.column + 1, entry.text
    elif entry.onset in exact and (shown.timed or narrow) and not looks_timed:
        column, text = shown.column + exact[entry.onset], entry.text
    else:
        beat = beat_text(entry.onset + measure.metre_offset, measure.metre).replace(" ", "+")
        share = int(entry.onset / measure.length * (shown.laid.width - 1)) if measure.length else 0
        column = shown.column + min(1 + share, shown.laid.width - 1)
        text = f"@{beat} {entry.text}"
    if entry.span is None:
        return RowWords(column, text)
    return _place_span(score, laid_measures, number, RowWords(column, text), entry.span)


def _place_span(
    score: Score, laid_measures: Sequence[LaidMeasure], number: int, placed: RowWords, span: SpanAt
) -> RowWords:
    """A sign that lasts: dashes to where it ends when they can tell it, else its length in words and dashes."""
    if span.measures:
        count = span.measures
        last = laid_measures[min(number + count, len(laid_measures)) - 1]
        words = f"{placed.text} for {count} measure{'s' if count > 1 else ''}"
        return RowWords(placed.column, words, last.column + last.laid.width - _WIDE_GAP)
    end = span.onset + span.length
    for shown in laid_measures[number:]:
        measure = score.measures[shown.measure]
        if end <= measure.length:
            edges = [column for column, onset in shown.laid.onsets if onset >= end]
            stop = shown.column + (min(edges) if edges else shown.laid.width)
            before = [column for column, onset in shown.laid.onsets if onset < end]
            least = max(shown.column + max(before, default=0) + 1, placed.column + len(placed.text) + 1)
            told = bool(shown.laid.onsets) and shown.timed
            exact = end == measure.length or end in {onset for _, onset in shown.laid.onsets}
            if told and exact and least <= stop:
                return RowWords(placed.column, placed.text, max(least, stop - _WIDE_GAP))
            break
        end -= measure.length
    share = f"{span.length.numerator}/{span.length.denominator}"
    return RowWords(placed.column, f"{placed.text} for {share}")
