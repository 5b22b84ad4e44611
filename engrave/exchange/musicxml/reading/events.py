"""Moments written as events of the score language: strings and frets, pitches, ties, marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from engrave.exchange.musicxml.reading.frets import FrettedTone, fret_value, place_tones
from engrave.exchange.musicxml.reading.instruments import Header
from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import PLAIN, ZERO, Tone, VoiceEvent, count_tones
from engrave.exchange.musicxml.reading.pitches import is_writable
from engrave.exchange.musicxml.reading.rhythm import Piece, TupletGroup
from engrave.theory.key import Key
from engrave.theory.pitch import Pitch
from engrave.writing.short_events import Item, join_runs, short_event, short_tie, tuplet_content

_GRACE_DENOMINATORS = (4, 8, 16, 32)
_USUAL_GRACE = Fraction(1, 8)
ONE = Fraction(1)
REST, HIDDEN = "rest", "hidden-rest"
TIE = "tie"

_SLASH = ((0, 0),)
"""What a slash strikes: no string, no fret (algorithm)."""


@dataclass(slots=True)
class LaneWriter:
    """Writes one voice of one part; it remembers the last event for ties.

    `taken`: the strings and frets that start in the other voice, by onset. `sung`: the events struck in this measure.
    """

    header: Header
    losses: LossLog
    key: Key = Key(0)
    taken: dict[Fraction, dict[int, int]] = field(default_factory=dict)
    starts: dict[Fraction, dict[int, int]] = field(default_factory=dict)
    sung: list[VoiceEvent] = field(default_factory=list)
    _last: tuple[tuple[int, int], ...] = ()
    _onset: Fraction = ZERO

    def skip(self) -> None:
        """The voice is silent for a measure."""
        self._last = ()
        self.starts, self.sung = {}, []

    def write(self, row: Sequence[Piece | TupletGroup], taken: dict[Fraction, dict[int, int]]) -> list[Any]:
        """One measure; neighbouring events of one value share their key."""
        self.taken, self.starts, self.sung, self._onset = taken, {}, [], ZERO
        return join_runs(self._items(row, ONE))

    def _items(self, row: Sequence[Piece | TupletGroup], factor: Fraction) -> list[Item]:
        """Values with one event each, and tuplets; `factor` is what the tuplets around them make of their lengths."""
        items: list[Item] = []
        for entry in row:
            if isinstance(entry, Piece):
                self._write_piece(entry, items, factor)
            else:
                actual, _, normal, _, unit = entry.name.split()
                inner = [p._replace(ratio=PLAIN) if isinstance(p, Piece) else p for p in entry.pieces]
                content = self._items(inner, factor * Fraction(int(normal), int(actual)))
                items.append({entry.name: tuplet_content(unit, content)})
        return items

    def _write_piece(self, piece: Piece, items: list[Any], factor: Fraction) -> None:
        event = piece.event
        before, after = ([], []) if event is None else (event.before, event.after)
        graces = [] if piece.held else self._graces(before, "")
        typed = REST if event is None else self._event(event, piece.held)
        is_rest = typed in (REST, HIDDEN)
        if is_rest:
            self._last = ()
            if graces:
                self.losses.notes(count_tones(before), "grace notes without a note")
                graces = []
        if is_rest and event is not None and event.marks and not event.tones and piece.ends:
            typed = short_event({"marks": event.marks}, typed)
        items.extend(graces)
        items.append({piece.value.name: typed})
        if piece.ends and after:
            if is_rest:
                self.losses.notes(count_tones(after), "grace notes without a note")
            else:
                items.extend(self._graces(after, "closing-grace"))
        self._onset += piece.value.length * factor

    def _graces(self, events: list[VoiceEvent], kind: str) -> list[Any]:
        row: list[Any] = []
        slashed = events[-1].slashed if events else False
        name = kind or ("grace" if slashed else "appoggiatura")
        for event in events:
            if not event.tones:
                continue
            typed = self._event(event, False, is_grace=True)
            if typed not in (REST, HIDDEN):
                row.append({f"{name} 1/{_grace_denominator(event)}": typed})
        return row

    def _event(self, event: VoiceEvent, held: bool, is_grace: bool = False) -> Any:
        tones = [tone for tone in event.tones if not tone.slash]
        slashes = len(event.tones) - len(tones)
        if slashes and not held:
            self.losses.notes(
                slashes - (0 if tones else 1) if slashes > 1 or tones else 0, "slash in a chord"
            )
        if slashes and not tones:
            return self._slash(event, held, is_grace)
        if not tones:
            return HIDDEN if event.hidden and not event.tones else REST
        if self.header.is_fretted:
            return self._fretted(event, tones, held, is_grace)
        return self._sounding(event, tones, held, is_grace)

    def _slash(self, event: VoiceEvent, held: bool, is_grace: bool) -> Any:
        if held and self._last:
            return TIE
        goes_on = self._last == _SLASH and all(tone.tied for tone in event.tones)
        self._strike(event, _SLASH, goes_on, is_grace)
        marks = [*event.marks, *(mark for tone in event.tones for mark in tone.marks)]
        return " ".join([TIE if goes_on else "slash", *marks])

    def _strike(
        self, event: VoiceEvent, now: tuple[tuple[int, int], ...], tied: bool, is_grace: bool
    ) -> None:
        self._last = now
        if is_grace:
            return
        if not tied:
            self.sung.append(event)
        elif event.lyrics and event not in self.sung:
            self.losses.add("lyric under a held note")

    def _sounding(self, event: VoiceEvent, tones: list[Tone], held: bool, is_grace: bool) -> Any:
        """Written pitches of a part without strings."""
        octave = self.header.instrument.octave
        written: dict[int, Pitch] = {}
        for tone in tones:
            pitch = tone.pitch.transposed_octaves(octave) if tone.pitch is not None else None
            if pitch is None or not is_writable(pitch) or pitch.midi in written:
                if not held:
                    self.losses.notes(1, "the same pitch twice" if pitch else "a fret without a pitch")
            else:
                written[pitch.midi] = pitch
        if not written:
            return REST
        now = tuple((0, midi) for midi in sorted(written))
        before = set(self._last)
        goes_on = {tone.pitch.midi + 12 * octave for tone in tones if tone.tied and tone.pitch is not None}
        tied = {spot for spot in now if (held or spot[1] in goes_on) and spot in before}
        if not held and len(goes_on & set(written)) > len(tied):
            self.losses.add("tie")
        all_tied = tied == before == set(now)
        marks = self._event_marks(event, tones)
        self._strike(event, now, len(tied) == len(now), is_grace)
        if all_tied:
            slurs = [mark for mark in marks if "slur#" in mark]
            for mark in () if held else marks:
                if mark not in slurs:
                    self.losses.add(f"{mark} on a held note")
            return " ".join([TIE, *(() if held else slurs)])
        typed: dict[Any, Any] = {"marks": marks} if marks and not held else {}
        for key, spots in (
            ("tie", [spot for spot in now if spot in tied]),
            ("pitch", [spot for spot in now if spot not in tied]),
        ):
            if spots:
                typed[key] = "+".join(written[midi].name for _, midi in spots)
        return short_event(typed)

    def _event_marks(self, event: VoiceEvent, tones: list[Tone]) -> list[str]:
        marks = list(event.marks)
        for tone in tones:
            marks.extend(mark for mark in tone.marks if mark not in marks)
            if tone.dead and "dead" not in marks:
                marks.append("dead")
            for key in tone.keys:
                self.losses.add(key)
        return marks

    def _fretted(self, event: VoiceEvent, tones: list[Tone], held: bool, is_grace: bool) -> Any:
        taken = {} if is_grace else self.taken.get(self._onset, {})
        placed, lost = place_tones(self.header, tones, taken, LossLog() if held else self.losses)
        if not held:
            self.losses.notes(lost, "no string for it")
        if not placed:
            return REST
        now = tuple((note.string, note.fret) for note in placed)
        ties = {note.string: held or note.tone.tied for note in placed}
        for note in placed:
            if ties[note.string] and (note.string, note.fret) not in self._last:
                self.losses.add("tie")
                ties[note.string] = False
        all_tied = all(ties.values())
        last = set(self._last)
        if not is_grace:
            self.starts.setdefault(self._onset, {}).update(now)
        self._strike(event, now, all_tied, is_grace)
        if held and all_tied and last == set(now):
            return TIE
        if not any(ties.values()) and not taken and all(note.is_free for note in placed):
            return self._free(event, placed)
        typed = self._strings(event, placed, ties, held)
        return short_tie(typed) if all_tied and last == set(now) else short_event(typed)

    def _free(self, event: VoiceEvent, placed: list[FrettedTone]) -> Any:
        """Pitches for which the reader of the score finds the same strings."""
        octave = self.header.instrument.octave
        names = [n.tone.pitch.transposed_octaves(octave).name for n in placed if n.tone.pitch is not None]
        return short_event({"pitch": "+".join(reversed(names)), "marks": event.marks})

    def _strings(
        self, event: VoiceEvent, placed: list[FrettedTone], ties: dict[int, bool], held: bool
    ) -> dict[Any, Any]:
        typed: dict[Any, Any] = {}
        for note in sorted(placed, key=lambda note: note.string):
            tied = ties[note.string]
            if held and tied:
                typed[note.string] = TIE
            else:
                typed[note.string] = fret_value(self.header, note, tied, self.key, self.losses)
        if event.marks and not held:
            typed["marks"] = list(event.marks)
        return typed


def _grace_denominator(event: VoiceEvent) -> int:
    written = event.written or _USUAL_GRACE
    return next((d for d in _GRACE_DENOMINATORS if Fraction(1, d) <= written), _GRACE_DENOMINATORS[-1])
