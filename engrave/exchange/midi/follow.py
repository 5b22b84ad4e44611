"""The notes of a file laid on written time: as its tempo map says, or after the beats where that does not fit."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.exchange.midi.beats import QUARTER, Beats, fits, gather_onsets, track_beats
from engrave.exchange.midi.collect import UNITS, Collected, RawNote, RawPart
from engrave.playing.taste import read_taste
from engrave.theory.metre import Metre

_COARSEST = UNITS // 16
_FINEST = UNITS // 32
"""The grid on which beats are looked for: sixteenths, thirty-seconds where those are asked for."""
_MOST_ONSETS = 20_000
"""Longer files stay as they are: 2,000 measures of ten onsets each (safety limit)."""
_TOLD = 0.015
"""A tempo that varies by less than this share is one tempo (house rule)."""


def follow_beats(found: Collected, parts: Sequence[RawPart], finest: int) -> list[str]:
    """Move the notes of `parts`, the times and the keys to written time where the tempo map does not fit them.

    What was done is said in words. A file whose onsets stand on the grid of its own quarters stays as it is.
    """
    quarter = QUARTER * found.scale
    quarters = found.tempos[0][1] if found.tempos else read_taste().tempo
    moments = [note.start / quarter for part in parts for note in part.notes]
    onsets = gather_onsets(moments, quarters)
    if fits(onsets) or len(onsets) > _MOST_ONSETS:
        return []
    metre = found.metres[0][1] if found.metres else Metre((4,), 4)
    step = max(_FINEST, min(_COARSEST, UNITS // finest))
    beats = track_beats(onsets, quarters, step, metre)
    if beats is None:
        return []
    for part in parts:
        part.notes = [_moved(note, beats, found.scale, quarter) for note in part.notes]
    found.metres = [(_place(tick, beats, found.scale, quarter), metre) for tick, metre in found.metres]
    found.keys = [(_place(tick, beats, found.scale, quarter), key) for tick, key in found.keys]
    tempo = round(quarters * beats.average)
    found.tempos = [(0, float(tempo))]
    return [_told(quarters, tempo, beats)]


def _told(quarters: float, tempo: int, beats: Beats) -> str:
    slowest, fastest = quarters * beats.slowest, quarters * beats.fastest
    varies = fastest - slowest > 2 * _TOLD * tempo
    range_words = f", between 1/4 = {slowest:.0f} and {fastest:.0f}" if varies else ""
    return (
        f"the notes do not keep to the tempo of the file, so their own beats were followed: 1/4 = {tempo}{range_words};"
        " look whether the barlines are right"
    )


def _moved(note: RawNote, beats: Beats, scale: int, quarter: int) -> RawNote:
    start = _place(note.start, beats, scale, quarter)
    return note._replace(start=start, stop=max(start + 1, _place(note.stop, beats, scale, quarter)))


def _place(tick: int, beats: Beats, scale: int, quarter: int) -> int:
    """Scaled ticks of the written music for those of the file."""
    return max(0, round(beats.place(tick / quarter) * scale)) if tick else 0
