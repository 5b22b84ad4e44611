"""Measures of one part as cells, in pieces between which a line may break."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from engrave.exchange.braille import signs
from engrave.exchange.braille.literary import expression, parted
from engrave.exchange.braille.marks import Marks, Sign, read_marks
from engrave.exchange.braille.notes import Reader, Writing, mixes_sizes
from engrave.exchange.braille.signs import cells, lower_number, upper_number
from engrave.exchange.words.speech import Speaker
from engrave.score.joins import events_in_order
from engrave.score.slurs import EventAt
from engrave.score.structure import Barline, Event, Measure, Part, PartMeasure, Score, View, Voice
from engrave.theory.clef import Clef
from engrave.theory.key import Key
from engrave.theory.metre import Metre

_TREBLE = (Clef.TREBLE, Clef.OCTAVE_TREBLE)
_MOST_WRITTEN_RESTS = 3
"""Measures of rest that are written one by one; more are a number and a rest."""
_USUAL_TIMES = 2
_FEW_SIGNS = 3
"""Sharps or flats that are written one by one; more are a number and one of them."""
_NO_MARKS = Marks()


class Piece(NamedTuple):
    """Cells that stay together; `starts` a voice or event that a new line may begin with."""

    text: str
    starts: EventAt | None


class PartWriter:
    """Writes the measures of a part in any order: a line may begin with each."""

    def __init__(self, score: Score, part: Part, speaker: Speaker, tells_strings: bool = True) -> None:
        """Prepare `part` of `score`; words are in the language of `speaker`, strings told where there is a tab."""
        shown = part.view or score.view
        has_tab = tells_strings and part.is_fretted and shown not in (View.STAFF, View.LEAD_SHEET)
        self._measures = score.measures
        self._part = part
        self._writing = Writing(part.instrument.clef not in _TREBLE, has_tab, speaker)
        self._marks = read_marks(part, score.measures, speaker.book)
        self._after: dict[int, Reader] = {}

    def measure(self, index: int, breaks: Sequence[EventAt] = (), begins_line: bool = False) -> list[Piece]:
        """The cells of a measure; before the events of `breaks` a line has ended, and before the first if it begins one.

        Measures are asked for in order: each goes on where the reader of the one before was left.
        """
        measure, content = self._measures[index], self._part.measures[index]
        opening, closing = self._opening(measure), self._closing(measure)
        if content.repeats or measure.rests > 1:
            self._after[index] = Reader(measure.key)
            if measure.rests > 1:
                text = _rests(measure.rests)
            else:
                text = "" if content.repeat_index else _repeated(content.repeats)
            return [Piece(opening + text + closing, None)]
        if not begins_line and self._is_repeated(index):
            self._after[index] = self._after[index - 1]
            return [Piece(opening + signs.MEASURE_REPEAT + closing, None)]
        readers = self._readers(index, begins_line or bool(opening), len(content.voices))
        pieces: list[Piece] = []
        for number, voice in enumerate(content.voices):
            if number:
                pieces[-1] = pieces[-1]._replace(text=pieces[-1].text + signs.IN_ACCORD)
            pieces += self._voice(index, number, voice, readers[number], breaks)
        last = readers[0] if len(content.voices) == 1 else Reader(measure.key)
        last.last = None if closing else last.last
        self._after[index] = last
        pieces[0] = pieces[0]._replace(text=parted(opening, pieces[0].text, bool(measure.repeat.ending)))
        pieces[-1] = pieces[-1]._replace(text=pieces[-1].text + closing)
        return pieces

    def _is_repeated(self, index: int) -> bool:
        """True where the part plays the measure before once more, and nothing leads over the barlines of either.

        It is written as a measure repeat though print has it in full (De Garmo, examples 17-3 and 17-4).
        """
        measure = self._measures[index]
        if index == 0 or self._opening(measure) or begins_section(measure) or index - 1 not in self._after:
            return False
        before, content = self._part.measures[index - 1], self._part.measures[index]
        last = self._measures[index - 1]
        if before.repeats or last.rests > 1 or self._closing(last) or not _may_repeat(content):
            return False
        return self._alone(index) == self._alone(index - 1) != ""

    def _alone(self, index: int) -> str:
        """The music of a measure as a line would begin with it; "" where something leads over its barlines."""
        content = self._part.measures[index]
        joined = [at for at, marks in self._marks.at.items() if at.measure == index and marks.after]
        last = [
            EventAt(index, n, sum(1 for _ in events_in_order(voice)) - 1)
            for n, voice in enumerate(content.voices)
        ]
        if any(at in joined for at in last) or not _may_repeat(content):
            return ""
        key = self._measures[index].key
        pieces = [
            piece.text
            for number, voice in enumerate(content.voices)
            for piece in (Piece(signs.IN_ACCORD, None), *self._voice(index, number, voice, Reader(key), ()))
        ]
        text = "".join(pieces)
        return "" if signs.OPEN_SLUR in text or signs.CLOSE_SLUR in text else text

    def _readers(self, index: int, is_fresh: bool, voices: int) -> list[Reader]:
        """What a reader of each voice has in mind at the start: of one voice alone, what was left."""
        key = self._measures[index].key
        known = self._after.get(index - 1)
        first = Reader(key)
        if known is not None and not is_fresh and voices == 1:
            first = Reader(key, known.last, {}, known.string)
        return [first, *(Reader(key) for _ in range(1, voices))]

    def _voice(
        self, index: int, number: int, voice: Voice, reader: Reader, breaks: Sequence[EventAt]
    ) -> Iterator[Piece]:
        measure = self._measures[index]
        reader.start_measure(measure.key)
        values = [event.value for event in voice.events if not event.whole_measure]
        if mixes_sizes(values):
            reader.is_small = values[0].denominator < signs.LEAST_SMALL
        grouped = frozenset() if reader.is_small is not None else decide_groups(voice.events, measure.metre)
        waiting = list(self._marks.moments[index]) if number == 0 else []
        seen: set[int] = set()
        order = 0
        for place, event in enumerate(voice.events):
            start = EventAt(index, number, order)
            if start in breaks:
                reader.last = None
            text = ""
            if event.before is not None:
                many = len(event.before.events)
                text += self._writing.graces(
                    event.before, reader, [self._at(index, number, order + i) for i in range(many)]
                )
                order += many
            until = event.onset if place + 1 < len(voice.events) else measure.length
            now = _taken(waiting, event.onset)
            reader.is_in_group = place in grouped
            new = [tuplet for tuplet in event.tuplets if tuplet.id not in seen]
            seen.update(tuplet.id for tuplet in new)
            text += self._writing.event(event, reader, self._at(index, number, order), now, new)
            order += 1
            if event.after is not None:
                many = len(event.after.events)
                text += self._writing.graces(
                    event.after, reader, [self._at(index, number, order + i) for i in range(many)]
                )
                order += many
            if until == measure.length:
                text += "".join(sign.text for sign in _taken(waiting, measure.length))
            yield Piece(text, None if place in grouped else start)

    def _at(self, index: int, voice: int, order: int) -> Marks:
        return self._marks.at.get(EventAt(index, voice, order), _NO_MARKS)

    def _opening(self, measure: Measure) -> str:
        """What stands before the notes of a measure: new key and time, coda and segno, repeat, ending."""
        repeat, text = measure.repeat, ""
        if measure.index and not begins_section(measure):
            before = self._measures[measure.index - 1].key
            text = signature_cells(measure, before)
            text += " " if text else ""
        text += signs.SEGNO if repeat.segno else ""
        text += signs.CODA if repeat.coda else ""
        text += signs.REPEAT_START if repeat.start else ""
        if repeat.ending:
            text += signs.NUMBER + "".join(lower_number(number) for number in repeat.ending)
        return text

    def _closing(self, measure: Measure) -> str:
        """What stands after the notes of a measure."""
        repeat, text = measure.repeat, ""
        if repeat.to_coda:
            text += signs.CODA
        if repeat.end_times is not None:
            text += signs.REPEAT_END
            if repeat.end_times != _USUAL_TIMES:
                text += f" {expression(f'{repeat.end_times}x')}"
        elif measure.barline in _BARLINES:
            text += _BARLINES[measure.barline]
        if repeat.fine:
            text += f" {expression('fine')}"
        if repeat.go_back is not None:
            text += f" {expression(signs.GOING_BACK[repeat.go_back])}"
        return text


def _may_repeat(content: PartMeasure) -> bool:
    """True for a measure with notes of its own that no tie brings in or takes out."""
    events = [event for voice in content.voices for event in voice.events]
    ends = [note for voice in content.voices for note in voice.events[-1].notes]
    starts = [note for voice in content.voices for note in voice.events[0].notes]
    is_tied = any(note.tie_from for note in starts) or any(note.tie_to for note in ends)
    return any(event.notes for event in events) and not is_tied


def decide_groups(events: Sequence[Event], metre: Metre) -> frozenset[int]:
    """Which events (by place) are written as eighths: those after the first of a beat of equal small notes.

    A group is a whole beat of three or more sixteenths or smaller notes of one value, its first perhaps a rest. There is
    none before an eighth, which would be taken for one of its notes, and none of tuplets, or with something said inside
    (manual, grouping; De Garmo, examples 15-7 and 15-9).
    """
    grouped: set[int] = set()
    for start, stop in pairwise((*metre.beats, metre.length)):
        places = [place for place, event in enumerate(events) if start <= event.onset < stop]
        row = [events[place] for place in places]
        if len(row) < signs.LEAST_GROUPED or len({event.value for event in row}) > 1:
            continue
        value = row[0].value
        following = events[places[-1] + 1] if places[-1] + 1 < len(events) else None
        is_plain = not any(e.tuplets or e.before or e.after for e in row) and not any(
            e.is_rest for e in row[1:]
        )
        is_whole = row[0].onset == start and row[-1].onset + row[-1].length == stop
        is_doubtful = following is not None and following.value.denominator == signs.EIGHTH
        if (
            value.denominator >= signs.LEAST_SMALL
            and not value.dots
            and is_plain
            and is_whole
            and not is_doubtful
        ):
            grouped.update(places[1:])
    return frozenset(grouped)


_BARLINES = {
    Barline.DOUBLE: signs.DOUBLE_BAR,
    Barline.FINAL: signs.FINAL_BAR,
    Barline.DASHED: signs.DASHED_BAR,
}


def _taken(waiting: list[tuple[Fraction, Sign]], until: Fraction) -> list[Sign]:
    """The signs up to a moment, taken away from those that wait."""
    taken = [sign for onset, sign in waiting if onset <= until]
    waiting[:] = [(onset, sign) for onset, sign in waiting if onset > until]
    return taken


def _repeated(count: int) -> str:
    """The last measure again, or as many as a number says."""
    return signs.MEASURE_REPEAT if count == 1 else signs.NUMBER + upper_number(count)


def _rests(count: int) -> str:
    if count <= _MOST_WRITTEN_RESTS:
        return signs.WHOLE_REST * count
    return signs.NUMBER + upper_number(count) + signs.WHOLE_REST


def key_cells(key: Key) -> str:
    """A key signature: up to three signs, else their number and one of them."""
    return _signature(abs(key.fifths), signs.ACCIDENTALS[1 if key.fifths > 0 else -1])


def key_change_cells(before: Key, key: Key) -> str:
    """A key signature after another: naturals first where the music goes to none."""
    if key.fifths == 0:
        return _signature(abs(before.fifths), signs.ACCIDENTALS[0])
    return key_cells(key)


def _signature(count: int, sign: str) -> str:
    return cells(sign) * count if count <= _FEW_SIGNS else signs.NUMBER + upper_number(count) + cells(sign)


def time_cells(metre: Metre) -> str:
    """A time signature: the upper number, the lower one in the lower part of the cell; or the sign of C or cut C."""
    if metre.symbol:
        return signs.COMMON_TIME if metre.unit == 4 else signs.CUT_TIME
    return signs.NUMBER + upper_number(sum(metre.groups)) + lower_number(metre.unit)


def signature_cells(measure: Measure, before: Key | None) -> str:
    """What a measure says of key and time; `before` is the key until then, None at the start of the piece."""
    text = ""
    if measure.key_changes:
        text += key_cells(measure.key) if before is None else key_change_cells(before, measure.key)
    return text + (time_cells(measure.metre) if measure.metre_changes else "")


def begins_section(measure: Measure) -> bool:
    """True where a heading of its own stands over the measure: it has a label or a tempo."""
    return bool(measure.label) or measure.tempo is not None


def join_pieces(pieces: Sequence[Piece]) -> str:
    """The pieces of a measure as one."""
    return "".join(piece.text for piece in pieces)
