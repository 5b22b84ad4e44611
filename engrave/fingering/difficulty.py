"""How hard each measure is to play, one number and what it is made of; and stretches against what a hand can do."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.fingering.grips import NoteChoice, find_grips
from engrave.fingering.hand import Hand
from engrave.fingering.moments import Moment, find_moments, whole_note_seconds
from engrave.fingering.neck import Neck, build_neck
from engrave.fingering.reasons import Reason, explain
from engrave.fingering.solve import Solver, Step
from engrave.score.structure import Event, Measure, Part, PartMeasure, Score

_MOST = 10.0
"""The greatest difficulty (algorithm: ours goes from 0 to 10)."""
_LEAST_MEASURE = 0.1
"""Seconds: what is done in a measure is divided by no less (algorithm)."""


class Difficulty(NamedTuple):
    """One measure: `number` from 0 (nothing to do) to 10, and the shares of it, each 0 to 1 of what its kind can be.

    `mostly` says what makes it hard, most first: "speed, barres"; "" where nothing does. What no hand can reach is 10.
    """

    number: float
    speed: float = 0.0
    shifts: float = 0.0
    stretches: float = 0.0
    barres: float = 0.0
    rhythm: float = 0.0
    bends: float = 0.0
    mostly: str = ""


def rate_measures(score: Score, part: Part, hand: Hand) -> list[Difficulty]:
    """The difficulty of every measure of a fretted part, held in the cheapest way; measures without music have 0."""
    neck = build_neck(part.instrument, hand)
    moments = find_moments(score, part, neck, hand.pace)
    way = Solver(neck, hand).solve(moments)
    beyond = {moment.measure for moment, step in zip(moments, way.steps, strict=True) if step is None}
    held: dict[int, list[tuple[Moment, Step, Step | None]]] = defaultdict(list)
    before: Step | None = None
    for moment, step in zip(moments, way.steps, strict=True):
        if step is not None:
            held[moment.measure].append((moment, step, before))
            before = step
    wholes = whole_note_seconds(score, hand.pace)
    return [
        _BEYOND
        if index in beyond
        else _rate(measure, part.measures[index], held[index], wholes[index], neck, hand)
        for index, measure in enumerate(score.measures)
    ]


_BEYOND = Difficulty(_MOST, stretches=1.0, mostly="out of reach")
"""A measure with something that no hand can hold (algorithm)."""


def rate_piece(measures: Sequence[Difficulty]) -> float:
    """One number for a piece: its hardest quarter counts, for a player has to get through that too (house rule)."""
    playing = sorted((measure.number for measure in measures if measure.number), reverse=True)
    hardest = playing[: max(1, len(playing) // 4)]
    return round(sum(hardest) / len(hardest), 1) if hardest else 0.0


def rate_score(score: Score, hand: Hand) -> list[Difficulty]:
    """Measure by measure, the difficulty of the part that is hardest there; [] for a score without strings."""
    rated = [rate_measures(score, part, hand) for part in score.parts if part.is_fretted]
    return [max(column, key=lambda measure: measure.number) for column in zip(*rated, strict=True)]


def _rate(
    measure: Measure,
    content: PartMeasure,
    held: Sequence[tuple[Moment, Step, Step | None]],
    whole: float,
    neck: Neck,
    hand: Hand,
) -> Difficulty:
    if not held:
        return Difficulty(0.0)
    scale = hand.difficulty
    seconds = max(float(measure.length) * whole, _LEAST_MEASURE)
    travel = sum(_travel(step, before, neck) for _, step, before in held)
    widest = max(step.grip.reach for _, step, _ in held)
    reach = hand.reach
    shares = {
        "speed": min(1.0, len(held) / seconds / scale.notes),
        "shifts": min(1.0, travel / seconds / scale.travel),
        "stretches": min(1.0, max(0.0, widest - reach.relaxed) / (reach.hard - reach.relaxed)),
        "barres": sum(1 for _, step, _ in held if step.grip.barres) / len(held),
        "rhythm": _rhythm(measure, content),
        "bends": min(1.0, _widest_bend(content) / scale.bend),
    }
    weights = {
        "speed": scale.speed,
        "shifts": scale.shifts,
        "stretches": scale.stretches,
        "barres": scale.barres,
        "rhythm": scale.rhythm,
        "bends": scale.bends,
    }
    ease = 1.0
    for name, share in shares.items():
        ease *= 1.0 - share * weights[name]
    named = [
        name for name in sorted(shares, key=lambda name: -shares[name]) if shares[name] >= scale.worth_naming
    ]
    return Difficulty(round(_MOST * (1.0 - ease), 1), **shares, mostly=", ".join(named))


def _travel(step: Step, before: Step | None, neck: Neck) -> float:
    """Millimetres by which the hand moves to a step."""
    if before is None or not before.grip.position or not step.grip.position:
        return 0.0
    most = neck.frets
    return neck.reach(min(before.grip.position, most), min(step.grip.position, most))


def _rhythm(measure: Measure, content: PartMeasure) -> float:
    """The share of notes that start off the beat and its half, stand in a tuplet, or are held over from before."""
    events = [event for voice in content.voices for event in voice.events if event.notes]
    awkward = sum(1 for event in events if _is_awkward(event, measure))
    return awkward / len(events) if events else 0.0


def _widest_bend(content: PartMeasure) -> float:
    """In semitones; 0 where nothing is bent."""
    return max(
        (
            float(step.semitones)
            for voice in content.voices
            for event in voice.events
            for note in event.notes
            for step in note.bend
        ),
        default=0.0,
    )


def _is_awkward(event: Event, measure: Measure) -> bool:
    half_beat = Fraction(1, 2 * measure.metre.unit)
    off = bool((event.onset + measure.metre_offset) % half_beat)
    return off or bool(event.tuplets) or any(note.tie_from for note in event.notes)


CAUTION = (
    "stop when a stretch strains, rest, and ask a teacher or a clinician; hands differ, and your own hand comes "
    "before these numbers"
)
"""Said once wherever stretches are spoken of."""


class WideReach(NamedTuple):
    """A stretch beyond what is comfortable, at its first moment; `times` it occurs in the part.

    `reason` is set when the hand cannot play it at all.
    """

    moment: Moment
    low: int
    high: int
    millimetres: float
    times: int
    reason: Reason | None


def find_wide(score: Score, part: Part, hand: Hand) -> list[WideReach]:
    """Every different stretch of `part`, as its strings and frets stand, that is uncomfortable or impossible for `hand`."""
    neck = build_neck(part.instrument, hand)
    found: dict[tuple[NoteChoice, ...], WideReach | None] = {}
    for moment in find_moments(score, part, neck, hand.pace):
        notes = tuple(NoteChoice(want.places[:1], want.finger) for want in moment.wants if want.places)
        if notes in found:
            wide = found[notes]
            found[notes] = wide and wide._replace(times=wide.times + 1)
        else:
            found[notes] = _measure(moment, notes, part, neck, hand)
    return [wide for wide in found.values() if wide is not None]


def _measure(
    moment: Moment, notes: Sequence[NoteChoice], part: Part, neck: Neck, hand: Hand
) -> WideReach | None:
    frets = [note.places[0][1] for note in notes if note.places[0][1]]
    low, high = min(frets, default=0), max(frets, default=0)
    reach = neck.reach(low, high)
    playable = bool(find_grips(notes, neck, hand))
    if playable and reach <= hand.reach.comfortable:
        return None
    reason = None if playable else explain(moment.wants, part.instrument, hand)
    return WideReach(moment, low, high, reach, 1, reason)
