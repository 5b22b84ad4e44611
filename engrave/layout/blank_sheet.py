"""The lines of a blank sheet. Everything is placed in millimetres from the sheet's lower left corner."""

from __future__ import annotations

from collections.abc import Iterator

from engrave.documents.paper import Holes, Paper, SystemKind
from engrave.fonts.symbols import MusicFace, music_face
from engrave.fonts.text_face import text_face
from engrave.layout.blank_systems import (
    Distances,
    Layout,
    Margins,
    fit_systems,
    sheet_margins,
    system_height,
    usual_distances,
)
from engrave.marks.mark import Glyph, Group, Line, Mark, Page, PlacedDocument, Text
from engrave.marks.role import Role
from engrave.style.sections import POINTS_PER_MM, Style
from engrave.theory.clef import Clef
from engrave.theory.instrument import letter_name

_TAB_SPACES = 1.5
"""A tab clef is drawn for lines so many staff spaces apart (fact: so our music face has them)."""
_HOLE_EDGE = 12.0
"""From the edge of the sheet to the middle of the holes in millimetres (fact: ISO 838)."""
_HOLE_HEIGHTS = {
    Holes.NONE: (),
    Holes.TWO: (-40.0, 40.0),
    Holes.THREE: (-108.0, 0.0, 108.0),
    Holes.FOUR: (-120.0, -40.0, 40.0, 120.0),
}
"""Heights of the holes over the middle of the sheet in millimetres (fact: two and four by ISO 838, 80 mm apart; three: 108 mm)."""


def place_paper(paper: Paper, style: Style) -> PlacedDocument:
    """All pages of a blank paper. Raises Misfit when the systems have no room."""
    layout = fit_systems(paper, style.blank)
    face, say = music_face(), style.wordbook.page
    front = sheet_margins(paper, style.blank)
    pages = []
    for number in range(1, paper.pages + 1):
        is_back = number % 2 == 0
        margins = front._replace(inner=front.outer, outer=front.inner) if is_back else front
        marks = list(_Sheet(paper, margins, layout, style, face, is_back).marks())
        group = Group(0.0, 0.0, POINTS_PER_MM, tuple(marks))
        pages.append(Page(paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM, (group,), number))
    return PlacedDocument(tuple(pages), say.blank_paper, "", style.wordbook.language)


def place_systems(paper: Paper, style: Style) -> tuple[tuple[Mark, ...], float]:
    """One system of `paper` under y = 0, from x = 0 over its whole width; the marks and their height, in millimetres."""
    distances = usual_distances(paper, style.blank)
    sheet = _Sheet(paper, Margins(), Layout((), distances), style, music_face())
    kind = paper.kinds[0]
    height = system_height(kind, paper.instrument.strings, distances, style.blank)
    marks = sheet.grids(0.0) if kind is SystemKind.CHORD_GRIDS else sheet.system(kind, 0.0)
    return tuple(marks), height


