"""The measures of a part read into events, voice by voice and staff by staff."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from engrave.exchange.musicxml.reading.directions import DirectionReader
from engrave.exchange.musicxml.reading.harmony import read_harmony
from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.lyrics import LyricNumbers, read_lyrics
from engrave.exchange.musicxml.reading.marks import read_notations
from engrave.exchange.musicxml.reading.music import (
    PLAIN,
    ZERO,
    At,
    Habits,
    Ratio,
    Shared,
    SpanEdge,
    StaffMeasure,
    Tone,
    Unpitched,
    VoiceEvent,
)
from engrave.exchange.musicxml.reading.pitches import is_writable, read_pitch
from engrave.exchange.musicxml.reading.setup import PartSetup
from engrave.exchange.musicxml.reading.shapes import ShapeBook
from engrave.exchange.musicxml.reading.slurs import SlurReader
from engrave.exchange.musicxml.reading.source import Node
from engrave.score.sign_list import DYNAMICS, OVER_RESTS
from engrave.theory.pitch import Pitch

_TYPES = {
    "maxima": Fraction(8),
    "long": Fraction(4),
    "breve": Fraction(2),
    "whole": Fraction(1),
    "half": Fraction(1, 2),
    "quarter": Fraction(1, 4),
    "eighth": Fraction(1, 8),
    "16th": Fraction(1, 16),
    "32nd": Fraction(1, 32),
    "64th": Fraction(1, 64),
    "128th": Fraction(1, 128),
    "256th": Fraction(1, 256),
    "512th": Fraction(1, 512),
    "1024th": Fraction(1, 1024),
}
"""Note types (MusicXML 4.0, note-type-value)."""
_LONGEST = Fraction(16)
"""Whole notes of a measure that are read at most (house rule)."""
_MOST_IN_TUPLET = 64
_MOST_DOTS = 4
_WHOLE = Fraction(1)
_NEW = {"new-page": "page", "new-system": "line"}
_PER_WHOLE = 4
"""Quarters, in which the file counts its divisions, to a whole note."""


@dataclass(slots=True)
class PartReader:
    """Reads the measures of one part in order; `setup` keeps what holds from measure to measure."""

    setup: PartSetup
    losses: LossLog
    habits: Habits = Habits()
    shapes: ShapeBook = field(default_factory=ShapeBook)
    measures: dict[int, StaffMeasure] = field(default_factory=dict)
    _cursor: Fraction = ZERO
    _last: Fraction = ZERO
    _divisions: int = 1
    _graces: dict[tuple[int, str], list[VoiceEvent]] = field(default_factory=dict)
    _events: dict[tuple[int, str], VoiceEvent] = field(default_factory=dict)
    _bent: dict[tuple[str, int], Fraction] = field(default_factory=dict)
    """How far strings are bent where the last note of each voice and string (or pitch) ends, in semitones."""
    _numbers: LyricNumbers = field(default_factory=LyricNumbers)
    _directions: DirectionReader | None = None
    _slurs: SlurReader | None = None
    _order: list[tuple[tuple[int, str], VoiceEvent]] = field(default_factory=list)

    def read(self, measure: Node, shared: Shared) -> dict[int, StaffMeasure]:
        """The staves of one measure; what holds for all parts goes to `shared`."""
        self._cursor = self._last = ZERO
        self.measures = {number: StaffMeasure(repeats=self.setup.repeats) for number in self.setup.staves}
        self._events, self._graces, self._order = {}, {}, []
        if self._slurs is None:
            self._slurs = SlurReader(self.losses, self.habits.own)
        if self._directions is None:
            self._directions = DirectionReader(self.losses)
        for child in measure.children:
            self._read_child(child, shared, self._directions)
        for (staff, voice), graces in self._graces.items():
            self._end_graces(staff, voice, graces)
        self._slurs.read(self._order)
        return self.measures

    def finish(self) -> None:
        """The part is read to its end."""
        if self._slurs is not None:
            self._slurs.finish()

    def _read_child(self, child: Node, shared: Shared, directions: DirectionReader) -> None:
        if child.tag == "note":
            self._read_note(child)
        elif child.tag == "backup":
            self._cursor = max(ZERO, self._cursor - self._duration(child))
        elif child.tag == "forward":
            self._cursor = min(_LONGEST, self._cursor + self._duration(child))
        elif child.tag == "attributes":
            self._divisions = max(1, child.whole("divisions") or self._divisions)
            self.setup.read_attributes(child, shared, self.losses, self._cursor == 0)
            for measure in self.measures.values():
                measure.repeats = self.setup.repeats
            for number, clef in self.setup.new_clefs:
                here = self.measures.setdefault(number, StaffMeasure(repeats=self.setup.repeats))
                here.clefs.append(At(self._cursor, clef))
        elif child.tag == "direction":
            directions.read(child, self._cursor + self._offset(child), self._staff_measure(child), shared)
        elif child.tag == "sound":
            directions.read_sound(child, self._cursor, shared)
        elif child.tag == "harmony":
            text = read_harmony(child, self.habits.own, self.losses)
            if text:
                self.shapes.read_frame(text, child, self.losses)
                onset = max(ZERO, self._cursor + self._offset(child))
                self._staff_measure(child).chords.append(At(onset, text))
        elif child.tag == "figured-bass":
            self.losses.add("figured bass")
        elif child.tag == "print" and self.habits.own:
            shared.new = next((new for name, new in _NEW.items() if child.get(name) == "yes"), "")

    def _staff_measure(self, node: Node) -> StaffMeasure:
        number = node.whole("staff") or 1
        return self.measures.get(number) or self.measures.setdefault(
            number, StaffMeasure(repeats=self.setup.repeats)
        )

    def _duration(self, node: Node) -> Fraction:
        value = node.number("duration")
        if value is None or value <= 0:
            return ZERO
        return min(_LONGEST, Fraction(round(value * 1024), 1024 * _PER_WHOLE * self._divisions))

    def _offset(self, node: Node) -> Fraction:
        value = node.number("offset") or 0
        shift = Fraction(round(value), _PER_WHOLE * self._divisions)
        return max(-self._cursor, min(_LONGEST, shift))

    def _read_note(self, note: Node) -> None:
        staff = note.whole("staff") or 1
        key = (staff, note.text("voice") or "1")
        is_chord = note.has("chord")
        is_grace = note.has("grace")
        length = ZERO if is_grace else self._duration(note)
        onset = self._last if is_chord else self._cursor
        if not is_chord and not is_grace:
            self._last = self._cursor
            self._cursor = min(_LONGEST, self._cursor + length)
        event = self._events.get(key) if is_chord else None
        if event is None:
            event = self._new_event(note, key, onset, length, is_grace)
            if event is None:
                return
        self._fill(note, event, self._staff_measure(note))

    def _new_event(
        self, note: Node, key: tuple[int, str], onset: Fraction, length: Fraction, is_grace: bool
    ) -> VoiceEvent | None:
        written, ratio = self._value(note)
        event = VoiceEvent(onset, length, written, ratio)
        for tuplet in [t for n in note.all("notations") for t in n.all("tuplet")]:
            event.opens = event.opens or tuplet.get("type") == "start"
            event.closes = event.closes or tuplet.get("type") == "stop"
        if is_grace:
            grace = note.find("grace")
            event.slashed = grace is not None and grace.get("slash") == "yes"
            self._graces.setdefault(key, []).append(event)
        elif not length:
            self.losses.notes(0 if note.has("rest") else 1, "no duration")
            return None
        else:
            rest = note.find("rest")
            if rest is not None:
                event.hidden = note.get("print-object") == "no"
                event.fills = rest.get("measure") == "yes" or self._fills(event)
            self._take_graces(key, event, rest is not None)
            self._staff_measure(note).voices.setdefault(key[1], []).append(event)
        self._events[key] = event
        if note.find("rest") is None:
            self._order.append((key, event))
        return event

    def _fills(self, event: VoiceEvent) -> bool:
        """Whether a rest that does not say so stands for its measure: it has no type, or that of a whole rest alone."""
        if event.written is None:
            return True
        alone = event.written == _WHOLE and event.ratio == PLAIN and event.onset == 0
        return alone and (event.length != _WHOLE or not self.habits.tells_rests)

    def _take_graces(self, key: tuple[int, str], event: VoiceEvent, is_rest: bool) -> None:
        """Grace notes before a note are its own; before a rest they follow the note before."""
        graces = self._graces.pop(key, [])
        if not graces:
            return
        if not is_rest:
            event.before = graces
        else:
            self._end_graces(*key, graces)

    def _end_graces(self, staff: int, voice: str, graces: list[VoiceEvent]) -> None:
        measure = self.measures.get(staff)
        row = measure.voices.get(voice, []) if measure else []
        if row and row[-1].tones:
            row[-1].after.extend(graces)
        else:
            self.losses.notes(sum(len(grace.tones) for grace in graces), "grace notes without a note")

    def _value(self, note: Node) -> tuple[Fraction | None, Ratio]:
        """The written length and the tuplet of a note."""
        written = _TYPES.get(note.text("type"))
        dots = min(_MOST_DOTS, len(note.all("dot")))
        if written is not None:
            written = written * (2 - Fraction(1, 2**dots))
        modification = note.find("time-modification")
        if modification is None:
            return written, PLAIN
        actual = modification.whole("actual-notes") or 1
        normal = modification.whole("normal-notes") or 1
        if not (1 < actual <= _MOST_IN_TUPLET and 1 <= normal <= _MOST_IN_TUPLET):
            return written, PLAIN
        return written, Ratio(actual, normal)

    def _fill(self, note: Node, event: VoiceEvent, measure: StaffMeasure) -> None:
        """Add the note's tone, marks and words."""
        if note.has("rest"):
            if note.has("notations"):
                self._read_rest(note, event, measure)
            return
        if note.has("cue"):
            self.losses.notes(1, "cue notes")
            return
        tone = self._tone(note)
        if tone is None:
            return
        event.tones.append(tone)
        string = note.text("voice"), tone.string or (tone.pitch.midi if tone.pitch is not None else 0)
        if tone.tied:
            tone.bent = self._bent.get(string, tone.bent)
        lasting = read_notations(note, tone, event, self.losses, self.habits.own)
        self._bent[string] = tone.bent
        for name in lasting:
            until = event.onset + event.length
            measure.edges.append(SpanEdge(event.onset, "lasting", name, "", True, until))
        self._read_dynamics(note, event.onset, measure)
        read_lyrics(note, event, self._numbers, self.habits.own, self.losses)

    def _read_rest(self, note: Node, event: VoiceEvent, measure: StaffMeasure) -> None:
        blank = Tone(None)
        held = VoiceEvent(event.onset, event.length)
        read_notations(note, blank, held, self.losses)
        event.marks = [mark for mark in held.marks if mark in OVER_RESTS]
        event.fills = event.fills and not event.marks
        if held.slurs:
            self.losses.add("slur on a rest")
        for mark in (*held.marks, *blank.marks):
            if mark not in OVER_RESTS:
                self.losses.add(f"{mark} on a rest")
        self._read_dynamics(note, event.onset, measure)

    def _read_dynamics(self, note: Node, onset: Fraction, measure: StaffMeasure) -> None:
        for dynamics in [d for n in note.all("notations") for d in n.all("dynamics")]:
            for word in dynamics.children:
                if word.tag in DYNAMICS:
                    measure.dynamics.append(At(onset, word.tag))
                else:
                    self.losses.add("dynamics")

    def _tone(self, note: Node) -> Tone | None:
        node = note.find("pitch")
        strings = [t.whole("string") or 0 for n in note.all("notations") for t in n.all("technical")]
        frets = [t.whole("fret") for n in note.all("notations") for t in n.all("technical")]
        string = next((number for number in strings if number > 0), 0)
        fret = next((number for number in frets if number is not None and number >= 0), None)
        tied = any(tie.get("type") == "stop" for tie in note.all("tie")) or any(
            tied.get("type") == "stop" for n in note.all("notations") for tied in n.all("tied")
        )
        pitch = read_pitch(node) if node is not None else None
        if pitch is not None:
            alter = node.number("alter") if node is not None else None
            if alter is not None and alter != int(alter):
                self.losses.add("quarter tone")
            pitch = self._sounding(pitch)
        is_slash = note.text("notehead") == "slash"
        if note.has("unpitched") and not is_slash and self.habits.unpitched is not Unpitched.LEFT_OUT:
            return _without_pitch(note, self.habits.unpitched, tied)
        if pitch is None and not is_slash and not (string and fret is not None):
            why = "unpitched" if node is None else "pitch that cannot be written"
            self.losses.notes(1, why)
            return None
        return Tone(pitch, string, fret, tied)

    def _sounding(self, pitch: Pitch) -> Pitch | None:
        moved = self.setup.transposition.apply(pitch)
        return moved if is_writable(moved) else None


_TOP_SPACE = 37
"""E5 in letters from C0: string 1 is struck for what stands as high (fact of theory)."""
_LOWEST_STRING = 6


def _without_pitch(note: Node, wanted: Unpitched, tied: bool) -> Tone:
    """A note of percussion as a slash, or as a dead note: the higher it stands on the staff, the thinner the string."""
    if wanted is Unpitched.SLASHES:
        return Tone(None, tied=tied, slash=True)
    height = read_pitch(note.find("unpitched") or note, "display-")
    letters = height.diatonic if height is not None else _TOP_SPACE
    string = max(1, min(_LOWEST_STRING, 1 + (_TOP_SPACE - letters) // 2))
    return Tone(None, string, 0, tied, dead=True)
