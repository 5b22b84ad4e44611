"""Music made to fit the strings of an instrument: notes that no string has an octave away, chords with fewer notes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import islice
from typing import NamedTuple

from engrave.fingering.first_guess import most_on_strings
from engrave.fingering.hand import Hand
from engrave.fingering.moments import Moment, Want, find_moments
from engrave.fingering.neck import build_neck
from engrave.fingering.place import change_notes
from engrave.fingering.solve import Solver
from engrave.score.joins import NoteAt, events_in_order
from engrave.score.structure import Note, Part, Score
from engrave.theory.instrument import Instrument

_OCTAVE = 12
_MOST_ROUNDS = 8
"""How often one more note of a moment gives way: there are as many strings at most (algorithm)."""
_Changes = Mapping[NoteAt, int | None]
"""By how many octaves notes move; None for one that is left out."""


class Thinned(NamedTuple):
    """A part whose notes all lie on its strings; the measures, by index, of every note moved and of every one left out."""

    part: Part
    moved: tuple[int, ...]
    left_out: tuple[int, ...]


def thin(score: Score, part: Part, hand: Hand) -> Thinned:
    """`part`, whose places are still open, so that its strings have every note and `hand` can hold every chord."""
    changes: list[tuple[NoteAt, int | None]] = []
    part = _take(part, dict(_out_of_range(part)), changes)
    part = _take(part, dict(_crowded(part)), changes)
    neck = build_neck(part.instrument, hand)
    solver = Solver(neck, hand)
    for _ in range(_MOST_ROUNDS):
        moments = find_moments(score, part, neck, hand.pace)
        wanted = dict(_in_the_way(part, [moment for moment in moments if not solver.grips(moment)]))
        if not wanted:
            break
        part = _take(part, wanted, changes)
    return Thinned(
        part,
        tuple(sorted(at.measure for at, change in changes if change is not None)),
        tuple(sorted(at.measure for at, change in changes if change is None)),
    )


def _take(part: Part, wanted: _Changes, changes: list[tuple[NoteAt, int | None]]) -> Part:
    """`part` changed; a note that a tie holds follows the one that was struck."""
    changes.extend(wanted.items())
    last: dict[tuple[int, int], int | None] = {}

    def change(note: Note, at: NoteAt) -> Note | None:
        where = at.voice, note.midi
        octaves = last.get(where, 0) if note.tie_from else wanted.get(at, 0)
        last[where] = octaves
        return None if octaves is None else note._replace(pitch=note.pitch.transposed_octaves(octaves))

    return change_notes(part, change) if wanted else part


def _struck(part: Part) -> Iterator[tuple[NoteAt, Note]]:
    """The notes that are struck and whose places are open."""
    for number, content in enumerate(part.measures):
        for index, voice in enumerate(content.voices):
            for order, event in enumerate(events_in_order(voice)):
                for place, note in enumerate(event.notes):
                    if note.chosen and not note.is_slash and not note.tie_from:
                        yield NoteAt(number, index, order, place), note


def _out_of_range(part: Part) -> Iterator[tuple[NoteAt, int]]:
    """By how many octaves notes have to move to lie on a string: as few as can be."""
    instrument = part.instrument
    ways = sorted(range(-_OCTAVE, _OCTAVE + 1), key=abs)
    for at, note in _struck(part):
        sounding = _sounding(instrument, note)
        way = next((way for way in ways if instrument.places(sounding + _OCTAVE * way)), 0)
        if way:
            yield at, way


def _crowded(part: Part) -> Iterator[tuple[NoteAt, None]]:
    """The notes of chords for which no string is left, and those that sound twice."""
    chords: dict[tuple[int, int, int], list[tuple[NoteAt, Note]]] = {}
    for at, note in _struck(part):
        chords.setdefault(at[:3], []).append((at, note))
    for chord in chords.values():
        pitches = tuple(sorted({_sounding(part.instrument, note) for _, note in chord}))
        room = list(most_on_strings(part.instrument, pitches)) if len(chord) > 1 else list(pitches)
        for at, note in chord:
            if (sounding := _sounding(part.instrument, note)) in room:
                room.remove(sounding)
            else:
                yield at, None


def _in_the_way(part: Part, moments: Iterable[Moment]) -> Iterator[tuple[NoteAt, int | None]]:
    """For each of `moments`, which no grip can play, one note that gives way: an inner one of a chord, else one an octave nearer."""
    for moment in moments:
        wants = sorted(moment.wants, key=lambda want: want.midi)
        struck = [want for want in wants if want.struck]
        inner = [want for want in struck if _has_company(part, want)]
        if inner:
            middle = (wants[0].midi + wants[-1].midi) / 2
            yield min(inner, key=lambda want: abs(want.midi - middle)).at, None
        elif struck and len(wants) > 1:
            far = max(struck, key=lambda want: abs(want.midi - sum(w.midi for w in wants) / len(wants)))
            yield far.at, -1 if far is wants[-1] else 1


def _has_company(part: Part, want: Want) -> bool:
    """Whether other notes are struck by the same event, which stays one without this note, whose place is open."""
    at = want.at
    event = next(islice(events_in_order(part.measures[at.measure].voices[at.voice]), at.event, None))
    return event.notes[at.note].chosen and len(event.notes) > 1


def _sounding(instrument: Instrument, note: Note) -> int:
    return note.midi - _OCTAVE * instrument.octave + instrument.capo
