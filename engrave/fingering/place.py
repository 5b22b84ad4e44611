"""Strings, frets and fingers chosen for a whole score, and put into it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import count
from typing import NamedTuple

from engrave.fingering.choose import choose_way
from engrave.fingering.grips import Spot
from engrave.fingering.hand import Hand
from engrave.fingering.moments import NO_LIMITS, Limits, Moment, find_moments
from engrave.fingering.neck import build_neck
from engrave.fingering.reasons import Reason, explain
from engrave.fingering.solve import Solver, Way
from engrave.score.joins import NoteAt, resolve_joins
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Graces, Note, Part, Score, Voice

_FIXED = (
    SignName.DEAD,
    SignName.SLASH,
    SignName.NATURAL_HARMONIC,
    SignName.ARTIFICIAL_HARMONIC,
    SignName.TAPPED_HARMONIC,
    SignName.TOUCHED_HARMONIC,
)
"""Marks of notes that lie where they are written and nowhere else."""


class Unplayable(NamedTuple):
    """A moment that no grip can play."""

    moment: Moment
    reason: Reason


class FingeredPart(NamedTuple):
    """One part with its places chosen: the moments, how each is held, and what cannot be played."""

    part: Part
    moments: tuple[Moment, ...]
    way: Way
    unplayable: tuple[Unplayable, ...]

    def broken(self, term: str) -> Iterator[Moment]:
        """The moments at which the cheapest way pays for `term` ("legato broken", "note let go")."""
        for moment, step in zip(self.moments, self.way.steps, strict=True):
            if step is not None and any(name == term for name, _ in step.terms):
                yield moment


def place_part(
    score: Score,
    part: Part,
    hand: Hand,
    limits: Limits = NO_LIMITS,
    fingers: bool = True,
    explained: bool = False,
) -> FingeredPart:
    """`part` with strings and frets for its chosen notes, and with `fingers` those that are not written yet.

    With `explained` the steps of the way know their rivals.
    """
    neck = build_neck(part.instrument, hand)
    moments = find_moments(score, part, neck, hand.pace, limits)
    solver = Solver(neck, hand, limits)
    way = choose_way(score, part, moments, solver, hand=hand, fingers=fingers, explained=explained)
    found: dict[NoteAt, Spot] = {}
    unplayable = []
    for moment, step in zip(moments, way.steps, strict=True):
        if step is None:
            missing = [want for want in moment.wants if not want.places]
            if any(
                want.struck for want in missing or moment.wants
            ):  # what is held was told when it was struck
                unplayable.append(Unplayable(moment, explain(moment.wants, part.instrument, hand)))
            continue
        for want, spot in zip(moment.wants, step.grip.spots, strict=True):
            if want.struck:
                found.update((at, spot) for at in (want.at, *want.also))
    return FingeredPart(_put(part, found, fingers), tuple(moments), way, tuple(unplayable))


def release(part: Part, keep: Sequence[str] = _FIXED) -> Part:
    """The part with every place open to choice, but for notes with one of the marks `keep`."""

    def free(note: Note, at: NoteAt) -> Note:
        del at
        fixed = any(technique.sign in keep for technique in note.techniques)
        return note if fixed else note._replace(chosen=True)

    return change_notes(part, free)


def settle_pitches(score: Score, hand: Hand) -> tuple[Score, list[tuple[Part, Unplayable]]]:
    """The score with good places for the notes that the author wrote as pitches; no fingers are added."""
    parts: list[Part] = []
    failures: list[tuple[Part, Unplayable]] = []
    for part in score.parts:
        if part.is_fretted and any(note.chosen for note in all_notes(part)):
            placed = place_part(score, part, hand, fingers=False)
            parts.append(placed.part)
            failures.extend((part, failure) for failure in placed.unplayable)
        else:
            parts.append(part)
    return replace(score, parts=tuple(parts)), failures


def all_notes(part: Part) -> Iterator[Note]:
    """Every note of a part, graces too."""
    for content in part.measures:
        for voice in content.voices:
            for event in voice.events:
                yield from event.notes
                for graces in (event.before, event.after):
                    for grace in graces.events if graces is not None else ():
                        yield from grace.notes


def _put(part: Part, found: Mapping[NoteAt, Spot], fingers: bool) -> Part:
    """The part with the spots found; what a tie holds lies where it was struck."""
    held_from = resolve_joins(part.measures, are_placed=False).held_from
    lies: dict[NoteAt, tuple[int, int]] = {}

    def place(note: Note, at: NoteAt) -> Note:
        spot = found.get(at)
        if spot is not None:
            lies[at] = spot.string, spot.fret
            finger = note.finger or (str(spot.finger) if fingers and spot.finger else "")
            return note._replace(string=spot.string, fret=spot.fret, finger=finger)
        start = lies.get(held_from[at]) if note.chosen and at in held_from else None
        if start is None:
            return note
        lies[at] = start
        return note._replace(string=start[0], fret=start[1])

    return change_notes(part, place)


def change_notes(part: Part, change: Callable[[Note, NoteAt], Note | None]) -> Part:
    """The part with every note changed, in the order of playing within each voice; None leaves a note out."""
    measures = []
    for number, content in enumerate(part.measures):
        voices = [
            _change_voice(voice, NoteAt(number, index, 0, 0), change)
            for index, voice in enumerate(content.voices)
        ]
        measures.append(content._replace(voices=tuple(voices)))
    return part._replace(measures=tuple(measures))


def _change_voice(voice: Voice, at: NoteAt, change: Callable[[Note, NoteAt], Note | None]) -> Voice:
    numbers = count()

    def changed(event: Event) -> Event:
        spot = at._replace(event=next(numbers))
        notes = (change(note, spot._replace(note=index)) for index, note in enumerate(event.notes))
        return event._replace(notes=tuple(note for note in notes if note is not None))

    def graces(row: Graces | None) -> Graces | None:
        return None if row is None else row._replace(events=tuple(changed(grace) for grace in row.events))

    events = []
    for event in voice.events:
        before = graces(event.before)
        events.append(changed(event)._replace(before=before, after=graces(event.after)))
    return Voice(tuple(events))
