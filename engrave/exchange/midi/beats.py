"""The beats of music that was played freely: where each onset stands in the written music, found onset by onset.

A hypothesis is a place of the grid for the last onset, a moment and a tempo; every onset leads each of them to the places
that may be meant next. A Kalman filter of moment and period predicts when such a place is due. What a step costs:

- how far the onset is from the prediction, in squares of what a hand and a tempo usually vary (a Gaussian's logarithm);
- how weak the place is: nothing at the start of a measure, a little on its other beats, more between beats, most on what
  divides them finely; and more of that the longer it is until the next onset, for long notes begin on strong places;
- a change between triplets and plain divisions within a beat;
- how far the tempo is from that of the file, as the square of its logarithm.

The cheapest row of places is kept for each end (dynamic programming), of the ends the best `_KEPT`: time grows with the
number of onsets, memory too. After A. T. Cemgil and B. Kappen, "Monte Carlo Methods for Tempo Tracking and Rhythm
Quantization", Journal of Artificial Intelligence Research 18, 2003 (from memory): the switching Kalman filter, here with
the costs above. The weights are [house], tuned on `tests/tools/played.py`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from math import log, log2
from typing import NamedTuple

from engrave.theory.metre import Metre

QUARTER = 48
"""Places are counted in 192nds of a whole note."""
_TRIPLET = QUARTER // 3
_SPLIT_IN_THIRDS = 4
"""Times of quarters and longer values have triplets of eighths (fact)."""
_JITTER = 0.016
"""Seconds by which a hand misses the moment it means, as a standard deviation."""
_TOGETHER = 0.035
"""Seconds within which onsets are one chord."""
_STRUM, _WHOLE_STRUM = 0.02, 0.09
"""Seconds from string to string of a strummed chord, and of a whole one, at most."""
_DRIFT = 0.012
"""How much the tempo varies from quarter to quarter, as a share of it (standard deviation)."""
_WANDER = 0.006
"""How much a beat itself wanders from quarter to quarter, in quarters."""
_UNSURE = 0.02
"""How well the tempo is known at the start, as a share of it."""
_BEAT, _HALF, _FINE, _FINEST = 0.1, 0.4, 1.3, 3.0
"""Weakness of places: beats within a measure, halves of a beat, quarters and thirds of it, what is finer."""
_HELD, _LONG = 0.25, 2.0
"""How much weaker a place is for each quarter until the next onset, up to so many quarters."""
_MIXED, _TURNED = 2.5, 0.7
"""The cost of triplets and plain divisions within one beat, and from one beat to a later one."""
_FAR = 0.06
"""The cost of each onset at a tempo that is an eighth of an octave from the file's."""
_OCTAVE_STEP = 0.125
_EARLY, _EARLY_GROWTH = 0.12, 0.03
"""Quarters by which the first onset misses its place in the file (standard deviation), and more with each quarter before it."""
_SLOWEST, _STEPS = 2.0 ** (-0.75), 37
"""The tempos that the music may begin with: from slower by this factor to faster by it, evenly by their logarithm."""
_KEPT, _KEPT_FIRST, _FIRST = 12, 60, 16
"""Hypotheses that are kept, and at the first onsets."""
_HOPELESS = 18.0
"""Hypotheses that cost so much more than the best are dropped."""
_FINE_GRID, _FINE_TRIPLET = QUARTER // 16, QUARTER // 12
_EXACT, _EXACT_SHARE = 0.5, 0.8
"""192nds by which a machine misses its grid, and the share of onsets that must stand on it."""
_WINDOW = 24
_MISFIT = 0.034
"""Quarters by which the onsets of a window miss the grid on average where the tempo map does not fit: chance gives 0.049."""


_OPEN, _PLAIN, _THIRDS = range(3)


class Beats(NamedTuple):
    """Moments of onsets (quarters of the file) with their places (192nds of the written music), and the tempo's extremes.

    `slowest` and `fastest` are written quarters for each quarter of the file.
    """

    moments: tuple[float, ...]
    places: tuple[int, ...]
    slowest: float
    fastest: float

    @property
    def average(self) -> float:
        """Written quarters for each quarter of the file."""
        span = self.moments[-1] - self.moments[0]
        return (self.places[-1] - self.places[0]) / QUARTER / span

    def place(self, moment: float) -> float:
        """Where a moment of the file stands in the written music, in 192nds."""
        index = min(max(1, bisect_right(self.moments, moment)), len(self.moments) - 1)
        left, right = self.moments[index - 1], self.moments[index]
        low, high = self.places[index - 1], self.places[index]
        if left <= moment <= right:
            return low + (moment - left) * (high - low) / (right - left)
        edge, start = (left, low) if moment < left else (right, high)
        return start + (moment - edge) * self.average * QUARTER


