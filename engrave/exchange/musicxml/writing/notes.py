"""Note elements: pitches, durations, ties, tuplets, graces, heads and lyrics."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from xml.etree.ElementTree import Element

from engrave.exchange.musicxml.writing.attributes import clef_octaves
from engrave.exchange.musicxml.writing.directions import ElementAt
from engrave.exchange.musicxml.writing.joins import NoteContext, Slot, slots
from engrave.exchange.musicxml.writing.marks import Notations, event_techniques, own_techniques
from engrave.exchange.musicxml.writing.xml import TYPES, add, make, set_offset, ticks
from engrave.score.joins import NoteAt
from engrave.score.sign_list import SignName
from engrave.score.slurs import EventAt
from engrave.score.structure import Event, Note, Part, Syllable, Tuplet, Voice
from engrave.theory.accidentals import Accidental
from engrave.theory.pitch import STEPS

_CLOSING_GRACE_SHARE = 20
"""Percent of the note before that grace notes after it take; what tells them from those before a note (house rule)."""
_MIDDLE_LINE = 4
"""Letters from the bottom line of a staff to its middle line."""
_ELISION = "‿"
"""Joins two syllables sung on one note (Unicode: undertie)."""
_UNBENT = Fraction(0)
_OTHER_WAY = {"forward": "backup", "backup": "forward"}
_ACCIDENTALS = {
    Accidental.DOUBLE_FLAT: "flat-flat",
    Accidental.FLAT: "flat",
    Accidental.NATURAL: "natural",
    Accidental.SHARP: "sharp",
    Accidental.DOUBLE_SHARP: "double-sharp",
}


class NoteWriter:
    """Writes the voices of one part; it remembers which words go on from measure to measure."""

    def __init__(self, part: Part, divisions: int, context: NoteContext) -> None:
        """`divisions` of a quarter; `context` knows how notes hang together."""
        self._instrument = part.instrument
        self._lowered = clef_octaves(part.instrument)
        self._divisions = divisions
        self._context = context
        self._in_word: dict[tuple[int, int], bool] = {}

    def write(
        self, parent: Element, voice: Voice, place: tuple[int, int], elements: Sequence[ElementAt]
    ) -> Fraction:
        """Add one voice of a measure with the directions among it; `place` is (measure, voice). How long it lasts."""
        waiting = list(elements)
        now = Fraction(0)
        row = slots(voice)
        starts, stops = _tuplet_ends(row)
        for position, slot in enumerate(row):
            if slot.grace == "before" or (not slot.grace and slot.event.before is None):
                while waiting and waiting[0].onset < slot.main.onset + slot.main.length:
                    self._place(parent, waiting.pop(0), now)
            key = NoteAt(*place, position, 0)
            self._write_slot(parent, slot, key, starts.get(position, []), stops.get(position, []))
            if not slot.grace:
                now = slot.event.onset + slot.event.length
        for timed in waiting:
            self._place(parent, timed, now)
        return now

    def _place(self, parent: Element, timed: ElementAt, now: Fraction) -> None:
        offset = ticks(timed.onset - now, self._divisions)
        if timed.element.tag == "attributes" and offset:
            # Attributes have no offset: the file goes to their moment and back.
            for tag, between in (("forward", True), ("backup", False)):
                add(add(parent, tag if offset > 0 else _OTHER_WAY[tag]), "duration", abs(offset))
                if between:
                    parent.append(timed.element)
            return
        set_offset(timed.element, offset)
        parent.append(timed.element)

    def _write_slot(
        self,
        parent: Element,
        slot: Slot,
        key: NoteAt,
        starts: Sequence[tuple[int, Tuplet]],
        stops: Sequence[tuple[int, Tuplet]],
    ) -> None:
        event = slot.event
        shared = event_techniques(event)
        notes: Sequence[Note | None] = event.notes or (None,)
        for at, note in enumerate(notes):
            element = add(parent, "note", **({"print_object": "no"} if event.hidden else {}))
            self._add_start(element, slot, note, at > 0)
            add(element, "voice", key.voice + 1)
            self._add_look(element, event, note, key._replace(note=at))
            notations = Notations()
            if note is not None:
                self._add_notations(notations, slot, note, key._replace(note=at))
            if at == 0:
                for kind, ends in (("stop", stops), ("start", starts)):
                    for number, tuplet in ends:
                        notations.add(_tuplet(kind, number, tuplet))
                for kind, number in self._context.slurs.get(EventAt(*key[:3]), ()):
                    notations.add(make("slur", type=kind, number=str(number)))
                for technique in shared:
                    notations.add_technique(technique, event.value.flags, _UNBENT)
            if note is not None:
                notations.add_chord_signs(shared, note, event.notes)
            notations.finish(element)
            if at == 0:
                self._add_lyrics(element, event, key.voice)

    def _add_start(self, element: Element, slot: Slot, note: Note | None, in_chord: bool) -> None:
        """Grace, chord, pitch or rest, duration and ties: what sounds."""
        event = slot.event
        if slot.grace:
            grace = add(element, "grace")
            if slot.grace == "after":
                grace.set("steal-time-previous", str(_CLOSING_GRACE_SHARE))
            grace.set("slash", "yes" if slot.slashed else "no")
        if in_chord:
            add(element, "chord")
        if note is None:
            rest = add(element, "rest")
            if event.whole_measure:
                rest.set("measure", "yes")
        else:
            self._add_pitch(element, note)
        if not slot.grace:
            add(element, "duration", ticks(event.length, self._divisions))
        if note is not None:
            for is_tied, kind in ((note.tie_from, "stop"), (note.tie_to, "start")):
                if is_tied:
                    add(element, "tie", type=kind)

    def _add_pitch(self, element: Element, note: Note) -> None:
        if note.is_slash:
            octave, step = divmod(self._instrument.clef.bottom_line + _MIDDLE_LINE, len(STEPS))
            display = add(element, "unpitched")
            add(display, "display-step", STEPS[step])
            add(display, "display-octave", octave - self._lowered)
            return
        pitch = add(element, "pitch")
        add(pitch, "step", STEPS[note.pitch.step])
        if note.pitch.alter:
            add(pitch, "alter", note.pitch.alter)
        add(pitch, "octave", note.pitch.octave - self._lowered)

    def _add_look(self, element: Element, event: Event, note: Note | None, key: NoteAt) -> None:
        """Type, dots, accidental, tuplet ratio and head."""
        if not event.whole_measure:
            add(element, "type", TYPES[event.value.denominator])
            for _ in range(event.value.dots):
                add(element, "dot")
        if key in self._context.accidentals and note is not None:
            sign, courtesy = self._context.accidentals[key]
            accidental = add(element, "accidental", _ACCIDENTALS[sign])
            if courtesy:
                accidental.set("cautionary", "yes")
                accidental.set("parentheses", "yes")
        if event.tuplets:
            _add_ratio(element, event.tuplets)
        if note is None:
            return
        if note.is_slash:
            add(element, "notehead", "slash")
        elif note.has(SignName.DEAD):
            add(element, "notehead", "x")
        elif note.has(SignName.GHOST):
            add(element, "notehead", "normal", parentheses="yes")

    def _add_notations(self, notations: Notations, slot: Slot, note: Note, key: NoteAt) -> None:
        for is_tied, kind in ((note.tie_from, "stop"), (note.tie_to, "start")):
            if is_tied:
                notations.add(make("tied", type=kind))
        notations.add_place(note)
        notations.add_joins(self._context.joins.get(key, ()))
        held = self._context.held.get(key, _UNBENT)
        for technique in own_techniques(note):
            notations.add_technique(technique, slot.event.value.flags, held)

    def _add_lyrics(self, element: Element, event: Event, voice: int) -> None:
        for verse, syllable in enumerate(event.lyrics):
            if syllable is None:
                continue
            lyric = add(element, "lyric", number=verse + 1)
            add(lyric, "syllabic", self._syllabic(syllable, (voice, verse)))
            first, *joined = syllable.text.split(_ELISION)
            add(lyric, "text", first)
            for words in joined:
                add(lyric, "elision", _ELISION)
                add(lyric, "text", words)
            if syllable.extends and not syllable.hyphen:
                add(lyric, "extend")

    def _syllabic(self, syllable: Syllable, line: tuple[int, int]) -> str:
        """Where the syllable stands in its word (MusicXML 4.0, syllabic)."""
        inside = self._in_word.get(line, False)
        self._in_word[line] = syllable.hyphen
        if syllable.hyphen:
            return "middle" if inside else "begin"
        return "end" if inside else "single"


_Ends = dict[int, list[tuple[int, Tuplet]]]


def _tuplet_ends(row: Sequence[Slot]) -> tuple[_Ends, _Ends]:
    """The tuplets that start and stop at each slot, with their depth from 1; inner ones stop first."""
    first: dict[int, tuple[int, int, Tuplet]] = {}
    last: dict[int, tuple[int, int, Tuplet]] = {}
    for position, slot in enumerate(row):
        if slot.grace:
            continue
        for depth, tuplet in enumerate(slot.event.tuplets, start=1):
            first.setdefault(tuplet.id, (position, depth, tuplet))
            last[tuplet.id] = (position, depth, tuplet)
    starts: _Ends = {}
    stops: _Ends = {}
    for position, depth, tuplet in first.values():
        starts.setdefault(position, []).append((depth, tuplet))
    for position, depth, tuplet in sorted(last.values(), key=lambda end: -end[1]):
        stops.setdefault(position, []).append((depth, tuplet))
    return starts, stops


def _tuplet(kind: str, number: int, tuplet: Tuplet) -> Element:
    element = make("tuplet", type=kind, number=number)
    if kind == "start":
        ratio = tuplet.ratio
        for tag, count in (("tuplet-actual", ratio.actual), ("tuplet-normal", ratio.normal)):
            portion = add(element, tag)
            add(portion, "tuplet-number", count)
            add(portion, "tuplet-type", TYPES[ratio.unit.denominator])
            for _ in range(ratio.unit.dots):
                add(portion, "tuplet-dot")
    return element


def _add_ratio(element: Element, tuplets: Sequence[Tuplet]) -> None:
    """All tuplets multiplied; the unit is told where there is only one."""
    modification = add(element, "time-modification")
    actual, normal = 1, 1
    for tuplet in tuplets:
        actual, normal = actual * tuplet.ratio.actual, normal * tuplet.ratio.normal
    add(modification, "actual-notes", actual)
    add(modification, "normal-notes", normal)
    if len(tuplets) == 1:
        unit = tuplets[0].ratio.unit
        add(modification, "normal-type", TYPES[unit.denominator])
        for _ in range(unit.dots):
            add(modification, "normal-dot")
