"""Amounts of bends and of the vibrato bar, set: whole steps as digits or a word, fractions larger, for their digits are small."""

from __future__ import annotations

from itertools import groupby
from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.style.sections import Style
from engrave.style.words import TextStyle
from engrave.theory.bends import FRACTION_SIGNS


class AmountPiece(NamedTuple):
    """A piece of an amount in one size: where it stands from the amount's left edge and baseline. In staff spaces."""

    text: str
    x: float
    y: float
    size: float


class SetAmount(NamedTuple):
    """An amount as it is set: its pieces, how wide it is, and its ink below and above the baseline."""

    pieces: tuple[AmountPiece, ...]
    width: float
    bottom: float
    top: float


def set_amount(label: str, words: TextStyle, style: Style) -> SetAmount:
    """Set `label` ("full", "1½") in the face and size of `words`; a fraction is as much taller above as below."""
    face = text_face(words.face)
    pieces = []
    x = bottom = top = 0.0
    for is_fraction, characters in groupby(label, FRACTION_SIGNS.__contains__):
        text = "".join(characters)
        size = words.size * (style.stacking.bend_fraction if is_fraction else 1.0)
        y = (words.size - size) * face.cap_height / 2
        ink = face.ink(text, size)
        pieces.append(AmountPiece(text, x, y, size))
        x += face.width(text, size)
        bottom, top = min(bottom, y + ink.bottom), max(top, y + ink.top)
    return SetAmount(tuple(pieces), x, bottom, top)
