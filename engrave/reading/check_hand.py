"""Warnings of what a left hand cannot do on a string: hammer-ons that fall, slides to open strings, bends of them.

The rules are those of the instrument (common practice, no source): a finger that stops no string cannot bend, shake or
slide it, while it can be pulled off to the open string.
"""

from __future__ import annotations

from typing import NamedTuple

from engrave.reading.context import Context
from engrave.reading.drafts import DraftEvent, DraftNote, DraftVoice
from engrave.score.short_form import BEND
from engrave.score.sign_list import TOUCHED_HARMONICS, SignName
from engrave.score.techniques import signs_of

_DIRECTION = {SignName.HAMMER_ON: 1, SignName.PULL_OFF: -1}
_SLIDES = (SignName.SLIDE, SignName.SLURRED_SLIDE)
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


def check_left_hand(context: Context, voices: list[DraftVoice], before: list[DraftEvent | None]) -> None:
    """Warn of marks that no left hand can play where they stand.

    Notes written as pitches get their string later. `before` holds the last event of each voice in the measure before,
    and is brought up to date.
    """
    for number, voice in enumerate(voices[:2]):
        last = before[number]
        for event in [e for main in voice.events for e in main.in_order()]:
            for note in event.notes:
                if note.techniques and note.string:
                    _check_note(context, event, note, last)
            last = event
        before[number] = last if voice.events else None


def _check_note(context: Context, event: DraftEvent, note: DraftNote, last: DraftEvent | None) -> None:
    start = next((n for n in last.notes if n.string == note.string), None) if last is not None else None
    at = _At(event, note, start)
    names = [technique.sign for technique in note.techniques]
    is_open = _is_open(note) and _SOUNDS_ELSEWHERE.isdisjoint(names)
    for name in names:
        if is_open and name in _NOT_OPEN:
            _warn(context, at, *_NOT_OPEN[name])
        elif name in _DIRECTION:
            if not (note.chosen and last is not None and last.notes):
                _check_direction(context, at, name)
        elif name in _SLIDES and not (note.chosen and last is not None and last.notes):
            _check_slide(context, at, name)


def _check_slide(context: Context, at: _At, name: SignName) -> None:
    note, start = at.note, at.start
    if start is None:
        what = f"this {name} has no note directly before it on string {note.string}, so none is drawn"
        _warn(context, at, what, "it joins two notes in a row; a slide from nowhere is slide-from-below")
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
