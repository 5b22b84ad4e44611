"""The front door of layout: a score and a style become pages of placed marks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from engrave.breaking import FilledPage, PageCosts, SystemBox, ease_turns, fill_pages
from engrave.fonts.symbols import MusicFace, music_face
from engrave.fonts.text_face import text_face
from engrave.layout.explained_signs import place_explained_signs
from engrave.layout.lines.breaks import LineBreaker, frame_lines
from engrave.layout.lines.frames import LineFramer
from engrave.layout.lines.signs import SignPlanner
from engrave.layout.measures.measure_ink import MeasureInkBuilder
from engrave.layout.pages.furniture import decide_furniture, is_left_hand, place_furniture, score_places
from engrave.layout.pages.headings import place_heading
from engrave.layout.pages.turns import hands_are_free
from engrave.layout.staves import StaffPlan, plan_staves
from engrave.layout.systems.system import StackedMarks, System, SystemBuilder
from engrave.marks.mark import Group, Page, PlacedDocument
from engrave.score.joins import resolve_joins
from engrave.score.seen import seen_in
from engrave.score.structure import ExplainSigns, NewLine, Score, View
from engrave.style.sections import POINTS_PER_MM, Style


class Sheet(NamedTuple):
    """The music's area in points, and its width in staff spaces."""

    width: float
    height: float
    bracket_room: float
    line: float
    space: float


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
    systems, starts = build_systems(score, plans, style, face, sheet)
    if examples:
        width = sheet.line + sheet.bracket_room
        systems.extend(
            place_explained_signs(
                examples, view or score.view, width, style, face, score.explain_signs is ExplainSigns.NEW
            )
        )
    heading = _heading_as_system(score, sheet, style)
    pages = _fill(
        score,
        style,
        sheet,
        heading,
        systems=systems,
        starts=starts,
        in_book=in_book,
        first_turned=first_turned,
    )
    credits = score.credits
    author = ", ".join(
        dict.fromkeys(name for name in (credits.music, credits.words, credits.arrangement) if name)
    )
    return PlacedDocument(
        pages, style.wordbook.title(score.title), author, score.language or style.wordbook.language
    )


def measure_sheet(plans: Sequence[StaffPlan], style: Style, width: float | None = None) -> Sheet:
    """The area of a page of `style`; `width` in points where the music has less than the page."""
    paper, space = style.paper, style.staff_space
    has_brackets = len({plan.part for plan in plans}) > 1 and any(not plan.is_last for plan in plans)
    room = style.staff.bracket_gap + style.staff.bracket_bar if has_brackets else 0.0
    if width is None:
        width = (paper.width - paper.margin_inner - paper.margin_outer) * POINTS_PER_MM
    height = (paper.height - paper.margin_top - paper.margin_bottom) * POINTS_PER_MM
    return Sheet(width, height, room, width / space - room, space)


def build_systems(
    score: Score, plans: Sequence[StaffPlan], style: Style, face: MusicFace, sheet: Sheet
) -> tuple[list[System], list[int]]:
    """The systems from top to bottom, and the index of each one's first measure."""
    if not score.measures:
        return [], []
    joins = [resolve_joins(part.measures) for part in score.parts]
    inks = MeasureInkBuilder(score, plans, joins, style, face).build_all()
    signs = SignPlanner(plans, style.spacing, face)
    framer = LineFramer(inks, signs, face.glyph("repeatDot").box.right, style)
    indent = _first_indent(score, plans, style)
    breaker = LineBreaker(inks, framer, sheet.line, indent, style.breaking)
    builder = SystemBuilder(score, plans, joins, style, face)
    systems: list[System] = []
    starts: list[int] = []
    first = 0
    for frame in frame_lines(breaker, framer, sheet.line, indent):
        stop = first + len(frame.measures)
        before = score.measures[first - 1] if first else None
        after = score.measures[stop] if stop < len(score.measures) else None
        systems.append(builder.build(frame, before, after))
        starts.append(first)
        first = stop
    return systems, starts


