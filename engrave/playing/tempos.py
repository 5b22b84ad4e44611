"""The tempo map: metronome marks, and the places where time stands still."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.playing.sounding import TempoAt
from engrave.playing.swing import heard_span
from engrave.playing.taste import Taste
from engrave.score.sign_list import SIGNS, Carrier, SignName
from engrave.score.structure import Event, Part, Score


class Step(NamedTuple):
    """A measure as it is played: its index in the score, and when it starts."""

    measure: int
    start: Fraction


class Hold(NamedTuple):
    """A stretch that takes `times` as long as its tempo says, and `seconds` more."""

    start: Fraction
    stop: Fraction
    times: float
    seconds: float = 0.0


def source_measure(part: Part, index: int) -> int:
    """The measure whose music is played at `index`: an earlier one where the part repeats it."""
    while part.measures[index].repeats:
        index -= part.measures[index].repeats
    return index


def event_signs(event: Event) -> frozenset[SignName]:
    """The names of the signs of a whole event, which may be written on any of its notes."""
    noted = (technique.sign for note in event.notes for technique in note.techniques)
    shared = {name for name in noted if name in SIGNS and SIGNS[name].carrier is Carrier.EVENT}
    return frozenset(shared | {technique.sign for technique in event.techniques})


def written_tempos(score: Score, steps: Sequence[Step], house: Taste) -> tuple[TempoAt, ...]:
    """The tempo map of the metronome marks; words alone change nothing. What holds before the first step counts."""
    found = [TempoAt(Fraction(0), house.tempo)]
    before = steps[0].measure if steps else 0
    for index in range(before):
        found = [TempoAt(Fraction(0), _quarters(score, index) or found[0].quarters)]
    for step in steps:
        quarters = _quarters(score, step.measure)
        if quarters and quarters != found[-1].quarters:
            found = [tempo for tempo in found if tempo.start < step.start]
            found.append(TempoAt(step.start, quarters))
    return tuple(found)


def _quarters(score: Score, index: int) -> float:
    """The quarters a minute that the metronome mark of a measure says, 0 where there is none."""
    tempo = score.measures[index].tempo
    if tempo is None or tempo.value is None or tempo.per_minute is None:
        return 0.0
    return float(tempo.per_minute * tempo.value.length * 4)


def tempo_at(tempos: Sequence[TempoAt], moment: Fraction) -> float:
    """Tempo in quarter notes per minute at a moment."""
    return tempos[max(0, bisect_right(tempos, moment, key=lambda tempo: tempo.start) - 1)].quarters


def find_holds(score: Score, steps: Sequence[Step], house: Taste) -> list[Hold]:
    """Fermatas, joined where they overlap, and caesuras."""
    fermatas: set[tuple[Fraction, Fraction]] = set()
    caesuras: set[tuple[Fraction, Fraction]] = set()
    for part in score.parts:
        held = [list(_held(part, index)) for index in range(len(part.measures))]
        for step in steps:
            for event, is_fermata in held[source_measure(part, step.measure)]:
                onset, end = heard_span(event, score.measures[step.measure])
                start, stop = step.start + onset, step.start + end
                if is_fermata:
                    fermatas.add((start, stop))
                else:
                    caesuras.add((stop - min(house.caesura_from, (stop - start) / 4), stop))
    holds: list[Hold] = []
    for start, stop in sorted(fermatas):
        if holds and start < holds[-1].stop:
            holds[-1] = holds[-1]._replace(stop=max(stop, holds[-1].stop))
        else:
            holds.append(Hold(start, stop, house.fermata))
    silences: list[Hold] = []
    for start, stop in sorted(caesuras):
        if not silences or start >= silences[-1].stop:
            silences.append(Hold(start, stop, 1.0, house.caesura))
    return sorted([*holds, *silences])


def _held(part: Part, index: int) -> Iterator[tuple[Event, bool]]:
    """The events of a measure with a fermata (True) or a caesura (False)."""
    for voice in part.measures[index].voices:
        for event in voice.events:
            for name in (SignName.FERMATA, SignName.CAESURA):
                if name in event_signs(event):
                    yield event, name == SignName.FERMATA


def with_holds(tempos: Sequence[TempoAt], holds: Sequence[Hold]) -> tuple[TempoAt, ...]:
    """The tempo map with the holds as slower stretches."""
    if not holds:
        return tuple(tempos)
    edges = {tempo.start for tempo in tempos} | {edge for hold in holds for edge in (hold.start, hold.stop)}
    found: list[TempoAt] = []
    waiting, running = list(reversed(holds)), list[Hold]()
    for edge in sorted(edges):
        while waiting and waiting[-1].start <= edge:
            running.append(waiting.pop())
        running = [hold for hold in running if hold.stop > edge]
        quarters = tempo_at(tempos, edge)
        # How many seconds a whole note takes here.
        whole = 240 / quarters
        for hold in running:
            whole = whole * hold.times + hold.seconds / float(hold.stop - hold.start)
        slowed = 240 / whole if running else quarters
        if not found or found[-1].quarters != slowed:
            found.append(TempoAt(edge, slowed))
    return tuple(found)
