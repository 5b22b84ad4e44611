"""A handout laid out: its head, then its items down the pages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engrave.documents.handout import Beside, Blank, Handout, Music, Necks, Shapes, TypedMusic, Words
from engrave.fonts.symbols import music_face
from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import wrap_evenly
from engrave.layout.handout.items import ItemSetter, form_line
from engrave.layout.page_filling import page_costs
from engrave.layout.pages.furniture import decide_furniture, handout_places, is_left_hand, place_furniture
from engrave.layout.text.apostrophes import printed_words
from engrave.layout.text.boxes import FlowBox, FlowPage, fill_columns, move_groups
from engrave.layout.text.rich_text import WordSetter
from engrave.marks.mark import Group, Mark, Page, PlacedDocument, Text
from engrave.marks.role import Role
from engrave.score.restrung import first_strings
from engrave.score.structure import Score
from engrave.style.sections import POINTS_PER_MM, Style

_SEPARATOR = "  ·  "


def place_handout(
    handout: Handout,
    numbers: Mapping[str, int],
    examples: Mapping[str, Score],
    style: Style,
    spoken: Mapping[str, Style],
) -> PlacedDocument:
    """All pages of a handout. `numbers` are those of named examples, `examples` the key's.

    `spoken` is the style in the language of each piece of music, by what the piece says ("" where it says nothing).
    """
    paper = style.paper
    width = (paper.width - paper.margin_inner - paper.margin_outer) * POINTS_PER_MM
    height = (paper.height - paper.margin_top - paper.margin_bottom) * POINTS_PER_MM
    names = {name: f"{style.wordbook.page.example} {number}" for name, number in numbers.items()}
    words = WordSetter(style.prose, style.paragraphs, handout.language or style.wordbook.language, names)
    setter = ItemSetter(
        words, examples, width, style, spoken, music_face(), strings=first_strings(_scores(handout))
    )
    boxes = _heading(handout, width, style)
    new_page = False
    for item, following in zip(handout.items, (*handout.items[1:], None), strict=True):
        found = setter.set(item)
        if (
            isinstance(item, Words)
            and isinstance(following, Music | TypedMusic | Necks | Beside | Shapes | Blank)
            and found
        ):
            found[-1] = found[-1]._replace(keeps_next=True)  # what is said of an example stays with it
        if len(found) == 1 and found[0].new_page and not found[0].groups:
            new_page = True
            continue
        if found:  # what follows closely what is said of it stays as near
            found[0] = found[0]._replace(grows=not (boxes and boxes[-1].keeps_next))
        if found and new_page:
            found[0] = found[0]._replace(new_page=True)
            new_page = False
        boxes.extend(found)
    most = style.breaking.system_gap * style.staff_space * style.prose.most_stretch
    filled = fill_columns(boxes, height, height, most, page_costs(style))
    pages = tuple(
        _build_page(handout, page, number, len(filled), width, style)
        for number, page in enumerate(filled, start=1)
    )
    return PlacedDocument(
        pages, style.wordbook.title(handout.title), "", handout.language or style.wordbook.language
    )


def _scores(handout: Handout) -> Iterator[Score]:
    """The music of a handout in its order."""
    for item in handout.items:
        for example in item.items if isinstance(item, Beside) else (item,):
            if isinstance(example, Music):
                yield example.score


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
