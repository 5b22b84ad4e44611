"""The sign of swing: an equation of notes, and what playing makes of it (MusicXML 4.0, metronome and swing)."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from engrave.exchange.musicxml.writing.xml import add, make
from engrave.theory.swing import Swing

_TYPES = {Swing.EIGHTHS: ("eighth", "quarter"), Swing.SIXTEENTHS: ("16th", "eighth")}
"""What is swung, and the long note of the triplet that it makes."""
_BEAMS = {"eighth": 1, "16th": 2}


def swing_sign(swing: Swing) -> Element:
    """The direction where a swing begins; where it ends a sound alone, as there is no equation for it."""
    if swing is Swing.NONE:
        ending = make("sound")
        add(add(ending, "swing"), "straight")
        return ending
    short, long = _TYPES[swing]
    direction = make("direction", placement="above", directive="yes")
    metronome = add(add(direction, "direction-type"), "metronome")
    for edge in ("begin", "end"):
        note = _note(metronome, short)
        for number in range(_BEAMS[short]):
            add(note, "metronome-beam", edge, number=number + 1)
    add(metronome, "metronome-relation", "equals")
    for edge, value in (("start", long), ("stop", short)):
        tuplet = add(_note(metronome, value), "metronome-tuplet", type=edge, bracket="yes")
        for name, count in (("actual-notes", 3), ("normal-notes", 2)):
            add(tuplet, name, count)
        add(tuplet, "normal-type", short)
    sounding = add(add(direction, "sound"), "swing")
    for name, share in (("first", 2), ("second", 1)):
        add(sounding, name, share)
    add(sounding, "swing-type", short)
    return direction


def _note(metronome: Element, value: str) -> Element:
    note = add(metronome, "metronome-note")
    add(note, "metronome-type", value)
    return note
