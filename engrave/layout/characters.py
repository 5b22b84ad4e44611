"""Every word of a score against the face it will be set in: what cannot be printed is refused by name and place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from engrave.fonts.text_setting import missing_words, say_missing
from engrave.layout.measures.words import printed_syllable
from engrave.layout.text.heading_words import decide_heading
from engrave.problems import NOWHERE, Location, ProblemLog, find_in_lines
from engrave.score.structure import Score
from engrave.style.sections import Style


def check_characters(score: Score, style: Style, log: ProblemLog, lines: Sequence[str] = ()) -> None:
    """Report each word that no face can print, with the characters that are lacking and where it stands.

    What stands on some pages only, such as a running head, is found on those pages (`check_printable`).

    `lines` are those of the score's file, in which what has no place of its own is looked for.
    """
    _check(_words(score, style), lines, log)


def check_title(title: str, style: Style, location: Location, log: ProblemLog) -> None:
    """Report each word that no face can print in a title that stands at `location`."""
    _check([(title, style.words.title.face, location, "title")], (), log)


def check_head(title: str, style: Style, location: Location, log: ProblemLog) -> None:
    """Report each word that no face can print in a running head; its song stands at `location`."""
    _check([(title, style.words.running_head.face, location, "running head")], (), log)


def _check(words: Iterable[tuple[str, str, Location, str]], lines: Sequence[str], log: ProblemLog) -> None:
    told: set[tuple[str, Location]] = set()
    for text, face, location, what in words:
        for missing in missing_words(text, face):
            spot = location
            for sought in () if location.line else (missing.word, missing.characters[0]):
                spot = find_in_lines(sought, lines)
                if spot.line:
                    break
            if (missing.word, spot) in told:
                continue
            told.add((missing.word, spot))
            wrong, hint = say_missing(missing)
            log.error(spot, wrong, what, hint)


def _words(score: Score, style: Style) -> Iterator[tuple[str, str, Location, str]]:
    words = style.words
    for line in decide_heading(score, style):
        for piece in line:
            yield piece.text, piece.style.face, NOWHERE, piece.what
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
