"""Events and notes while they are being read: what is not known yet is filled in later."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from engrave.problems import NOWHERE, Location
from engrave.score.neck_over import NeckOver
from engrave.score.sign_list import SignName
from engrave.score.structure import ChordAt, ClefAt, SpanAt, TextAt, Tuplet
from engrave.score.strums import StrumPattern
from engrave.score.techniques import Technique
from engrave.theory.duration import NoteValue
from engrave.theory.pitch import Pitch


@dataclass(slots=True, eq=False)
class DraftNote:
    """A note; `midi` is its written MIDI number, `pitch` is set when the author spelled it.

    `chosen`: the pitch is all that the author wrote.
    """

    string: int
    fret: int
    midi: int
    location: Location
    pitch: Pitch | None = None
    tie_from: bool = False
    tie_to: bool = False
    techniques: tuple[Technique, ...] = ()
    finger: str = ""
    sounding: Pitch | None = None
    chosen: bool = False

    @property
    def is_slash(self) -> bool:
        """True for a rhythm slash."""
        return any(technique.sign is SignName.SLASH for technique in self.techniques)


@dataclass(slots=True, eq=False)
class DraftSyllable:
    """A syllable as it stands in the text. `tied`: its note is tied to the next."""

    text: str
    hyphen: bool
    location: Location
    extends: bool = False
    tied: bool = False


@dataclass(slots=True, eq=False)
class DraftEvent:
    """An event; no notes means a rest."""

    onset: Fraction
    length: Fraction
    value: NoteValue
    tuplets: tuple[Tuplet, ...]
    location: Location
    notes: list[DraftNote] = field(default_factory=list)
    techniques: tuple[Technique, ...] = ()
    lyrics: dict[int, DraftSyllable] = field(default_factory=dict)
    before: list[DraftEvent] = field(default_factory=list)
    after: list[DraftEvent] = field(default_factory=list)
    slashed: bool = True
    hidden: bool = False

    def in_order(self) -> list[DraftEvent]:
        """The event with its grace notes, in the order in which they are played."""
        return [*self.before, self, *self.after]


@dataclass(slots=True, eq=False)
class DraftVoice:
    """One voice of one measure and its length so far."""

    location: Location = NOWHERE
    events: list[DraftEvent] = field(default_factory=list)
    length: Fraction = Fraction(0)
    whole_rest: bool = False

    def in_order(self) -> list[DraftEvent]:
        """The events with their grace notes, in the order in which they are played."""
        return [event for main in self.events for event in main.in_order()]


@dataclass(slots=True, eq=False)
class PartDraft:
    """One part in one measure before spelling."""

    voices: list[DraftVoice]
    chords: tuple[ChordAt, ...]
    texts: tuple[TextAt, ...]
    dynamics: tuple[TextAt, ...]
    spans: tuple[SpanAt, ...]
    location: Location
    repeats: int = 0
    repeat_index: int = 0
    clefs: tuple[ClefAt, ...] = ()
    neck: NeckOver | None = None
    strum: StrumPattern | None = None
    is_strummed: bool = False
