"""The notations of a note: joins, technique, articulation, ornaments, bends, harmonics."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from xml.etree.ElementTree import Element

from engrave.exchange.musicxml.writing.joins import JOINS, Join
from engrave.exchange.musicxml.writing.xml import add, decimal, make
from engrave.score.sign_list import SIGNS, Carrier
from engrave.score.structure import Event, Mark, Note
from engrave.theory.bends import BendKind, bend_alters, parse_bar_move, parse_bend

_ORNAMENTS = {
    "trill": "trill-mark",
    **{name: name for name in ("mordent", "inverted-mordent", "turn", "inverted-turn")},
    **{name: name for name in ("delayed-turn", "delayed-inverted-turn")},
}
_ARTICULATIONS = {
    **{name: name for name in ("staccato", "staccatissimo", "tenuto", "accent", "strong-accent")},
    "soft-accent": "soft-accent",
    "slide-from-below": "scoop",
    "slide-from-above": "plop",
    "slide-away-up": "doit",
    "slide-away-down": "falloff",
}
_TEXTED_ARTICULATIONS = {"breath-mark": "comma", "caesura": "normal"}
_TECHNICAL = {
    "pick-down": "down-bow",
    "pick-up": "up-bow",
    "fingernails": "fingernails",
    "snap": "snap-pizzicato",
    "golpe": "golpe",
}
_TAPS = {"tap": "right", "left-hand-tap": "left"}
_STROKES = {"tremolo-eighths": 1, "tremolo-sixteenths": 2}
"""Strokes of a measured tremolo, those of the flags included."""
_HARMONICS: dict[str, tuple[str, ...]] = {
    "natural-harmonic": ("natural", "touching-pitch"),
    "artificial-harmonic": ("artificial", "base-pitch"),
    "tapped-harmonic": ("artificial", "base-pitch"),
    "touched-harmonic": ("touching-pitch",),
    "pinch-harmonic": (),
}
"""What is said of each harmonic; the pitch of the note is always that of its fret."""
_ARPEGGIOS = {
    "arpeggiate": "",
    "arpeggiate-up": "up",
    "arpeggiate-down": "down",
    "strum-down": "up",
    "strum-up": "down",
    "rake": "",
}
"""Which way the pitches go: the hand that goes down starts at the lowest string."""
_NAMED = ("strum-down", "strum-up", "rake", "wide-vibrato", "string-number")
"""Marks that need their own name beside an element that others have too."""
_HEADS = ("slash", "dead", "ghost")
"""Marks that the head tells."""
_VIBRATOS = ("vibrato", "wide-vibrato")
_ACCIDENTALS = {"-2": "flat-flat", "-1": "flat", "0": "natural", "1": "sharp", "2": "double-sharp"}
_CHORD_SIGNS = (*_ARPEGGIOS, "non-arpeggiate")
_BEND_ARROWS = {BendKind.PRE_BEND: "pre-bend", BendKind.RELEASE: "release"}


def event_marks(event: Event) -> list[Mark]:
    """The marks of a whole event, each name once, wherever in the chord they are written."""
    found: dict[str, Mark] = {}
    for mark in (*(mark for note in event.notes for mark in note.marks), *event.marks):
        if _is_shared(mark):
            found.setdefault(mark.name, mark)
    return list(found.values())


def _is_shared(mark: Mark) -> bool:
    sign = SIGNS.get(mark.name)
    return sign is not None and sign.carrier is Carrier.EVENT and not mark.amount


def own_marks(note: Note) -> list[Mark]:
    """The marks that belong to one note of a chord alone."""
    return [mark for mark in note.marks if not _is_shared(mark) and mark.name not in (*_HEADS, *JOINS)]


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
            if join.name in ("slide", "slurred-slide"):
                self._first.append(make("slide", **attributes, line_type="solid"))
                if join.name == "slurred-slide":
                    self._first.append(make("slur", **attributes))
            else:
                letter = join.name[0].upper() if join.kind == "start" else None
                add(self._technical, join.name, letter, **attributes)

    def add_chord_signs(self, marks: Sequence[Mark], note: Note, notes: Sequence[Note]) -> None:
        """Arpeggios, which stand on every note of a chord."""
        for mark in marks:
            if mark.name in _ARPEGGIOS:
                element = make("arpeggiate")
                if _ARPEGGIOS[mark.name]:
                    element.set("direction", _ARPEGGIOS[mark.name])
                self._last.append(element)
            elif mark.name == "non-arpeggiate":
                ordered = sorted(notes, key=lambda other: other.pitch.midi)
                if note is ordered[0]:
                    self._last.append(make("non-arpeggiate", type="bottom"))
                elif note is ordered[-1]:
                    self._last.append(make("non-arpeggiate", type="top"))

    def add_mark(self, mark: Mark, flags: int, held: Fraction, tied: bool) -> None:
        """Any other mark. What has no element of its own goes by its name, with its amount, as other-technical."""
        name = mark.name
        if name in _NAMED:
            self._name(name)
        if name in _ORNAMENTS:
            self._ornament(mark)
        elif name == "accidental-mark" and mark.amount in _ACCIDENTALS:
            self._accidental(mark.amount)
        elif name in _VIBRATOS:
            add(self._ornaments, "wavy-line", type="start", number=1)
            add(self._ornaments, "wavy-line", type="stop", number=1)
        elif name == "tremolo":
            add(self._ornaments, "tremolo", 0, type="unmeasured")
        elif name in _STROKES:
            add(self._ornaments, "tremolo", max(1, _STROKES[name] - flags), type="single")
        elif name in _ARTICULATIONS:
            add(self._articulations, _ARTICULATIONS[name])
        elif name in _TEXTED_ARTICULATIONS:
            add(self._articulations, name, _TEXTED_ARTICULATIONS[name])
        elif name == "fermata":
            self._last.append(make("fermata", "normal", type="upright"))
        elif name in _TECHNICAL:
            add(self._technical, _TECHNICAL[name])
        elif name in _TAPS:
            add(self._technical, "tap", hand=_TAPS[name])
        elif name == "pluck":
            add(self._technical, "pluck", mark.amount)
        elif name in _HARMONICS:
            self._harmonic(mark)
        elif name == "bend":
            self._bend(mark, held, tied)
        elif name == "vibrato-bar":
            self._vibrato_bar(mark)
        elif name not in _CHORD_SIGNS and name not in _NAMED:
            self._name(f"{name} {mark.amount}".strip())

    def _name(self, text: str) -> None:
        add(self._technical, "other-technical", text)

    def _ornament(self, mark: Mark) -> None:
        add(self._ornaments, _ORNAMENTS[mark.name])
        if mark.amount:
            self._name(f"{mark.name} {mark.amount}")

    def _accidental(self, amount: str) -> None:
        """The accidental of a trill, which must follow an ornament."""
        if not len(self._ornaments):
            add(self._ornaments, "trill-mark")
        add(self._ornaments, "accidental-mark", _ACCIDENTALS[amount])

    def _harmonic(self, mark: Mark) -> None:
        harmonic = add(self._technical, "harmonic")
        for tag in _HARMONICS[mark.name]:
            add(harmonic, tag)
        if mark.name == "tapped-harmonic":
            add(self._technical, "tap", hand="right")
        self._name(f"{mark.name} {mark.amount}".strip())

    def _bend(self, mark: Mark, held: Fraction, tied: bool) -> None:
        """One bend a step; a bend that starts from an unknown place goes by its words."""
        steps = parse_bend(mark.amount, tied)
        try:
            alters = bend_alters(steps, held)
        except ValueError:
            self._name(f"bend {mark.amount}")
            return
        for step, alter in zip(steps, alters, strict=True):
            bend = add(self._technical, "bend")
            add(bend, "bend-alter", decimal(alter))
            if step.kind in _BEND_ARROWS:
                add(bend, _BEND_ARROWS[step.kind])

    def _vibrato_bar(self, mark: Mark) -> None:
        move = parse_bar_move(mark.amount)
        bend = add(self._technical, "bend")
        add(bend, "bend-alter", decimal(-move.semitones))
        add(bend, "with-bar", move.kind)
