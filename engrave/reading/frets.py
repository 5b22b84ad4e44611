"""The value behind a string number: a fret with marks, a dead note, a tie, or a mapping."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from engrave.diagnostics.problem import Place
from engrave.reading.context import Context
from engrave.reading.details import natural_harmonic_pitch, read_details
from engrave.reading.drafts import DraftNote
from engrave.reading.mark_words import refuse_mark
from engrave.score.sign_list import MARKS
from engrave.score.structure import Mark
from engrave.source.tree import SourceMap, Value
from engrave.theory.pitch import Pitch, parse_pitch

_NODE = re.compile(r"[0-9]{1,2}\.[0-9]{1,2}")


class FretWords(NamedTuple):
    """A fret as typed: number (0 for dead notes and ties), marks, and whether it is a tie.

    `node` is the place of a natural harmonic between two frets, "" elsewhere.
    """

    fret: int
    marks: tuple[str, ...]
    is_tie: bool
    node: str = ""


@lru_cache(maxsize=4096)
def parse_fret(text: str) -> FretWords:
    """Read "3", "3 hammer-on", "x accent", "tie", "2.7 natural-harmonic". Raises ValueError that says what would be right."""
    words = text.split()
    if not words:
        raise ValueError("a fret is missing here; write a number, x or tie")
    first, marks = words[0], tuple(words[1:])
    for mark in marks:
        if mark not in MARKS:
            raise ValueError("; ".join(refuse_mark(mark)))
    if first == "tie":
        return FretWords(0, marks, True)
    if first in ("x", "X"):
        return FretWords(0, ("dead", *marks), False)
    if _NODE.fullmatch(first):
        return FretWords(round(float(first)), marks, False, first)
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
    finger, spelled, extra, details = "", None, (), None
    if isinstance(value, SourceMap):
        details = value
        finger = str(value.get("finger", ""))
        spelled = _read_spelling(context, value)
        extra = tuple(value.get("marks", ()))
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
    names = words.marks + extra
    marks = _marks(names, place) if names else ()
    if details is not None:
        marks += read_details(context, details, words.fret, words.is_tie)
    if words.is_tie:
        raise Tie(marks)
    instrument = context.instrument
    if words.fret > instrument.usable_frets:
        capo = f" beyond its capo at {instrument.capo}" if instrument.capo else ""
        context.error(
            place,
            f"fret {words.fret} does not exist",
            f"the {instrument.name} has {instrument.usable_frets} frets{capo}",
        )
        return None
    midi = instrument.written_midi(string, words.fret)
    if spelled is not None and spelled.midi != midi:
        context.error(
            value_place(value, place),
            f"{spelled.name} is not what string {string} fret {words.fret} sounds",
            f"it is written as {_name(midi)}",
        )
        spelled = None
    note = DraftNote(string, words.fret, midi, place, spelled, marks=marks, finger=finger)
    _find_harmonic(context, note, words)
    return note


def _find_harmonic(context: Context, note: DraftNote, words: FretWords) -> None:
    """Set what a natural harmonic sounds; refuse frets that only a harmonic could have."""
    if "natural-harmonic" not in {mark.name for mark in note.marks}:
        if words.node:
            hint = "only a natural-harmonic may lie between two frets"
            context.error(note.place, f"{words.node} is not a fret", hint)
        return
    node = float(words.node or words.fret)
    try:
        note.sounding = natural_harmonic_pitch(context.instrument, note.string, node)
    except ValueError as error:
        context.error(note.place, str(error), "strong ones lie at frets 12, 7, 5, 4, 9 and 3.2")
    note.marks = tuple(
        mark._replace(amount=words.node or str(words.fret)) if mark.name == "natural-harmonic" else mark
        for mark in note.marks
    )


class Tie(Exception):
    """The string is held from the event before; `marks` are those of the held note."""

    def __init__(self, marks: tuple[Mark, ...]) -> None:
        super().__init__("tie")
        self.marks = marks


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
