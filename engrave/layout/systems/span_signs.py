"""Signs that last: letters with a dashed line, hairpins, and the dynamics that share their height."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.lines.frames import LineFrame, MeasureFrame
from engrave.layout.measures.lanes import dynamic_glyph
from engrave.layout.octave_lines import OCTAVE_LINES
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.words_around import beat_source
from engrave.marks.mark import Source
from engrave.marks.role import Role
from engrave.score.sign_list import SignName
from engrave.score.spans import Span, resolve_spans
from engrave.score.structure import Part, Score
from engrave.style.sections import Style
from engrave.theory.numbering import roman

_WEDGES = (SignName.CRESCENDO, SignName.DIMINUENDO)
_MIDDLE = 0.5
"""Height of the middle of a dynamic's letters over their baseline, in staff spaces: half the height of an m (fact: our music face)."""


class _Piece(NamedTuple):
    """What one line shows of a span; `starts` and `ends` are False where it comes from or goes on to another line."""

    span: Span
    source: Source
    left: float
    right: float
    starts: bool
    ends: bool


class SpanPlacer:
    """Places the spans and dynamics of one part through all its lines."""

    def __init__(self, score: Score, part: Part, style: Style, face: MusicFace) -> None:
        """`part` is one of `score`'s."""
        self._score = score
        self._part = part
        self._index = score.parts.index(part)
        self._style = style
        self._face = face
        self._spans = resolve_spans(
            [measure.length for measure in score.measures], [content.spans for content in part.measures]
        )
        self._centre = face.glyph("noteheadBlack").box.right / 2

    def place(self, canvas: StaffCanvas, frame: LineFrame, loudness: Direction) -> None:
        """Draw what stands on `canvas`; dynamics and hairpins on the side `loudness` of the part's first staff."""
        signs = self._style.signs
        pieces = [
            piece
            for piece in self._pieces(frame)
            if piece.span.sign.name in signs
            and not (canvas.plan.is_tab and piece.span.sign.name in OCTAVE_LINES)
            and canvas.plan.shows(signs[piece.span.sign.name])
        ]
        lines = [self._widen(piece) for piece in pieces if piece.span.sign.name not in _WEDGES]
        lines.sort(key=lambda piece: (signs[piece.span.sign.name].order, piece.left))
        for is_octave in (False, True):
            for side in ("above", "below"):
                group = [
                    piece
                    for piece in lines
                    if (piece.span.sign.name in OCTAVE_LINES) is is_octave
                    and (signs[piece.span.sign.name].side == "below") is (side == "below")
                ]
                for row in _share_rows(group, self._style.stacking.sign_gap):
                    self._place_lines(canvas, row)
        if canvas.plan.is_first:
            self._place_loudness(
                canvas, frame, [p for p in self._pieces(frame) if p.span.sign.name in _WEDGES], loudness
            )

    def _pieces(self, frame: LineFrame) -> list[_Piece]:
        first, last = frame.measures[0].measure.index, frame.measures[-1].measure.index
        pieces = []
        for span in self._spans:
            if span.last < first or span.first > last:
                continue
            starts, ends = span.first >= first, span.last <= last
            opening = frame.measures[0]
            left = (
                frame.measures[span.first - first].x_at(span.onset)
                if starts
                else (opening.xs[0] if opening.xs else opening.left)
            )
            closing = frame.measures[(span.last if ends else last) - first]
            right = closing.right
            if ends and span.end < closing.measure.length:
                right = closing.x_at(span.end) - self._reach_before(closing, span.end)
            right = max(right - self._style.stacking.sign_gap, left)
            pieces.append(_Piece(span, self._source(span), left, right, starts, ends))
        return pieces

    def _reach_before(self, measure: MeasureFrame, onset: Fraction) -> float:
        """How far the ink of a column (accidentals, grace notes) reaches to its left."""
        column = measure.ink.columns.get(onset)
        extents = [staff.extents[column] for staff in measure.ink.staves if column in staff.extents]
        return max((extent.left for extent in extents), default=0.0)

    def _source(self, span: Span) -> Source:
        location = span.sign.location
        measure = self._score.measures[span.first]
        return beat_source(location.line, location.column, self._part.id, measure, span.onset)

    def _widen(self, piece: _Piece) -> _Piece:
        """The piece, at least as long as its letters."""
        sign, words = self._style.signs[piece.span.sign.name], self._style.words.span
        width = text_face(words.face).width(self._text(piece, sign.letters), words.size * sign.size)
        return piece._replace(right=max(piece.right, piece.left + width))

    def _place_lines(self, canvas: StaffCanvas, pieces: Sequence[_Piece]) -> None:
        """Letters and dashed lines that share a row, all on one baseline."""
        stacking, words = self._style.stacking, self._style.words.span
        signs = [self._style.signs[piece.span.sign.name] for piece in pieces]
        up = signs[0].side != "below"
        face = text_face(words.face)
        texts = [self._text(piece, sign.letters) for piece, sign in zip(pieces, signs, strict=True)]
        inks = [face.ink(text or "I", words.size * s.size) for text, s in zip(texts, signs, strict=True)]
        drop, rise = min(ink.bottom for ink in inks), max(ink.top for ink in inks)
        if up:
            outline = max(canvas.upper.height(piece.left, piece.right) for piece in pieces)
            y = max(outline + stacking.sign_gap, canvas.plan.height + stacking.first_sign_gap) - min(
                0.0, drop
            )
        else:
            outline = min(canvas.lower.height(piece.left, piece.right) for piece in pieces)
            y = min(outline - stacking.sign_gap, -stacking.first_sign_gap) - rise
        for piece, text, sign in zip(pieces, texts, signs, strict=True):
            source, size = piece.source, words.size * sign.size
            width = face.width(text, size)
            canvas.text(Role.SPAN_TEXT, piece.left, y, text, face=words.face, size=size, source=source)
            middle = y + face.ink("I", size).top / 2
            self._dash(
                canvas,
                piece.left + width + stacking.span_text_gap,
                piece.right,
                middle,
                hook=piece.ends,
                up=up,
                source=source,
            )
            canvas.ink(piece.left, piece.right, y + min(0.0, drop), y + rise)

    def _text(self, piece: _Piece, letters: str) -> str:
        text = letters + (roman(int(piece.span.sign.detail)) if piece.span.sign.detail else "")
        return text if piece.starts else f"({text.strip()})"

    def _dash(
        self, canvas: StaffCanvas, left: float, right: float, y: float, hook: bool, up: bool, source: Source
    ) -> None:
        stacking = self._style.stacking
        if right - left < stacking.span_dash:
            return
        canvas.dashed_line(
            Role.SPAN_LINE,
            left,
            right,
            y,
            width=stacking.span_line,
            dash=stacking.span_dash,
            gap=stacking.span_dash_gap,
            source=source,
        )
        if hook:
            foot = y - stacking.span_hook if up else y + stacking.span_hook
            canvas.line(Role.SPAN_LINE, right, y, right, y2=foot, width=stacking.span_line, source=source)
            canvas.ink(right, right, min(y, foot), max(y, foot))

    def _place_loudness(
        self, canvas: StaffCanvas, frame: LineFrame, wedges: Sequence[_Piece], side: Direction
    ) -> None:
        """Dynamics and hairpins of one line, their middles at one height; hairpins keep clear of the letters."""
        stacking = self._style.stacking
        letters: list[tuple[float, float, str, Source]] = []
        for measure in frame.measures:
            for dynamic in measure.ink.parts[self._index].dynamics:
                glyph = dynamic_glyph(dynamic.text)
                box = self._face.glyph(glyph).box
                x = measure.x_at(dynamic.onset) + self._centre - (box.left + box.right) / 2
                source = beat_source(
                    dynamic.location.line,
                    dynamic.location.column,
                    self._part.id,
                    measure.measure,
                    dynamic.onset,
                )
                letters.append((x + box.left, x + box.right, glyph, source))
        if not letters and not wedges:
            return
        reach = [(left, right) for left, right, _, _ in letters] + [(p.left, p.right) for p in wedges]
        boxes = [self._face.glyph(glyph).box for _, _, glyph, _ in letters]
        half = stacking.hairpin_height / 2
        over = max([half, *(box.top - _MIDDLE for box in boxes)])
        under = max([half, *(_MIDDLE - box.bottom for box in boxes)])
        if side is Direction.UP:
            outline = max(canvas.upper.height(left, right) for left, right in reach)
            y = max(outline + stacking.sign_gap, canvas.plan.height + stacking.first_sign_gap) + under
        else:
            outline = min(canvas.lower.height(left, right) for left, right in reach)
            y = min(outline - stacking.sign_gap, -stacking.first_sign_gap) - over
        for left, right, glyph, source in letters:
            box = self._face.glyph(glyph).box
            base = y - _MIDDLE
            canvas.glyph(Role.DYNAMIC, left - box.left, base, glyph, source)
            canvas.ink(left, right, base + box.bottom, base + box.top)
        for piece in wedges:
            self._place_wedge(canvas, piece, letters, y)

    def _place_wedge(
        self,
        canvas: StaffCanvas,
        piece: _Piece,
        letters: Sequence[tuple[float, float, str, Source]],
        y: float,
    ) -> None:
        stacking = self._style.stacking
        left, right = piece.left, piece.right
        for start, stop, _, _ in letters:
            if start < left + 0.5 < stop + stacking.sign_gap:
                left = stop + stacking.sign_gap
            elif left < start < right + stacking.sign_gap:
                right = min(right, start - stacking.sign_gap)
        right = max(right, left + stacking.hairpin_shortest)
        half = stacking.hairpin_height / 2
        narrow = (
            0.0 if (piece.starts if piece.span.sign.name is SignName.CRESCENDO else piece.ends) else half / 3
        )
        wide = (
            half
            if (piece.ends if piece.span.sign.name is SignName.CRESCENDO else piece.starts)
            else half * 2 / 3
        )
        at_left, at_right = (narrow, wide) if piece.span.sign.name is SignName.CRESCENDO else (wide, narrow)
        for sign in (1, -1):
            canvas.line(
                Role.HAIRPIN,
                left,
                y + sign * at_left,
                right,
                y2=y + sign * at_right,
                width=stacking.hairpin_line,
                source=piece.source,
            )
        canvas.ink(left, right, y - half, y + half)


def _share_rows(pieces: Sequence[_Piece], gap: float) -> list[list[_Piece]]:
    """Pieces in rows, each in the first row where it overlaps none; those that come first stand nearest the staff."""
    rows: list[list[_Piece]] = []
    for piece in pieces:
        for row in rows:
            if all(piece.left >= other.right + gap or piece.right + gap <= other.left for other in row):
                row.append(piece)
                break
        else:
            rows.append([piece])
    return rows
