"""What stands in the rows over and under a block: marks, fingers, words, signs that last, endings, lyrics."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.exchange.text_tab.lines import rows
from engrave.exchange.text_tab.lines.rows import Placed, draw_rows
from engrave.exchange.text_tab.lines.text_lines import as_typed
from engrave.exchange.text_tab.writing.layout import Laid
from engrave.exchange.text_tab.writing.music import Moment, Music
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


class Said(NamedTuple):
    """Words of a row at a moment of a measure; `span` is the sign that they are of.

    `moment` is the column of notes that they belong to, -1 where they go by time.
    """

    row: str
    onset: Fraction
    text: str
    span: SpanAt | None = None
    moment: int = -1


class Place(NamedTuple):
    """A measure of a block: its index, the column where it starts, its layout."""

    measure: int
    column: int
    laid: Laid
    timed: bool


def measure_marks(music: Music, cells: Sequence[Mapping[int, Spelled]]) -> list[Said]:
    """The marks and fingers of a measure that the strings do not tell."""
    said: list[Said] = []
    for index, (moment, here) in enumerate(zip(music.moments, cells)):
        struck = list(moment.notes)
        alone = len(struck) == 1
        pieces = _event_pieces(moment, "all: " if alone else "")
        for note in struck:
            where = "" if alone else f"{note.string}: "
            pieces += [f"{where}{piece}" for piece in _note_pieces(note, here[note.string].said)]
        for note in _held_notes(moment):
            finger = [f"{FINGER} {note.finger}"] if note.finger else []
            pieces += [
                f"{note.string}: {p}" for p in (*_note_pieces(note, frozenset({SignName.DEAD})), *finger)
            ]
        if pieces:
            said.append(Said(rows.MARKS, moment.onset, ", ".join(pieces), moment=index))
        fingers = [(note.string, note.finger) for note in struck if note.finger]
        plucks = [(n.string, t.finger.value) for n in struck for t in n.techniques if isinstance(t, Pluck)]
        for row, signs in ((rows.FINGERS, fingers), (rows.PLUCK, plucks)):
            if signs:
                text = ",".join(f"{string}:{sign}" if len(struck) > 1 else sign for string, sign in signs)
                said.append(Said(row, moment.onset, text, moment=index))
    return said


def _event_pieces(moment: Moment, prefix: str) -> list[str]:
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


def _held_notes(moment: Moment) -> list[Note]:
    notes = [note for _, event in moment.events for note in event.notes if note.string]
    return [note for note in notes if note.tie_from]


def _note_pieces(note: Note, said: frozenset[SignName]) -> list[str]:
    """What a note has that its cell does not tell."""
    pieces = [
        technique_words(technique)
        for technique in note.techniques
        if technique.sign not in said
        and technique.sign not in _DERIVED
        and technique.sign is not SignName.PLUCK
    ]
    if note.has(SignName.DEAD) and note.fret and not note.tie_from:
        pieces.append(f"fret {note.fret}")
    return pieces


def measure_words(content: PartMeasure, plain: str) -> list[Said]:
    """Free words but for those that stand alone over the block (`plain`), dynamics, and signs that last."""
    said = [
        Said(rows.TEXT, text.onset, as_typed(text.text))
        for text in content.texts
        if text.onset or text.text != plain
    ]
    said += [Said(rows.DYNAMICS, text.onset, text.text) for text in content.dynamics]
    for span in content.spans:
        row = rows.DYNAMICS if span.name in _HAIRPINS else rows.SPANS
        said.append(Said(row, span.onset, f"{span.name} {span.detail}".strip(), span))
    return said


def shared_words(measure: Measure, before: Measure | None, told: frozenset[str]) -> list[Said]:
    """Jumps, tempo and the rest that all parts share; `told` are the keys that the lines over the block tell."""
    start, repeat, said = Fraction(0), measure.repeat, []
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
        said.append(Said(rows.LABEL, start, as_typed(measure.label)))
    bars = [f"{word} {value}".strip() for word, value in _bar_facts(measure, before, told)]
    if measure.tempo is not None and "tempo" not in told:
        said.append(Said(rows.TEMPO, start, as_typed(tempo_text(measure.tempo))))
    if bars:
        said.append(Said(rows.MEASURES, start, ", ".join(bars)))
    if roadmap:
        said.append(Said(rows.ROADMAP, start, ", ".join(roadmap)))
    return said


def _bar_facts(measure: Measure, before: Measure | None, told: frozenset[str]) -> Iterator[tuple[str, str]]:
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
    if before is not None and measure.counting != before.counting:
        yield "counting", "on" if measure.counting else "off"
    if "barline" not in told:
        yield "barline", measure.barline.value


def _next_number(before: Measure) -> int:
    """The number that a measure has when nothing is said."""
    return before.number + before.rests


def rooms_of(said: Sequence[Said], ending: str) -> tuple[Mapping[Fraction, int], ...]:
    """The columns that words take up by moment, for each row whose words stay within their measure."""
    found: dict[str, dict[Fraction, int]] = {}
    for entry in said:
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
    score: Score, places: Sequence[Place], said: Mapping[int, Sequence[Said]], leads: bool, margin: int
) -> tuple[list[str], list[str]]:
    """The rows over and under a block of measures at `places`; `said` by the index of the measure."""
    found: dict[str, list[Placed]] = {}
    for number, place in enumerate(places):
        if number and places[number - 1].measure == place.measure:
            continue
        for entry in said.get(place.measure, ()):
            found.setdefault(entry.row, []).append(_place(score, places, number, entry))
    if leads:
        found[rows.ENDING] = list(_endings(score, places))
    above = [line for name in rows.ABOVE for line in draw_rows(name, found.get(name, ()), margin)]
    below = sorted(
        (name for name in found if name.split()[0] == rows.LYRICS), key=lambda name: (len(name), name)
    )
    return above, [line for name in below for line in draw_rows(name, found[name], margin)]


def _endings(score: Score, places: Sequence[Place]) -> Iterator[Placed]:
    """Endings with dashes as far as they reach."""
    start = 0
    while start < len(places):
        text = ending_text(score.measures[places[start].measure])
        stop = start + 1
        while stop < len(places) and ending_text(score.measures[places[stop].measure]) == text:
            stop += 1
        if text:
            last = places[stop - 1]
            yield Placed(places[start].column + 1, text, last.column + last.laid.width - 1)
        start = stop


def _place(score: Score, places: Sequence[Place], number: int, entry: Said) -> Placed:
    """Where an entry stands: over its note or rest, else with its beat before it."""
    place = places[number]
    measure = score.measures[place.measure]
    exact = {onset: column for column, onset in reversed(place.laid.places)}
    narrow = entry.row.split()[0] in (rows.LYRICS, rows.FINGERS, rows.PLUCK, rows.MARKS)
    looks_timed = entry.text.startswith("@") and entry.row in (
        rows.TEXT,
        rows.DYNAMICS,
        rows.SPANS,
        rows.CHORDS,
    )
    if entry.moment >= 0:
        column, text = place.column + place.laid.columns[entry.moment], entry.text
    elif not place.laid.places and not entry.onset and not looks_timed:
        column, text = place.column + 1, entry.text
    elif entry.onset in exact and (place.timed or narrow) and not looks_timed:
        column, text = place.column + exact[entry.onset], entry.text
    else:
        beat = beat_text(entry.onset + measure.metre_offset, measure.metre).replace(" ", "+")
        share = int(entry.onset / measure.length * (place.laid.width - 1)) if measure.length else 0
        column = place.column + min(1 + share, place.laid.width - 1)
        text = f"@{beat} {entry.text}"
    if entry.span is None:
        return Placed(column, text)
    return _place_span(score, places, number, Placed(column, text), entry.span)


def _place_span(score: Score, places: Sequence[Place], number: int, placed: Placed, span: SpanAt) -> Placed:
    """A sign that lasts: dashes to where it ends when they can tell it, else its length in words and dashes."""
    if span.measures:
        count = span.measures
        last = places[min(number + count, len(places)) - 1]
        words = f"{placed.text} for {count} measure{'s' if count > 1 else ''}"
        return Placed(placed.column, words, last.column + last.laid.width - _WIDE_GAP)
    end = span.onset + span.length
    for place in places[number:]:
        measure = score.measures[place.measure]
        if end <= measure.length:
            edges = [column for column, onset in place.laid.places if onset >= end]
            stop = place.column + (min(edges) if edges else place.laid.width)
            before = [column for column, onset in place.laid.places if onset < end]
            least = max(place.column + max(before, default=0) + 1, placed.column + len(placed.text) + 1)
            told = bool(place.laid.places) and place.timed
            exact = end == measure.length or end in {onset for _, onset in place.laid.places}
            if told and exact and least <= stop:
                return Placed(placed.column, placed.text, max(least, stop - _WIDE_GAP))
            break
        end -= measure.length
    share = f"{span.length.numerator}/{span.length.denominator}"
    return Placed(placed.column, f"{placed.text} for {share}")
