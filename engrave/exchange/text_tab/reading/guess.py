"""Rhythm guessed from the spacing: of all ways to read the columns of a measure the one that is simplest to write.

What is simple is a sum of costs: few values, no ties, beats kept, few fine values, little between what is drawn and what is
read (all numbers are house rules). The time of a piece that tells none is the one in which its measures cost least.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, pairwise
from math import gcd
from typing import NamedTuple

from engrave.exchange.text_tab.reading.cells import Cluster
from engrave.exchange.text_tab.reading.fill import beat_of, written_values
from engrave.exchange.text_tab.reading.measures import TabMeasure
from engrave.theory.duration import NoteValue
from engrave.theory.metre import Metre

_TICKS = 64
"""Ticks of a whole note, in which everything here is counted."""
_QUARTER = 16
_EIGHTH = Fraction(1, 8)
_GRIDS = (16, 8, 4, 2, 1)
"""What columns are rounded to where they fill the measure in proportion, in ticks."""
_UNITS = (32, 24, 16, 8, 4)
"""What one step from column to column may last, in ticks."""
_STEPS = (2, 3, 4)
"""Columns of a step as people type it, beside the greatest that all gaps share."""
_LONGEST_LEAD = 2
"""Dashes before the first note of a measure that do not count as time (common practice, no source)."""
_ONE_DIGIT = 9
_TIE, _REST, _SYNCOPE = 2.0, 1.0, 0.6
_LATE = 0.3
"""For a value longer than an eighth that starts off a dotted beat."""
_KINDS = 0.25
"""For each kind of value."""
_DOTS = (0.0, 0.4, 1.5)
_FINE = {16: 0.3, 32: 2.0, 64: 5.0}
_MISS = 3.0
"""For each quarter between the column where a note stands and the one where it should stand."""
_LACK = 1.0
"""For each quarter that a measure is drawn too short or too long."""
_OTHER_RATE = 0.8
"""For columns that last longer or shorter than in most measures of the piece, by more than so large a share."""
_SAME_RATE = 0.15
_NARROW = 0.3
"""For second digits of frets that take no room."""
_ACCENT = 0.15
"""For each accented note beside the beat."""
_METRES = (
    (Metre((4,), 4), 0.0),
    (Metre((6,), 8), 0.3),
    (Metre((3,), 4), 0.31),
    (Metre((2,), 4), 0.9),
    (Metre((12,), 8), 0.9),
    (Metre((9,), 8), 1.0),
    (Metre((5,), 4), 1.0),
    (Metre((7,), 8), 1.2),
)
"""The times a piece may be in that tells none, the likely first, each with what it costs."""
_MOST_TRIED = 60
"""Measures that are looked at to find the time of a piece."""
_MOST_NOTES = 32
"""Notes of such a measure."""


class Spacing(NamedTuple):
    """The columns of the notes in a measure from barline to barline, as far as they tell time.

    `wide` says which frets have two digits; `lead` the dashes that do not count; `accents` the notes that stand out.
    """

    columns: tuple[int, ...]
    wide: tuple[bool, ...]
    width: int
    lead: int
    accents: tuple[bool, ...]


class Guess(NamedTuple):
    """Onsets in whole notes; `lack`: quarters that the measure is drawn too short, or too long where it is negative.

    `rate` is how many quarters a column lasts.
    """

    onsets: tuple[Fraction, ...]
    cost: float
    lack: float
    rate: float


def spacing_of(measure: TabMeasure, clusters: Sequence[Cluster], lead: int) -> Spacing:
    """The spacing of a measure; the dots of repeats, and dashes after them, are no time."""
    lowest = max((cell.string for cluster in clusters for cell in cluster.cells), default=0)
    most = max((len(cluster.cells) for cluster in clusters), default=0)
    low = [cluster.cells[-1].string == lowest for cluster in clusters]
    full = [len(cluster.cells) == most for cluster in clusters]
    accents = next((flags for flags in (low, full) if 1 < sum(flags) <= len(flags) // 2), [False] * len(low))
    return Spacing(
        columns=tuple(cluster.column for cluster in clusters),
        wide=tuple(any((cell.fret or 0) > _ONE_DIGIT for cell in cluster.cells) for cluster in clusters),
        width=measure.width - measure.closes,
        lead=lead + measure.opens,
        accents=tuple(accents),
    )


def lead_of(measures: Sequence[Sequence[Cluster]]) -> int:
    """The dashes that stand before the first beat throughout a block."""
    firsts = [clusters[0].column for clusters in measures if clusters]
    return min([*firsts, _LONGEST_LEAD])


def guess_metre(spacings: Sequence[Spacing]) -> Metre:
    """The time in which measures of such spacings are simplest to write; 4/4 where nothing tells."""
    tried = [spacing for spacing in spacings if 0 < len(spacing.columns) <= _MOST_NOTES][:_MOST_TRIED]

    def cost(choice: tuple[Metre, float]) -> float:
        metre, prior = choice
        costs = [_cost(guess_rhythm(spacing, metre), len(spacing.columns)) for spacing in tried]
        return prior + sum(costs) / max(1, len(costs))

    return min(_METRES, key=cost)[0]


def _cost(guess: Guess | None, notes: int) -> float:
    return guess.cost if guess is not None else _TIE * notes


def usual_rate(guesses: Sequence[Guess | None]) -> float:
    """How many quarters a column lasts in more than half of some measures; 0 where there is no such rate."""
    rates = Counter(round(guess.rate, 2) for guess in guesses if guess is not None)
    rate, count = rates.most_common(1)[0] if rates else (0.0, 0)
    return rate if 2 * count > len(guesses) else 0.0


@lru_cache(maxsize=4096)
def guess_rhythm(spacing: Spacing, metre: Metre, usual: float = 0.0) -> Guess | None:
    """The simplest reading of a measure in a metre, where columns `usual`ly last so many quarters (0: nothing is usual).

    None when even sixty-fourths cannot hold the notes.
    """
    ticks = int(metre.length * _TICKS)
    best: dict[tuple[int, ...], _Reading] = {}
    for reading in _readings(spacing, ticks, usual):
        if reading.onsets not in best or reading.misfit < best[reading.onsets].misfit:
            best[reading.onsets] = reading
    guesses = [
        Guess(
            onsets=tuple(Fraction(x, _TICKS) for x in onsets),
            cost=reading.misfit + _notation(onsets, spacing, metre),
            lack=reading.lack,
            rate=reading.rate,
        )
        for onsets, reading in best.items()
    ]
    if guesses:
        return min(guesses, key=lambda guess: (guess.cost, guess.onsets))
    if len(spacing.columns) > ticks:
        return None
    spread = _spread(spacing, ticks)
    return Guess(tuple(Fraction(x, _TICKS) for x in spread), _TIE * len(spread), 0.0, 0.0)


class _Reading(NamedTuple):
    """One way to read columns: onsets in ticks, what lies between them and the columns, and lack and rate as in a guess."""

    onsets: tuple[int, ...]
    misfit: float
    lack: float
    rate: float


def _readings(spacing: Spacing, ticks: int, usual: float) -> Iterator[_Reading]:
    """All readings that are worth a look."""
    plain = spacing.columns, spacing.width, 0.0
    narrow = (
        tuple(c - more for c, more in zip(spacing.columns, accumulate(spacing.wide, initial=0))),
        spacing.width - sum(spacing.wide),
        _NARROW,
    )
    for columns, width, extra in (plain, narrow) if any(spacing.wide) else (plain,):
        leads = {min(spacing.lead, columns[0])}
        if columns[0] <= spacing.lead + _LONGEST_LEAD:
            leads.add(columns[0])
        shared = gcd(*(b - a for a, b in pairwise(columns)))
        for lead in sorted(leads):
            span = max(1, width - lead)
            in_proportion = [(Fraction(span * grid, ticks), grid) for grid in _GRIDS if ticks % grid == 0]
            by_steps = [
                (Fraction(step), unit) for step in sorted({*_STEPS, shared} - {0, 1}) for unit in _UNITS
            ]
            for step, unit in (*in_proportion, *by_steps):
                onsets = tuple(round((column - lead) / step) * unit for column in columns)
                if onsets[-1] >= ticks or any(a >= b for a, b in pairwise(onsets)):
                    continue
                per_column = float(unit / step) / _QUARTER
                miss = sum(abs(c - lead - float(x * step) / unit) for c, x in zip(columns, onsets))
                lack = ticks / _QUARTER - span * per_column
                beyond = max(0.0, abs(lack) - per_column)
                other = _OTHER_RATE * (usual > 0 and abs(per_column / usual - 1) > _SAME_RATE)
                misfit = extra + other + _MISS * miss * per_column + _LACK * beyond
                yield _Reading(onsets, misfit, lack, per_column)


def _spread(spacing: Spacing, ticks: int) -> tuple[int, ...]:
    """Onsets for notes that stand too close for any grid: in proportion, moved as little as necessary to keep them apart."""
    span = max(1, spacing.width - spacing.lead)
    moved: list[int] = []
    for column in spacing.columns:
        tick = max(0, (column - spacing.lead) * ticks // span)
        moved.append(max(tick, moved[-1] + 1) if moved else tick)
    limit = ticks
    for index in range(len(moved) - 1, -1, -1):
        limit = min(limit - 1, moved[index])
        moved[index] = limit
    return tuple(moved)


def _notation(onsets: Sequence[int], spacing: Spacing, metre: Metre) -> float:
    """What it costs to write notes at `onsets` in a metre; how long the last one lasts is not drawn and costs half."""
    beat = int(beat_of(metre) * _TICKS)
    ticks = int(metre.length * _TICKS)
    cost = 0.0
    if onsets[0]:
        cost += _REST * len(_values(0, onsets[0], beat))
    kinds: set[NoteValue] = set()
    for start, stop in pairwise((*onsets, ticks)):
        values = _values(start, stop, beat)
        share = 0.5 if stop == ticks else 1.0
        cost += share * _written(values, beat)
        if start % beat and (start // beat + 1) * beat < stop and len(values) == 1:
            cost += share * _SYNCOPE
        if metre.is_compound and start % beat and values[0].length > _EIGHTH:
            cost += share * _LATE
        kinds.update(values if stop < ticks else ())
    beats = {int(onset * _TICKS) for onset in metre.beats}
    aside = sum(accent and onset not in beats for accent, onset in zip(spacing.accents, onsets))
    return cost + _KINDS * len(kinds) + _ACCENT * aside


def _written(values: Sequence[NoteValue], beat: int) -> float:
    cost = _TIE * (len(values) - 1)
    for value in values:
        cost += _FINE.get(value.denominator, 0.0)
        if int(value.length * _TICKS) % beat:
            cost += _DOTS[value.dots]
    return cost


@lru_cache(maxsize=4096)
def _values(start: int, stop: int, beat: int) -> tuple[NoteValue, ...]:
    return written_values(Fraction(start, _TICKS), Fraction(stop, _TICKS), Fraction(beat, _TICKS))