class _Path(NamedTuple):
    """A hypothesis: the place of the last onset, the moment it was meant for, the period, and how sure both are."""

    cost: float
    place: int
    moment: float
    period: float
    moment_variance: float
    covariance: float
    period_variance: float
    manner: int
    """How beats were divided last: _PLAIN, _THIRDS, or not at all so far."""
    before: int
    """The hypothesis at the onset before from which it comes."""


def gather_onsets(moments: Sequence[float], quarters: float) -> list[float]:
    """The moments (quarters of the file, at `quarters` a minute) at which something begins: a chord once, with its first note."""
    together, strum, whole = (seconds * quarters / 60 for seconds in (_TOGETHER, _STRUM, _WHOLE_STRUM))
    onsets: list[float] = []
    before = 0.0
    for moment in sorted(moments):
        since = moment - onsets[-1] if onsets else whole
        if not onsets or (since > together and not (moment - before <= strum and since < whole)):
            onsets.append(moment)
        before = moment
    return onsets


def fits(onsets: Sequence[float]) -> bool:
    """True where the onsets stand on the grid of the file's own quarters, however roughly."""
    misses = [_miss(onset * QUARTER, QUARTER // 4, _TRIPLET) / QUARTER for onset in onsets]
    exact = [_miss(onset * QUARTER, _FINE_GRID, _FINE_TRIPLET) <= _EXACT for onset in onsets]
    span = min(_WINDOW, len(onsets))
    for start in range(0, len(onsets) - span + 1, max(1, span // 2)):
        window = slice(start, start + span)
        if sum(misses[window]) > _MISFIT * span and sum(exact[window]) < _EXACT_SHARE * span:
            return False
    return True


def _miss(place: float, *steps: int) -> float:
    """How far a place is from the nearest multiple of any of `steps`."""
    return min(abs(place - round(place / step) * step) for step in steps)


def track_beats(onsets: Sequence[float], quarters: float, step: int, metre: Metre) -> Beats | None:
    """The places of onsets (quarters of a file at `quarters` a minute) on a grid of `step` 192nds and triplets.

    `metre` is the time of the music. None for fewer than two onsets.
    """
    if len(onsets) < 2:
        return None
    noise = (_JITTER * quarters / 60) ** 2
    grid = _Grid(step, metre)
    layers = [list(_first_paths(onsets[0], grid, noise))]
    for number, onset in enumerate(onsets[1:]):
        best: dict[tuple[int, int, int], _Path] = {}
        for index, path in enumerate(layers[-1]):
            for place in grid.near(path.place, path.place + (onset - path.moment) / path.period * QUARTER):
                after = _step(path, index, place, onset, noise, grid)
                key = (place, round(log2(after.period) * 24), after.manner)
                if key not in best or after.cost < best[key].cost:
                    best[key] = after
        kept = sorted(best.values())[: _KEPT_FIRST if number < _FIRST else _KEPT]
        limit = kept[0].cost + _HOPELESS
        layers.append([path for path in kept if path.cost <= limit])
    return _trace(onsets, layers)


def _first_paths(onset: float, grid: _Grid, noise: float) -> Iterator[_Path]:
    """The first onset on the nearest places at every tempo."""
    for number in range(_STEPS):
        period = _SLOWEST ** (2 * number / (_STEPS - 1) - 1)
        due = onset / period * QUARTER
        for place in {grid.nearest(due), max(0, round(due / QUARTER) * QUARTER)}:
            cost = grid.weakness(place) + _far(period) * _FIRST / 4 + _late(place - due, onset)
            yield _Path(
                cost,
                place,
                onset,
                period,
                moment_variance=noise,
                covariance=0.0,
                period_variance=(_UNSURE * period) ** 2,
                manner=_OPEN,
                before=-1,
            )


def _step(path: _Path, index: int, place: int, onset: float, noise: float, grid: _Grid) -> _Path:
    """`path` led to `place`, where the onset is heard."""
    quarters = (place - path.place) / QUARTER
    due = path.moment + quarters * path.period
    certain = path.period_variance
    spread = path.moment_variance + quarters * (
        2 * path.covariance + quarters * certain + (_WANDER * path.period) ** 2
    )
    shared = path.covariance + quarters * certain
    certain += quarters * (_DRIFT * path.period) ** 2
    whole = spread + noise
    miss = onset - due
    gain, turn = spread / whole, shared / whole
    period = path.period + turn * miss
    period = max(path.period / 2, min(path.period * 2, period))
    cost = path.cost + miss * miss / (2 * whole) + log(whole / noise) / 2
    cost += _HELD * grid.weakness(path.place) * min(quarters, _LONG)
    cost += grid.weakness(place) + grid.mixing(path.place, place) + _far(period)
    manner = grid.manner(place) or path.manner
    if path.manner and manner != path.manner:
        cost += _TURNED
    return _Path(
        cost,
        place,
        due + gain * miss,
        period,
        moment_variance=(1 - gain) * spread,
        covariance=(1 - gain) * shared,
        period_variance=certain - turn * shared,
        manner=manner,
        before=index,
    )


def _late(miss: float, onset: float) -> float:
    """The cost of a first onset that stands `miss` 192nds from where the file has it."""
    return (miss / QUARTER / (_EARLY + _EARLY_GROWTH * onset)) ** 2 / 2


def _far(period: float) -> float:
    """The cost of an onset at this tempo."""
    return _FAR * (log2(period) / _OCTAVE_STEP) ** 2


class _Grid:
    """The places of the written music, and how weak they are."""

    def __init__(self, step: int, metre: Metre) -> None:
        self._step = step
        self._measure = int(metre.length * 4 * QUARTER)
        self._triplet = _TRIPLET if metre.unit <= _SPLIT_IN_THIRDS else 0
        beats = {int(beat * 4 * QUARTER) for beat in metre.beats}
        self._weakness = [self._weak(offset, offset in beats) for offset in range(self._measure)]

    def _weak(self, offset: int, is_beat: bool) -> float:
        if offset == 0:
            return 0.0
        if is_beat:
            return _BEAT
        if offset % (QUARTER // 2) == 0:
            return _HALF
        return _FINE if offset % (QUARTER // 4) == 0 or offset % _TRIPLET == 0 else _FINEST

    def weakness(self, place: int) -> float:
        """The cost of a place."""
        return self._weakness[place % self._measure]

    def manner(self, place: int) -> int:
        """How the beat is divided by an onset at `place`: a half of it says nothing of that."""
        offset = place % QUARTER
        if not self._triplet or offset % (QUARTER // 2) == 0:
            return _OPEN
        return _THIRDS if offset % self._triplet == 0 else _PLAIN

    def mixing(self, before: int, place: int) -> float:
        """The cost of `place` after `before`: triplets and plain divisions in one beat."""
        if not self._triplet or before // QUARTER != place // QUARTER or before % QUARTER == 0:
            return 0.0
        return _MIXED if (before % self._triplet == 0) != (place % self._triplet == 0) else 0.0

    def nearest(self, due: float) -> int:
        """The plain place nearest to `due`."""
        return max(0, round(due / self._step) * self._step)

    def near(self, before: int, due: float) -> set[int]:
        """The places after `before` that may be meant by an onset at `due`."""
        middle = round(due / self._step)
        found = {place * self._step for place in range(middle - 2, middle + 3)}
        if self._triplet:
            low = int(due // self._triplet)
            found |= {low * self._triplet, (low + 1) * self._triplet}
        later = {place for place in found if place > before}
        return later or {before + self._step}


def _trace(onsets: Sequence[float], layers: Sequence[Sequence[_Path]]) -> Beats:
    """The cheapest row of places."""
    index, row = 0, list[_Path]()
    for layer in reversed(layers):
        row.append(layer[index])
        index = layer[index].before
    row.reverse()
    periods = [path.period for path in row]
    return Beats(tuple(onsets), tuple(path.place for path in row), 1 / max(periods), 1 / min(periods))
