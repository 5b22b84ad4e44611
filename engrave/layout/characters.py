"""Every word of a score against the face it will be set in: what cannot be printed is refused by name and place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import say_missing
from engrave.layout.measures.words import printed_syllable
from engrave.layout.text.heading_words import decide_heading
from engrave.problems import NOWHERE, Location, ProblemLog, find_in_lines
from engrave.score.structure import Score
from engrave.style.sections import Style


def check_characters(score: Score, style: Style, log: ProblemLog, lines: Sequence[str] = ()) -> None:
    """Report each character that no face has: the character, its code point, and where it stands.

    `lines` are those of the score's file, in which what has no place of its own is looked for.
    """
    _check(_words(score, style), lines, log)


def check_title(title: str, style: Style, location: Location, log: ProblemLog) -> None:
    """Report each character that no face has in a title that stands at `location`."""
    faces = (style.words.title.face, style.words.running_head.face)
    _check(((title, face, location, "title") for face in faces), (), log)


def _check(words: Iterable[tuple[str, str, Location, str]], lines: Sequence[str], log: ProblemLog) -> None:
    told: set[tuple[str, Location]] = set()
    for text, face, location, what in words:
        for character in text_face(face).missing(text):
            spot = location if location.line else find_in_lines(character, lines)
            if (character, spot) in told:
                continue
            told.add((character, spot))
            wrong, hint = say_missing(character, face)
            log.error(spot, wrong, what, hint)


def _words(score: Score, style: Style) -> Iterator[tuple[str, str, Location, str]]:
    words = style.words
    for line in decide_heading(score, style):
        for piece in line:
            yield piece.text, piece.style.face, NOWHERE, piece.what
    yield score.title, words.running_head.face, NOWHERE, "title"
    yield score.copyright, words.copyright.face, NOWHERE, "copyright"
    for measure in score.measures:
        where = f"measure {measure.number}"
        if measure.label:
            yield measure.label, words.label.face, measure.location, f"label, {where}"
        if measure.tempo is not None and measure.tempo.words:
            yield measure.tempo.words, words.tempo.face, measure.tempo.location, f"tempo, {where}"
    for part in score.parts:
        yield style.wordbook.part_name(part), words.part_name.face, NOWHERE, "part name"
        for measure, content in zip(score.measures, part.measures, strict=True):
            where = f"{part.name}, measure {measure.number}"
            for text in content.texts:
                yield text.text, words.text.face, text.location, f"text, {where}"
            for voice in content.voices:
                for event in voice.events:
                    for syllable in event.lyrics:
                        if syllable is not None:
                            yield (
                                printed_syllable(syllable.text),
                                words.lyric.face,
                                syllable.location,
                                f"lyrics, {where}",
                            )
