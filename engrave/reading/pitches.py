"""Written pitches without strings: checked, and put somewhere until fingering chooses, when all of them are known."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.fingering.first_guess import guess_places, written_places
from engrave.problems import Location
from engrave.reading.context import Context
from engrave.reading.drafts import DraftNote
from engrave.theory.pitch import Pitch, parse_pitch

_MOST_NAMED = 12
"""Pitches that a message names; of the others it says how many there are."""
MOST_PLACED = 25_000
"""Pitches of a piece that strings are chosen for, at most: an hour of music."""


def read_pitches(
    context: Context, texts: Sequence[str], location: Location, taken: Sequence[int]
) -> list[DraftNote]:
    """Notes for written pitches that sound together; strings in `taken` are not free."""
    pitches = []
    for text in texts:
        try:
            pitches.append(parse_pitch(text))
        except ValueError as error:
            context.error(
                location,
                str(error),
                "" if "pitch" in str(error) else "an event is string:fret such as 3:0, rest, tie or pitches",
            )
    if len(pitches) < len(texts) or not pitches:
        return []
    if not context.instrument.tuning:
        return [DraftNote(0, 0, pitch.midi, location, pitch) for pitch in pitches]
    ordered = sorted(pitches, key=lambda pitch: -pitch.midi)
    guess = guess_places(context.instrument, ordered, frozenset(taken))
    if guess is None:
        _explain(context, ordered, location)
        return []
    tally = context.tally
    tally.placed += len(pitches)
    if tally.placed > MOST_PLACED >= tally.placed - len(pitches):
        what = f"strings are chosen for {MOST_PLACED:,} pitches of a piece, and here are more"
        context.error(location, what, "write string:fret, or part the piece into several files")
    return [
        DraftNote(string, fret, pitch.midi, location, pitch, chosen=True)
        for pitch, (string, fret) in zip(ordered, guess, strict=True)
    ]


def _explain(context: Context, pitches: Sequence[Pitch], location: Location) -> None:
    for pitch in pitches:
        if not written_places(context.instrument, pitch):
            low = min(string.midi for string in context.instrument.tuning) + 12 * context.instrument.octave
            side = "below the lowest open string" if pitch.midi < low else "above the last fret"
            context.error(
                location,
                f"{pitch.name} lies {side} of the {context.instrument.name}",
                "pitches are as written, an octave above sound for guitar and bass"
                if context.instrument.octave == 1
                else "",
            )
            return
    names = " ".join(pitch.name for pitch in pitches[:_MOST_NAMED])
    names += f" and {len(pitches) - _MOST_NAMED} others" if len(pitches) > _MOST_NAMED else ""
    context.error(
        location, f"{names} cannot be played together", "there are not enough free strings for them"
    )
