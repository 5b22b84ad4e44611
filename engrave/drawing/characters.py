"""No blank where a letter should be: characters that a face lacks are refused before anything is drawn."""

from __future__ import annotations

from engrave.fonts.text_face import text_face
from engrave.marks.mark import PlacedDocument, Text


class MissingCharacter(Exception):
    """A text asks for a character that its face does not have."""


def check_faces(document: PlacedDocument) -> None:
    """Raise `MissingCharacter` naming the first character of `document` that cannot be drawn."""
    seen: set[tuple[str, str]] = set()
    for page in document.pages:
        for group in page.groups:
            for mark in group.marks:
                if isinstance(mark, Text) and (mark.face, mark.text) not in seen:
                    seen.add((mark.face, mark.text))
                    for character in text_face(mark.face).missing(mark.text):
                        raise MissingCharacter(
                            f'the face "{mark.face}" has no "{character}" (U+{ord(character):04X}) in "{mark.text}"'
                        )
