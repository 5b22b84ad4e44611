"""Many measures named in few words."""

from __future__ import annotations

from collections.abc import Sequence

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
