"""Where the words of a text stand in the file: YAML takes quotes and line breaks away."""

from __future__ import annotations

import re
from collections.abc import Sequence

from engrave.diagnostics.problem import Place

_WORD = re.compile(r"\S+")


def word_places(lines: Sequence[str], place: Place, text: str) -> list[Place]:
    """The place of every blank-separated word of `text`, which starts at `place` in the file of `lines`.

    Words that cannot be found, as behind an alias, are at `place` itself.
    """
    line = lines[place.line - 1] if 0 < place.line <= len(lines) else ""
    start = place.column - 1
    if not line or line.startswith(text, start):
        return [Place(place.line, place.column + match.start()) for match in _WORD.finditer(text)]
    words = text.split()
    if line.startswith("*", start):
        return [place] * len(words)
    found: list[Place] = []
    number, column = place.line - 1, start
    for word in words:
        at = line.find(word, column)
        while at < 0 and number + 1 < len(lines) and number - place.line < len(words):
            number, line = number + 1, lines[number + 1]
            at = line.find(word)
        if at < 0:
            return found + [place] * (len(words) - len(found))
        found.append(Place(number + 1, at + 1))
        column = at + len(word)
    return found
