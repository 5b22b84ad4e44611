"""The order of words in lists."""

from __future__ import annotations

import unicodedata


def alphabetical(text: str) -> str:
    """What a list is sorted by: case and accents do not count (house rule)."""
    parts = unicodedata.normalize("NFKD", text.casefold())
    return "".join(character for character in parts if not unicodedata.combining(character))
