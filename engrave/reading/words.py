"""Chord names and free text by beat."""

from __future__ import annotations

from fractions import Fraction

from engrave.diagnostics.problem import Place
from engrave.reading.context import Context
from engrave.score.structure import ChordAt, TextAt
from engrave.source.tree import SourceMap, Value
from engrave.theory.chord_name import parse_chord_name
from engrave.theory.metre import Metre


def parse_beat(text: str, metre: Metre) -> Fraction:
    """The onset of a beat given as "3", "2.5" or "2 1/2". Raises ValueError."""
    beat = sum((Fraction(piece) for piece in text.split()), Fraction(0))
    if beat < 1 or beat >= metre.length * metre.unit + 1:
        raise ValueError(f"there is no beat {text} in {metre.text}")
    return (beat - 1) / metre.unit


def read_chords(context: Context, content: Value, place: Place, offset: Fraction) -> tuple[ChordAt, ...]:
    """The chord names of a measure; `offset` is where a pickup starts in its metre."""
    chords = []
    for onset, text, spot in _by_beat(context, content, place, offset):
        try:
            chords.append(ChordAt(onset, parse_chord_name(text), spot))
        except ValueError as error:
            context.error(spot, str(error), onset=onset)
    return tuple(chords)


def read_texts(context: Context, content: Value, place: Place, offset: Fraction) -> tuple[TextAt, ...]:
    """The free words of a measure."""
    return tuple(
        TextAt(onset, text, spot)
        for onset, text, spot in _by_beat(context, content, place, offset)
        if text.strip()
    )


def _by_beat(
    context: Context, content: Value, place: Place, offset: Fraction
) -> list[tuple[Fraction, str, Place]]:
    if content is None:
        return []
    if not isinstance(content, SourceMap):
        return [(Fraction(0), str(content), place)]
    found = []
    for key, text, spot in content.entries():
        try:
            onset = parse_beat(key, context.metre) - offset
            if onset < 0:
                raise ValueError(f"beat {key} lies before this pickup starts")
        except (ValueError, ZeroDivisionError) as error:
            context.error(
                content.key_place(key),
                str(error),
                "beats count from 1; 2.5 or 2 1/2 lies between two of them",
            )
            continue
        found.append((onset, str(text), spot))
    return sorted(found, key=lambda item: item[0])
