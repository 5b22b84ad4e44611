"""The immutable tree of a score. Durations and moments are exact fractions of a whole note."""

from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from operator import attrgetter
from typing import Any, NamedTuple

from engrave.problems import NOWHERE, Location
from engrave.score.neck_over import NeckOver
from engrave.score.paper_size import AS_USUAL, PaperSize
from engrave.score.sign_list import SignName
from engrave.score.strums import StrumPattern
from engrave.score.techniques import Bend, Technique, VibratoBar, signs_of
from engrave.theory.bends import BarMove, BendStep
from engrave.theory.chord_name import ChordName
from engrave.theory.chord_shape import ChordShape
from engrave.theory.clef import Clef
from engrave.theory.duration import NoteValue, TupletRatio
from engrave.theory.instrument import Instrument
from engrave.theory.key import Key
from engrave.theory.metre import Metre
from engrave.theory.pitch import Pitch
from engrave.theory.repeats import RepeatInfo
from engrave.theory.swing import Swing


class View(Enum):
    """How fretted parts are shown, or what of a score is."""

    STAFF_AND_TAB = "staff+tab"
    RHYTHM_TAB = "rhythm-tab"
    TAB = "tab"
    STAFF = "staff"
    LEAD_SHEET = "lead-sheet"
    """The tune of the piece alone, whatever has it, with chord names and words; for a whole score only."""


PART_VIEWS = tuple(view.value for view in View if view is not View.LEAD_SHEET)
"""The words for the views that one part of several can have."""


class Note(NamedTuple):
    """One sounding note.

    `pitch` is the WRITTEN pitch, spelled. `string` counts from 1 (thinnest), 0 for parts without strings;
    `fret` counts from the capo. `tie_from` / `tie_to`: a tie comes in from the previous event of the
    voice / goes out to the next one. `sounding` is the pitch of a harmonic, in the written octave. `chosen`: the
    author wrote a pitch alone, so string and fret are the program's choice.
    """

    pitch: Pitch
    string: int = 0
    fret: int = 0
    tie_from: bool = False
    tie_to: bool = False
    techniques: tuple[Technique, ...] = ()
    finger: str = ""
    location: Location = NOWHERE
    sounding: Pitch | None = None
    chosen: bool = False

    @property
    def midi(self) -> int:
        """The MIDI number of the written pitch."""
        return self.pitch.midi

    @property
    def is_slash(self) -> bool:
        """True for a rhythm slash, which has no pitch of its own."""
        return self.has(SignName.SLASH)

    def has(self, sign: SignName) -> bool:
        """True when the note is played as `sign` says."""
        return bool(self.techniques) and any(technique.sign is sign for technique in self.techniques)

    @property
    def bend(self) -> tuple[BendStep, ...]:
        """How its string is bent while it sounds; nothing where it is not."""
        return next((technique.steps for technique in self.techniques if isinstance(technique, Bend)), ())

    @property
    def bar_move(self) -> BarMove | None:
        """What the vibrato bar does while it sounds."""
        return next((t.move for t in self.techniques if isinstance(t, VibratoBar)), None)


_techniques = attrgetter("techniques")


class Syllable(NamedTuple):
    """One syllable of a verse under an event.

    `hyphen`: the word goes on in the next syllable. `extends`: the syllable is held over the following notes
    (an extender line or hyphens follow).
    """

    text: str
    hyphen: bool = False
    extends: bool = False
    location: Location = NOWHERE


class Tuplet(NamedTuple):
    """A tuplet an event stands in. `id` is unique in the measure and voice; nested tuplets list outermost first."""

    id: int
    ratio: TupletRatio


class Graces(NamedTuple):
    """Grace notes before or after an event: events of no length. `slashed`: they are played as short as can be."""

    events: "tuple[Event, ...]"
    slashed: bool


