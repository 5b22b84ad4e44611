"""Where the arrows of bends stand once the line is as wide as it will be: a bend that is held waits for its moment."""

from __future__ import annotations

from engrave.layout.measures.bend_amounts import set_amount
from engrave.layout.measures.bend_room import StringBend
from engrave.layout.measures.ink import FretInk
from engrave.layout.staves import StaffPlan
from engrave.layout.systems.placed import HeadPlace, PlacedChain, PlacedEvent
from engrave.style.sections import Style
from engrave.theory.bends import BendKind, share_of_step


def arrow_xs(bend: StringBend, origin: float, x: float, end_x: float) -> tuple[float, ...]:
    """The x of each arrow's tip of a bend whose arrows count from `origin`, in a column at `x` that lasts to `end_x`.

    What follows a bend that is held stands at its own share of the time, as its head does on the staff.
    """
    found = []
    moved = 0.0
    for number, arrow in enumerate(bend.arrows):
        at = origin + arrow.x + moved
        if number and bend.steps[number - 1].kind is BendKind.HOLD:
            wish = origin + float(share_of_step(bend.steps, number)) * (end_x - x)
            moved += max(0.0, wish - at)
            at = max(at, wish)
        found.append(at)
    return tuple(found)


def vibrato_place(event: PlacedEvent, style: Style) -> tuple[float, float | None]:
    """From where the wave of a vibrato runs, and up to where, None for the end of its note.

    On a bent string it starts at the peak, beside the amount there, and ends where a bend that was held is released
    (common practice, no source).
    """
    item = event.item
    strings = item.bends.strings if isinstance(item, FretInk) else ()
    left, right = event.left, None
    for bend in strings:
        xs = arrow_xs(bend, event.stem_x, event.x, event.end_x)
        for number, (arrow, at) in enumerate(zip(bend.arrows, xs, strict=True)):
            kind = arrow.step.kind
            if kind is BendKind.RELEASE:
                right = at if bend.steps[number - 1].kind is BendKind.HOLD else right
                break
            if arrow.label:
                amount = set_amount(arrow.label, style.words.bend, style)
                left = max(left, at - arrow.x + arrow.label_left + amount.width + style.stacking.sign_gap)
    return left, right


def place_landings(
    plan: StaffPlan, fret: FretInk, x: float, origin: float, end_x: float
) -> tuple[PlacedChain, ...]:
    """For each string that comes back to its fret while it sounds: from where it goes on to what follows."""
    found = []
    for digit, bend in zip(fret.digits, fret.bends.strings, strict=False):
        if not bend.arrows or bend.ends_bent or bend.steps[-1].kind is not BendKind.RELEASE:
            continue
        y = (plan.lines - digit.string) * plan.pitch
        landing = arrow_xs(bend, origin, x, end_x)[-1]
        start = HeadPlace(origin - digit.centre, origin + digit.right, y)
        found.append(PlacedChain(digit.string, start, HeadPlace(landing, landing, y), False, True))
    return tuple(found)
