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
DELAYED = (SignName.DELAYED_TURN, SignName.DELAYED_INVERTED_TURN)
AFTER = (SignName.BREATH_MARK, SignName.CAESURA)


class SideSigns(NamedTuple):
    """Where signs stand beside a chord, as distances from its column in staff spaces; None where there is none.

    `slide_from` is the right end of slides into the chord, `fingers` the left edge of finger digits, `roll` the middle of a
    wave or bracket, `slide_away` the left end of slides out of it. `left` and `right` say how far all of it reaches.
    """

    slide_from: float | None
    fingers: float | None
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
    fingered: Sequence[float] = (),
) -> SideSigns | None:
    """The signs beside `event` on the staff `plan`, outside ink that reaches `left` and `right`; None without any.

    `fingered` are the heights of the heads that have fingers, lowest first.
    """
    names = event.signs
    shown = {name for name in names if name in style.signs and plan.shows(style.signs[name])}
    has_fingers = (
        not plan.is_tab
        and style.stacking.chord_fingers == "beside"
        and len(event.notes) > 1
        and len(fingered) == sum(1 for note in event.notes if note.finger)
        and finger_heights(fingered, style) is not None
    )
    if not shown.isdisjoint(DELAYED):
        right += style.stacking.delay + style.spacing.turn_half
    if not shown.isdisjoint(AFTER):
        right += style.stacking.sign_gap + style.spacing.breath_room
    has_roll = not shown.isdisjoint(ROLLS)
    has_in, has_out = not shown.isdisjoint(SLIDES_FROM), not shown.isdisjoint(SLIDES_AWAY)
    if not (has_fingers or has_roll or has_in or has_out) and shown.isdisjoint((*DELAYED, *AFTER)):
        return None
    gap, slide = style.stacking.side_gap, style.stacking.slide_length
    slide_from = fingers = roll = slide_away = None
    if has_in:
        slide_from = -left - gap
        left += gap + slide + 3 * gap
    if has_fingers:
        left += gap + finger_width(event, style)
        fingers = -left
    if has_roll:
        left += style.spacing.roll_room
        roll = -left + (style.spacing.roll_room - gap) / 2
    if has_out:
        slide_away = right + gap
        right += gap + slide + 3 * gap
    return SideSigns(slide_from, fingers, roll, slide_away, left, right)


def finger_width(event: Event, style: Style) -> float:
    """The width of the widest finger sign of a chord, in staff spaces."""
    words = style.words.finger
    face = text_face(words.face)
    return max(face.width(note.finger, words.size) for note in event.notes if note.finger)


def finger_heights(heads: Sequence[float], style: Style) -> list[float] | None:
    """The heights of fingers beside heads at the heights `heads`, lowest first, moved apart where heads are close.

    None where there are none, or where one would stand so far from its head that a stack outside the staff reads better.
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
