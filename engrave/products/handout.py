"""A lesson handout as a document."""

from __future__ import annotations

from collections.abc import Iterator

from engrave.documents.handout import Beside, Handout, Music, Signs
from engrave.layout.characters import check_characters
from engrave.layout.handout.document import place_handout
from engrave.marks.mark import PlacedDocument
from engrave.problems import Problem, ProblemLog, Severity
from engrave.products.sheet import fit_style
from engrave.products.spoken import warn_of_english
from engrave.products.wish import Wish
from engrave.reading.handout_reader import HandoutReader
from engrave.reading.load import file_log
from engrave.reading.sign_examples import read_sign_examples
from engrave.score.spans import used_signs
from engrave.score.structure import Score
from engrave.source.schema import check_form, find_faulty
from engrave.source.tree import SourceMap
from engrave.style.load import load_style
from engrave.style.sections import Style

_USUAL_STYLE = "handout"


def place(
    tree: SourceMap, lines: list[str], path: str, wish: Wish, log: ProblemLog
) -> tuple[PlacedDocument | None, tuple[Problem, ...]]:
    """The pages of a handout, None when something is wrong; and all problems."""
    reader = HandoutReader(lines, path, log)
    is_right = check_form(tree, "handout", log)
    faulty = None if is_right else find_faulty(tree, "handout", "content")
    handout = reader.read(tree, faulty or frozenset()) if is_right or faulty is not None else None
    name, asked = wish.style_of(tree, _USUAL_STYLE)
    language = str(tree.get("language", ""))
    style, style_log = load_style(name, path, tree.get("house-style"), language, asked)
    elsewhere = [*reader.elsewhere, *(_check_faces(reader, lines, style, log) if style is not None else ())]
    if handout is not None and style is not None:
        style = fit_style(style, handout.paper_size, wish.paper_size, tree, log)
    music = list(_music(handout)) if handout is not None else []
    if handout is not None:
        told = {language: tree.value_location("language")}
        for item in music:
            told.setdefault(item.score.language, item.location)
        for own, place in told.items():
            warn_of_english(own, place, log)
    problems = (*log.in_order(), *dict.fromkeys(elsewhere), *style_log.in_order())
    if handout is None or style is None or any(problem.severity is Severity.ERROR for problem in problems):
        return None, problems
    spoken = {"": style}
    for own in {item.score.language for item in music} - {""}:
        other, _ = load_style(name, path, tree.get("house-style"), own)
        assert other is not None  # it is right in one language, so in all
        spoken[own] = other
    return place_handout(handout, reader.numbers, _examples(handout), style, spoken), problems


def _music(handout: Handout) -> Iterator[Music]:
    """All music of a handout, in its order."""
    for item in handout.items:
        if isinstance(item, Music):
            yield item
        elif isinstance(item, Beside):
            yield from item.items


def _check_faces(reader: HandoutReader, lines: list[str], style: Style, log: ProblemLog) -> Iterator[Problem]:
    """What in the scores cannot be printed: as problems of their files, or to `log` where they stand in the handout."""
    for score, own_lines in reader.files:
        if own_lines is lines:
            check_characters(score, style, log, lines)
        else:
            own = file_log(score.file)
            check_characters(score, style, own, own_lines)
            yield from own.in_order()


def _examples(handout: Handout) -> dict[str, Score]:
    """The examples of the signs that the handout's music uses; nothing where no key is wanted."""
    if not any(isinstance(item, Signs) for item in handout.items):
        return {}
    scores = [music.score for music in _music(handout)]
    return read_sign_examples(dict.fromkeys(sign for score in scores for sign in used_signs(score)))
