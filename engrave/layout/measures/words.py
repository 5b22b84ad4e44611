"""The words along the music of one measure, measured once: chord names, the syllables of the count, those of the lyrics."""

from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.measures.chord_names import ChordBlock, ChordBlockMeasurer
from engrave.layout.text.apostrophes import printed_words
from engrave.score.structure import ChordAt, Measure, Part, PartMeasure, Score, Syllable
from engrave.style.sections import Style
from engrave.theory.counting import count_syllables

if TYPE_CHECKING:  # loaded for music that has necks
    from engrave.layout.titled_neck import NeckItem

ELISION = "‿"
"""Joins two syllables that are sung on one note (Unicode: undertie)."""


def printed_syllable(text: str) -> str:
    """A syllable as it is set: spaces over the ties that join its parts, curved apostrophes."""
    return printed_words(text.replace(ELISION, " "))


def decide_syllable_start(syllable: Syllable, width: float, centre: float) -> float:
    """Where a syllable starts from its column: centred under the head, or at its left edge when it is held on (common practice, no source)."""
    return 0.0 if syllable.extends and width > 2 * centre else centre - width / 2


class ChordInWords(NamedTuple):
    """A chord of a measure, and its name and grid as measured."""

    chord: ChordAt
    block: ChordBlock


class WordAt(NamedTuple):
    """A word at a moment of its measure: `start` is its left edge from the column, in staff spaces like `width`."""

    onset: Fraction
    text: str
    start: float
    width: float


def decide_lean(width: float, share: float, most: float) -> float:
    """How far a syllable may stand off its place under its note before spacing widens: `share` of its width, at most `most`.

    Long syllables may lean rather than make even notes uneven (common practice, no source).
    """
    return min(share * width, most)


def lyric_gap(syllable: Syllable, style: Style) -> float:
    """The white that a syllable keeps to the next one, in staff spaces: room for a hyphen, or between words."""
    spacing = style.spacing
    return (spacing.hyphen_room if syllable.hyphen else spacing.lyric_gap) * style.words.lyric.size


class SungWord(NamedTuple):
    """A syllable of a verse (from 0) under the event of this number in the first voice, with its left edge and its width as in `WordAt`.

    `lean` is how far it may be moved off that place; `is_steady`, never to the left, for it is the first of its measure.
    """

    event: int
    verse: int
    syllable: Syllable
    start: float
    width: float
    lean: float
    is_steady: bool


class MeasureWords(NamedTuple):
    """The words of one part in one measure, each row in order of time; lyrics event by event, then verse by verse."""

    chords: tuple[ChordInWords, ...] = ()
    counted: tuple[WordAt, ...] = ()
    lyrics: tuple[SungWord, ...] = ()
    neck: "NeckItem | None" = None


NO_WORDS = MeasureWords()
"""What most measures have (fact)."""


class WordMeasurer:
    """Measures the words of one score."""

    def __init__(self, score: Score, style: Style, centre: float) -> None:
        """`centre` is the distance from a column to the middle of its heads."""
        self._style = style
        self._centre = centre
        self._blocks = ChordBlockMeasurer(score, style, centre)
        self._lyric_face = text_face(style.words.lyric.face)
        self._left_handed = score.left_handed

    def measure(self, part: Part, measure: Measure) -> MeasureWords:
        """The words of `part` in `measure`."""
        content = part.measures[measure.index]
        chords = tuple([ChordInWords(chord, self._blocks.measure(chord)) for chord in content.chords])
        counted = self._counted(measure, content) if measure.counting and part.is_fretted else ()
        lyrics = self._lyrics(content)
        if content.neck is not None:
            from engrave.layout.titled_neck import fit_over_music

            neck = fit_over_music(content.neck.diagram, self._left_handed, self._style)
            return MeasureWords(chords, counted, lyrics, neck)
        return MeasureWords(chords, counted, lyrics) if chords or counted or lyrics else NO_WORDS

    def _counted(self, measure: Measure, content: PartMeasure) -> tuple[WordAt, ...]:
        """The syllables of the count, centred under the heads; beats at which nothing starts stand in parentheses.

        Nothing in measures without music.
        """
        onsets = sorted({event.onset for voice in content.voices for event in voice.events if event.notes})
        if not onsets:
            return ()
        syllables = count_syllables(
            measure.metre,
            onsets,
            measure.metre_offset,
            words=self._style.wordbook.counting,
            all_beats=True,
            length=measure.length,
        )
        words = self._style.words.counting
        face = text_face(words.face)
        widths = [face.width(text, words.size) for _, text in syllables]
        return tuple(
            WordAt(onset, text, self._centre - width / 2, width)
            for (onset, text), width in zip(syllables, widths, strict=True)
        )

    def _lyrics(self, content: PartMeasure) -> tuple[SungWord, ...]:
        sung: list[SungWord] = []
        seen: set[int] = set()
        spacing = self._style.spacing
        for number, event in enumerate(content.voices[0].events if content.voices else ()):
            for verse, syllable in enumerate(event.lyrics):
                if syllable is not None:
                    width = self._lyric_face.width(
                        printed_syllable(syllable.text), self._style.words.lyric.size
                    )
                    start = decide_syllable_start(syllable, width, self._centre)
                    lean = decide_lean(width, spacing.lyric_lean, spacing.lyric_lean_most)
                    is_steady = verse not in seen
                    seen.add(verse)
                    sung.append(
                        SungWord(number, verse, syllable, start, width, lean=lean, is_steady=is_steady)
                    )
        return tuple(sung)
