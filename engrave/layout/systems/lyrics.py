"""Lyrics: syllables under their notes, hyphens between them, extender lines under held ones."""

from __future__ import annotations

from dataclasses import dataclass

from engrave.fonts.text_face import text_face
from engrave.layout.curves.arch import arch_points
from engrave.layout.lines.frames import LineFrame
from engrave.layout.measures.lanes import ELISION, lyric_offset, printed_syllable
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.mark import NO_SOURCE, Curve, Source
from engrave.marks.role import Role
from engrave.score.structure import Syllable
from engrave.style.sections import Style

_HYPHEN_WIDTH = 0.3
"""Of an em (common practice, no source)."""
_ELISION_REACH, _ELISION_DROP, _ELISION_HEIGHT = 0.12, 0.06, 0.16
"""Ems: how far an elision's bow reaches under its neighbours, lies below the baseline, and its depth (by eye)."""
_EXTENDER_START = 0.2
"""Ems between a syllable and its extender line."""


@dataclass(slots=True)
class _Verse:
    """What is open at this point of a verse: the end of the last syllable and what follows it."""

    right: float = 0.0
    hyphen: bool = False
    extends: bool = False
    held_to: float = 0.0
    started: bool = False
    source: Source = NO_SOURCE


@dataclass(frozen=True, slots=True)
class _Placed:
    """A syllable with its left end; `before` is what stood open when it came."""

    verse: int
    left: float
    width: float
    text: str
    source: Source
    first: bool


