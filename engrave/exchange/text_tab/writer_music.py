"""What one part plays in a measure, laid out as one row of moments that a rhythm row can tell."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.score.structure import Event, Measure, Note, Part, PartMeasure
from engrave.theory.duration import NoteValue, decompose_length


class Moment(NamedTuple):
    """One value of a rhythm row: `onset` in whole notes, the notes struck, whether the moment before is held.

    `opens` is (notes, in the time of) of a tuplet that begins here; `closes`: one ends here.
    """

    onset: Fraction
    value: NoteValue
    notes: tuple[Note, ...] = ()
    held: bool = False
    opens: tuple[int, int] | None = None
    closes: bool = False


class Music(NamedTuple):
    """A measure of a part; no moments: it is silent. Not `timed`: its rhythm cannot be told by a row."""

    moments: tuple[Moment, ...] = ()
    timed: bool = True


def part_music(part: Part, measures: Sequence[Measure]) -> list[Music]:
    """The measures of a part. Measures that repeat others are written out, two voices are joined."""
    contents: list[PartMeasure] = []
    for index, content in enumerate(part.measures):
        contents.append(contents[index - content.repeats] if content.repeats else content)
    result: list[Music] = []
    before: frozenset[int] = frozenset()
    for content, measure in zip(contents, measures):
        music, before = _measure(content, before)
        if not music.moments and measure.length != measure.metre.length:
            music = _rests(measure.length)
        result.append(music)
    return result


def _rests(length: Fraction) -> Music:
    """Rests that tell how long a measure lasts which is shorter than its time."""
    moments: list[Moment] = []
    onset = Fraction(0)
    for value in decompose_length(length):
        moments.append(Moment(onset, value))
        onset += value.length
    return Music(tuple(moments))


def _measure(content: PartMeasure, before: frozenset[int]) -> tuple[Music, frozenset[int]]:
    """A measure after one that ends with notes on the strings `before`, and the strings that it ends with."""
    voices = [voice.events for voice in content.voices if not _is_silent(voice.events)]
    if not voices:
        whole = [event for voice in content.voices[:1] for event in voice.events]
        return Music(tuple(_row(whole, before)[0]) if not whole[0].whole_measure else ()), frozenset()
    if len(voices) > 1:
        joined = _join(voices, before)
        if joined is not None:
            return Music(tuple(joined)), _strings(joined, before)
    moments, after = _row(voices[0], before)
    timed = all(len(event.tuplets) <= 1 for event in voices[0])
    return Music(tuple(moments), timed), after


def _is_silent(events: Sequence[Event]) -> bool:
    return not any(note.string for event in events for note in event.notes)


def _row(events: Sequence[Event], before: frozenset[int]) -> tuple[list[Moment], frozenset[int]]:
    """The events of one voice. An event is held when it holds just what the event before has."""
    moments: list[Moment] = []
    for index, event in enumerate(events):
        struck = tuple(note for note in event.notes if note.string and not note.tie_from)
        here = frozenset(note.string for note in event.notes if note.string)
        held = bool(here) and not struck and here == before
        tuplet = event.tuplets[0] if event.tuplets else None
        following = events[index + 1].tuplets if index + 1 < len(events) else ()
        preceding = events[index - 1].tuplets if index else ()
        opens = tuplet is not None and (not preceding or preceding[0].id != tuplet.id)
        closes = tuplet is not None and (not following or following[0].id != tuplet.id)
        ratio = (tuplet.ratio.actual, tuplet.ratio.normal) if tuplet is not None and opens else None
        moments.append(Moment(event.onset, event.value, struck, held, ratio, closes))
        before = here if held else frozenset(note.string for note in struck)
    return moments, before


def _strings(moments: Sequence[Moment], before: frozenset[int]) -> frozenset[int]:
    """The strings that sound at the end of the moments."""
    for moment in moments:
        if not moment.held:
            before = frozenset(note.string for note in moment.notes)
    return before


def _join(voices: Sequence[Sequence[Event]], before: frozenset[int]) -> list[Moment] | None:
    """Two voices on one rhythm: each moment lasts until the next; None when tuplets or short values forbid it."""
    events = [event for voice in voices for event in voice]
    if any(event.tuplets for event in events):
        return None
    moments: list[tuple[Fraction, tuple[Note, ...], bool]] = []
    sounds = bool(before)
    for onset in sorted({event.onset for event in events}):
        notes: dict[int, Note] = {}
        for event in events:
            if event.onset == onset:
                for note in event.notes:
                    if note.string and not note.tie_from:
                        notes.setdefault(note.string, note)
        lasts = any(event.notes and event.onset <= onset < event.onset + event.length for event in events)
        held = not notes and lasts and sounds
        sounds = bool(notes) or held
        if notes or not moments or held != moments[-1][2] or (moments[-1][1] and not held):
            moments.append((onset, tuple(notes.values()), held))
    stops = [*(onset for onset, _, _ in moments[1:]), max(event.onset + event.length for event in events)]
    result: list[Moment] = []
    for (onset, struck, held), stop in zip(moments, stops):
        try:
            values = decompose_length(stop - onset)
        except ValueError:
            return None
        for number, value in enumerate(values):
            goes_on = held or (number > 0 and bool(struck))
            result.append(Moment(onset, value, struck if number == 0 else (), goes_on))
            onset += value.length
    return result
