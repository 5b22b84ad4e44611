"""Lyrics: words and syllables laid under the notes of a voice, verse by verse."""

from __future__ import annotations

import re
from typing import NamedTuple

from engrave.problems import Location
from engrave.reading.context import Context, word_locations
from engrave.reading.drafts import DraftEvent, DraftSyllable
from engrave.source.tree import SourceList, SourceMap, Value

_HOLD = "..."
_ELISION = "‿"
"""Joins two syllables on one note (Unicode: undertie)."""
_PIECES = re.compile(r"(?:\\-|[^-])+|-+")
"""Syllables and the hyphens between them; a hyphen after a backslash is the syllable's own."""


class _Token(NamedTuple):
    """A syllable, or the sign that one is held; `hyphen`: the word goes on after it."""

    text: str
    hyphen: bool
    location: Location


class LyricReader:
    """Reads the lyrics of one part; syllables that are held go on from measure to measure."""

    def __init__(self, context: Context) -> None:
        """`context` is kept up to date by the caller."""
        self._context = context
        self._last: dict[int, DraftSyllable] = {}
        self._sounding: dict[int, DraftSyllable] = {}

    def read(self, content: Value, location: Location, events: list[DraftEvent]) -> None:
        """Lay the words of one measure under `events`, skipping rests and notes that are only held."""
        held: dict[int, dict[int, DraftSyllable]] = {}
        if content is not None:
            self._read_verses(content, location, events, held)
        self._extend_over_ties(events, held)

    def _read_verses(
        self,
        content: Value,
        location: Location,
        events: list[DraftEvent],
        held: dict[int, dict[int, DraftSyllable]],
    ) -> None:
        """`held` gets the syllables that are held over a note, by its `id` and the number of their verse."""
        verses: list[tuple[int, str, Location]] = [(0, str(content), location)]
        if isinstance(content, SourceMap):
            verses = [(int(key) - 1, str(text), spot) for key, text, spot in content.entries()]
        elif isinstance(content, SourceList):
            verses = [
                (number, str(text), content.item_location(number)) for number, text in enumerate(content)
            ]
        singable = [
            event for event in events if event.notes and not all(note.tie_from for note in event.notes)
        ]
        for verse, text, spot in verses:
            self._lay(verse, self._split(verse, text, spot), singable, held)

    def _split(self, verse: int, text: str, location: Location) -> list[_Token]:
        """The syllables of a verse, and the notes that one is held over."""
        tokens: list[_Token] = []
        for word, spot in zip(text.split(), word_locations(self._context.lines, location, text)):
            for match in _PIECES.finditer(word):
                piece, here = match.group(), Location(spot.line, spot.column + match.start())
                if piece == "-":
                    self._join(verse, tokens, here)
                elif piece.startswith("-"):
                    what = f'"{piece}" stands in the lyrics'
                    hint = (
                        "one hyphen separates syllables, ... holds one over a note, \\- is a printed hyphen"
                    )
                    self._context.error(here, what, hint)
                else:
                    _add_piece(tokens, _Token(piece.replace("\\-", "-"), False, here))
        return tokens

    def _join(self, verse: int, tokens: list[_Token], location: Location) -> None:
        """A hyphen: the word goes on after the syllable before it, which may stand in an earlier measure."""
        for index in range(len(tokens) - 1, -1, -1):
            if tokens[index].text != _HOLD:
                tokens[index] = tokens[index]._replace(hyphen=True)
                return
        if verse in self._last:
            self._last[verse].hyphen = True
            return
        hint = "a hyphen stands between two syllables of a word"
        self._context.error(location, "there is no syllable before this hyphen", hint)

    def _lay(
        self,
        verse: int,
        tokens: list[_Token],
        events: list[DraftEvent],
        held: dict[int, dict[int, DraftSyllable]],
    ) -> None:
        for number, (syllable, hyphen, spot) in enumerate(tokens):
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
                    held.setdefault(id(events[number]), {})[verse] = self._last[verse]
                continue
            draft = DraftSyllable(syllable, hyphen, spot)
            events[number].lyrics[verse] = draft
            self._last[verse] = draft

    def _extend_over_ties(self, events: list[DraftEvent], held: dict[int, dict[int, DraftSyllable]]) -> None:
        """A syllable that sounds on a note lasts over what is tied to it; a verse that is silent there does not."""
        for event in events:
            if event.notes and all(note.tie_from for note in event.notes):
                for syllable in self._sounding.values():
                    syllable.tied = True
            else:
                self._sounding = {**event.lyrics, **held.get(id(event), {})}


def _add_piece(tokens: list[_Token], piece: _Token) -> None:
    """Add a syllable, joined to the one before it where a tie between them has spaces around it, as in "time ‿ and"."""
    last = tokens[-1] if tokens else None
    if last is None or last.hyphen or last.text == _HOLD or piece.text == _HOLD:
        tokens.append(piece)
    elif piece.text.startswith(_ELISION) or last.text.endswith(_ELISION):
        tokens[-1] = last._replace(text=last.text + piece.text)
    else:
        tokens.append(piece)
