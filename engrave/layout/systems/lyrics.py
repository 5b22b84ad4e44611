"""Lyrics: syllables under their notes, hyphens, also of words that never end, and extender lines under held ones."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass
from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.curves import arch_points
from engrave.layout.lines.frames import LineFrame
from engrave.layout.measures.line_starts import verse_number_room
from engrave.layout.measures.words import ELISION, SungWord, printed_syllable
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.leaning import decide_lefts
from engrave.marks.mark import NO_SOURCE, Curve, Source
from engrave.marks.role import Role
from engrave.score.structure import Part
from engrave.style.sections import Style


@dataclass(slots=True, eq=False)
class _Verse:
    """What is open at this point of a verse: the end of the last syllable and what follows it.

    `broken`: the rest of the word never comes.
    """

    right: float = 0.0
    hyphen: bool = False
    broken: bool = False
    extends: bool = False
    held_to: float = 0.0
    started: bool = False
    source: Source = NO_SOURCE


class _Placed(NamedTuple):
    """A syllable with its left end, sung at `column`; `first` of its verse."""

    verse: int
    column: float
    left: float
    width: float
    text: str
    source: Source
    first: bool


class LyricPlacer:
    """Places the lyrics of one part through all its lines."""

    def __init__(self, style: Style, centre: float, part: Part, index: int) -> None:
        """`centre` is the distance from a column to the middle of its heads; `index` that of `part` in the score."""
        self._style = style
        self._centre = centre
        self._part = index
        self._broken = find_broken_words(part)
        self._count = max(
            (len(e.lyrics) for m in part.measures for v in m.voices for e in v.events), default=0
        )
        self._start = 0.0
        self._words = style.words.lyric
        self._face = text_face(style.words.lyric.face)
        self._verses: dict[int, _Verse] = {}
        self._strokes: list[tuple[int, str, float, float, Source]] = []

    def place(self, canvas: StaffCanvas, frame: LineFrame) -> None:
        """Draw one line's lyrics below `canvas` and widen its lower outline."""
        placed: list[_Placed] = []
        self._strokes = []
        self._start = frame.measures[0].xs[0] if frame.measures[0].xs else frame.measures[0].left
        for verse in self._verses.values():
            verse.right = verse.held_to = self._start - 1.0
        lefts = decide_lefts(frame, self._part, self._style)
        for measure in frame.measures:
            voices = measure.ink.parts[self._part].voices
            words = {(sung.event, sung.verse): sung for sung in measure.ink.words[self._part].lyrics}
            self._silence({verse for _, verse in words})
            columns = measure.ink.timings[self._part].columns
            for index, event in enumerate(voices[0].events if voices else ()):
                if not event.notes:
                    self._rest()
                    continue
                x = measure.xs[columns[0][index]]
                for number in range(self._count):
                    sung = words.get((index, number))
                    if sung is None:
                        self._hold(number, x)
                    else:
                        location = sung.syllable.location
                        source = Source(location.line, location.column, "", measure.measure.index + 1)
                        broken = Sung(measure.measure.index, index, number) in self._broken
                        left = next(lefts[number])
                        placed.append(self._syllable(sung, x, left, source=source, broken=broken))
        self._end_line(frame)
        if placed or self._strokes:
            self._draw(canvas, placed)

    def _silence(self, singing: Set[int]) -> None:
        """End what verses hold that have no syllable in a measure in which others, `singing`, have: they are silent there."""
        for number, verse in self._verses.items():
            if singing and number not in singing and verse.extends and not verse.hyphen:
                self._close(number, verse, verse.held_to + self._words.size)
                verse.extends = False

    def _syllable(self, sung: SungWord, x: float, left: float, source: Source, broken: bool) -> _Placed:
        number, syllable, width = sung.verse, sung.syllable, sung.width
        verse = self._verses.setdefault(number, _Verse())
        # Under the first note of a line a syllable has no room before it, and the line before ended with the hyphen.
        if not verse.hyphen or x > self._start:
            self._close(number, verse, left)
        self._verses[number] = _Verse(
            right=left + width,
            hyphen=syllable.hyphen,
            broken=broken,
            extends=syllable.extends,
            held_to=x + 2 * self._centre,
            started=True,
            source=source,
        )
        return _Placed(
            verse=number,
            column=x,
            left=left,
            width=width,
            text=syllable.text,
            source=source,
            first=not verse.started,
        )

    def _hold(self, number: int, x: float) -> None:
        verse = self._verses.get(number)
        if verse is not None and (verse.extends or verse.hyphen):
            verse.held_to = x + 2 * self._centre

    def _rest(self) -> None:
        for number, verse in self._verses.items():
            if verse.hyphen and verse.broken:
                self._close(number, verse, verse.held_to)
                verse.hyphen = verse.extends = False
            elif verse.extends and not verse.hyphen:
                self._close(number, verse, verse.held_to + self._words.size)
                verse.extends = False

    def _close(self, number: int, verse: _Verse, left: float) -> None:
        """Draw what stands between the last syllable and the next, which starts at `left`."""
        size = self._words.size
        if verse.hyphen:
            self._hyphens(number, verse.right, left, verse.source)
        elif verse.extends:
            start = verse.right + self._style.words.extender_start * size
            stop = min(verse.held_to, left - self._style.words.extender_start * size)
            if stop - start > 0.5 * size:
                self._strokes.append((number, "extender", start, stop, verse.source))

    def _hyphens(self, number: int, left: float, right: float, source: Source) -> None:
        width = self._style.words.hyphen_width * self._words.size
        room = max(right - left, width + 2 * self._style.words.hyphen_clear * self._words.size)
        count = max(1, int(room / self._style.stacking.hyphen_pitch))
        for i in range(count):
            middle = left + room * (i + 1) / (count + 1)
            self._strokes.append((number, "hyphen", middle - width / 2, middle + width / 2, source))

    def _end_line(self, frame: LineFrame) -> None:
        end = frame.measures[-1].right
        for number, verse in self._verses.items():
            self._close(number, verse, end if verse.hyphen else end + self._words.size)
            if verse.broken:
                verse.hyphen = verse.extends = False

    def _draw(self, canvas: StaffCanvas, placed: list[_Placed]) -> None:
        words, stacking = self._words, self._style.stacking
        pitch = words.size * self._style.words.line_pitch
        hyphen_y = self._face.x_height * words.size * 0.5
        numbers = self._number_lefts(placed)
        first = self._first_baseline(canvas, placed, numbers, pitch)
        for syllable in placed:
            y = first - syllable.verse * pitch
            text = printed_syllable(syllable.text)
            canvas.text(
                Role.LYRIC, syllable.left, y, text, face=words.face, size=words.size, source=syllable.source
            )
            self._draw_elisions(canvas, syllable, y)
            if syllable.verse in numbers:
                self._draw_number(canvas, syllable, numbers.pop(syllable.verse), y)
            canvas.lower.add(
                syllable.left, syllable.left + syllable.width, y - self._style.words.lyric_depth * words.size
            )
        for verse, kind, left, right, source in self._strokes:
            y = first - verse * pitch
            if kind == "hyphen":
                canvas.line(
                    Role.LYRIC_HYPHEN,
                    left,
                    y + hyphen_y,
                    right,
                    y2=y + hyphen_y,
                    width=words.size * self._style.words.hyphen_line,
                    source=source,
                )
            else:
                canvas.line(Role.LYRIC_EXTENDER, left, y, right, y2=y, width=stacking.extender, source=source)
            canvas.lower.add(left, right, y)

    def _draw_elisions(self, canvas: StaffCanvas, syllable: _Placed, y: float) -> None:
        """A tie under each space that joins two syllables sung on one note."""
        size, notes = self._words.size, self._style.notes
        for index, character in enumerate(syllable.text):
            if character != ELISION:
                continue
            left = syllable.left + self._face.width(printed_syllable(syllable.text[:index]), size)
            right = left + self._face.width(" ", size)
            reach, drop = self._style.words.elision_reach * size, y - self._style.words.elision_drop * size
            outer, inner = arch_points(
                left - reach, drop, right + reach, drop, height=-self._style.words.elision_height * size,
                inset=notes.tie_inset, end=notes.tie_end, middle=notes.tie_middle,
            )  # fmt: skip
            canvas.marks.append(Curve(Role.ELISION, outer, inner, syllable.source))

    def _number_lefts(self, placed: list[_Placed]) -> dict[int, float]:
        """Where the number of each verse that starts on this line stands; in line where verses start together."""
        if self._count < 2:
            return {}
        starting = [syllable for syllable in placed if syllable.first]
        ends: dict[float, float] = {}
        for syllable in starting:
            ends[syllable.column] = min(ends.get(syllable.column, syllable.left), syllable.left)
        return {
            syllable.verse: ends[syllable.column] - verse_number_room(syllable.verse, self._style)
            for syllable in starting
        }

    def _first_baseline(
        self, canvas: StaffCanvas, placed: list[_Placed], numbers: dict[int, float], pitch: float
    ) -> float:
        """The baseline of the first verse: every syllable and number is clear of the ink above it."""
        words, stacking = self._words, self._style.stacking
        tops = [0.0]
        for syllable in placed:
            above = canvas.lower.height(syllable.left, syllable.left + syllable.width)
            tops.append(above + syllable.verse * pitch)
        ascent = self._face.ink("d", words.size).top
        number = self._style.words.verse_number
        digits = text_face(number.face).ink("1", number.size).top
        for verse, left in numbers.items():
            above = canvas.lower.height(left - stacking.sign_gap, left + self._number_width(verse))
            tops.append(above + verse * pitch + stacking.lyric_gap - stacking.sign_gap + ascent - digits)
        return min(tops) - stacking.lyric_gap - ascent

    def _number_width(self, verse: int) -> float:
        words = self._style.words.verse_number
        return text_face(words.face).width(f"{verse + 1}.", words.size)

    def _draw_number(self, canvas: StaffCanvas, syllable: _Placed, left: float, y: float) -> None:
        words = self._style.words.verse_number
        text = f"{syllable.verse + 1}."
        canvas.text(
            Role.VERSE_NUMBER, left, y, text, face=words.face, size=words.size, source=syllable.source
        )
        canvas.lower.add(left, left + self._number_width(syllable.verse), y)


class Sung(NamedTuple):
    """A syllable of a part's first voice: the measure's index, the event's number in it and the verse."""

    measure: int
    event: int
    verse: int


def find_broken_words(part: Part) -> frozenset[Sung]:
    """The syllables with a hyphen after which a measure of silence, or the end, comes before the next syllable.

    A word may go on after a rest, but not after a whole measure of them (house rule).
    """
    open_words: dict[int, Sung] = {}
    broken: set[Sung] = set()
    for index, measure in enumerate(part.measures):
        events = measure.voices[0].events if measure.voices else ()
        if not any(event.notes for event in events):
            broken.update(open_words.values())
            open_words = {}
        for number, event in enumerate(events):
            for verse, syllable in enumerate(event.lyrics):
                if syllable is None:
                    continue
                open_words.pop(verse, None)
                if syllable.hyphen:
                    open_words[verse] = Sung(index, number, verse)
    return frozenset(broken | set(open_words.values()))
