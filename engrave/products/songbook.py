"""A songbook as a document: songs made apart, in several processes if wished, then put together."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from engrave.documents.songbook import Divider, Index, Side, Song, Songbook
from engrave.layout.characters import check_head
from engrave.layout.songbook.pages import BookPages, Row
from engrave.marks.mark import Anchor, Page, PlacedDocument
from engrave.problems import NOWHERE, Problem, ProblemLog
from engrave.products.cache import SongCache
from engrave.products.indexes import Listed, index_rows
from engrave.products.lay_out import check_printable
from engrave.products.looks import find_style, fit_style, style_name, warn_of_english
from engrave.products.product import Finished, Progress, Source, Work
from engrave.products.songs import SongJob, SongResult, make_song, read_facts
from engrave.products.workers import Workers
from engrave.reading.songbook_reader import read_songbook
from engrave.requests.pages import Looks
from engrave.score.structure import ExplainSigns
from engrave.source.inputs import note_inputs
from engrave.source.schema import check_form, find_faulty
from engrave.source.tree import SourceMap
from engrave.style.sections import Style

_USUAL_STYLE = "songbook"
_SOME_PAGE = 999
"""Stands for pages that are not known yet: contents are as long with any number of three digits."""


class _Placed(NamedTuple):
    """A song or a divider with the number of its first page; `result` is None for dividers."""

    entry: Song | Divider
    page: int
    result: SongResult | None
    name: str


class StyledBook(NamedTuple):
    """A songbook as its author wrote it, its style by name and in full, and what its songs are to look like."""

    book: Songbook
    named: str
    style: Style
    language: str
    looks: Looks


class PlacedBook(NamedTuple):
    """A book whose songs are made: every entry with its first page, and the pages before and after them."""

    book: Songbook
    entries: Sequence[_Placed]
    front: Sequence[Page]
    indexes: Sequence[Page]
    style: Style


class SongbookProduct:
    """Songs made apart become a book."""

    def read(self, source: Source, looks: Looks) -> StyledBook | None:
        """The book's own file and its style; songs are read when they are placed."""
        tree, log = source.tree, source.log
        is_right = check_form(tree, "songbook", log)
        faulty = None if is_right else find_faulty(tree, "songbook", "songs")
        can_read = is_right or faulty is not None
        book = (
            read_songbook(tree, source.lines, source.path, log, faulty or frozenset()) if can_read else None
        )
        language = str(tree.get("language", ""))
        style = find_style(source, looks, tree.get("house-style"), language, _USUAL_STYLE)
        if book is not None and style is not None:
            style = fit_style(style, book.paper_size, looks.sheet.paper_size, tree, log)
        if book is not None:
            warn_of_english(language, tree.value_location("language"), log)
        if book is None or style is None:
            return None
        return StyledBook(book, style_name(source, looks.style, _USUAL_STYLE)[0], style, language, looks)

    def check(self, document: StyledBook, source: Source, hand: str) -> None:
        """Songs are checked for a hand one by one, as scores."""

    def place(self, document: StyledBook, source: Source, work: Work) -> PlacedBook | None:
        """The songs, and where each of them starts."""
        jobs = _list_jobs(document, source.path, work.draws)
        cache = SongCache(work.cache)
        with Workers(_count_workers(work.jobs, len(jobs)), source.remark) as workers:
            jobs = _tell_known_signs(jobs, workers)
            results = list(_make_songs(jobs, workers, cache, work.progress))
        if cache.complaint:
            source.remark(cache.complaint)
        for result in results:
            note_inputs(dict(result.opened))
        for result in results:
            source.elsewhere.extend(result.problems)
        source.elsewhere.extend(_language_warnings(jobs, results, document.language))
        if source.log.has_errors or any(result.page_count is None for result in results):
            return None
        return _place_book(document, results, source)

    def pages(self, placed: PlacedBook) -> None:
        """Songs are drawn as soon as they are placed; their marks are not kept."""

    def draw(self, placed: PlacedBook) -> Finished:
        """The book as a PDF file."""
        book, style = placed.book, placed.style
        language = book.language or style.wordbook.language
        return Finished(_assemble(placed), book.title, book.author, language, opens_right=True)


def _place_book(document: StyledBook, results: list[SongResult], source: Source) -> PlacedBook | None:
    """The book put together; None when its own pages cannot be printed."""
    style, log = document.style, source.log
    book = _fill_indexes(document.book, source.tree, results, style, log)
    entries, front, indexes = _paginate(book, results, style)
    _warn_of_turns(entries, style, log)
    _check_heads(entries, style, log)
    placed = PlacedBook(book, entries, front, indexes, style)
    is_printable = check_printable(_own_pages(placed), source.lines, log)
    return placed if is_printable and not log.has_errors else None


