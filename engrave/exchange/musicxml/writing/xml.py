"""Small helpers for building elements of MusicXML: children, numbers, names of values, room for an offset."""

from __future__ import annotations

import re
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

_FORBIDDEN = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that XML 1.0 cannot hold (its production 2, Char)."""
_AFTER_OFFSET = ("sound", "staff", "voice")
QUARTERS = 4
"""Quarter notes in a whole note; MusicXML counts divisions of a quarter (MusicXML 4.0, divisions)."""
TYPES = {1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "16th", 32: "32nd", 64: "64th"}
"""Note types by the denominator of the value (MusicXML 4.0, note-type-value)."""


def clean(text: str) -> str:
    """`text` without the characters that XML cannot hold."""
    return _FORBIDDEN.sub("", text)


def make(tag: str, text: str | int | None = None, /, **attributes: str | int) -> Element:
    """An element with its text; underscores in the names of attributes stand for hyphens."""
    element = Element(tag, _attributes(attributes))
    if text is not None:
        element.text = clean(str(text))
    return element


def add(parent: Element, tag: str, text: str | int | None = None, /, **attributes: str | int) -> Element:
    """A new last child of `parent`, as `make` builds it."""
    element = SubElement(parent, tag, _attributes(attributes))
    if text is not None:
        element.text = clean(str(text))
    return element


def _attributes(values: dict[str, str | int]) -> dict[str, str]:
    return {name.rstrip("_").replace("_", "-"): clean(str(value)) for name, value in values.items()}


def decimal(number: Fraction) -> str:
    """A number in decimals: exact where it has an end ("-0.5"), else to six places."""
    if number.denominator == 1:
        return str(number.numerator)
    return f"{float(number):.6f}".rstrip("0").rstrip(".")


def ticks(length: Fraction, divisions: int) -> int:
    """A length in whole notes as a whole number of divisions. Raises ValueError when it is not whole."""
    count = length * QUARTERS * divisions
    if count.denominator != 1:
        raise ValueError(f"{length} of a whole note is not a whole number at {divisions} divisions a quarter")
    return count.numerator


def set_offset(element: Element, offset: int) -> None:
    """Tell a direction or harmony that it stands `offset` divisions later than where it is in the file; not for 0."""
    if not offset:
        return
    tags = [child.tag for child in element]
    at = next((index for index, tag in enumerate(tags) if tag in _AFTER_OFFSET), len(tags))
    child = make("offset", offset)
    if "sound" in tags:
        child.set("sound", "yes")
    element.insert(at, child)
