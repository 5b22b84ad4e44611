"""The value behind a string number: a fret with marks, a dead note, a tie, or a mapping."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from engrave.diagnostics.problem import Place, did_you_mean
from engrave.reading.context import Context
from engrave.reading.drafts import DraftNote
from engrave.score.sign_list import MARKS
from engrave.score.structure import Mark
from engrave.source.tree import SourceMap, Value
from engrave.theory.pitch import Pitch, parse_pitch


class FretWords(NamedTuple):
    """A fret as typed: number (0 for dead notes and ties), marks, and whether it is a tie."""

    fret: int
    marks: tuple[str, ...]
    is_tie: bool


@lru_cache(maxsize=4096)
def parse_fret(text: str) -> FretWords:
    """Read "3", "3 hammer-on", "x accent", "tie". Raises ValueError that says what would be right."""
    words = text.split()
    if words == ["tie"]:
        return FretWords(0, (), True)
    if not words:
        raise ValueError("a fret is missing here; write a number, x or tie")
    first, marks = words[0], tuple(words[1:])
    for mark in marks:
        if mark not in MARKS:
            raise ValueError(f'"{mark}" is not a mark; {did_you_mean(mark, MARKS)}')
    if first in ("x", "X"):
        return FretWords(0, ("dead", *marks), False)
    if not first.isascii() or not first.isdigit() or len(first) > 3:
        raise ValueError(f'"{first}" is not a fret; write a number, x for a dead note, or tie')
    return FretWords(int(first), marks, False)


@lru_cache(maxsize=512)
def _marks(names: tuple[str, ...], place: Place) -> tuple[Mark, ...]:
    return tuple(Mark(name, place=place) for name in names)


def read_fret(context: Context, string: int, value: Value, place: Place) -> DraftNote | None:
    """The note on `string`; None for a tie (the caller finds what is held) or when it cannot be used.

    Raises `Tie` for ties.
    """
    finger, spelled, bend, extra, pluck = "", None, "", (), ""
    if isinstance(value, SourceMap):
        finger = str(value.get("finger", ""))
        spelled = _read_spelling(context, value)
        bend = str(value.get("bend", ""))
        extra = tuple(value.get("marks", ()))
        pluck = str(value.get("pluck", ""))
        value = value.get("fret", "")
        if value == "":
            context.error(place, f"string {string} has no fret", "write fret: and a number")
            return None
    if type(value) is int:
        words = FretWords(value, (), False)
    else:
        try:
            words = parse_fret(str(value))
        except ValueError as error:
            context.error(place, str(error))
            return None
    if words.is_tie:
        raise Tie
    instrument = context.instrument
    if words.fret > instrument.usable_frets:
        capo = f" beyond its capo at {instrument.capo}" if instrument.capo else ""
        context.error(
            place,
            f"fret {words.fret} does not exist",
            f"the {instrument.name} has {instrument.usable_frets} frets{capo}",
        )
        return None
    names = words.marks + extra
    marks = _marks(names, place) if names else ()
    if bend:
        marks = (*marks, Mark("bend", bend, place))
    if pluck:
        marks = (*marks, Mark("pluck", pluck, place))
    midi = instrument.written_midi(string, words.fret)
    if spelled is not None and spelled.midi != midi:
        context.error(
            value_place(value, place),
            f"{spelled.name} is not what string {string} fret {words.fret} sounds",
            f"it is written as {_name(midi)}",
        )
        spelled = None
    return DraftNote(string, words.fret, midi, place, spelled, marks=marks, finger=finger)


class Tie(Exception):
    """The string is held from the event before."""


def value_place(value: Value, place: Place) -> Place:
    """The value's own place when it has one."""
    return getattr(value, "place", place)


def _read_spelling(context: Context, value: SourceMap) -> Pitch | None:
    text = value.get("pitch")
    if text is None:
        return None
    try:
        return parse_pitch(str(text))
    except ValueError as error:
        context.error(value.value_place("pitch"), str(error))
        return None


def _name(midi: int) -> str:
    names = ("C", "C# or Db", "D", "D# or Eb", "E", "F", "F# or Gb", "G", "G# or Ab", "A", "A# or Bb", "B")
    return f"{names[midi % 12]} in octave {midi // 12 - 1}"
