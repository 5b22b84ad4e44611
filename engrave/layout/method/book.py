"""A method on its pages: what stands before the chapters, the chapters, and what stands after them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from engrave.documents.edition import Edition
from engrave.documents.handout import Exercise, Target
from engrave.documents.method import Method, SignKey
from engrave.documents.songbook import Side
from engrave.layout.handout.lesson_items import MOST_PASSES, find_pages, name_targets
from engrave.layout.method.back import BackMatter
from engrave.layout.method.chapters import (
    ChapterBoxes,
    ChapterSetter,
    Spot,
    Stretch,
    chapter_anchor,
    sections_of,
)
from engrave.layout.method.index_rows import Found
from engrave.layout.method.turns import BadTurn, fill_eased, find_bad_turns
from engrave.layout.page_filling import page_costs
from engrave.layout.pages.furniture import Furniture, book_places, place_furniture
from engrave.layout.songbook.pages import BookPages, Row
from engrave.layout.text.apostrophes import printed_words
from engrave.layout.text.boxes import FlowBox, fill_columns, move_groups, text_size
from engrave.layout.text.rich_text import WordSetter
from engrave.marks.mark import Page, PlacedDocument
from engrave.problems import NOWHERE
from engrave.score.rich_text import Heading, Run
from engrave.score.structure import Score
from engrave.style.sections import POINTS_PER_MM, Style

_SOME_PAGE = 888
"""Stands for pages that are not known yet: contents are as long with any number of three digits (algorithm)."""


class OutlineEntry(NamedTuple):
    """An entry of the outline: its words, the index of its page, its depth (0 outermost)."""

    title: str
    page: int
    depth: int


class PlacedMethod(NamedTuple):
    """All pages, the outline, and what turns out to be awkward."""

    document: PlacedDocument
    outline: tuple[OutlineEntry, ...]
    turns: tuple[BadTurn, ...]


class MethodSheets(NamedTuple):
    """What a method is set with: its style, that in the language of each piece, and examples of the signs that it uses.

    `signs` are those of each chapter, by its number; `new_signs` those that no earlier one uses.
    """

    style: Style
    spoken: Mapping[str, Style]
    examples: Mapping[str, Score]
    signs: Mapping[int, Sequence[str]]
    new_signs: Mapping[int, Sequence[str]]


@dataclass(slots=True)
class _Bound:
    """Pages bound so far, what stands on them, and the outline."""

    pages: list[Page] = field(default_factory=list)
    found: list[Found] = field(default_factory=list)
    outline: list[OutlineEntry] = field(default_factory=list)

    @property
    def next(self) -> int:
        """The number of the next page."""
        return len(self.pages) + 1


def place_method(method: Method, targets: Mapping[str, Target], sheets: MethodSheets) -> PlacedMethod:
    """All pages of a method. `targets` are what its links lead to."""
    builder = _Builder(method, targets, sheets)
    pages: dict[str, int] = {}
    bound = builder.bind(pages)
    for _ in range(MOST_PASSES):
        before, pages = pages, find_pages(bound.pages)
        if pages == before:
            break
        bound = builder.bind(pages)
    book = sheets.style.wordbook
    document = PlacedDocument(
        tuple(bound.pages), book.title(method.title), method.author, method.language or book.language
    )
    return PlacedMethod(
        document, tuple(bound.outline), tuple(find_bad_turns(bound.found, sheets.style.breaking.turn_rest))
    )


class _Builder:
    """Binds the book, as often as it takes until all page numbers that it prints are true."""

    def __init__(self, method: Method, targets: Mapping[str, Target], sheets: MethodSheets) -> None:
        self._method = method
        self._targets = targets
        self._sheets = sheets
        self._style = sheets.style
        self._width, self._height = text_size(sheets.style)
        self._own = BookPages(method, sheets.style)
        self._chapters = [ChapterBoxes(chapter) for chapter in method.chapters]

    def bind(self, pages: Mapping[str, int]) -> _Bound:
        """The book, its page numbers said as in `pages`, those that are not known as some page."""
        bound = _Bound()
        names = name_targets(self._targets, pages, self._style.wordbook)
        language = self._method.language or self._style.wordbook.language
        words = WordSetter(self._style.prose, self._style.paragraphs, language, names)
        back = BackMatter(self._method, self._style, words, self._width, bool(self._sheets.examples))
        self._bind_front(bound, words, pages, back)
        setters = []
        for boxes in self._chapters:
            examples = self._examples(self._sheets.signs[boxes.chapter.number])
            setter = ChapterSetter(
                boxes.chapter, words, examples, self._width, self._style, self._sheets.spoken
            )
            setters.append(setter)
            self._bind_chapter(bound, boxes, setter)
        self._bind_back(bound, back, setters)
        return bound

    def _bind_front(
        self, bound: _Bound, words: WordSetter, pages: Mapping[str, int], back: BackMatter
    ) -> None:
        """Cover, imprint, preface and contents."""
        method, own = self._method, self._own
        if method.cover:
            self._add(bound, own.cover())
        if method.imprint:
            self._pad(bound, Side.LEFT)
            self._add(bound, own.imprint())
        say = self._style.wordbook.page
        if method.preface:
            self._pad(bound, Side.RIGHT)
            heading = Heading(1, (Run(say.preface),), NOWHERE)
            bound.outline.append(OutlineEntry(say.preface, len(bound.pages), 0))
            boxes = words.set_blocks([heading, *method.preface], self._width)
            self._add_flow(bound, boxes, say.preface)
        if method.contents:
            if not method.preface:
                self._pad(bound, Side.RIGHT)
            rows = self._contents(pages, back)
            for number, page in enumerate(own.lists([(say.contents, "contents.", rows)])):
                self._add(bound, page, say.contents if number else "", numbered=True)

    def _contents(self, pages: Mapping[str, int], back: BackMatter) -> list[Row]:
        """Chapters with their headings and pieces, then what stands at the end."""
        rows: list[Row] = []
        parts = [sections_of(chapter) for chapter in self._method.chapters]
        for chapter, sections in zip(self._method.chapters, parts, strict=True):
            anchor = chapter_anchor(chapter)
            title = f"{chapter.number}  {chapter.title}"
            page = pages.get(anchor, _SOME_PAGE)
            rows.append(Row(title, (page,), anchor, is_heading=any(parts)))
            rows.extend(
                Row(section.title, (pages.get(section.anchor, _SOME_PAGE),), section.anchor, 1)
                for section in sections
            )
        for number, (title, anchor) in enumerate(back.titles()):
            rows.append(Row(title, (pages.get(anchor, _SOME_PAGE),), anchor, apart=number == 0))
        return rows

    def _bind_chapter(self, bound: _Bound, boxes: ChapterBoxes, setter: ChapterSetter) -> None:
        chapter = boxes.chapter
        new = self._examples(self._sheets.new_signs[chapter.number])
        is_keyed = self._method.sign_key is SignKey.NEW
        stretches = boxes.stretches(setter, self._method.chapter_side, self._height, new if is_keyed else {})
        head = f"{chapter.number}  {chapter.title}"
        for number, stretch in enumerate(stretches):
            self._pad(bound, stretch.side)
            if number == 0:
                bound.outline.append(OutlineEntry(head, len(bound.pages), 0))
            self._bind_stretch(bound, stretch, head, setter, is_opening=number == 0)
        places = find_pages(bound.pages)
        bound.outline.extend(
            OutlineEntry(section.title, places[section.anchor] - 1, 1) for section in sections_of(chapter)
        )

    def _bind_stretch(
        self, bound: _Bound, stretch: Stretch, head: str, setter: ChapterSetter, is_opening: bool
    ) -> None:
        waiting = iter(stretch.spots)
        breaking = self._style.breaking
        pages = fill_eased(
            stretch,
            bound.next,
            self._fill,
            least_rest=breaking.turn_rest,
            look_back=breaking.turn_look_back,
        )
        for index, page in enumerate(pages):
            number = bound.next
            for _ in page:
                bound.found.extend(_found(spot, number, setter) for spot in next(waiting))
            self._add(bound, self._page(page), "" if is_opening and index == 0 else head, numbered=True)

    def _bind_back(self, bound: _Bound, back: BackMatter, setters: Sequence[ChapterSetter]) -> None:
        """Answers, key, glossary, recordings, indexes."""
        anchors = {anchor: title for title, anchor in back.titles()}
        start = len(bound.pages)
        answers = (
            [
                (setter, [item for item in chapter.items if isinstance(item, Exercise)])
                for setter, chapter in zip(setters, self._method.chapters, strict=True)
            ]
            if self._method.edition is Edition.TEACHER
            else []
        )
        key = setters[0].set_signs(self._sheets.examples) if self._method.sign_key is SignKey.END else []
        pages = [self._page(boxes) for boxes in self._fill(back.flow(answers, key))]
        lists = back.lists(bound.found)
        pages.extend(self._own.lists(lists) if lists else [])
        running = ""
        for page in pages:
            begun = [anchors[name] for name in find_pages([page]) if name in anchors]
            is_opening = bool(begun) and bool(find_pages([page._replace(groups=page.groups[:1])]))
            self._add(bound, page, "" if is_opening else running, numbered=True)
            running = begun[-1] if begun else running
        for anchor, page_number in find_pages(bound.pages[start:]).items():
            if anchor in anchors:
                bound.outline.append(OutlineEntry(anchors[anchor], page_number - 1, 0))

    def _examples(self, signs: Sequence[str]) -> dict[str, Score]:
        return {sign: self._sheets.examples[sign] for sign in signs if sign in self._sheets.examples}

    def _fill(self, boxes: Sequence[FlowBox]) -> list[list[tuple[FlowBox, float]]]:
        style = self._style
        most = style.breaking.system_gap * style.staff_space * style.prose.most_stretch
        filled = fill_columns(boxes, self._height, self._height, most, page_costs(style))
        return [list(page.boxes) for page in filled]

    def _add_flow(self, bound: _Bound, boxes: Sequence[FlowBox], head: str) -> None:
        """Pages of running text; the first has no head."""
        for index, page in enumerate(self._fill(boxes)):
            self._add(bound, self._page(page), head if index else "", numbered=True)

    def _page(self, boxes: Sequence[tuple[FlowBox, float]]) -> Page:
        """A page of boxes, laid out as a right-hand one."""
        paper = self._style.paper
        left, top = paper.margin_inner * POINTS_PER_MM, (paper.height - paper.margin_top) * POINTS_PER_MM
        groups = tuple(group for box, below in boxes for group in move_groups(box.groups, left, top - below))
        width, height = self._own.size
        return Page(width, height, groups)

    def _add(self, bound: _Bound, page: Page, head: str = "", numbered: bool = False) -> None:
        """Add a page that is laid out as a right-hand one; left-hand pages have the title of the book as their head."""
        number = bound.next
        shift = self._own.shift(number)
        groups = move_groups(page.groups, shift, 0.0)
        if numbered:
            said = self._method.title if head and number % 2 == 0 and self._method.title else head
            left = shift + self._style.paper.margin_inner * POINTS_PER_MM
            places = book_places(number, left, self._width, self._style)
            places = places._replace(head_share=places.number_share)
            groups = (*groups, place_furniture(Furniture(str(number), printed_words(said)), places))
        bound.pages.append(Page(page.width, page.height, groups, number))

    def _pad(self, bound: _Bound, side: Side) -> None:
        """Add an empty page where the next one is not on `side`."""
        if side is not Side.NEXT and (bound.next % 2 == 0) != (side is Side.LEFT):
            bound.pages.append(Page(*self._own.size, (), bound.next))


def _found(spot: Spot, page: int, setter: ChapterSetter) -> Found:
    return Found(spot.item, setter.label_of(spot.item), page, spot.anchor, spot.first, spot.stop)
