"""A lesson handout as a document."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from engrave.documents.handout import Beside, Exercise, Handout, Item, Music, Necks, Piece, Signs, music_of
from engrave.layout.characters import check_characters
from engrave.layout.handout.document import place_handout
from engrave.layout.handout.items import beside_width, fit_necks
from engrave.layout.handout.recordings import check_code
from engrave.layout.neck_room import check_neck_room
from engrave.marks.mark import PlacedDocument
from engrave.problems import Problem, ProblemLog
from engrave.products.looks import bound_style, find_style, fit_style, warn_of_english
from engrave.products.product import PlacedPages, Source, Work
from engrave.reading.lesson_reader import LessonReader
from engrave.reading.load import file_log
from engrave.reading.sign_examples import read_sign_examples
from engrave.requests.pages import Looks
from engrave.score.structure import Score
from engrave.score.used_signs import used_signs
from engrave.source.schema import check_form, find_faulty
from engrave.style.sections import POINTS_PER_MM, Style

_USUAL_STYLE = "handout"


class StyledHandout(NamedTuple):
    """A handout, its style, the style in each language that its music speaks, and the measure numbers of its music."""

    handout: Handout
    style: Style
    spoken: Mapping[str, Style]
    reader: LessonReader


class HandoutProduct(PlacedPages):
    """Words, music and shapes become the pages of a lesson."""

    def read(self, source: Source, looks: Looks) -> StyledHandout | None:
        """The handout and its style, in every language it needs."""
        tree, log = source.tree, source.log
        reader = LessonReader(source.lines, source.path, log)
        is_right = check_form(tree, "handout", log)
        faulty = None if is_right else find_faulty(tree, "handout", "content")
        handout = reader.read(tree, faulty or frozenset()) if is_right or faulty is not None else None
        source.elsewhere.extend(reader.elsewhere)
        changes, language = tree.get("house-style"), str(tree.get("language", ""))
        style = find_style(source, looks, changes, language, _USUAL_STYLE)
        if style is not None:
            source.elsewhere.extend(check_faces(reader, source.lines, style, log))
        if handout is None:
            return None
        handout = handout._replace(edition=looks.edition or handout.edition)
        if style is not None:
            check_recordings(handout.items, style, log)
            style = fit_style(style, handout.paper_size, looks.sheet.paper_size, tree, log)
        music = list(music_of(handout.items))
        _warn_of_languages(source, language, music)
        if style is None:
            return None
        spoken = {"": style}
        for own in {item.score.language for item in music} - {""}:
            other = find_style(source, looks, changes, own, _USUAL_STYLE)
            if other is not None:
                spoken[own] = other
        return StyledHandout(handout, style, spoken, reader)

    def check(self, document: StyledHandout, source: Source, hand: str) -> None:
        """The music of a lesson is meant to stretch its pupil."""

    def place(self, document: StyledHandout, source: Source, work: Work) -> PlacedDocument | None:
        """The pages of the handout."""
        if source.failed:
            return None
        handout, style, spoken, reader = document
        own = bound_style(style, work.bound)
        check_necks(handout.items, own, source.log)
        if source.failed:
            return None
        return place_handout(handout, reader.targets.found, _examples(handout), own, spoken)


def _warn_of_languages(source: Source, language: str, music: Sequence[Music | Piece]) -> None:
    """A word for each language without a table: the handout's own, and those of its music."""
    told = {language: source.tree.value_location("language")}
    for item in music:
        told.setdefault(item.score.language, item.location)
    for own, place in told.items():
        warn_of_english(own, place, source.log)


def check_necks(items: Iterable[Item], style: Style, log: ProblemLog) -> None:
    """Tell each neck diagram that has no room, where it stands."""
    width = (style.paper.width - style.paper.margin_inner - style.paper.margin_outer) * POINTS_PER_MM
    for item in items:
        examples = item.items if isinstance(item, Beside) else (item,)
        for example in examples:
            if isinstance(example, Necks):
                try:
                    fit_necks(example, beside_width(width, len(examples), style), style)
                except ValueError as error:
                    log.error(example.location, str(error))
            if isinstance(example, Exercise):
                check_necks(example.answer, style, log)


def has_signs(items: Iterable[Item]) -> bool:
    """True where some item explains signs."""
    return any(isinstance(item, Signs) for item in items)


def check_recordings(items: Iterable[Item], style: Style, log: ProblemLog) -> None:
    """Report recordings whose address is too long for a code."""
    for music in music_of(items):
        if music.recording is not None:
            check_code(music.recording, style, log)


def check_faces(reader: LessonReader, lines: list[str], style: Style, log: ProblemLog) -> Iterator[Problem]:
    """What in the scores cannot be printed: as problems of their files, or to `log` where they stand in the handout."""
    for score, own_lines in reader.files:
        if own_lines is lines:
            check_characters(score, style, log, lines)
            check_neck_room(score, style, log)
        else:
            own = file_log(score.file)
            check_characters(score, style, own, own_lines)
            check_neck_room(score, style, own)
            yield from own.in_order()


def _examples(handout: Handout) -> dict[str, Score]:
    """The examples of the signs that the handout's music uses; nothing where no key is wanted."""
    if not has_signs(handout.items):
        return {}
    scores = [music.score for music in music_of(handout.items)]
    return read_sign_examples(dict.fromkeys(sign for score in scores for sign in used_signs(score)))
