"""What is swung: from an equation of notes, or from what is said for playing (MusicXML 4.0, metronome and swing)."""

from __future__ import annotations

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.source import Node, to_number
from engrave.theory.swing import Swing

_SWUNG = {"eighth": Swing.EIGHTHS, "16th": Swing.SIXTEENTHS}
_EQUATIONS: dict[tuple[str, ...], Swing] = {
    ("eighth", "eighth", "quarter", "eighth"): Swing.EIGHTHS,
    ("16th", "16th", "eighth", "16th"): Swing.SIXTEENTHS,
}
"""Two notes written alike, and the triplet that they are played as."""


def read_equation(metronome: Node) -> Swing | None:
    """The swing that a metronome of notes means; None for any other."""
    notes = metronome.all("metronome-note")
    tuplet = next((note.find("metronome-tuplet") for note in notes[2:3]), None)
    is_triplet = tuplet is not None and tuplet.text("actual-notes") == "3"
    found = _EQUATIONS.get(tuple(note.text("metronome-type") for note in notes))
    return found if is_triplet else None


def read_swing(sound: Node | None, losses: LossLog) -> Swing | None:
    """The swing that a sound asks for; None where it says nothing. Other shares than two to one are told."""
    swing = sound.find("swing") if sound is not None else None
    if swing is None:
        return None
    first, second = (to_number(swing.text(name)) for name in ("first", "second"))
    if swing.find("straight") is not None or (first is not None and first == second):
        return Swing.NONE
    if first is None or second is None or not 0 < second < first:
        losses.add("swing")
        return None
    if first != 2 * second:
        losses.remark(f"swing of {first:g} to {second:g} is played two to one")
    return _SWUNG.get(swing.text("swing-type") or "eighth")
