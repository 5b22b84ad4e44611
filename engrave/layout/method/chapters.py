"""One chapter of a method as boxes: its head, its items, the signs that are new in it; and what stands in each box."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from engrave.documents import handout as records
from engrave.documents.handout import Item, links_of, music_of
from engrave.documents.method import Chapter
from engrave.documents.songbook import Side
from engrave.fonts.symbols import music_face
from engrave.fonts.text_setting import wrap
from engrave.layout.handout.lesson_items import LessonSetter, flow_items
from engrave.layout.text.apostrophes import printed_words
from engrave.layout.text.boxes import FlowBox
from engrave.layout.text.rich_text import WordSetter
from engrave.marks.mark import Anchor, Group, Mark, Text
from engrave.marks.role import Role
from engrave.score.restrung import first_strings
from engrave.score.rich_text import PAGE, Block, Heading
from engrave.score.structure import Score
from engrave.style.sections import Style

_SECTION_LEVEL = 2
"""Headings up to this level stand in the contents (house rule)."""
Shown = records.Music | records.Piece | records.Shapes


class Section(NamedTuple):
    """What of a chapter stands in the contents: a heading or a piece. `anchor` is where a link to it leads."""

    title: str
    anchor: str
    owner: Block | Item


class Spot(NamedTuple):
    """What a box shows of an item: measures `first` to `stop` - 1 of its music, if it has some."""

    item: Shown
    anchor: str
    first: int = 0
    stop: int = 0


class Stretch(NamedTuple):
    """Boxes that follow each other; the first of them starts a page on `side`. `spots` says of each box what it shows."""

    side: Side
    boxes: tuple[FlowBox, ...]
    spots: tuple[tuple[Spot, ...], ...]


def chapter_anchor(chapter: Chapter) -> str:
    """Where links to a chapter lead; no author can call anything so, for names have no full stops."""
    return f"chapter.{chapter.number}"


def sections_of(chapter: Chapter) -> tuple[Section, ...]:
    """The headings and pieces of a chapter, in their order."""
    found: list[tuple[str, Block | Item]] = []
    for item in chapter.items:
        if isinstance(item, records.Piece):
            found.append((item.title, item))
        elif isinstance(item, records.Words):
            found.extend(
                ("".join(run.text for run in block.runs).replace("\n", " "), block)
                for block in item.blocks
                if isinstance(block, Heading) and block.level <= _SECTION_LEVEL
            )
    return tuple(
        Section(title, f"section.{chapter.number}.{number}", owner)
        for number, (title, owner) in enumerate(found, start=1)
    )


class ChapterSetter(LessonSetter):
    """Sets the items of one chapter. Headings and pieces get the names that the contents lead to."""

    def __init__(
        self,
        chapter: Chapter,
        words: WordSetter,
        examples: Mapping[str, Score],
        width: float,
        style: Style,
        spoken: Mapping[str, Style],
    ) -> None:
        """`examples` are those of the signs that the chapter's music uses."""
        super().__init__(
            words,
            examples,
            width,
            style,
            spoken,
            face=music_face(),
            strings=first_strings(music.score for music in music_of(chapter.items)),
            prefix=f"{chapter.number}.",
        )
        self._chapter = chapter
        self._anchors = {id(section.owner): section.anchor for section in sections_of(chapter)}

    def set(self, item: Item) -> list[FlowBox]:
        """The boxes of one item."""
        if isinstance(item, records.Words):
            return [box for block in item.blocks for box in self._block(block)]
        boxes = super().set(item)
        anchor = self._anchors.get(id(item))
        if anchor and boxes:
            boxes[0] = _with_anchor(boxes[0], anchor)
        return boxes

    def _block(self, block: Block) -> list[FlowBox]:
        boxes = self._words.set_blocks([block], self._width)
        anchor = self._anchors.get(id(block))
        return [_with_anchor(boxes[0], anchor), *boxes[1:]] if anchor and boxes else boxes

    def head(self, height: float) -> FlowBox:
        """The number and the title of the chapter, on a page whose text is `height` points high."""
        method, chapter = self._style.method, self._chapter
        small, large = method.chapter_number, method.chapter_title
        word = f"{self.say.chapter} {chapter.number}"
        y = -height * method.chapter_sink - small.size
        marks: list[Mark] = [
            Anchor(Role.LINK, 0.0, 0.0, chapter_anchor(chapter)),
            *([Anchor(Role.LINK, 0.0, 0.0, chapter.name)] if chapter.name else []),
            Text(Role.SUBTITLE, 0.0, y, word, small.face, small.size),
        ]
        for line in wrap(printed_words(chapter.title), large.face, large.size, self._width):
            y -= large.size * method.chapter_pitch
            marks.append(Text(Role.TITLE, 0.0, y, line, large.face, large.size))
        return FlowBox(method.chapter_foot - y, (Group(0.0, 0.0, 1.0, tuple(marks)),), keeps_next=True)


