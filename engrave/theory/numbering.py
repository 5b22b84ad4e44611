"""Numbers as they are printed and named: of measures, of many measures in few words, and Roman numerals."""

from __future__ import annotations

from collections.abc import Sequence


class Numbering:
    """Numbers measures in order: a pickup at the start is 0, one inside the piece does not count (common practice)."""

    def __init__(self) -> None:
        """Start with measure 1."""
        self._next = 1
        self._count = 0

    def number(self, given: int | None = None, pickup: bool = False, measures: int = 1) -> int:
        """The number of the next measure, which stands for so many `measures`; `given`: the author's own number."""
        self._count += 1
        if given is not None:
            self._next = given
        elif pickup:
            return 0 if self._count == 1 else self._next
        number = self._next
        self._next += measures
        return number


_MOST_RUNS = 6
"""Runs of measures that a sentence names (house rule)."""


def name_measures(numbers: Sequence[str]) -> str:
    """Printed measure numbers as people write them: "measures 2-5, 8 and 12a"; long lists are cut short."""
    runs: list[list[str]] = []
    for number in numbers:
        if runs and _follows(runs[-1][-1], number):
            runs[-1].append(number)
        else:
            runs.append([number])
    words = [run[0] if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs[:_MOST_RUNS]]
    if len(runs) > _MOST_RUNS:
        words.append(f"{sum(map(len, runs[_MOST_RUNS:]))} more")
    listed = f"{', '.join(words[:-1])} and {words[-1]}" if len(words) > 1 else words[0]
    return f"measure{'s' if len(numbers) > 1 else ''} {listed}"


def _follows(before: str, number: str) -> bool:
    return before.isdecimal() and number.isdecimal() and int(number) == int(before) + 1


_VALUES = ((10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I"))


def roman(number: int) -> str:
    """A number from 1 on as a Roman numeral; frets do not reach 40."""
    text = ""
    for value, letters in _VALUES:
        count, number = divmod(number, value)
        text += letters * count
    return text
