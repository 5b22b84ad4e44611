"""The front door of layout: a score and a style become pages of placed marks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from engrave.breaking import FilledPage
from engrave.fonts.symbols import music_face
from engrave.layout.explained_signs import place_explained_signs
from engrave.layout.music_setter import MusicSetter, Sheet, measure_sheet
from engrave.layout.page_filling import Filled, PageFiller, head_room
from engrave.layout.pages.furniture import (
    Furniture,
    decide_furniture,
    is_left_hand,
    place_furniture,
    score_places,
)
from engrave.layout.pages.headings import place_heading
from engrave.layout.staves import plan_staves
from engrave.layout.systems.system import StackedMarks, System
from engrave.marks.mark import Group, Page, PlacedDocument
from engrave.score.restrung import first_strings
from engrave.score.seen import seen_in
from engrave.score.structure import ExplainSigns, NewLine, Score, View
from engrave.style.sections import POINTS_PER_MM, Style


def place_score(
    score: Score,
    style: Style,
    view: View | None = None,
    examples: Mapping[str, Score] | None = None,
    in_book: bool = False,
    first_turned: int = 0,
) -> PlacedDocument:
    """Lay out `score` on pages. `view` outranks what the score says. Pure: same input, same output.

    `examples` of signs, by name, are explained after the music. `in_book`: all pages are laid out as right-hand ones,
    without page numbers and running heads, which are the book's business. `first_turned`: the first page (from 1) after
    which a leaf is turned, and then every second one; 0 where that is not known. Pages end there, if they can, where
    the hands are free.
    """
    score = seen_in(score, view)
    face = music_face()
    plans = plan_staves(score, view, style.staff)
    sheet = measure_sheet(plans, style)
    heading = _heading_as_system(score, sheet, style)
    explained: list[System] = []
    if examples:
        width = sheet.line + sheet.bracket_room
        is_new = score.explain_signs is ExplainSigns.NEW
        explained = place_explained_signs(
            examples,
            view or score.view,
            width,
            style,
            face,
            only_new=is_new,
            instrument=first_strings([score]),
        )
    setter = MusicSetter(score, plans, style, face, sheet)
    filler = PageFiller(score, style, sheet, heading, explained)
    systems, starts = _build_systems(setter, score, style, sheet, filler=filler)
    pages = _build_pages(score, style, sheet, filler.fill(systems, starts, first_turned), in_book=in_book)
    credits = score.credits
    author = ", ".join(
        dict.fromkeys(name for name in (credits.music, credits.words, credits.arrangement) if name)
    )
    return PlacedDocument(
        pages, style.wordbook.title(score.title), author, score.language or style.wordbook.language
    )


def _build_systems(
    setter: MusicSetter, score: Score, style: Style, sheet: Sheet, filler: PageFiller
) -> tuple[list[System], list[int]]:
    """The systems: looser than usual where the whole piece then still stands on one page, or where pages then reach their feet."""
    breaking = style.breaking
    height = sheet.height / sheet.space
    room = height - sum(system.height + system.gaps(breaking)[1] for system in filler.others)
    room += breaking.system_gap  # nothing stands over the first
    starts_page = any(measure.new is NewLine.PAGE for measure in score.measures[1:])
    if not starts_page and setter.guess_lines() * setter.guess_height() < room:
        frames = setter.break_lines(is_roomy=True)
        if len(frames) * setter.guess_height() < room:
            systems, starts = setter.build(frames)
            if sum(system.height + system.gaps(breaking)[1] for system in systems) < room:
                return systems, starts
    built = setter.build(setter.break_lines())
    filled = filler.fill(*built)
    for more in range(1, _MORE_LINES + 1):
        if filled.blank <= breaking.blank_foot:
            break
        frames = setter.break_lines_into(len(built[0]) + more)
        if frames:
            looser = setter.build(frames)
            refilled = filler.fill(*looser)
            if (
                len(refilled.pages) == len(filled.pages)
                and refilled.blank < filled.blank - breaking.blank_foot
            ):
                return looser
    return built


_MORE_LINES = 2
"""So many lines more are tried where pages do not reach their feet (algorithm)."""


def _heading_as_system(score: Score, sheet: Sheet, style: Style) -> list[System]:
    """The titles as what comes before the first system; nothing where there are none."""
    heading = place_heading(score, sheet.line + sheet.bracket_room, style)
    if not heading.marks:
        return []
    return [System((StackedMarks(0.0, heading.marks, -sheet.bracket_room),), heading.height, keeps_next=True)]


def _build_pages(score: Score, style: Style, sheet: Sheet, filled: Filled, in_book: bool) -> tuple[Page, ...]:
    return tuple(
        _build_page(
            score,
            style,
            sheet,
            filled.systems,
            page=page,
            number=number,
            count=len(filled.pages),
            in_book=in_book,
        )
        for number, page in enumerate(filled.pages, start=1)
    )


def _build_page(
    score: Score,
    style: Style,
    sheet: Sheet,
    systems: Sequence[System],
    page: FilledPage,
    number: int,
    count: int,
    in_book: bool,
) -> Page:
    paper, space = style.paper, sheet.space
    is_left = is_left_hand(number, style) and not in_book
    left_margin = paper.margin_outer if is_left else paper.margin_inner
    left = left_margin * POINTS_PER_MM
    top = (paper.height - paper.margin_top) * POINTS_PER_MM
    groups: list[Group] = []
    if number > 1:
        top -= head_room(score, style)
    for index, gap in zip(range(page.first, page.stop), page.gaps, strict=True):
        top -= gap
        x = left + sheet.bracket_room * space
        groups.extend(
            Group(x + layer.x * space, top + layer.y * space, space * layer.scale, layer.marks)
            for layer in systems[index].layers
        )
        top -= systems[index].height * space
    said = decide_furniture(number, count, score.title, score.copyright)
    if in_book:
        said = Furniture(foot=said.foot)
    if said.foot or not in_book:
        groups.append(place_furniture(said, score_places(number, left, sheet.width, style)))
    return Page(paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM, tuple(groups), number)
