"""Warnings of what a left hand cannot do on a string: hammer-ons that fall, slides to open strings, bends of them.

The rules are those of the instrument (common practice, no source): a finger that stops no string cannot bend, shake or
slide it, while it can be pulled off to the open string.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.reading.context import Context
from engrave.reading.drafts import DraftEvent, DraftNote, PartDraft
from engrave.score.joins import SLIDING, NoteAt, join_notes
from engrave.score.short_form import BEND
from engrave.score.sign_list import TOUCHED_HARMONICS, SignName
from engrave.score.structure import Measure
from engrave.score.techniques import signs_of

_DIRECTION = {SignName.HAMMER_ON: 1, SignName.PULL_OFF: -1}
_TAPS = frozenset((SignName.TAP, SignName.LEFT_HAND_TAP))
_SOUNDS_ELSEWHERE = frozenset((SignName.NATURAL_HARMONIC, SignName.PINCH_HARMONIC, *TOUCHED_HARMONICS))
_NOT_OPEN = {
    SignName.HAMMER_ON: (
        "a hammer-on cannot lead to an open string",
        "write pull-off, or the fret that is hammered",
    ),
    SignName.SLIDE: ("a slide cannot lead to an open string", "write the fret where it ends"),
    SignName.SLURRED_SLIDE: ("a slurred-slide cannot lead to an open string", "write the fret where it ends"),
    SignName.SLIDE_FROM_BELOW: ("an open string has no slide into it", "write the fret where the slide ends"),
    SignName.SLIDE_FROM_ABOVE: ("an open string has no slide into it", "write the fret where the slide ends"),
    SignName.SLIDE_AWAY_UP: (
        "an open string has no slide away from it",
        "write the fret where the slide starts",
    ),
    SignName.SLIDE_AWAY_DOWN: (
        "an open string has no slide away from it",
        "write the fret where the slide starts",
    ),
    SignName.VIBRATO: ("a finger cannot shake an open string", "write a fret, or vibrato-bar vibrato"),
    SignName.WIDE_VIBRATO: ("a finger cannot shake an open string", "write a fret, or vibrato-bar vibrato"),
    BEND: ("an open string cannot be bent", "write a fret, or lower it with vibrato-bar dive"),
}
"""For marks that an open string cannot have: what is wrong, and what would be right."""


class _At(NamedTuple):
    """A note with its event, and the note before it on its string (None without one, or without an event before)."""

    event: DraftEvent
    note: DraftNote
    start: DraftNote | None


def check_left_hand(context: Context, measures: Sequence[Measure], drafts: Sequence[PartDraft]) -> None:
    """Warn of techniques that no left hand can play where they stand, through one part.

    Notes written as pitches get their string later.
    """
    rows = [[voice.in_order() for voice in draft.voices[:2]] for draft in drafts]
    joins = join_notes(([[event.notes for event in events] for events in row] for row in rows), False)
    for index, (measure, row) in enumerate(zip(measures, rows, strict=True)):
        context.measure, context.metre = measure.number, measure.metre
        for number, events in enumerate(row):
            for order, event in enumerate(events):
                for at, note in enumerate(event.notes):
                    if note.techniques and note.string:
                        join = joins.reached.get(NoteAt(index, number, order, at))
                        start = join.start if join is not None else None
                        before = rows[start.measure][number][start.event].notes[start.note] if start else None
                        _check_note(context, _At(event, note, before))


def _check_note(context: Context, at: _At) -> None:
    note = at.note
    signs = [technique.sign for technique in note.techniques]
    is_open = _is_open(note) and _SOUNDS_ELSEWHERE.isdisjoint(signs)
    has_string = not (note.chosen and at.start is not None)
    for sign in signs:
        if is_open and sign in _NOT_OPEN:
            _warn(context, at, *_NOT_OPEN[sign])
        elif sign in _DIRECTION and has_string:
            _check_direction(context, at, sign)
        elif sign in SLIDING and has_string:
            _check_slide(context, at, sign)


def _check_slide(context: Context, at: _At, name: SignName) -> None:
    note, start = at.note, at.start
    if start is None:
        what = f"this {name} has no note directly before it on string {note.string}, so none is drawn"
        _warn(
            context,
            at,
            what,
            "it stands on the note that is reached; a slide from nowhere is slide-from-below",
        )
    elif _is_fretted(note) and _is_fretted(start):
        if _is_open(start):
            what = f"this {name} starts from an open string"
            _warn(context, at, what, "write the fret where it starts, or slide-from-below")
        elif start.fret == note.fret and BEND not in signs_of(start.techniques):
            what = f"this {name} goes from fret {start.fret} to fret {note.fret}"
            _warn(context, at, what, "write the fret where it ends")


def _check_direction(context: Context, at: _At, name: SignName) -> None:
    note, start = at.note, at.start
    if not _TAPS.isdisjoint(signs_of(at.event.techniques)):
        return
    if start is None:
        what = f"this {name} has no note directly before it on string {note.string}"
        _warn(context, at, what, "the mark stands on the note that is reached")
    elif _is_fretted(start) and _is_fretted(note) and (note.fret - start.fret) * _DIRECTION[name] <= 0:
        other = SignName.PULL_OFF if name is SignName.HAMMER_ON else SignName.HAMMER_ON
        _warn(
            context, at, f"this {name} goes from fret {start.fret} to fret {note.fret}", f"is it a {other}?"
        )


def _is_open(note: DraftNote) -> bool:
    return note.fret == 0 and _is_fretted(note)


def _is_fretted(note: DraftNote) -> bool:
    """True when the fret of a note is where it sounds: it is not dead, and its place is the author's."""
    return not note.chosen and SignName.DEAD not in signs_of(note.techniques)


def _warn(context: Context, at: _At, what: str, hint: str) -> None:
    context.warning(at.note.location, what, hint, at.event.onset)
