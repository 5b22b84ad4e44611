"""Third and further voices of a staff, kept as notes of the two voices that a part has wherever those allow it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import Tone, VoiceEvent, count_tones

_NEAR = Fraction(1, 96)
"""Whole notes by which a file may round its durations (house rule)."""
_MOST_MOMENTS = 1024
"""Events of a voice in a measure whose rests are looked for (house rule: sixteen whole notes of sixty-fourths)."""
_MOST_TONES = 16
"""Notes of a chord that others may join: no instrument of the language has as many strings (house rule)."""
_WHY = "a third voice"
_MIDDLE = 71
"""B4, the middle of the treble staff, for notes without a pitch (fact of notation)."""


def keep_voice(extra: Sequence[VoiceEvent], lanes: list[list[VoiceEvent]], losses: LossLog) -> None:
    """Put the notes of a further voice into `lanes`: into chords that start with them, else where a lane rests.

    Of two chords the one of the same length is taken, then the nearer one in pitch; a note in a chord of another length lasts
    as long as that. What finds no place is told.
    """
    starts: dict[int, list[VoiceEvent]] = defaultdict(list)
    for other in (other for lane in lanes for other in lane):
        if other.tones and not any(tone.slash for tone in other.tones):
            starts[_moment(other)].append(other)
    fills = max(map(len, (extra, *lanes))) <= _MOST_MOMENTS
    for event in extra:
        if not event.tones:
            continue
        losses.notes(count_tones([*event.before, *event.after]), f"grace notes of {_WHY}")
        at = _moment(event)
        together = [other for moment in (at - 1, at, at + 1) for other in starts.get(moment, ())]
        for tone in event.tones:
            host = _choose_chord(tone, event, together)
            if host is not None:
                _join(tone, event, host, losses)
            elif not (fills and any(_fill_rest(tone, event, lane) for lane in lanes)):
                losses.notes(0 if tone.tied else 1, _WHY)


def _moment(event: VoiceEvent) -> int:
    """A number for when an event starts: events that start together have the same or neighbouring ones."""
    return round(event.onset / _NEAR)


def _choose_chord(tone: Tone, event: VoiceEvent, together: Sequence[VoiceEvent]) -> VoiceEvent | None:
    """The chord that the tone joins, of those that start with it."""
    together = [host for host in together if len(host.tones) < _MOST_TONES]
    middle = _midi(tone)
    return min(
        together,
        key=lambda host: (
            abs(host.length - event.length) > _NEAR,
            min(abs(_midi(other) - middle) for other in host.tones),
        ),
        default=None,
    )


def _join(tone: Tone, event: VoiceEvent, host: VoiceEvent, losses: LossLog) -> None:
    if any(other.pitch == tone.pitch and other.string == tone.string for other in host.tones):
        return  # both voices have this note: it is there
    if abs(host.length - event.length) > _NEAR:
        if tone.tied:
            return  # it was struck before, and rings on
        losses.shorter(1, _WHY)
    host.tones.append(tone)
    host.marks.extend(mark for mark in event.marks if mark not in host.marks and "slur" not in mark)


def _fill_rest(tone: Tone, event: VoiceEvent, lane: list[VoiceEvent]) -> bool:
    """Whether a rest of the lane, or nothing at all, was where the tone is now."""
    stop = event.onset + event.length
    over = [
        other
        for other in lane
        if other.onset < stop - _NEAR and other.onset + other.length > event.onset + _NEAR
    ]
    if tone.tied or not lane or any(other.tones for other in over):
        return False
    for other in over:
        index = lane.index(other)
        pieces = [(other.onset, event.onset), (stop, other.onset + other.length)]
        lane[index : index + 1] = [
            replace(other, onset=start, length=end - start, written=None, fills=False)
            for start, end in pieces
            if end - start > _NEAR
        ]
    lane.append(replace(event, tones=[tone], before=[], after=[], lyrics={}, slurs=[]))
    lane.sort(key=lambda other: other.onset)
    return True


def _midi(tone: Tone) -> int:
    return tone.pitch.midi if tone.pitch is not None else _MIDDLE
