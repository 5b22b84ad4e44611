"""Chord names and free text by beat."""

from __future__ import annotations

from fractions import Fraction

from engrave.diagnostics.problem import Place, did_you_mean
from engrave.reading.context import Context
from engrave.score.sign_list import DYNAMICS
from engrave.score.structure import ChordAt, TextAt
from engrave.source.tree import SourceList, SourceMap, Value
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
    for onset, text, spot in by_beat(context, content, place, offset):
        try:
            name = parse_chord_name(text)
            shape = context.shapes.get(name, spot, context.where(onset), context.log)
            chords.append(ChordAt(onset, name, spot, shape))
        except ValueError as error:
            context.error(spot, str(error), onset=onset)
    return tuple(chords)


def read_texts(context: Context, content: Value, place: Place, offset: Fraction) -> tuple[TextAt, ...]:
    """The free words of a measure."""
    return tuple(
        TextAt(onset, text, spot)
        for onset, text, spot in by_beat(context, content, place, offset)
        if text.strip()
    )


def read_dynamics(context: Context, content: Value, place: Place, offset: Fraction) -> tuple[TextAt, ...]:
    """The dynamics of a measure, each a word of the standard list."""
    found = []
    for onset, text, spot in by_beat(context, content, place, offset):
        if text in DYNAMICS:
            found.append(TextAt(onset, text, spot))
        else:
            context.error(spot, f'"{text}" is not a dynamic', did_you_mean(text, DYNAMICS), onset)
    return tuple(found)


def by_beat(
    context: Context, content: Value, place: Place, offset: Fraction
) -> list[tuple[Fraction, str, Place]]:
    """(onset, words, place) of what is written by beat, in order; a list holds several at one beat."""
    if content is None:
        return []
    if isinstance(content, SourceList):
        return [(Fraction(0), str(item), content.item_place(i)) for i, item in enumerate(content)]
    if not isinstance(content, SourceMap):
        return [(Fraction(0), str(content), place)]
    found: list[tuple[Fraction, str, Place]] = []
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
        if isinstance(text, SourceList):
            found.extend((onset, str(item), text.item_place(i)) for i, item in enumerate(text))
        else:
            found.append((onset, str(text), spot))
    return sorted(found, key=lambda item: item[0])
