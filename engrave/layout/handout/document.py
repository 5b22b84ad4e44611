"""A handout laid out: its head, then its items down the pages."""

from __future__ import annotations

from collections.abc import Mapping

from engrave.documents.edition import Edition
from engrave.documents.handout import Exercise, Handout, Target, music_of
from engrave.fonts.symbols import music_face
from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import wrap_evenly
from engrave.layout.handout.items import form_line
from engrave.layout.handout.lesson_items import (
    MOST_PASSES,
    LessonSetter,
    find_pages,
    flow_items,
    name_targets,
    names_pages,
)
from engrave.layout.page_filling import page_costs
from engrave.layout.pages.furniture import decide_furniture, handout_places, is_left_hand, place_furniture
from engrave.layout.text.apostrophes import printed_words
from engrave.layout.text.boxes import FlowBox, FlowPage, fill_columns, move_groups, text_size
from engrave.layout.text.rich_text import WordSetter
from engrave.marks.mark import Group, Mark, Page, PlacedDocument, Text
from engrave.marks.role import Role
from engrave.score.restrung import first_strings
from engrave.score.structure import Score
from engrave.style.sections import POINTS_PER_MM, Style

_SEPARATOR = "  ·  "


def place_handout(
    handout: Handout,
    targets: Mapping[str, Target],
    examples: Mapping[str, Score],
    style: Style,
    spoken: Mapping[str, Style],
) -> PlacedDocument:
    """All pages of a handout. `targets` are what its links lead to, `examples` the key's.

    `spoken` is the style in the language of each piece of music, by what the piece says ("" where it says nothing).
    """
    language = handout.language or style.wordbook.language
    width, height = text_size(style)
    strings = first_strings(music.score for music in music_of(handout.items))
    pages: tuple[Page, ...] = ()
    found: dict[str, int] = {}
    for _ in range(MOST_PASSES if names_pages(handout.items) else 1):
        names = name_targets(targets, found, style.wordbook)
        words = WordSetter(style.prose, style.paragraphs, language, names)
        setter = LessonSetter(words, examples, width, style, spoken, music_face(), strings=strings)
        pages = _fill(handout, setter, width, height, style)
        before, found = found, find_pages(pages)
        if found == before:
            break
    return PlacedDocument(pages, style.wordbook.title(handout.title), "", language)


def _fill(
    handout: Handout, setter: LessonSetter, width: float, height: float, style: Style
) -> tuple[Page, ...]:
    boxes = _heading(handout, width, style)
    for _, found in flow_items(handout.items, setter.set, is_kept=bool(boxes)):
        boxes.extend(found)
    boxes.extend(_answers(handout, setter))
    most = style.breaking.system_gap * style.staff_space * style.prose.most_stretch
    filled = fill_columns(boxes, height, height, most, page_costs(style))
    return tuple(
        _build_page(handout, page, number, len(filled), width, style)
        for number, page in enumerate(filled, start=1)
    )


def _answers(handout: Handout, setter: LessonSetter) -> list[FlowBox]:
    """The answers on a page of their own, which can be kept back; nothing for students."""
    exercises = [item for item in handout.items if isinstance(item, Exercise)]
    boxes = setter.set_answers(exercises) if handout.edition is Edition.TEACHER else []
    if not boxes:
        return []
    head, *others = setter.set_heading(setter.say.answers)
    return [head._replace(new_page=True), *others, *boxes]


def _heading(handout: Handout, width: float, style: Style) -> list[FlowBox]:
    """Title; lesson, level and date; a line for the student's name."""
    prose, say = style.prose, style.wordbook.page
    marks: list[Mark] = []
    y = 0.0
    title, said = prose.title, printed_words(handout.title)
    for line in wrap_evenly(said, title.face, title.size, width) if said else ():
        y -= prose.title.size * (prose.title_pitch if marks else prose.title_ascent)
        marks.append(Text(Role.TITLE, 0.0, y, line, prose.title.face, prose.title.size))
    lesson = _lesson(handout.lesson, say.lesson)
    about = _SEPARATOR.join(part for part in (lesson, handout.level, handout.date) if part)
    kind, face = prose.about, text_face(prose.about.face)
    start = width * (1 - prose.name_share)
    beside = bool(handout.student and about) and face.width(about, kind.size) + kind.size <= start
    rows = [about] if beside else wrap_evenly(about, kind.face, kind.size, width)
    for number, line in enumerate(rows):
        y -= kind.size * (prose.line_pitch if number else prose.about_pitch)
        marks.append(Text(Role.SUBTITLE, 0.0, y, line, kind.face, kind.size))
    if handout.student:
        y -= 0.0 if beside else kind.size * prose.about_pitch
        marks.append(Text(Role.CREDIT, start, y, say.name, kind.face, kind.size))
        after = start + face.width(say.name, kind.size) + 4
        marks.append(form_line(after, width, y - 1, style))
    if not marks:
        return []
    return [FlowBox(-y + 4, (Group(0.0, 0.0, 1.0, tuple(marks)),), keeps_next=True)]


def _lesson(text: str, word: str) -> str:
    """The lesson with the word before it, unless the text begins with that word."""
    if not text or text.casefold().startswith(word.casefold()):
        return text
    return f"{word} {text}"


def _build_page(
    handout: Handout, page: FlowPage, number: int, count: int, width: float, style: Style
) -> Page:
    paper = style.paper
    left = (paper.margin_outer if is_left_hand(number, style) else paper.margin_inner) * POINTS_PER_MM
    top = (paper.height - paper.margin_top) * POINTS_PER_MM
    groups: list[Group] = []
    for box, below in page.boxes:
        groups.extend(move_groups(box.groups, left, top - below))
    if count > 1:
        said = decide_furniture(number, count, handout.title)._replace(number=f"{number} / {count}")
        groups.append(place_furniture(said, handout_places(number, left, width, style)))
    return Page(paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM, tuple(groups), number)
