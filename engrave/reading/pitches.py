"""Written pitches without strings: first put on free strings with low frets, and settled when all of them are known."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.problems import Location
from engrave.reading.context import Context
from engrave.reading.drafts import DraftNote
from engrave.theory.instrument import Instrument
from engrave.theory.pitch import Pitch, parse_pitch

_MOST_NAMED = 12
"""Pitches that a message names; of the others it says how many there are."""
MOST_PLACED = 40_000
"""Pitches of a piece that strings are chosen for, at most: more than an hour of music."""


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
    chosen = _choose(context.instrument, ordered, frozenset(taken))
    if chosen is None:
        _explain(context, ordered, location)
        return []
    context.placed += len(pitches)
    if context.placed > MOST_PLACED >= context.placed - len(pitches):
        hint = "write string:fret, or part the piece into several files"
        context.error(
            location, f"strings are chosen for {MOST_PLACED:,} pitches of a part, and here are more", hint
        )
    return [
        DraftNote(string, fret, pitch.midi, location, pitch, chosen=True)
        for pitch, (string, fret) in zip(ordered, chosen, strict=True)
    ]


def written_places(instrument: Instrument, pitch: Pitch) -> list[tuple[int, int]]:
    """Every (string, fret) for a written pitch, lowest fret first. With a capo the written pitch is the shape's."""
    shape = pitch.midi - 12 * instrument.octave
    places = []
    for index, tuned in enumerate(instrument.tuning):
        fret = shape - tuned.midi
        if 0 <= fret <= instrument.usable_frets:
            places.append((index + 1, fret))
    return sorted(places, key=lambda place: (place[1], place[0]))


def _choose(
    instrument: Instrument, pitches: Sequence[Pitch], taken: frozenset[int]
) -> list[tuple[int, int]] | None:
    """A different string for each pitch with the least sum of frets."""
    if len(pitches) + len(taken) > instrument.strings:
        return None
    best: tuple[int, list[tuple[int, int]]] | None = None
    options = [written_places(instrument, pitch) for pitch in pitches]

    def extend(index: int, used: frozenset[int], chosen: list[tuple[int, int]], total: int) -> None:
        nonlocal best
        if best is not None and total >= best[0]:
            return
        if index == len(options):
            best = (total, chosen)
            return
        for string, fret in options[index]:
            if string not in used:
                extend(index + 1, used | {string}, [*chosen, (string, fret)], total + fret)

    extend(0, taken, [], 0)
    return best[1] if best else None


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
