"""What a staff shows of a bent string: where it is fretted, to what it is bent, to what it comes back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from engrave.layout.measures.bend_room import (
    NO_STRINGS,
    BendPlace,
    BentAt,
    BentNote,
    HeldStrings,
    are_bent,
    is_held,
    measure_bends,
)
from engrave.score.sign_list import SignName
from engrave.score.spelling import spell_bent
from engrave.score.structure import Event, Note, PartMeasure
from engrave.score.techniques import NaturalHarmonic, StoppedHarmonic
from engrave.style.sections import Style
from engrave.theory.bends import BendKind, BendStep, share_of_step
from engrave.theory.key import Key
from engrave.theory.pitch import Pitch

_STRAIGHT = Fraction(0)
_NO_PITCH = (SignName.DEAD, SignName.SLASH)


class LaterPitch(NamedTuple):
    """A pitch to which a string goes on while it sounds: by which step, and at which share of the note at the earliest.

    The share is 0 where the step does not wait for the end of a bend that is held.
    """

    pitch: Pitch
    step: int
    share: Fraction


class BentPitches(NamedTuple):
    """What a staff shows of one bent note: a head before it that says where it is fretted, its own head, those after it.

    `before` is None where the head says it all. `is_pre_bend`: nobody hears the pitch before. `is_new`: the note is tied to
    one before it, but its head stands elsewhere, for the bend moves there.
    """

    before: Pitch | None
    is_pre_bend: bool
    main: Pitch
    later: tuple[LaterPitch, ...]
    is_new: bool


def has_quarter_tones(steps: Sequence[BendStep]) -> bool:
    """True when a step leads between two keys of the piano, where no head can stand."""
    return any(step.semitones.denominator > 1 for step in steps)


def moves_at_start(note: Note, held: Fraction) -> bool:
    """True when the head of a tied note stands elsewhere than the one before, which was bent by `held` semitones."""
    before = held if held.denominator == 1 else _STRAIGHT
    return bool(note.bend) and _shown_levels(note.bend, before)[0] != before


def decide_bent_pitches(note: Note, held: Fraction, spell: Callable[[int], Pitch]) -> BentPitches | None:
    """The heads of a note whose string is bent, or comes bent by `held` semitones from a tie; None where one head says it all.

    A struck note has a head where it is fretted and one to which it is bent; of a tied note the first step moves with its
    beginning. A quarter tone has no head of its own: the amount at the arrow tells it (all common practice, no source).
    """
    steps = note.bend
    if not steps and not held:
        return None
    if any(note.has(sign) for sign in _NO_PITCH) or any(
        isinstance(technique, NaturalHarmonic | StoppedHarmonic) for technique in note.techniques
    ):
        return None
    before = held if held.denominator == 1 else _STRAIGHT
    shown = _shown_levels(steps, before)
    main = shown[0] if shown else before
    is_struck = not note.tie_from
    later: list[LaterPitch] = []
    level = main
    for number in range(1, len(steps)):
        if shown[number] == level:
            continue
        waits = steps[number - 1].kind is BendKind.HOLD
        share = share_of_step(steps, number) if waits else Fraction(0)
        level = shown[number]
        later.append(LaterPitch(spell(note.midi + int(level)), number, share))
    if not main and not later and main == before:
        return None
    return BentPitches(
        before=note.pitch if is_struck and main else None,
        is_pre_bend=bool(steps) and steps[0].kind is BendKind.PRE_BEND,
        main=spell(note.midi + int(main)),
        later=tuple(later),
        is_new=not is_struck and main != before,
    )


def _shown_levels(steps: Sequence[BendStep], before: Fraction) -> list[Fraction]:
    """How far the staff shows the string bent after each step: a quarter tone is not shown."""
    shown = []
    for step in steps:
        before = step.semitones if step.semitones.denominator == 1 else before
        shown.append(before)
    return shown


class BentPitchReader:
    """Finds and spells the pitches of bent notes in one measure of a part.

    A pitch that the measure has already is spelled as there, else by the key, the chord above it, or custom.
    """

    def __init__(self, part: PartMeasure, key: Key, held: HeldStrings) -> None:
        """`held` are the strings held bent in the measure."""
        self._part = part
        self._key = key
        self._held = held

    @cached_property
    def _spelled(self) -> dict[int, Pitch]:
        """The pitches that the measure has, by their MIDI numbers."""
        events = (event for voice in self._part.voices for event in voice.events)
        return {note.midi: note.pitch for event in events for note in event.notes}

    def read(self, event: Event, onset: Fraction, where: BentAt) -> dict[int, BentPitches]:
        """What the bent notes of an event at `onset` show, by string."""
        held = self._held.get(where, NO_STRINGS)
        if not are_bent(event.notes, held):
            return {}

        def spell(midi: int) -> Pitch:
            own = next((note.pitch for note in event.notes if note.midi == midi), None)
            known = own or self._spelled.get(midi)
            return known or spell_bent(midi, self._key, self._part.chords, onset)

        found = {}
        for note in event.notes:
            level = held[note.string] if is_held(note, held) else _STRAIGHT
            pitches = decide_bent_pitches(note, level, spell) if note.string else None
            if pitches is not None:
                found[note.string] = pitches
        return found


def measure_step_places(event: Event, rights: Sequence[float], style: Style) -> dict[int, tuple[float, ...]]:
    """Where the steps of bent strings end, from the middle of the digits, by string: the same on staff and tab.

    `rights` are the right edges of the digits, in the order of the event's notes.
    """
    notes = [
        BentNote(note, right, -note.string, note.tie_from)
        for note, right in zip(event.notes, rights, strict=True)
    ]
    ink = measure_bends(notes, BendPlace(0.0, 0.0, float("-inf"), False, False), style)
    return {
        note.string: tuple(arrow.x for arrow in bend.arrows)
        for note, bend in zip(event.notes, ink.strings, strict=True)
        if bend.arrows
    }
