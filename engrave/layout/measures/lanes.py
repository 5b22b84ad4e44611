"""Words that need room along the music: syllables verse by verse, chord names, words that start at a note, the count."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.measures.chord_names import ChordBlockMeasurer
from engrave.layout.measures.digits import DigitMeasurer
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Measure, PartMeasure, Syllable
from engrave.style.sections import Style
from engrave.theory.counting import CountingWords, count_syllables


class LaneItem(NamedTuple):
    """A word at a column: its reach to the left and right, and the white it keeps to the next one, in staff spaces."""

    column: int
    left: float
    right: float
    gap: float


Lane = tuple[LaneItem, ...]


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


STARTING_WORDS = (SignName.FADE_IN, SignName.FADE_OUT, SignName.VOLUME_SWELL)
"""Signs whose letters start at the left edge of their note: what they say begins there."""

ELISION = "‿"
"""Joins two syllables that are sung on one note (Unicode: undertie)."""


def printed_syllable(text: str) -> str:
    """A syllable as it is set: spaces over the ties that join its parts."""
    return text.replace(ELISION, " ")


def decide_syllable_start(syllable: Syllable, width: float, centre: float) -> float:
    """Where a syllable starts from its column: centred under the head, or at its left edge when it is held on (common practice, no source)."""
    return 0.0 if syllable.extends and width > 2 * centre else centre - width / 2


class LaneReader:
    """Measures the lanes of each measure: chord names, dynamics, counts, words over notes, then one lane a verse."""

    def __init__(self, style: Style, chords: ChordBlockMeasurer, music: MusicFace, centre: float) -> None:
        """`centre` is the distance from a column to the middle of its heads."""
        self._style = style
        self._chords = chords
        self._music = music
        self._centre = centre
        self._digits = DigitMeasurer(style)
        self._face = text_face(style.words.lyric.face)

    def read(
        self,
        part: PartMeasure,
        columns: dict[Fraction, int],
        counted: Sequence[tuple[Fraction, str]] = (),
    ) -> tuple[Lane, ...]:
        """The lanes of one part's measure; `counted` are the syllables of its count."""
        lanes: list[Lane] = [self._chord_lane(part, columns), self._dynamic_lane(part, columns)]
        lanes.append(self._counting_lane(counted, columns))
        lanes.append(self._word_lane(part, columns))
        events = [event for event in part.voices[0].events if event.lyrics] if part.voices else []
        verses = max((len(event.lyrics) for event in events), default=0)
        lanes.extend(self._verse_lane(events, verse, columns) for verse in range(verses))
        return tuple(lanes)

    def _chord_lane(self, part: PartMeasure, columns: dict[Fraction, int]) -> Lane:
        gap = self._style.spacing.chord_gap * self._style.words.chord_name.size
        blocks = [(chord, self._chords.measure(chord)) for chord in part.chords]
        return tuple(
            LaneItem(
                columns[chord.onset],
                block.left,
                block.right,
                gap if block.grid is None else self._style.grids.apart,
            )
            for chord, block in blocks
        )

    def _dynamic_lane(self, part: PartMeasure, columns: dict[Fraction, int]) -> Lane:
        gap = self._style.stacking.sign_gap
        items = []
        for dynamic in part.dynamics:
            half = dynamic_width(dynamic.text, self._music) / 2
            items.append(LaneItem(columns[dynamic.onset], half - self._centre, half + self._centre, gap))
        return tuple(items)

    def _counting_lane(self, counted: Sequence[tuple[Fraction, str]], columns: dict[Fraction, int]) -> Lane:
        words = self._style.words.counting
        face = text_face(words.face)
        items = []
        for onset, syllable in counted:
            half = face.width(syllable, words.size) / 2
            gap = self._style.spacing.lyric_gap * words.size
            items.append(LaneItem(columns[onset], half - self._centre, half + self._centre, gap))
        return tuple(items)

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
        names = event.signs
        starting = [signs[name] for name in STARTING_WORDS if name in names and signs[name].on != "none"]
        face = text_face(words.face)
        return max((face.width(sign.letters, words.size * sign.size) for sign in starting), default=0.0)

    def _digits_left(self, event: Event) -> float:
        """How far the digits of an event reach to the left of their column."""
        return self._digits.reach_left(event.notes) - self._centre

    def _verse_lane(self, events: list[Event], verse: int, columns: dict[Fraction, int]) -> Lane:
        spacing, size = self._style.spacing, self._style.words.lyric.size
        items = []
        for event in events:
            syllable = event.lyrics[verse] if verse < len(event.lyrics) else None
            if syllable is None:
                continue
            width = self._face.width(printed_syllable(syllable.text), size)
            start = decide_syllable_start(syllable, width, self._centre)
            gap = spacing.hyphen_room if syllable.hyphen else spacing.lyric_gap
            items.append(LaneItem(columns[event.onset], -start, start + width, gap * size))
        return tuple(items)


def measure_count(measure: Measure, part: PartMeasure, words: CountingWords) -> list[tuple[Fraction, str]]:
    """The syllables of the count, (onset, syllable); beats at which nothing starts stand in parentheses.

    Nothing where no count is wanted, and in measures without music.
    """
    onsets = sorted({event.onset for voice in part.voices for event in voice.events if event.notes})
    if not measure.counting or not onsets:
        return []
    return count_syllables(
        measure.metre, onsets, measure.metre_offset, words=words, all_beats=True, length=measure.length
    )
