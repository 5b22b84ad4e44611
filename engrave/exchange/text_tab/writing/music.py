"""What one part plays in a measure, as columns of notes with the values that stand over and under them."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.exchange.text_tab.writing.values import Value, value_texts, voice_values
from engrave.score.structure import Event, Measure, Note, Part, PartMeasure
from engrave.theory.duration import decompose_length

Text = tuple[str, str]
"""A value as text: what stands before its column, and from it on."""
_NOTHING: Text = ("", "")
_GRACE_BEFORE, _MAIN = 1, 2
_GRACE_AFTER = 0
"""What comes first at one moment: grace notes after the event that ends there, those before the next, the event."""


class MusicColumn(NamedTuple):
    """One column: `onset` in whole notes, the notes struck, and the values of the rows, upper first.

    `held`: nothing is struck and something held. `grace`: it holds grace notes, which have no time. `events` are those
    of the voices here, each with its voice from 0.
    """

    onset: Fraction
    notes: tuple[Note, ...] = ()
    values: tuple[Text, ...] = (_NOTHING,)
    held: bool = False
    grace: bool = False
    events: tuple[tuple[int, Event], ...] = ()


class Music(NamedTuple):
    """A measure of a part; no moments: it is silent. Where a row of values tells all, it is `timed`."""

    moments: tuple[MusicColumn, ...] = ()
    timed: bool = True


def part_music(part: Part, measures: Sequence[Measure], parts: Sequence[Part]) -> list[Music]:
    """The measures of a part; `parts` are all that are written.

    A silent part is written with rests where only they can tell how long a measure is.
    """
    result: list[Music] = []
    before: list[frozenset[int]] = [frozenset(), frozenset()]
    for index, (content, measure) in enumerate(zip(part.measures, measures)):
        music = _measure(content, measure, before)
        told = any(_has_values(other.measures[index]) for other in parts)
        if not music.moments and measure.length != measure.metre.length and not told:
            music = _rests(measure.length)
        result.append(music)
    return result


def _has_values(content: PartMeasure) -> bool:
    return any(not event.whole_measure for voice in content.voices for event in voice.events)


def _rests(length: Fraction) -> Music:
    """Rests that tell how long a measure lasts which is shorter than its time."""
    moments: list[MusicColumn] = []
    onset = Fraction(0)
    for value in decompose_length(length):
        moments.append(MusicColumn(onset, (), (value_texts(Value(onset, value, is_rest=True)),)))
        onset += value.length
    return Music(tuple(moments))


def _measure(content: PartMeasure, measure: Measure, before: list[frozenset[int]]) -> Music:
    """A measure; `before` are the strings that sound before it in each voice, and then those at its end."""
    word = f"rest x{measure.rests}" if measure.rests > 1 else ""
    if content.repeats:
        word = "%" + (str(content.repeats) if content.repeats > 1 else "")
    rows: list[list[Value]] = []
    for number in (0, 1):
        events = content.voices[number].events if number < len(content.voices) else ()
        values, before[number] = voice_values(events, before[number])
        rows.append(values)
    if not any(rows):
        if not word and len(content.voices) == 1:
            return Music()
        texts: tuple[Text, ...] = tuple(("", word or "rest") for _ in content.voices)
        return Music((MusicColumn(Fraction(0), (), texts),))
    if len(content.voices) == 1:
        return Music(tuple(_alone(rows[0])))
    moments = _together(rows)
    for number, values in enumerate(rows):
        if not values:
            row = list(moments[0].values)
            row[number] = ("", "rest")
            moments[0] = moments[0]._replace(values=tuple(row))
    return Music(tuple(moments))


def _alone(values: Sequence[Value]) -> list[MusicColumn]:
    """One voice. Where there is nothing but rests, they are written as such, for a measure of rest has no values."""
    silent = all(value.is_rest for value in values)
    return [_moment([(0, value)], 1, silent) for value in values]


def _together(rows: Sequence[Sequence[Value]]) -> list[MusicColumn]:
    """Two voices: what starts at one time stands in one column, but for grace notes."""
    columns: dict[tuple[Fraction, int, int, int], list[tuple[int, Value]]] = {}
    for number, values in enumerate(rows):
        for index, value in enumerate(values):
            if value.grace == "closing-grace":
                main = next(v for v in reversed(values[:index]) if not v.grace)
                key = (main.onset + main.length, _GRACE_AFTER, number, index)
            elif value.grace:
                key = (value.onset, _GRACE_BEFORE, number, index)
            else:
                key = (value.onset, _MAIN, 0, 0)
            columns.setdefault(key, []).append((number, value))
    return [_moment(columns[key], 2, False) for key in sorted(columns)]


def _moment(here: Sequence[tuple[int, Value]], rows: int, silent: bool) -> MusicColumn:
    """The column of the values `here`, each with its row."""
    notes: dict[int, Note] = {}
    for _, value in here:
        for note in value.struck:
            notes.setdefault(note.string, note)
    named = _named([value for _, value in here])
    texts = [_NOTHING] * rows
    for (number, value), strings in zip(here, named):
        texts[number] = value_texts(value, strings, silent or rows > 1)
    first = here[0][1]
    struck = tuple(notes[string] for string in sorted(notes))
    held = not struck and any(value.held for _, value in here)
    events = tuple((number, value.event) for number, value in here if value.event is not None)
    return MusicColumn(first.onset, struck, tuple(texts), held, bool(first.grace), events)


def _named(values: Sequence[Value]) -> list[frozenset[int]]:
    """The strings that each value must name, for the reader to give it its notes.

    Where two strike and none is named, the reader gives the lower voice the thickest string and the upper one the
    others.
    """
    none: frozenset[int] = frozenset()
    if len(values) < 2:
        return [none for _ in values]
    upper, lower = values
    over, under = upper.strings, lower.strings
    if not (over and under):
        mixed = [value.strings if value.held and value.strings else none for value in values]
        return mixed
    if over & under:
        return [over, under]
    if upper.held:
        return [over, under]
    usual = under == {max(over | under)} and not lower.held
    return [none, none if usual else under]
