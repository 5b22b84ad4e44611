"""What frames the music of a staff: its lines, clef, key and time signatures, barlines."""

from __future__ import annotations

from collections.abc import Iterable

from engrave.fonts.symbols import MusicFace
from engrave.layout.curves import APEX_SHARE
from engrave.layout.lines.barlines import BarlineSign, repeat_dot_heights
from engrave.layout.lines.frames import LineFrame
from engrave.layout.lines.signs import PlacedSign, Signs
from engrave.layout.measures.clef_changes import AT_END
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.mark import NO_SOURCE, Curve, Glyph, Line, Mark, Source
from engrave.marks.role import Role
from engrave.style.sections import StaffStyle


def place_staff_lines(canvas: StaffCanvas, frame: LineFrame, style: StaffStyle) -> None:
    """Draw the lines of a staff or a tab under everything else, broken where the canvas says so."""
    plan = canvas.plan
    role, width = (Role.TAB_LINE, style.tab_line) if plan.is_tab else (Role.STAFF_LINE, style.line)
    grey = style.tab_line_grey if plan.is_tab else 0.0
    lines: list[Mark] = []
    for number, gaps in enumerate(canvas.line_gaps):
        y = (plan.lines - 1 - number) * plan.pitch
        start = frame.indent
        pieces = []
        for left, right in sorted(gaps):
            if left - start > style.fret_clearance:
                pieces.append((start, left))
            start = max(start, right)
        if frame.width > start:
            pieces.append((start, frame.width))
        lines.extend(
            Line(role=role, x1=x1, y1=y, x2=x2, y2=y, width=width, source=NO_SOURCE, dash=None, grey=grey)
            for x1, x2 in pieces
        )
    canvas.marks[:0] = lines


def place_signs(canvas: StaffCanvas, frame: LineFrame, face: MusicFace, small: float) -> None:
    """Draw the signs at the line's start, at changes inside it, and the warnings at its end. `small` is the size of changing clefs."""
    _place_sign_row(canvas, frame.start, frame.indent, face, NO_SOURCE)
    for measure in frame.measures:
        if measure.signs.has_ink:
            source = Source(
                measure.measure.location.line, measure.measure.location.column, "", measure.measure.index + 1
            )
            _place_sign_row(canvas, measure.signs, measure.signs_x, face, source)
        for clef in measure.ink.clefs:
            if clef.staff == canvas.plan.index:
                x = (measure.right if clef.column == AT_END else measure.xs[clef.column]) + clef.dx
                canvas.marks.append(Glyph(Role.CLEF, x, clef.y, clef.glyph, clef.source, small))
                box = face.glyph(clef.glyph).box
                canvas.ink(
                    x + box.left * small,
                    x + box.right * small,
                    clef.y + box.bottom * small,
                    clef.y + box.top * small,
                )
    if frame.courtesy.has_ink:
        _place_sign_row(canvas, frame.courtesy, frame.courtesy_x, face, NO_SOURCE)


def _place_sign_row(canvas: StaffCanvas, signs: Signs, x: float, face: MusicFace, source: Source) -> None:
    index = canvas.plan.index
    for role, rows in (
        (Role.CLEF, signs.clefs),
        (Role.KEY_SIGNATURE, signs.keys),
        (Role.TIME_SIGNATURE, signs.metres),
    ):
        row: Iterable[PlacedSign] = rows[index] if rows else ()
        for sign in row:
            canvas.glyph(role, x + sign.x, sign.y, sign.glyph, source)
            box = face.glyph(sign.glyph).box
            canvas.ink(x + sign.x + box.left, x + sign.x + box.right, sign.y + box.bottom, sign.y + box.top)


def place_repeat_dots(canvas: StaffCanvas, frame: LineFrame) -> None:
    """Draw the dots of repeats on this staff."""
    heights = repeat_dot_heights(canvas.plan.lines, canvas.plan.pitch)
    signs = [(frame.opening, frame.opening_x)] + [(m.barline, m.right) for m in frame.measures]
    for sign, x in signs:
        for dx in sign.dots:
            for y in heights:
                canvas.glyph(Role.REPEAT_DOT, x + dx, y, "repeatDot", NO_SOURCE)


def place_barlines(frame: LineFrame, bottom: float, top: float, style: StaffStyle) -> list[Mark]:
    """The strokes of every barline from `bottom` to `top`, in the coordinates of the caller."""
    marks: list[Mark] = []
    for sign, x in [(frame.opening, frame.opening_x)] + [(m.barline, m.right) for m in frame.measures]:
        marks.extend(_strokes(sign, x, bottom, top, style))
    return marks


def _strokes(sign: BarlineSign, x: float, bottom: float, top: float, style: StaffStyle) -> Iterable[Mark]:
    for stroke in sign.strokes:
        middle = x + stroke.dx + stroke.width / 2
        dash = (style.dashed_barline_on, style.dashed_barline_off) if stroke.dashed else None
        yield Line(Role.BARLINE, middle, bottom, middle, top, stroke.width, dash=dash)


def place_system_start(
    frame: LineFrame,
    staves: list[tuple[float, float]],
    groups: list[tuple[float, float]],
    braces: list[tuple[float, float]],
    style: StaffStyle,
) -> list[Mark]:
    """The line that joins all staves at the left, a bracket for every part with several staves, and braces left of them.

    `staves`, `groups` and `braces` are (bottom, top) of each staff, of each bracketed part and of each brace; one staff alone
    has no such line.
    """
    marks: list[Mark] = []
    if len(staves) < 2:
        return marks
    bottom, top = min(b for b, _ in staves), max(t for _, t in staves)
    half = style.thin_barline / 2
    marks.append(
        Line(Role.BARLINE, frame.indent + half, bottom, frame.indent + half, top, style.thin_barline)
    )
    for low, high in groups:
        x = frame.indent - style.bracket_gap - style.bracket_bar / 2
        marks.append(Line(Role.SYSTEM_BRACKET, x, low - 0.5, x, high + 0.5, style.bracket_bar))
        left = x - style.bracket_bar / 2
        marks.append(Glyph(Role.SYSTEM_BRACKET, left, high + 0.5, "bracketTop"))
        marks.append(Glyph(Role.SYSTEM_BRACKET, left, low - 0.5, "bracketBottom"))
    right = frame.indent - style.bracket_gap - (style.bracket_bar + style.brace_gap if groups else 0.0)
    for low, high in braces:
        marks.extend(_brace(right, low, high, style))
    return marks


def _brace(right: float, low: float, high: float, style: StaffStyle) -> Iterable[Mark]:
    """A brace whose ends stand at `right`: two halves that meet in a point at the left."""
    width, thick, middle = style.brace_width, style.brace_thickness / APEX_SHARE, (low + high) / 2
    left = right - width
    for end in (low, high):
        reach = style.brace_reach * (end - middle)
        near, far = (left + style.brace_bow * width, middle + reach), (left, end - reach)
        outer = ((left, middle), near, far, (right, end))
        inner = ((left, middle), (near[0] + thick, near[1]), (far[0] + thick, far[1]), (right, end))
        yield Curve(Role.SYSTEM_BRACKET, outer, inner)
