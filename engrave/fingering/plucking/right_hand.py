"""A player's right hand: what its fingers and its strokes cost, in the same small numbers for all of them.

The values, each with its source, live in `styles/right-hands/*.yaml`; there are no defaults here.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Annotated, NamedTuple

from engrave.fingering.hand_files import HandFiles, WrongHand
from engrave.problems import NOWHERE
from engrave.score.techniques import RightFinger
from engrave.settings.kinds import Number, OneOf, Words, kinds_of
from engrave.theory.instrument import Instrument

PLAYS = ("fingers", "pick")
Cost = Annotated[float, Number(0, 10_000)]
"""What a stroke costs beside the easiest one."""
Count = Annotated[int, Number(0, 12)]
"""Strings, or notes at once."""
Seconds = Annotated[float, Number(0.001, 60, "seconds")]
"""A time; costs are divided by it, so it cannot be nothing (safety limit)."""
Times = Annotated[float, Number(0, 100)]
"""So many times a cost."""
Share = Annotated[float, Number(0, 1)]
_LOWEST_OF_BASS = 36
"""A thickest string this low (MIDI; C2, between those of guitars and basses) is a bass's (algorithm)."""
_THINNEST_OF_GUITAR = 52
"""A thinnest string below this (MIDI; E3) is none of a guitar's (algorithm)."""
_FOUR = 4
"""Strings of the instruments on which the thumb has two (fact)."""


class FingerCost(NamedTuple):
    """What each finger costs when it plucks, by its letter."""

    p: Cost
    i: Cost
    m: Cost
    a: Cost
    c: Cost

    def of(self, finger: RightFinger) -> float:
        """What `finger` costs."""
        return (self.p, self.i, self.m, self.a, self.c)[RANK[finger]]


RANK = {finger: number for number, finger in enumerate(RightFinger)}
"""Fingers counted from the thumb: 0 is the thumb, 1 the index finger."""


class Homes(NamedTuple):
    """Which strings belong to the thumb, and what it costs to leave one's own."""

    free: Count
    """So many of the thinnest strings belong to the fingers, all others to the thumb."""
    free_of_four: Count
    """The same where there are four strings."""
    free_of_banjo: Count
    """The same where a string is short."""
    thumb_inside: Cost
    finger_outside: Cost
    further: Cost
    """Each string beyond the first one outside."""
    lower_voice: Cost
    upper_voice: Cost


class Repeat(NamedTuple):
    """A finger that plucks twice running, with `time` seconds between; with less it costs more, up to `most` times."""

    finger: Cost
    thumb: Cost
    thumb_on: Cost
    thumb_in_run: Cost
    over_thumb: Cost
    time: Seconds
    most: Times

    def haste(self, seconds: float) -> float:
        """How many times the cost counts with so much time."""
        return min(self.most, self.time / seconds)


class HandPlace(NamedTuple):
    """The hand over its strings: i, m, a over three neighbours.

    `slack` strings of movement cost nothing, nor do `slack_in_run` where several notes of a run lie on one string.
    """

    slack: Count
    slack_in_run: Count
    shift: Cost
    spread: Cost
    crossed: Cost
    thumb_close: Cost


class Chords(NamedTuple):
    """The thumb over several strings at once."""

    thumb_string: Cost
    thumb_gap: Cost


class Figures(NamedTuple):
    """Figures that are learned whole."""

    arpeggio: Cost
    """A finger on another string than its own."""
    window: Count
    """So many moments before and after belong to an arpeggio."""
    tremolo: Cost
    tremolo_time: Seconds
    alike: Cost
    """What a measure that repeats must save to be plucked otherwise than before."""


class Fingers(NamedTuple):
    """The fingers that pluck on each sort of instrument, as letters."""

    usual: Words
    bass: Words
    banjo: Words


class StrokeCost(NamedTuple):
    """Strokes of a pick, and of a hand that strums."""

    beat: Cost
    triplet_beat: Cost
    offbeat: Cost
    again: Cost
    again_time: Seconds
    again_most: Times
    sweep: Share
    against: Cost
    chord: Count
    """So many notes at once are strummed; fewer are picked."""

    def haste(self, seconds: float) -> float:
        """How many times a stroke that is made again counts with so much time."""
        return min(self.again_most, self.again_time / seconds)


class RightHand(NamedTuple):
    """One player's right hand. `plays` says with what: fingers or pick."""

    name: str
    plays: Annotated[str, OneOf(PLAYS, "what a hand plays with")]
    finger: FingerCost
    homes: Homes
    repeat: Repeat
    place: HandPlace
    chords: Chords
    figures: Figures
    fingers: Fingers
    strokes: StrokeCost

    @property
    def has_pick(self) -> bool:
        """True for a hand that holds a pick."""
        return self.plays == "pick"

    def fingers_on(self, instrument: Instrument) -> tuple[RightFinger, ...]:
        """The fingers that pluck on `instrument`."""
        letters = self.fingers.usual
        if any(instrument.first_frets):
            letters = self.fingers.banjo
        elif _is_bass(instrument):
            letters = self.fingers.bass
        return tuple(RightFinger(letter) for letter in letters.split())

    def border(self, instrument: Instrument) -> int:
        """The strings from 1 to here belong to the fingers, thicker ones to the thumb; all on an instrument without a thumb."""
        if RightFinger.THUMB not in self.fingers_on(instrument):
            return instrument.strings
        if any(instrument.first_frets):
            return self.homes.free_of_banjo
        return self.homes.free_of_four if instrument.strings <= _FOUR else self.homes.free


def _is_bass(instrument: Instrument) -> bool:
    return min((pitch.midi for pitch in instrument.tuning), default=127) < _LOWEST_OF_BASS and (
        instrument.tuning[0].midi < _THINNEST_OF_GUITAR
    )


_FILES = HandFiles(
    folder="right-hands",
    noun="right hand",
    header="right-hand",
    records={field: kind for field, kind in kinds_of(RightHand).items() if field != "name"},
    usual="fingers",
)


def right_hand_names() -> tuple[str, ...]:
    """The right hands that travel with the program, in alphabetical order."""
    return _FILES.names


def load_right_hand(name: str) -> RightHand:
    """The right hand called `name`, or in the file `name`. Raises WrongHand with all reasons, ValueError when there is none."""
    return _load_shipped(name) if name in right_hand_names() else _load(name)  # a person's own may change


@lru_cache(maxsize=8)
def _load_shipped(name: str) -> RightHand:
    return _load(name)


def _load(name: str) -> RightHand:
    hand = RightHand(name=Path(name).stem, **_FILES.load(name))
    log = _FILES.log_of(name)
    for field, letters in hand.fingers._asdict().items():
        row = letters.split()
        if len(set(row)) < len(row) or not set(row) <= set(RightFinger):
            hint = "write each of p i m a c at most once, with blanks between"
            log.error(NOWHERE, f'"{letters}" are not fingers of the right hand', f"fingers: {field}", hint)
    if log.has_errors:
        raise WrongHand(log.problems)
    return hand
