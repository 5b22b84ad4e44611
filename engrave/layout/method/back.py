"""What stands after the chapters of a method: answers, the key of signs, glossary, recordings, indexes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engrave.documents.edition import Edition
from engrave.documents.handout import Exercise, Item
from engrave.documents.method import Method, SignKey
from engrave.layout.handout.lesson_items import LessonSetter
from engrave.layout.method.chapters import shown_in
from engrave.layout.method.index_rows import Found, index_rows, index_title, recording_rows
from engrave.layout.songbook.pages import Row
from engrave.layout.text.boxes import FlowBox
from engrave.layout.text.collation import collation_key
from engrave.layout.text.rich_text import WordSetter
from engrave.marks.mark import Anchor, Group
from engrave.marks.role import Role
from engrave.problems import NOWHERE
from engrave.score.rich_text import Block, Heading, Paragraph, Run
from engrave.style.sections import Style

ANSWERS, SIGNS, GLOSSARY, RECORDINGS = "answers.", "signs.", "glossary.", "recordings."
"""Where the contents lead; no author can call anything so, for names have no full stops."""


class BackMatter:
    """Makes the sections at the end of a book; which there are is known before anything is set."""

    def __init__(self, method: Method, style: Style, words: WordSetter, width: float, has_key: bool) -> None:
        """`has_key`: the music has signs, so that a key of them is not empty."""
        self._method = method
        self._style = style
        self._words = words
        self._width = width
        self._has_key = has_key and method.sign_key is SignKey.END

    def titles(self) -> Iterator[tuple[str, str]]:
        """The title of each section, with what a link to it leads to."""
        say, method = self._style.wordbook.page, self._method
        items = [item for chapter in method.chapters for item in chapter.items]
        if method.edition is Edition.TEACHER and any(_has_answer(item) for item in items):
            yield say.answers, ANSWERS
        if self._has_key:
            yield say.signs_used, SIGNS
        if method.glossary:
            yield say.glossary, GLOSSARY
        if method.lists_recordings and any(_is_recorded(item) for item in items):
            yield say.recordings, RECORDINGS
        for index in method.indexes:
            yield index_title(index, self._style), f"index.{index.value}"

    def flow(
        self, answers: Sequence[tuple[LessonSetter, Sequence[Exercise]]], key: Sequence[FlowBox]
    ) -> list[FlowBox]:
        """Answers, key and glossary, one after the other down the column."""
        kept = {anchor for _, anchor in self.titles()}
        say = self._style.wordbook.page
        boxes: list[FlowBox] = []
        if ANSWERS in kept:
            boxes.extend(self._head(say.answers, ANSWERS))
            for setter, exercises in answers:
                boxes.extend(setter.set_answers(exercises))
        if SIGNS in kept and key:
            gap = self._style.prose.heading_1.size * self._style.book.section_pitch
            boxes.extend([_named(key[0], SIGNS)._replace(gap=gap, gap_least=gap), *key[1:]])
        if GLOSSARY in kept:
            boxes.extend(self._head(say.glossary, GLOSSARY))
            boxes.extend(self._glossary())
        return boxes

    def lists(self, found: Sequence[Found]) -> list[tuple[str, str, list[Row]]]:
        """The list of recordings and the indexes, each with its title and what a link to it leads to."""
        sections = []
        for title, anchor in self.titles():
            if anchor == RECORDINGS:
                sections.append((title, anchor, recording_rows(found, self._style)))
        for index in self._method.indexes:
            title = index_title(index, self._style)
            sections.append((title, f"index.{index.value}", index_rows(index, found, self._style)))
        return sections

    def _head(self, title: str, anchor: str) -> list[FlowBox]:
        boxes = self._words.set_blocks([Heading(1, (Run(title),), NOWHERE)], self._width)
        gap = self._style.prose.heading_1.size * self._style.book.section_pitch
        return [_named(boxes[0], anchor)._replace(gap=gap, gap_least=gap), *boxes[1:]]

    def _glossary(self) -> list[FlowBox]:
        """The words in alphabetical order, each in bold before what it means."""
        boxes: list[FlowBox] = []
        alphabet = self._method.language or self._style.wordbook.language
        for term in sorted(self._method.glossary, key=lambda term: collation_key(term.word, alphabet)):
            boxes.extend(self._words.set_blocks(_run_in(term.word, term.meaning), self._width))
        return boxes


def _run_in(word: str, meaning: Sequence[Block]) -> list[Block]:
    """The meaning with the word at the head of its first paragraph."""
    head = Run(f"{word}  ", bold=True)
    first, *others = meaning
    if isinstance(first, Paragraph):
        return [first._replace(runs=(head, *first.runs)), *others]
    return [Paragraph((Run(word, bold=True),), NOWHERE), first, *others]


def _named(box: FlowBox, name: str) -> FlowBox:
    """The box of a heading, its name first: so it is known which pages begin with one."""
    return box._replace(groups=(Group(0.0, 0.0, 1.0, (Anchor(Role.LINK, 0.0, 0.0, name),)), *box.groups))


def _has_answer(item: Item) -> bool:
    return isinstance(item, Exercise) and bool(item.answer)


def _is_recorded(item: Item) -> bool:
    return any(getattr(shown, "recording", None) is not None for shown in shown_in(item))
