"""Transposition of parts: what sounds for what is written, keys brought to concert pitch."""

from __future__ import annotations

from dataclasses import dataclass

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.source import Node
from engrave.theory.key import Key, Mode
from engrave.theory.pitch import STEPS, Pitch

_HIGHEST_OCTAVE = 9
_MOST_SIGNS = 7
_FIFTHS_OF_ENHARMONICS = 12


@dataclass(frozen=True, slots=True)
class Transposition:
    """From written to sounding: so many letters and semitones up."""

    letters: int = 0
    semitones: int = 0

    @property
    def fifths(self) -> int:
        """How many fifths keys move."""
        return 7 * self.semitones - 12 * self.letters

    def apply(self, pitch: Pitch) -> Pitch:
        """The sounding pitch, simplified where it would need three signs."""
        if not self.letters and not self.semitones:
            return pitch
        sounding = pitch.midi + self.semitones
        for shift in (0, 1, -1, 2, -2):
            octave, step = divmod(pitch.diatonic + self.letters + shift, 7)
            alter = sounding - Pitch(step, 0, octave).midi
            if abs(alter) <= (2 if shift == 0 else 1):
                return Pitch(step, alter, octave)
        raise AssertionError("five neighbouring letters reach every pitch")  # pragma: no cover


def read_transposition(node: Node) -> Transposition:
    """The `transpose` element."""
    semitones = node.whole("chromatic") or 0
    letters = node.whole("diatonic")
    if letters is None:
        letters = round(semitones * 7 / 12)
    octaves = node.whole("octave-change") or 0
    semitones = max(-48, min(48, semitones + 12 * octaves))
    letters = max(-28, min(28, letters + 7 * octaves))
    if abs(semitones - round(letters * 12 / 7)) > 2:
        letters = round(semitones * 7 / 12)
    return Transposition(letters, semitones)


def without_capo(transposition: Transposition, capo: int) -> Transposition:
    """The transposition to the fingered pitch, which is what the language writes: a capo moves sound, key and frets."""
    octaves, rest = divmod(transposition.semitones - capo, 12)
    return transposition if rest or not capo else Transposition(7 * octaves, 12 * octaves)


def read_pitch(node: Node, prefix: str = "") -> Pitch | None:
    """A pitch from step, alter and octave; None when it cannot be written."""
    step, octave = node.text(f"{prefix}step"), node.whole(f"{prefix}octave")
    alter = round(node.number(f"{prefix}alter") or 0)
    if len(step) != 1 or step not in STEPS or octave is None or abs(alter) > 2:
        return None
    return Pitch(STEPS.index(step), alter, octave) if 0 <= octave <= _HIGHEST_OCTAVE else None


def is_writable(pitch: Pitch) -> bool:
    """True when the score language has a name for the pitch."""
    return 0 <= pitch.octave <= _HIGHEST_OCTAVE and abs(pitch.alter) <= 2


def read_key(node: Node, transposition: Transposition, losses: LossLog) -> str:
    """The `key` element in words at concert pitch; "" when it cannot be said."""
    fifths = node.whole("fifths")
    if fifths is None:
        losses.add("key of its own kind")
        return ""
    fifths += transposition.fifths
    while abs(fifths) > _MOST_SIGNS:
        fifths -= _FIFTHS_OF_ENHARMONICS if fifths > 0 else -_FIFTHS_OF_ENHARMONICS
    word = node.text("mode").upper() or "MAJOR"
    word = {"IONIAN": "MAJOR", "AEOLIAN": "MINOR"}.get(word, word)
    mode = Mode[word] if word in Mode.__members__ else Mode.MAJOR
    return Key(fifths, mode).name
