"""How a sounding pitch is spelled: by the key, and by where the melody goes."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from engrave.theory.key import Key
from engrave.theory.pitch import SEMITONES, Pitch

_RAISED = {1: 0, 3: 1, 6: 3, 8: 4, 10: 5}
"""Chromatic semitones above the major tonic as raised degrees: raised 1, 2, 4, 5, 6."""
_LOWERED = {1: 1, 3: 2, 6: 4, 8: 5, 10: 6}
"""The same as lowered degrees: lowered 2, 3, 5, 6, 7."""
_USUAL = {1: "raised", 3: "lowered", 6: "raised", 8: "raised", 10: "lowered"}
"""Where no semitone step decides: raised 1, 4 and 5, lowered 3 and 7 (common practice, no source)."""


@lru_cache(maxsize=512)
def _table(fifths: int, direction: int) -> tuple[tuple[int, int, int], ...]:
    """For each pitch class: (step, alter, octave correction). `direction` 1 rising, -1 falling, 0 neither."""
    tonic_step, tonic_alter = (fifths * 4) % 7, (fifths + 1) // 7
    tonic = SEMITONES[tonic_step] + tonic_alter
    alters = Key(fifths).alters
    result = []
    for pitch_class in range(12):
        above = (pitch_class - tonic) % 12
        diatonic = {0: 0, 2: 1, 4: 2, 5: 3, 7: 4, 9: 5, 11: 6}.get(above)
        if diatonic is not None:
            step = (tonic_step + diatonic) % 7
            alter = alters[step]
        else:
            raised = direction > 0 or (direction == 0 and _USUAL[above] == "raised")
            degree = _RAISED[above] if raised else _LOWERED[above]
            step = (tonic_step + degree) % 7
            alter = alters[step] + (1 if raised else -1)
            if abs(alter) > 1:
                step, alter = _simplest(pitch_class, alter)
        natural = SEMITONES[step] + alter
        result.append((step, alter, (pitch_class - natural) // 12))
    return tuple(result)


def _simplest(pitch_class: int, wish: int) -> tuple[int, int]:
    """The letter with at most one sharp or flat, rather than a double sign."""
    for alter in (0, 1, -1) if wish > 0 else (0, -1, 1):
        for step, semitone in enumerate(SEMITONES):
            if (semitone + alter) % 12 == pitch_class:
                return step, alter
    raise AssertionError("every pitch class has a letter")  # pragma: no cover


def spell_midi(midi: int, key: Key, previous: int | None = None, following: int | None = None) -> Pitch:
    """The spelling of MIDI number `midi`. Notes of the key are spelled by it.

    Others are raised when the melody goes on a semitone up, lowered when a semitone down, else by common practice.
    In minor keys the sixth and seventh degree are raised. Mode decides nothing else.
    """
    direction = 0
    if following is not None:
        if following - midi == 1:
            direction = 1
        elif following - midi == -1:
            direction = -1
    if direction == 0 and previous is not None and previous - midi == 1 and following == previous:
        direction = 1
    step, alter, wrap = _table(key.fifths, direction)[midi % 12]
    return Pitch(step, alter, midi // 12 - 1 + wrap)


def spell_in_context(groups: Sequence[Sequence[int]], keys: Sequence[Key]) -> list[list[Pitch]]:
    """Spell simultaneous groups in time, each under its key; melodic neighbours are the nearest ones a semitone away."""
    spelled: list[list[Pitch]] = []
    last = len(groups) - 1
    for index, (group, key) in enumerate(zip(groups, keys, strict=True)):
        after = groups[index + 1] if index < last else ()
        row = []
        for midi in group:
            direction = 1 if midi + 1 in after else -1 if midi - 1 in after else 0
            step, alter, wrap = _table(key.fifths, direction)[midi % 12]
            row.append(Pitch(step, alter, midi // 12 - 1 + wrap))
        spelled.append(row)
    return spelled