def _list_jobs(document: StyledBook, path: str, draws: bool) -> list[SongJob]:
    """What is to be made: every song of the book at `path`, on the sheet of its style."""
    book, style, view = document.book, document.style, document.looks.view
    return [
        SongJob(
            entry if view is None else entry._replace(view=view),
            document.named,
            path,
            book.changes,
            rated=Index.DIFFICULTY in book.indexes,
            sheet=(style.paper.width, style.paper.height),
            language=document.language,
            draws=draws,
        )
        for entry in book.entries
        if isinstance(entry, Song)
    ]


def _fill_indexes(
    book: Songbook, tree: SourceMap, results: Sequence[SongResult], style: Style, log: ProblemLog
) -> Songbook:
    """The book without indexes that would be empty; each of them goes to `log` as a warning."""
    songs = [Listed(result.facts, _SOME_PAGE, "") for result in results if result.facts is not None]
    kept = []
    for number, index in enumerate(book.indexes):
        if index_rows(index, songs, style, book):
            kept.append(index)
            continue
        place = tree["indexes"].item_location(number)
        what = f'the index "{index.value}" is left out, as no song has an entry for it'
        hint = f"remove {index.value} from indexes, or {_ENTRIES.get(index, 'add songs that have one')}"
        log.warning(place, what, hint=hint)
    return book._replace(indexes=tuple(kept))


_ENTRIES = {
    Index.WRITER: "write credits: in the songs",
    Index.FIRST_LINE: "write lyrics: in the songs",
    Index.SIGN: "use signs in the songs",
}
"""What gives an index its entries; the others list nearly every song."""


def _own_pages(placed: PlacedBook) -> PlacedDocument:
    """The pages that are no songs."""
    book, entries, front, indexes, style = placed
    layout = BookPages(book, style)
    dividers = [layout.divider(item.entry.title) for item in entries if isinstance(item.entry, Divider)]
    return PlacedDocument((*front, *dividers, *indexes))


def _count_workers(wanted: int, count: int) -> int:
    """How many processes share `count` songs: as many as are `wanted` (0: as many as the machine has)."""
    return min(wanted or os.cpu_count() or 1, count)


def _tell_known_signs(jobs: list[SongJob], workers: Workers) -> list[SongJob]:
    """Each job with the signs that the songs before it have explained, where any key leaves those out."""
    if not any(job.song.explain_signs is ExplainSigns.NEW for job in jobs):
        return jobs
    known: set[str] = set()
    told = []
    for job, facts in zip(jobs, workers.map(read_facts, jobs), strict=True):
        told.append(job._replace(known=frozenset(known)))
        known.update(facts.signs if facts is not None else ())
    return told


def _make_songs(
    jobs: list[SongJob], workers: Workers, cache: SongCache, progress: Progress
) -> Iterator[SongResult]:
    """The results in order: from the cache where nothing has changed, else made anew."""
    keys = [cache.key(job) for job in jobs]
    kept = [cache.find(key) for key in keys]
    made = workers.map(make_song, [job for job, found in zip(jobs, kept, strict=True) if found is None])
    for number, (job, key, found) in enumerate(zip(jobs, keys, kept, strict=True), start=1):
        result = found
        if result is None:
            result = next(made)
            if key == cache.key(job):  # nothing was changed while the song was made
                cache.keep(key, result)
        progress(number, len(jobs))
        yield result


def _paginate(
    book: Songbook, results: list[SongResult], style: Style
) -> tuple[list[_Placed], list[Page], list[Page]]:
    """Where every song starts, the pages before the first one, and the indexes; contents are as long as their rows need."""
    layout = BookPages(book, style)
    waiting = iter(results)
    entries = [(entry, None if isinstance(entry, Divider) else next(waiting)) for entry in book.entries]
    front: list[Page] = []
    if book.cover:
        front.append(layout.cover())
    if book.imprint:
        front.extend([layout.blank()] if not book.cover else [])
        front.append(layout.imprint())
    contents = 0
    if book.contents:
        front.extend([layout.blank()] if len(front) % 2 else [])
        unplaced = [_Placed(entry, _SOME_PAGE, result, "") for entry, result in entries]
        rows = _contents_rows(book, unplaced, [_SOME_PAGE] * len(book.indexes), style)
        contents = len(layout.lists([(style.wordbook.page.contents, "contents", rows)]))
    page = len(front) + contents + 1
    placed = []
    for number, (entry, result) in enumerate(entries):
        if isinstance(entry, Divider):
            page += (page + 1) % 2  # a section starts on a right-hand page
            placed.append(_Placed(entry, page, None, f"entry-{number}"))
            page += 1
            continue
        assert result is not None
        assert result.page_count is not None
        if entry.side is not Side.NEXT and (page % 2 == 0) != (entry.side is Side.LEFT):
            page += 1
        placed.append(_Placed(entry, page, result, f"entry-{number}"))
        page += result.page_count
    indexes = _index_pages(book, placed, layout, style)
    if book.contents:
        firsts = [page + _page_of(f"index-{index.value}", indexes) for index in book.indexes]
        rows = _contents_rows(book, placed, firsts, style)
        front.extend(layout.lists([(style.wordbook.page.contents, "contents", rows)]))
    return placed, front, indexes


