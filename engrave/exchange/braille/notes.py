"""Events of a voice as cells: what stands before a note, accidental, octave, value, dots, fingers, intervals, what follows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from engrave.exchange.braille import signs
from engrave.exchange.braille.literary import expression, parted
from engrave.exchange.braille.marks import Marks, Sign
from engrave.exchange.braille.signs import cells
from engrave.exchange.words.speech import Speaker
from engrave.score.sign_list import PARTS_OF_SLURS, SignName
from engrave.score.structure import Event, Graces, Note, Tuplet
from engrave.score.techniques import NaturalHarmonic, Plain, Pluck, StoppedHarmonic, Technique, Trill
from engrave.theory.duration import NoteValue
from engrave.theory.key import Key
from engrave.theory.pitch import Pitch

_SLURS = frozenset((SignName.SLUR, *PARTS_OF_SLURS))
_SILENT = frozenset((*_SLURS, SignName.SLIDE, SignName.SLURRED_SLIDE, SignName.SLASH, SignName.STRING_NUMBER))
"""Signs that are written as something else: slurs, lines, string signs."""
_PLUCKING_HAND = "rh"
"""Stands before the letter of a finger, so that p is not taken for piano (house rule)."""
_DEAD = "x"
"""What print has for a head."""
_SLASH_PITCH = Pitch(6, 0, 4)
"""The middle line of the treble staff, where print has its slashes."""
_ORDER = {sign: place for place, sign in enumerate(signs.BEFORE)}
_OCTAVE = 7
"""Steps of an octave; an interval of as many steps is an octave."""
_FARTHEST_UNMARKED, _NEAREST_MARKED = 2, 5
"""Steps: up to a third no mark is needed, from a sixth on always (the manual's rule of octave marks)."""


@dataclass(slots=True)
class Reader:
    """What a reader of one voice has in mind: the last note, the accidentals of the measure.

    `last` is None where the next note needs its octave mark.
    """

    key: Key
    last: Pitch | None = None
    altered: dict[int, int] = field(default_factory=dict)
    string: int = 0
    is_small: bool | None = None
    is_in_group: bool = False
    """The next note is one of a group after its first, and written as an eighth."""

    def start_measure(self, key: Key) -> None:
        """A barline: accidentals no longer hold."""
        self.key = key
        self.altered = {}
        self.is_small = None

    def octave_mark(self, pitch: Pitch) -> str:
        """The mark before a note, where the manual's rule asks for one."""
        last, self.last = self.last, pitch
        if last is not None:
            distance = abs(pitch.diatonic - last.diatonic)
            if distance <= _FARTHEST_UNMARKED:
                return ""
            if distance < _NEAREST_MARKED and pitch.octave == last.octave:
                return ""
        return octave_cells(pitch)

    def accidental(self, pitch: Pitch, is_held: bool) -> str:
        """The accidental before a note, where the measure and the key do not say it. A note held by a tie has none."""
        if is_held:
            return ""
        valid = self.altered.get(pitch.diatonic, self.key.alters[pitch.step])
        self.altered[pitch.diatonic] = pitch.alter
        return cells(signs.ACCIDENTALS[pitch.alter]) if valid != pitch.alter else ""


def octave_cells(pitch: Pitch) -> str:
    """The mark of a pitch's octave; those beyond the manual's have the mark of the last."""
    return cells(signs.OCTAVES[min(max(pitch.octave, signs.LOWEST_OCTAVE), signs.HIGHEST_OCTAVE)])


class Writing:
    """How notes of a part are written: read up or down, with or without their strings, in which words."""

    __slots__ = ("reads_up", "speaker", "tells_strings")

    def __init__(self, reads_up: bool, tells_strings: bool, speaker: Speaker) -> None:
        """Chords read up or down, string signs or none, and the language of words."""
        self.reads_up = reads_up
        self.tells_strings = tells_strings
        self.speaker = speaker

    def event(
        self, event: Event, reader: Reader, marks: Marks, moments: Sequence[Sign], new: Sequence[Tuplet]
    ) -> str:
        """An event with all that stands at it; `moments` come first, `new` are the tuplets that begin here."""
        text, is_word = "", False
        for sign in (*moments, *self._before(event, marks, new)):
            text, is_word = parted(text, sign.text, is_word), sign.is_word
            if sign.is_word:
                reader.last = None
        text = parted(text, self._sounding(event, reader), is_word)
        techniques = _all_techniques(event)
        after = [signs.AFTER[t.sign] for t in techniques if t.sign in signs.AFTER]
        return "".join((text, *marks.after, _tie(event.notes), *after))

    def graces(self, graces: Graces, reader: Reader, marks: Sequence[Marks]) -> str:
        """Grace notes, each with its sign."""
        sign = signs.GRACE if graces.slashed else signs.APPOGGIATURA
        return "".join(
            sign + self.event(event, reader, own, (), ())
            for event, own in zip(graces.events, marks, strict=True)
        )

    def _before(self, event: Event, marks: Marks, new: Sequence[Tuplet]) -> Iterator[Sign]:
        techniques = _all_techniques(event)
        for technique in techniques:
            if (
                technique.sign not in _SILENT
                and technique.sign not in signs.BEFORE
                and technique.sign not in signs.AFTER
            ):
                yield Sign(self._said(technique), True)
        yield from map(Sign, marks.before)
        for tuplet in new:
            is_triplet = (tuplet.ratio.actual, tuplet.ratio.normal) == (3, 2)
            number = signs.TUPLET + signs.lower_number(tuplet.ratio.actual) + signs.DOT
            yield Sign(signs.TRIPLET if is_triplet else number)
        for technique in sorted((t for t in techniques if t.sign in _ORDER), key=_order):
            yield Sign(signs.BEFORE[technique.sign])
            if isinstance(technique, Trill):
                yield Sign(self._said(technique), True)

    def _said(self, technique: Technique) -> str:
        """A technique as a word-sign expression: the letters that print has, else its name."""
        letters = self.speaker.book.letters
        if technique.sign is SignName.DEAD:
            return expression(_DEAD)
        if isinstance(technique, Plain) and technique.sign in letters:
            return expression(letters[technique.sign])
        if isinstance(technique, StoppedHarmonic):
            return expression(f"{letters[technique.sign]} {technique.touched}")
        if isinstance(technique, NaturalHarmonic):
            return expression(f"{letters[technique.sign]} {technique.label}")
        if isinstance(technique, Pluck):
            return expression(f"{_PLUCKING_HAND}{technique.finger.value}")
        return expression(self.speaker.technique(technique))

    def _sounding(self, event: Event, reader: Reader) -> str:
        """Notes or a rest, with their value."""
        if event.is_rest:
            hidden = signs.HYPHEN if event.hidden else ""
            if event.whole_measure:
                return hidden + signs.WHOLE_REST
            size = _size_sign(event.value, reader)
            return hidden + size + cells(signs.RESTS[event.value.denominator]) + signs.DOT * event.value.dots
        written, *others = self._in_order(event.notes)
        pitch = _SLASH_PITCH if written.is_slash else written.pitch
        size = _size_sign(event.value, reader)
        head = cells(
            signs.STEPS[pitch.step]
            + ("" if reader.is_in_group else signs.VALUE_DOTS[event.value.denominator])
        )
        text = "".join(
            (
                size,
                self._string(written, reader, len(event.notes) > 1),
                "" if written.is_slash else reader.accidental(pitch, written.tie_from),
                reader.octave_mark(pitch),
                head,
                signs.DOT * event.value.dots,
                self._finger(written),
                _own_tie(written, event.notes),
            )
        )
        before = written
        for note in others:
            text += self._interval(note, before, written, reader)
            text += self._finger(note) + _own_tie(note, event.notes)
            before = note
        return text

    def _in_order(self, notes: Sequence[Note]) -> list[Note]:
        return sorted(
            notes, key=lambda note: (note.pitch.diatonic, note.pitch.alter), reverse=not self.reads_up
        )

    def _interval(self, note: Note, before: Note, written: Note, reader: Reader) -> str:
        """A note of a chord by its distance from the written one; with its octave where it is far off."""
        steps = abs(note.pitch.diatonic - written.pitch.diatonic)
        apart = abs(note.pitch.diatonic - before.pitch.diatonic)
        is_first = before is written
        needs_mark = steps == 0 or (steps > _OCTAVE and (is_first or apart >= _OCTAVE))
        sign = signs.INTERVALS[(steps - 1) % _OCTAVE + 2]
        octave = octave_cells(note.pitch) if needs_mark else ""
        accidental = reader.accidental(note.pitch, note.tie_from)
        return self._string(note, reader, True) + accidental + octave + cells(sign)

    def _string(self, note: Note, reader: Reader, is_of_chord: bool) -> str:
        """The string sign: where print asks for it, and with a tab wherever the string is another."""
        if not note.string or note.is_slash:
            return ""
        is_told = self.tells_strings and note.string != reader.string
        reader.string = 0 if is_of_chord else note.string
        if is_told or note.has(SignName.STRING_NUMBER) or (is_of_chord and self.tells_strings):
            return signs.STRING_PREFIX + cells(signs.STRINGS[note.string - 1])
        return ""

    def _finger(self, note: Note) -> str:
        if not note.finger:
            return ""
        known = signs.FINGERS.get(note.finger)
        return cells(known) if known else expression(self.speaker.finger(note.finger))


def _all_techniques(event: Event) -> list[Technique]:
    """Those of the event and of its notes, each once; joins only where a letter tells which they are."""
    found: dict[str, Technique] = {}
    for technique in (*event.techniques, *(t for note in event.notes for t in note.techniques)):
        found.setdefault(f"{technique._replace(location=event.location)}", technique)
    return list(found.values())


def _order(technique: Technique) -> int:
    """The place of a sign among those before a note."""
    return _ORDER[technique.sign]


def _size_sign(value: NoteValue, reader: Reader) -> str:
    """The sign of large or small values, where the reader has met the other kind in a measure that needs it."""
    if reader.is_small is None:
        return ""
    is_small = value.denominator >= signs.LEAST_SMALL
    if is_small == reader.is_small:
        return ""
    reader.is_small = is_small
    return signs.SMALLER_VALUES if is_small else signs.LARGER_VALUES


def _own_tie(note: Note, notes: Sequence[Note]) -> str:
    """The tie of one note of a chord where others are not tied."""
    return signs.TIE if note.tie_to and not all(other.tie_to for other in notes) else ""


def _tie(notes: Sequence[Note]) -> str:
    """The tie of all notes."""
    if not notes or not all(note.tie_to for note in notes):
        return ""
    return signs.CHORD_TIE if len(notes) > 1 else signs.TIE


def mixes_sizes(values: Sequence[NoteValue]) -> bool:
    """True where a cell could be a large value and a small one: both stand in the measure."""
    cells_of = {small: {signs.VALUE_DOTS[v.denominator] for v in values if (v.denominator >= signs.LEAST_SMALL) == small} for small in (False, True)}  # fmt: skip
    return bool(cells_of[False] & cells_of[True])
