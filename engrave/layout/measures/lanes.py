"""Words that need room along the music: syllables verse by verse, chord names, words that start at a note, the count."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.measures.digits import DigitMeasurer
from engrave.layout.measures.timing import PartTiming
from engrave.layout.measures.words import MeasureWords, lyric_gap
from engrave.score.sign_list import HAIRPINS, SPANS
from engrave.score.structure import Event, PartMeasure, SpanAt
from engrave.style.sections import Style
from engrave.theory.numbering import roman


class LaneItem(NamedTuple):
    """A word at a column: its reach to the left and right, and the white it keeps to the next one, in staff spaces.

    Words may `lean` so far off their place; the first of a measure never to the left. `overhangs`: it may reach past
    the barline.
    """

    column: int
    left: float
    right: float
    gap: float
    lean: float = 0.0
    overhangs: bool = False


Lane = tuple[LaneItem, ...]
Rod = tuple[int, int, float]
"""From a column to another, at least so much room, in staff spaces."""


_START = Fraction(0)
_DYNAMIC_NAMES = {
    "p": "Piano",
    "f": "Forte",
    "fp": "FortePiano",
    "sf": "Sforzando1",
    "sfz": "Sforzato",
    "sffz": "SforzatoFF",
    "sfp": "SforzandoPiano",
    "rf": "Rinforzando1",
    "rfz": "Rinforzando2",
    "fz": "Forzando",
    "n": "Niente",
}


def dynamic_glyph(text: str) -> str:
    """The symbol of a dynamic: "mf", "sfz", "ppp"."""
    return f"dynamic{_DYNAMIC_NAMES.get(text, text.upper())}"


def dynamic_width(text: str, face: MusicFace) -> float:
    """The width of a dynamic's ink in staff spaces."""
    box = face.glyph(dynamic_glyph(text)).box
    return box.right - box.left


def span_letters(span: SpanAt, letters: str) -> str:
    """What is written where a span starts: the sign's `letters` and the fret in Roman numerals: "C V"."""
    return letters + (roman(int(span.detail)) if span.detail else "")


