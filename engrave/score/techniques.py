"""How notes and events are played: one small record a technique, made once when it is read, and its words.

A technique of which its sign says all is a `Plain` one. The others have a record of their own; every record has its sign
and the location where the author wrote it.
"""

from collections.abc import Iterable
from enum import StrEnum
from typing import Literal, NamedTuple

from engrave.problems import NOWHERE, Location
from engrave.score.sign_list import SIGNS, TOUCHED_HARMONICS, Carrier, SignName
from engrave.theory.bends import BarMove, BendStep, bar_move_words, bend_words, parse_bar_move, parse_bend
from engrave.theory.pitch import Pitch, parse_pitch


class RightFinger(StrEnum):
    """The fingers of the right hand (MusicXML 4.0, pluck; c for the little finger: common practice)."""

    THUMB = "p"
    INDEX = "i"
    MIDDLE = "m"
    RING = "a"
    LITTLE = "c"


class Plain(NamedTuple):
    """A technique of which its sign says all: a hammer-on, an accent, a trill to the next note of the key."""

    sign: SignName
    location: Location = NOWHERE


class Bend(NamedTuple):
    """The string is bent; of a tied note the steps go on from where its bend was."""

    steps: tuple[BendStep, ...]
    location: Location = NOWHERE
    sign: Literal[SignName.BEND] = SignName.BEND


class VibratoBar(NamedTuple):
    """The bar moves while the note sounds."""

    move: BarMove
    location: Location = NOWHERE
    sign: Literal[SignName.VIBRATO_BAR] = SignName.VIBRATO_BAR


class Pluck(NamedTuple):
    """A finger of the right hand plays the note."""

    finger: RightFinger
    location: Location = NOWHERE
    sign: Literal[SignName.PLUCK] = SignName.PLUCK


class Trill(NamedTuple):
    """A trill whose upper note lies on the fret `to` of the same string."""

    to: int
    location: Location = NOWHERE
    sign: Literal[SignName.TRILL] = SignName.TRILL


class TrillAccidental(NamedTuple):
    """The accidental of a trill's upper note, in semitones from the natural note. Nobody writes it: it follows from the key."""

    alter: int
    location: Location = NOWHERE
    sign: Literal[SignName.ACCIDENTAL_MARK] = SignName.ACCIDENTAL_MARK


class NaturalHarmonic(NamedTuple):
    """The open string is touched over the fret `node`, which may lie between two (2.7)."""

    node: float
    location: Location = NOWHERE
    sign: Literal[SignName.NATURAL_HARMONIC] = SignName.NATURAL_HARMONIC

    @property
    def label(self) -> str:
        """The node as it is written: "12", "2.7"."""
        return f"{self.node:g}"


class StoppedHarmonic(NamedTuple):
    """A harmonic of a stopped string, touched over the fret `touched`; `sign` is one of `TOUCHED_HARMONICS`."""

    sign: SignName
    touched: int
    location: Location = NOWHERE


class Spelling(NamedTuple):
    """The pitches of a note are told beside its string and fret; only typed tab has it, for in a score a note has its pitch."""

    pitches: tuple[Pitch, ...]
    location: Location = NOWHERE
    sign: Literal[SignName.PITCH] = SignName.PITCH


Technique = (
    Plain | Bend | VibratoBar | Pluck | Trill | TrillAccidental | NaturalHarmonic | StoppedHarmonic | Spelling
)


def signs_of(techniques: Iterable[Technique]) -> set[SignName]:
    """The signs of `techniques`."""
    return {technique.sign for technique in techniques}


def is_of_event(technique: Technique) -> bool:
    """True for what is said of a whole event, on whichever of its notes it is written."""
    if not isinstance(technique, Plain):
        return False
    sign = SIGNS.get(technique.sign)
    return sign is not None and sign.carrier is Carrier.EVENT


def parse_technique(
    sign: SignName, amount: str, location: Location = NOWHERE, held: bool = False
) -> Technique:
    """The technique `sign` with the words that say how far, where or with what ("" for none).

    `held`: the note is tied to the one before it, which may be bent. Raises ValueError that says what is wrong with the
    amount and what would be right.
    """
    words = " ".join(amount.split())
    if sign is SignName.BEND:
        return Bend(parse_bend(words, held), location)
    if sign is SignName.VIBRATO_BAR:
        return VibratoBar(parse_bar_move(words), location)
    if not words:
        return Plain(sign, location)
    if sign is SignName.TRILL:
        return Trill(int(words), location)
    if sign is SignName.PLUCK:
        return Pluck(RightFinger(words), location)
    if sign is SignName.NATURAL_HARMONIC:
        return NaturalHarmonic(float(words), location)
    if sign is SignName.PITCH:
        return Spelling(tuple(parse_pitch(word) for word in words.split("+")), location)
    if sign in TOUCHED_HARMONICS:
        return StoppedHarmonic(sign, int(words), location)
    raise ValueError(f"{sign} has no amount; write {sign} alone")


def amount_words(technique: Technique) -> str:
    """The words that `parse_technique` reads after the name of the sign; "" where there are none."""
    match technique:
        case Bend():
            return bend_words(technique.steps)
        case VibratoBar():
            return bar_move_words(technique.move)
        case Pluck():
            return technique.finger.value
        case Trill():
            return str(technique.to)
        case NaturalHarmonic():
            return technique.label
        case StoppedHarmonic():
            return str(technique.touched)
        case Spelling():
            return "+".join(pitch.name for pitch in technique.pitches)
        case TrillAccidental() | Plain():
            return ""


def technique_words(technique: Technique) -> str:
    """A technique in words: "hammer-on", "bend full release", "trill 7"."""
    return f"{technique.sign.value} {amount_words(technique)}".rstrip()
