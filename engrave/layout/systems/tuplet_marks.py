"""Tuplet numbers and brackets at their placed notes."""

from __future__ import annotations

from functools import partial
from itertools import pairwise

from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.measures.ink import ChordInk, FretInk, RestInk
from engrave.layout.measures.rhythm import TupletGroup, VoiceRhythm
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.mark_lanes import MarkLanes
from engrave.layout.systems.placed import PlacedEvent, PlacedVoice
from engrave.layout.tuplets import TupletMember, decide_tuplet, tuplet_text
from engrave.marks.role import Role
from engrave.style.sections import Style
from engrave.style.words import OtherMark


def add_tuplets(
    canvas: StaffCanvas, voice: PlacedVoice, rhythm: VoiceRhythm, style: Style, lanes: MarkLanes
) -> None:
    """Let the numbers and brackets of one voice in one measure wait in `lanes`, inner tuplets first."""
    if not rhythm.tuplets:
        return
    events = {event.item.number: event for event in voice.events}
    order = style.signs[OtherMark.TUPLET].order
    for group in sorted(rhythm.tuplets, key=lambda group: -group.level):
        members = [events[i] for i in group.members if i in events]
        if members:
            lanes.add(
                order, partial(_place_tuplet, canvas, group, members, rhythm, style=style, voice=voice.side)
            )


def _place_tuplet(
    canvas: StaffCanvas,
    group: TupletGroup,
    members: list[PlacedEvent],
    rhythm: VoiceRhythm,
    style: Style,
    voice: Direction | None,
) -> None:
    side = voice or _side(members)
    words = style.words.tuplet
    face = text_face(words.face)
    text = tuplet_text(group.ratio)
    width, height = face.width(text, words.size), face.ink("3", words.size).top
    skyline = canvas.upper if side is Direction.UP else canvas.lower
    beamed = _is_one_beam(group, members, rhythm)
    plan = decide_tuplet(
        [
            TupletMember(
                m.left, m.right, skyline.height(before.right if before else m.left, m.right), _end(m, side)
            )
            for before, m in zip((None, *members), members, strict=False)
        ],
        side,
        not beamed,
        width,
        number_height=height,
        staff=(0.0, canvas.plan.height),
        style=style.beams,
        beam_middle=_beam_edge(members, side, style) if beamed else None,
    )
    half = width / 2
    outline = side * skyline.height(plan.number_x - half, plan.number_x + half)
    clear = max(side * plan.number_y, outline + style.beams.tuplet_digit_gap + height / 2)
    plan = plan._replace(number_y=side * clear)
    source = members[0].item.source
    canvas.text(
        Role.TUPLET_NUMBER,
        plan.number_x - width / 2,
        plan.number_y - height / 2,
        text,
        face=words.face,
        size=words.size,
        source=source,
    )
    for x1, y1, x2, y2 in plan.strokes:
        canvas.line(Role.TUPLET_BRACKET, x1, y1, x2, y2=y2, width=style.beams.tuplet_line, source=source)
        canvas.ink(min(x1, x2), max(x1, x2), min(y1, y2), max(y1, y2))
        if x1 != x2:  # what stands further out is as clear of the bracket as of the number
            clear = (y1 + y2) / 2 + side * height / 2
            canvas.keep(side, x1, x2, clear)
    canvas.ink(
        plan.number_x - width / 2,
        plan.number_x + width / 2,
        plan.number_y - height / 2,
        plan.number_y + height / 2,
    )
    if not plan.strokes and members[0].has_stem and members[0].direction is side:
        _keep_lane(canvas, members, side, (plan.number_x, plan.number_y + side * height / 2))


def _keep_lane(
    canvas: StaffCanvas, members: list[PlacedEvent], side: Direction, outer: tuple[float, float]
) -> None:
    """Keep what stands further out clear of the number's height along its whole beam: no finger stands in a row with it.

    `outer` is the (x, y) of the middle of the number's outer edge.
    """
    stems = [member for member in members if member.has_stem]
    first, last = stems[0], stems[-1]
    span = last.stem_x - first.stem_x
    slope = (last.tip - first.tip) / span if span else 0.0
    edges = [first.left, *(member.stem_x for member in stems), last.right]
    for left, right in pairwise(edges):
        y = outer[1] + slope * ((left + right) / 2 - outer[0])
        canvas.keep(side, left, right, y)


def _end(member: PlacedEvent, side: Direction) -> float | None:
    """The outermost y of a note on `side`; None for a rest."""
    if isinstance(member.item, RestInk):
        return None
    return member.top if side is Direction.UP else member.bottom


def _side(members: list[PlacedEvent]) -> Direction:
    """The stems' side; above where they differ or there are none."""
    directions = {m.direction for m in members if not isinstance(m.item, RestInk)}
    return directions.pop() if len(directions) == 1 else Direction.UP


def _is_one_beam(group: TupletGroup, members: list[PlacedEvent], rhythm: VoiceRhythm) -> bool:
    """True when one beam covers exactly the tuplet's notes, and no tuplet inside it, so that no bracket is needed."""
    if any(inner.level > group.level and inner.members[0] in group.members for inner in rhythm.tuplets):
        return False
    if any(isinstance(m.item, RestInk) for m in (members[0], members[-1])):
        return False
    notes = tuple(m.item.number for m in members if isinstance(m.item, ChordInk | FretInk))
    return any(beam.members == notes for beam in rhythm.beams)


def _beam_edge(members: list[PlacedEvent], side: Direction, style: Style) -> tuple[float, float] | None:
    """The middle (x, y) of the beam's outer edge; None when the stems point the other way."""
    first, last = members[0], members[-1]
    if not first.has_stem or first.direction is not side:
        return None
    return (first.stem_x + last.stem_x) / 2, (first.tip + last.tip) / 2 + side * style.beams.thickness / 2
