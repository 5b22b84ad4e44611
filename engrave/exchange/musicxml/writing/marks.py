"""The notations of a note: joins, technique, articulation, ornaments, bends, harmonics."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from xml.etree.ElementTree import Element

from engrave.exchange.musicxml.writing.joins import Join
from engrave.exchange.musicxml.writing.xml import add, decimal, make
from engrave.score.joins import LEGATO, SLIDING
from engrave.score.sign_list import SLUR_ENDS, TREMOLO_STROKES, SignName
from engrave.score.structure import Event, Note
from engrave.score.techniques import (
    Bend,
    Plain,
    Pluck,
    Technique,
    TrillAccidental,
    VibratoBar,
    is_of_event,
    technique_words,
)
from engrave.theory.bends import BarMove, BendKind, bend_alters

_ORNAMENTS = {
    SignName.TRILL: "trill-mark",
    SignName.MORDENT: "mordent",
    SignName.INVERTED_MORDENT: "inverted-mordent",
    SignName.TURN: "turn",
    SignName.INVERTED_TURN: "inverted-turn",
    SignName.DELAYED_TURN: "delayed-turn",
    SignName.DELAYED_INVERTED_TURN: "delayed-inverted-turn",
}
_ARTICULATIONS = {
    SignName.STACCATO: "staccato",
    SignName.STACCATISSIMO: "staccatissimo",
    SignName.TENUTO: "tenuto",
    SignName.ACCENT: "accent",
    SignName.STRONG_ACCENT: "strong-accent",
    SignName.SOFT_ACCENT: "soft-accent",
    SignName.SLIDE_FROM_BELOW: "scoop",
    SignName.SLIDE_FROM_ABOVE: "plop",
    SignName.SLIDE_AWAY_UP: "doit",
    SignName.SLIDE_AWAY_DOWN: "falloff",
}
_TEXTED_ARTICULATIONS = {SignName.BREATH_MARK: "comma", SignName.CAESURA: "normal"}
_TECHNICAL = {
    SignName.PICK_DOWN: "down-bow",
    SignName.PICK_UP: "up-bow",
    SignName.FINGERNAILS: "fingernails",
    SignName.SNAP: "snap-pizzicato",
    SignName.GOLPE: "golpe",
}
_TAPS = {SignName.TAP: "right", SignName.LEFT_HAND_TAP: "left"}
_HARMONICS: dict[SignName, tuple[str, ...]] = {
    SignName.NATURAL_HARMONIC: ("natural", "touching-pitch"),
    SignName.ARTIFICIAL_HARMONIC: ("artificial", "base-pitch"),
    SignName.TAPPED_HARMONIC: ("artificial", "base-pitch"),
    SignName.TOUCHED_HARMONIC: ("touching-pitch",),
    SignName.PINCH_HARMONIC: (),
}
"""What is said of each harmonic; the pitch of the note is always that of its fret."""
_ARPEGGIOS = {
    SignName.ARPEGGIATE: "",
    SignName.ARPEGGIATE_UP: "up",
    SignName.ARPEGGIATE_DOWN: "down",
    SignName.STRUM_DOWN: "up",
    SignName.STRUM_UP: "down",
    SignName.RAKE: "",
}
"""Which way the pitches go: the hand that goes down starts at the lowest string."""
_NAMED = (
    SignName.STRUM_DOWN,
    SignName.STRUM_UP,
    SignName.RAKE,
    SignName.WIDE_VIBRATO,
    SignName.STRING_NUMBER,
)
"""Marks that need their own name beside an element that others have too."""
_HEADS = (SignName.SLASH, SignName.DEAD, SignName.GHOST)
"""Marks that the head tells."""
_VIBRATOS = (SignName.VIBRATO, SignName.WIDE_VIBRATO)
_ACCIDENTALS = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
_CHORD_SIGNS = (*_ARPEGGIOS, SignName.NON_ARPEGGIATE)
_SLURS = (*SLUR_ENDS, *SLUR_ENDS.values())
_BEND_ARROWS = {BendKind.PRE_BEND: "pre-bend", BendKind.RELEASE: "release"}


def event_techniques(event: Event) -> list[Plain]:
    """The techniques of a whole event but for slurs, each once, wherever in the chord they are written."""
    found: dict[SignName, Plain] = {}
    for technique in (*(t for note in event.notes for t in note.techniques), *event.techniques):
        if isinstance(technique, Plain) and is_of_event(technique) and technique.sign not in _SLURS:
            found.setdefault(technique.sign, technique)
    return list(found.values())


def own_techniques(note: Note) -> list[Technique]:
    """The techniques of one note of a chord alone; heads and joins are written otherwise."""
    return [t for t in note.techniques if not is_of_event(t) and t.sign not in (*_HEADS, *LEGATO)]


class Notations:
    """Collects what a note carries and puts it under the note in one notations element."""

    def __init__(self) -> None:
        self._first: list[Element] = []
        self._ornaments = make("ornaments")
        self._technical = make("technical")
        self._articulations = make("articulations")
        self._last: list[Element] = []

    def finish(self, parent: Element) -> None:
        """Add what there is under the note `parent`."""
        groups = [group for group in (self._ornaments, self._technical, self._articulations) if len(group)]
        children = [*self._first, *groups, *self._last]
        if children:
            add(parent, "notations").extend(children)

    def add(self, element: Element) -> None:
        """Add a tie, slur or tuplet."""
        self._first.append(element)

    def add_place(self, note: Note) -> None:
        """String, fret and fingers."""
        if note.string:
            add(self._technical, "string", note.string)
            add(self._technical, "fret", note.fret)
        if note.finger:
            add(self._technical, "fingering", note.finger)

    def add_joins(self, joins: Sequence[Join]) -> None:
        """Hammer-ons, pull-offs and slides, ends before starts; a slide under a slur sounds without a new stroke."""
        for join in sorted(joins, key=lambda join: join.kind == "start"):
            attributes = {"type": join.kind, "number": str(join.number)}
            if join.sign in SLIDING:
                self._first.append(make("slide", **attributes, line_type="solid"))
                if join.sign is SignName.SLURRED_SLIDE:
                    self._first.append(make("slur", **attributes))
            else:
                letter = join.sign.value[0].upper() if join.kind == "start" else None
                add(self._technical, join.sign.value, letter, **attributes)

    def add_chord_signs(self, techniques: Sequence[Plain], note: Note, notes: Sequence[Note]) -> None:
        """Arpeggios, which stand on every note of a chord."""
        for technique in techniques:
            if technique.sign in _ARPEGGIOS:
                element = make("arpeggiate")
                if _ARPEGGIOS[technique.sign]:
                    element.set("direction", _ARPEGGIOS[technique.sign])
                self._last.append(element)
            elif technique.sign is SignName.NON_ARPEGGIATE:
                ordered = sorted(notes, key=lambda other: other.pitch.midi)
                if note is ordered[0]:
                    self._last.append(make("non-arpeggiate", type="bottom"))
                elif note is ordered[-1]:
                    self._last.append(make("non-arpeggiate", type="top"))

    def add_technique(self, technique: Technique, flags: int, held: Fraction) -> None:
        """Any other technique. What has no element of its own goes by its name, with its amount, as other-technical.

        `flags` are those of its note; `held` is how far the string is bent before it, in semitones.
        """
        match technique:
            case Bend():
                self._bend(technique, held)
            case VibratoBar():
                self._bar(technique.move)
            case Pluck():
                add(self._technical, "pluck", technique.finger.value)
            case TrillAccidental():
                self._accidental(technique.alter)
            case _:
                self._signed(technique, flags)

    def _signed(self, technique: Technique, flags: int) -> None:
        """What goes by its sign."""
        sign = technique.sign
        if sign in _NAMED:
            self._name(sign.value)
        if sign in _ORNAMENTS:
            self._ornament(technique)
        elif sign in _VIBRATOS:
            add(self._ornaments, "wavy-line", type="start", number=1)
            add(self._ornaments, "wavy-line", type="stop", number=1)
        elif sign is SignName.TREMOLO:
            add(self._ornaments, "tremolo", 0, type="unmeasured")
        elif sign in TREMOLO_STROKES:
            add(self._ornaments, "tremolo", max(1, TREMOLO_STROKES[sign] - flags), type="single")
        elif sign in _ARTICULATIONS:
            add(self._articulations, _ARTICULATIONS[sign])
        elif sign in _TEXTED_ARTICULATIONS:
            add(self._articulations, sign.value, _TEXTED_ARTICULATIONS[sign])
        elif sign is SignName.FERMATA:
            self._last.append(make("fermata", "normal", type="upright"))
        elif sign in _TECHNICAL:
            add(self._technical, _TECHNICAL[sign])
        elif sign in _TAPS:
            add(self._technical, "tap", hand=_TAPS[sign])
        elif sign in _HARMONICS:
            self._harmonic(technique)
        elif sign not in _CHORD_SIGNS and sign not in _NAMED:
            self._name(technique_words(technique))

    def _name(self, text: str) -> None:
        add(self._technical, "other-technical", text)

    def _ornament(self, technique: Technique) -> None:
        add(self._ornaments, _ORNAMENTS[technique.sign])
        if not isinstance(technique, Plain):
            self._name(technique_words(technique))

    def _accidental(self, alter: int) -> None:
        """The accidental of a trill, which must follow an ornament."""
        if alter not in _ACCIDENTALS:
            return
        if not len(self._ornaments):
            add(self._ornaments, "trill-mark")
        add(self._ornaments, "accidental-mark", _ACCIDENTALS[alter])

    def _harmonic(self, technique: Technique) -> None:
        harmonic = add(self._technical, "harmonic")
        for tag in _HARMONICS[technique.sign]:
            add(harmonic, tag)
        if technique.sign is SignName.TAPPED_HARMONIC:
            add(self._technical, "tap", hand="right")
        self._name(technique_words(technique))

    def _bend(self, technique: Bend, held: Fraction) -> None:
        """One bend a step; a bend that starts from an unknown place goes by its words."""
        try:
            alters = bend_alters(technique.steps, held)
        except ValueError:
            self._name(technique_words(technique))
            return
        for step, alter in zip(technique.steps, alters, strict=True):
            bend = add(self._technical, "bend")
            add(bend, "bend-alter", decimal(alter))
            if step.kind in _BEND_ARROWS:
                add(bend, _BEND_ARROWS[step.kind])

    def _bar(self, move: BarMove) -> None:
        bend = add(self._technical, "bend")
        add(bend, "bend-alter", decimal(-move.semitones))
        add(bend, "with-bar", move.kind.value)
