"""Chords that start together on a five-line staff, measured: displaced heads, accidentals, dots, two voices."""

from collections.abc import Sequence
from itertools import chain
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.curves import TieStart, decide_ties
from engrave.layout.direction import Direction
from engrave.layout.measures.sounding import Sounding, decide_free_tip
from engrave.layout.notes.accidental_stack import decide_accidental_offsets
from engrave.layout.notes.heads import (
    VoiceMeeting,
    decide_displaced,
    decide_dot_positions,
    decide_voice_meeting,
)
from engrave.layout.notes.stems import FlagInk
from engrave.marks.mark import Box
from engrave.style.sections import Style
from engrave.theory.clef import ledger_positions


class Parentheses(NamedTuple):
    """A pair of parentheses around ghost notes, the lowest at staff position `position`.

    The symbols stand at `left` and `right` from the column and at height `y`, in staff spaces, `size` times as tall
    as usual.
    """

    position: int
    y: float
    size: float
    left: float
    right: float


class AccidentalInk(NamedTuple):
    """An accidental before a head at staff position `position`, its origin at `dx`."""

    position: int
    glyph: str
    dx: float
    in_parentheses: bool


class Shape(NamedTuple):
    """A measured chord; x counts from the column, in staff spaces. `shared` heads are drawn by the other voice.

    `stem_dx` is the middle of its stem, `tip` the y of the free end that its stem has without a beam. `ties` says how each
    of its notes would be tied on.
    """

    head_dx: tuple[float, ...]
    shift: float
    shared: frozenset[int]
    accidentals: tuple[AccidentalInk, ...]
    dot_positions: tuple[int, ...]
    dot_dx: float
    ghosts: tuple[Parentheses, ...]
    stem_dx: float
    tip: float
    ties: tuple[TieStart, ...]


class ChordColumn(NamedTuple):
    """All chords of one staff that start together, and how far their ink reaches from the column.

    `left` and `right` are positive outwards; `near_left` leaves the accidentals out.
    """

    shapes: tuple[Shape, ...]
    left: float
    near_left: float
    right: float


_PARENTHESIS_REACH = 2
"""Parentheses are so tall that they reach the heads this many steps above and below, half staff spaces (fact: our music face)."""


_NEAR_DOT = 1
"""A dot touches heads so many staff positions from it, or fewer (fact: a head is two of them tall)."""
_IN_LINE = 3
"""So near a dotted chord of the other voice, dots stand in one line with its own, in staff positions (fact: a fourth)."""


