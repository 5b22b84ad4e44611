"""Grace notes: small heads with stems, flags or beams and their stroke on the staff, small digits on the tab."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.direction import Direction
from engrave.layout.lines.frames import MeasureFrame
from engrave.layout.measures.chords import flag_glyph
from engrave.layout.measures.ink import ChordInk, FretInk, GraceRow
from engrave.layout.systems.bent_notes import BentHeadPlacer
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.digit_marks import place_digits
from engrave.layout.systems.placed import PlacedEvent
from engrave.marks.mark import Glyph, Line, Polygon, Source
from engrave.marks.role import Role
from engrave.style.sections import Style
from engrave.theory.clef import ledger_positions


class _Stem(NamedTuple):
    """A grace note's stem: its x, where it starts, the free end it would have alone, flags or beams, source."""

    x: float
    root: float
    tip: float
    flags: int
    source: Source


def grace_xs(frame: MeasureFrame, part: int, column: int, after: bool, style: Style) -> tuple[float, ...]:
    """The columns of the grace notes before or after the events in `column` of one part."""
    ink = frame.ink
    if not after:
        return tuple(frame.xs[column] + dx for dx in ink.graces.before[part, column])
    if (part, column) in ink.graces.goes_on:
        following, reach = ink.graces.goes_on[part, column]
        end = frame.xs[following] - reach
    else:
        end = frame.right - style.spacing.note_to_barline + style.notes.grace_gap
    return tuple(end + dx for dx in ink.graces.after[part, column])


