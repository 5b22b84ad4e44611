"""What one event holds: the notes of a mapping, or an event of a row."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.problems import Location
from engrave.reading.context import Context
from engrave.reading.drafts import DraftEvent, DraftNote
from engrave.reading.frets import Tie, make_note, read_detail_of, read_fret
from engrave.reading.marks import read_marks
from engrave.reading.pitches import read_pitches
from engrave.score.short_form import EventKind, TextEvent, TypedWords, WordsError, share_words
from engrave.score.sign_list import KEPT_BY_TIES, SLUR_ENDS, SignName
from engrave.score.techniques import Plain, Technique, is_of_event
from engrave.source.tree import SourceMap, Value
from engrave.theory.pitch import Pitch, parse_pitch

SLASH_PITCH = Pitch(6, 0, 4)
"""Stands in for the pitch that a slash does not have."""
_OFTEN = frozenset((*SLUR_ENDS, *SLUR_ENDS.values()))
"""Several slurs may start or end on one note."""


class EventReader:
    """Gives events their notes and marks. `last` is always the event before in the voice, None after a rest."""

    def __init__(self, context: Context) -> None:
        """`context` is kept up to date by the caller."""
        self._context = context

    def read_map(self, event: DraftEvent, content: SourceMap, last: DraftEvent | None) -> None:
        """The notes of a mapping from strings to frets, with the marks and pitches beside them."""
        context = self._context
        if "tie" in content:
            self._tie_pitches(event, content["tie"], content.value_location("tie"), last)
        for key, value, location in content.entries():
            if key == "tie":
                continue
            if key == "marks":
                event.techniques = read_marks(context, value, location)
            elif key == "pitch":
                texts = value if isinstance(value, list) else str(value).split("+")
                taken = [note.string for note in event.notes]
                event.notes.extend(read_pitches(context, [str(text) for text in texts], location, taken))
            elif self._has_string(event, int(key), content.key_location(key)):
                string = int(key)
                try:
                    note = read_fret(context, string, value, location)
                except Tie as tie:
                    note = self._tie_string(event, string, location, last, tie)
                if note is not None:
                    event.notes.append(note)
        if "tie" in content:
            event.notes.sort(key=lambda note: -note.midi)
        if len(event.notes) == 1:
            _share_marks(event)
        self._tell_repeated(event)

    def read_text(
        self, event: DraftEvent, text: TextEvent, locations: Sequence[Location], last: DraftEvent | None
    ) -> None:
        """The notes of an event in a row; `locations` are those of all words of the row."""
        if text.error is not None:
            self._tell(event, text.error, locations)
        elif text.kind is EventKind.NOTES:
            self._read_notes(event, text, locations, last)
        elif text.kind is EventKind.TIE:
            self._tie_all(event, text, locations, last)
        elif text.kind is EventKind.SLASH:
            techniques = (Plain(SignName.SLASH, event.location), *_plain(text.typed, event.location))
            pitch = SLASH_PITCH
            event.notes = [DraftNote(0, 0, pitch.midi, event.location, pitch, techniques=techniques)]
        else:
            event.hidden = text.kind is EventKind.HIDDEN
            event.techniques = _plain(text.typed, event.location)
            if text.pitches:
                event.notes = read_pitches(self._context, text.pitches, event.location, ())
        self._tell_repeated(event)

    def _tell_repeated(self, event: DraftEvent) -> None:
        """Leave out what is written twice, beside a note and among the marks of its event, and say so."""
        marked: tuple[DraftEvent | DraftNote, ...] = (event, *event.notes)
        for holder in marked:
            if len(holder.techniques) > 1:
                holder.techniques = self._each_once(event, holder.techniques)

    def _each_once(self, event: DraftEvent, techniques: tuple[Technique, ...]) -> tuple[Technique, ...]:
        found: dict[SignName | int, Technique] = {}
        for number, technique in enumerate(techniques):
            key = number if technique.sign in _OFTEN else technique.sign
            if found.setdefault(key, technique) is not technique:
                tell = self._context.warning if isinstance(technique, Plain) else self._context.error
                tell(technique.location, f'"{technique.sign}" is written twice', "write it once", event.onset)
        return tuple(found.values())

    def _tell(self, event: DraftEvent, error: WordsError, locations: Sequence[Location]) -> None:
        self._context.unread = True
        location = locations[error.index] if error.index < len(locations) else event.location
        self._context.error(location, str(error), error.hint, event.onset)

    def _has_string(self, event: DraftEvent, string: int, location: Location) -> bool:
        instrument = self._context.instrument
        if string <= instrument.strings:
            return True
        hint = f"the {instrument.name} has {instrument.strings} strings"
        hint = hint if instrument.strings else "a voice has no strings; write pitches"
        self._context.error(location, f"there is no string {string}", hint, event.onset)
        return False

    def _read_notes(
        self, event: DraftEvent, text: TextEvent, locations: Sequence[Location], last: DraftEvent | None
    ) -> None:
        event.techniques = _plain(text.typed, event.location)
        start = event.location
        for string, offset, words in text.notes:
            location = Location(start.line, start.column + offset)
            if not self._has_string(event, string, location):
                continue
            try:
                note = make_note(self._context, string, words, location, locations.__getitem__)
            except Tie as tie:
                note = self._tie_string(event, string, location, last, tie)
            if note is not None:
                event.notes.append(note)

    def _tie_all(
        self, event: DraftEvent, text: TextEvent, locations: Sequence[Location], last: DraftEvent | None
    ) -> None:
        """Hold all of the event before; words say more of it as after the notes themselves."""
        if last is None:
            hint = "a tie holds the event before it"
            self._context.error(event.location, "there is nothing before this to tie", hint, event.onset)
            return
        try:
            typed, shared = share_words(text.typed, len(last.notes), text.text.split(), text.at)
        except WordsError as error:
            self._tell(event, error, locations)
            return
        event.techniques = _plain(shared, event.location)
        for note in last.notes:
            note.tie_to = True
            held = _held(note, event.location)
            for mark in typed.marks:
                if mark.amount:
                    found = read_detail_of(self._context, mark.sign, mark.amount, 0, True, locations[mark.at])
                    held.techniques += (found,) if found is not None else ()
                else:
                    held.techniques += (Plain(mark.sign, event.location),)
            held.finger = typed.finger
            event.notes.append(held)

    def _tie_pitches(
        self, event: DraftEvent, value: Value, location: Location, last: DraftEvent | None
    ) -> None:
        """Hold the notes of the event before that have these written pitches."""
        for text in str(value).split("+"):
            try:
                midi = parse_pitch(str(text).strip()).midi
            except ValueError as error:
                self._context.error(location, str(error))
                continue
            note = next((n for n in last.notes if n.midi == midi), None) if last is not None else None
            if note is None:
                what = f"the event before has no {str(text).strip()} to tie"
                self._context.error(location, what, "a tie joins two notes of the same pitch", event.onset)
                continue
            note.tie_to = True
            event.notes.append(_held(note, location))

    def _tie_string(
        self, event: DraftEvent, string: int, location: Location, last: DraftEvent | None, tie: Tie
    ) -> DraftNote | None:
        note = next((n for n in last.notes if n.string == string), None) if last is not None else None
        if note is None:
            what = f"the event before has no note on string {string} to tie"
            self._context.error(location, what, "a tie joins two notes of the same pitch", event.onset)
            return None
        note.tie_to = True
        held = _held(note, location)
        held.techniques += tie.techniques
        held.finger = tie.finger
        return held


def _share_marks(event: DraftEvent) -> None:
    """Marks of an event that stand after its only note are the event's."""
    note = event.notes[0]
    shared = tuple([technique for technique in note.techniques if is_of_event(technique)])
    if shared:
        note.techniques = tuple([technique for technique in note.techniques if technique not in shared])
        event.techniques = shared + event.techniques


def _plain(typed: TypedWords, location: Location) -> tuple[Technique, ...]:
    return tuple([Plain(mark.sign, location) for mark in typed.marks])


def _held(note: DraftNote, location: Location) -> DraftNote:
    same = tuple(technique for technique in note.techniques if technique.sign in KEPT_BY_TIES)
    return DraftNote(
        note.string,
        note.fret,
        note.midi,
        location,
        note.pitch,
        tie_from=True,
        techniques=same,
        chosen=note.chosen,
    )
