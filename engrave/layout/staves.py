"""Which staves a score is shown on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from engrave.layout.clefs import PartClefs, clefs_of_part
from engrave.score.braces import braced_runs
from engrave.score.structure import Part, Score, View
from engrave.style.sections import StaffStyle
from engrave.style.words import SignStyle


class StaffKind(Enum):
    """The two kinds of staff."""

    STAFF = "staff"
    TAB = "tab"


@dataclass(frozen=True, slots=True)
class StaffPlan:
    """One staff of every system, counted from the top.

    `part` is the part's index in the score; `pitch` the distance of its lines in staff spaces. `has_rhythm`:
    stems, flags, beams, dots, rests and tuplets are drawn here; `has_metre`: so is the time signature. `in_brace`: a brace
    joins the part to a neighbour.
    """

    index: int
    part: int
    kind: StaffKind
    clefs: PartClefs
    lines: int
    pitch: float
    has_rhythm: bool
    has_metre: bool
    is_first: bool
    is_last: bool
    in_brace: bool
    is_blank: bool = False
    """Its notes are left out, for somebody to write them in."""

    @property
    def height(self) -> float:
        """From the bottom line to the top line, in staff spaces."""
        return (self.lines - 1) * self.pitch

    @property
    def is_tab(self) -> bool:
        """True for tablature."""
        return self.kind is StaffKind.TAB

    @property
    def is_only(self) -> bool:
        """True when the part has no other staff in this view."""
        return self.is_first and self.is_last

    def shows(self, sign: SignStyle) -> bool:
        """True when `sign` stands on this staff: where its style says, or on the only staff there is."""
        if sign.on in ("none", "both"):
            return sign.on == "both"
        return self.is_only or self.is_tab == (sign.on == "tab")


def plan_staves(score: Score, view: View | None, style: StaffStyle) -> tuple[StaffPlan, ...]:
    """The staves of every system from the top down. `view` outranks the score's and the parts' own."""
    plans: list[StaffPlan] = []
    lengths = [measure.length for measure in score.measures]
    braced = {index for run in braced_runs(score.parts) if len(run) > 1 for index in run}
    for index, part in enumerate(score.parts):
        kinds = _kinds(part, view or part.view or score.view)
        has_staff = kinds[0][0] is StaffKind.STAFF
        clefs = (
            clefs_of_part(part, lengths, style.ledger_lines_most, style.clef_change_cost)
            if has_staff
            else PartClefs(part.instrument.clef)
        )
        for place, (kind, has_rhythm) in enumerate(kinds):
            is_tab = kind is StaffKind.TAB
            plans.append(
                StaffPlan(
                    index=len(plans),
                    part=index,
                    kind=kind,
                    clefs=clefs,
                    lines=part.instrument.strings if is_tab else 5,
                    pitch=style.tab_space if is_tab else 1.0,
                    has_rhythm=has_rhythm,
                    has_metre=place == 0,
                    is_first=place == 0,
                    is_last=place == len(kinds) - 1,
                    in_brace=index in braced,
                )
            )
    return tuple(plans)


def left_room(plans: Sequence[StaffPlan], style: StaffStyle) -> float:
    """What brackets and braces take left of the staves, in staff spaces."""
    room = 0.0
    if has_brackets(plans):
        room += style.bracket_gap + style.bracket_bar
    if any(plan.in_brace for plan in plans):
        room += style.brace_gap + style.brace_width
    return room


def has_brackets(plans: Sequence[StaffPlan]) -> bool:
    """True where brackets join the staves of a part, for there are other parts."""
    return len({plan.part for plan in plans}) > 1 and any(not plan.is_last for plan in plans)


def _kinds(part: Part, view: View) -> tuple[tuple[StaffKind, bool], ...]:
    """The staves of one part from the top, each with whether it carries the rhythm."""
    if not part.is_fretted or view in (View.STAFF, View.LEAD_SHEET):
        return ((StaffKind.STAFF, True),)
    if view is View.STAFF_AND_TAB:
        return ((StaffKind.STAFF, True), (StaffKind.TAB, False))
    return ((StaffKind.TAB, view is View.RHYTHM_TAB),)
