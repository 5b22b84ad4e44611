"""A small example as it is played on another instrument's strings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from engrave.score.structure import Event, Graces, Note, Score, Voice
from engrave.theory.instrument import Instrument


def first_strings(scores: Iterable[Score]) -> Instrument | None:
    """The instrument of the first part with strings; None where there is none."""
    parts = (part for score in scores for part in score.parts if part.is_fretted)
    return next((part.instrument for part in parts), None)


def restrung(score: Score, instrument: Instrument) -> Score:
    """The score with the strings of `instrument`: its lowest notes move up as many strings as it has too few.

    Frets stay: what a tab of it shows can be played, but pitches are not looked after, so it is for tabs alone. Chords lose what has no string of
    its own any more.
    """
    used = max(
        (
            note.string
            for part in score.parts
            for m in part.measures
            for v in m.voices
            for e in v.events
            for note in _all_notes(e)
        ),
        default=0,
    )
    if len(score.parts[0].instrument.tuning) == instrument.strings:
        return score
    up = max(0, used - instrument.strings)

    def move_note(note: Note) -> Note:
        return note._replace(string=max(1, note.string - up) if note.string else 0)

    def move_event(event: Event) -> Event:
        notes: dict[int, Note] = {}
        for note in map(move_note, event.notes):
            notes.setdefault(note.string or -len(notes), note)
        return event._replace(
            notes=tuple(notes.values()), before=move_graces(event.before), after=move_graces(event.after)
        )

    def move_graces(graces: Graces | None) -> Graces | None:
        return graces and graces._replace(events=tuple(map(move_event, graces.events)))

    parts = tuple(
        part._replace(
            instrument=instrument,
            measures=tuple(
                measure._replace(
                    voices=tuple(Voice(tuple(map(move_event, v.events))) for v in measure.voices)
                )
                for measure in part.measures
            ),
        )
        for part in score.parts
    )
    return replace(score, parts=parts)


def _all_notes(event: Event) -> tuple[Note, ...]:
    graces = [g for group in (event.before, event.after) if group is not None for g in group.events]
    return (*event.notes, *(note for grace in graces for note in grace.notes))
