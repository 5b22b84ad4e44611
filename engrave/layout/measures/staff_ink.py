"""One measure of one part on a five-line staff, before its width is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from engrave.fonts.symbols import MusicFace
from engrave.layout.beams import decide_grace_beam
from engrave.layout.curves import TieStart, decide_ties
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_room import (
    NO_BENDS,
    NO_STRINGS,
    NOTHING,
    BendInk,
    BendPlace,
    BentAt,
    BentNote,
    HeldStrings,
    are_bent,
    is_held,
    measure_bar,
    measure_bends,
)
from engrave.layout.measures.chords import ChordMeasurer, Shape, Sounding
from engrave.layout.measures.heads import Head, OctaveShifts, by_position, decide_head
from engrave.layout.measures.ink import (
    AccidentalInk,
    ChordInk,
    Extent,
    GraceRow,
    RestInk,
    StaffInk,
    VoiceInk,
    VoiceSources,
)
from engrave.layout.measures.rhythm import VoiceRhythm, events_by_onset
from engrave.layout.measures.side_signs import measure_side_signs
from engrave.layout.notes.rests import decide_rest, shift_of_row
from engrave.layout.notes.stems import decide_group_direction, decide_stem_direction
from engrave.layout.staves import StaffPlan
from engrave.marks.mark import Source
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Graces, PartMeasure
from engrave.style.sections import NoteStyle, Style
from engrave.theory.accidentals import AccidentalMemory


@dataclass(slots=True, eq=False)
class _Draft:
    """A measure of one staff while it is being built."""

    part: PartMeasure
    rhythms: Sequence[VoiceRhythm]
    sources: Sequence[VoiceSources]
    columns: dict[Fraction, int]
    plan: StaffPlan
    memory: AccidentalMemory
    held: HeldStrings
    octaves: OctaveShifts
    sides: tuple[Direction | None, ...]
    chords: list[list[tuple[Head, ...]]] = field(default_factory=list)
    directions: list[list[Direction]] = field(default_factory=list)
    items: list[list[ChordInk | RestInk]] = field(default_factory=list)
    extents: dict[int, Extent] = field(default_factory=dict)
    near_lefts: dict[int, float] = field(default_factory=dict)
    whole_rest: Source | None = None

    def widen(self, column: int, left: float, near_left: float, right: float) -> None:
        """Note ink at `column` that reaches so far."""
        before = self.extents.get(column)
        if before is not None:
            left, right = max(left, before.left), max(right, before.right)
            near_left = max(near_left, self.near_lefts[column])
        self.extents[column] = Extent(left, right)
        self.near_lefts[column] = near_left


class StaffInkBuilder:
    """Builds measures for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._measurer = ChordMeasurer(style, face)

    def build(
        self,
        part: PartMeasure,
        rhythms: Sequence[VoiceRhythm],
        sources: Sequence[VoiceSources],
        columns: dict[Fraction, int],
        plan: StaffPlan,
        memory: AccidentalMemory,
        held: HeldStrings,
        octaves: OctaveShifts,
    ) -> StaffInk:
        """One measure of `part` on the staff `plan`. `memory` has been told that the measure starts.

        `held` are the strings held bent in it; `octaves` are the octave lines over it.
        """
        sides: tuple[Direction | None, ...] = (
            (Direction.UP, Direction.DOWN) if len(part.voices) > 1 else (None,)
        )
        draft = _Draft(
            part=part,
            rhythms=rhythms,
            sources=sources,
            columns=columns,
            plan=plan,
            memory=memory,
            held=held,
            octaves=octaves,
            sides=sides,
        )
        for voice, rhythm, side, origin in zip(part.voices, rhythms, sides, sources, strict=True):
            chords = [
                by_position(
                    event, origin.notes[i], plan.clef, octaves.at(event.onset), self._style.notes.harmonics
                )
                for i, event in enumerate(voice.events)
            ]
            draft.chords.append(chords)
            draft.directions.append(_stem_directions(chords, rhythm, side))
            draft.items.append([])
        for starting in events_by_onset(part):
            self._add_moment(draft, starting)
        voices = tuple(
            VoiceInk(tuple(items), rhythm, side)
            for items, rhythm, side in zip(draft.items, rhythms, sides, strict=True)
        )
        return StaffInk(voices, draft.extents, draft.near_lefts, draft.whole_rest)

    def _add_moment(self, draft: _Draft, starting: list[tuple[int, int]]) -> None:
        """Add the events (voice, index) that start together."""
        sounding: list[tuple[int, int, Sounding]] = []
        graces: list[tuple[GraceRow | None, GraceRow | None]] = []
        for voice, index in starting:
            event = draft.part.voices[voice].events[index]
            if event.notes:
                before = self._grace_row(draft, voice, index, event.before)
                sounding.append((voice, index, self._prepare(draft, voice, index)))
                graces.append((before, self._grace_row(draft, voice, index, event.after)))
            elif event.whole_measure:
                draft.whole_rest = draft.sources[voice].events[index]
            else:
                self._add_rest(draft, voice, index)
        if not sounding:
            return
        moment = self._measurer.measure(tuple(item[2] for item in sounding))
        for (voice, index, chord), shape, (before, after) in zip(
            sounding, moment.shapes, graces, strict=True
        ):
            event = draft.part.voices[voice].events[index]
            column = draft.columns[event.onset]
            members = draft.chords[voice][index]
            fingered = [(note.finger, position / 2) for position, note, *_ in members if note.finger]
            side = measure_side_signs(event, draft.plan, moment.left, moment.right, self._style, fingered)
            source, beam = draft.sources[voice].events[index], draft.rhythms[voice].beam_of[index]
            ties = decide_ties(
                chord.positions, chord.direction, chord.voice, shape.flag, notes=self._style.notes
            )
            ink = _chord_ink(
                event, index, column, source, members=members, chord=chord, shape=shape, ties=ties, beam=beam
            )
            bends = self._bends(ink, draft, BentAt(voice, index), 1.0)
            ink = ink._replace(bends=bends) if bends.strings else ink
            bar = measure_bar(event.notes, self._style, self._face)
            if bar is not None or side is not None or before is not None or after is not None:
                ink = ink._replace(bar=bar, side=side, before=before, after=after)
            draft.widen(column, moment.left, moment.near_left, moment.right)
            if chord.flags:
                draft.widen(column, 0.0, 0.0, self._tie_room(ink))
            if side is not None:
                draft.widen(column, side.left, side.left, side.right)
            if draft.plan.is_only:
                self._make_room_for_strings(draft, ink)
            draft.items[voice].append(ink)

    def _tie_room(self, chord: ChordInk) -> float:
        """How far right of its column a chord reaches whose ties start right of its flag; 0 without such ties."""
        notes = self._style.notes
        clear = max(
            (tie.clear for tie, note in zip(chord.ties, chord.notes, strict=True) if note.tie_to), default=0.0
        )
        length = notes.tie_shortest + 2 * notes.tie_head_gap
        return clear + length - self._style.spacing.head_to_head if clear else 0.0

    def _make_room_for_strings(self, draft: _Draft, chord: ChordInk) -> None:
        """Bends and moves of the bar stand on a staff that has no tab under it."""
        bar = chord.bar.width / 2 if chord.bar is not None else 0.0
        centre = self._measurer.head_width / 2
        if bar or chord.bends.strings:
            draft.widen(chord.column, bar - centre, 0.0, max(chord.bends.right, bar + centre))

    def _bends(self, chord: ChordInk, draft: _Draft, where: BentAt, size: float) -> BendInk:
        """The bends of a chord on a staff without a tab, of grace notes at their `size`."""
        held, plan = draft.held.get(where, NO_STRINGS), draft.plan
        if not are_bent(chord.event.notes, held) or not plan.shows(self._style.signs["bend"]):
            return NO_BENDS
        boxes = [self._face.glyph(head).box for head in chord.heads]
        left = min(dx + box.left for dx, box in zip(chord.head_dx, boxes, strict=True)) * size
        right = max(dx + box.right for dx, box in zip(chord.head_dx, boxes, strict=True)) * size
        notes = [
            BentNote(note, right, position / 2, is_held(note, held))
            for note, position in zip(chord.notes, chord.positions, strict=True)
        ]
        stem = chord.stem_dx * size
        place = BendPlace((left + right) / 2, stem, NOTHING, False, plan.has_rhythm)
        return measure_bends(notes, place, self._style)

    def _grace_row(self, draft: _Draft, voice: int, index: int, graces: Graces | None) -> GraceRow | None:
        """The grace notes before or after an event, measured as if they were of the usual size."""
        if graces is None:
            return None
        size = self._style.notes.grace_size
        direction = draft.sides[voice] or Direction.UP
        main = draft.part.voices[voice].events[index]
        octave, beside = draft.octaves.at(main.onset), draft.sources[voice].events[index]
        items, lefts, rights = [], [], []
        beamed = decide_grace_beam([event.value.flags for event in graces.events])
        first = 1 if graces is main.after else -len(graces.events)
        for grace, event in enumerate(graces.events, first):
            source = beside._replace(line=event.location.line, column=event.location.column)
            sources = (source,) * len(event.notes)
            members = by_position(event, sources, draft.plan.clef, octave, self._style.notes.harmonics)
            flags = 0 if beamed else event.value.flags
            chord = self._sounding(draft, event, members, direction, flags, None)
            moment = self._measurer.measure((chord,))
            ink = _chord_ink(
                event,
                -1,
                draft.columns[main.onset],
                source,
                members=members,
                chord=chord,
                shape=moment.shapes[0],
                ties=decide_ties(
                    chord.positions, direction, draft.sides[voice], None, notes=self._style.notes
                ),
                beam=-1,
            )
            ink = ink._replace(bends=self._bends(ink, draft, BentAt(voice, index, grace), size))
            items.append(ink)
            lefts.append(moment.left * size)
            rights.append(max(moment.right * size, ink.bends.right))
        return GraceRow(tuple(items), tuple(lefts), tuple(rights), graces.slashed, beamed)

    def _prepare(self, draft: _Draft, voice: int, index: int) -> Sounding:
        """What the shape of a chord depends on; the accidental memory is told of its notes."""
        event = draft.part.voices[voice].events[index]
        return self._sounding(
            draft,
            event,
            draft.chords[voice][index],
            draft.directions[voice][index],
            0 if draft.rhythms[voice].beam_of[index] >= 0 else event.value.flags,
            draft.sides[voice],
        )

    def _sounding(
        self,
        draft: _Draft,
        event: Event,
        members: tuple[Head, ...],
        direction: Direction,
        flags: int,
        side: Direction | None,
    ) -> Sounding:
        accidentals = []
        for position, note, *_ in members:
            if note.is_slash or note.has(SignName.DEAD):
                continue
            accidental, courtesy = draft.memory.decide(note.pitch, note.tie_from)
            if accidental is not None:
                accidentals.append((position, accidental.glyph, courtesy))
        denominator = event.value.denominator
        return Sounding(
            positions=tuple(member.position for member in members),
            heads=tuple(decide_head(member, denominator) for member in members),
            accidentals=tuple(accidentals),
            direction=direction,
            dots=event.value.dots,
            flags=flags,
            voice=side,
            ghosts=frozenset(position for position, note, *_ in members if note.has(SignName.GHOST)),
        )

    def _add_rest(self, draft: _Draft, voice: int, index: int) -> None:
        event = draft.part.voices[voice].events[index]
        side = draft.sides[voice]
        partner = self._equal_rest(draft, voice, event)
        shift = 0 if side is None or partner else _rest_shift(draft, voice, index, side, self._style.notes)
        place = decide_rest(event.value.denominator, None if partner else side, shift, self._style.notes)
        column = draft.columns[event.onset]
        draft.items[voice].append(
            RestInk(
                event=event,
                number=index,
                column=column,
                source=draft.sources[voice].events[index],
                glyph=place.glyph,
                y=place.y,
                dot_y=place.dot_y,
                hidden=partner and voice > 0,
            )
        )
        right = self._face.glyph(place.glyph).box.right + self._measurer.dots_width(event.value.dots)
        draft.widen(column, 0.0, 0.0, right)

    @staticmethod
    def _equal_rest(draft: _Draft, voice: int, event: Event) -> bool:
        """True when the other voice rests at the same time for the same value: one sign stands for both."""
        if len(draft.part.voices) < 2:
            return False
        return any(
            other.onset == event.onset and other.value is event.value and not other.notes
            for other in draft.part.voices[1 - voice].events
        )


