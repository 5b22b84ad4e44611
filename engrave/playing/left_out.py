"""Music for playing along: a part or a voice is left out of what is heard, and all else stays as it was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from engrave.playing.performance import perform
from engrave.playing.sounding import Performance
from engrave.score.excerpt import find_parts
from engrave.score.structure import Part, Score, Voice

VOICES = ("upper", "lower")
"""What the two voices of a measure are called."""


def perform_without(
    score: Score, first: int, stop: int | None, repeats: bool, left_out: Sequence[str]
) -> Performance:
    """The performance of measures `first` to `stop` - 1 without what `left_out` names, in the same time.

    Each name is a part (by name, id or number), a part and a voice of it ("guitar lower"), or a voice of all parts.
    Raises ValueError for a part that is not there.
    """
    whole = perform(score, first, stop, repeats)
    if not left_out:
        return whole
    kept = score
    for wish in left_out:
        words = wish.split()
        voices = range(len(VOICES))
        if words and words[-1].casefold() in VOICES:
            voice = VOICES.index(words.pop().casefold())
            voices = range(voice, voice + 1)
        parts = (
            find_parts(score, " ".join(words)) if words or not wish.split() else set(range(len(score.parts)))
        )
        kept = replace(
            kept,
            parts=tuple(
                _silenced(part, voices) if index in parts else part for index, part in enumerate(kept.parts)
            ),
        )
    return replace(whole, notes=perform(kept, first, stop, repeats).notes)


def _silenced(part: Part, voices: range) -> Part:
    """The part with rests in these voices."""
    measures = []
    for content in part.measures:
        rows = [
            Voice(tuple(event._replace(notes=(), before=None, after=None) for event in voice.events))
            if number in voices
            else voice
            for number, voice in enumerate(content.voices)
        ]
        measures.append(content._replace(voices=tuple(rows)))
    return part._replace(measures=tuple(measures))


def is_silent(performance: Performance) -> bool:
    """True where nothing is heard, not even a click."""
    return not performance.notes and not performance.clicks
