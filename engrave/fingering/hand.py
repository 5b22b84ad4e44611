"""A player's left hand: limits in millimetres, and costs in millimetres of hand travel.

The values, each with its source, live in `styles/hands/*.yaml`; there are no defaults here.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Annotated, NamedTuple

from engrave.fingering.hand_files import HandFiles, WrongHand
from engrave.problems import NOWHERE
from engrave.settings.kinds import Number, kinds_of

Length = Annotated[float, Number(0, 400, "mm")]
"""A distance on the neck; 400 mm are far more than a hand has."""
Cost = Annotated[float, Number(-100_000, 100_000)]
"""Millimetres of hand travel, or a share of them; beyond, no hand is meant."""
Count = Annotated[int, Number(0, 36)]
"""Strings, frets or semitones."""
Seconds = Annotated[float, Number(0.001, 60, "seconds")]
"""A time; costs are divided by it, so it cannot be nothing (safety limit)."""
Tempo = Annotated[float, Number(1, 1000, "quarter notes a minute")]
"""From slower to faster than anyone plays."""
Scale = Annotated[float, Number(100, 2000, "mm")]
"""From the smallest fretted instrument to more than a double bass."""
Weight = Annotated[float, Number(0, 100_000)]
Full = Annotated[float, Number(0.1, 100_000)]
"""What counts in full as a difficulty; it is divided by, so it cannot be nothing (algorithm)."""


class Reach(NamedTuple):
    """Distances along the neck in millimetres, and what a millimetre beyond them costs."""

    relaxed: Length
    comfortable: Length
    hard: Length
    first_second: Length
    second_third: Length
    third_fourth: Length
    per_mm: Cost
    per_mm_far: Cost
    side: Count
    """Frets by which the first finger reaches back, and the fourth on, from their own."""

    def between(self, low: int, high: int) -> float:
        """How far two fingers (1 to 4, low < high) can be apart."""
        pairs = (self.first_second, self.second_third, self.third_fourth)
        return min(self.hard, sum(pairs[low - 1 : high - 1]))

    def stretch(self, span: float) -> float:
        """What it costs to spread the hand over `span` millimetres."""
        return (
            max(0.0, span - self.relaxed) * self.per_mm + max(0.0, span - self.comfortable) * self.per_mm_far
        )


class Shift(NamedTuple):
    """Moving the hand along the neck. `hurry` is in seconds, `while_open` and `guided` are shares."""

    per_mm: Cost
    hurry: Cost
    each: Cost
    while_open: Cost
    guided: Cost
    extension: Cost
    extension_in_chord: Cost
    crowded: Cost

    def stretching(self, notes: int) -> float:
        """What a fret costs by which a finger is stretched out of its place, with so many notes at once."""
        return self.extension if notes == 1 else self.extension_in_chord


class Pace(NamedTuple):
    """How much time a hand has. `grace` and `least` are in seconds, `tempo` in quarter notes a minute."""

    grace: Seconds
    """How long a grace note lasts."""
    least: Seconds
    """No hand has less time from one moment to the next."""
    tempo: Tempo
    """Where the score states none."""

    @property
    def whole_note(self) -> float:
        """Seconds of a whole note where the score states no tempo."""
        return 4 * 60 / self.tempo


class UsualNeck(NamedTuple):
    """What the hand is used to where the instrument does not say."""

    usual_scale: Scale
    """Length of the strings from nut to bridge in millimetres."""
    fifths_scale: Scale
    """Strings in fifths up to this length are fingered two frets to a finger."""


class Position(NamedTuple):
    """How dear it is to be away from the nut: each millimetre up to `near`, and each beyond."""

    per_mm: Cost
    near: Length
    per_mm_far: Cost

    def cost(self, away: float) -> float:
        """What it costs to be so many millimetres away from the nut."""
        return self.per_mm * min(away, self.near) + self.per_mm_far * max(0.0, away - self.near)


class Fingers(NamedTuple):
    """What each finger costs when it stops a string, jumps, stays or bends."""

    first: Cost
    second: Cost
    third: Cost
    fourth: Cost
    jump: Cost
    jump_time: Cost
    keep: Cost
    change: Cost
    bend_first: Cost
    bend_second: Cost
    bend_third: Cost
    bend_fourth: Cost

    def jumping(self, seconds: float) -> float:
        """What a finger costs that jumps with so much time."""
        return self.jump * min(1.0, self.jump_time / seconds)

    @property
    def stopping(self) -> tuple[float, ...]:
        """By finger; 0 stands for the open string."""
        return (0.0, self.first, self.second, self.third, self.fourth)

    @property
    def bending(self) -> tuple[float, ...]:
        """By finger; 0 stands for the open string."""
        return (0.0, self.bend_first, self.bend_second, self.bend_third, self.bend_fourth)


class Strings(NamedTuple):
    """Crossing strings and leaving them open."""

    crossing: Cost
    open: Cost
    open_far: Cost
    open_avoided: Cost
    changed: Cost
    parallel: Cost
    out_of_order: Cost


class BarreCost(NamedTuple):
    """A finger across several strings, dearer with the `third` and with any `other_finger` than the first; `arch`: it must not touch a thinner string that sounds behind it."""

    each: Cost
    per_string: Cost
    third: Cost
    other_finger: Cost
    arch: Cost
    same_fret: Cost
    """Each finger beyond the second that stands at one fret, where one could lie."""

    @property
    def by_finger(self) -> tuple[float, ...]:
        """What is added for lying with this finger; 0 stands for none."""
        return (0.0, 0.0, self.other_finger, self.third, self.other_finger)


class Broken(NamedTuple):
    """What it costs to break what the music asks."""

    legato: Cost
    held: Cost
    alike: Cost
    """What a measure that repeats must save to be held otherwise than before."""


class ShapeCost(NamedTuple):
    """What makes one shape of a chord better than another, beside the grip."""

    position_per_mm: Cost
    open_far: Cost
    inner_mute: Cost
    silent_low: Cost
    silent_high: Cost
    thin: Cost
    left_out_fifth: Cost
    left_out_root: Cost
    left_out_other: Cost
    inversion: Cost
    unison: Cost
    narrow_bass: Cost
    low_bass: Count
    """So many semitones over the lowest string tones count as low."""
    bass_doubled: Cost
    colour_doubled: Cost
    span: Cost
    fuller: Cost
    full_strings: Count
    """Fewer strings sound thin."""
    strings_a_tone: Count
    """So many strings for each tone of the chord are full enough: the others may rest."""
    small_strings: Count
    """Forms of so many of the thinnest strings are offered whatever their bass; 0: none are."""
    small: Cost
    """Each string under such a form."""
    small_inversion: Cost
    """Another tone than the root is the lowest of such a form."""
    simple_fret: Count
    """Up to here a form is low enough for somebody who begins."""
    inner_mutes_most: Count
    """More silent strings between sounding ones are no longer a shape to strum."""


class AdviceLimits(NamedTuple):
    """How far advice goes where a hand cannot play what is written."""

    capo_most: Count
    """The highest fret for a capo."""
    retuned_most: Count
    """Semitones by which one string is tuned down."""
    turned_most: Count
    """Semitones by which a string of a named tuning may differ from the instrument's own."""


