"""What one part loses in a measure when it is written as text tab and read back: voices, events, notes, marks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from engrave.problems import NOWHERE
from engrave.score.structure import Event, Note, PartMeasure
from engrave.theory.pitch import Pitch

Place = tuple[int, Any, str, int]
"""Voice, onset, kind of grace note, and which of those at this place."""


def event_losses(own: PartMeasure, back: PartMeasure) -> list[str]:
    """What of `own` is not in `back`, in words; none when both have the same events."""
    if (own.repeats, own.repeat_index) != (back.repeats, back.repeat_index):
        return ["the sign that repeats measures is lost"]
    lost: list[str] = []
    if len(own.voices) != len(back.voices):
        lost.append("a voice is lost")
    events, twins = _events(own), _events(back)
    mains, others = ({p: e for p, e in found.items() if not p[2]} for found in (events, twins))
    if _slashes(mains) != _slashes(others):
        lost.append("rhythm slashes are lost")
    if _rhythm(mains) != _rhythm(others):
        lost.append("the rhythm is lost")
    if any(event.hidden for event in mains.values()):
        lost.append("hidden rests are shown")
    if _graces(events) != _graces(twins):
        lost.append("grace notes are lost")
    notes, copies = _notes(events), _notes(twins)
    for what, told in (
        ("notes are lost", lambda note: (note.fret, note.is_slash) if not note.tie_from else None),
        ("ties are lost", lambda note: (note.tie_from, note.tie_to)),
        ("the spelling of notes is lost", lambda note: note.pitch),
        ("fingers are lost", lambda note: note.finger),
        ("what a harmonic sounds is lost", lambda note: note.sounding),
    ):
        if any(place not in copies or told(note) != told(copies[place]) for place, note in notes.items()):
            lost.append(what)
    for place, note in notes.items():
        lost.extend(_techniques(note, copies.get(place)))
    kept = Counter(
        (event.onset, technique.sign) for event in events.values() for technique in event.techniques
    )
    there = Counter((twin.onset, technique.sign) for twin in twins.values() for technique in twin.techniques)
    lost.extend(f"{name} over a whole event is lost" for _, name in sorted(kept - there))
    if _lyrics(mains) != _lyrics(others):
        lost.append("lyrics are lost")
    return list(dict.fromkeys(lost))


def _events(content: PartMeasure) -> dict[Place, Event]:
    """The events of a measure with their grace notes."""
    found: dict[Place, Event] = {}
    for number, voice in enumerate(content.voices):
        for main in voice.events:
            found[number, main.onset, "", 0] = main
            for kind, graces in (("before", main.before), ("after", main.after)):
                for index, grace in enumerate(graces.events if graces is not None else ()):
                    found[number, main.onset, kind, index] = grace
    return found


def _rhythm(events: Mapping[Place, Event]) -> list[Any]:
    return [
        (place, e.length, e.value, [(t.id, t.ratio) for t in e.tuplets], e.is_rest, e.whole_measure)
        for place, e in events.items()
    ]


def _graces(events: Mapping[Place, Event]) -> list[Any]:
    values = [(place, event.value) for place, event in events.items() if place[2]]
    return [*values, *((p, e.before.slashed) for p, e in events.items() if e.before is not None)]


def _slashes(events: Mapping[Place, Event]) -> list[Place]:
    return [place for place, event in events.items() if any(note.is_slash for note in event.notes)]


def _notes(events: Mapping[Place, Event]) -> dict[tuple[Place, int | Pitch], Note]:
    """The notes of a measure, each by its string, or by its pitch where it has none."""
    return {
        (place, note.string or note.pitch): note for place, event in events.items() for note in event.notes
    }


def _techniques(note: Note, twin: Note | None) -> Iterator[str]:
    """The techniques of a note that its twin does not have."""
    there = (
        [technique._replace(location=NOWHERE) for technique in twin.techniques] if twin is not None else []
    )
    for technique in note.techniques:
        if technique._replace(location=NOWHERE) not in there:
            yield f"{technique.sign} is lost"


def _lyrics(events: Mapping[Place, Event]) -> list[Any]:
    """The syllables of each event that has some."""
    return [
        (place, [syllable and syllable._replace(location=NOWHERE) for syllable in event.lyrics])
        for place, event in events.items()
        if event.lyrics
    ]
