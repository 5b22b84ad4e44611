"""Signs explained: for each sign a small example, its name, and a sentence on how to play it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from engrave.fonts.face_files import MUSIC_FACE
from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import wrap
from engrave.layout.lines.frames import LineFramer
from engrave.layout.lines.signs import SignPlanner
from engrave.layout.measures.measure_ink import MeasureInkBuilder
from engrave.layout.octave_lines import OCTAVE_LINES
from engrave.layout.staves import plan_staves
from engrave.layout.systems.system import StackedMarks, System, SystemBuilder
from engrave.layout.text.collation import collation_key
from engrave.marks.mark import Mark, Text
from engrave.marks.role import Role
from engrave.score.joins import resolve_joins
from engrave.score.restrung import restrung
from engrave.score.structure import Barline, Score, View
from engrave.score.used_signs import STRAINING
from engrave.style.sections import Style
from engrave.style.words import TextStyle
from engrave.theory.instrument import Instrument


class Strip(NamedTuple):
    """A finished strip and its width in staff spaces."""

    system: System
    width: float


def place_strip(score: Score, view: View, style: Style, face: MusicFace) -> Strip:
    """All measures of `score` on one line."""
    last = len(score.measures) - 1
    measures = tuple(
        replace(
            measure,
            key_changes=False,
            metre_changes=False,
            barline=Barline.SINGLE if index < last else Barline.NONE,
        )
        for index, measure in enumerate(score.measures)
    )
    bare = replace(score, measures=measures)
    plans = plan_staves(bare, view, style.staff)
    joins = [resolve_joins(part.measures) for part in bare.parts]
    inks = MeasureInkBuilder(bare, plans, joins, style, face).build_all()
    framer = LineFramer(
        inks, SignPlanner(plans, style.spacing, face), face.glyph("repeatDot").box.right, style
    )
    frame = framer.frame(0, len(inks), 0.0, 0.0, 1.0)
    return Strip(SystemBuilder(bare, plans, joins, style, face).build(frame, None, None), frame.width)


_ON_STAFF = ("slash", "multiple-rest", "swing", "grace", "appoggiatura", "closing-grace")
"""Signs beyond the list that a staff shows better than the tab under it."""


class _Line(NamedTuple):
    """One line of words: its face and size, the drop of its baseline from the top of the words."""

    role: Role
    text: str
    style: TextStyle
    drop: float


class _Entry(NamedTuple):
    """One sign: its example at `scale`, its words, and the height of the taller of the two."""

    strip: Strip
    scale: float
    lines: tuple[_Line, ...]
    words_height: float
    height: float


def place_explained_signs(
    examples: Mapping[str, Score],
    view: View,
    width: float,
    style: Style,
    face: MusicFace,
    only_new: bool = False,
    instrument: Instrument | None = None,
) -> list[System]:
    """The explanations of `examples` over `width` staff spaces, row by row; the heading stays with the first row.

    Tabs have the strings of `instrument`.
    """
    examples = {sign: score for sign, score in examples.items() if _is_shown(sign, view, style)}
    if not examples:
        return []
    explained, book = style.explanations, style.wordbook
    column = (width - explained.gap * 2 * (explained.columns - 1)) / explained.columns
    ordered = sorted(
        examples.items(), key=lambda item: collation_key(book.signs[item[0]].name, book.language)
    )
    strips = []
    for sign, score in ordered:
        own = _example_view(sign, view, style)
        is_tab = own in (View.TAB, View.RHYTHM_TAB) and instrument is not None and instrument.strings
        strung = restrung(score, instrument) if is_tab and instrument is not None else score
        strips.append(place_strip(strung, own, style, face))
    scales = [_decide_scale(strip, column, style) for strip in strips]
    room = max(explained.example_width, *(s.width * scale for s, scale in zip(strips, scales, strict=True)))
    entries = [
        _measure(sign, strip, scale, column - room - explained.gap, style)
        for (sign, _), strip, scale in zip(ordered, strips, scales, strict=True)
    ]
    rows = [entries[i : i + explained.columns] for i in range(0, len(entries), explained.columns)]
    title = book.page.new_signs if only_new else book.page.signs_used
    heading = _words_block(Role.EXPLANATION_HEADING, title, explained.heading, width, style)
    first, *others = [_row_block(row, column, room, style) for row in rows]
    blocks = [_stack(heading, first, explained.row_gap), *others]
    if not STRAINING.isdisjoint(examples):
        blocks[-1] = blocks[-1]._replace(keeps_next=True)
        blocks.append(_words_block(Role.EXPLANATION_CAUTION, book.page.strain, explained.text, width, style))
    return blocks[:1] + [
        block._replace(gap=explained.row_gap, gap_least=explained.row_gap_least) for block in blocks[1:]
    ]


def _decide_scale(strip: Strip, column: float, style: Style) -> float:
    """How much smaller an example stands beside its words, but none of its letters smaller than the style's smallest.

    It takes no more than half of its column all the same.
    """
    explained = style.explanations
    sizes = [m.size for layer in strip.system.layers for m in layer.marks if isinstance(m, Text)]
    words = (kind for kind in style.words if isinstance(kind, TextStyle) and kind.face != MUSIC_FACE)
    least = min(kind.size for kind in words) / min(sizes) if sizes else 0.0
    scale = min(explained.example_size, explained.example_width / strip.width)
    return min(max(scale, min(1.0, least)), column / 2 / strip.width)


def _measure(sign: str, strip: Strip, scale: float, room: float, style: Style) -> _Entry:
    """An entry whose words are `room` wide."""
    explained = style.explanations
    words = style.wordbook.signs[sign]
    lines = []
    drop = 0.0
    for role, text, kind in (
        (Role.EXPLANATION_NAME, words.name, explained.name),
        (Role.EXPLANATION_TEXT, words.play, explained.text),
    ):
        for line in wrap(text, kind.face, kind.size, room):
            drop += kind.size * style.explanations.line_pitch
            lines.append(_Line(role, line, kind, drop))
    height = max(strip.system.height * scale, drop)
    return _Entry(strip, scale, tuple(lines), drop, height)


def _is_shown(sign: str, view: View, style: Style) -> bool:
    """True when the pages show the sign: octave lines need a staff, and a style may leave a sign out."""
    if sign in OCTAVE_LINES and view not in (View.STAFF, View.STAFF_AND_TAB, View.LEAD_SHEET):
        return False
    shown = style.signs.get(sign)
    return shown is None or shown.on != "none"


def _example_view(sign: str, view: View, style: Style) -> View:
    """The one staff on which the sign is seen in the score's view."""
    if view is View.STAFF_AND_TAB:
        shown = style.signs.get(sign)
        return View.STAFF if sign in _ON_STAFF or (shown is not None and shown.on == "staff") else View.TAB
    return View.STAFF if view is View.LEAD_SHEET else view


