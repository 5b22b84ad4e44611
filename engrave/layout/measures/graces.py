"""Grace notes get their room: one row of offsets for all staves of a part, so that staff and tab line up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.layout.measures.ink import NO_GRACES, ChordInk, Extent, FretInk, GraceOffsets, GraceRow, StaffInk
from engrave.layout.staves import StaffPlan
from engrave.score.joins import SLIDING, SLURRED


class _Rows(NamedTuple):
    """The grace notes of the events of one part in one column, and the column where those after them lead to; -1 where the measure ends."""

    before: list[GraceRow]
    after: list[GraceRow]
    ends: list[int]


def settle_graces(
    plans: Sequence[StaffPlan],
    staves: Sequence[StaffInk],
    columns: Mapping[Fraction, int],
    gap: float,
    slide_room: float,
) -> GraceOffsets:
    """Decide the offsets of all grace notes of a measure and widen the extents of its staves for them.

    `gap` is the white between grace notes, `slide_room` that before a note to which a grace note slides. Those after a
    note stand where it ends, right of whatever another voice still plays under it.
    """
    rows: dict[tuple[int, int], _Rows] = {}
    slid: set[tuple[int, int]] = set()
    slurred: set[tuple[int, int]] = set()
    for plan, staff in zip(plans, staves, strict=True):
        for voice in staff.voices:
            for item in voice.items:
                if isinstance(item, ChordInk | FretInk) and (item.before or item.after):
                    own = rows.setdefault((plan.part, item.column), _Rows([], [], []))
                    own.before.extend([item.before] if item.before else [])
                    if item.after:
                        own.after.append(item.after)
                        own.ends.append(columns.get(item.event.onset + item.event.length, -1))
                    names = item.event.signs_of_notes
                    if names & SLIDING:
                        slid.add((plan.part, item.column))
                    elif names & SLURRED:
                        slurred.add((plan.part, item.column))
    if not rows:
        return NO_GRACES
    result = GraceOffsets({}, {}, {})
    for (part, column), own in rows.items():
        if own.before:
            extra = slide_room - gap if (part, column) in slid else 0.0
            extra = (slide_room - gap) / 2 if (part, column) in slurred and not extra else extra
            lead, trail = _reach(_staves_of(part, plans, staves), column)
            offsets, width = _row_offsets(own.before, gap)
            result.before[part, column] = tuple(dx - lead - extra for dx in offsets)
            _widen(_staves_of(part, plans, staves), column, Extent(lead + extra + width, trail))
    for (part, column), own in rows.items():
        if own.after:
            mine = _staves_of(part, plans, staves)
            end = min((at for at in own.ends if at >= 0), default=max(columns.values()) + 1)
            last = max(at for staff in mine for at in staff.extents if at < end)
            lead, trail = _reach(mine, last)
            offsets, width = _row_offsets(own.after, gap)
            result.after[part, column] = tuple(offsets)
            _widen(mine, last, Extent(lead, trail + width))
            following = min((at for staff in mine for at in staff.extents if at >= end), default=None)
            if following is not None:
                result.goes_on[part, column] = (following, _reach(mine, following)[0])
    return result


def _staves_of(part: int, plans: Sequence[StaffPlan], staves: Sequence[StaffInk]) -> list[StaffInk]:
    return [staff for plan, staff in zip(plans, staves, strict=True) if plan.part == part]


def _reach(staves: Sequence[StaffInk], column: int) -> Extent:
    """How far the ink in `column` reaches on any of the staves."""
    extents = [staff.extents[column] for staff in staves if column in staff.extents]
    return Extent(max(extent.left for extent in extents), max(extent.right for extent in extents))


def _widen(staves: Sequence[StaffInk], column: int, extent: Extent) -> None:
    for staff in staves:
        staff.extents[column] = extent


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
