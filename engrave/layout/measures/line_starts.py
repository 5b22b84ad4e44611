"""What hangs to the left of a measure's first notes where the measure starts a line, and has to keep clear of the clef there."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.fonts.text_face import text_face
from engrave.layout.measures.ink import NOTHING_AT_START, LineStart, RestInk, StaffInk
from engrave.layout.measures.words import NO_WORDS, MeasureWords
from engrave.layout.skyline import STEP
from engrave.score.joins import LEGATO
from engrave.score.sign_list import SLUR_ENDS
from engrave.score.structure import Part
from engrave.style.sections import Style

_ENDS_A_SLUR = frozenset(SLUR_ENDS.values())


class LineStartReader:
    """Measures what hangs to the left of each measure, which must be asked for in order (verses start but once)."""

    def __init__(self, parts: Sequence[Part], style: Style, centre: float) -> None:
        """`centre` is the distance from a column to the middle of its heads."""
        self._style = style
        self._centre = centre
        self._sung: list[set[int]] = [set() for _ in parts]
        self._is_numbered = [has_verses(part) for part in parts]

    def read(self, staves: Sequence[StaffInk], words: Sequence[MeasureWords]) -> LineStart:
        """How far what a line's first measure has reaches before its first column (common practice, no source).

        Each half of a tie is long enough to be seen. A syllable stands under its note, beside the clef: under the clef it
        would move the whole row of words down. Outlines are coarse by a step.
        """
        style = self._style
        joined = max([self._joined(staff) for staff in staves], default=0.0)
        outside = max([self._outside(part, row) for part, row in enumerate(words)], default=0.0)
        if not (joined or outside):
            return NOTHING_AT_START
        return LineStart(
            joined=joined + style.notes.half_tie_gap if joined else 0.0,
            outside=outside + style.stacking.sign_gap + STEP if outside else 0.0,
        )

    def _joined(self, staff: StaffInk) -> float:
        """How far the halves at the first column of a staff reach to the left."""
        notes = self._style.notes
        reach = 0.0
        for voice in staff.voices:
            item = voice.items[0] if voice.items else None
            if item is None or item.column or isinstance(item, RestInk):
                continue
            event, left = item.event, staff.extents[0].left if 0 in staff.extents else 0.0
            if any(note.tie_from for note in event.notes):
                reach = max(reach, left + notes.tie_head_gap + notes.tie_shortest)
            if not event.has_techniques:
                continue
            if item.before is None and not event.signs_of_notes.isdisjoint(LEGATO):
                reach = max(reach, left + self._style.spacing.slide_room)
            if any(technique.sign in _ENDS_A_SLUR for technique in event.techniques):
                reach = max(reach, notes.slur_half - self._centre)
        return reach

    def _outside(self, part: int, words: MeasureWords) -> float:
        """How far the grid and the syllables of the first column reach to the left, with the numbers of verses that start."""
        reach = 0.0
        if words is NO_WORDS:
            return reach
        for chord, block in words.chords[:1]:
            reach = 0.0 if chord.onset else max(0.0, block.left)
        for sung in words.lyrics:
            left = -sung.start
            if sung.verse not in self._sung[part]:
                self._sung[part].add(sung.verse)
                if self._is_numbered[part]:
                    left += verse_number_room(sung.verse, self._style)
            if not sung.event:
                reach = max(reach, left)
        return reach


def has_verses(part: Part) -> bool:
    """True for a part with several verses, which have numbers."""
    return any(len(e.lyrics) > 1 for m in part.measures for v in m.voices[:1] for e in v.events)


def verse_number_room(verse: int, style: Style) -> float:
    """The width of the number of a verse (from 0) and the white after it, in staff spaces."""
    words = style.words.verse_number
    return (
        text_face(words.face).width(f"{verse + 1}.", words.size) + style.words.verse_number_gap * words.size
    )