def _row_block(row: Sequence[_Entry], column: float, room: float, style: Style) -> System:
    """Entries side by side: examples, `room` wide, about the middle of the row, and all names on one line."""
    explained = style.explanations
    height = max(entry.height for entry in row)
    words_top = (height - max(entry.words_height for entry in row)) / 2
    layers: list[StackedMarks] = []
    for number, entry in enumerate(row):
        left = number * (column + explained.gap * 2)
        top = (height - entry.strip.system.height * entry.scale) / 2
        layers.extend(
            StackedMarks(layer.y * entry.scale - top, layer.marks, left, entry.scale)
            for layer in entry.strip.system.layers
        )
        words_left = left + room + explained.gap
        texts: list[Mark] = [
            Text(line.role, words_left, -words_top - line.drop, line.text, line.style.face, line.style.size)
            for line in entry.lines
        ]
        layers.append(StackedMarks(0.0, tuple(texts)))
    return System(tuple(layers), height)


def _stack(upper: System, lower: System, gap: float) -> System:
    """Two blocks as one, kept on one page."""
    top = upper.height + gap
    moved = tuple(layer._replace(y=layer.y - top) for layer in lower.layers)
    return System((*upper.layers, *moved), top + lower.height)


def _words_block(role: Role, text: str, kind: TextStyle, width: float, style: Style) -> System:
    """Words over the whole width."""
    marks: list[Mark] = []
    drop = 0.0
    for line in wrap(text, kind.face, kind.size, width):
        drop += kind.size * (style.explanations.line_pitch if marks else 1.0)
        marks.append(Text(role, 0.0, -drop, line, kind.face, kind.size))
    tail = -text_face(kind.face).ink("p", kind.size).bottom
    return System((StackedMarks(0.0, tuple(marks)),), drop + tail)
