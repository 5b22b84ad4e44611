"""Words set in the faces: broken into lines of a width; where their ink lies, and what no face has."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from typing import NamedTuple

from engrave.fonts.outline import InkBox
from engrave.fonts.symbols import MusicFace, music_face
from engrave.fonts.text_face import TextFace, text_face


def wrap(text: str, face: str, size: float, width: float) -> list[str]:
    """The lines of `text` set in `face` at `size`, none wider than `width` (same unit).

    Lines break at spaces, not at no-break spaces; a word that is wider than a line is cut where the line is full.
    """
    measured = text_face(face)
    lines: list[str] = []
    for word in text.replace("\n", " ").split(" "):
        if not word:
            continue
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and measured.width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.extend(_cut(word, measured, size, width))
    return lines


def _cut(word: str, face: TextFace, size: float, width: float) -> list[str]:
    """A word in as many pieces as it needs, each with one character at least."""
    pieces = [""]
    for character in word:
        if pieces[-1] and face.width(pieces[-1] + character, size) > width:
            pieces.append("")
        pieces[-1] += character
    return pieces


def wrap_evenly(text: str, face: str, size: float, width: float) -> list[str]:
    """As few lines as `wrap` needs, as narrow as they can be: no word is left alone on the last where that can be helped."""
    lines = wrap(text, face, size, width)
    if len(lines) < 2:
        return lines
    least, most = 0.0, width
    for _ in range(_HALVINGS):
        middle = (least + most) / 2
        tried = wrap(text, face, size, middle)
        if len(tried) > len(lines):
            least = middle
        else:
            most, lines = middle, tried
    return lines


_HALVINGS = 16
"""As often the width between too narrow and wide enough is halved (algorithm)."""


class InstalledFaces:
    """Answers for the music face and every text face. Has no state of its own; one instance serves all."""

    __slots__ = ("_music",)

    def __init__(self, music: MusicFace | None = None) -> None:
        """Use `music` as the music face; the project's own by default."""
        self._music = music or music_face()

    def symbol_box(self, name: str) -> InkBox:
        """The ink of a symbol in staff spaces. Raises `UnknownSymbol`."""
        return self._music.glyph(name).box

    def text_ink(self, face: str, text: str, size: float) -> InkBox:
        """The ink of `text` set in the face called `face` at `size`. Raises `UnknownFace`."""
        return text_face(face).ink(text, size)


class MissingWord(NamedTuple):
    """A word, the characters of it that its face does not have, and that face."""

    word: str
    characters: tuple[str, ...]
    face: str


def missing_words(text: str, face: str) -> Iterator[MissingWord]:
    """The words of `text` that cannot be printed in `face`, in order."""
    measured = text_face(face)
    if not measured.missing(text):
        return
    for word in text.split(" "):  # other blanks are characters too, which a face may lack
        characters = measured.missing(word)
        if characters:
            yield MissingWord(word, tuple(characters), face)


def say_missing(missing: MissingWord) -> tuple[str, str]:
    """What is wrong with a word, in one message however many of its characters are lacking, and why."""
    word, characters, face = missing
    if len(characters) == 1:
        (character,) = characters
        name = unicodedata.name(character, "a character without a name").lower()
        what = f'"{character}" (U+{ord(character):04X}, {name}) cannot be printed'
        return what, f'the face "{face}" does not have it'
    lacking = ", ".join(f'"{character}"' for character in characters)
    return f'"{word}" cannot be printed', f'the face "{face}" does not have {lacking}'
