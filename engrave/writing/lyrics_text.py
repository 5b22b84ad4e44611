"""Syllables as the words of a measure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from engrave.score.structure import Event, Syllable

HOLD = "..."


def escape_syllable(text: str) -> str:
    """A syllable as the language writes it: hyphens of its own escaped, never mistaken for a hold."""
    text = "…" if text == HOLD else text
    return text.replace("-", "\\-")


def join_syllables(pieces: Sequence[str]) -> str:
    """Syllables of a word written together, but for a hold between them; each piece ends in a hyphen or a blank."""
    text = ""
    for piece in pieces:
        if piece.startswith(HOLD) and text.endswith("-"):
            text += " "
        text += piece
    return text.strip()


@dataclass(slots=True)
class LyricWriter:
    """Writes the words of one part, measure by measure; it remembers which syllables still wait to be held."""

    _waiting: set[int] = field(default_factory=set)

    def write(self, events: Sequence[Event]) -> dict[int, str]:
        """The words under `events` by the number of their verse."""
        sung = [e for e in events if e.notes and not all(note.tie_from for note in e.notes)]
        verses = {verse for event in sung for verse, syllable in enumerate(event.lyrics) if syllable}
        words = {verse + 1: self._verse(sung, verse) for verse in sorted(verses | self._waiting)}
        return {verse: text for verse, text in words.items() if text}

    def _verse(self, sung: Sequence[Event], verse: int) -> str:
        row = [event.lyrics[verse] if verse < len(event.lyrics) else None for event in sung]
        last = max((index for index, syllable in enumerate(row) if syllable is not None), default=-1)
        pieces: list[str] = []
        for index, syllable in enumerate(row):
            if syllable is not None:
                pieces.append(_piece(syllable))
                self._waiting.discard(verse)
                self._waiting.update([verse] if syllable.extends else [])
            elif index < last or verse in self._waiting:
                pieces.append(f"{HOLD} ")
                self._waiting.discard(verse)
        return join_syllables(pieces)


def _piece(syllable: Syllable) -> str:
    return escape_syllable(syllable.text) + ("-" if syllable.hyphen else " ")
