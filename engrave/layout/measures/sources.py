"""Where the marks of each event and note come from: the place in the text and in the music."""

from __future__ import annotations

from typing import NamedTuple

from engrave.marks.mark import Source
from engrave.score.structure import Measure, Voice


class VoiceSources(NamedTuple):
    """The source of every event of a voice, and of every note in it, in the score's order."""

    events: tuple[Source, ...]
    notes: tuple[tuple[Source, ...], ...]


def trace_voice(voice: Voice, measure: Measure, part: str) -> VoiceSources:
    """The sources of the events and notes of `voice`. Beats count the metre's lower number from 1."""
    unit = measure.metre.unit
    offset = measure.metre_offset
    number = measure.index + 1
    events = []
    notes = []
    for event in voice.events:
        beat = str((event.onset + offset) * unit + 1)
        events.append(Source(event.place.line, event.place.column, part, number, beat))
        notes.append(tuple(Source(n.place.line, n.place.column, part, number, beat) for n in event.notes))
    return VoiceSources(tuple(events), tuple(notes))
