"""A measure of one staff while it is being built."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from engrave.layout.direction import Direction
from engrave.layout.measures.bend_room import BentAt, HeldStrings
from engrave.layout.measures.bent_pitches import BentPitches, BentPitchReader
from engrave.layout.measures.heads import Head
from engrave.layout.measures.ink import ChordInk, Extent, RestInk, VoiceSources
from engrave.layout.measures.rhythm import VoiceRhythm
from engrave.layout.measures.timing import PartTiming
from engrave.layout.octave_lines import OctaveShifts
from engrave.layout.staves import StaffPlan
from engrave.marks.mark import Source
from engrave.score.structure import Event, PartMeasure
from engrave.theory.accidentals import AccidentalMemory
from engrave.theory.clef import Clef

_NOT_BENT: Mapping[int, BentPitches] = {}


@dataclass(slots=True, eq=False)
class StaffDraft:
    """A measure of one staff while it is being built."""

    part: PartMeasure
    rhythms: Sequence[VoiceRhythm]
    sources: Sequence[VoiceSources]
    timing: PartTiming
    plan: StaffPlan
    memory: AccidentalMemory
    held: HeldStrings
    bent: BentPitchReader | None
    octaves: OctaveShifts
    measure: int
    sides: tuple[Direction | None, ...]
    pitches: list[list[Mapping[int, BentPitches]]] = field(default_factory=list)
    """What the bent notes of each event show, by string, voice by voice."""
    chords: list[list[tuple[Head, ...]]] = field(default_factory=list)
    directions: list[list[Direction]] = field(default_factory=list)
    items: list[list[ChordInk | RestInk]] = field(default_factory=list)
    extents: dict[int, Extent] = field(default_factory=dict)
    near_lefts: dict[int, float] = field(default_factory=dict)
    whole_rest: Source | None = None
    contested: frozenset[int] = frozenset()
    """Places (letters above C0) that sound with two alterations at the moment at hand."""

    def clef_at(self, onset: Fraction) -> Clef:
        """The clef of what starts at `onset`."""
        return self.plan.clefs.at(self.measure, onset)

    def pitches_of(self, event: Event, onset: Fraction, where: BentAt) -> Mapping[int, BentPitches]:
        """What the bent notes of an event show, by string."""
        return self.bent.read(event, onset, where) if self.bent is not None and event.notes else _NOT_BENT

    def widen(self, column: int, left: float, near_left: float, right: float) -> None:
        """Note ink at `column` that reaches so far."""
        before = self.extents.get(column)
        if before is not None:
            left, right = max(left, before.left), max(right, before.right)
            near_left = max(near_left, self.near_lefts[column])
        self.extents[column] = Extent(left, right)
        self.near_lefts[column] = near_left
