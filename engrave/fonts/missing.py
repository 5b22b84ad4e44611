"""Characters that a face does not have, in words."""

from __future__ import annotations

import unicodedata


def say_missing(character: str, face: str) -> tuple[str, str]:
    """What is wrong with `character` in `face`, and why."""
    name = unicodedata.name(character, "a character without a name").lower()
    what = f'"{character}" (U+{ord(character):04X}, {name}) cannot be printed'
    return what, f'the face "{face}" does not have it'
