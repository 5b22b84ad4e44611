"""What stands behind single keys of a score in the fewest words: credits, lyrics, repeats, and what is written by beat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from engrave.score.structure import Event, Measure, PartMeasure, Syllable
from engrave.theory.metre import beat_text
from engrave.theory.repeats import RepeatInfo
from engrave.writing.nodes import Kind
from engrave.writing.patch import Patch, Path


def credits_tree(names: Mapping[Any, str]) -> Any:
    """What stands behind `credits:`: a text where the music alone has one."""
    return names["music"] if list(names) == ["music"] else dict(names)


def lyrics_tree(verses: Mapping[int, str]) -> Any:
    """What stands behind `lyrics:` for words by the number of their verse: a text, a list, or a mapping with gaps."""
    if list(verses) == [1]:
        return verses[1]
    counted = list(range(1, len(verses) + 1))
    return list(verses.values()) if list(verses) == counted else {str(n): text for n, text in verses.items()}


def repeat_tree(info: RepeatInfo) -> dict[str, Any]:
    """Repeats, endings, D.C. and D.S. of a measure."""
    tree: dict[str, Any] = {}
    words = [word for word, holds in (("start", info.start), ("end", info.end_times is not None)) if holds]
    if words:
        tree["repeat"] = " and ".join(words)
    if info.end_times not in (None, 2):
        tree["times"] = info.end_times
    if info.ending:
        tree["ending"] = info.ending[0] if len(info.ending) == 1 else list(info.ending)
    signs = {"segno": info.segno, "coda": info.coda, "to-coda": info.to_coda, "fine": info.fine}
    tree |= {key: True for key, holds in signs.items() if holds}
    if info.go_back is not None:
        tree["go-back"] = info.go_back.value
    return tree


def beat_paths(patch: Patch, path: Path) -> list[Path]:
    """Where each entry of what is written by beat at `path` stands, in order of time."""
    node = patch.node(path)
    if node is None:
        return []
    if node.kind is Kind.LIST:
        return [(*path, index) for index in range(len(node.items))]
    if node.kind is not Kind.MAP:
        return [path]
    found: list[tuple[Fraction, Path]] = []
    for key, value in node.entries():
        beat = sum((Fraction(piece) for piece in key.split()), Fraction(0))
        inner = value.known
        if inner.kind is Kind.LIST:
            found.extend((beat, (*path, key, index)) for index in range(len(inner.items)))
        else:
            found.append((beat, (*path, key)))
    return [spot for _, spot in sorted(found, key=lambda entry: entry[0])]


def beat_offset(measure: Measure, content: PartMeasure) -> Fraction:
    """How far into its metre the music of a measure starts, as the reader counts: a part silent in a pickup starts at 0."""
    silent = all(event.whole_measure for voice in content.voices for event in voice.events)
    return Fraction(0) if silent else measure.metre_offset


def beat_tree(entries: Sequence[tuple[Fraction, str]], measure: Measure, content: PartMeasure) -> Any:
    """`entries` (onset in whole notes, words) by beat; one alone on the first beat as it is, several on a beat in a list."""
    offset = beat_offset(measure, content)
    if len(entries) == 1 and entries[0][0] == 0 and not offset:
        return entries[0][1]
    tree: dict[str, Any] = {}
    for onset, words in entries:
        beat = beat_text(onset + offset, measure.metre)
        before = tree.get(beat)
        if before is None:
            tree[beat] = words
        else:
            tree[beat] = [*before, words] if isinstance(before, list) else [before, words]
    return tree


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