def _index_title(index: Index, style: Style) -> str:
    return style.wordbook.indexes[index.value]


def _index_pages(book: Songbook, placed: Sequence[_Placed], layout: BookPages, style: Style) -> list[Page]:
    """All indexes, one after the other."""
    sections = [
        (
            _index_title(index, style),
            f"index-{index.value}",
            index_rows(index, _songs(placed), style, book),
        )
        for index in book.indexes
    ]
    return layout.lists(sections) if sections else []


def _page_of(name: str, pages: Sequence[Page]) -> int:
    """Which of `pages` (from 0) holds the anchor `name`."""
    return next((number for number, page in enumerate(pages) if _has_anchor(page, name)), 0)


def _has_anchor(page: Page, name: str) -> bool:
    return any(
        isinstance(mark, Anchor) and mark.name == name for group in page.groups for mark in group.marks
    )


def _contents_rows(
    book: Songbook, placed: Sequence[_Placed], firsts: Sequence[int], style: Style
) -> list[Row]:
    """The contents: all songs and sections, then the indexes with their first pages, a little apart."""
    rows = [_contents_row(item, book, style) for item in placed]
    for number, (index, page) in enumerate(zip(book.indexes, firsts, strict=True)):
        title = _index_title(index, style)
        rows.append(Row(title, (page,), f"index-{index.value}", apart=number == 0 and bool(rows)))
    return rows


def _contents_row(item: _Placed, book: Songbook, style: Style) -> Row:
    if isinstance(item.entry, Divider):
        return Row(item.entry.title, (item.page,), item.name, is_heading=True)
    has_sections = any(isinstance(entry, Divider) for entry in book.entries)
    return Row(_song_title(item, style), (item.page,), item.name, 1 if has_sections else 0)


def _song_title(item: _Placed, style: Style) -> str:
    facts = item.result.facts if item.result is not None else None
    return style.wordbook.title(facts.title if facts is not None else "")


def _language_warnings(
    jobs: Sequence[SongJob], results: Sequence[SongResult], book_language: str
) -> Iterator[Problem]:
    """A word for each language of songs that has no table, at the first of them; `book_language` is told already."""
    told = {book_language}
    for job, result in zip(jobs, results, strict=True):
        language = result.facts.language if result.facts is not None else book_language
        if language not in told:
            told.add(language)
            log = ProblemLog(job.song.path)
            warn_of_english(language, NOWHERE, log)
            yield from log.problems


def _check_heads(placed: Sequence[_Placed], style: Style, log: ProblemLog) -> None:
    """Report the running heads that no face can print: those of songs with more than one page."""
    for item in placed:
        if item.result is not None and (item.result.page_count or 0) > 1 and isinstance(item.entry, Song):
            check_head(_song_title(item, style), style, item.entry.location, log)


def _warn_of_turns(placed: Sequence[_Placed], style: Style, log: ProblemLog) -> None:
    """A word for every right-hand page that ends while the hands are busy."""
    for item in placed:
        for page, measure in item.result.turns if item.result is not None else ():
            number = item.page + page - 1
            if number % 2 and isinstance(item.entry, Song):
                what = f"page {number} must be turned while playing, after measure {measure}"
                hint = "use start: left, or put new: page at a rest"
                log.warning(item.entry.location, what, _song_title(item, style), hint)


def _assemble(book_placed: PlacedBook) -> bytes:
    """All pages in order with their numbers, bookmarks and links."""
    from engrave.products.binding import Binder

    book, placed, front, pages, style = book_placed
    layout = BookPages(book, style)
    binder = Binder(layout)
    unnumbered = int(book.cover) + (1 + (not book.cover) if book.imprint else 0)
    contents = next((number for number, page in enumerate(front) if _has_anchor(page, "contents")), None)
    for number, page in enumerate(front):
        if number == contents:
            binder.mark(style.wordbook.page.contents, 0, "")
        binder.add([page], "", numbered=number >= unnumbered and bool(page.groups))
    has_sections = any(isinstance(item.entry, Divider) for item in placed)
    depth = 0
    for item in placed:
        binder.pad_to(item.page)
        if isinstance(item.entry, Divider):
            depth = 1
            binder.mark(item.entry.title, 0, item.name)
            binder.add([layout.divider(item.entry.title)], "", numbered=False)
        elif item.result is not None and item.result.pages is not None:
            title = _song_title(item, style)
            binder.mark(title, depth if has_sections else 0, item.name)
            binder.add_drawn(item.result.pages, title, numbered=True)
    for number, page in enumerate(pages):
        for index in book.indexes:
            name = f"index-{index.value}"
            if _page_of(name, pages) == number:
                binder.mark(_index_title(index, style), 0, "")
        binder.add([page], "", numbered=True)
    return binder.finish(book, style.wordbook.language)


def _songs(placed: Sequence[_Placed]) -> list[Listed]:
    """Facts, page and name of every song."""
    return [
        Listed(item.result.facts, item.page, item.name)
        for item in placed
        if item.result is not None and item.result.facts is not None
    ]
