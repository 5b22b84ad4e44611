"""Lengths of a measure as note values of the score language: cut at beats, tied, triplets in their beats."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from engrave.exchange.midi.collect import UNITS, MidiMeasure
from engrave.exchange.midi.quantise import QUARTER, TRIPLET
from engrave.theory.duration import DENOMINATORS
from engrave.writing.short_events import Item, join_runs, tuplet_content

Piece = tuple[int, int, str]
"""Start and stop in 192nds of a whole note, and the event: pitches, "tie" or "rest"."""
_LENGTHS = tuple(
    sorted(
        (
            (int(length), f"1/{denominator}{'.' * dots}")
            for denominator in DENOMINATORS
            for dots in (0, 1)
            if (length := Fraction(UNITS, denominator) * (2 - Fraction(1, 2**dots))).denominator == 1
        ),
        reverse=True,
    )
)
"""Plain and dotted values, longest first."""
_TRIPLET_UNIT = "1/8"
_TRIPLET = f"3 in 2 of {_TRIPLET_UNIT}"
_TRIPLET_VALUES = {TRIPLET: _TRIPLET_UNIT, 2 * TRIPLET: "1/4"}
_SYNCOPE = UNITS // 8
"""A note of twice this length may start half a beat late without being cut (common practice, no source)."""


def write_measure(pieces: Sequence[Piece], measure: MidiMeasure, triplets: frozenset[int]) -> list[Item]:
    """The list under `notes` for the pieces of one measure, which fill it. `triplets` are the starts of triplet beats."""
    beats = [
        beat for beat in range(measure.start, measure.start + measure.length, QUARTER) if beat in triplets
    ]
    edges = {edge for start, stop, _ in pieces for edge in (start, stop)}
    cuts = {beat for beat in beats if edges & {beat + TRIPLET, beat + 2 * TRIPLET}}
    borders = sorted(cuts | {beat + QUARTER for beat in cuts})
    cut = list(_cut(pieces, borders))
    items: list[Item] = []
    index = 0
    while index < len(cut):
        start = cut[index][0]
        if start in cuts:
            inside = [piece for piece in cut if start <= piece[0] < start + QUARTER]
            index += len(inside)
            content = [{_TRIPLET_VALUES[b - a]: event} for a, b, event in inside]
            items.append({_TRIPLET: tuplet_content(_TRIPLET_UNIT, content)})
            continue
        for value, event in _values(cut[index], measure):
            items.append({value: event})
        index += 1
    return join_runs(items)


def _cut(pieces: Sequence[Piece], borders: Sequence[int]) -> Iterator[Piece]:
    """The pieces cut at the borders; what goes on is tied."""
    for start, stop, event in pieces:
        now = start
        for border in (*(b for b in borders if start < b < stop), stop):
            yield now, border, event if now == start else _going_on(event)
            now = border


def _going_on(event: str) -> str:
    return "rest" if event == "rest" else "tie"


def _values(piece: Piece, measure: MidiMeasure) -> Iterator[tuple[str, str]]:
    """Written values for a piece outside triplets.

    A note is cut at the first beat where it starts off a beat. Rests show the beats: in metres of quarters and longer
    each starts at a multiple of itself, else none crosses a beat (common practice, no source).
    """
    start, stop, event = piece
    beats = [measure.start + int(onset * UNITS) for onset in measure.metre.beats]
    inner = [beat for beat in beats if start < beat < stop]
    is_rest = event == "rest"
    is_syncope = (start - measure.start) % _SYNCOPE == 0 and stop - start == 2 * _SYNCOPE
    borders: Sequence[int] = ()
    if is_rest and measure.metre.unit > 4:
        borders = inner
    elif not is_rest and start not in beats and not is_syncope:
        borders = inner[:1]
    aligned = is_rest and measure.metre.unit <= 4
    for now, end, word in _cut([piece], borders):
        while now < end:
            length, value = _longest(now - measure.start, end - now, aligned)
            yield value, word
            now, word = now + length, _going_on(event)


def _longest(offset: int, room: int, aligned: bool) -> tuple[int, str]:
    """The longest value that fits; `aligned`: a plain one that starts at a multiple of itself."""
    return next(
        (length, value)
        for length, value in _LENGTHS
        if length <= room and not (aligned and (offset % length or value.endswith(".")))
    )
