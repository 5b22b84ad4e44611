"""A score told in words, measure by measure, as a teacher tells it to a student who cannot see the page."""

from __future__ import annotations

from collections.abc import Iterator

from engrave.exchange.words.depth import Depth
from engrave.exchange.words.measures import tell_part
from engrave.exchange.words.outline import Outline, Section
from engrave.exchange.words.overview import tell_overview
from engrave.exchange.words.speech import Speaker, speaker_of
from engrave.score.structure import NewLine, Score
from engrave.style.wordbook import fill
from engrave.theory.numbering import name_measures

Losses = list[tuple[str, str]]
"""What has no words, and where in the music."""


def tell_score(score: Score, depth: Depth, language: str = "") -> tuple[Outline, Losses]:
    """The score in words in `language` (a BCP 47 tag; "" for the score's own, else English), and what has no words."""
    speaker = speaker_of(language or score.language)
    sections = [tell_overview(score, speaker)]
    if depth is not Depth.OVERVIEW:
        sections.extend(_parts(score, speaker, depth is Depth.NOTES))
    return _outline(score, speaker, tuple(sections)), list(_losses(score))


def _parts(score: Score, speaker: Speaker, every_note: bool) -> Iterator[Section]:
    for part in score.parts:
        yield Section(speaker.book.part_name(part), sections=tell_part(score, part, speaker, every_note))


def _outline(score: Score, speaker: Speaker, sections: tuple[Section, ...]) -> Outline:
    book = speaker.book
    title = book.title(score.title)
    own = score.language if score.title else ""
    return Outline(title, score.subtitle, tuple(_credits(score, speaker)), sections, book.language, own)


def _credits(score: Score, speaker: Speaker) -> Iterator[str]:
    page, credits = speaker.book.page, score.credits
    if credits.music and credits.music == credits.words:
        yield fill(page.words_and_music_by, credits.music)
    else:
        said = ((page.words_by, credits.words), (page.music_by, credits.music))
        yield from (fill(words, who) for words, who in said if who)
    if credits.arrangement:
        yield fill(page.arranged_by, credits.arrangement)
    if score.copyright:
        yield score.copyright


def _losses(score: Score) -> Iterator[tuple[str, str]]:
    """What only a page has, and where."""
    found = {
        "breaks of lines and pages have no words": [m for m in score.measures if m.new is not NewLine.NONE],
        "counts under the notes have no words": [m for m in score.measures if m.counting],
    }
    necks = {index for part in score.parts for index, own in enumerate(part.measures) if own.neck is not None}
    found["neck diagrams have no words"] = [measure for measure in score.measures if measure.index in necks]
    for what, measures in found.items():
        if measures:
            yield what, name_measures([str(measure.number) for measure in measures])
