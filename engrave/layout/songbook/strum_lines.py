"""The strum patterns of a song at the head of its chord sheet: arrows over the count, a line for each."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from engrave.fonts.symbols import music_face
from engrave.fonts.text_face import text_face
from engrave.layout.text.boxes import FlowBox
from engrave.marks.mark import Glyph, Group, Mark, Source, Text
from engrave.marks.role import Role
from engrave.score.sign_list import SignName
from engrave.score.structure import Measure, Part, Score
from engrave.score.strums import Stroke, StrumRow
from engrave.style.sections import Style
from engrave.theory.counting import count_syllables
from engrave.theory.metre import Metre

_SIGNS = {Stroke.DOWN: SignName.STRUM_DOWN, Stroke.UP: SignName.STRUM_UP}


class _Line(NamedTuple):
    """A pattern where it first holds."""

    row: StrumRow
    metre: Metre
    label: str
    source: Source


def place_strum_lines(score: Score, style: Style, width: float, size: float) -> list[FlowBox]:
    """The patterns of `score` in the order in which they come, over `width` points in words of `size` points.

    Their counts begin under one another, and stand closer where a pattern would be too wide. None where nothing is strummed.
    """
    lines = list(_find_lines(score))
    page = style.wordbook.page
    words = [
        page.strum + (page.colon + line.label if line.label and len(lines) > 1 else "") for line in lines
    ]
    face = text_face(style.prose.heading_3.face)
    start = max((face.width(text, size) for text in words), default=0.0) + size * style.book.sheet_strum_gap
    boxes = []
    for line, text in zip(lines, words, strict=True):
        step = min(size * style.book.sheet_strum_step, (width - start) / len(line.row.strokes))
        boxes.append(_place_line(line, text, start, step, style, size))
    return boxes


def _find_lines(score: Score) -> Iterator[_Line]:
    """Each pattern once for each metre, from the first part that has any; it is called by the section where it begins."""
    part = next((p for p in score.parts if any(m.strum is not None for m in p.measures)), None)
    found: set[tuple[StrumRow, Metre]] = set()
    label = ""
    for measure, content in zip(score.measures, part.measures if part is not None else (), strict=False):
        label = measure.label or label
        row = content.strum.row_for(measure.metre) if content.strum is not None else None
        if part is None or row is None or measure.pickup or (row, measure.metre) in found:
            continue
        found.add((row, measure.metre))
        yield _Line(row, measure.metre, label, _source(measure, part))


def _source(measure: Measure, part: Part) -> Source:
    location = measure.location
    return Source(location.line, location.column, part.id, measure.index + 1)


def _place_line(line: _Line, words: str, start: float, step: float, style: Style, size: float) -> FlowBox:
    """One pattern: what it is called, its counts in a row from `start` on, `step` apart, and its arrows over them."""
    body, music, space = style.prose.body.face, music_face(), size * style.book.sheet_strum_arrow
    glyphs = {stroke: style.signs[sign].glyph for stroke, sign in _SIGNS.items()}
    boxes = {stroke: music.glyph(name).box for stroke, name in glyphs.items()}
    height = size * style.book.sheet_strum_pitch + space * max(box.top - box.bottom for box in boxes.values())
    marks: list[Mark] = [
        Text(Role.LABEL, 0.0, -height, words, style.prose.heading_3.face, size, source=line.source)
    ]
    arrows: list[Mark] = []
    count = line.metre.length / len(line.row.strokes)
    onsets = [number * count for number in range(len(line.row.strokes))]
    said = dict(count_syllables(line.metre, onsets, words=style.wordbook.counting))
    for number, (onset, stroke) in enumerate(zip(onsets, line.row.strokes, strict=True)):
        middle = start + number * step
        if onset in said:
            left = middle - text_face(body).width(said[onset], size) / 2
            marks.append(Text(Role.COUNTING, left, -height, said[onset], body, size, source=line.source))
        if stroke in glyphs:
            box = boxes[stroke]
            x = middle / space - (box.left + box.right) / 2
            arrows.append(Glyph(Role.PLAYING_SIGN, x, -box.top, glyphs[stroke], line.source))
    groups = (Group(0.0, 0.0, 1.0, tuple(marks)), Group(0.0, 0.0, space, tuple(arrows)))
    return FlowBox(height, groups, size * style.book.stanza_gap, keeps_next=True)
