"""The music of a file between its elements and the score language: tones, events, measures."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from typing import Any, NamedTuple

from engrave.theory.pitch import Pitch

ZERO = Fraction(0)


class Ratio(NamedTuple):
    """A tuplet's numbers: `actual` notes in the time of `normal`."""

    actual: int
    normal: int

    @property
    def factor(self) -> Fraction:
        """What written lengths are multiplied by."""
        return Fraction(self.normal, self.actual)


PLAIN = Ratio(1, 1)


@dataclass(slots=True)
class Tone:
    """One note head. `pitch` is what sounds; `string` 0 and `fret` None where the file does not say."""

    pitch: Pitch | None
    string: int = 0
    fret: int | None = None
    tied: bool = False
    dead: bool = False
    slid: bool = False
    """A slide stops here, which a slur over it makes one without a new stroke."""
    slash: bool = False
    bent: Fraction = Fraction(0)
    """How far its string is bent, in semitones: by a tie when it is read, and by its own bends afterwards."""
    node: str = ""
    """Where a natural harmonic is touched between two frets, "3.2"."""
    marks: list[str] = field(default_factory=list)
    keys: dict[str, Any] = field(default_factory=dict)


class Unpitched(Enum):
    """What notes without a pitch become."""

    LEFT_OUT = "left-out"
    SLASHES = "slashes"
    DEAD_NOTES = "dead-notes"


class Habits(NamedTuple):
    """What is known of a file's maker: `own`, the writer of this project; `tells_rests`, rests say that they fill a measure.

    `unpitched` is what the reader of the file wants.
    """

    own: bool = False
    tells_rests: bool = False
    unpitched: Unpitched = Unpitched.LEFT_OUT


class SungSyllable(NamedTuple):
    """A syllable under an event; `hyphen`: the word goes on, `extends`: it is held."""

    text: str
    hyphen: bool
    extends: bool


@dataclass(slots=True)
class VoiceEvent:
    """What a voice does from `onset` for `length` whole notes; no tones means a rest.

    `written` is the length without its tuplet, None where the file gives no note type.
    """

    onset: Fraction
    length: Fraction
    written: Fraction | None = None
    ratio: Ratio = PLAIN
    tones: list[Tone] = field(default_factory=list)
    marks: list[str] = field(default_factory=list)
    lyrics: dict[int, SungSyllable] = field(default_factory=dict)
    before: list[VoiceEvent] = field(default_factory=list)
    after: list[VoiceEvent] = field(default_factory=list)
    slurs: list[tuple[str, str]] = field(default_factory=list)
    """The slurs that start or stop here: which of the two, and their number."""
    opens: bool = False
    closes: bool = False
    slashed: bool = False
    fills: bool = False
    """The rest fills its measure."""
    hidden: bool = False
    """The rest is not printed."""


class At(NamedTuple):
    """Words at a moment of a measure."""

    onset: Fraction
    text: str


class SpanEdge(NamedTuple):
    """Where a sign that lasts starts (`starts`) or stops; `number` tells those of one kind apart.

    `until` is the end where the file does not mark one: "measure" for the end of the measure.
    """

    onset: Fraction
    kind: str
    name: str
    number: str
    starts: bool
    until: Fraction | None = None


@dataclass(slots=True)
class StaffMeasure:
    """One staff in one measure."""

    voices: dict[str, list[VoiceEvent]] = field(default_factory=dict)
    chords: list[At] = field(default_factory=list)
    texts: list[At] = field(default_factory=list)
    dynamics: list[At] = field(default_factory=list)
    clefs: list[At] = field(default_factory=list)
    edges: list[SpanEdge] = field(default_factory=list)
    repeats: int = 0

    @property
    def is_silent(self) -> bool:
        """True when nothing sounds and nothing is written."""
        return self.rests and not (self.chords or self.texts or self.dynamics or self.edges or self.clefs)

    @property
    def rests(self) -> bool:
        """True when nothing sounds, whatever is written around the rests."""
        events = (event for voice in self.voices.values() for event in voice)
        return not (self.repeats or any(event.tones or event.marks for event in events))

    @property
    def sounds(self) -> bool:
        """True when there is a note."""
        return any(sounds(voice) for voice in self.voices.values())

    @property
    def length(self) -> Fraction:
        """How long the voices last; rests that fill the measure do not count."""
        ends = (
            event.onset + event.length for voice in self.voices.values() for event in voice if not event.fills
        )
        return max(ends, default=ZERO)


@dataclass(slots=True)
class Shared:
    """What a measure says for all parts."""

    number: str = ""
    implicit: bool = False
    time: str = ""
    free: bool = False
    """No time is in force (senza misura)."""
    key: str = ""
    tempo: str = ""
    label: str = ""
    starts: bool = False
    starts_after: bool = False
    """The sign of a repeat that starts with the next measure stands at the end of this one."""
    ends: int = 0
    """How often the repeat that ends here is played, 0 for none."""
    ending: tuple[int, ...] = ()
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    fine: bool = False
    go_back: str = ""
    barline: str = ""
    rests: int = 1
    swing: str = ""
    """What is swung from here on; "" where nothing is said."""
    counting: bool | None = None
    """Whether the count is printed from here on; None where nothing is said."""
    new: str = ""
    """The measure starts a new line or page."""


@dataclass(slots=True)
class StaffSetup:
    """What the file says of one staff: instrument, strings, clef."""

    name: str = ""
    tuning: list[Pitch] = field(default_factory=list)
    """The open strings as they sound, thickest first."""
    capo: int = 0
    clef: str = ""
    """The first one."""
    clef_now: str = ""
    is_tab: bool = False


@dataclass(slots=True)
class Staff:
    """One staff through the piece: what becomes a part of the score."""

    part_id: str
    name: str
    setup: StaffSetup
    measures: list[StaffMeasure] = field(default_factory=list)
    brace: str = ""
    program: int = 0
    """The sound that the file gives the part: a program of General MIDI, from 1; 0 for none."""
    merged: bool = False
    """It was two staves."""

    @property
    def has_frets(self) -> bool:
        """True when some note names its string and fret."""
        return any(
            tone.string and tone.fret is not None
            for measure in self.measures
            for voice in measure.voices.values()
            for event in voice
            for tone in event.tones
        )

    def count_notes(self) -> int:
        """All notes of the staff with its grace notes."""
        return sum(count_tones(voice) for measure in self.measures for voice in measure.voices.values())


def sounds(voice: list[VoiceEvent]) -> bool:
    """True when there is a note among the events of a voice."""
    return any(event.tones for event in voice)


def speaks(voice: list[VoiceEvent]) -> bool:
    """True when a voice shows notes, or rests of its own beside those that fill a measure."""
    return any(event.tones or not (event.fills or event.hidden) for event in voice)


def count_tones(voice: list[VoiceEvent]) -> int:
    """The notes of some events with their grace notes."""
    return sum(len(event.tones) + count_tones(event.before) + count_tones(event.after) for event in voice)
