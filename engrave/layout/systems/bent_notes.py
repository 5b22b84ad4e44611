"""The small heads of bent notes on a staff, and the angular slurs that join all heads of a bend."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from math import hypot
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.curves import Point
from engrave.layout.direction import Direction
from engrave.layout.measures.bent_heads import HEAD, BentChain, SmallHead
from engrave.layout.measures.ink import ChordInk
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.placed import HeadPlace, PlacedChain
from engrave.marks.mark import Box, Glyph, Polygon, Source
from engrave.marks.role import Role
from engrave.style.sections import NoteStyle, Style
from engrave.theory.clef import ledger_positions

_PIECES = 4
"""Into so many pieces each stroke is cut where its outline is taken (algorithm)."""
_ROUNDS = 3
"""A slur is moved off what is in its way so many times at most (algorithm)."""


class Peak(NamedTuple):
    """An angular slur: two straight strokes that meet in a peak."""

    start: Point
    peak: Point
    end: Point


def decide_peak(start: Point, end: Point, side: Direction, ink: Sequence[Box], notes: NoteStyle) -> Peak:
    """The angular slur from `start` to `end`, which lie at two heads, on their `side`: its peak in the middle, beyond both.

    It moves outwards off the boxes of `ink` (accidentals, dots) that are in its way; the peak stands left of an accidental
    in the middle. Common practice, no source; sizes are a house rule.
    """
    (x1, y1), (x2, y2) = start, end
    middle = (x1 + x2) / 2
    across = [box.left for box in ink if box.left < middle < box.right]
    middle = max(min([middle, *across]), (x1 + middle) / 2)
    for _ in range(_ROUNDS):
        outer = max(y1 * side, y2 * side) * side
        peak = (middle, outer + side * notes.bend_peak)
        lacks = [0.0, 0.0]
        for box in ink:
            edge = box.top if side is Direction.UP else box.bottom
            for x in (box.left, box.right):
                if x1 <= x <= x2:
                    half = 0 if x < middle else 1
                    clear = edge + side * (notes.bend_stroke / 2 + notes.accidental_clearance * 2)
                    lacks[half] = max(lacks[half], side * (clear - _height_at(x, (x1, y1), peak, (x2, y2))))
        if max(lacks) <= 0:
            break
        y1, y2 = y1 + side * lacks[0], y2 + side * lacks[1]
    return Peak((x1, y1), peak, (x2, y2))


def join_peaks(slurs: Sequence[Peak], side: Direction, notes: NoteStyle) -> list[Peak]:
    """Angular slurs from head to head, in order: two that meet at the middle of a head meet in one point, the outer one.

    Where a stem keeps them apart they stay as they are. Common practice, no source.
    """
    joined = list(slurs)
    for number in range(len(joined) - 1):
        before, after = joined[number : number + 2]
        if before.end[0] == after.start[0]:
            meeting = (before.end[0], side * max(side * before.end[1], side * after.start[1]))
            joined[number] = _raise_peak(before._replace(end=meeting), side, notes)
            joined[number + 1] = _raise_peak(after._replace(start=meeting), side, notes)
    return joined


def _raise_peak(slur: Peak, side: Direction, notes: NoteStyle) -> Peak:
    """The slur with its peak as far beyond both ends as it always is."""
    outer = max(side * slur.start[1], side * slur.end[1])
    return slur._replace(peak=(slur.peak[0], side * (outer + notes.bend_peak)))


def _height_at(x: float, start: Point, peak: Point, end: Point) -> float:
    """The height of the strokes at `x`."""
    (x1, y1), (x2, y2) = (start, peak) if x < peak[0] else (peak, end)
    return y1 + (y2 - y1) * (x - x1) / (x2 - x1) if x2 > x1 else y1


def place_strokes(canvas: StaffCanvas, slur: Sequence[Point], width: float, source: Source) -> None:
    """Draw an angular slur, or the half of one at the end of a line; its strokes are `width` thick."""
    upper, lower = _edge(slur, width / 2), _edge(slur, -width / 2)
    canvas.marks.append(Polygon(Role.BEND_SLUR, (*upper, *reversed(lower)), source))
    half = width / 2
    for (x1, y1), (x2, y2) in itertools.pairwise(slur):
        for step in range(_PIECES):
            a, b = step / _PIECES, (step + 1) / _PIECES
            low, high = sorted((y1 + (y2 - y1) * a, y1 + (y2 - y1) * b))
            canvas.ink(x1 + (x2 - x1) * a, x1 + (x2 - x1) * b, low - half, high + half)


def place_held_bend(
    canvas: StaffCanvas,
    start: Point,
    end: Point,
    side: Direction,
    is_half: bool,
    notes: NoteStyle,
    source: Source,
) -> None:
    """Draw the angular slur to a note that a tie holds while its bend moves; its second `half` where a line starts before it."""
    slur: Sequence[Point] = decide_peak(start, end, side, (), notes)
    if is_half:
        slur = ((start[0], slur[1][1]), end)
    place_strokes(canvas, slur, notes.bend_stroke, source)


def place_half_bend(
    canvas: StaffCanvas, head: HeadPlace, x: float, side: Direction, notes: NoteStyle, source: Source
) -> None:
    """Draw the first half of such a slur, up to the barline at `x` that ends a line."""
    foot = head.y + side * notes.slur_over_head
    top = (x - notes.half_tie_gap, foot + side * notes.bend_peak)
    place_strokes(canvas, ((head.middle, foot), top), notes.bend_stroke, source)


def _edge(strokes: Sequence[Point], away: float) -> list[Point]:
    """The edge of strokes from point to point, `away` from their middle (upwards where positive), mitred where they meet."""
    rises = [(y2 - y1) / (x2 - x1) if x2 > x1 else 0.0 for (x1, y1), (x2, y2) in itertools.pairwise(strokes)]
    lifts = [away * hypot(1.0, rise) for rise in rises]
    edge = [(strokes[0][0], strokes[0][1] + lifts[0])]
    for (x, y), (rise, after), (lift, lift_after) in zip(
        strokes[1:-1], itertools.pairwise(rises), itertools.pairwise(lifts), strict=True
    ):
        aside = (lift_after - lift) / (rise - after) if rise != after else 0.0
        edge.append((x + aside, y + rise * aside + lift))
    edge.append((strokes[-1][0], strokes[-1][1] + lifts[-1]))
    return edge


def _find_head(chord: ChordInk, chain: BentChain) -> int:
    """Which head of the chord is the bent note: of a unison the one that its own string has."""
    same = [i for i, position in enumerate(chord.positions) if position == chain.main]
    return next((i for i in same if chord.sources[i] == chain.source), same[0])


class BentHeadPlacer:
    """Places the small heads of bent notes for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._size = style.notes.grace_size
        self._width = face.glyph(HEAD).box.right * self._size
        self._parenthesis = face.glyph("noteheadParenthesisLeft").advance * self._size

    def place(
        self, canvas: StaffCanvas, chord: ChordInk, x: float, end_x: float, size: float = 1.0
    ) -> tuple[PlacedChain, ...]:
        """Draw the small heads and the slurs of a chord in the column `x`, which lasts to the column at `end_x`.

        The chord itself is drawn at `size`.
        """
        return tuple([self._place_chain(canvas, chord, chain, x, end_x, size) for chain in chord.bent.chains])

    def _place_chain(
        self, canvas: StaffCanvas, chord: ChordInk, chain: BentChain, x: float, end_x: float, size: float
    ) -> PlacedChain:
        number = _find_head(chord, chain)
        left = x + chord.head_dx[number] * size
        main = HeadPlace(left, left + self._face.glyph(chord.heads[number]).box.right * size, chain.main / 2)
        is_unison = chord.positions.count(chain.main) > 1
        side = chord.direction.opposite if is_unison else chord.ties[number].side
        own = self._ink_of(chord, x, size)
        places, inks = [], []
        for head, is_before in [(chain.before, True), *((head, False) for head in chain.after)]:
            if head is None:
                continue
            head_x = x + head.dx
            if head.share:
                waits = x + float(head.share) * (end_x - x)
                head_x = max(head_x, waits + (main.right - main.left - self._width) / 2)
            places.append((HeadPlace(head_x, head_x + self._width, head.position / 2), is_before))
            inks.append(self._place_head(canvas, head, head_x, chain.source))
        chain_places = [place for place, is_before in places if is_before]
        chain_places.append(main)
        chain_places += [place for place, is_before in places if not is_before]
        ink = own + [box for row in inks for box in row]
        slurs = [
            decide_peak(
                self._slur_end(chord, start, main, side, size, leaves=True),
                self._slur_end(chord, end, main, side, size, leaves=False),
                side,
                ink,
                self._style.notes,
            )
            for start, end in itertools.pairwise(chain_places)
        ]
        for slur in join_peaks(slurs, side, self._style.notes):
            place_strokes(canvas, slur, self._style.notes.bend_stroke, chain.source)
        return PlacedChain(
            string=chain.string,
            first=chain_places[0],
            last=chain_places[-1],
            starts_small=chain.before is not None,
            ends_small=bool(chain.after),
        )

    def _slur_end(
        self, chord: ChordInk, place: HeadPlace, main: HeadPlace, side: Direction, size: float, leaves: bool
    ) -> Point:
        """Where an angular slur meets a head: over its middle, or beside a stem in the way."""
        share = size if place is main else self._size
        in_the_way = chord.direction is side and (side is Direction.UP) is leaves
        if place is main and in_the_way and chord.event.value.denominator > 1:
            gap = self._style.notes.tie_head_gap
            x = main.right + gap if leaves else main.left - gap
            return x, main.y + side * self._style.notes.slur_over_head * share
        return place.middle, place.y + side * self._style.notes.slur_over_head * share

    def _place_head(self, canvas: StaffCanvas, head: SmallHead, x: float, source: Source) -> list[Box]:
        """Draw a small head with ledger lines, accidental and parentheses; what a slur must clear beside it."""
        size, y = self._size, head.position / 2
        canvas.marks.append(Glyph(Role.NOTEHEAD, x, y, HEAD, source, size))
        canvas.ink(x, x + self._width, y - size / 2, y + size / 2)
        overhang = self._style.staff.ledger_overhang * size
        for position in ledger_positions(head.position):
            canvas.line(
                Role.LEDGER_LINE,
                x - overhang,
                position / 2,
                x + self._width + overhang,
                y2=position / 2,
                width=self._style.staff.ledger_line,
                source=source,
            )
        ink = []
        if head.accidental:
            ink.append(
                self._place_symbol(
                    canvas, Role.ACCIDENTAL, head.accidental, x + head.accidental_dx, y, source
                )
            )
        if head.in_parentheses:
            for at, name in ((x - self._parenthesis, "Left"), (x + self._width, "Right")):
                glyph = f"noteheadParenthesis{name}"
                ink.append(self._place_symbol(canvas, Role.GHOST_PARENTHESIS, glyph, at, y, source))
        return ink

    def _place_symbol(
        self, canvas: StaffCanvas, role: Role, glyph: str, x: float, y: float, source: Source
    ) -> Box:
        canvas.marks.append(Glyph(role, x, y, glyph, source, self._size))
        box = Box(*self._face.glyph(glyph).box.scaled(self._size)).shifted(x, y)
        canvas.ink(*(box.left, box.right, box.bottom, box.top))
        return box

    def _ink_of(self, chord: ChordInk, x: float, size: float) -> list[Box]:
        """The accidentals, dots and ghosts' parentheses of a chord, which slurs must clear."""
        found = [
            Box(*self._face.glyph(sign.glyph).box.scaled(size)).shifted(x + sign.dx * size, sign.position / 2)
            for sign in chord.accidentals
        ]
        dot = self._face.glyph("augmentationDot").box
        reach = (chord.event.value.dots - 1) * self._style.notes.dot_pitch
        found += [
            Box(dot.left, dot.bottom, dot.right + reach, dot.top).shifted(x + chord.dot_dx, position / 2)
            for position in chord.dot_positions
        ]
        return found