class Event(NamedTuple):
    """A chord, a note or a rest of one voice.

    `onset` counts from the start of the measure, `length` is the sounding length (tuplets applied), both
    in whole notes; `value` is the written value. No notes means a rest; `whole_measure` marks the
    rest that fills its measure whatever the metre. `lyrics` has one entry a verse, None where the verse
    has no syllable here.
    """

    onset: Fraction
    length: Fraction
    value: NoteValue
    notes: tuple[Note, ...] = ()
    tuplets: tuple[Tuplet, ...] = ()
    lyrics: tuple[Syllable | None, ...] = ()
    techniques: tuple[Technique, ...] = ()
    whole_measure: bool = False
    location: Location = NOWHERE
    before: Graces | None = None
    after: Graces | None = None
    hidden: bool = False
    """True for a rest that takes time and is not printed."""

    @property
    def is_rest(self) -> bool:
        """True when nothing sounds."""
        return not self.notes

    @property
    def has_techniques(self) -> bool:
        """True when the event or one of its notes is played in some way of its own; most are not."""
        return bool(self.techniques) or any(map(_techniques, self.notes))

    @property
    def signs(self) -> set[SignName]:
        """The signs of the event and of its notes, but for its grace notes."""
        return signs_of(self.techniques) | self.signs_of_notes

    @property
    def signs_of_notes(self) -> set[SignName]:
        """The signs of its notes."""
        return {technique.sign for note in self.notes for technique in note.techniques}


class Voice(NamedTuple):
    """One voice of one part in one measure: events in order of time, without gaps."""

    events: tuple[Event, ...]


class ChordAt(NamedTuple):
    """A chord name over a moment of the measure (`onset` in whole notes from its start), with its shape if one is known."""

    onset: Fraction
    name: ChordName
    location: Location = NOWHERE
    shape: ChordShape | None = None


class TextAt(NamedTuple):
    """Free words over a moment of the measure (`onset` in whole notes from its start)."""

    onset: Fraction
    text: str
    location: Location = NOWHERE


class ClefAt(NamedTuple):
    """A clef that holds from a moment of the measure on (`onset` in whole notes from its start)."""

    onset: Fraction
    clef: Clef
    location: Location = NOWHERE


class SpanAt(NamedTuple):
    """A sign that lasts from `onset`: for `length` whole notes, or for `measures` measures when that is not 0.

    `detail` is the fret of a position or barre.
    """

    onset: Fraction
    name: SignName
    detail: str
    length: Fraction
    measures: int
    location: Location = NOWHERE


class PartMeasure(NamedTuple):
    """What one part has in one measure: one or two voices (upper first), chord names, free text, signs.

    `repeats` is not 0 where the part plays the last 1, 2 or 4 measures again instead of music of its own;
    `repeat_index` says which of them. `strum` is the pattern in force; `is_strummed`: the music is slashes made of it.
    """

    voices: tuple[Voice, ...]
    chords: tuple[ChordAt, ...] = ()
    texts: tuple[TextAt, ...] = ()
    dynamics: tuple[TextAt, ...] = ()
    spans: tuple[SpanAt, ...] = ()
    location: Location = NOWHERE
    repeats: int = 0
    repeat_index: int = 0
    clefs: tuple[ClefAt, ...] = ()
    neck: NeckOver | None = None
    strum: StrumPattern | None = None
    is_strummed: bool = False

    @property
    def shows_two_voices(self) -> bool:
        """True when two voices are seen: each has stems of its own. One of hidden rests alone leaves the other free."""
        return len(self.voices) > 1 and all(
            any(not event.hidden for event in voice.events) for voice in self.voices
        )


class Part(NamedTuple):
    """One instrument or voice through the whole piece; `measures` runs parallel to the score's.

    `view` is the part's own view, None when it follows the score's. `is_named` is False where its
    id, which is an instrument's, is all that the author calls it by: pages say that in their language. Neighbouring
    parts of one `brace` are joined by one, and called by it together.
    """

    id: str
    name: str
    instrument: Instrument
    measures: tuple[PartMeasure, ...]
    view: View | None = None
    is_named: bool = True
    brace: str = ""

    @property
    def is_fretted(self) -> bool:
        """True when the part has strings, and so a tab."""
        return bool(self.instrument.tuning)


