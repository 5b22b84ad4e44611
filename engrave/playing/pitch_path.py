"""How the pitch of a note moves while it sounds: slides, bends, vibrato, the bar. MIDI and sound follow one path."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import pi, sin
from typing import NamedTuple

from engrave.playing.sounding import Piece, SoundingNote
from engrave.playing.taste import Taste, read_taste
from engrave.score.sign_list import SignName
from engrave.theory.bends import BarMoveKind, BendKind, BendStep

Line = tuple[tuple[float, float], ...]
"""(seconds, semitones) where a movement turns, in order; before the first and after the last it stays."""


class Wave(NamedTuple):
    """A vibrato from `start` seconds on: `semitones` to either side, `hertz` waves a second, full after `wait`."""

    start: float
    semitones: float
    hertz: float
    wait: float


class PitchPath(NamedTuple):
    """The sum of lines and waves, in semitones above the note."""

    lines: tuple[Line, ...]
    waves: tuple[Wave, ...]

    @property
    def is_still(self) -> bool:
        """True where the pitch never moves."""
        return not self.lines and not self.waves

    def at(self, time: float) -> float:
        """Semitones above the note, `time` seconds after its beginning."""
        total = sum(_interpolate(line, time) for line in self.lines)
        for wave in self.waves:
            since = max(0.0, time - wave.start)
            total += wave.semitones * sin(2 * pi * wave.hertz * since) * min(1.0, since / wave.wait)
        return total


def _interpolate(line: Line, time: float) -> float:
    if time <= line[0][0]:
        return line[0][1]
    for (left, low), (right, high) in pairwise(line):
        if time < right:
            return low + (high - low) * (time - left) / (right - left)
    return line[-1][1]


def pitch_path(note: SoundingNote, seconds: float) -> PitchPath:
    """The path of a note that sounds for so many `seconds`."""
    taste = read_taste()
    scale = seconds / float(note.length) if note.length else 0.0
    pieces = [(piece, float(piece.start) * scale, float(end) * scale) for piece, end in note.pieces]
    lines = [*_slides(note, seconds, taste)]
    waves = []
    if bend := _bends(pieces, taste):
        lines.append(bend)
    for piece, start, stop in pieces:
        lines.extend(_bar_lines(piece, start, stop - start, taste))
        widths = [width for name, width in taste.vibrato.items() if name in piece.signs]
        if piece.bar is not None and piece.bar.kind is BarMoveKind.VIBRATO:
            widths.append(taste.bar_vibrato)
        waves += [Wave(start, width, taste.vibrato_hertz, taste.vibrato_wait) for width in widths]
    return PitchPath(tuple(lines), tuple(waves))


def _slides(note: SoundingNote, seconds: float, taste: Taste) -> Iterator[Line]:
    glide = min(taste.glide_seconds, taste.glide_share * seconds)
    starts = [by for name, by in taste.slide_from.items() if name in note.signs]
    ends = [by for name, by in taste.slide_away.items() if name in note.signs]
    if note.slides_from and SignName.SLURRED_SLIDE in note.signs:
        starts.append(note.slides_from - note.midi)
    if note.slides_to:
        ends.append(note.slides_to - note.midi)
    for by in starts:
        yield (0.0, by), (glide, 0.0)
    for by in ends:
        yield (seconds - glide, 0.0), (seconds, by)


def _bends(pieces: list[tuple[Piece, float, float]], taste: Taste) -> Line:
    """The bends of all pieces in one line; a piece without one keeps what it was given."""
    line: list[tuple[float, float]] = []
    level = 0.0
    for piece, start, stop in pieces:
        moves = list(piece.bend)
        if moves and moves[0].kind is BendKind.PRE_BEND:
            level = float(moves.pop(0).semitones)
            line.append((start, level))
        for number, step in enumerate(moves):
            share = (stop - start) / len(moves)
            line.extend(_bend_step(step, start + share * number, share, level, taste))
            level = line[-1][1]
    return tuple(line)


def _bend_step(
    step: BendStep, begin: float, share: float, level: float, taste: Taste
) -> Iterator[tuple[float, float]]:
    yield begin, level
    if step.kind is not BendKind.HOLD:
        yield begin + min(taste.bend_seconds, taste.bend_share * share), float(step.semitones)


def _bar_lines(piece: Piece, start: float, seconds: float, taste: Taste) -> Iterator[Line]:
    """What the bar does in a piece: a dip down and back, a dive down to stay, a scoop up from below."""
    if piece.bar is None or piece.bar.kind is BarMoveKind.VIBRATO:
        return
    kind = piece.bar.kind
    depth = float(piece.bar.semitones) or taste.bar_amounts[kind.value]
    if kind is BarMoveKind.DIP:
        begin = start + taste.dip_after * seconds
        whole = min(taste.dip_seconds, seconds / 2)
        yield (begin, 0.0), (begin + whole / 2, -depth), (begin + whole, 0.0)
    elif kind is BarMoveKind.DIVE:
        begin = start + taste.dive_after * seconds
        yield (begin, 0.0), (begin + taste.dive_share * seconds, -depth)
    else:
        yield (start, -depth), (start + min(taste.scoop_seconds, seconds / 2), 0.0)