class ChordMeasurer:
    """Measures chords for one style and face; equal chords are measured once."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._known: dict[tuple[Sounding, ...], ChordColumn] = {}
        self.head_width = face.glyph("noteheadBlack").box.right
        self.dot_width = face.glyph("augmentationDot").box.right
        self._parenthesis = face.glyph("noteheadParenthesisLeft").advance

    def measure(self, chords: tuple[Sounding, ...]) -> ChordColumn:
        """The shapes of one or two chords (upper voice first) that start together."""
        known = self._known.get(chords)
        if known is None:
            known = self._known[chords] = self._measure(chords)
        return known

    def dots_width(self, dots: int) -> float:
        """From the ink before the dots to the right edge of the last one, in staff spaces; 0 without dots."""
        notes = self._style.notes
        return notes.dot_gap + self.dot_width + (dots - 1) * notes.dot_pitch if dots else 0.0

    def _flag(self, chord: Sounding, shift: float, tip: float) -> FlagInk | None:
        """The flags of a chord whose stem ends at `tip`; None without flags, and where the stem points down."""
        if not chord.flags or chord.direction is Direction.DOWN:
            return None
        box = self._face.glyph(flag_glyph(chord.flags, chord.direction)).box
        return FlagInk(self._flag_right((chord,), (shift, 0.0)), tip + box.bottom)

    def _measure(self, chords: tuple[Sounding, ...]) -> ChordColumn:
        meeting = self._keep_apart(chords, self._meet(chords))
        shifts = (meeting.upper_dx, meeting.lower_dx)
        head_dx = [self._head_dx(chord, shift) for chord, shift in zip(chords, shifts, strict=False)]
        edges = [e for chord, dx in zip(chords, shifts, strict=False) for e in self._head_edges(chord, dx)]
        ghosts = self._parentheses(chords, edges)
        heads_left = min([e[1] for e in edges] + [pair.left for pair in chain(*ghosts)])
        head_right = max(
            [e[2] for e in edges] + [p.right + self._parenthesis * p.size for p in chain(*ghosts)]
        )
        accidentals = self._accidental_offsets(chords, heads_left - self._ledger_overhang(chords))
        dot_positions = [decide_dot_positions(c.positions, c.voice) if c.dots else () for c in chords]
        dot_dx = [self._dot_dx(index, chords, shifts, dot_positions, ghosts) for index in range(len(chords))]
        tips = [decide_free_tip(chord, self._style, self._face) for chord in chords]
        shapes = tuple(
            Shape(
                head_dx=row,
                shift=shift,
                shared=meeting.shared if index else frozenset(),
                accidentals=tuple(
                    AccidentalInk(position, glyph, dx, parens)
                    for (position, glyph, parens), dx in zip(chord.accidentals, offsets, strict=True)
                ),
                dot_positions=dot_positions[index],
                dot_dx=dot_dx[index],
                ghosts=ghosts[index],
                stem_dx=self._stem_dx(chord, shift),
                tip=tips[index],
                ties=decide_ties(
                    chord.positions,
                    chord.direction,
                    chord.voice,
                    self._flag(chord, shift, tips[index]),
                    notes=self._style.notes,
                ),
            )
            for index, (chord, row, shift, offsets) in enumerate(
                zip(chords, head_dx, shifts, accidentals, strict=False)
            )
        )
        near_left = -heads_left + self._ledger_reach(chords)
        accidental_left = max(
            (
                -dx - box.left
                for offsets, boxes in zip(accidentals, self._accidental_boxes(chords), strict=True)
                for dx, box in zip(offsets, boxes, strict=True)
            ),
            default=near_left,
        )
        right = max(
            head_right + self._ledger_reach(chords),
            max(
                dx + self.dot_width + (chord.dots - 1) * self._style.notes.dot_pitch if chord.dots else 0.0
                for dx, chord in zip(dot_dx, chords, strict=True)
            ),
            self._flag_right(chords, shifts)
            - self._style.spacing.head_to_head
            + self._style.staff.ledger_gap,
        )
        return ChordColumn(shapes, max(near_left, accidental_left), near_left, right)

    def _dot_dx(
        self,
        index: int,
        chords: tuple[Sounding, ...],
        shifts: tuple[float, float],
        dot_positions: Sequence[tuple[int, ...]],
        ghosts: Sequence[tuple[Parentheses, ...]],
    ) -> float:
        """Where the dots of a chord begin: right of its own heads and flags, and of the other voice's heads that they would touch.

        Dotted voices as near as a fourth have their dots in one line (common practice, no source).
        """
        own = chords[index]
        rights = [right for _, _, right in self._head_edges(own, shifts[index])]
        rights += [pair.right + self._parenthesis * pair.size for pair in ghosts[index]]
        flagged = own.flags and own.direction is Direction.UP
        for other, chord in enumerate(chords):
            reach = _IN_LINE if chord.dots else _NEAR_DOT
            near = [
                right
                for p, _, right in self._head_edges(chord, shifts[other])
                if other != index and any(abs(p - dot) <= reach for dot in dot_positions[index])
            ]
            rights += near
            flagged = flagged or (bool(near) and chord.flags and chord.direction is Direction.UP)
        dot_dx = max(rights) + self._style.notes.dot_gap
        if flagged:
            dot_dx = max(dot_dx, self._flag_right(chords, shifts) + self._style.notes.dot_gap / 2)
        return dot_dx

    def _meet(self, chords: tuple[Sounding, ...]) -> VoiceMeeting:
        if len(chords) < 2:
            return VoiceMeeting(0.0, 0.0, frozenset())
        upper, lower = chords
        return decide_voice_meeting(
            upper.positions,
            lower.positions,
            set(upper.heads) == set(lower.heads) and not upper.unlike & lower.unlike,
            upper.dots,
            lower_dots=lower.dots,
            head_width=max(self._widest(upper), self._widest(lower)),
            notes=self._style.notes,
        )

    def _keep_apart(self, chords: tuple[Sounding, ...], meeting: VoiceMeeting) -> VoiceMeeting:
        """Move the lower chord right of the upper one where heads, displaced by seconds, would still collide."""
        if len(chords) < 2 or not self._collide(chords, meeting):
            return meeting
        upper = self._head_edges(chords[0], meeting.upper_dx)
        lower = self._head_edges(chords[1], 0.0)
        aside = max(right for _, _, right in upper) - min(left for _, left, _ in lower)
        return VoiceMeeting(meeting.upper_dx, aside + self._style.notes.voice_gap, frozenset())

    def _collide(self, chords: tuple[Sounding, ...], meeting: VoiceMeeting) -> bool:
        most = self._style.notes.stem + self._style.notes.head_overlap
        return any(
            abs(p - q) <= 1
            and p not in meeting.shared
            and min(right, other_right) - max(left, other_left) > most
            for p, left, right in self._head_edges(chords[0], meeting.upper_dx)
            for q, other_left, other_right in self._head_edges(chords[1], meeting.lower_dx)
        )

    def _head_edges(self, chord: Sounding, shift: float) -> list[tuple[int, float, float]]:
        """(position, left, right) of every head."""
        return [
            (p, dx, dx + self._face.glyph(head).box.right)
            for p, dx, head in zip(chord.positions, self._head_dx(chord, shift), chord.heads, strict=True)
        ]

    def _parentheses(
        self, chords: tuple[Sounding, ...], edges: list[tuple[int, float, float]]
    ) -> list[tuple[Parentheses, ...]]:
        """What stands in parentheses: ghost notes, those a fourth or less apart together, and heads in the way.

        A pair around notes of both voices belongs to the voice with the lowest of them.
        """
        found: list[list[Parentheses]] = [[] for _ in chords]
        box = self._face.glyph("noteheadParenthesisLeft").box
        for low, high in _runs(sorted(set().union(*(chord.ghosts for chord in chords)))):
            size = 1.0 + (high - low) / 2 / (box.top - box.bottom)
            near = [e for e in edges if low - _PARENTHESIS_REACH <= e[0] <= high + _PARENTHESIS_REACH]
            width = self._parenthesis * size
            ledger = (
                self._style.staff.ledger_overhang if ledger_positions(low) or ledger_positions(high) else 0.0
            )
            left, right = (
                min(edge[1] for edge in near) - width - ledger,
                max(edge[2] for edge in near) + ledger,
            )
            owner = next(i for i, chord in enumerate(chords) if low in chord.ghosts)
            found[owner].append(Parentheses(low, (low + high) / 4, size, left, right))
        return [tuple(pairs) for pairs in found]

    def _widest(self, chord: Sounding) -> float:
        """The width of the widest head of a chord."""
        return max(self._face.glyph(head).box.right for head in chord.heads)

    def _head_dx(self, chord: Sounding, shift: float) -> tuple[float, ...]:
        """The left origin of each head: displaced seconds change sides, wide heads are centred on the column."""
        side = self._widest(chord) - self._style.notes.stem
        step = side if chord.direction is Direction.UP else -side
        return tuple(
            shift + (step if displaced else 0.0) + (self.head_width - self._face.glyph(head).box.right) / 2
            for displaced, head in zip(
                decide_displaced(chord.positions, chord.direction), chord.heads, strict=True
            )
        )

    def _stem_dx(self, chord: Sounding, shift: float) -> float:
        """The middle of the stem: at the edge of a normal head, or of a wider one where it starts."""
        half, up = self._style.notes.stem / 2, chord.direction is Direction.UP
        wider = (self._face.glyph(chord.heads[0 if up else -1]).box.right - self.head_width) / 2
        return shift + (self.head_width + wider - half if up else half - wider)

    def _accidental_boxes(self, chords: tuple[Sounding, ...]) -> list[list[Box]]:
        boxes = []
        for chord in chords:
            row = []
            for _, glyph, in_parentheses in chord.accidentals:
                box = Box(*self._face.glyph(glyph).box)
                if in_parentheses:
                    before = self._face.glyph("accidentalParensLeft").advance
                    after = self._face.glyph("accidentalParensRight").box.right
                    box = Box(box.left - before, box.bottom, box.right + after, box.top)
                row.append(box)
            boxes.append(row)
        return boxes

    def _accidental_offsets(self, chords: tuple[Sounding, ...], heads_left: float) -> list[tuple[float, ...]]:
        """The origins of all accidentals, both voices' in one stack, split by chord again."""
        boxes = self._accidental_boxes(chords)
        items = [
            (p, box, None if parens else self._face.glyph(glyph).anchors)
            for chord, row in zip(chords, boxes, strict=True)
            for (p, glyph, parens), box in zip(chord.accidentals, row, strict=True)
        ]
        offsets = decide_accidental_offsets(items, heads_left, self._style.notes) if items else ()
        result, start = [], 0
        for chord in chords:
            result.append(tuple(offsets[start : start + len(chord.accidentals)]))
            start += len(chord.accidentals)
        return result

    def _flag_right(self, chords: tuple[Sounding, ...], shifts: tuple[float, float]) -> float:
        """How far the flags reach to the right; 0 without flags."""
        reach = 0.0
        for chord, shift in zip(chords, shifts, strict=False):
            if chord.flags:
                stem = self.head_width if chord.direction is Direction.UP else self._style.notes.stem
                reach = max(
                    reach, shift + stem + self._face.glyph(flag_glyph(chord.flags, chord.direction)).box.right
                )
        return reach

    def _ledger_overhang(self, chords: tuple[Sounding, ...]) -> float:
        """How much further left accidentals stand where they would touch a ledger line, of either voice."""
        lines = {line / 2 for chord in chords for p in chord.positions for line in ledger_positions(p)}
        touched = any(
            position / 2 + box.bottom <= line <= position / 2 + box.top
            for chord, row in zip(chords, self._accidental_boxes(chords), strict=True)
            for (position, _, _), box in zip(chord.accidentals, row, strict=True)
            for line in lines
        )
        if not touched:
            return 0.0
        staff, gap = self._style.staff, self._style.notes.accidental_gap
        return max(0.0, staff.ledger_overhang + staff.ledger_gap / 2 - gap)

    def _ledger_reach(self, chords: tuple[Sounding, ...]) -> float:
        """What ledger lines add on each side of the heads, beyond the white that notes keep anyway."""
        staff = self._style.staff
        if any(ledger_positions(p) for chord in chords for p in (chord.positions[0], chord.positions[-1])):
            return max(
                0.0, staff.ledger_overhang + staff.ledger_gap / 2 - self._style.spacing.head_to_head / 2
            )
        return 0.0


_FLAGS = {1: "flag8th", 2: "flag16th", 3: "flag32nd", 4: "flag64th"}


def _runs(positions: list[int]) -> list[tuple[int, int]]:
    """Lowest and highest of each run of ascending positions no more than a fourth apart."""
    runs: list[tuple[int, int]] = []
    for position in positions:
        if runs and position - runs[-1][1] <= _PARENTHESIS_REACH + 1:
            runs[-1] = (runs[-1][0], position)
        else:
            runs.append((position, position))
    return runs


def flag_glyph(flags: int, direction: Direction) -> str:
    """The symbol of `flags` (1 to 4) flags on a stem in `direction`."""
    return _FLAGS[flags] + ("Up" if direction is Direction.UP else "Down")
