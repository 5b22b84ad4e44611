"""Lyrics as rows under the strings: the syllables of each verse under their notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from engrave.exchange.text_tab.lines import rows
from engrave.exchange.text_tab.lines.text_lines import as_typed
from engrave.exchange.text_tab.writing.row_entries import RowEntry
from engrave.score.structure import Event, PartMeasure, Syllable

_HOLD = "..."


@dataclass(slots=True)
class _Held:
    """A syllable that goes on over the notes after it. `told`: dots or a tie have said so already."""

    hyphen: bool
    told: bool = False


def lyric_words(contents: Sequence[PartMeasure]) -> list[list[RowEntry]]:
    """The syllables of a part, measure by measure, under their notes; dots stand under notes that a syllable is held over.

    The dots go on up to the next rest; after it they stand only where nothing before has told of them.
    """
    held: dict[int, _Held] = {}
    return [list(_measure(content.voices[0].events, held)) for content in contents]


def _measure(events: Sequence[Event], held: dict[int, _Held]) -> Iterator[RowEntry]:
    """The words of a measure; `held` is brought up to date, verse by verse."""
    last: dict[int, int] = {}
    for index, event in enumerate(events):
        last.update((verse, index) for verse, syllable in enumerate(event.lyrics) if syllable is not None)
    for index, event in enumerate(events):
        if event.is_rest:
            for verse in [verse for verse, syllable in held.items() if syllable.told]:
                del held[verse]
        elif all(note.tie_from for note in event.notes):
            for syllable in held.values():
                syllable.told = syllable.told or not syllable.hyphen
        else:
            for verse in sorted(last.keys() | held.keys()):
                text = _word(event, verse, index < last.get(verse, -1), held)
                if text:
                    yield RowEntry(f"{rows.LYRICS} {verse + 1}" if verse else rows.LYRICS, event.onset, text)


def _word(event: Event, verse: int, goes_on: bool, held: dict[int, _Held]) -> str:
    """What a verse has under a note; `goes_on`: more syllables of it follow in the measure."""
    syllable = event.lyrics[verse] if verse < len(event.lyrics) else None
    if syllable is None:
        if verse in held:
            held[verse].told = True
        return _HOLD if goes_on or verse in held else ""
    held.pop(verse, None)
    if syllable.extends:
        held[verse] = _Held(syllable.hyphen)
    return _written(syllable)


def _written(syllable: Syllable) -> str:
    """A syllable as the score language writes it."""
    text = "…" if syllable.text == _HOLD else syllable.text
    return as_typed(text.replace("-", "\\-") + "-" * syllable.hyphen)