class _Sheet:
    """One page. The back of a leaf has its holes at the right, for they are those of the front (fact)."""

    def __init__(
        self,
        paper: Paper,
        margins: Margins,
        layout: Layout,
        style: Style,
        face: MusicFace,
        is_back: bool = False,
    ) -> None:
        self._hole_x = paper.width - _HOLE_EDGE if is_back else _HOLE_EDGE
        self._paper = paper
        self._margins = margins
        self._grey = style.blank.grey_ink if paper.is_grey else 0.0
        self._layout = layout
        self._style = style.blank
        self._say = style.wordbook.page
        self._says_h = style.words.says_h
        self._face = face
        self._left = margins.inner
        self._right = paper.width - margins.outer

    def marks(self) -> Iterator[Mark]:
        """Everything on the page, from the top down."""
        yield from self._heading()
        for system in self._layout.systems:
            if system.kind is SystemKind.CHORD_GRIDS:
                yield from self.grids(system.top)
            else:
                yield from self.system(system.kind, system.top)
        yield from self._holes()
        if self._paper.footer:
            words = self._style.words
            size = words.size / POINTS_PER_MM
            width = text_face(words.face).width(self._paper.footer, size)
            x = (self._left + self._right - width) / 2
            yield Text(Role.COPYRIGHT, x, self._margins.bottom, self._paper.footer, words.face, size)

    def _heading(self) -> Iterator[Mark]:
        """Ruled lines for a title and a date."""
        paper, words = self._paper, self._style.words
        y = paper.height - self._margins.top - self._style.heading_room / 2
        size = words.size / POINTS_PER_MM
        middle = self._left + (self._right - self._left) * self._style.date_start
        if paper.title:
            end = middle - self._style.title_gap if paper.date else self._right
            yield from self._ruled(self._say.title, self._left, end, y, size)
        if paper.date:
            yield from self._ruled(self._say.date, middle, self._right, y, size)

    def _ruled(self, word: str, left: float, right: float, y: float, size: float) -> Iterator[Mark]:
        face = self._style.words.face
        yield Text(Role.CREDIT, left, y, word, face, size, grey=self._grey)
        start = left + text_face(face).width(word, size) + self._style.word_gap
        yield self._line(Role.STAFF_LINE, start, y, right, y)

    def system(self, kind: SystemKind, top: float) -> Iterator[Mark]:
        """The lines of a system under y = `top`."""
        distances, strings = self._layout.distances, self._paper.instrument.strings
        height = system_height(kind, strings, distances, self._style)
        for x in (self._left, self._right):
            yield self._line(Role.BARLINE, x, top, x, top - height)
        first = self._left + self._clef_room(kind, distances)
        measures = self._paper.measures
        for number in range(1, measures):
            x = first + (self._right - first) * number / measures
            yield self._line(Role.BARLINE, x, top, x, top - height)
        if kind is not SystemKind.TAB:
            yield from self._staff(top, distances.staff)
        if kind is not SystemKind.STAFF:
            yield from self._tab(top - height + (strings - 1) * distances.tab, distances.tab)

    def _clef_room(self, kind: SystemKind, distances: Distances) -> float:
        """From the left end of the lines to where the first measure begins: measures are equally wide beyond the clef."""
        if not self._paper.clef:
            return 0.0
        widths = []
        if kind is not SystemKind.TAB:
            widths.append(
                (self._face.glyph(self._clef().glyph).box.right + 2 * self._style.clef_gap) * distances.staff
            )
        if kind is not SystemKind.STAFF:
            box = self._face.glyph(self._tab_clef()).box
            widths.append((box.right + 2 * self._style.clef_gap) * distances.tab / _TAB_SPACES)
        return max(widths)

    def _clef(self) -> Clef:
        return self._paper.instrument.clef

    def _tab_clef(self) -> str:
        return f"{self._paper.instrument.strings}stringTabClef"

    def _staff(self, top: float, distance: float) -> Iterator[Mark]:
        for number in range(5):
            y = top - number * distance
            yield self._line(Role.STAFF_LINE, self._left, y, self._right, y)
        if self._paper.clef:
            y = top - 4 * distance + self._clef().reference_position / 2 * distance
            x = self._left + self._style.clef_gap * distance
            yield Glyph(Role.CLEF, x, y, self._clef().glyph, size=distance, grey=self._grey)

    def _tab(self, top: float, distance: float) -> Iterator[Mark]:
        instrument = self._paper.instrument
        for number in range(instrument.strings):
            y = top - number * distance
            yield self._line(Role.TAB_LINE, self._left, y, self._right, y)
            if self._paper.string_names:
                yield from self._name(letter_name(instrument.tuning[number], self._says_h), y)
        if self._paper.clef:
            size = distance / _TAB_SPACES
            y = top - (instrument.strings - 1) * distance / 2
            yield Glyph(
                Role.CLEF,
                self._left + self._style.clef_gap * size,
                y,
                self._tab_clef(),
                size=size,
                grey=self._grey,
            )

    def _name(self, name: str, y: float) -> Iterator[Mark]:
        """A string's letter, right-aligned before its line."""
        words = self._style.words
        size = words.size * self._style.name_size / POINTS_PER_MM
        face = text_face(words.face)
        x = self._left - self._style.name_gap - face.width(name, size)
        drop = face.ink("E", size).top / 2
        yield Text(Role.STRING_NAME, x, y - drop, name, words.face, size, grey=self._grey)

    def grids(self, top: float) -> Iterator[Mark]:
        """A system of empty chord grids, as many as fit, shared out over the width."""
        style, strings = self._style, self._paper.instrument.strings
        width = self._right - self._left
        count = max(1, int((width + style.grid_gap) / (style.grid_width + style.grid_gap)))
        gap = (width - count * style.grid_width) / (count - 1) if count > 1 else 0.0
        nut = top - style.grid_name_room
        foot = nut - style.grid_frets * style.grid_fret_distance
        for number in range(count):
            left = self._left + number * (style.grid_width + gap)
            right = left + style.grid_width
            for string in range(strings):
                x = left + style.grid_width * string / (strings - 1)
                yield self._line(Role.GRID_LINE, x, nut, x, foot)
            for fret in range(1, style.grid_frets + 1):
                y = nut - fret * style.grid_fret_distance
                yield self._line(Role.GRID_LINE, left, y, right, y)
            half = style.line / 2
            yield Line(Role.GRID_NUT, left - half, nut, right + half, nut, self._style.nut, grey=self._grey)

    def _holes(self) -> Iterator[Mark]:
        """A small cross where each hole is punched."""
        half = self._style.hole_mark / 2
        for height in _HOLE_HEIGHTS[self._paper.holes]:
            y = self._paper.height / 2 + height
            yield self._line(Role.HOLE, self._hole_x - half, y, self._hole_x + half, y)
            yield self._line(Role.HOLE, self._hole_x, y - half, self._hole_x, y + half)

    def _line(self, role: Role, x1: float, y1: float, x2: float, y2: float) -> Line:
        return Line(role, x1, y1, x2, y2, self._style.line, grey=self._grey)
