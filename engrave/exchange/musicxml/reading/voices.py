"""Third and further voices of a staff, kept as notes of the two voices that a part has wherever those allow it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import Tone, VoiceEvent, count_tones

_NEAR = Fraction(1, 96)
"""Whole notes by which a file may round its durations (house rule)."""
_WHY = "a third voice"
_MIDDLE = 71
"""B4, the middle of the treble staff, for notes without a pitch (fact of notation)."""


def keep_voice(extra: Sequence[VoiceEvent], lanes: list[list[VoiceEvent]], losses: LossLog) -> None:
    """Put the notes of a further voice into `lanes`: into chords that start with them, else where a lane rests.

    Of two chords the one of the same length is taken, then the nearer one in pitch; a note in a chord of another length lasts
    as long as that. What finds no place is told.
    """
    for event in extra:
        if not event.tones:
            continue
        losses.notes(count_tones([*event.before, *event.after]), f"grace notes of {_WHY}")
        for tone in event.tones:
            host = _find_chord(tone, event, lanes)
            if host is not None:
                _join(tone, event, host, losses)
            elif not any(_fill_rest(tone, event, lane) for lane in lanes):
                losses.notes(0 if tone.tied else 1, _WHY)


def _find_chord(tone: Tone, event: VoiceEvent, lanes: Sequence[Sequence[VoiceEvent]]) -> VoiceEvent | None:
    """The chord that the tone joins."""
    together = [
        host
        for lane in lanes
        for host in lane
        if host.tones and abs(host.onset - event.onset) <= _NEAR and not any(t.slash for t in host.tones)
    ]
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
