"""What sounds: notes with their moments, pitches and loudness, and the tempo map that turns moments into seconds.

Times are exact fractions of a whole note from the start.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from engrave.playing.taste import Taste
from engrave.score.sign_list import SignName
from engrave.theory.bends import BarMove, BendStep


class Piece(NamedTuple):
    """What moves the pitch of a note from `start` after its beginning on: a note may be tied together of several."""

    start: Fraction
    signs: frozenset[SignName] = frozenset()
    bend: tuple[BendStep, ...] = ()
    bar: BarMove | None = None


class SoundingNote(NamedTuple):
    """One sounding note. `midi` is its pitch as a MIDI number; `delay` in seconds spreads chords.

    `length` is how long it sounds, whatever its value on paper. `signs` are the names of its signs, spans such as
    palm-mute and let-ring among them. `bend` are the steps of its bend, `bar` the move of the vibrato bar; `string`
    is 0 where there is none.
    """

    part: int
    string: int
    start: Fraction
    length: Fraction
    midi: int
    loudness: float
    signs: frozenset[SignName]
    bend: tuple[BendStep, ...] = ()
    delay: float = 0.0
    slides_from: int = 0
    """The pitch from which it is reached by a slide, 0 for none."""
    bar: BarMove | None = None
    slides_to: int = 0
    """The pitch to which it glides at its end, as the next note is struck; 0 for none."""
    held: tuple[Piece, ...] = ()
    """The pieces tied to it."""

    @property
    def pieces(self) -> Iterator[tuple[Piece, Fraction]]:
        """The struck piece and the ones tied to it, each with its end after the beginning of the note."""
        rows = (Piece(Fraction(0), self.signs, self.bend, self.bar), *self.held)
        for number, piece in enumerate(rows):
            end = rows[number + 1].start if number + 1 < len(rows) else self.length
            yield piece, max(piece.start, min(end, self.length))


class TempoAt(NamedTuple):
    """From `start` on, so many quarters a minute."""

    start: Fraction
    quarters: float


class Beat(NamedTuple):
    """A beat that can be clicked; `is_first` of its measure."""

    moment: Fraction
    is_first: bool


@dataclass(frozen=True)
class Performance:
    """All notes in order of time, the tempo map (it begins at 0), the moments of measures, the beats, and the whole length.

    Fermatas and caesuras are slower stretches of the tempo map. `beat_length` is that of the first beat; `clicks` are the
    beats that are heard, `lead` is how long is counted before the music, `times` how often it is played.
    """

    notes: tuple[SoundingNote, ...]
    tempos: tuple[TempoAt, ...]
    measures: tuple[Fraction, ...]
    beats: tuple[Beat, ...]
    length: Fraction
    beat_length: Fraction = Fraction(1, 4)
    clicks: tuple[Beat, ...] = ()
    lead: Fraction = Fraction(0)
    times: int = 1

    def seconds(self, moment: Fraction) -> float:
        """Seconds from the start to `moment`."""
        place = max(0, bisect_right(self.tempos, moment, key=lambda tempo: tempo.start) - 1)
        tempo = self.tempos[place]
        return self._reached[place] + float(moment - tempo.start) * 240 / tempo.quarters

    @cached_property
    def _reached(self) -> list[float]:
        """Seconds at which each tempo begins."""
        reached = [0.0]
        for tempo, after in zip(self.tempos, self.tempos[1:]):
            reached.append(reached[-1] + float(after.start - tempo.start) * 240 / tempo.quarters)
        return reached


def settle_lengths(notes: Sequence[SoundingNote], house: Taste) -> list[SoundingNote]:
    """The notes of a part as long as they sound, and with the pitch to which a struck slide takes them."""
    lines: dict[tuple[int, int], list[int]] = defaultdict(list)
    for index, note in enumerate(notes):
        lines[note.string, 0 if note.string else note.midi].append(index)
    settled = list(notes)
    for line in lines.values():
        line.sort(key=lambda index: notes[index].start)
        for index, after in zip(line, [*line[1:], None]):
            settled[index] = _settle(notes[index], notes[after] if after is not None else None, house)
    return settled


def _settle(note: SoundingNote, after: SoundingNote | None, house: Taste) -> SoundingNote:
    """`after` is the next note on the same string."""
    last, _ = [*note.pieces][-1]
    length = last.start + (note.length - last.start) * _share(last.signs, house)
    if SignName.LET_RING in note.signs | last.signs:
        length = max(length, house.ring)
        if after is not None and after.start > note.start:
            length = min(length, after.start - note.start)
    slides = (
        after is not None and after.slides_from == note.midi and SignName.SLURRED_SLIDE not in after.signs
    )
    return note._replace(length=length, slides_to=after.midi if slides and after is not None else 0)


def _share(signs: frozenset[SignName], house: Taste) -> Fraction:
    """How much of its length a note sounds."""
    if {SignName.STACCATO, SignName.TENUTO} <= signs:
        share = house.portato
    else:
        share = min((part for name, part in house.shares.items() if name in signs), default=1.0)
    if SignName.BREATH_MARK in signs:
        share = min(share, 1 - house.breath)
    return Fraction(share).limit_denominator(64)
