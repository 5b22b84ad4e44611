"""No blank where a letter should be: words that a face cannot print are found before anything is drawn."""

from __future__ import annotations

from collections.abc import Iterator

from engrave.fonts.text_setting import MissingWord, missing_words, say_missing
from engrave.marks.mark import PlacedDocument, Text
from engrave.problems import CannotBeDrawn


class MissingCharacter(CannotBeDrawn):
    """A text asks for a character that its face does not have."""


def find_missing(document: PlacedDocument) -> Iterator[MissingWord]:
    """Each word of `document` that cannot be drawn, once, with the first face that lacks some of it."""
    seen: set[tuple[str, str]] = set()
    told: set[str] = set()
    for page in document.pages:
        for group in page.groups:
            for mark in group.marks:
                if isinstance(mark, Text) and (mark.face, mark.text) not in seen:
                    seen.add((mark.face, mark.text))
                    for missing in missing_words(mark.text, mark.face):
                        if missing.word not in told:
                            told.add(missing.word)
                            yield missing


def check_faces(document: PlacedDocument) -> None:
    """Raise `MissingCharacter` naming the first word of `document` that cannot be drawn."""
    for missing in find_missing(document):
        raise MissingCharacter(say_missing(missing)[0])
