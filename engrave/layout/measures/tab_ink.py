"""One measure of one part on a tab: the digits of every event, and its rhythm where the tab carries it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.beams import decide_grace_beam
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_room import (
    FEWEST_WAVES,
    NO_BENDS,
    NO_STRINGS,
    NOTHING,
    VIBRATOS,
    BendInk,
    BendPlace,
    BentAt,
    BentNote,
    HeldStrings,
    are_bent,
    is_held,
    measure_bar,
    measure_bends,
    rhythm_reach,
)
from engrave.layout.measures.chords import flag_glyph
from engrave.layout.measures.digits import Digit, DigitMeasurer
from engrave.layout.measures.heads import decide_slash
from engrave.layout.measures.ink import Extent, FretInk, GraceRow, RestInk, StaffInk, VoiceInk, VoiceSources
from engrave.layout.measures.rhythm import VoiceRhythm
from engrave.layout.measures.side_signs import measure_side_signs
from engrave.layout.measures.timing import PartTiming
from engrave.layout.notes.rests import decide_rest, shift_of_row
from engrave.layout.notes.stems import decide_tab_stems
from engrave.layout.staves import StaffPlan
from engrave.marks.mark import Source
from engrave.score.structure import Event, Graces, PartMeasure
from engrave.style.sections import NoteStyle, Style

_STAFF_MIDDLE = 2.0
"""y of the middle line of a five-line staff, to which rests are registered (fact)."""


class _VoiceAt(NamedTuple):
    """One voice on a tab: its number, where its stems point, and the strings held bent in its measure."""

    number: int
    stems: Direction
    plan: StaffPlan
    held: HeldStrings


class TabInkBuilder:
    """Builds tab measures for one style and face. A note held by a tie has no digit of its own."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._digit = DigitMeasurer(style)
        self.centre = face.glyph("noteheadBlack").box.right / 2
        """From the column to the middle of the digits: the middle of a head."""

    def build(
        self,
        part: PartMeasure,
        rhythms: Sequence[VoiceRhythm],
        sources: Sequence[VoiceSources],
        timing: PartTiming,
        plan: StaffPlan,
        held: HeldStrings,
    ) -> StaffInk:
        """One measure of `part` on the tab `plan`; `held` are the strings held bent in it."""
        extents: dict[int, Extent] = {}
        voices = []
        whole_rest: Source | None = None
        two = part.shows_two_voices
        taken: dict[int, float] = {}
        for number, (voice, rhythm, origin) in enumerate(zip(part.voices, rhythms, sources, strict=True)):
            side = (Direction.DOWN if number else Direction.UP) if two else None
            stems = decide_tab_stems(side, self._style.stacking.rhythm_side)
            voice_at = _VoiceAt(number, stems, plan, held)
            items: list[FretInk | RestInk] = []
            for index, event in enumerate(voice.events):
                if event.notes:
                    column, source = timing.columns[number][index], origin.events[index]
                    where = BentAt(number, index)
                    before = self._grace_row(event.before, column, source, voice_at, where._replace(grace=-1))
                    digits = self._digits(event, origin.notes[index])
                    fret = FretInk(event, index, column, source, digits, rhythm.beam_of[index])
                    if event.has_techniques or held:
                        bent = self._bends(fret, voice_at, where, taken.get(column, NOTHING))
                        if bent.strings:
                            fret, taken[column] = fret._replace(bends=bent), bent.right
                        bar = measure_bar(event.notes, self._style, self._face)
                        fret = fret._replace(bar=bar) if bar is not None else fret
                    reach = self._reach(fret, voice_at)
                    beside = measure_side_signs(event, plan, reach.left, reach.right, self._style)
                    if beside is not None:
                        fret, reach = fret._replace(side=beside), Extent(beside.left, beside.right)
                    after = self._grace_row(event.after, column, source, voice_at, where._replace(grace=1))
                    if before is not None or after is not None:
                        fret = fret._replace(before=before, after=after)
                    items.append(fret)
                    extents[fret.column] = _union(extents.get(fret.column), reach)
                elif event.whole_measure:
                    whole_rest = origin.events[index] if plan.has_rhythm else whole_rest
                elif plan.has_rhythm:
                    rest = self._rest(
                        part,
                        number,
                        index,
                        timing.columns[number][index],
                        source=origin.events[index],
                        side=side,
                        plan=plan,
                    )
                    items.append(rest)
                    if not event.hidden:
                        right = self._face.glyph(rest.glyph).box.right
                        extents[rest.column] = _union(extents.get(rest.column), Extent(0.0, right))
            voices.append(VoiceInk(tuple(items), rhythm, side, stems))
        near_lefts = {column: extent.left for column, extent in extents.items()}
        return StaffInk(tuple(voices), extents, near_lefts, whole_rest)

    def _grace_row(
        self, graces: Graces | None, column: int, main: Source, at: _VoiceAt, nearest: BentAt
    ) -> GraceRow | None:
        """The small digits before or after an event; `nearest` is where the one next to it stands."""
        if graces is None:
            return None
        size = self._style.notes.grace_size
        items, reaches = [], []
        first = 1 if nearest.grace > 0 else -len(graces.events)
        beamed = decide_grace_beam([event.value.flags for event in graces.events])
        for grace, event in enumerate(graces.events, first):
            source = main._replace(line=event.location.line, column=event.location.column)
            sources = VoiceSources((source,), ((source,) * len(event.notes),))
            digits = self._digits(event, sources.notes[0], self._style.notes.grace_fret_size)
            flags = event.value.flags if at.plan.has_rhythm and not beamed else 0
            left = max((digit.centre for digit in digits), default=0.0)
            right = max((digit.right for digit in digits), default=0.0)
            flag = self._face.glyph(flag_glyph(flags, at.stems)).box.right * size if flags else 0.0
            fret = FretInk(event, -1, column, source, digits, -1)
            fret = fret._replace(bends=self._bends(fret, at, nearest._replace(grace=grace)))
            items.append(fret)
            middle = self.centre * size
            reaches.append(Extent(left - middle, middle + max(right, flag, fret.bends.right)))
        return GraceRow(
            tuple(items),
            tuple(r.left for r in reaches),
            tuple(r.right for r in reaches),
            graces.slashed,
            beamed,
        )

    def _digits(self, event: Event, sources: Sequence[Source], share: float = 1.0) -> tuple[Digit, ...]:
        """What stands on the strings, thinnest first; `share` is its size."""
        digits = [
            self._digit.measure(note, source, share)
            for note, source in zip(event.notes, sources, strict=True)
            if note.string
        ]
        return tuple(sorted(digits, key=lambda digit: digit.string))

    def _bends(self, fret: FretInk, at: _VoiceAt, where: BentAt, taken: float = NOTHING) -> BendInk:
        """The bends of an event; those of another voice reach to `taken`."""
        bent = [digit.note for digit in fret.digits]
        held = at.held.get(where, NO_STRINGS)
        plan, value = at.plan, fret.event.value
        if not are_bent(bent, held) or not plan.shows(self._style.signs["bend"]):
            return NO_BENDS
        is_grace, is_up = fret.number < 0, at.stems is Direction.UP
        between = plan.has_rhythm and value.denominator > 1 and is_up
        clear = taken
        if between:
            size = self._style.notes.grace_size if is_grace else 1.0
            reach = rhythm_reach(value, fret.beam < 0, at.stems, self._style, self._face) * size
            clear = max(clear, reach)
        notes = [
            BentNote(
                digit.note,
                digit.right,
                (plan.lines - digit.string) * plan.pitch,
                is_held(digit.note, held),
            )
            for digit in fret.digits
        ]
        return measure_bends(notes, BendPlace(0.0, 0.0, clear, between, plan.has_rhythm), self._style)

    def _reach(self, fret: FretInk, at: _VoiceAt) -> Extent:
        """How far digits, dots, flags and bends reach from the column."""
        slash = self._face.glyph(decide_slash(fret.event.value.denominator)).box.right / 2
        left = max((digit.centre for digit in fret.digits), default=slash)
        right = max((digit.right for digit in fret.digits), default=slash)
        right = max(right, fret.bends.right)
        if fret.bends.strings:
            right += self._wave_room(fret.event, at.plan)
        if at.plan.has_rhythm:
            alone = fret.beam < 0
            right = max(right, rhythm_reach(fret.event.value, alone, at.stems, self._style, self._face))
        bar = fret.bar.width / 2 if fret.bar is not None else 0.0
        return Extent(max(left, bar) - self.centre, max(right, bar) + self.centre)

    def _wave_room(self, event: Event, plan: StaffPlan) -> float:
        """The room that a vibrato needs beside the amount of a bend; 0 without one."""
        shown = [self._style.signs[name] for name in VIBRATOS if name in event.signs]
        waves = [self._face.glyph(sign.glyph).advance for sign in shown if sign.glyph and plan.shows(sign)]
        return self._style.stacking.sign_gap + FEWEST_WAVES * max(waves) if waves else 0.0

    def _rest(
        self,
        part: PartMeasure,
        voice: int,
        index: int,
        column: int,
        source: Source,
        side: Direction | None,
        plan: StaffPlan,
    ) -> RestInk:
        event = part.voices[voice].events[index]
        lift = plan.height / 2 - _STAFF_MIDDLE
        shift = (
            0
            if side is None
            else _rest_shift(part, voice, index, side, self._style.notes, lift=lift, plan=plan)
        )
        place = decide_rest(event.value.denominator, side, shift, self._style.notes)
        return RestInk(
            event=event,
            number=index,
            column=column,
            source=source,
            glyph=place.glyph,
            y=place.y + lift,
            dot_y=place.dot_y + lift,
            hidden=event.hidden,
        )


def _union(first: Extent | None, second: Extent) -> Extent:
    if first is None:
        return second
    return Extent(max(first.left, second.left), max(first.right, second.right))


def _rest_shift(
    part: PartMeasure, voice: int, index: int, side: Direction, notes: NoteStyle, plan: StaffPlan, lift: float
) -> int:
    """How far a rest moves to be clear of the other voice's digits, which lie `lift` higher than on a five-line staff."""

    def extent_of(number: int) -> tuple[float, float] | None:
        others = part.voices[1 - voice].events[number].notes
        heights = [(plan.lines - note.string) * plan.pitch - lift for note in others]
        half = plan.pitch / 2
        return (min(heights) - half, max(heights) + half) if heights else None

    return shift_of_row(part, voice, index, side, notes, extent_of)
