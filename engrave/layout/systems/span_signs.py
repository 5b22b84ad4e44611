"""Signs that last: letters with a dashed line, hairpins, and the dynamics that share their height."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import partial
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.lines.frames import LineFrame, MeasureFrame
from engrave.layout.measures.lanes import dynamic_glyph, span_letters
from engrave.layout.octave_lines import OCTAVE_LINES
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.mark_lanes import MarkLanes
from engrave.layout.systems.words_around import beat_source
from engrave.marks.mark import Source
from engrave.marks.role import Role
from engrave.score.sign_list import HAIRPINS, SignName
from engrave.score.spans import Span, resolve_spans
from engrave.score.structure import Part, Score
from engrave.style.sections import Style
from engrave.style.words import OtherMark

_MIDDLE = 0.5
"""Height of the middle of a dynamic's letters over their baseline, in staff spaces: half the height of an m (fact: our music face)."""

_EVEN = 1e-6
"""What is nearer than this is no overlap (algorithm: rounding)."""


class _Piece(NamedTuple):
    """What one line shows of a span; `starts` and `ends` are False where it comes from or goes on to another line."""

    span: Span
    source: Source
    left: float
    right: float
    starts: bool
    ends: bool
    lettered: bool = True


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

    def add(self, canvas: StaffCanvas, frame: LineFrame, loudness: Direction, lanes: MarkLanes) -> None:
        """Let what stands on `canvas` wait in `lanes`; dynamics and hairpins on the side `loudness` of the staff that has them."""
        signs = self._style.signs
        pieces = [
            piece
            for piece in self._pieces(frame)
            if piece.span.sign.name in signs
            and not (canvas.plan.is_tab and piece.span.sign.name in OCTAVE_LINES)
        ]
        lines = [
            self._widen(piece)
            for piece in pieces
            if piece.span.sign.name not in HAIRPINS and canvas.plan.shows(signs[piece.span.sign.name])
        ]
        for is_octave in (False, True):
            for side in ("above", "below"):
                group = [
                    piece
                    for piece in lines
                    if (piece.span.sign.name in OCTAVE_LINES) is is_octave
                    and (signs[piece.span.sign.name].side == "below") is (side == "below")
                ]
                for order, row in self._rows(group):
                    lanes.add(order, partial(self._place_lines, canvas, row))
        dynamic = signs[OtherMark.DYNAMIC]
        if canvas.plan.shows(dynamic):
            wedges = [piece for piece in pieces if piece.span.sign.name in HAIRPINS]
            lanes.add(dynamic.order, partial(self._place_loudness, canvas, frame, wedges, loudness))

    def _rows(self, pieces: Sequence[_Piece]) -> list[tuple[float, list[_Piece]]]:
        """Pieces in rows from the staff outwards, each with its order. Those of one order stand in one row.

        One that is still going on where the next one starts ends there (house rule), and has no letters where it comes from
        another line and they have no room. Kinds share a row where none of them overlap.
        """
        gap, signs = self._style.stacking.sign_gap, self._style.signs
        kinds: dict[float, list[list[_Piece]]] = {}
        for piece in sorted(pieces, key=lambda piece: piece.left):
            rows = kinds.setdefault(signs[piece.span.sign.name].order, [])
            for row in rows:
                before = self._cut(row[-1], piece.left - gap)
                if before is not None:
                    row[-1] = before
                    row.append(piece)
                    break
            else:
                rows.append([piece])
        shared: list[tuple[float, list[_Piece]]] = []
        for order in sorted(kinds):
            for row in kinds[order]:
                free = (other for _, other in shared if not _overlap(row, other, gap))
                found = next(free, None)
                if found is None:
                    shared.append((order, row))
                else:
                    found.extend(row)
        return shared

    def _cut(self, piece: _Piece, right: float) -> _Piece | None:
        """The piece, ending at `right` at the latest; None where its letters have no room."""
        if piece.right <= right + _EVEN:
            return piece
        if piece.left + self._letters_width(piece) <= right + _EVEN:
            return piece._replace(right=right, ends=True)
        if not piece.starts and right > piece.left:
            return piece._replace(right=right, ends=True, lettered=False)
        return None

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
        return max([0.0, *(extent.left for extent in extents)])

    def _source(self, span: Span) -> Source:
        location = span.sign.location
        measure = self._score.measures[span.first]
        return beat_source(location.line, location.column, self._part.id, measure, span.onset)

    def _widen(self, piece: _Piece) -> _Piece:
        """The piece, at least as long as its letters."""
        return piece._replace(right=max(piece.right, piece.left + self._letters_width(piece)))

    def _letters_width(self, piece: _Piece) -> float:
        sign, words = self._style.signs[piece.span.sign.name], self._style.words.span
        return text_face(words.face).width(self._text(piece, sign.letters), words.size * sign.size)

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
            start = piece.left
            if text:
                start += face.width(text, size) + stacking.span_text_gap
                canvas.text(Role.SPAN_TEXT, piece.left, y, text, face=words.face, size=size, source=source)
            middle = y + face.ink("I", size).top / 2
            self._dash(
                canvas,
                start,
                piece.right,
                middle,
                hook=piece.ends,
                up=up,
                source=source,
            )
            canvas.ink(piece.left, piece.right, y + min(0.0, drop), y + rise)

    def _text(self, piece: _Piece, letters: str) -> str:
        if not piece.lettered:
            return ""
        text = span_letters(piece.span.sign, letters)
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


def _overlap(row: Sequence[_Piece], other: Sequence[_Piece], gap: float) -> bool:
    """True when pieces of two rows come closer than the gap."""
    return any(a.left < b.right + gap - _EVEN and b.left < a.right + gap - _EVEN for a in row for b in other)
