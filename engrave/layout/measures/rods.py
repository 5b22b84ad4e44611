"""The least widths of the slices of a measure: what its ink needs, what its words need, and what is even."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import NamedTuple

from engrave.layout.measures.clef_changes import room_at_end
from engrave.layout.measures.ink import ChordInk, ClefInk, FretInk, StaffInk
from engrave.layout.measures.lanes import Lane, Rod, chain_rods, neighbour_rods
from engrave.layout.springs import apply_long_rods, decide_even_rods
from engrave.layout.staves import StaffPlan
from engrave.score.joins import LEGATO, SLIDING
from engrave.style.sections import Style


class Rods(NamedTuple):
    """`least` widths of slices, `even` ones for a line that has room, and the width at `rest`, with no syllable off its note."""

    least: tuple[float, ...]
    even: tuple[float, ...]
    rest: float


def measure_rods(
    plans: Sequence[StaffPlan],
    staves: Sequence[StaffInk],
    lanes: Sequence[tuple[Lane, ...]],
    ahead: Sequence[tuple[Lane, ...]],
    natural: tuple[float, ...],
    style: Style,
    clefs: Sequence[ClefInk],
) -> Rods:
    """The rods of a measure of `natural` widths. `lanes` has the words of every part, `ahead` those of the next measure.

    `clefs` are the clefs that change in it.
    """
    spacing = style.spacing
    rods = [0.0] * len(natural)
    long_rods: list[Rod] = []
    tightest = [style.breaking.least_force * own for own in natural]
    for plan, staff in zip(plans, staves, strict=True):
        tail = room_at_end(clefs, plan.index, spacing.head_to_head) if clefs else 0.0
        gaps = (_tab_gaps if plan.is_tab else _staff_gaps)(staff, style)
        _add_ink_rods(rods, long_rods, staff, gaps, style, tail=tail)
    leaning: list[Lane] = []
    for part, lane_row in enumerate(lanes):
        for number, lane in enumerate(lane_row):
            if lane:
                following = ahead[part][number] if part < len(ahead) and number < len(ahead[part]) else ()
                _add_lane_rods(rods, long_rods, lane, following, tightest=tightest, style=style)
                if lane[0].lean:
                    leaning.append(lane)
    least = tuple(apply_long_rods(natural, rods, _longest(long_rods))) if long_rods else tuple(rods)
    even = decide_even_rods(natural, least, spacing.even_share, spacing.even_most)
    reach = list(
        accumulate([rod if rod > own else own for rod, own in zip(even, natural, strict=True)], initial=0.0)
    )
    return Rods(least, even, max([reach[-1], *[_upright_width(lane, reach) for lane in leaning]]))


def _longest(long_rods: Sequence[Rod]) -> list[Rod]:
    """The longest between each two columns, whatever verse or staff asks for it."""
    found: dict[tuple[int, int], float] = {}
    for start, stop, least in long_rods:
        if least > found.get((start, stop), 0.0):
            found[start, stop] = least
    return [(start, stop, least) for (start, stop), least in found.items()]


def _upright_width(lane: Lane, reach: Sequence[float]) -> float:
    """The width of a measure at rest in which each word stands at its place; `reach` is that of its columns without words."""
    width = reach[lane[0].column]
    for item, after in pairwise(lane):
        needed = item.right + item.gap + after.left
        width += max(reach[after.column] - reach[item.column], needed)
    last = lane[-1]
    return width + max(reach[-1] - reach[last.column], last.right + last.gap / 2)


def _add_ink_rods(
    rods: list[float],
    long_rods: list[tuple[int, int, float]],
    staff: StaffInk,
    gaps: dict[int, float],
    style: Style,
    tail: float,
) -> None:
    """Keep neighbouring ink of one staff apart. `gaps` overrides the white before a column, `tail` that before the barline."""
    spacing = style.spacing
    usual = spacing.head_to_head
    before = -1
    before_right = 0.0
    for column in sorted(staff.extents):
        extent = staff.extents[column]
        if before >= 0:
            least = before_right + gaps.get(column, usual) + extent.left
            if column == before + 1:
                rods[before] = max(rods[before], least)
            else:
                long_rods.append((before, column, least))
        before, before_right = column, extent.right
    if before >= 0:
        least = before_right + max(tail, spacing.note_to_barline)
        if before == len(rods) - 1:
            rods[before] = max(rods[before], least)
        else:
            long_rods.append((before, len(rods), least))


def _staff_gaps(staff: StaffInk, style: Style) -> dict[int, float]:
    """The white before columns that are slid to: room for the line, which ends before the accidentals."""
    room = style.spacing.slide_room
    return {
        item.column: room
        for voice in staff.voices
        for item in voice.items
        if isinstance(item, ChordInk)
        for note in item.notes
        if note.techniques and any(technique.sign in SLIDING for technique in note.techniques)
    }


def _tab_gaps(staff: StaffInk, style: Style) -> dict[int, float]:
    """The white before each column of a tab: room for a sign between two digits, or just air."""
    spacing = style.spacing
    gaps: dict[int, float] = {}
    for voice in staff.voices:
        for item in voice.items:
            if isinstance(item, FretInk):
                joined = any(
                    technique.sign in LEGATO
                    for digit in item.digits
                    if digit.text
                    for technique in digit.note.techniques
                )
                gap = spacing.slide_room if joined else spacing.fret_to_fret
                gaps[item.column] = max(gaps.get(item.column, 0.0), gap)
    return gaps


def _add_lane_rods(
    rods: list[float],
    long_rods: list[Rod],
    lane: Lane,
    following: Lane,
    tightest: Sequence[float],
    style: Style,
) -> None:
    """Keep the words of one lane apart, and the last one clear of the barline and of the next measure's first.

    What holds at the `tightest` that slices ever stand is left out: most words are short beside their notes.
    """
    lead = style.spacing.barline_to_note
    for rod in neighbour_rods(lane, following, len(rods), lead):
        start, stop, least = rod
        if stop > start + 1:
            long_rods.append(rod)
        elif stop > start and least > rods[start]:
            rods[start] = least
    if len(lane) > 1 and lane[0].lean:
        widths = [rod if rod > own else own for rod, own in zip(rods, tightest, strict=True)]
        long_rods.extend(chain_rods(lane, following, lead, list(accumulate(widths, initial=0.0))))
