"""No blank where a letter should be: characters that a face lacks are found before anything is drawn."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import say_missing
from engrave.marks.mark import PlacedDocument, Text
from engrave.problems import CannotBeDrawn


class Missing(NamedTuple):
    """A character that its face does not have, and the text in which it stands."""

    character: str
    face: str
    text: str


class MissingCharacter(CannotBeDrawn):
    """A text asks for a character that its face does not have."""


def find_missing(document: PlacedDocument) -> Iterator[Missing]:
    """Each character of `document` that cannot be drawn, once, with the first face that lacks it."""
    seen: set[tuple[str, str]] = set()
    told: set[str] = set()
    for page in document.pages:
        for group in page.groups:
            for mark in group.marks:
                if isinstance(mark, Text) and (mark.face, mark.text) not in seen:
                    seen.add((mark.face, mark.text))
                    for character in text_face(mark.face).missing(mark.text):
                        if character not in told:
                            told.add(character)
                            yield Missing(character, mark.face, mark.text)


def check_faces(document: PlacedDocument) -> None:
    """Raise `MissingCharacter` naming the first character of `document` that cannot be drawn."""
    for missing in find_missing(document):
        raise MissingCharacter(say_missing(missing.character, missing.face)[0])