class Barline(Enum):
    """The line that ends a measure."""

    SINGLE = "single"
    DOUBLE = "double"
    FINAL = "final"
    DASHED = "dashed"
    NONE = "none"


class NewLine(Enum):
    """A break the author asks for before a measure."""

    NONE = "none"
    LINE = "line"
    PAGE = "page"


class Tempo(NamedTuple):
    """A tempo mark: words, a metronome mark, or both. `value` is the counted note value."""

    words: str = ""
    value: NoteValue | None = None
    per_minute: Fraction | None = None
    location: Location = NOWHERE


@dataclass(frozen=True, slots=True)
class Measure:
    """What all parts share in one measure.

    `number` is the printed measure number (a pickup has 0). `length` is how long the measure really lasts
    in whole notes (shorter than the metre in a pickup, or before a repeat that completes it).
    `rests` is how many measures of rest it stands for; `counting`: the count is printed under it; `swing`: what is swung in it. `key_changes`, `metre_changes`
    and `swing_changes` say that the sign is printed here (the first two are also true in the first measure).
    """

    index: int
    number: int
    metre: Metre
    key: Key
    length: Fraction
    pickup: bool = False
    key_changes: bool = False
    metre_changes: bool = False
    label: str = ""
    tempo: Tempo | None = None
    repeat: RepeatInfo = RepeatInfo()
    barline: Barline = Barline.SINGLE
    new: NewLine = NewLine.NONE
    location: Location = NOWHERE
    rests: int = 1
    counting: bool = False
    swing: Swing = Swing.NONE
    swing_changes: bool = False

    @property
    def metre_offset(self) -> Fraction:
        """How far into its metre the measure starts: 0, or what a pickup leaves out before it."""
        return self.metre.length - self.length if self.pickup else Fraction(0)


class Credits(NamedTuple):
    """Who made the piece. Empty where unknown."""

    music: str = ""
    words: str = ""
    arrangement: str = ""


class Grids(Enum):
    """Where chord grids are printed: over the music at every chord name, once at the top of the piece, or nowhere."""

    ABOVE = "above"
    TOP = "top"
    NONE = "none"


class ExplainSigns(Enum):
    """Which signs are explained after the music: none, those it uses, or those that no earlier piece has used."""

    NONE = "none"
    USED = "used"
    NEW = "new"


class NamedShape(NamedTuple):
    """A chord and how it is held."""

    name: ChordName
    shape: ChordShape
    location: Location = NOWHERE


@dataclass(frozen=True, slots=True)
class Score:
    """A whole piece: its titles, its parts and the measures they share."""

    measures: tuple[Measure, ...]
    parts: tuple[Part, ...]
    title: str = ""
    subtitle: str = ""
    credits: Credits = Credits()
    copyright: str = ""
    language: str = ""
    """A BCP 47 tag as the author wrote it; "" where a book's or handout's counts, else English."""
    view: View = View.STAFF_AND_TAB
    style: str = ""
    file: str = ""
    grids: Grids = Grids.ABOVE
    left_handed: bool = False
    shapes: tuple[NamedShape, ...] = ()
    explain_signs: ExplainSigns = ExplainSigns.NONE
    house_style: Any = None
    """The score's own changes of the style, as written; checked when the style is loaded."""
    paper_size: PaperSize = AS_USUAL
    strums: tuple[StrumPattern, ...] = ()
    """Patterns of the score's own, by name."""

    def with_book(
        self, title: str, view: View | None, explain_signs: ExplainSigns | None, language: str
    ) -> "Score":
        """The score with what a book says of it; "" and None leave the score's own. Its own language goes before the book's."""
        parts = self.parts if view is None else tuple(part._replace(view=None) for part in self.parts)
        return replace(
            self,
            title=title or self.title,
            language=self.language or language,
            view=view or self.view,
            parts=parts,
            explain_signs=self.explain_signs if explain_signs is None else explain_signs,
        )