def _chord_ink(
    event: Event,
    index: int,
    column: int,
    source: Source,
    members: tuple[Head, ...],
    chord: Sounding,
    shape: Shape,
    ties: tuple[TieStart, ...],
    beam: int,
) -> ChordInk:
    """A measured chord with where it stands in its voice."""
    return ChordInk(
        event=event,
        number=index,
        column=column,
        source=source,
        sources=tuple(member.source for member in members),
        direction=chord.direction,
        notes=tuple(member.note for member in members),
        positions=chord.positions,
        heads=chord.heads,
        head_dx=shape.head_dx,
        shift=shape.shift,
        shared=shape.shared,
        accidentals=tuple(
            AccidentalInk(p, glyph, dx, parens)
            for (p, glyph, parens), dx in zip(chord.accidentals, shape.accidental_dx, strict=True)
        ),
        dot_positions=shape.dot_positions,
        dot_dx=shape.dot_dx,
        ghosts=shape.ghosts,
        stem_dx=shape.stem_dx,
        tip=shape.tip,
        ties=ties,
        beam=beam,
    )


def _stem_directions(
    chords: Sequence[tuple[Head, ...]], rhythm: VoiceRhythm, side: Direction | None
) -> list[Direction]:
    """The stem direction of every event; a beamed group has one."""
    if side is not None:
        return [side] * len(chords)
    directions = [
        decide_stem_direction([member.position for member in chord]) if chord else Direction.UP
        for chord in chords
    ]
    for group in rhythm.beams:
        shared = decide_group_direction([[m.position for m in chords[i]] for i in group.members if chords[i]])
        for i in range(group.members[0], group.members[-1] + 1):
            directions[i] = shared
    return directions


def _rest_shift(draft: _Draft, voice: int, index: int, side: Direction, notes: NoteStyle) -> int:
    """How far a rest moves to be clear of the other voice's heads."""

    def extent_of(number: int) -> tuple[float, float] | None:
        chord = draft.chords[1 - voice][number]
        return (chord[0][0] / 2 - 0.5, chord[-1][0] / 2 + 0.5) if chord else None

    return shift_of_row(draft.part, voice, index, side, notes, extent_of)
