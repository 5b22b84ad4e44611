"""What stands in a measure, staff by staff, before its width is known.

All distances are in staff spaces; x counts from the column (the left edge of a normal head there).
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.layout.curves import TieStart
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_room import NO_BENDS, BarInk, BendInk
from engrave.layout.measures.bent_heads import NO_BENT_HEADS, BentHeads
from engrave.layout.measures.chords import AccidentalInk, Parentheses
from engrave.layout.measures.digits import Digit
from engrave.layout.measures.rhythm import VoiceRhythm
from engrave.layout.measures.side_signs import SideSigns
from engrave.layout.measures.timing import PartTiming
from engrave.layout.measures.words import MeasureWords
from engrave.marks.mark import Source
from engrave.score.structure import Event, Measure, Note, PartMeasure, Voice


class ChordInk(NamedTuple):
    """A note or chord of one voice on a five-line staff.

    `positions`, `notes`, `heads` (symbol names) and `head_dx` run in parallel, lowest note first. `flags` is 0 for notes
    under a beam. `shift` moves stem and heads aside where two voices meet. `shared` heads are drawn
    by the other voice. `ghosts` are parentheses. `stem_dx` is the middle of the stem, `tip` is the y of the free end that the stem has without a beam. `ties`
    run in parallel with `notes`, for those that are tied on. `bends` are arrows over a staff without a tab, `bent` the small
    heads of bent notes.
    """

    event: Event
    number: int
    column: int
    source: Source
    sources: tuple[Source, ...]
    direction: Direction
    notes: tuple[Note, ...]
    positions: tuple[int, ...]
    heads: tuple[str, ...]
    head_dx: tuple[float, ...]
    shift: float
    shared: frozenset[int]
    accidentals: tuple[AccidentalInk, ...]
    dot_positions: tuple[int, ...]
    dot_dx: float
    ghosts: tuple[Parentheses, ...]
    stem_dx: float
    tip: float
    ties: tuple[TieStart, ...]
    beam: int
    bends: BendInk = NO_BENDS
    bent: BentHeads = NO_BENT_HEADS
    bar: BarInk | None = None
    side: SideSigns | None = None
    before: "GraceRow | None" = None
    after: "GraceRow | None" = None


class RestInk(NamedTuple):
    """A rest of one voice on a five-line staff (or on a tab that carries the rhythm)."""

    event: Event
    number: int
    column: int
    source: Source
    glyph: str
    y: float
    dot_y: float
    hidden: bool
    """True where another voice's equal rest stands for both."""


class FretInk(NamedTuple):
    """The digits of one event on a tab, thinnest string first."""

    event: Event
    number: int
    column: int
    source: Source
    digits: tuple[Digit, ...]
    beam: int
    bends: BendInk = NO_BENDS
    bar: BarInk | None = None
    side: SideSigns | None = None
    before: "GraceRow | None" = None
    after: "GraceRow | None" = None


class GraceRow(NamedTuple):
    """Grace notes before or after an event on one staff, measured at the usual size.

    `lefts` and `rights` say how far each reaches from its own column at its small size. `beamed`: they share a beam.
    """

    items: tuple[ChordInk | FretInk, ...]
    lefts: tuple[float, ...]
    rights: tuple[float, ...]
    slashed: bool
    beamed: bool


class VoiceInk(NamedTuple):
    """One voice on one staff: its items in time, with the rhythm they share over all staves.

    `direction` is the side of stems where the voice has one of its own (two voices on the staff), else None;
    `tab_stems` where they point on a tab.
    """

    items: tuple[ChordInk | RestInk | FretInk, ...]
    rhythm: VoiceRhythm
    direction: Direction | None
    tab_stems: Direction = Direction.UP


class Extent(NamedTuple):
    """How far ink reaches left and right of its column; `left` is positive leftwards."""

    left: float
    right: float


class StaffInk(NamedTuple):
    """One staff in one measure. `extents` has an entry for every column that holds ink."""

    voices: tuple[VoiceInk, ...]
    extents: dict[int, Extent]
    near_lefts: dict[int, float]
    """Left reach of heads or digits alone, without accidentals, by column."""
    whole_rest: Source | None = None
    """Set when nothing but a whole-measure rest stands here."""


class ClefInk(NamedTuple):
    """A small clef of staff number `staff`: `dx` right of `column`, or of the barline that ends the measure; `y` of its line."""

    staff: int
    column: int
    dx: float
    y: float
    glyph: str
    source: Source


class GraceOffsets(NamedTuple):
    """Where grace notes stand, in staff spaces, by (part, column).

    `before`: from the column of their note (negative). `after`: from where the ink of the part goes on (negative too).
    Rows of several voices end together. `goes_on`: the column in which it goes on after that of the note, and how far
    its ink reaches to the left of that; nothing where the measure ends.
    """

    before: dict[tuple[int, int], tuple[float, ...]]
    after: dict[tuple[int, int], tuple[float, ...]]
    goes_on: dict[tuple[int, int], tuple[int, float]]


NO_GRACES = GraceOffsets({}, {}, {})


class LineStart(NamedTuple):
    """How far things reach to the left of the first column of a measure that starts a line; 0 where there are none.

    `joined`: halves of ties, slurs and lines from the line before, with the white that they keep to all signs. `outside`: syllables and
    grids, which stand outside the staff, with the white that they keep to the clef.
    """

    joined: float = 0.0
    outside: float = 0.0


NOTHING_AT_START = LineStart()
"""What most measures have (fact)."""


class MeasureInk(NamedTuple):
    """One measure of every staff, its columns and how much room they need.

    `onsets` are the columns' moments in whole notes, and `columns` finds them; `timings` has those of every part's events; `natural` and `rods` are the ideal
    and the least width of the slice after each column, `even_rods` the least where the line has room. `rest` is the width of all slices at rest. `left` and `near_left` say how far the ink of
    the first column reaches to its left, with and without accidentals. `words` has an entry for every part.
    """

    measure: Measure
    parts: tuple[PartMeasure, ...]
    onsets: tuple[Fraction, ...]
    columns: dict[Fraction, int]
    timings: tuple[PartTiming, ...]
    staves: tuple[StaffInk, ...]
    natural: tuple[float, ...]
    rods: tuple[float, ...]
    even_rods: tuple[float, ...]
    rest: float
    left: float
    near_left: float
    graces: GraceOffsets
    words: tuple[MeasureWords, ...]
    clefs: tuple[ClefInk, ...] = ()
    tie_room: float = 0.0
    """The least width after the last column where a tie goes on from there to the next line; 0 without one."""
    start: LineStart = NOTHING_AT_START
    """What hangs to the left of the first column where the measure starts a line."""


class VoiceSources(NamedTuple):
    """The source of every event of a voice, and of every note in it, in the score's order."""

    events: tuple[Source, ...]
    notes: tuple[tuple[Source, ...], ...]


def trace_voice(voice: Voice, measure: Measure, part: str, beats: Sequence[str]) -> VoiceSources:
    """The sources of the events and notes of `voice`, which start on `beats`."""
    number = measure.index + 1
    events = []
    notes = []
    for event, beat in zip(voice.events, beats, strict=True):
        at = event.location
        events.append(Source(at.line, at.column, part, number, beat))
        notes.append(
            tuple([Source(n.location.line, n.location.column, part, number, beat) for n in event.notes])
        )
    return VoiceSources(tuple(events), tuple(notes))
