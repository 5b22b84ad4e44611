"""Lyrics: words and syllables laid under the notes of a voice, verse by verse."""

from __future__ import annotations

import re

from engrave.diagnostics.problem import Place
from engrave.reading.context import Context
from engrave.reading.drafts import DraftEvent, DraftSyllable
from engrave.source.tree import SourceMap, Value

_HOLD = "..."
_PIECES = re.compile(r"(?:\\-|[^-])+-?|-")


class LyricReader:
    """Reads the lyrics of one part; syllables that are held go on from measure to measure."""

    def __init__(self, context: Context) -> None:
        """`context` is kept up to date by the caller."""
        self._context = context
        self._last: dict[int, DraftSyllable] = {}

    def read(self, content: Value, place: Place, events: list[DraftEvent]) -> None:
        """Lay the words of one measure under `events`, skipping rests and notes that are only held."""
        before = dict(self._last)
        if content is not None:
            self._read_verses(content, place, events)
        _extend_over_ties(before, events)

    def _read_verses(self, content: Value, place: Place, events: list[DraftEvent]) -> None:
        verses: list[tuple[int, str, Place]] = []
        if isinstance(content, SourceMap):
            verses = [(int(key) - 1, str(text), spot) for key, text, spot in content.entries()]
        else:
            verses = [(0, str(content), place)]
        singable = [
            event for event in events if event.notes and not all(note.tie_from for note in event.notes)
        ]
        for verse, text, spot in verses:
            self._read_verse(verse, text, spot, singable)

    def _read_verse(self, verse: int, text: str, place: Place, events: list[DraftEvent]) -> None:
        column = place.column
        tokens: list[tuple[str, bool, int]] = []
        for word in re.finditer(r"\S+", text):
            if word.group() == _HOLD:
                tokens.append((_HOLD, False, word.start()))
                continue
            for piece in _PIECES.finditer(word.group()):
                syllable = piece.group()
                hyphen = syllable.endswith("-") and not syllable.endswith("\\-")
                bare = (syllable[:-1] if hyphen else syllable).replace("\\-", "-")
                if bare:
                    tokens.append((bare, hyphen, word.start() + piece.start()))
        for number, (syllable, hyphen, offset) in enumerate(tokens):
            spot = Place(place.line, column + offset)
            if number >= len(events):
                left = len(tokens) - len(events)
                self._context.error(
                    spot,
                    f'there is no note for "{syllable}"',
                    f"verse {verse + 1} has {len(tokens)} syllables for {len(events)} notes here, {left} too many",
                )
                return
            if syllable == _HOLD:
                if verse in self._last:
                    self._last[verse].extends = True
                continue
            draft = DraftSyllable(syllable, hyphen, spot)
            events[number].lyrics[verse] = draft
            self._last[verse] = draft


def _extend_over_ties(singing: dict[int, DraftSyllable], events: list[DraftEvent]) -> None:
    """The last syllable of a word lasts over notes tied to its own. `singing` is each verse's syllable at the start."""
    for event in events:
        if not event.notes:
            singing.clear()
        elif event.lyrics:
            singing.update(event.lyrics)
        elif all(note.tie_from for note in event.notes):
            for syllable in singing.values():
                syllable.extends = syllable.extends or not syllable.hyphen
