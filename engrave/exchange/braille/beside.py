"""What stands with the notes in lines of its own: chord names and sung words."""

from __future__ import annotations

import re
from collections.abc import Callable

from engrave.exchange.braille.layout import Row, WordRow
from engrave.exchange.braille.literary import literary
from engrave.exchange.braille.signs import ACCIDENTALS, NUMBER, cells, upper_number
from engrave.score.structure import Part
from engrave.theory.chord_name import ChordName
from engrave.theory.pitch import STEPS

_TOKEN = re.compile(r"[#b](?=\d)|\d+|.")
_SLASH = cells("34")


def chord_row(part: Part, name: str) -> list[Row]:
    """The chord names of a part under its music, measure under measure; nothing where it has none."""
    if not any(content.chords for content in part.measures):
        return []

    def text(first: int, stop: int) -> str:
        return " ".join(
            chord_cells(chord.name) for content in part.measures[first:stop] for chord in content.chords
        )

    return [WordRow(name, text, True)]


def chord_cells(name: ChordName) -> str:
    """A chord name as print has it: a capital, accidentals of music, numbers, a bass after the slash."""
    if name.root is None:
        return literary("N.C.")
    quality = {"half": "m", "": ""}.get(name.quality, name.quality)
    extension = f"{name.extension or '7'}b5" if name.quality == "half" else name.extension
    text = _letter(name.root) + literary(quality) + "".join(map(_piece, _TOKEN.findall(extension)))
    return text + (_SLASH + _letter(name.bass) if name.bass is not None else "")


def _letter(letter: tuple[int, int]) -> str:
    step, alter = letter
    return literary(STEPS[step]) + (cells(ACCIDENTALS[alter]) if alter else "")


def _piece(token: str) -> str:
    if token in ("#", "b"):
        return cells(ACCIDENTALS[1 if token == "#" else -1])
    return NUMBER + upper_number(int(token)) if token.isdigit() else literary(token)


def lyric_rows(part: Part) -> list[Row]:
    """The verses of a part over its music, each in a line of its own, with their numbers where there are several."""
    verses = max(
        (
            len(event.lyrics)
            for content in part.measures
            for voice in content.voices
            for event in voice.events
        ),
        default=0,
    )
    return [
        WordRow(f"{NUMBER}{upper_number(verse + 1)} " if verses > 1 else "", _verse(part, verse), False)
        for verse in range(verses)
    ]


def _verse(part: Part, verse: int) -> Callable[[int, int], str]:
    def text(first: int, stop: int) -> str:
        return literary(_sung(part, verse, first, stop))

    return text


def _sung(part: Part, verse: int, first: int, stop: int) -> str:
    """The words of some measures; a hyphen where the last one goes on."""
    text = ""
    for content in part.measures[first:stop]:
        for voice in content.voices:
            for event in voice.events:
                syllable = event.lyrics[verse] if verse < len(event.lyrics) else None
                if syllable is not None:
                    text += syllable.text + ("" if syllable.hyphen else " ")
    return text if text.endswith(" ") or not text else f"{text}-"
