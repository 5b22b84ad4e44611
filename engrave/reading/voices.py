"""The `notes` and `bass` lists of a measure: durations, events, tuplets, ties."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from engrave.diagnostics.problem import NOWHERE, Place, did_you_mean
from engrave.reading.context import Context
from engrave.reading.drafts import DraftEvent, DraftNote, DraftVoice
from engrave.reading.frets import Tie, read_fret
from engrave.reading.mark_words import refuse_mark
from engrave.reading.pitches import read_pitches
from engrave.score.sign_list import MARKS
from engrave.score.structure import Mark, Tuplet
from engrave.source.tree import SourceList, SourceMap, Value
from engrave.theory.duration import NoteValue, parse_note_value, parse_tuplet
from engrave.theory.pitch import Pitch

_ONE = Fraction(1)
GRACES = ("grace ", "appoggiatura ", "closing-grace ")
"""What stands before the value of grace notes: the short ones, the long ones, and those after their note."""
SLASH_PITCH = Pitch(6, 0, 4)
"""Stands in for the pitch that a slash does not have."""


class VoiceReader:
    """Reads one voice of one part, measure by measure; it remembers the last event for ties."""

    def __init__(self, context: Context) -> None:
        """`context` is kept up to date by the caller."""
        self._context = context
        self._last: DraftEvent | None = None
        self._voice = DraftVoice()
        self._tuplets: tuple[Tuplet, ...] = ()
        self._factor = _ONE
        self._next_tuplet = 0
        self._graces: list[DraftEvent] = []
        self._graces_place = NOWHERE
        self._slashed = True
        self._lengths: dict[tuple[NoteValue, Fraction], Fraction] = {}

    def skip(self) -> None:
        """The voice is silent for a measure: nothing can be tied over it."""
        self._last = None

    def start(self, place: Place) -> DraftVoice:
        """Begin a measure."""
        self._voice = DraftVoice(place)
        self._next_tuplet = 0
        return self._voice

    def read(self, content: Value, place: Place) -> DraftVoice:
        """One measure from its tree (already of the right form)."""
        voice = self.start(place)
        if isinstance(content, str):
            if content != "rest":
                self._context.error(place, f'"{content}" is not music', "write a list of durations, or rest")
            voice.whole_rest = True
            self.skip()
            return voice
        self._read_items(content)
        if self._graces:
            self._context.error(
                self._graces_place,
                "there is no note after these grace notes",
                "closing-grace is for those that follow a note",
            )
            self._graces = []
        if not voice.events:
            voice.whole_rest = True
        return voice

    def _read_items(self, items: SourceList) -> None:
        for item in items:
            for key, value, place in item.entries():
                self._read_timed(key, value, item.key_place(key), place)

    def _read_timed(self, key: str, value: Value, key_place: Place, place: Place) -> None:
        if " in " in key:
            self._read_tuplet(key, value, key_place)
            return
        if key.startswith(GRACES):
            self._read_graces(key, value, key_place, place)
            return
        try:
            written = parse_note_value(key)
        except ValueError as error:
            self._context.error(key_place, str(error), onset=self._voice.length)
            return
        if isinstance(value, SourceList):
            for index, event in enumerate(value):
                self.add(written, event, value.item_place(index))
        else:
            self.add(written, value, place)

    def _read_graces(self, key: str, value: Value, key_place: Place, place: Place) -> None:
        """Grace notes: kept for the next event, or given to the last one."""
        kind, _, denominator = key.partition(" ")
        written = parse_note_value(denominator)
        contents = value if isinstance(value, SourceList) else [value]
        places = (
            [value.item_place(i) for i in range(len(value))] if isinstance(value, SourceList) else [place]
        )
        events = self._voice.events
        if kind == "closing-grace":
            if not events or not events[-1].notes:
                self._context.error(
                    key_place, "there is no note before these grace notes", "write them after their note"
                )
                return
            row = events[-1].after
        else:
            row = self._graces
            self._slashed = kind == "grace"
            self._graces_place = key_place
        for content, spot in zip(contents, places, strict=True):
            event = DraftEvent(self._voice.length, Fraction(0), written, (), spot)
            self._fill(event, content, spot)
            if event.notes:
                row.append(event)
            else:
                self._context.error(
                    spot, "a grace note needs a pitch", "rests have no grace notes", event.onset
                )

    def _read_tuplet(self, key: str, value: SourceList, key_place: Place) -> None:
        try:
            ratio = parse_tuplet(key)
        except ValueError as error:
            self._context.error(key_place, str(error), onset=self._voice.length)
            return
        start, before, factor = self._voice.length, self._tuplets, self._factor
        self._open_tuplet(Tuplet(self._new_tuplet(), ratio))
        for index, item in enumerate(value):
            place = value.item_place(index)
            if isinstance(item, SourceMap) and any("/" in name for name in item):
                for name, inner, inner_place in item.entries():
                    self._read_timed(name, inner, item.key_place(name), inner_place)
            else:
                self.add(ratio.unit, item, place)
        self._tuplets, self._factor = before, factor
        found, expected = self._voice.length - start, ratio.length * factor
        if found != expected:
            written = found / factor / ratio.factor / ratio.unit.length
            self._context.error(
                key_place,
                f"the tuplet holds {written} notes of {ratio.unit.name} where {ratio.actual} were expected",
                onset=start,
            )

    def _new_tuplet(self) -> int:
        self._next_tuplet += 1
        return self._next_tuplet

    def _open_tuplet(self, tuplet: Tuplet) -> None:
        self._tuplets = (*self._tuplets, tuplet)
        self._factor = self._factor * tuplet.ratio.factor

    def open_tuplet(self, tuplet: Tuplet) -> None:
        """Following events stand in `tuplet` (used by the drawn tab)."""
        self._open_tuplet(tuplet)

    def close_tuplet(self) -> None:
        """The innermost tuplet ends."""
        self._factor = self._factor / self._tuplets[-1].ratio.factor
        self._tuplets = self._tuplets[:-1]

    def add(self, value: NoteValue, content: Value, place: Place) -> None:
        """Add one event of written value `value`."""
        voice = self._voice
        length = self._length(value)
        event = DraftEvent(voice.length, length, value, self._tuplets, place)
        voice.length = voice.length + length
        voice.events.append(event)
        event.before, self._graces, event.slashed = self._graces, [], self._slashed
        self._fill(event, content, place)
        if event.before and not event.notes:
            self._context.error(
                self._graces_place, "grace notes stand before a note, not before a rest", onset=event.onset
            )

    def _fill(self, event: DraftEvent, content: Value, place: Place) -> None:
        """Give an event its notes."""
        if isinstance(content, SourceMap):
            self._read_map(event, content)
        elif content == "tie":
            self._tie_all(event, place)
        elif content != "rest":
            event.notes = self._read_words(event, str(content), place)
        self._last = event if event.notes else None

    def _length(self, value: NoteValue) -> Fraction:
        if self._factor is _ONE:
            return value.length
        key = (value, self._factor)
        known = self._lengths.get(key)
        if known is None:
            known = self._lengths[key] = value.length * self._factor
        return known

    def _read_words(self, event: DraftEvent, text: str, place: Place) -> list[DraftNote]:
        words = text.split()
        if words and words[0] == "slash":
            return self._read_slash(event, words[1:], place)
        if (words and words[0][:1].upper() not in "ABCDEFG") or not words:
            self._context.error(place, f'"{text}" is not an event', _right_event(text), event.onset)
            return []
        return read_pitches(self._context, words, place, ())

    def _read_slash(self, event: DraftEvent, names: list[str], place: Place) -> list[DraftNote]:
        """A rhythm slash with its marks: a stroke of the right hand without pitches of its own."""
        for name in names:
            if name not in MARKS:
                self._context.error(place, *refuse_mark(name), event.onset)
        marks = (Mark("slash", place=place), *(Mark(name, place=place) for name in names if name in MARKS))
        return [DraftNote(0, 0, SLASH_PITCH.midi, place, SLASH_PITCH, marks=marks)]

    def _read_map(self, event: DraftEvent, content: SourceMap) -> None:
        context = self._context
        instrument = context.instrument
        notes = event.notes
        for key, value, place in content.entries():
            if key == "marks":
                event.marks = tuple(Mark(str(name), place=place) for name in value)
            elif key == "pitch":
                texts: Sequence[str] = value if isinstance(value, list) else str(value).split()
                notes.extend(read_pitches(context, [str(t) for t in texts], place, [n.string for n in notes]))
            else:
                string = int(key)
                if string > instrument.strings:
                    hint = (
                        f"the {instrument.name} has {instrument.strings} strings"
                        if instrument.strings
                        else "a voice has no strings; write pitches"
                    )
                    context.error(content.key_place(key), f"there is no string {string}", hint, event.onset)
                    continue
                try:
                    note = read_fret(context, string, value, place)
                except Tie as tie:
                    note = self._tie_string(event, string, place)
                    if note is not None:
                        note.marks += tie.marks
                if note is not None:
                    notes.append(note)

    def _tie_all(self, event: DraftEvent, place: Place) -> None:
        last = self._last
        if last is None:
            self._context.error(
                place, "there is nothing before this to tie", "a tie holds the event before it", event.onset
            )
            return
        for note in last.notes:
            note.tie_to = True
            event.notes.append(_held(note, place))

    def _tie_string(self, event: DraftEvent, string: int, place: Place) -> DraftNote | None:
        note = next((n for n in self._last.notes if n.string == string), None) if self._last else None
        if note is None:
            self._context.error(
                place,
                f"the event before has no note on string {string} to tie",
                "a tie joins two notes of the same pitch",
                event.onset,
            )
            return None
        note.tie_to = True
        return _held(note, place)


_STRING = re.compile(r"([1-8])[:, ]\s*(\S.*)")
"""A string and a fret that lack their braces, or the colon and the space between them."""


def _right_event(text: str) -> str:
    """What was probably meant by text that is no event."""
    match = _STRING.fullmatch(text)
    if match is not None:
        return f"write {{{match[1]}: {match[2]}}}"
    if text.isalpha():
        return did_you_mean(text, ("rest", "tie", "slash"))
    return "write a mapping of strings, rest, tie or a pitch such as F#4"


def _held(note: DraftNote, place: Place) -> DraftNote:
    ghost_or_dead = tuple(mark for mark in note.marks if mark.name == "dead")
    return DraftNote(
        note.string,
        note.fret,
        note.midi,
        place,
        note.pitch,
        tie_from=True,
        marks=ghost_or_dead,
        chosen=note.chosen,
    )
