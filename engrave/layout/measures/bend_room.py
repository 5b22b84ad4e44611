"""Arrows of bends and moves of the vibrato bar: where they stand at a note, how much room they need. In staff spaces."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.measures.chords import flag_glyph
from engrave.layout.staves import StaffPlan
from engrave.score.sign_list import SignName
from engrave.score.structure import Note
from engrave.style.sections import Style
from engrave.theory.bends import BarMove, BarMoveKind, BendKind, BendStep, amount_label
from engrave.theory.duration import NoteValue

NOTHING = -math.inf
"""Where nothing stands that an amount would have to clear."""


class Arrow(NamedTuple):
    """One step of a bend: the x of its tip, its amount ("" where none is written) and that one's left edge.

    A bend that is held has no tip: its x is where it has come to.
    """

    step: BendStep
    x: float
    label: str
    label_left: float


def bend_steps(note: Note) -> tuple[BendStep, ...]:
    """How a note is bent; nothing when it is not."""
    return note.bend


def plan_arrows(
    steps: Sequence[BendStep], start: float, at_fret: bool, clear: float, over: float | None, style: Style
) -> tuple[Arrow, ...]:
    """The arrows of one bend from left to right, amounts in the middle over their tips.

    The string is taken up at `start`, at its fret or while it is held bent. The first amount clears ink that reaches to `clear`. An upright arrow stands at
    `over`, its amount alone clearing the ink, or at the right of `start` where that is None. Before a further rise, an
    amount makes room on its left.
    """
    head, words = style.stacking.bend_arrow, style.words.bend
    face, whole_step = text_face(words.face), style.signs[SignName.BEND].letters
    arrows: list[Arrow] = []
    x = start
    for number, step in enumerate(steps):
        if step.kind is BendKind.HOLD:
            arrows.append(Arrow(step, x, "", x))
            continue
        label = amount_label(step.semitones, whole_step) if step.semitones > 0 else ""
        width = face.width(label, words.size)
        lean = width / 2
        if number + 1 < len(steps) and steps[number + 1].kind is BendKind.BEND:
            lean = width - head / 2
        if step.kind is BendKind.RELEASE:
            lean = -head / 2 - style.stacking.sign_gap / 4
        if step.kind is BendKind.PRE_BEND:
            x = start + head * style.stacking.bend_hook if over is None else over
        else:
            x += head * style.stacking.bend_away if at_fret else style.stacking.bend_step
        left = x - lean
        if not arrows and label:
            left = max(left, clear + style.stacking.rhythm_bend_gap)
            if step.kind is not BendKind.PRE_BEND or over is None:
                x = left + lean
        arrows.append(Arrow(step, x, label, left))
        at_fret = step.kind is BendKind.RELEASE and not label
    return tuple(arrows)


def plan_bends(
    bent: Iterable[tuple[tuple[BendStep, ...], float]], clear: float, over: float | None, style: Style
) -> dict[tuple[BendStep, ...], tuple[Arrow, ...]]:
    """The arrows of a chord: `bent` says how each string is bent and where its digit ends.

    Strings bent alike share their arrow; others stand further to the right.
    """
    rights: dict[tuple[BendStep, ...], float] = {}
    for steps, right in bent:
        rights[steps] = max(right, rights.get(steps, right))
    plans: dict[tuple[BendStep, ...], tuple[Arrow, ...]] = {}
    for steps, right in rights.items():
        plans[steps] = plan_arrows(steps, right + style.staff.fret_clearance / 2, True, clear, over, style)
        clear = arrows_reach(plans[steps], style)
    return plans


def arrows_reach(arrows: Iterable[Arrow], style: Style) -> float:
    """The right edge of all arrows and amounts."""
    words = style.words.bend
    face = text_face(words.face)
    half = style.stacking.bend_arrow / 2
    return max(max(a.x + half, a.label_left + face.width(a.label, words.size)) for a in arrows)


def bend_reach(
    notes: Sequence[Note], right: float, style: Style, has_rhythm: bool, clear: float = NOTHING
) -> float:
    """How far the bends of a chord reach from the middle of its digits, whose right edge is `right`; that without bends."""
    over = 0.0 if has_room_over(notes, has_rhythm) else None
    bent = [(bend_steps(note), note.tie_from) for note in notes]
    plans = list(plan_bends(((s, right) for s, held in bent if s and not held), clear, over, style).values())
    plans.extend(plan_arrows(steps, 0.0, False, clear, over, style) for steps, held in bent if steps and held)
    return max([right, *(arrows_reach(arrows, style) for arrows in plans)])


def has_room_over(notes: Iterable[Note], has_rhythm: bool) -> bool:
    """True when an upright arrow can stand over its digit: no other string of the chord is bent or stands in its way.

    On a tab with rhythm, the first string's digits stand too near the row of tips.
    """
    digits = sorted((note for note in notes if not note.tie_from), key=lambda note: note.string)
    if has_rhythm and digits and digits[0].string == 1 and bend_steps(digits[0]):
        return False
    return not any(bend_steps(note) for note in digits[1:])


def pre_bend_tip(notes: Sequence[Note], plan: StaffPlan, style: Style) -> float | None:
    """How high the tip of an upright arrow stands over its digit, below stems that give way to it; None without one."""
    if has_room_over(notes, plan.has_rhythm):
        for note in notes:
            if bend_steps(note) and not note.tie_from and bend_steps(note)[0].kind is BendKind.PRE_BEND:
                return plan.height + style.stacking.rhythm_bend_height
    return None


def over_digit(y: float, style: Style) -> float:
    """Where an arrow over a digit starts, whose middle is at `y`."""
    return y + style.staff.fret_height / 2 + style.stacking.bend_digit_gap


def rhythm_reach(value: NoteValue, has_flags: bool, style: Style, face: MusicFace) -> float:
    """How far stem, flags and dots on a tab reach right from the middle of the digits."""
    right = style.notes.stem / 2
    if value.dots:
        right = style.notes.dot_gap + value.dots * style.notes.dot_pitch
    if value.flags and has_flags:
        right = max(right, face.glyph(flag_glyph(value.flags, Direction.UP)).box.right)
    return right


_GLYPHS = {BarMoveKind.DIP: "guitarVibratoBarDip", BarMoveKind.VIBRATO: "guitarVibratoStroke"}


def bar_glyph(move: BarMove) -> str:
    """The symbol of a move; "" for dives and scoops, which are falling and rising lines."""
    return _GLYPHS.get(move.kind, "")


def bar_amount(move: BarMove) -> str:
    """How far down the bar goes, in whole steps; "" where that is not said."""
    return f"-{amount_label(move.semitones, '1')}" if move.semitones else ""


def bar_move_width(move: BarMove, style: Style, face: MusicFace) -> float:
    """The width of symbol and amount side by side, and of the letters over them, in staff spaces."""
    words = style.words.technique
    text = text_face(words.face)
    glyph, amount = bar_glyph(move), bar_amount(move)
    width = style.stacking.bar_dive
    if glyph:
        box = face.glyph(glyph).box
        width = box.right - box.left
    if amount:
        width += style.stacking.sign_gap / 2 + text.width(amount, words.size)
    return max(width, text.width(style.signs[SignName.VIBRATO_BAR].letters, words.size))


def bar_reach(notes: tuple[Note, ...], style: Style, face: MusicFace) -> float:
    """How far a chord's moves of the bar reach to each side of its middle, in staff spaces; 0 without one."""
    for note in notes:
        move = note.bar_move
        if move is not None:
            return bar_move_width(move, style, face) / 2
    return 0.0
