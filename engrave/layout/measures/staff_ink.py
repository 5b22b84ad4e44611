"""One measure of one part on a five-line staff, before its width is known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from engrave.fonts.symbols import MusicFace
from engrave.layout.beams import decide_grace_beam
from engrave.layout.curves import decide_ties
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_room import (
    NO_BENDS,
    NO_STRINGS,
    BendInk,
    BentAt,
    HeldStrings,
    are_bent,
    measure_bar,
)
from engrave.layout.measures.bent_heads import (
    NO_BENT_HEADS,
    NO_SMALL_ACCIDENTALS,
    BentHeadMeasurer,
    BentHeads,
    Reach,
    SmallAccidentals,
    sign_after,
    sign_before,
)
from engrave.layout.measures.bent_pitches import BentPitches, BentPitchReader
from engrave.layout.measures.chords import ChordMeasurer
from engrave.layout.measures.heads import Head, by_position, decide_head, find_contested
from engrave.layout.measures.ink import (
    ChordInk,
    GraceRow,
    RestInk,
    StaffInk,
    VoiceInk,
    VoiceSources,
)
from engrave.layout.measures.rhythm import VoiceRhythm
from engrave.layout.measures.side_signs import measure_side_signs
from engrave.layout.measures.sounding import Sounding
from engrave.layout.measures.staff_arrows import measure_staff_arrows
from engrave.layout.measures.staff_chords import build_chord_ink, stem_directions
from engrave.layout.measures.staff_draft import StaffDraft
from engrave.layout.measures.timing import PartTiming
from engrave.layout.measures.tremolo import tremolo_of
from engrave.layout.notes.rests import decide_rest, shift_of_row
from engrave.layout.octave_lines import OctaveShifts
from engrave.layout.staves import StaffPlan
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Graces, PartMeasure
from engrave.style.sections import NoteStyle, Style
from engrave.theory.accidentals import AccidentalMemory
from engrave.theory.key import Key

_NONE: frozenset[int] = frozenset()


class StaffInkBuilder:
    """Builds measures for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._measurer = ChordMeasurer(style, face)
        self._bent = BentHeadMeasurer(style, face)

    def build(
        self,
        part: PartMeasure,
        rhythms: Sequence[VoiceRhythm],
        sources: Sequence[VoiceSources],
        timing: PartTiming,
        plan: StaffPlan,
        memory: AccidentalMemory,
        key: Key,
        held: HeldStrings,
        octaves: OctaveShifts,
        measure: int,
    ) -> StaffInk:
        """Measure number `measure` (from 0) of `part` on the staff `plan`. `memory` has been told that the measure starts.

        `key` is its key, `held` are the strings held bent in it; `octaves` are the octave lines over it.
        """
        sides: tuple[Direction | None, ...] = (
            (Direction.UP, Direction.DOWN) if part.shows_two_voices else (None,) * len(part.voices)
        )
        draft = StaffDraft(
            part=part,
            rhythms=rhythms,
            sources=sources,
            timing=timing,
            plan=plan,
            memory=memory,
            held=held,
            bent=BentPitchReader(part, key, held) if self._style.notes.bends == "sounding" else None,
            octaves=octaves,
            measure=measure,
            sides=sides,
        )
        for number, (voice, rhythm, side, origin) in enumerate(
            zip(part.voices, rhythms, sides, sources, strict=True)
        ):
            pitches = [
                draft.pitches_of(event, event.onset, BentAt(number, i))
                for i, event in enumerate(voice.events)
            ]
            draft.pitches.append(pitches)
            chords = [
                by_position(
                    event,
                    origin.notes[i],
                    draft.clef_at(event.onset),
                    octaves.at(event.onset),
                    self._style.notes.harmonics,
                    bent=pitches[i],
                )
                for i, event in enumerate(voice.events)
            ]
            draft.chords.append(chords)
            draft.directions.append(stem_directions(chords, rhythm, side))
            draft.items.append([])
        for starting in timing.moments:
            self._add_moment(draft, starting)
        voices = tuple(
            VoiceInk(tuple(items), rhythm, side)
            for items, rhythm, side in zip(draft.items, rhythms, sides, strict=True)
        )
        return StaffInk(voices, draft.extents, draft.near_lefts, draft.whole_rest)

    def _add_moment(self, draft: StaffDraft, starting: Sequence[tuple[int, int]]) -> None:
        """Add the events (voice, index) that start together."""
        sounding: list[tuple[int, int, Sounding]] = []
        small: list[SmallAccidentals] = []
        draft.contested = find_contested([draft.chords[voice][index] for voice, index in starting])
        graces: list[tuple[GraceRow | None, GraceRow | None]] = []
        for voice, index in starting:
            event = draft.part.voices[voice].events[index]
            if event.notes:
                before = self._grace_row(draft, voice, index, event.before)
                chord, signs = self._prepare(draft, voice, index)
                sounding.append((voice, index, chord))
                small.append(signs)
                graces.append((before, self._grace_row(draft, voice, index, event.after)))
            elif event.whole_measure:
                draft.whole_rest = draft.sources[voice].events[index]
            else:
                self._add_rest(draft, voice, index)
        if not sounding:
            return
        moment = self._measurer.measure(tuple(item[2] for item in sounding))
        for (voice, index, chord), signs, shape, (before, after) in zip(
            sounding, small, moment.shapes, graces, strict=True
        ):
            event = draft.part.voices[voice].events[index]
            column = draft.timing.columns[voice][index]
            members = draft.chords[voice][index]
            fingered = [(note.finger, position / 2) for position, note, *_ in members if note.finger]
            reach = Reach(moment.left, moment.right)
            bent = self._bent_heads(draft, event, BentAt(voice, index), signs, reach)
            if bent.chains:
                reach = Reach(bent.left, bent.right)
            side = measure_side_signs(event, draft.plan, reach.left, reach.right, self._style, fingered)
            source, beam = draft.sources[voice].events[index], draft.rhythms[voice].beam_of[index]
            ink = build_chord_ink(
                event,
                index,
                column,
                source,
                members=members,
                chord=chord,
                shape=shape,
                ties=shape.ties,
                beam=beam,
            )
            bar = None
            if event.has_techniques or draft.held:
                bends = self._bends(ink, draft, BentAt(voice, index), 1.0)
                ink = ink._replace(bends=bends) if bends.strings else ink
                ink = ink._replace(bent=bent) if bent.chains else ink
                bar = measure_bar(event.notes, self._style, self._face)
            if bar is not None or side is not None or before is not None or after is not None:
                ink = ink._replace(bar=bar, side=side, before=before, after=after)
            draft.widen(column, reach.left, moment.near_left, reach.right)
            if (chord.flags or len(ink.notes) > 2) and any(note.tie_to for note in ink.notes):
                draft.widen(column, 0.0, 0.0, self._tie_room(ink))
            if side is not None:
                draft.widen(column, side.left, side.left, side.right)
            if draft.plan.is_only:
                self._make_room_for_strings(draft, ink)
            draft.items[voice].append(ink)

    def _bent_heads(
        self, draft: StaffDraft, event: Event, at: BentAt, signs: SmallAccidentals, reach: Reach
    ) -> BentHeads:
        """The small heads of the bent notes of an event whose chord reaches `reach`."""
        pitches = draft.pitches[at.voice][at.event]
        if not pitches:
            return NO_BENT_HEADS
        return self._bent.measure(
            event,
            pitches,
            signs,
            draft.sources[at.voice].notes[at.event],
            place=(draft.clef_at(event.onset), draft.octaves.at(event.onset)),
            reach=reach,
        )

    def _tie_room(self, chord: ChordInk) -> float:
        """How far right of its column a chord reaches whose ties cannot start over its heads; 0 without such ties.

        So it is right of a flag, and with a tie between two others, which would otherwise be drawn over one of them.
        """
        notes = self._style.notes
        tied = [number for number, note in enumerate(chord.notes) if note.tie_to]
        clear = max((chord.ties[number].clear for number in tied), default=0.0)
        if len(tied) > 2:
            clear = max(clear, max(chord.head_dx) + self._measurer.head_width)
        length = notes.tie_shortest + 2 * notes.tie_head_gap
        return clear + length - self._style.spacing.head_to_head if clear else 0.0

    def _make_room_for_strings(self, draft: StaffDraft, chord: ChordInk) -> None:
        """Bends and moves of the bar stand on a staff that has no tab under it."""
        bar = chord.bar.width / 2 if chord.bar is not None else 0.0
        centre = self._measurer.head_width / 2
        if bar or chord.bends.strings:
            draft.widen(chord.column, bar - centre, 0.0, max(chord.bends.right, bar + centre))

    def _bends(self, chord: ChordInk, draft: StaffDraft, where: BentAt, size: float) -> BendInk:
        """The arrows over a staff without a tab, of grace notes at their `size`."""
        held, plan = draft.held.get(where, NO_STRINGS), draft.plan
        if not are_bent(chord.event.notes, held) or not plan.shows(self._style.signs["bend"]):
            return NO_BENDS
        return measure_staff_arrows(chord, held, plan.has_rhythm, size, self._style, self._face)

    def _grace_row(self, draft: StaffDraft, voice: int, index: int, graces: Graces | None) -> GraceRow | None:
        """The grace notes before or after an event, measured as if they were of the usual size."""
        if graces is None:
            return None
        size = self._style.notes.grace_size
        direction = draft.sides[voice] or Direction.UP
        main = draft.part.voices[voice].events[index]
        octave, beside = draft.octaves.at(main.onset), draft.sources[voice].events[index]
        clef = draft.clef_at(main.onset)
        items, lefts, rights = [], [], []
        beamed = decide_grace_beam([event.value.flags for event in graces.events])
        first = 1 if graces is main.after else -len(graces.events)
        for grace, event in enumerate(graces.events, first):
            source = beside._replace(line=event.location.line, column=event.location.column)
            sources = (source,) * len(event.notes)
            where = BentAt(voice, index, grace)
            pitches = draft.pitches_of(event, main.onset, where)
            members = by_position(event, sources, clef, octave, self._style.notes.harmonics, bent=pitches)
            flags = 0 if beamed else event.value.flags
            chord, signs = self._sounding(draft, event, members, direction, flags, None, bent=pitches)
            moment = self._measurer.measure((chord,))
            ink = build_chord_ink(
                event,
                -1,
                draft.timing.columns[voice][index],
                source,
                members=members,
                chord=chord,
                shape=moment.shapes[0],
                ties=decide_ties(
                    chord.positions, direction, draft.sides[voice], None, notes=self._style.notes
                ),
                beam=-1,
            )
            reach = Reach(moment.left * size, moment.right * size)
            if pitches:
                bent = self._bent.measure(
                    event, pitches, signs, sources, place=(clef, octave), reach=reach, size=size
                )
                ink, reach = ink._replace(bent=bent), Reach(bent.left, bent.right)
            ink = ink._replace(bends=self._bends(ink, draft, where, size))
            items.append(ink)
            lefts.append(reach.left)
            rights.append(max(reach.right, ink.bends.right))
        return GraceRow(tuple(items), tuple(lefts), tuple(rights), graces.slashed, beamed)

    def _prepare(self, draft: StaffDraft, voice: int, index: int) -> tuple[Sounding, SmallAccidentals]:
        """What the shape of a chord depends on, and the accidentals of its small heads; the accidental memory is told of its notes."""
        event = draft.part.voices[voice].events[index]
        return self._sounding(
            draft,
            event,
            draft.chords[voice][index],
            draft.directions[voice][index],
            0 if draft.rhythms[voice].beam_of[index] >= 0 else event.value.flags,
            draft.sides[voice],
            bent=draft.pitches[voice][index],
        )

    def _sounding(
        self,
        draft: StaffDraft,
        event: Event,
        members: tuple[Head, ...],
        direction: Direction,
        flags: int,
        side: Direction | None,
        bent: Mapping[int, BentPitches],
    ) -> tuple[Sounding, SmallAccidentals]:
        before = sign_before(draft.memory, bent)
        accidentals = []
        for position, note, _, _, is_new in members:
            if note.techniques and (note.is_slash or note.has(SignName.DEAD)):
                continue
            accidental, courtesy = draft.memory.decide(
                note.pitch, note.tie_from and not is_new, note.pitch.diatonic in draft.contested
            )
            if accidental is not None:
                accidentals.append((position, accidental.glyph, courtesy))
        signs = SmallAccidentals(before, sign_after(draft.memory, bent)) if bent else NO_SMALL_ACCIDENTALS
        denominator = event.value.denominator
        sounding = Sounding(
            positions=tuple([member.position for member in members]),
            heads=tuple([decide_head(member, denominator) for member in members]),
            accidentals=tuple(accidentals),
            direction=direction,
            dots=event.value.dots,
            flags=flags,
            voice=side,
            ghosts=frozenset([position for position, note, *_ in members if note.has(SignName.GHOST)])
            if event.has_techniques
            else _NONE,
            unlike=frozenset(p for p, note, *_ in members if note.pitch.diatonic in draft.contested)
            if draft.contested
            else _NONE,
            tremolo=tremolo_of(event),
        )
        return sounding, signs

    def _add_rest(self, draft: StaffDraft, voice: int, index: int) -> None:
        event = draft.part.voices[voice].events[index]
        side = draft.sides[voice]
        partner = self._equal_rest(draft, voice, event)
        shift = 0 if side is None or partner else _rest_shift(draft, voice, index, side, self._style.notes)
        place = decide_rest(event.value.denominator, None if partner else side, shift, self._style.notes)
        column = draft.timing.columns[voice][index]
        draft.items[voice].append(
            RestInk(
                event=event,
                number=index,
                column=column,
                source=draft.sources[voice].events[index],
                glyph=place.glyph,
                y=place.y,
                dot_y=place.dot_y,
                hidden=event.hidden or (partner and voice > 0),
            )
        )
        if not event.hidden:
            right = self._face.glyph(place.glyph).box.right + self._measurer.dots_width(event.value.dots)
            draft.widen(column, 0.0, 0.0, right)

    @staticmethod
    def _equal_rest(draft: StaffDraft, voice: int, event: Event) -> bool:
        """True when the other voice rests at the same time for the same value: one sign stands for both."""
        if len(draft.part.voices) < 2 or event.hidden:
            return False
        return any(
            other.onset == event.onset and other.value is event.value and not other.notes and not other.hidden
            for other in draft.part.voices[1 - voice].events
        )


def _rest_shift(draft: StaffDraft, voice: int, index: int, side: Direction, notes: NoteStyle) -> int:
    """How far a rest moves to be clear of the other voice's heads."""

    def extent_of(number: int) -> tuple[float, float] | None:
        chord = draft.chords[1 - voice][number]
        return (chord[0][0] / 2 - 0.5, chord[-1][0] / 2 + 0.5) if chord else None

    return shift_of_row(draft.part, voice, index, side, notes, extent_of)
