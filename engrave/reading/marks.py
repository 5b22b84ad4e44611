"""Marks of an event by name, and marks of a note that have an amount: bends, the vibrato bar, harmonics, trills."""

from __future__ import annotations

from engrave.problems import Location, nearest_word
from engrave.reading.context import Context
from engrave.score.sign_list import MARKS, SignName
from engrave.score.techniques import Plain, StoppedHarmonic, Technique, Trill, parse_technique
from engrave.source.tree import Value
from engrave.theory.harmonics import harmonic_pitch, partial_at
from engrave.theory.instrument import Instrument
from engrave.theory.pitch import Pitch


def read_marks(context: Context, value: Value, location: Location) -> tuple[Technique, ...]:
    """The marks that `value` names; what is none of them goes to the log."""
    names = value.split() if isinstance(value, str) else [str(name) for name in value]
    marks: list[Technique] = []
    for name in names:
        if name in MARKS:
            marks.append(Plain(SignName(name), location))
            continue
        context.unread = True
        near = nearest_word(name, MARKS)
        hint = f'did you mean "{near}"?' if near else "marks are words such as accent, fermata or strum-down"
        context.error(location, f'"{name}" is not a mark', hint)
    return tuple(marks)


WIDEST_TRILL = 4
"""Frets that one hand spans between two fingers of a trill (house rule)."""


def read_detail(sign: SignName, amount: str, fret: int, held: bool, location: Location) -> Technique:
    """The technique `sign` of a note on `fret`. `held`: the note is tied to the one before it.

    Raises ValueError that says what is wrong with the amount and what would be right.
    """
    technique = parse_technique(sign, amount.lower() if sign is SignName.BEND else amount, location, held)
    if isinstance(technique, Trill):
        _check_trill(technique.to, fret)
    elif isinstance(technique, StoppedHarmonic):
        _check_touched(technique.touched, fret)
    return technique


def _check_touched(touched: int, fret: int) -> None:
    if touched <= fret:
        raise ValueError(
            f"the string is stopped at fret {fret} and cannot be touched at {touched}; touch it higher"
        )
    partial_at(touched - fret)


def _check_trill(upper: int, fret: int) -> None:
    if not fret < upper <= fret + WIDEST_TRILL:
        raise ValueError(
            f"a trill from fret {fret} cannot go to fret {upper}; write a fret up to {WIDEST_TRILL} above"
        )


def natural_harmonic_pitch(instrument: Instrument, string: int, fret: float) -> Pitch:
    """The written pitch that sounds when the open string is touched over `fret`. Raises ValueError without a node there."""
    return harmonic_pitch(instrument.tuning[string - 1].transposed_octaves(instrument.octave), fret)
