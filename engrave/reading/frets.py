"""The value behind a string number: a fret with what is said of it, a dead note, a tie, or a mapping."""

from __future__ import annotations

from collections.abc import Callable

from engrave.problems import Location
from engrave.reading.context import Context, word_locations
from engrave.reading.drafts import DraftNote
from engrave.reading.marks import natural_harmonic_pitch, read_detail, read_marks
from engrave.score.short_form import WITH_AMOUNT, FretWords, WordsError, parse_fret
from engrave.score.sign_list import SignName
from engrave.score.techniques import NaturalHarmonic, Plain, Technique, signs_of
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
        context.unread = True
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
    techniques = list(read_marks(context, value.get("marks", ()), location))
    for key, amount, key_location in value.entries():
        if key in WITH_AMOUNT:
            _add_detail(context, techniques, (SignName(key), str(amount)), words, key_location)
    words = words._replace(typed=typed._replace(finger=finger, pitch=pitch))
    return make_note(context, string, words, location, _finder(context, spot, str(fret)), techniques)


def make_note(
    context: Context,
    string: int,
    words: FretWords,
    location: Location,
    find: WordPlace | None = None,
    more: list[Technique] | None = None,
) -> DraftNote | None:
    """The note that `words` say, with `more` techniques; None when it cannot be used. `find` says where each word stands.

    Raises `Tie` for ties.
    """
    typed = words.typed
    techniques: list[Technique] = []
    for mark in typed.marks:
        if mark.amount:
            at = find(mark.at) if find else location
            _add_detail(context, techniques, (mark.sign, mark.amount), words, at)
        else:
            techniques.append(Plain(mark.sign, location))
    if more:
        techniques += more
    if words.is_tie:
        raise Tie(tuple(techniques), typed.finger)
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
    note = DraftNote(
        string, words.fret, midi, location, spelled, techniques=tuple(techniques), finger=typed.finger
    )
    _find_harmonic(context, note, words)
    return note


def read_detail_of(
    context: Context, sign: SignName, amount: str, fret: int, held: bool, location: Location
) -> Technique | None:
    """A technique with an amount; None (and why in the log) when the amount cannot be used."""
    try:
        return read_detail(sign, amount, fret, held, location)
    except ValueError as error:
        context.error(location, str(error))
        return None


def _add_detail(
    context: Context,
    techniques: list[Technique],
    detail: tuple[SignName, str],
    words: FretWords,
    location: Location,
) -> None:
    technique = read_detail_of(context, *detail, words.fret, words.is_tie, location)
    if technique is not None:
        techniques.append(technique)


def _find_harmonic(context: Context, note: DraftNote, words: FretWords) -> None:
    """Set what a natural harmonic sounds; refuse frets that only a harmonic could have."""
    if SignName.NATURAL_HARMONIC not in signs_of(note.techniques):
        if words.node:
            hint = "only a natural-harmonic may lie between two frets"
            context.error(note.location, f"{words.node} is not a fret", hint)
        return
    node = float(words.node or words.fret)
    try:
        note.sounding = natural_harmonic_pitch(context.instrument, note.string, node)
    except ValueError as error:
        context.error(note.location, str(error), "strong ones lie at frets 12, 7, 5, 4, 9 and 3.2")
    note.techniques = tuple(
        NaturalHarmonic(node, technique.location)
        if technique.sign is SignName.NATURAL_HARMONIC
        else technique
        for technique in note.techniques
    )


class Tie(Exception):
    """The string is held from the event before; `techniques` and `finger` are those of the held note."""

    def __init__(self, techniques: tuple[Technique, ...], finger: str) -> None:
        super().__init__("tie")
        self.techniques = techniques
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