class GracePlacer:
    """Places rows of grace notes for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._bent = BentHeadPlacer(style, face)
        self._size = style.notes.grace_size
        self._head_width = face.glyph("noteheadBlack").box.right

    def place_on_staff(self, canvas: StaffCanvas, row: GraceRow, xs: Sequence[float]) -> list[PlacedEvent]:
        """Draw a row on a five-line staff; `xs` may be longer than the row, which is right-aligned."""
        chords = [item for item in row.items if isinstance(item, ChordInk)]
        places = list(zip(chords, xs[len(xs) - len(chords) :], strict=True))
        stems = [self._stem(chord, x) for chord, x in places]
        direction = chords[0].direction
        tips = self._place_stems(canvas, stems, direction, row)
        return [
            self._place_heads(canvas, chord, x, stem, tip)
            for (chord, x), stem, tip in zip(places, stems, tips, strict=True)
        ]

    def place_on_tab(
        self,
        canvas: StaffCanvas,
        row: GraceRow,
        xs: Sequence[float],
        side: Direction,
    ) -> list[PlacedEvent]:
        """Draw a row of small digits, with stems where the tab carries the rhythm."""
        frets = [item for item in row.items if isinstance(item, FretInk)]
        middles = [x + self._head_width / 2 * self._size for x in xs[len(xs) - len(frets) :]]
        events = [self._place_digits(canvas, fret, x, side) for fret, x in zip(frets, middles, strict=True)]
        if canvas.plan.has_rhythm:
            gap = self._style.stacking.rhythm_stem_gap
            root = canvas.plan.height + gap if side is Direction.UP else -gap
            length = self._style.stacking.rhythm_stem * self._size
            stems = [
                _Stem(x, root, root + side * length, fret.event.value.flags, fret.source)
                for fret, x in zip(frets, middles, strict=True)
            ]
            self._place_stems(canvas, stems, side, row)
        return events

    def _stem(self, chord: ChordInk, x: float) -> _Stem:
        up = chord.direction is Direction.UP
        half = self._style.notes.stem / 2
        at = x + (self._head_width * self._size - half if up else half) + chord.shift * self._size
        near = chord.positions[-1 if up else 0] / 2
        length = self._style.notes.grace_stem + max(0, chord.event.value.flags - 2) * 0.5
        root = chord.positions[0 if up else -1] / 2
        return _Stem(at, root, near + chord.direction * length, chord.event.value.flags, chord.source)

    def _place_stems(
        self, canvas: StaffCanvas, stems: Sequence[_Stem], direction: Direction, row: GraceRow
    ) -> list[float]:
        """Draw stems with a flag or beams, and the stroke of short grace notes; the stems' free ends."""
        notes = self._style.notes
        tips = (
            _beam_tips(stems, direction, notes.grace_beam_rise)
            if row.beamed
            else [stem.tip for stem in stems]
        )
        weight = notes.stem * notes.grace_line
        for stem, tip in zip(stems, tips, strict=True):
            canvas.marks.append(
                Line(
                    role=Role.STEM,
                    x1=stem.x,
                    y1=stem.root,
                    x2=stem.x,
                    y2=tip,
                    width=weight,
                    source=stem.source,
                )
            )
            canvas.ink(stem.x, stem.x, min(stem.root, tip), max(stem.root, tip))
            if stem.flags and not row.beamed:
                self._place_flag(canvas, stem, tip, direction)
        if row.beamed:
            self._place_beams(canvas, stems, tips, direction)
        if row.slashed and stems[0].flags:
            self._place_slash(canvas, stems[0], tips[0], direction)
        return tips

    def _place_flag(self, canvas: StaffCanvas, stem: _Stem, tip: float, direction: Direction) -> None:
        name = flag_glyph(stem.flags, direction)
        x = stem.x - self._style.notes.stem / 2
        canvas.marks.append(Glyph(Role.FLAG, x, tip, name, stem.source, self._size))
        box = self._face.glyph(name).box
        size = self._size
        canvas.ink(x, x + box.right * size, tip + box.bottom * size, tip + box.top * size)

    def _place_beams(
        self, canvas: StaffCanvas, stems: Sequence[_Stem], tips: Sequence[float], direction: Direction
    ) -> None:
        """One beam for each flag that two neighbours share; an odd shorter note gets a stub."""
        beams = self._style.beams
        thick, pitch = beams.thickness * self._size, (beams.thickness + beams.gap) * self._size
        half = self._style.notes.stem / 2
        for (left, y1), (right, y2) in itertools.pairwise(zip(stems, tips, strict=True)):
            for level in range(max(left.flags, right.flags)):
                x1, x2 = left.x - half, right.x + half
                at1, at2 = y1, y2
                if level >= min(left.flags, right.flags):
                    middle_x, middle_y = (x1 + x2) / 2, (y1 + y2) / 2
                    if left.flags > level:
                        x2, at2 = middle_x, middle_y
                    else:
                        x1, at1 = middle_x, middle_y
                drop = direction * level * pitch
                inner = direction * thick
                points = (
                    (x1, at1 - drop),
                    (x2, at2 - drop),
                    (x2, at2 - drop - inner),
                    (x1, at1 - drop - inner),
                )
                canvas.marks.append(Polygon(Role.BEAM, points, left.source))

    def _place_slash(self, canvas: StaffCanvas, stem: _Stem, tip: float, direction: Direction) -> None:
        reach = self._style.notes.grace_slash
        y = tip - direction * self._style.notes.grace_slash_from_tip
        rise = direction * reach * self._style.notes.grace_slash_slope
        weight = self._style.notes.stem
        canvas.line(
            Role.GRACE_SLASH,
            stem.x - reach,
            y - rise,
            stem.x + reach,
            y2=y + rise,
            width=weight,
            source=stem.source,
        )
        canvas.ink(stem.x - reach, stem.x + reach, y - abs(rise), y + abs(rise))

    def _place_heads(
        self, canvas: StaffCanvas, chord: ChordInk, x: float, stem: _Stem, tip: float
    ) -> PlacedEvent:
        size = self._size
        left, right = x, x
        for position, glyph, dx, source in zip(
            chord.positions, chord.heads, chord.head_dx, chord.sources, strict=True
        ):
            at = x + dx * size
            canvas.marks.append(Glyph(Role.NOTEHEAD, at, position / 2, glyph, source, size))
            left, right = min(left, at), max(right, at + self._face.glyph(glyph).box.right * size)
        for accidental in chord.accidentals:
            at, y = x + accidental.dx * size, accidental.position / 2
            canvas.marks.append(Glyph(Role.ACCIDENTAL, at, y, accidental.glyph, chord.source, size))
            box = self._face.glyph(accidental.glyph).box
            canvas.ink(at + box.left * size, at + box.right * size, y + box.bottom * size, y + box.top * size)
        for pair in chord.ghosts:
            for dx, name in ((pair.left, "Left"), (pair.right, "Right")):
                glyph = f"noteheadParenthesis{name}"
                at = x + dx * size
                canvas.marks.append(
                    Glyph(Role.GHOST_PARENTHESIS, at, pair.y, glyph, chord.source, pair.size * size)
                )
        overhang = self._style.staff.ledger_overhang * size
        for outer in {chord.positions[0], chord.positions[-1]}:
            for position in ledger_positions(outer):
                y = position / 2
                width = self._style.staff.ledger_line
                canvas.line(
                    Role.LEDGER_LINE,
                    left - overhang,
                    y,
                    right + overhang,
                    y2=y,
                    width=width,
                    source=chord.source,
                )
        low, high = chord.positions[0] / 2 - size / 2, chord.positions[-1] / 2 + size / 2
        canvas.ink(left, right, low, high)
        bottom, top = min(low, tip), max(high, tip)
        chains = self._bent.place(canvas, chord, x, x, size) if chord.bent.chains else ()
        return PlacedEvent(
            item=chord,
            x=x,
            left=left,
            right=right,
            bottom=bottom,
            top=top,
            y_low=low,
            y_high=high,
            direction=chord.direction,
            has_stem=True,
            stem_x=stem.x,
            tip=tip,
            bent=chains,
        )

    def _place_digits(
        self,
        canvas: StaffCanvas,
        fret: FretInk,
        middle: float,
        side: Direction,
    ) -> PlacedEvent:
        box = place_digits(canvas, fret.digits, middle)
        return PlacedEvent(
            item=fret,
            x=middle,
            left=box.left,
            right=box.right,
            bottom=box.bottom,
            top=box.top,
            y_low=box.bottom,
            y_high=box.top,
            direction=side,
            has_stem=False,
            stem_x=middle,
            tip=0.0,
        )


def _beam_tips(stems: Sequence[_Stem], direction: Direction, most: float) -> list[float]:
    """Free ends of beamed stems: on a line with half the rise of the outer ones, none shorter than it would be alone."""
    first, last = stems[0], stems[-1]
    rise = max(-most, min(most, (last.tip - first.tip) / 2))
    length = last.x - first.x
    on_line = [first.tip + rise * (stem.x - first.x) / length for stem in stems]
    lack = max(direction * (stem.tip - y) for stem, y in zip(stems, on_line, strict=True))
    return [y + direction * max(lack, 0.0) for y in on_line]
