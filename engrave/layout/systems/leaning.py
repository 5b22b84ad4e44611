"""Where syllables stand along a line: under their notes, or off them as far as their neighbours push and they may lean."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate

from engrave.layout.lines.frames import LineFrame
from engrave.layout.measures.words import SungWord, lyric_gap
from engrave.style.sections import Style


def decide_lefts(frame: LineFrame, part: int, style: Style) -> dict[int, Iterator[float]]:
    """The left edges of the syllables of each verse of a part along a line, in order, in staff spaces."""
    rows: dict[int, tuple[list[float], list[SungWord]]] = {}
    for measure in frame.measures:
        columns, xs = measure.ink.timings[part].columns, measure.xs
        for sung in measure.ink.words[part].lyrics:
            ideals, words = rows.setdefault(sung.verse, ([], []))
            ideals.append(xs[columns[0][sung.event]] + sung.start)
            words.append(sung)
    end = frame.measures[-1].right
    lefts: dict[int, Iterator[float]] = {}
    for verse, (ideals, words) in rows.items():
        needs = [sung.width + lyric_gap(sung.syllable, style) for sung in words[:-1]]
        needs.append(words[-1].width)
        leans = [sung.lean for sung in words]
        stop = max(end, ideals[-1] - leans[-1] + needs[-1])
        lefts[verse] = iter(decide_leaning(ideals, needs, leans, [sung.is_steady for sung in words], stop))
    return lefts


def decide_leaning(
    ideals: Sequence[float],
    needs: Sequence[float],
    leans: Sequence[float],
    steady: Sequence[bool],
    stop: float,
) -> list[float]:
    """Left edges as near to `ideals` as they can be (least squares) while each keeps `needs` to the next, left edge to left edge.

    The last one keeps its own to `stop`. None leans further than `leans`, and none that is `steady` leans to the left.
    Where there is no such way, they go on to the right.
    """
    afters = [*ideals[1:], stop]
    if all(left + need <= after + _SLACK for left, need, after in zip(ideals, needs, afters, strict=True)):
        return list(ideals)
    passed = list(accumulate(needs[:-1], initial=0.0))
    pooled = _pool([ideal - before for ideal, before in zip(ideals, passed, strict=True)])
    earliest: list[float] = []
    for index, ideal in enumerate(ideals):
        own = ideal if steady[index] else ideal - leans[index]
        earliest.append(max(own, earliest[-1] + needs[index - 1]) if index else own)
    latest = [ideal + lean for ideal, lean in zip(ideals, leans, strict=True)]
    latest[-1] = min(latest[-1], stop - needs[-1])
    for index in range(len(ideals) - 2, -1, -1):
        latest[index] = min(latest[index], latest[index + 1] - needs[index])
    return [
        max(first, min(last, best + before))
        for first, last, best, before in zip(earliest, latest, pooled, passed, strict=True)
    ]


def _pool(values: Sequence[float]) -> list[float]:
    """The nearest sequence that never falls (pooling of adjacent violators; Ayer and others 1955, from memory)."""
    blocks: list[tuple[float, int]] = []
    for value in values:
        total, count = value, 1
        while blocks and blocks[-1][0] / blocks[-1][1] > total / count:
            before, many = blocks.pop()
            total, count = total + before, count + many
        blocks.append((total, count))
    return [total / count for total, count in blocks for _ in range(count)]


_SLACK = 1e-9
"""Syllables that keep their distance to the last digit stay where they are (algorithm)."""
