"""Grace notes get their room: one row of offsets for all staves of a part, so that staff and tab line up."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.layout.measures.ink import NO_GRACES, ChordInk, Extent, FretInk, GraceOffsets, GraceRow, StaffInk
from engrave.layout.staves import StaffPlan
from engrave.score.joins import SLIDING, SLURRED


def settle_graces(
    plans: Sequence[StaffPlan], staves: Sequence[StaffInk], gap: float, slide_room: float
) -> GraceOffsets:
    """Decide the offsets of all grace notes of a measure and widen the extents of its staves for them.

    `gap` is the white between grace notes, `slide_room` that before a note to which a grace note slides.
    """
    rows: dict[tuple[int, int], tuple[list[GraceRow], list[GraceRow]]] = {}
    slid: set[tuple[int, int]] = set()
    slurred: set[tuple[int, int]] = set()
    for plan, staff in zip(plans, staves, strict=True):
        for voice in staff.voices:
            for item in voice.items:
                if isinstance(item, ChordInk | FretInk) and (item.before or item.after):
                    before, after = rows.setdefault((plan.part, item.column), ([], []))
                    before.extend([item.before] if item.before else [])
                    after.extend([item.after] if item.after else [])
                    names = item.event.signs_of_notes
                    if names & SLIDING:
                        slid.add((plan.part, item.column))
                    elif names & SLURRED:
                        slurred.add((plan.part, item.column))
    if not rows:
        return NO_GRACES
    result = GraceOffsets({}, {}, {})
    for (part, column), (before, after) in rows.items():
        mine = [staff for plan, staff in zip(plans, staves, strict=True) if plan.part == part]
        lead = max(staff.extents[column].left for staff in mine if column in staff.extents)
        trail = max(staff.extents[column].right for staff in mine if column in staff.extents)
        if before:
            if (part, column) in slid:
                lead += slide_room - gap
            elif (part, column) in slurred:
                lead += (slide_room - gap) / 2
            offsets, width = _row_offsets(before, gap)
            result.before[part, column] = tuple(dx - lead for dx in offsets)
            lead += width
        if after:
            offsets, width = _row_offsets(after, gap)
            result.after[part, column] = tuple(offsets)
            trail += width
        for staff in mine:
            staff.extents[column] = Extent(lead, trail)
    for part, column in result.after:
        mine = [staff for plan, staff in zip(plans, staves, strict=True) if plan.part == part]
        following = min((at for staff in mine for at in staff.extents if at > column), default=None)
        if following is not None:
            reach = max(staff.extents[following].left for staff in mine if following in staff.extents)
            result.goes_on[part, column] = (following, reach)
    return result


def _row_offsets(rows: Sequence[GraceRow], gap: float) -> tuple[list[float], float]:
    """Offsets of the longest row from its right end, and the width of the whole."""
    count = max(len(row.items) for row in rows)
    offsets: list[float] = []
    x = 0.0
    for back in range(1, count + 1):
        at = [row for row in rows if len(row.items) >= back]
        x -= gap + max(row.rights[-back] for row in at)
        offsets.insert(0, x)
        x -= max(row.lefts[-back] for row in at)
    return offsets, -x