class LaneReader:
    """Measures the lanes of each measure: chord names, dynamics, counts, words over notes, necks, then one lane a verse."""

    def __init__(self, style: Style, music: MusicFace, centre: float) -> None:
        """`centre` is the distance from a column to the middle of its heads."""
        self._style = style
        self._music = music
        self._centre = centre
        self._digits = DigitMeasurer(style)
        self._span_orders = sorted({style.signs[name].order for name in SPANS if name not in HAIRPINS})

    def read(
        self, part: PartMeasure, words: MeasureWords, columns: dict[Fraction, int], timing: PartTiming
    ) -> tuple[Lane, ...]:
        """The lanes of one part's measure, whose words have been measured."""
        lanes: list[Lane] = [self._chord_lane(words, columns), self._dynamic_lane(part, columns)]
        lanes.append(self._counting_lane(words, columns))
        lanes.append(self._word_lane(part, columns))
        lanes.append(self._neck_lane(words, columns))
        lanes.extend(self._span_lanes(part, columns))
        verses = max((sung.verse + 1 for sung in words.lyrics), default=0)
        lanes.extend(self._verse_lane(words, verse, timing.columns[0]) for verse in range(verses))
        return tuple(lanes)

    def _chord_lane(self, words: MeasureWords, columns: dict[Fraction, int]) -> Lane:
        gap = self._style.spacing.chord_gap * self._style.words.chord_name.size
        return tuple(
            [
                LaneItem(
                    columns[chord.onset],
                    block.left,
                    block.right,
                    gap if block.grid is None else self._style.grids.apart,
                )
                for chord, block in words.chords
            ]
        )

    def _dynamic_lane(self, part: PartMeasure, columns: dict[Fraction, int]) -> Lane:
        gap = self._style.stacking.sign_gap
        items = []
        for dynamic in part.dynamics:
            half = dynamic_width(dynamic.text, self._music) / 2
            items.append(LaneItem(columns[dynamic.onset], half - self._centre, half + self._centre, gap))
        return tuple(items)

    def _counting_lane(self, words: MeasureWords, columns: dict[Fraction, int]) -> Lane:
        gap = self._style.spacing.lyric_gap * self._style.words.counting.size
        return tuple(
            [
                LaneItem(columns[word.onset], -word.start, word.start + word.width, gap)
                for word in words.counted
            ]
        )

    def _neck_lane(self, words: MeasureWords, columns: dict[Fraction, int]) -> Lane:
        if words.neck is None:
            return ()
        return (LaneItem(columns[_START], 0.0, words.neck.width, self._style.necks.apart),)

    def _word_lane(self, part: PartMeasure, columns: dict[Fraction, int]) -> Lane:
        """Words that start at a note and stand in one row: each ends before the barline and before the next one."""
        items: dict[int, LaneItem] = {}
        for voice in part.voices:
            for event in voice.events:
                width = self._word_width(event)
                if width:
                    column, gap = columns[event.onset], 2 * self._style.stacking.articulation_gap
                    known = items.get(column, LaneItem(column, 0.0, 0.0, gap))
                    left = max(known.left, self._digits_left(event))
                    items[column] = LaneItem(column, left, max(known.right, width), gap)
        return tuple(items[column] for column in sorted(items))

    def _word_width(self, event: Event) -> float:
        """The width of the longest word that starts at an event; 0 where none does."""
        words, signs = self._style.words.technique, self._style.signs
        shown = [signs[name] for name in event.signs if name in signs and signs[name].on != "none"]
        starting = [sign for sign in shown if sign.of == "start"]
        face = text_face(words.face)
        return max((face.width(sign.letters, words.size * sign.size) for sign in starting), default=0.0)

    def _digits_left(self, event: Event) -> float:
        """How far the digits of an event reach to the left of their column."""
        return self._digits.reach_left(event.notes) - self._centre

    def _span_lanes(self, part: PartMeasure, columns: dict[Fraction, int]) -> list[Lane]:
        """The letters of lines that last, a lane for each height: each is read before the next one starts."""
        if not part.spans:
            return [()] * len(self._span_orders)
        words, signs, gap = self._style.words.span, self._style.signs, self._style.stacking.sign_gap
        items: dict[float, dict[int, LaneItem]] = {order: {} for order in self._span_orders}
        for span in part.spans:
            sign = signs[span.name]
            if sign.order not in items or sign.on == "none" or span.onset not in columns:
                continue
            column = columns[span.onset]
            width = text_face(words.face).width(span_letters(span, sign.letters), words.size * sign.size)
            items[sign.order][column] = LaneItem(column, 0.0, width, gap, overhangs=True)
        return [tuple(lane[column] for column in sorted(lane)) for lane in items.values()]

    def _verse_lane(self, words: MeasureWords, verse: int, starts: Sequence[int]) -> Lane:
        return tuple(
            [
                LaneItem(
                    starts[sung.event],
                    -sung.start,
                    sung.start + sung.width,
                    lyric_gap(sung.syllable, self._style),
                    lean=sung.lean,
                )
                for sung in words.lyrics
                if sung.verse == verse
            ]
        )


def neighbour_rods(lane: Lane, following: Lane, end: int, lead: float) -> Iterator[Rod]:
    """What keeps each word of a measure from the next one, and the last from the barline at column `end`.

    `following` is the next measure's lane; `lead` lies between the barline and its first column. Words that lean share the way,
    but the first never leans to the left.
    """
    for index, item in enumerate(lane):
        lean = item.lean if index else 0.0
        if index + 1 < len(lane):
            after = lane[index + 1]
            yield item.column, after.column, item.right + item.gap + after.left - lean - after.lean
        else:
            yield item.column, end, _to_the_end(item, following, lead) - lean


def chain_rods(lane: Lane, following: Lane, lead: float, reach: Sequence[float]) -> Iterator[Rod]:
    """What rows of three words and more need, which their neighbours do not tell: only its first and its last can lean out of a row.

    `reach` is where each column stands at least, and the end of the measure.
    """
    end = len(reach) - 1
    final = len(lane) - 1
    for index in range(final):
        item = lane[index]
        needed = item.right + item.gap - (item.lean if index else 0.0)
        for number in range(index + 1, len(lane)):
            after = lane[number]
            room = reach[after.column] - reach[item.column]
            least = needed + after.left - after.lean
            if least > room and number > index + 1:
                yield item.column, after.column, least
            if least + 2 * after.lean <= room:
                break  # the row does not push this word: what follows is its own row's business
            if number == final:
                yield item.column, end, needed + after.left + _to_the_end(after, following, lead)
            needed += after.left + after.right + after.gap


def _to_the_end(item: LaneItem, following: Lane, lead: float) -> float:
    """From the column of the last word of a measure to its barline."""
    least = item.right if item.lean else item.right + item.gap / 2
    if following and following[0].column == 0:
        least = max(least, item.right + item.gap + following[0].left - lead)
    return least
