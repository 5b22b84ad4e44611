"""Strings as operators of a page's content, in an encoding that depends on the face alone.

A face is embedded in subsets of up to 256 characters. Which subset and code a character has does not depend on the
document: pages can be written apart from each other, by several processes, and put together in one file.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set
from functools import cache
from itertools import chain, groupby
from typing import Any, NamedTuple

from reportlab.pdfbase import pdfmetrics

from engrave.drawing.pdf.reportlab_inside import EmbeddedFace, embed_subsets
from engrave.fonts.face_files import ALL_FACES, SLANTED, face_file
from engrave.fonts.text_face import split_by_face, text_face

_PREFIX = "Engrave-"
_SPACE, _NO_BREAK_SPACE = 0x20, 0xA0
_ASCII = range(0x20, 0x7F)
"""These keep their own codes, so that the content can be read."""
_PLACED = {*range(_ASCII.stop), _NO_BREAK_SPACE}
"""These have their places already, or are no characters."""
_FIRST_HIGH = 0x80
_LAST_WESTERN = 0xFF
_TYPESETTING = frozenset(map(ord, "–—‘’‚“”„†•…‹›€™−½¼¾♯♭♮𝄪𝄫œŒ"))
_FIRST_IN_OTHERS = 0x21
"""The first code used in every subset but the first: the space keeps its place."""
_HIGH_CODES, _OTHER_CODES = 0x100 - _FIRST_HIGH, 0x100 - _FIRST_IN_OTHERS
"""How many characters the first subset has room for beside ASCII, and how many each other subset."""
_ESCAPED = {0x28: "\\(", 0x29: "\\)", 0x5C: "\\\\"}


class GlyphSlot(NamedTuple):
    """The subset and the code of a character."""

    subset: int
    code: int


@cache
def registered_font(face: str) -> Any:
    """The ReportLab font of a face, registered once in a run."""
    name = _PREFIX + face
    font = EmbeddedFace(name, face_file(face))
    pdfmetrics.registerFont(font)
    return font


class Encoding:
    """Where each character of a face is found: ASCII first, the others in order of their code points.

    Letters of western Europe and the marks of good typesetting come before all others, so that most texts need one subset.
    """

    def __init__(self, characters: Iterable[int]) -> None:
        """Give each of `characters`, which rise, its place."""
        known = dict.fromkeys(characters)
        others = [character for character in known if character not in _PLACED]
        first = [character for character in others if _comes_first(character)]
        last = [character for character in others if not _comes_first(character)]
        self._numbers = {character: number for number, character in enumerate(chain(first, last))}
        self._slots = {code: GlyphSlot(0, code) for code in _ASCII if code in known}
        self._slots[_NO_BREAK_SPACE] = GlyphSlot(0, _SPACE)

    def slot(self, character: int) -> GlyphSlot:
        """The place of a character that the face has. Raises KeyError for others."""
        found = self._slots.get(character)
        if found is None:
            beyond = self._numbers[character] - _HIGH_CODES
            subset, place = divmod(beyond, _OTHER_CODES)
            found = (
                GlyphSlot(0, 0x100 + beyond)
                if beyond < 0
                else GlyphSlot(1 + subset, _FIRST_IN_OTHERS + place)
            )
            self._slots[character] = found
        return found

    @property
    def blank(self) -> int:
        """What stands at codes that nothing uses."""
        return _SPACE if _SPACE in self._slots else 0


@cache
def encoding(face: str) -> Encoding:
    """Where each character of a face is found in its subsets."""
    return Encoding(sorted(registered_font(face).face.charToGlyph))


def _comes_first(character: int) -> bool:
    return character <= _LAST_WESTERN or character in _TYPESETTING


def internal_name(face: str) -> str:
    """What a face is called in the file's resources, by its place in the list of faces."""
    return f"F{ALL_FACES.index(face) + 1}"


class ShownPiece(NamedTuple):
    """Characters of one font: its name in the file, the operator that shows them, how far it leans, and the ems before it."""

    font: str
    shown: str
    slant: float
    before: float


class FontOperators:
    """Strings as text operators; keeps which characters of which face have been used."""

    def __init__(self) -> None:
        """Nothing used yet."""
        self.used: dict[str, set[int]] = {}
        self._known: dict[tuple[str, str], tuple[ShownPiece, ...]] = {}

    def pieces(self, face: str, text: str) -> tuple[ShownPiece, ...]:
        """The text as pieces of one font each."""
        key = (face, text)
        known = self._known.get(key)
        if known is None:
            found: list[ShownPiece] = []
            before = 0.0
            for used, run in split_by_face(text, face):
                found.extend(self._split(used, run, before))
                before += text_face(used).width(run, 1.0)
            known = self._known[key] = tuple(found)
        return known

    def _split(self, face: str, text: str, before: float) -> Iterator[ShownPiece]:
        drawn = face.removesuffix(SLANTED)
        slot_of, used = encoding(drawn).slot, self.used.setdefault(drawn, set())
        measured, name = text_face(face), internal_name(drawn)
        for subset, run in groupby(text, key=lambda character: slot_of(ord(character)).subset):
            characters = "".join(run)
            used.update(map(ord, characters))
            codes = "".join(_shown(slot_of(ord(character)).code) for character in characters)
            yield ShownPiece(f"/{name}+{subset}", f"({codes}) Tj", measured.slant, before)
            before += measured.width(characters, 1.0)


def _shown(code: int) -> str:
    """A code inside a PDF string (ISO 32000-1, 7.3.4.2)."""
    if code in _ESCAPED:
        return _ESCAPED[code]
    return chr(code) if _SPACE <= code < 0x7F else f"\\{code:03o}"


def embed_faces(canvas: Any, used: Mapping[str, Set[int]]) -> None:
    """Have the document of `canvas` embed just the used characters, each at the place its encoding gives it."""
    for face in sorted(used, key=internal_name):
        embed_subsets(canvas, registered_font(face), internal_name(face), _subsets(face, used[face]))


def _subsets(face: str, used: Set[int]) -> list[list[int]]:
    """The code points at each code of each subset; a blank where nothing is used."""
    slots = encoding(face)
    subsets: list[list[int]] = []
    for character in sorted(used, key=slots.slot):
        slot = slots.slot(character)
        while len(subsets) <= slot.subset:
            subsets.append([slots.blank] * (_SPACE + 1))
        row = subsets[slot.subset]
        row.extend([slots.blank] * (slot.code + 1 - len(row)))
        row[slot.code] = _SPACE if character == _NO_BREAK_SPACE else character
    return subsets