def _first_indent(score: Score, plans: Sequence[StaffPlan], style: Style) -> float:
    """Room at the left of the first system for part names or the letters of an unusual tuning."""
    indent = 0.0
    if len(score.parts) > 1:
        words = style.words.part_name
        widest = max(
            text_face(words.face).width(style.wordbook.part_name(part), words.size) for part in score.parts
        )
        indent = widest + style.spacing.bracket_indent
    unusual = any(plan.is_tab and score.parts[plan.part].instrument.names_its_strings for plan in plans)
    return indent + (style.staff.tuning_room if unusual else 0.0)


def _heading_as_system(score: Score, sheet: Sheet, style: Style) -> list[System]:
    """The titles as what comes before the first system; nothing where there are none."""
    heading = place_heading(score, sheet.line + sheet.bracket_room, style)
    if not heading.marks:
        return []
    return [System((StackedMarks(0.0, heading.marks, -sheet.bracket_room),), heading.height, keeps_next=True)]


def _fill(
    score: Score,
    style: Style,
    sheet: Sheet,
    heading: list[System],
    systems: list[System],
    starts: list[int],
    in_book: bool,
    first_turned: int,
) -> tuple[Page, ...]:
    space, breaking = sheet.space, style.breaking
    if heading and systems:
        under_titles = systems[0]._replace(
            gap=breaking.title_gap, gap_least=breaking.title_gap_least, grows=False
        )
        systems = [*heading, under_titles, *systems[1:]]
    boxes = [_box(system, space, style) for system in systems or heading]
    ahead = len(heading)
    forced = {
        number + ahead
        for number, first in enumerate(starts)
        if number and score.measures[first].new is NewLine.PAGE
    }
    costs = page_costs(style, breaking.lone_system_penalty, breaking.lone_last_penalty)
    height = sheet.height - _head_room(score, style)
    most = breaking.system_gap_most * space

    def fill(breaks: set[int]) -> list[FilledPage]:
        return fill_pages(boxes, sheet.height, height, most, breaks, costs)

    filled = fill(forced)
    if first_turned and len(filled) > 1:
        free = [
            bool(stop) and hands_are_free(score, stop - 1, breaking.turn_rest) for stop in [*starts[1:], 0]
        ]
        free = [False] * ahead + free + [True] * (len(systems) - ahead - len(starts))
        filled = ease_turns(filled, first_turned, free, forced, fill, look_back=breaking.turn_look_back)
    filled = filled or [FilledPage(0, 0, ())]
    return tuple(
        _build_page(
            score,
            style,
            sheet,
            systems or heading,
            page=page,
            number=number,
            count=len(filled),
            in_book=in_book,
        )
        for number, page in enumerate(filled, start=1)
    )


def _box(system: System, space: float, style: Style) -> SystemBox:
    least, gap = system.gaps(style.breaking)
    return SystemBox(system.height * space, least * space, gap * space, system.keeps_next, system.grows)


def page_costs(style: Style, lone_system: float = 0.0, lone_last: float = 0.0) -> PageCosts:
    """What the page search of `style` weighs, with the cost of one thing alone on a page and on the last."""
    breaking = style.breaking
    return PageCosts(
        breaking.page_fill_weight,
        lone_system,
        breaking.ragged_page_fill,
        breaking.sparse_page_penalty,
        breaking.sparse_page_fill,
        lone_last,
        last_foot=breaking.last_foot_weight,
        overfull=breaking.overfull_weight,
    )


def _head_room(score: Score, style: Style) -> float:
    """Points under the running head of every page but the first."""
    return (
        style.words.running_head.size * style.staff_space * style.words.running_head_gap
        if score.title
        else 0.0
    )


def _build_page(
    score: Score,
    style: Style,
    sheet: Sheet,
    systems: list[System],
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
        top -= _head_room(score, style)
    for index, gap in zip(range(page.first, page.stop), page.gaps, strict=True):
        top -= gap
        x = left + sheet.bracket_room * space
        groups.extend(
            Group(x + layer.x * space, top + layer.y * space, space * layer.scale, layer.marks)
            for layer in systems[index].layers
        )
        top -= systems[index].height * space
    if not in_book:
        said = decide_furniture(number, count, score.title, score.copyright)
        groups.append(place_furniture(said, score_places(number, left, sheet.width, style)))
    return Page(paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM, tuple(groups), number)
