"""Pitches in typed tab: the spelling that a note must carry to come back as it is, and the lines of parts without strings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import count

from engrave.exchange.text_tab.lines.blocks import PITCHED
from engrave.score.structure import Event, Measure, Note, Part, PartMeasure, Voice
from engrave.score.techniques import Spelling, is_of_event
from engrave.writing.music_tree import Own
from engrave.writing.spellings import EventAt, find_spellings

_Change = Callable[[Event], Event]


def spell_part(part: Part, measures: Sequence[Measure]) -> Part:
    """The part with a `Spelling` on every note that comes back as it is only where its spelling is told."""
    plain = _changed(part, lambda _: _as_frets)
    try:
        own = find_spellings(plain, measures, {})
    except ValueError:  # what cannot be told is found when the text is read back
        return part
    return _changed(part, lambda at: lambda event: _spell(event, own[at]))


def join_pitches(part: Part) -> Part:
    """A part without strings as if each of its voices had one string: what is sung at once is one note with a `Spelling`."""
    return _changed(part, lambda at: lambda event: _joined(event, at.voice + 1))


def pitch_lines(part: Part) -> list[str]:
    """The names of the lines of a part without strings: one for each voice."""
    return [PITCHED] * max(len(content.voices) for content in part.measures)


def _joined(event: Event, line: int) -> Event:
    if not event.notes or event.notes[0].is_slash:
        return event
    first = event.notes[0]._replace(string=line)
    if not all(note.tie_from for note in event.notes):
        first = first._replace(
            tie_from=False, techniques=(Spelling(tuple(note.pitch for note in event.notes)),)
        )
    return event._replace(notes=(first,))


def _as_frets(event: Event) -> Event:
    """An event whose pitches have become strings and frets, which typed tab is made of."""
    return event._replace(notes=tuple(note._replace(chosen=False) for note in event.notes))


def _spell(event: Event, own: Own) -> Event:
    """An event with its spellings, and with its marks on its only note, where the strings have signs for them."""
    notes = tuple([_spelled(note) if must else note for note, must in zip(event.notes, own, strict=True)])
    if len(notes) != 1 or notes[0].tie_from or not notes[0].string:
        return event._replace(notes=notes)
    shared = tuple([technique for technique in event.techniques if is_of_event(technique)])
    rest = tuple([technique for technique in event.techniques if technique not in shared])
    return event._replace(
        notes=(notes[0]._replace(techniques=notes[0].techniques + shared),), techniques=rest
    )


def _spelled(note: Note) -> Note:
    return note._replace(techniques=(*note.techniques, Spelling((note.pitch,))))


def _changed(part: Part, change_at: Callable[[EventAt], _Change]) -> Part:
    """The part with every event changed, grace notes too; they are numbered in the order in which they are written."""
    contents: list[PartMeasure] = []
    for index, content in enumerate(part.measures):
        voices = []
        for number, voice in enumerate(content.voices):
            changes = (change_at(EventAt(index, number, order)) for order in count())
            voices.append(Voice(tuple([_change_event(event, changes) for event in voice.events])))
        contents.append(content._replace(voices=tuple(voices)))
    return part._replace(measures=tuple(contents))


def _change_event(event: Event, changes: Iterator[_Change]) -> Event:
    """An event and its grace notes, changed in order; a whole rest is none of those that are numbered."""
    if event.whole_measure:
        return event
    before, after = event.before, event.after
    if before is not None:
        before = before._replace(events=tuple([next(changes)(grace) for grace in before.events]))
    event = next(changes)(event)
    if after is not None:
        after = after._replace(events=tuple([next(changes)(grace) for grace in after.events]))
    return event._replace(before=before, after=after)
