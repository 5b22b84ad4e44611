"""The keys beside a fret that say more than a word can: bends, the vibrato bar, harmonics, the right hand."""

from __future__ import annotations

from engrave.diagnostics.problem import Place
from engrave.reading.context import Context
from engrave.score.structure import Mark
from engrave.source.tree import SourceMap
from engrave.theory.bends import parse_bend
from engrave.theory.harmonics import harmonic_pitch, partial_at
from engrave.theory.instrument import Instrument
from engrave.theory.pitch import Pitch
from engrave.theory.vibrato_bar import parse_bar_move

WIDEST_TRILL = 4
"""Frets that one hand spans between two fingers of a trill (house rule)."""
TOUCHED_HARMONICS = ("artificial-harmonic", "tapped-harmonic", "touched-harmonic")
"""Harmonics of a stopped string; the value is the fret over which it is touched."""


def read_details(context: Context, value: SourceMap, fret: int, held: bool) -> tuple[Mark, ...]:
    """The marks of a note's own keys. `held`: the note is tied to the one before it."""
    marks: list[Mark] = []
    for key, text, place in value.entries():
        try:
            if key == "bend":
                parse_bend(str(text), held)
                marks.append(Mark("bend", str(text), place))
            elif key == "vibrato-bar":
                parse_bar_move(str(text))
                marks.append(Mark("vibrato-bar", str(text), place))
            elif key == "pluck":
                marks.append(Mark("pluck", str(text), place))
            elif key == "trill":
                marks.append(_trill(int(text), fret, place))
            elif key in TOUCHED_HARMONICS:
                marks.append(_touched(key, int(text), fret, place))
        except ValueError as error:
            context.error(place, str(error))
    return tuple(marks)


def _touched(name: str, touched: int, fret: int, place: Place) -> Mark:
    if touched <= fret:
        raise ValueError(
            f"the string is stopped at fret {fret} and cannot be touched at {touched}; touch it higher"
        )
    partial_at(touched - fret)
    return Mark(name, str(touched), place)


def _trill(upper: int, fret: int, place: Place) -> Mark:
    if not fret < upper <= fret + WIDEST_TRILL:
        raise ValueError(
            f"a trill from fret {fret} cannot go to fret {upper}; write a fret up to {WIDEST_TRILL} above"
        )
    return Mark("trill", str(upper), place)


def natural_harmonic_pitch(instrument: Instrument, string: int, fret: float) -> Pitch:
    """The written pitch that sounds when the open string is touched over `fret`. Raises ValueError without a node there."""
    return harmonic_pitch(instrument.tuning[string - 1].transposed_octaves(instrument.octave), fret)
