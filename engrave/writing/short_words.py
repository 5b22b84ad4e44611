"""Credits and lyrics in the fewest words that the score language has for them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def credits_tree(names: Mapping[Any, str]) -> Any:
    """What stands behind `credits:`: a text where the music alone has one."""
    return names["music"] if list(names) == ["music"] else dict(names)


def lyrics_tree(verses: Mapping[int, str]) -> Any:
    """What stands behind `lyrics:` for words by the number of their verse: a text, a list, or a mapping with gaps."""
    if list(verses) == [1]:
        return verses[1]
    counted = list(range(1, len(verses) + 1))
    return list(verses.values()) if list(verses) == counted else {str(n): text for n, text in verses.items()}
