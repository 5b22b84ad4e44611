"""One measure of one part on a tab: the digits of every event, and its rhythm where the tab carries it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_room import NOTHING, bar_reach, bend_reach, rhythm_reach
from engrave.layout.measures.chords import flag_glyph
from engrave.layout.measures.ink import (
    Digit,
    Extent,
    FretInk,
    GraceRow,
    RestInk,
    StaffInk,
    VoiceInk,
    VoiceSources,
)
from engrave.layout.measures.rhythm import VoiceRhythm
from engrave.layout.measures.side_signs import measure_side_signs
from engrave.layout.notes.rests import decide_rest, shift_of_row
from engrave.layout.staves import StaffPlan
from engrave.marks.mark import Source
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Graces, Note, PartMeasure
from engrave.score.techniques import NaturalHarmonic, StoppedHarmonic, Trill
from engrave.style.sections import NoteStyle, Style

_STAFF_MIDDLE = 2.0
"""y of the middle line of a five-line staff, to which rests are registered (fact)."""


def fret_text(note: Note) -> tuple[str, str]:
    """What is printed for a note on the tab: its fret, X for a dead note; and what follows it.

    The node of a natural harmonic stands in angle brackets, that of a stopped string after the fret, like the upper note
    of a trill in parentheses.
    """
    for technique in note.techniques:
        if isinstance(technique, NaturalHarmonic):
            return f"<{technique.label}>", ""
        if isinstance(technique, Trill):
            return str(note.fret), f" ({technique.to})"
        if isinstance(technique, StoppedHarmonic):
            return str(note.fret), f" <{technique.touched}>"
    return "X" if note.has(SignName.DEAD) else str(note.fret), ""


def parenthesis_size(style: Style) -> float:
    """Font size of the parentheses of ghost notes: so tall that those of neighbouring strings do not touch."""
    ink = text_face(style.staff.fret_face).ink("(", 1.0)
    return (style.staff.tab_space - style.staff.fret_clearance / 2) / (ink.top - ink.bottom)


class TabInkBuilder:
    """Builds tab measures for one style and face. A note held by a tie has no digit of its own."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._text = text_face(style.staff.fret_face)
        self.size = style.staff.fret_height / self._text.ink("1", 1.0).top
        """Font size of the digits in staff spaces."""
        self._parenthesis = self._text.width("(", parenthesis_size(style))
        self._slash = face.glyph("noteheadSlashHorizontalEnds").box.right
        self.centre = face.glyph("noteheadBlack").box.right / 2
        """From the column to the middle of the digits: the middle of a head."""

    def build(
        self,
        part: PartMeasure,
        rhythms: Sequence[VoiceRhythm],
        sources: Sequence[VoiceSources],
        columns: dict[Fraction, int],
        plan: StaffPlan,
    ) -> StaffInk:
        """One measure of `part` on the tab `plan`."""
        extents: dict[int, Extent] = {}
        voices = []
        whole_rest: Source | None = None
        two = len(part.voices) > 1
        for number, (voice, rhythm, origin) in enumerate(zip(part.voices, rhythms, sources, strict=True)):
            side = (Direction.DOWN if number else Direction.UP) if two else None
            items: list[FretInk | RestInk] = []
            for index, event in enumerate(voice.events):
                if event.notes:
                    fret = self._frets(event, index, columns, origin, rhythm)
                    reach = self._reach(fret, plan.has_rhythm)
                    beside = measure_side_signs(event, plan, reach.left, reach.right, self._style)
                    if beside is not None:
                        fret, reach = fret._replace(side=beside), Extent(beside.left, beside.right)
                    if event.before or event.after:
                        fret = fret._replace(
                            before=self._grace_row(event.before, fret, plan),
                            after=self._grace_row(event.after, fret, plan),
                        )
                    items.append(fret)
                    extents[fret.column] = _union(extents.get(fret.column), reach)
                elif event.whole_measure:
                    whole_rest = origin.events[index] if plan.has_rhythm else whole_rest
                elif plan.has_rhythm:
                    rest = self._rest(
                        part, number, index, columns, source=origin.events[index], side=side, plan=plan
                    )
                    items.append(rest)
                    right = self._face.glyph(rest.glyph).box.right
                    extents[rest.column] = _union(extents.get(rest.column), Extent(0.0, right))
            voices.append(VoiceInk(tuple(items), rhythm, side))
        near_lefts = {column: extent.left for column, extent in extents.items()}
        return StaffInk(tuple(voices), extents, near_lefts, whole_rest)

    def _grace_row(self, graces: Graces | None, main: FretInk, plan: StaffPlan) -> GraceRow | None:
        """The small digits before or after an event."""
        if graces is None:
            return None
        size = self._style.notes.grace_size
        share = self._style.notes.grace_fret_size / size
        items, reaches = [], []
        for event in graces.events:
            source = main.source._replace(line=event.location.line, column=event.location.column)
            sources = VoiceSources((source,), ((source,) * len(event.notes),))
            digits = self._digits(event, sources.notes[0])
            flags = event.value.flags if plan.has_rhythm and len(graces.events) == 1 else 0
            half = max((digit.width for digit in digits), default=0.0) / 2 * share
            flag = self._face.glyph(flag_glyph(flags, Direction.UP)).box.right if flags else 0.0
            items.append(FretInk(event, -1, main.column, source, digits, -1))
            reaches.append(Extent((half - self.centre) * size, (self.centre + max(half, flag)) * size))
        return GraceRow(
            tuple(items), tuple(r.left for r in reaches), tuple(r.right for r in reaches), graces.slashed
        )

    def _frets(
        self,
        event: Event,
        index: int,
        columns: dict[Fraction, int],
        origin: VoiceSources,
        rhythm: VoiceRhythm,
    ) -> FretInk:
        digits = self._digits(event, origin.notes[index])
        return FretInk(
            event, index, columns[event.onset], origin.events[index], digits, rhythm.beam_of[index]
        )

    def _digits(self, event: Event, sources: Sequence[Source]) -> tuple[Digit, ...]:
        """What stands on the strings, thinnest first."""
        digits = []
        for note, source in zip(event.notes, sources, strict=True):
            if not note.string:
                continue
            text, tail = ("", "") if note.tie_from else fret_text(note)
            around = self._parenthesis if text and note.has(SignName.GHOST) else 0.0
            tail_width = self._text.width(tail, self.size)
            width = self._text.width(text, self.size) + tail_width + 2 * around
            digits.append(
                Digit(
                    string=note.string,
                    text=text + tail,
                    width=width,
                    note=note,
                    source=source,
                    parenthesis=around,
                    tail=tail_width,
                )
            )
        return tuple(sorted(digits, key=lambda digit: digit.string))

    def _reach(self, fret: FretInk, has_rhythm: bool) -> Extent:
        """How far digits, dots, flags and bends reach from the column."""
        slash = self._slash / 2
        left = max((digit.centre for digit in fret.digits), default=slash)
        right = max((digit.width - digit.centre for digit in fret.digits), default=slash)
        notes, value = fret.event.notes, fret.event.value
        if has_rhythm:
            clear = rhythm_reach(value, fret.beam < 0, self._style, self._face)
            bent = bend_reach(notes, right, self._style, True, clear if value.denominator > 1 else NOTHING)
            right = max(bent, clear)
        else:
            right = bend_reach(notes, right, self._style, has_rhythm=False)
        bar = bar_reach(notes, self._style, self._face)
        return Extent(max(left, bar) - self.centre, max(right, bar) + self.centre)

    def _rest(
        self,
        part: PartMeasure,
        voice: int,
        index: int,
        columns: dict[Fraction, int],
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
            column=columns[event.onset],
            source=source,
            glyph=place.glyph,
            y=place.y + lift,
            dot_y=place.dot_y + lift,
            hidden=False,
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
