"""What foreign files say in characters that no face has: said in the nearest plain form, or left out, before a score is written.

A page has no blank where a letter should be, so a score that a person types is refused for such a character; what is
read from elsewhere shall be drawn at once.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from engrave.fonts.text_face import TextFace, text_face
from engrave.problems import visible
from engrave.style.load import load_style
from engrave.style.words import WordsStyle

_MOST_NAMED = 6
"""Characters that a remark names; of the others it says how many there are (house rule)."""
_ELISION = "\u203f"
"""The undertie, which joins syllables on one note; what is printed is a space."""
_SYLLABLE = re.compile(r"(?:\\-|[^\s-])+")
_NOTHING_LEFT = "*"
"""Stands for a syllable of which nothing can be printed, so that those after it stay under their notes."""
_NARROW = {"\u2010": "-", "\u2011": "-"}
"""Hyphens that a face may lack, though it has the common one."""


@dataclass(slots=True)
class _Kept:
    """What became of characters, each once, in the order in which they were met."""

    replaced: dict[str, str] = field(default_factory=dict)
    left_out: dict[str, None] = field(default_factory=dict)

    def remarks(self) -> Iterator[str]:
        """A sentence for each kind."""
        if self.replaced:
            pairs = [f'{_name(old)} by "{new}"' for old, new in self.replaced.items()]
            yield f"replaced, as no face has them: {_listed(pairs)}"
        if self.left_out:
            yield f"left out, as no face has them: {_listed([_name(each) for each in self.left_out])}"


def make_printable(tree: Mapping[str, Any]) -> tuple[dict[str, Any], list[str]]:
    """The tree of a score with nothing in its words that cannot be printed, and what was changed, a sentence for each kind."""
    kept = _Kept()
    style, _ = load_style("")
    assert style is not None
    faces = _faces(style.words)
    made = _map(tree, faces, kept)
    return made, list(kept.remarks())


def _faces(words: WordsStyle) -> Mapping[str, tuple[TextFace, ...]]:
    """The faces in which the words behind each key are set."""
    named = {
        "title": (words.title, words.running_head),  # it may run over several pages
        "subtitle": (words.subtitle,),
        "credits": (words.credit,),
        "copyright": (words.copyright,),
        "name": (words.part_name,),
        "label": (words.label,),
        "tempo": (words.tempo,),
        "text": (words.text,),
        "lyrics": (words.lyric,),
    }
    return {key: tuple(text_face(style.face) for style in styles) for key, styles in named.items()}


def _map(tree: Mapping[str, Any], faces: Mapping[str, tuple[TextFace, ...]], kept: _Kept) -> dict[str, Any]:
    made: dict[str, Any] = {}
    for key, value in tree.items():
        if key in faces:
            value = _words(value, faces[key], key == "lyrics", kept)
            if value is None or value == "":
                continue
        elif isinstance(value, Mapping):
            value = _map(value, faces, kept)
        elif isinstance(value, list | tuple):
            value = [_map(item, faces, kept) if isinstance(item, Mapping) else item for item in value]
        made[key] = value
    return made


def _words(value: Any, faces: Sequence[TextFace], are_sung: bool, kept: _Kept) -> Any:
    if isinstance(value, str):
        if value.isascii() and value.isprintable():
            return value
        return (
            _SYLLABLE.sub(lambda match: _syllable(match[0], faces, kept), value)
            if are_sung
            else _plain(value, faces, kept)
        )
    if isinstance(value, Mapping):
        found = {key: _words(each, faces, are_sung, kept) for key, each in value.items()}
        return {key: each for key, each in found.items() if each != ""} or None
    if isinstance(value, list | tuple):
        return [each for each in (_words(each, faces, are_sung, kept) for each in value) if each != ""]
    return value


def _syllable(text: str, faces: Sequence[TextFace], kept: _Kept) -> str:
    parts = [_plain(part, faces, kept).replace(" ", "") for part in text.split(_ELISION)]
    plain = _ELISION.join(part for part in parts if part)
    return re.sub(r"(?<!\\)-", r"\\-", plain) or _NOTHING_LEFT


def _plain(text: str, faces: Sequence[TextFace], kept: _Kept) -> str:
    """The text as it can be printed, without blanks at its ends where something was left out there."""
    plain = "".join(_character(each, faces, kept) for each in unicodedata.normalize("NFC", text))
    return plain if plain == text else " ".join(plain.split(" ")).strip()


def _character(character: str, faces: Sequence[TextFace], kept: _Kept) -> str:
    if all(face.has(character) for face in faces):
        return character
    if character.isspace():
        return " "
    near = _NARROW.get(character) or unicodedata.normalize("NFKC", character)
    near = "".join(each for each in near if all(face.has(each) for face in faces))
    if near:
        kept.replaced.setdefault(character, near)
    else:
        kept.left_out.setdefault(character)
    return near


def _name(character: str) -> str:
    name = unicodedata.name(character, "").lower()
    number = f"U+{ord(character):04X}"
    return f'"{visible(character)}" ({number}, {name})' if name else number


def _listed(words: Sequence[str]) -> str:
    more = len(words) - _MOST_NAMED
    return ", ".join(words[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
