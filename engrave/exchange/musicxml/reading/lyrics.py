"""Lyrics: syllables under notes read, and written as the words of a measure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import SungSyllable, VoiceEvent
from engrave.exchange.musicxml.reading.source import Node, one_line
from engrave.writing.key_values import HOLD, escape_syllable, join_syllables

_MOST_VERSES = 99
_JOINED = "‿"
"""Joins syllables that are sung on one note, and stands for spaces in a syllable (Unicode: undertie)."""


@dataclass(slots=True)
class LyricNumbers:
    """Verse numbers; names that are no numbers get the next free one."""

    named: dict[str, int] = field(default_factory=dict)

    def get(self, name: str) -> int:
        """The verse called `name`, 0 when there are too many."""
        if name.isascii() and name.isdigit() and 1 <= int(name[:3]) <= _MOST_VERSES:
            return int(name[:3])
        number = self.named.setdefault(name, len(self.named) + 1)
        return number if number <= _MOST_VERSES else 0


def read_lyrics(note: Node, event: VoiceEvent, numbers: LyricNumbers, own: bool, losses: LossLog) -> None:
    """Add the syllables of `note` to its event. In files of others a hyphen at the end means that the word goes on."""
    for lyric in note.all("lyric"):
        verse = numbers.get(lyric.get("number", "1"))
        pieces = [
            one_line(child.content) or (_JOINED if child.tag == "elision" else "")
            for child in lyric.children
            if child.tag in ("text", "elision")
        ]
        words = "".join(pieces).split()
        if len(words) > 1 and words[0].rstrip(".)") == str(verse):
            del words[0]  # the page numbers the verses
        text = _JOINED.join(words)
        if not text:
            continue
        if not verse or verse in event.lyrics or (not event.length):
            losses.add("lyric")
            continue
        syllabic = [child.content.strip() for child in lyric.children if child.tag == "syllabic"]
        hyphen = bool(syllabic) and syllabic[-1] in ("begin", "middle")
        if not own and not hyphen and text.endswith("-") and text.rstrip("-"):
            text, hyphen = text.rstrip("-"), True
        event.lyrics[verse] = SungSyllable(text, hyphen, lyric.has("extend"))


def write_lyrics(singable: Sequence[VoiceEvent], held: dict[int, bool]) -> dict[int, str]:
    """The words of each verse under the struck events of a measure.

    `held`: the verses whose last syllable goes on; it is brought up to date.
    """
    verses = sorted({verse for event in singable for verse in event.lyrics} | set(held))
    words: dict[int, str] = {}
    for verse in verses:
        text = _write_verse(singable, verse, held)
        if text.replace(HOLD, "").strip() or (text and held.get(verse)):
            words[verse] = text
    return words


def _write_verse(singable: Sequence[VoiceEvent], verse: int, held: dict[int, bool]) -> str:
    last = max((i for i, event in enumerate(singable) if verse in event.lyrics), default=-1)
    pieces: list[str] = []
    for index, event in enumerate(singable):
        syllable = event.lyrics.get(verse)
        if syllable is None:
            if index < last or held.get(verse):
                pieces.append(f"{HOLD} ")
            continue
        pieces.append(escape_syllable(syllable.text) + ("-" if syllable.hyphen else " "))
        held[verse] = syllable.extends
    return join_syllables(pieces)
