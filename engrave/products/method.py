"""A method book as a document."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from engrave.documents.handout import Music, Piece, music_of
from engrave.documents.method import Method, MethodIndex, SignKey
from engrave.layout.method.book import MethodSheets, PlacedMethod, place_method
from engrave.layout.method.index_rows import has_entries
from engrave.marks.mark import PlacedDocument
from engrave.problems import ProblemLog
from engrave.products.handout import check_faces, check_necks, check_recordings, has_signs
from engrave.products.looks import find_style, fit_style, warn_of_english
from engrave.products.product import Finished, Source, Work
from engrave.reading.load import file_log
from engrave.reading.method_reader import ChapterFaults, MethodReader, find_chapter_faults
from engrave.reading.sign_examples import read_sign_examples
from engrave.requests.pages import Looks
from engrave.score.used_signs import used_signs
from engrave.source.schema import check_form
from engrave.style.sections import Style

_USUAL_STYLE = "method"


class StyledMethod(NamedTuple):
    """A method, its style, and the style in each language that its music speaks."""

    method: Method
    style: Style
    spoken: Mapping[str, Style]
    reader: MethodReader


class MethodProduct:
    """Chapters of words and music become a book."""

    def read(self, source: Source, looks: Looks) -> StyledMethod | None:
        """The method and its style, in every language it needs."""
        tree, log = source.tree, source.log
        reader = MethodReader(source.lines, source.path, log)
        faults = ChapterFaults() if check_form(tree, "method", log) else find_chapter_faults(tree)
        method = reader.read(tree, faults) if faults is not None else None
        source.elsewhere.extend(reader.elsewhere)
        changes, language = tree.get("house-style"), str(tree.get("language", ""))
        style = find_style(source, looks, changes, language, _USUAL_STYLE)
        if style is not None:
            for chapter in reader.readers:
                source.elsewhere.extend(check_faces(chapter, source.lines, style, log))
        if method is None:
            return None
        method = method._replace(edition=looks.edition or method.edition)
        warn_of_english(language, tree.value_location("language"), log)
        if style is not None:
            style = fit_style(style, method.paper_size, looks.sheet.paper_size, tree, log)
        if style is None:
            return None
        _check_room(method, style, source)
        spoken = {"": style}
        for own in {music.score.language for music in _music(method)} - {""}:
            other = find_style(source, looks, changes, own, _USUAL_STYLE)
            other = other and fit_style(other, method.paper_size, looks.sheet.paper_size, tree, log)
            if other is not None:
                spoken[own] = other
        return StyledMethod(method, style, spoken, reader)

    def check(self, document: StyledMethod, source: Source, hand: str) -> None:
        """The music of a method is meant to stretch its pupil."""

    def place(self, document: StyledMethod, source: Source, work: Work) -> PlacedMethod | None:
        """The pages of the book."""
        if source.failed:
            return None
        method, style, spoken, reader = document
        method = _fill_indexes(method, source, style)
        placed = place_method(method, reader.targets.found, _sheets(method, style, spoken))
        _warn_of_turns(method, placed, source)
        return placed

    def pages(self, placed: PlacedMethod) -> PlacedDocument:
        """The placed marks of all pages."""
        return placed.document

    def draw(self, placed: PlacedMethod) -> Finished:
        """The pages as a PDF file with an outline. Raises `MissingCharacter`."""
        from engrave.drawing.pdf.draw import assemble_pdf, draw_pages
        from engrave.drawing.pdf.drawn import Bookmark

        document = placed.document
        marks = [
            Bookmark(entry.title, entry.page, entry.depth, f"outline.{number}")
            for number, entry in enumerate(placed.outline)
        ]
        title, author, language = document.title, document.author, document.language
        pdf = assemble_pdf(draw_pages(document), title, author, language, marks)
        return Finished(pdf, title, author, language)


def _check_room(method: Method, style: Style, source: Source) -> None:
    """Report addresses that are too long for a code, and necks that are too wide."""
    for chapter in method.chapters:
        log = source.log if chapter.file == source.log.file else file_log(chapter.file)
        check_recordings(chapter.items, style, log)
        check_necks(chapter.items, style, log)
        if log is not source.log:
            source.elsewhere.extend(log.in_order())


def _music(method: Method) -> Iterator[Music | Piece]:
    for chapter in method.chapters:
        yield from music_of(chapter.items)


_ENTRIES = {
    MethodIndex.TECHNIQUE: "use signs in the music",
    MethodIndex.PIECE: "write some music as piece:",
    MethodIndex.CHORD: "write chord names over the music, or shapes:",
    MethodIndex.KEY: "give some music a caption",
}
"""What gives an index its entries."""


def _fill_indexes(method: Method, source: Source, style: Style) -> Method:
    """The method without indexes that would be empty; each of them is warned of."""
    kept = []
    for number, index in enumerate(method.indexes):
        if has_entries(index, method, style):
            kept.append(index)
            continue
        what = f'the index "{index.value}" is left out, as nothing in the book has an entry for it'
        hint = f"remove {index.value} from indexes, or {_ENTRIES[index]}"
        source.log.warning(source.tree["indexes"].item_location(number), what, hint=hint)
    return method._replace(indexes=tuple(kept))


def _sheets(method: Method, style: Style, spoken: Mapping[str, Style]) -> MethodSheets:
    """The examples of the signs that are explained somewhere, and which signs each chapter uses."""
    signs: dict[int, Sequence[str]] = {}
    new: dict[int, Sequence[str]] = {}
    known: dict[str, None] = {}
    for chapter in method.chapters:
        used = dict.fromkeys(sign for music in music_of(chapter.items) for sign in used_signs(music.score))
        signs[chapter.number] = list(used)
        new[chapter.number] = [sign for sign in used if sign not in known]
        known.update(used)
    is_wanted = method.sign_key is not SignKey.NONE or any(has_signs(c.items) for c in method.chapters)
    return MethodSheets(style, spoken, read_sign_examples(known) if is_wanted else {}, signs, new)


def _warn_of_turns(method: Method, placed: PlacedMethod, source: Source) -> None:
    """A word for every right-hand page that ends while the hands are busy."""
    files = {id(item): chapter.file for chapter in method.chapters for item in chapter.items}
    for turn in placed.turns:
        file = files[id(turn.piece)]
        log = source.log if file == source.log.file else ProblemLog(file)
        what = f"page {turn.page} must be turned while playing, after measure {turn.measure}"
        log.warning(turn.piece.location, what, turn.piece.title, "write start: left beside the piece")
        if log is not source.log:
            source.elsewhere.extend(log.in_order())
