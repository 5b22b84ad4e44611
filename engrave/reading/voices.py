"""The `notes` and `lower` lists of a measure: durations, events, tuplets, ties."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.problems import NOWHERE, Location
from engrave.reading.context import Context, word_locations
from engrave.reading.drafts import DraftEvent, DraftVoice
from engrave.reading.event_reader import EventReader
from engrave.score.short_form import TextEvent, row_events
from engrave.score.structure import Tuplet
from engrave.source.tree import SourceList, SourceMap, Value
from engrave.theory.duration import NoteValue, parse_note_value, parse_tuplet

_ONE = Fraction(1)
GRACES = ("grace ", "appoggiatura ", "closing-grace ")
"""What stands before the value of grace notes: the short ones, the long ones, and those after their note."""


MOST_EVENTS = 200_000
"""Notes, chords and rests of a piece, those of aliases too: as many as are read in a few seconds (safety limit)."""


class InRow(NamedTuple):
    """An event of a row, and the places of all words of the row."""

    event: TextEvent
    locations: Sequence[Location]


Content = SourceMap | InRow | None
"""What an event holds; None is a rest."""


class VoiceReader:
    """Reads one voice of one part, measure by measure; it remembers the last event for ties."""

    def __init__(self, context: Context) -> None:
        """`context` is kept up to date by the caller."""
        self._context = context
        self._events = EventReader(context)
        self._last: DraftEvent | None = None
        self._voice = DraftVoice()
        self._tuplets: tuple[Tuplet, ...] = ()
        self._factor = _ONE
        self._next_tuplet = 0
        self._graces: list[DraftEvent] = []
        self._graces_location = NOWHERE
        self._slashed = True
        self._lengths: dict[tuple[NoteValue, Fraction], Fraction] = {}

    def skip(self) -> None:
        """The voice is silent for a measure: nothing can be tied over it."""
        self._last = None

    def start(self, location: Location) -> DraftVoice:
        """Begin a measure."""
        self._voice = DraftVoice(location)
        self._next_tuplet = 0
        return self._voice

    def read(self, content: Value, location: Location) -> DraftVoice:
        """One measure from its tree (already of the right form)."""
        voice = self.start(location)
        if isinstance(content, str):
            if content != "rest":
                self._context.error(location, f'"{content}" is not music', "write [1/4: 3:0 3:2], or rest")
            voice.whole_rest = True
            self.skip()
            return voice
        self._read_items(content)
        if self._graces:
            self._context.error(
                self._graces_location,
                "there is no note after these grace notes",
                "closing-grace is for those that follow a note",
            )
            self._graces = []
        if not voice.events:
            voice.whole_rest = True
        return voice

    def _read_items(self, items: SourceList) -> None:
        for item in items:
            for key, value, location in item.entries():
                self._read_timed(key, value, item.key_location(key), location)

    def _read_timed(self, key: str, value: Value, key_location: Location, location: Location) -> None:
        if " in " in key:
            self._read_tuplet(key, value, key_location, location)
            return
        if key.startswith(GRACES):
            self._read_graces(key, value, key_location, location)
            return
        try:
            written = parse_note_value(key)
        except ValueError as error:
            self._context.error(key_location, str(error), onset=self._voice.length)
            return
        for content, spot in self._contents(value, location):
            if self._is_full(spot):
                return
            self.add(written, content, spot)

    def _is_full(self, location: Location) -> bool:
        """Count an event; True when a piece has no room for it, which is told once."""
        tally = self._context.tally
        tally.events += 1
        if tally.events == MOST_EVENTS + 1:
            what = f"a piece may have {MOST_EVENTS:,} events, and here are more"
            self._context.error(location, what, "part the piece into several files")
        return tally.events > MOST_EVENTS

    def _contents(self, value: Value, location: Location) -> Iterator[tuple[Content, Location]]:
        """Every event behind a duration: of a list one after the other, of a row of text too."""
        if isinstance(value, SourceList):
            for index, item in enumerate(value):
                yield from self._contents(item, value.item_location(index))
        elif isinstance(value, SourceMap):
            yield value, location
        else:
            text = str(value)
            locations = word_locations(self._context.lines, location, text)
            for event in row_events(text):
                if self._context.log.is_full:
                    return
                yield InRow(event, locations), locations[event.at] if locations else location

    def _read_graces(self, key: str, value: Value, key_location: Location, location: Location) -> None:
        """Grace notes: kept for the next event, or given to the last one."""
        kind, _, denominator = key.partition(" ")
        written = parse_note_value(denominator)
        events = self._voice.events
        if kind == "closing-grace":
            if not events or not events[-1].notes:
                self._context.error(
                    key_location, "there is no note before these grace notes", "write them after their note"
                )
                return
            row = events[-1].after
        else:
            row = self._graces
            self._slashed = kind == "grace"
            self._graces_location = key_location
        for content, spot in self._contents(value, location):
            if self._is_full(spot):
                return
            event = DraftEvent(self._voice.length, Fraction(0), written, (), spot)
            self._fill(event, content)
            if event.notes:
                row.append(event)
            elif not (isinstance(content, InRow) and content.event.error):
                self._context.error(
                    spot, "a grace note needs a pitch", "rests have no grace notes", event.onset
                )

    def _read_tuplet(self, key: str, value: Value, key_location: Location, location: Location) -> None:
        try:
            ratio = parse_tuplet(key)
        except ValueError as error:
            self._context.error(key_location, str(error), onset=self._voice.length)
            return
        start, before, factor = self._voice.length, self._tuplets, self._factor
        self._open_tuplet(Tuplet(self._new_tuplet(), ratio))
        items = zip(value, value.spots) if isinstance(value, SourceList) else [(value, location)]
        for item, spot in items:
            if isinstance(item, SourceMap) and any("/" in name for name in item):
                for name, inner, inner_location in item.entries():
                    self._read_timed(name, inner, item.key_location(name), inner_location)
            else:
                for content, at in self._contents(item, spot):
                    if self._is_full(at):
                        break
                    self.add(ratio.unit, content, at)
        self._tuplets, self._factor = before, factor
        found, expected = self._voice.length - start, ratio.length * factor
        if found != expected:
            written = found / factor / ratio.factor / ratio.unit.length
            self._context.error(
                key_location,
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

    def add(self, value: NoteValue, content: Content, location: Location) -> None:
        """Add one event of written value `value`."""
        voice = self._voice
        length = self._length(value)
        event = DraftEvent(voice.length, length, value, self._tuplets, location)
        voice.length = voice.length + length
        voice.events.append(event)
        event.before, self._graces, event.slashed = self._graces, [], self._slashed
        self._fill(event, content)
        if event.before and not event.notes:
            self._context.error(
                self._graces_location, "grace notes stand before a note, not before a rest", onset=event.onset
            )

    def _fill(self, event: DraftEvent, content: Content) -> None:
        """Give an event its notes."""
        if isinstance(content, SourceMap):
            self._events.read_map(event, content, self._last)
        elif content is not None:
            self._events.read_text(event, content.event, content.locations, self._last)
        self._last = event if event.notes else None

    def _length(self, value: NoteValue) -> Fraction:
        if self._factor is _ONE:
            return value.length
        key = (value, self._factor)
        known = self._lengths.get(key)
        if known is None:
            known = self._lengths[key] = value.length * self._factor
        return known
