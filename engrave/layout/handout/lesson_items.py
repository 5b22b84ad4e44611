"""Exercises, their answers, and whole pieces as boxes in a column; and the words by which links call things."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from engrave.documents import handout as records
from engrave.documents.handout import Item, Target, TargetKind, links_of
from engrave.layout.handout.items import ItemSetter, link_target, set_music
from engrave.layout.handout.recordings import place_recording, put_beside
from engrave.layout.pages.headings import place_heading
from engrave.layout.text.boxes import FlowBox
from engrave.marks.mark import Anchor, Group, Page
from engrave.problems import NOWHERE
from engrave.score.rich_text import PAGE, Heading, Run
from engrave.style.wordbook import PageWords, Wordbook


class LessonSetter(ItemSetter):
    """Sets the items of a handout, or of one chapter of a book."""

    def set(self, item: Item) -> list[FlowBox]:
        """The boxes of one item."""
        if isinstance(item, records.Piece):
            return self._piece(item)
        if isinstance(item, records.Exercise):
            return self._exercise(item)
        return super().set(item)

    @property
    def block_gap(self) -> float:
        """White around music, shapes and boxes, in points."""
        return self._style.prose.block_gap

    def label_of(self, item: records.Music | records.Piece | records.Shapes) -> str:
        """What lists call an item: its number and caption, or its title; "" where it has neither."""
        if isinstance(item, records.Piece):
            return item.title
        return self._caption(item) if isinstance(item, records.Music) and item.number else ""

    def exercise_name(self, exercise: records.Exercise) -> str:
        """What an exercise is called: "Exercise 3.1"."""
        return f"{self._style.wordbook.page.exercise} {self._prefix}{exercise.number}"

    @property
    def say(self) -> PageWords:
        """The words that pages have of their own."""
        return self._style.wordbook.page

    def set_heading(self, text: str) -> list[FlowBox]:
        """A heading of the highest level."""
        return self._words.set_blocks([Heading(1, (Run(text),), NOWHERE)], self._width)

    def set_answers(self, exercises: Iterable[records.Exercise]) -> list[FlowBox]:
        """The answers, each under the name of its exercise."""
        boxes: list[FlowBox] = []
        for exercise in exercises:
            if exercise.answer:
                boxes.extend(self._words.set_blocks([self._head(exercise)], self._width))
                boxes.extend(box for _, found in flow_items(exercise.answer, self.set) for box in found)
        return boxes

    def _head(self, exercise: records.Exercise) -> Heading:
        return Heading(3, (Run(self.exercise_name(exercise)),), NOWHERE)

    def _exercise(self, item: records.Exercise) -> list[FlowBox]:
        """The task under its number."""
        boxes = self._words.set_blocks([self._head(item), *item.blocks], self._width)
        boxes[0] = boxes[0]._replace(groups=(*boxes[0].groups, *link_target(item.name)))
        return boxes

    def _piece(self, item: records.Piece) -> list[FlowBox]:
        """Titles and systems; the titles stay with the first of them."""
        style = self._spoken[item.score.language]
        space, gap = style.staff_space, style.prose.block_gap
        aside = place_recording(item.recording, self._style) if item.recording is not None else None
        room = self._width - (aside.width + aside.quiet if aside is not None else 0.0)
        untold = replace(item.score, shapes=())  # the shapes at the head of a piece come with its music
        heading = place_heading(untold, room / space, style)
        head = FlowBox(heading.height * space, (Group(0.0, 0.0, space, heading.marks),))
        if aside is not None:
            head = put_beside(head, aside, self._width)
        head = head._replace(
            groups=(*head.groups, *link_target(item.name)),
            gap=gap,
            gap_least=gap * style.prose.least_gap,
            keeps_next=True,
            new_page=item.is_on_new_page,
        )
        first, *others = set_music(item.score, item.view, self._width, style, self._face)
        breaking = style.breaking
        under = first._replace(gap=breaking.title_gap * space, gap_least=breaking.title_gap_least * space)
        return [head, under, *others]


def flow_items(
    items: Sequence[Item], set_item: Callable[[Item], list[FlowBox]], is_kept: bool = False
) -> Iterator[tuple[Item, list[FlowBox]]]:
    """Each item with its boxes. What is said of an example stays with it, and a page that ends makes the next box start one.

    What follows closely what is said of it stays as near; `is_kept`: so does the first box, after what stands before it.
    """
    new_page = False
    for item, following in zip(items, (*items[1:], None), strict=True):
        found = set_item(item)
        if isinstance(item, records.Words | records.Exercise) and isinstance(following, _SHOWN) and found:
            found[-1] = found[-1]._replace(keeps_next=True)
        if isinstance(item, records.NewPage):
            new_page = True
            continue
        if found:
            found[0] = found[0]._replace(grows=not is_kept, new_page=found[0].new_page or new_page)
            is_kept, new_page = found[-1].keeps_next, False
        yield item, found


_SHOWN = (
    records.Music
    | records.TypedMusic
    | records.Necks
    | records.Piece
    | records.Beside
    | records.Shapes
    | records.Blank
)
"""What words before it speak of."""


def name_targets(targets: Mapping[str, Target], pages: Mapping[str, int], book: Wordbook) -> dict[str, str]:
    """The words that an empty link to a name is printed as; `pages` are those that the names stand on, as far as they are known."""
    names = {name: _say(target, book) for name, target in targets.items()}
    for name in targets:
        names[f"{PAGE}{name}"] = f"{book.page.page}{_NO_BREAK}{pages.get(name, _SOME_PAGE)}"
    return names


_NO_BREAK = "\u00a0"
"""A word and its number stay on one line (common practice, no source)."""
_SOME_PAGE = 88
"""Stands for pages that are not known yet (algorithm)."""
MOST_PASSES = 4
"""Words that name pages are set again until the pages stay, but not more often than this (safety limit)."""


def names_pages(items: Iterable[Item]) -> bool:
    """True where some words name the page of something."""
    return any(run.link.startswith(f"#{PAGE}") for run, _ in links_of(items))


def _say(target: Target, book: Wordbook) -> str:
    word = {
        TargetKind.EXAMPLE: book.page.example,
        TargetKind.EXERCISE: book.page.exercise,
        TargetKind.CHAPTER: book.page.chapter,
        TargetKind.PIECE: "",
    }[target.kind]
    return f"{word}{_NO_BREAK}{target.number}" if word else target.title


def find_pages(pages: Iterable[Page]) -> dict[str, int]:
    """The number of the page on which each name stands."""
    return {
        mark.name: page.number
        for page in pages
        for group in page.groups
        for mark in group.marks
        if isinstance(mark, Anchor)
    }
