"""Parts written as pitches alone, read without strings: they are to be put on another instrument than their own."""

from __future__ import annotations

import re

from engrave.reading.header import PartHeader
from engrave.source.tree import SourceList, SourceMap, Value

_ON_STRING = re.compile(r"(?<![\w/])[1-8]:")
"""A string before its fret, `3:0` (the short form)."""
_STRINGS = frozenset("12345678")
_VOICES = ("notes", "lower")


def unstring(headers: tuple[PartHeader, ...], tree: SourceMap) -> tuple[PartHeader, ...]:
    """The parts, those that name no string anywhere without strings; clef, octave and usual tuning stay."""
    return tuple(
        header
        if names_strings(tree, header.id)
        else header._replace(instrument=header.instrument._replace(tuning=()))
        for header in headers
    )


def names_strings(tree: SourceMap, part: str) -> bool:
    """Whether the part called `part` says of any note on which string it lies."""
    for measure in tree["measures"]:
        listed = measure.get("parts")
        content = listed.get(part) if isinstance(listed, SourceMap) else measure
        if isinstance(content, SourceMap) and (
            "tab" in content or any(_has_string(content.get(voice)) for voice in _VOICES)
        ):
            return True
    return False


def _has_string(value: Value) -> bool:
    if isinstance(value, SourceMap):
        return any(str(key) in _STRINGS or _has_string(value[key]) for key in value)
    if isinstance(value, SourceList):
        return any(_has_string(entry) for entry in value)
    return isinstance(value, str) and _ON_STRING.search(value) is not None