class FitCost(NamedTuple):
    """What it costs to put music on an instrument that it was not written for, in frets beyond the usual ones."""

    usual_fret: Count
    """Up to here notes cost nothing."""
    lost: Cost
    """Any notes that no string has."""
    lost_share: Cost
    """Where no string has any of the notes; in proportion where some have."""
    octave: Cost
    key: Cost
    key_semitone: Cost
    capo: Cost
    capo_fret: Cost
    capo_most: Count
    """The highest fret for a capo."""
    foreign_strings: Cost
    """Where no open string belongs to the key; in proportion where some do."""
    worth_telling: Cost
    """What a better way must save to be proposed for music that can be played as it is."""


class DifficultyScale(NamedTuple):
    """What makes a measure hard: how much each thing weighs (0 to 1), and how much of it counts in full.

    `notes` per second, `travel` of the hand in millimetres per second, a `bend` in semitones; stretches count in full at the hard reach, barres
    and rhythm when all of the measure is made of them.
    """

    speed: Weight
    notes: Full
    shifts: Weight
    travel: Full
    stretches: Weight
    barres: Weight
    rhythm: Weight
    bends: Weight
    bend: Full
    worth_naming: Weight
    """A share below this is not what makes a measure hard."""


class Hand(NamedTuple):
    """One player's left hand."""

    name: str
    reach: Reach
    shift: Shift
    pace: Pace
    neck: UsualNeck
    position: Position
    fingers: Fingers
    strings: Strings
    barre: BarreCost
    broken: Broken
    difficulty: DifficultyScale
    shapes: ShapeCost
    advice: AdviceLimits
    fit: FitCost


_FILES = HandFiles(
    folder="hands",
    noun="hand",
    header="hand",
    records={field: kind for field, kind in kinds_of(Hand).items() if field != "name"},
    usual="intermediate",
)


def hand_names() -> tuple[str, ...]:
    """The hands that travel with the program, in alphabetical order."""
    return _FILES.names


def load_hand(name: str) -> Hand:
    """The hand called `name`, or in the file `name`. Raises WrongHand with all reasons when it is wrong, ValueError when there is none."""
    return _load_shipped(name) if name in hand_names() else _load(name)  # a person's own file may change


@lru_cache(maxsize=8)
def _load_shipped(name: str) -> Hand:
    return _load(name)


def _load(name: str) -> Hand:
    hand = Hand(name=Path(name).stem, **_FILES.load(name))
    reach = hand.reach
    if not reach.relaxed <= reach.comfortable <= reach.hard or reach.relaxed == reach.hard:
        log = _FILES.log_of(name)
        log.error(NOWHERE, "reach must grow from relaxed to comfortable to hard")
        raise WrongHand(log.problems)
    return hand
