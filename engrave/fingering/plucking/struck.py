"""What a right hand has to strike, moment by moment: the strings, and what the author has said of them already."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.fingering.hand import Pace
from engrave.fingering.moments import FIRST_SECONDS, clock, timed_events
from engrave.score.joins import SLURRED, Joins, NoteAt, resolve_joins
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Note, Part, Score
from engrave.score.techniques import Pluck, RightFinger, signs_of

DOWN = frozenset({SignName.PICK_DOWN, SignName.STRUM_DOWN})
"""Signs of a stroke towards the floor, from thick strings to thin ones."""
UP = frozenset({SignName.PICK_UP, SignName.STRUM_UP})
"""Signs of a stroke the other way."""
_OWN_WAY = frozenset(
    {
        SignName.ARPEGGIATE,
        SignName.ARPEGGIATE_UP,
        SignName.ARPEGGIATE_DOWN,
        SignName.RAKE,
        SignName.TREMOLO,
        SignName.TREMOLO_EIGHTHS,
        SignName.TREMOLO_SIXTEENTHS,
    }
)
"""Signs of events that say in a way of their own how strings are struck, so that no stroke is added."""
_NO_PLUCK = frozenset(
    {
        SignName.TAP,
        SignName.LEFT_HAND_TAP,
        SignName.SLAP,
        SignName.POP,
        SignName.TAPPED_HARMONIC,
        SignName.TREMOLO,
    }
)
"""Signs of events that are not plucked by p, i, m or a one after the other."""


class Plucked(NamedTuple):
    """One string that is struck; `finger` is the author's own. `also` are notes of another voice on the same string.

    `midi` is what is written, as a MIDI number: a tremolo repeats one note.
    """

    string: int
    at: NoteAt
    finger: RightFinger | None = None
    is_lower: bool = False
    also: tuple[NoteAt, ...] = ()
    midi: int = 0


class Struck(NamedTuple):
    """All that is struck at one moment, the thickest string first.

    `seconds` since the strings were struck before; `onset` in whole notes in its measure. `stroke` is the author's own.
    `events` (measure, voice, number of the event) are those that are struck. `is_slash`: no strings are named.
    """

    seconds: float
    measure: int
    onset: Fraction
    notes: tuple[Plucked, ...]
    events: tuple[tuple[int, int, int], ...]
    stroke: SignName | None = None
    is_slash: bool = False
    is_grace: bool = False
    is_plucked: bool = True
    """False for what fingers do not pluck one by one: tapped, slapped, or struck as the author's sign says."""
    takes_stroke: bool = True
    """False where the author says in another way how it is struck."""

    @property
    def strings(self) -> tuple[int, ...]:
        """The strings, the thickest first."""
        return tuple(note.string for note in self.notes)


class _Hit(NamedTuple):
    start: tuple[Fraction, int]
    event: Event
    at: NoteAt
    notes: tuple[tuple[Note, NoteAt], ...]


def find_struck(score: Score, part: Part, pace: Pace) -> list[Struck]:
    """The moments at which `part`, whose notes have their strings, is struck, in the order of the page."""
    hits = sorted(_hits(score, part), key=lambda hit: hit.start)
    seconds = clock(score, pace)
    found: list[Struck] = []
    last: Fraction | None = None
    for row in _together(hits):
        now = row[0].start[0]
        gap = FIRST_SECONDS if last is None else seconds(last, now) if now > last else pace.grace
        found.append(_strike(row, max(gap, pace.least)))
        last = now
    return found


def _together(hits: Sequence[_Hit]) -> Iterator[list[_Hit]]:
    row: list[_Hit] = []
    for hit in hits:
        if row and hit.start != row[0].start:
            yield row
            row = []
        row.append(hit)
    if row:
        yield row


def _strike(row: Sequence[_Hit], seconds: float) -> Struck:
    signs = {sign for hit in row for sign in hit.event.signs}
    first = row[0]
    strokes = signs & (DOWN | UP)
    return Struck(
        seconds=seconds,
        measure=first.at.measure,
        onset=first.event.onset,
        notes=_notes(row),
        events=tuple(hit.at[:3] for hit in row),
        stroke=next((sign for sign in SignName if sign in strokes), None),
        is_slash=all(note.is_slash for hit in row for note in hit.event.notes),
        is_grace=not first.event.length,
        is_plucked=signs.isdisjoint(_NO_PLUCK) and not strokes,
        takes_stroke=signs.isdisjoint(_NO_PLUCK | _OWN_WAY),
    )


def _notes(row: Sequence[_Hit]) -> tuple[Plucked, ...]:
    """The strings of a moment; two voices that meet on a string strike it once."""
    found: dict[int, Plucked] = {}
    lowest = max(hit.at.voice for hit in row)
    for hit in row:
        for note, at in hit.notes:
            if not note.string:
                continue
            finger = next((t.finger for t in note.techniques if isinstance(t, Pluck)), None)
            known = found.get(note.string)
            if known is not None:
                found[note.string] = known._replace(finger=known.finger or finger, also=(*known.also, at))
                continue
            is_lower = at.voice > 0 and at.voice == lowest
            found[note.string] = Plucked(note.string, at, finger, is_lower, midi=note.midi)
    return tuple(found[string] for string in sorted(found, reverse=True))


def _hits(score: Score, part: Part) -> Iterator[_Hit]:
    joins = resolve_joins(part.measures)
    most = max((len(content.voices) for content in part.measures), default=0)
    for voice in range(most):
        for start, _, event, at in timed_events(score, part, voice):
            notes = tuple(
                (note, at._replace(note=index))
                for index, note in enumerate(event.notes)
                if _is_struck(note, at._replace(note=index), joins)
            )
            if notes:
                yield _Hit(start, event, at, notes)


def _is_struck(note: Note, at: NoteAt, joins: Joins) -> bool:
    """True for a note that the right hand starts: not one that a tie holds, nor one that the left hand slurs."""
    if note.tie_from:
        return False
    join = joins.reached.get(at)
    slurred = signs_of(note.techniques) | (set(join.signs) if join is not None else set())
    return slurred.isdisjoint(SLURRED)