class LyricPlacer:
    """Places the lyrics of one part through all its lines."""

    def __init__(self, style: Style, centre: float, part: int) -> None:
        """`centre` is the distance from a column to the middle of its heads; `part` the part's index."""
        self._style = style
        self._centre = centre
        self._part = part
        self._words = style.words.lyric
        self._face = text_face(style.words.lyric.face)
        self._verses: dict[int, _Verse] = {}
        self._strokes: list[tuple[int, str, float, float, Source]] = []

    def place(self, canvas: StaffCanvas, frame: LineFrame) -> None:
        """Draw one line's lyrics below `canvas` and widen its lower outline."""
        placed: list[_Placed] = []
        self._strokes = []
        start = frame.measures[0].xs[0] if frame.measures[0].xs else frame.measures[0].left
        for verse in self._verses.values():
            verse.right = verse.held_to = start - 1.0
        for measure in frame.measures:
            voices = measure.ink.parts[self._part].voices
            for event in voices[0].events if voices else ():
                if not event.notes:
                    self._rest()
                    continue
                x = measure.x_at(event.onset)
                for number in range(max(len(event.lyrics), len(self._verses))):
                    syllable = event.lyrics[number] if number < len(event.lyrics) else None
                    if syllable is None:
                        self._hold(number, x)
                    else:
                        source = Source(
                            syllable.place.line, syllable.place.column, "", measure.measure.index + 1
                        )
                        placed.append(self._syllable(number, syllable, x, source))
        self._end_line(frame)
        if placed or self._strokes:
            self._draw(canvas, placed)

    def _syllable(self, number: int, syllable: Syllable, x: float, source: Source) -> _Placed:
        verse = self._verses.setdefault(number, _Verse())
        width = self._face.width(printed_syllable(syllable.text), self._words.size)
        left = x + lyric_offset(syllable, width, self._centre)
        self._close(number, verse, left)
        first = not verse.started
        self._verses[number] = _Verse(
            left + width, syllable.hyphen, syllable.extends, x + 2 * self._centre, True, source
        )
        return _Placed(number, left, width, syllable.text, source, first)

    def _hold(self, number: int, x: float) -> None:
        verse = self._verses.get(number)
        if verse is not None and verse.extends:
            verse.held_to = x + 2 * self._centre

    def _rest(self) -> None:
        for number, verse in self._verses.items():
            if verse.extends and not verse.hyphen:
                self._close(number, verse, verse.held_to + self._words.size)
                verse.extends = False

    def _close(self, number: int, verse: _Verse, left: float) -> None:
        """Draw what stands between the last syllable and the next, which starts at `left`."""
        size = self._words.size
        if verse.hyphen:
            self._hyphens(number, verse.right, left, verse.source)
        elif verse.extends:
            start = verse.right + _EXTENDER_START * size
            stop = min(verse.held_to, left - _EXTENDER_START * size)
            if stop - start > 0.5 * size:
                self._strokes.append((number, "extender", start, stop, verse.source))

    def _hyphens(self, number: int, left: float, right: float, source: Source) -> None:
        width = _HYPHEN_WIDTH * self._words.size
        room = right - left
        count = max(1, int(room / self._style.stacking.hyphen_pitch))
        for i in range(count):
            middle = left + room * (i + 1) / (count + 1)
            self._strokes.append((number, "hyphen", middle - width / 2, middle + width / 2, source))

    def _end_line(self, frame: LineFrame) -> None:
        end = frame.measures[-1].right
        for number, verse in self._verses.items():
            self._close(number, verse, end if verse.hyphen else end + self._words.size)

    def _draw(self, canvas: StaffCanvas, placed: list[_Placed]) -> None:
        words, stacking = self._words, self._style.stacking
        ascent = self._face.ink("d", words.size).top
        lowest = min((canvas.lower.height(p.left, p.left + p.width) for p in placed), default=0.0)
        first = min(lowest, 0.0) - stacking.lyric_gap - ascent
        pitch = words.size * self._style.words.line_pitch
        hyphen_y = self._face.x_height * words.size * 0.5
        multiple = len(self._verses) > 1
        numbers_end = min((p.left for p in placed if p.first), default=0.0)
        for syllable in placed:
            y = first - syllable.verse * pitch
            text = printed_syllable(syllable.text)
            canvas.text(Role.LYRIC, syllable.left, y, text, words.face, words.size, syllable.source)
            self._draw_elisions(canvas, syllable, y)
            if syllable.first and multiple:
                self._draw_number(canvas, syllable, numbers_end, y)
            canvas.lower.add(syllable.left, syllable.left + syllable.width, y - 0.25 * words.size)
        for verse, kind, left, right, source in self._strokes:
            y = first - verse * pitch
            if kind == "hyphen":
                canvas.line(
                    Role.LYRIC_HYPHEN, left, y + hyphen_y, right, y + hyphen_y, words.size * 0.06, source
                )
            else:
                canvas.line(Role.LYRIC_EXTENDER, left, y, right, y, stacking.extender, source)
            canvas.lower.add(left, right, y)

    def _draw_elisions(self, canvas: StaffCanvas, syllable: _Placed, y: float) -> None:
        """A bow under each blank that joins two syllables sung on one note."""
        size, notes = self._words.size, self._style.notes
        for index, character in enumerate(syllable.text):
            if character != ELISION:
                continue
            left = syllable.left + self._face.width(printed_syllable(syllable.text[:index]), size)
            right = left + self._face.width(" ", size)
            reach, drop = _ELISION_REACH * size, y - _ELISION_DROP * size
            outer, inner = arch_points(
                left - reach, drop, right + reach, drop, -_ELISION_HEIGHT * size,
                notes.tie_inset, notes.tie_end, notes.tie_middle,
            )  # fmt: skip
            canvas.marks.append(Curve(Role.ELISION, outer, inner, syllable.source))

    def _draw_number(self, canvas: StaffCanvas, syllable: _Placed, end: float, y: float) -> None:
        words = self._style.words.verse_number
        text = f"{syllable.verse + 1}."
        width = text_face(words.face).width(text, words.size)
        left = end - width - 0.3 * words.size
        canvas.text(Role.VERSE_NUMBER, left, y, text, words.face, words.size, syllable.source)
