"""Parts that a brace joins together."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.score.structure import Part


def braced_runs(parts: Sequence[Part]) -> list[range]:
    """The parts by index, from the top: those that a brace joins together, others alone."""
    runs: list[range] = []
    for index, part in enumerate(parts):
        if runs and part.brace and parts[index - 1].brace == part.brace:
            runs[-1] = range(runs[-1].start, index + 1)
        else:
            runs.append(range(index, index + 1))
    return runs
