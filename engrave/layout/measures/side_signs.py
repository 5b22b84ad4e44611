"""What stands beside a chord: slides from and to nowhere, left-hand fingers, rolls. How much room it takes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.staves import StaffPlan
from engrave.score.sign_list import SignName
from engrave.score.structure import Event
from engrave.style.sections import Style

SLIDES_FROM = (SignName.SLIDE_FROM_BELOW, SignName.SLIDE_FROM_ABOVE)
SLIDES_AWAY = (SignName.SLIDE_AWAY_UP, SignName.SLIDE_AWAY_DOWN)
ROLLS = (SignName.ARPEGGIATE, SignName.ARPEGGIATE_UP, SignName.ARPEGGIATE_DOWN, SignName.NON_ARPEGGIATE)


class FingerPlace(NamedTuple):
    """Where a finger's digit stands beside a chord: its left edge from the column, the height of its middle."""

    x: float
    y: float


class SideSigns(NamedTuple):
    """Where signs stand beside a chord, as distances from its column in staff spaces; None where there is none.

    `slide_from` is the right end of slides into the chord, `fingers` the digits of fingers, lowest first, `roll` the middle of a
    wave or bracket, `slide_away` the left end of slides out of it. `left` and `right` say how far all of it reaches.
    """

    slide_from: float | None
    fingers: tuple[FingerPlace, ...] | None
    roll: float | None
    slide_away: float | None
    left: float
    right: float


def measure_side_signs(
    event: Event,
    plan: StaffPlan,
    left: float,
    right: float,
    style: Style,
    fingered: Sequence[tuple[str, float]] = (),
) -> SideSigns | None:
    """The signs beside `event` on the staff `plan`, outside ink that reaches `left` and `right`; None without any.

    `fingered` are the fingers of a chord with the heights of their heads, lowest first.
    """
    if not fingered and not event.has_techniques:
        return None
    names = event.signs
    shown = {name for name in names if name in style.signs and plan.shows(style.signs[name])}
    heights = None
    if (
        not plan.is_tab
        and style.stacking.chord_fingers == "beside"
        and len(event.notes) > 1
        and len(fingered) == len([note for note in event.notes if note.finger])
    ):
        heights = decide_finger_heights([y for _, y in fingered], style)
    belongs = {style.signs[name].of for name in shown}
    has_roll = not shown.isdisjoint(ROLLS)
    has_in, has_out = not shown.isdisjoint(SLIDES_FROM), not shown.isdisjoint(SLIDES_AWAY)
    if not (heights or has_roll or has_in or has_out) and belongs.isdisjoint(("late", "after")):
        return None
    gap, slide = style.stacking.side_gap, style.stacking.slide_length
    slide_from = fingers = roll = slide_away = None
    if has_in:
        slide_from = -left - gap
        left += gap + slide + 3 * gap
    if heights:
        words = style.words.finger
        widths = [text_face(words.face).width(finger, words.size) for finger, _ in fingered]
        left += gap + max(widths)
        fingers = tuple(
            FingerPlace(-left + (max(widths) - width) / 2, y)
            for width, y in zip(widths, heights, strict=True)
        )
    if has_roll:
        left += style.spacing.roll_room
        roll = -left + (style.spacing.roll_room - gap) / 2
    if has_out:
        slide_away = right + gap
        right += gap + slide + 3 * gap
    if "late" in belongs:
        right += style.stacking.delay + style.spacing.turn_half
    if "after" in belongs:
        right += style.stacking.sign_gap + style.spacing.breath_room
    return SideSigns(slide_from, fingers, roll, slide_away, left, right)


def decide_finger_heights(heads: Sequence[float], style: Style) -> list[float] | None:
    """The heights of fingers beside heads at the heights `heads`, lowest first, moved apart where heads are close.

    House rule. None where there are none, or where one would stand so far from its head that a stack outside the staff reads better.
    """
    if not heads:
        return None
    least = style.stacking.finger_pitch
    moved = list(heads)
    for _ in moved:
        for i in range(1, len(moved)):
            lack = least - (moved[i] - moved[i - 1])
            if lack > 1e-9:
                moved[i] += lack / 2
                moved[i - 1] -= lack / 2
    furthest = max(abs(y - head) for y, head in zip(moved, heads, strict=True))
    return moved if furthest <= style.stacking.finger_shift else None
