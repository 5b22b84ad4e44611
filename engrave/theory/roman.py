"""Roman numerals, as capos, positions and barres are counted."""

from __future__ import annotations

_VALUES = ((10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I"))


def roman(number: int) -> str:
    """A number from 1 on as a Roman numeral; frets do not reach 40."""
    text = ""
    for value, letters in _VALUES:
        count, number = divmod(number, value)
        text += letters * count
    return text