class ChapterBoxes:
    """Makes the boxes of one chapter, again and again while pages are not settled: music is set once."""

    def __init__(self, chapter: Chapter) -> None:
        """Nothing is set yet."""
        self.chapter = chapter
        self._kept: dict[int, list[FlowBox]] = {}

    def stretches(
        self, setter: ChapterSetter, side: Side, height: float, new_signs: Mapping[str, Score]
    ) -> list[Stretch]:
        """The chapter, which starts on `side`, cut where a piece asks for a side of its own."""
        boxes = [setter.head(height)]
        spots: list[tuple[Spot, ...]] = [()]
        done: list[Stretch] = []
        for number, (item, found) in enumerate(
            flow_items(self.chapter.items, lambda item: self._set(item, setter), is_kept=True)
        ):
            if isinstance(item, records.Piece) and item.start is not Side.NEXT and found:
                done.append(Stretch(side, tuple(boxes), tuple(spots)))
                boxes, spots, side = [], [], item.start
            anchor = f"item.{self.chapter.number}.{number}"
            shown = list(_spots(item, found, anchor))
            if found and any(shown):
                found[0] = _with_anchor(found[0], anchor)
            boxes.extend(found)
            spots.extend(shown)
        if new_signs:
            found = setter.set_signs(new_signs, only_new=True)
            found[0] = found[0]._replace(gap=setter.block_gap, gap_least=setter.block_gap)
            boxes.extend(found)
            spots.extend([()] * len(found))
        done.append(Stretch(side, tuple(boxes), tuple(spots)))
        return [stretch for stretch in done if stretch.boxes]

    def _set(self, item: Item, setter: ChapterSetter) -> list[FlowBox]:
        """The boxes of an item; those in whose words no page is named stay as they are."""
        if any(run.link.startswith(f"#{PAGE}") for run, _ in links_of([item])):
            return setter.set(item)
        if id(item) not in self._kept:  # items live as long as the book
            self._kept[id(item)] = setter.set(item)
        return list(self._kept[id(item)])


def _with_anchor(box: FlowBox, name: str) -> FlowBox:
    group = Group(0.0, 0.0, 1.0, (Anchor(Role.LINK, 0.0, 0.0, name),))
    return box._replace(groups=(*box.groups, group))


def _spots(item: Item, boxes: Sequence[FlowBox], anchor: str) -> Iterator[tuple[Spot, ...]]:
    """What each box of an item shows."""
    shown = tuple(shown_in(item))
    counts = [len(box.measures) for box in boxes]
    if len(shown) != 1 or isinstance(shown[0], records.Shapes) or sum(counts) != len(shown[0].score.measures):
        whole = tuple(
            Spot(each, anchor, 0, 0 if isinstance(each, records.Shapes) else len(each.score.measures))
            for each in shown
        )
        yield from (whole if number == 0 else () for number in range(len(boxes)))
        return
    first = 0
    for count in counts:
        yield (Spot(shown[0], anchor, first, first + count),) if count else ()
        first += count


def shown_in(item: Item) -> Iterator[Shown]:
    """The music and the shapes that an item shows; answers are not looked through."""
    if isinstance(item, records.Music | records.Piece | records.Shapes):
        yield item
    elif isinstance(item, records.Beside):
        yield from (each for each in item.items if isinstance(each, records.Music))
    elif isinstance(item, records.TypedMusic) and item.music is not None:
        yield item.music
