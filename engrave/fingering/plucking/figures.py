"""What the music around a moment asks of its fingers: runs, arpeggios and tremolos are recognised from the strings alone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.fingering.plucking.right_hand import RANK, RightHand
from engrave.fingering.plucking.struck import Struck
from engrave.score.techniques import RightFinger

_TREMOLO = (RightFinger.RING, RightFinger.MIDDLE, RightFinger.INDEX)
"""The fingers of a tremolo after the thumb (common practice, no source)."""
_WIDEST = 3
"""Neighbouring strings over which i, m and a lie, a finger each (fact)."""


class Figure(NamedTuple):
    """What a moment is part of.

    `in_run`: a note of a line with several notes on a string, where i and m alternate. `index_string`: the string of the
    index finger in an arpeggio, in which each finger has a string of its own; 0 where there is none. `tremolo`: the finger
    of a tremolo.
    """

    in_run: bool = False
    index_string: int = 0
    tremolo: RightFinger | None = None

    def own_string(self, finger: RightFinger) -> int:
        """The string of `finger` in an arpeggio."""
        return self.index_string - RANK[finger] + 1


def find_figures(moments: Sequence[Struck], hand: RightHand, border: int) -> list[Figure]:
    """The figure of each moment; `border` is the thickest string of the fingers."""
    uppers = [
        tuple(note.string for note in moment.notes if note.string <= border and not note.is_lower)
        for moment in moments
    ]
    lines = [
        moment.strings if len(moment.strings) == 1 else upper if len(upper) == 1 else ()
        for moment, upper in zip(moments, uppers, strict=True)
    ]
    runs = [_is_in_run(lines, index) for index in range(len(moments))]
    found = [
        Figure(runs[index], _find_index_string(uppers, runs, index, hand.figures.window))
        for index in range(len(moments))
    ]
    for start in _tremolos(moments, hand.figures.tremolo_time, border):
        for step, finger in enumerate(_TREMOLO):
            found[start + step] = found[start + step]._replace(tremolo=finger)
    return found


def _is_in_run(lines: Sequence[tuple[int, ...]], index: int) -> bool:
    """True for a line that stays on its string, or that comes from or leads to two notes on another."""

    def at(number: int) -> tuple[int, ...]:
        return lines[number] if 0 <= number < len(lines) else ()

    here = at(index)
    sides = ((at(index + side), at(index + 2 * side)) for side in (-1, 1))
    return bool(here) and any(near and near in (here, far) for near, far in sides)


def _find_index_string(
    uppers: Sequence[tuple[int, ...]], runs: Sequence[bool], index: int, window: int
) -> int:
    """The thickest string of the fingers around a moment outside runs, if all of theirs lie within three neighbours."""
    if runs[index] or not uppers[index]:
        return 0
    strings: set[int] = set()
    for way in (-1, 1):
        for step in range(window + 1):
            number = index + way * step
            if not 0 <= number < len(uppers) or runs[number]:
                break
            strings.update(uppers[number])
    return max(strings) if len(strings) > 1 and max(strings) - min(strings) < _WIDEST else 0


def _tremolos(moments: Sequence[Struck], limit: float, border: int) -> list[int]:
    """Where three quick strokes on one string of the fingers follow a stroke of the thumb alone."""
    found = []
    for start in range(1, len(moments) - len(_TREMOLO) + 1):
        row = moments[start : start + len(_TREMOLO)]
        if len(row[0].notes) != 1:
            continue
        string, sound = row[0].strings[0], _sound(row[0])
        quick = all(moment.seconds <= limit and _sound(moment) == sound for moment in row)
        goes_on = start + len(row) < len(moments) and _sound(moments[start + len(row)]) == sound
        thumb = all(note.is_lower or note.string > string for note in moments[start - 1].notes)
        if thumb and quick and string <= border and not goes_on:
            found.append(start)
    return found


def _sound(moment: Struck) -> tuple[tuple[int, int], ...]:
    """The strings of a moment, and what is written on them."""
    return tuple((note.string, note.midi) for note in moment.notes)
