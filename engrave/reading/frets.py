"""The value behind a string number: a fret with what is said of it, a dead note, a tie, or a mapping."""

from __future__ import annotations

from collections.abc import Callable

from engrave.problems import Location
from engrave.reading.context import Context, word_locations
from engrave.reading.drafts import DraftNote
from engrave.reading.marks import natural_harmonic_pitch, read_detail, read_marks
from engrave.score.short_form import WITH_AMOUNT, FretWords, WordsError, parse_fret
from engrave.score.structure import Mark
from engrave.source.tree import SourceMap, Value
from engrave.theory.pitch import Pitch, parse_pitch

WordPlace = Callable[[int], Location]
"""Where a word of a text stands, by its number."""


def read_fret(context: Context, string: int, value: Value, location: Location) -> DraftNote | None:
    """The note on `string`; None when it cannot be used.

    Raises `Tie` for ties: the caller finds what is held.
    """
    if isinstance(value, SourceMap):
        return _read_mapping(context, string, value, location)
    if type(value) is int:
        return make_note(context, string, FretWords(value), location)
    words = _parse(context, str(value), location)
    if words is None:
        return None
    return make_note(context, string, words, location, _finder(context, location, str(value)))


def _parse(context: Context, text: str, location: Location) -> FretWords | None:
    try:
        return parse_fret(text)
    except WordsError as error:
        context.error(_finder(context, location, text)(error.index), str(error), error.hint)
        return None


def _finder(context: Context, location: Location, text: str) -> WordPlace:
    def find(index: int) -> Location:
        locations = word_locations(context.lines, location, text)
        return locations[index] if index < len(locations) else location

    return find


def _read_mapping(context: Context, string: int, value: SourceMap, location: Location) -> DraftNote | None:
    """A note from the longer form. Raises `Tie`."""
    fret = value.get("fret", "")
    if fret == "":
        context.error(location, f"string {string} has no fret", "write fret: and a number")
        return None
    spot = value.value_location("fret")
    words = FretWords(fret) if type(fret) is int else _parse(context, str(fret), spot)
    if words is None:
        return None
    typed = words.typed
    finger, pitch = str(value.get("finger", typed.finger)), str(value.get("pitch", typed.pitch))
    marks = list(read_marks(context, value.get("marks", ()), location))
    for key, amount, key_location in value.entries():
        if key in WITH_AMOUNT:
            _add_detail(context, marks, (key, str(amount)), words, key_location)
    words = words._replace(typed=typed._replace(finger=finger, pitch=pitch))
    return make_note(context, string, words, location, _finder(context, spot, str(fret)), marks)


def make_note(
    context: Context,
    string: int,
    words: FretWords,
    location: Location,
    find: WordPlace | None = None,
    more: list[Mark] | None = None,
) -> DraftNote | None:
    """The note that `words` say, and `more` marks; None when it cannot be used. `find` says where each word stands.

    Raises `Tie` for ties.
    """
    typed = words.typed
    marks: list[Mark] = []
    for mark in typed.marks:
        if mark.amount:
            _add_detail(context, marks, (mark.name, mark.amount), words, find(mark.at) if find else location)
        else:
            marks.append(Mark(mark.name, location=location))
    if more:
        marks += more
    if words.is_tie:
        raise Tie(tuple(marks), typed.finger)
    instrument = context.instrument
    if words.fret > instrument.usable_frets:
        capo = f" beyond its capo at {instrument.capo}" if instrument.capo else ""
        hint = f"the {instrument.name} has {instrument.usable_frets} frets{capo}"
        context.error(location, f"fret {words.fret} does not exist", hint)
        return None
    midi = instrument.written_midi(string, words.fret)
    spelled = _read_spelling(context, typed.pitch, location) if typed.pitch else None
    if spelled is not None and spelled.midi != midi:
        what = f"{spelled.name} is not what string {string} fret {words.fret} sounds"
        context.error(location, what, f"it is written as {_name(midi)}")
        spelled = None
    note = DraftNote(string, words.fret, midi, location, spelled, marks=tuple(marks), finger=typed.finger)
    _find_harmonic(context, note, words)
    return note


def read_detail_of(
    context: Context, name: str, amount: str, fret: int, held: bool, location: Location
) -> Mark | None:
    """A mark with an amount; None (and why in the log) when the amount cannot be used."""
    try:
        return read_detail(name, amount, fret, held, location)
    except ValueError as error:
        context.error(location, str(error))
        return None


def _add_detail(
    context: Context, marks: list[Mark], detail: tuple[str, str], words: FretWords, location: Location
) -> None:
    mark = read_detail_of(context, *detail, words.fret, words.is_tie, location)
    if mark is not None:
        marks.append(mark)


def _find_harmonic(context: Context, note: DraftNote, words: FretWords) -> None:
    """Set what a natural harmonic sounds; refuse frets that only a harmonic could have."""
    if "natural-harmonic" not in {mark.name for mark in note.marks}:
        if words.node:
            hint = "only a natural-harmonic may lie between two frets"
            context.error(note.location, f"{words.node} is not a fret", hint)
        return
    node = float(words.node or words.fret)
    try:
        note.sounding = natural_harmonic_pitch(context.instrument, note.string, node)
    except ValueError as error:
        context.error(note.location, str(error), "strong ones lie at frets 12, 7, 5, 4, 9 and 3.2")
    note.marks = tuple(
        mark._replace(amount=words.node or str(words.fret)) if mark.name == "natural-harmonic" else mark
        for mark in note.marks
    )


class Tie(Exception):
    """The string is held from the event before; `marks` and `finger` are those of the held note."""

    def __init__(self, marks: tuple[Mark, ...], finger: str) -> None:
        super().__init__("tie")
        self.marks = marks
        self.finger = finger


def _read_spelling(context: Context, text: str, location: Location) -> Pitch | None:
    try:
        return parse_pitch(text)
    except ValueError as error:
        context.error(location, str(error))
        return None


def _name(midi: int) -> str:
    names = ("C", "C# or Db", "D", "D# or Eb", "E", "F", "F# or Gb", "G", "G# or Ab", "A", "A# or Bb", "B")
    return f"{names[midi % 12]} in octave {midi // 12 - 1}"
