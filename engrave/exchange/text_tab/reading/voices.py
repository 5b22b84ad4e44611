"""One or two rows of values and the notes on the strings become the events of one or two voices."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from engrave.exchange.text_tab.lines.value_row import Token
from engrave.exchange.text_tab.reading.cells import Cell, Cluster
from engrave.exchange.text_tab.reading.fill import Item, Tuplet
from engrave.exchange.text_tab.reading.measures import TabMeasure
from engrave.theory.duration import DENOMINATORS, note_value

REACH = 2
"""Columns by which a value may miss its note (house rule)."""
_GRACES = (4, 8, 16, 32)
"""Values that grace notes may have."""
_FINEST = 32
"""The lower number of a time, at most."""
_LONGEST = 64
"""The upper number of a time, at most."""
_BY_LENGTH = {
    value.length: value
    for denominator in DENOMINATORS
    for value in (note_value(denominator, n) for n in range(3))
}
"""Note values, plain and dotted, by their length in whole notes."""

Cells = tuple[Cell, ...]


@dataclass(slots=True)
class Exact:
    """The rhythm of a measure as its rows tell it: events, length in whole notes, onsets by column.

    `lower` are the events of the second voice, None where there is none. A voice without events is silent.
    """

    items: list[Item]
    length: Fraction
    onsets: list[tuple[int, Fraction]] = field(default_factory=list)
    lower: list[Item] | None = None


class _Voice(NamedTuple):
    """The events of one row, how long they last, and when each of its values begins; None: with grace notes."""

    items: list[Item]
    length: Fraction
    starts: list[Fraction | None]


def match_columns(
    columns: Sequence[int], measure: TabMeasure, clusters: Sequence[Cluster]
) -> list[int] | None:
    """For each cluster the index of its column in the row: the nearest, each used once, in order."""
    chosen: list[int] = []
    for cluster in clusters:
        near, distance = _nearest(columns, measure.column + cluster.column)
        if distance > REACH:
            break
        chosen.append(near)
    if len(chosen) == len(clusters) and all(a < b for a, b in pairwise(chosen)):
        return chosen
    return list(range(len(clusters))) if len(columns) == len(clusters) else None


def _nearest(columns: Sequence[int], place: int) -> tuple[int, int]:
    """The index of the column nearest to `place`, and how far it is."""
    after = bisect_left(columns, place)
    beside = [i for i in (after - 1, after) if 0 <= i < len(columns)]
    near = min(beside, key=lambda i: abs(columns[i] - place), default=-1)
    return near, abs(columns[near] - place) if near >= 0 else REACH + 1


def read_one_voice(tokens: Sequence[Token], measure: TabMeasure, clusters: Sequence[Cluster]) -> Exact | None:
    """The rhythm that one row tells; None when row and notes disagree."""
    chosen = match_columns([token.column for token in tokens], measure, clusters)
    voice = _build(tokens, dict(zip(chosen, (c.cells for c in clusters)))) if chosen is not None else None
    if voice is None or chosen is None:
        return None
    places = _places(tokens, voice, measure)
    places.update(
        (c.column, start) for i, c in zip(chosen, clusters) if (start := voice.starts[i]) is not None
    )
    return Exact(voice.items, voice.length, sorted(places.items()))


def read_two_voices(
    upper: Sequence[Token], lower: Sequence[Token], measure: TabMeasure, clusters: Sequence[Cluster]
) -> Exact | None:
    """The rhythm that a row over and a row under the strings tell; None when they disagree. An empty row is silent."""
    shared = _share(upper, lower, measure, clusters)
    if shared is None:
        return None
    voices = [_build(tokens, cells) if tokens else None for tokens, cells in zip((upper, lower), shared)]
    told = [voice for tokens, voice in zip((upper, lower), voices) if tokens]
    places: dict[int, Fraction] = {}
    for tokens, voice in zip((upper, lower), voices):
        if voice is not None:
            for column, start in _places(tokens, voice, measure).items():
                if places.setdefault(column, start) != start:
                    return None
    if not told or any(voice is None or told[0] is None or voice.length != told[0].length for voice in told):
        return None
    items = [[] if voice is None else voice.items for voice in voices]
    length = next(voice.length for voice in voices if voice is not None)
    return Exact(items[0], length, sorted(places.items()), items[1])


def _places(tokens: Sequence[Token], voice: _Voice, measure: TabMeasure) -> dict[int, Fraction]:
    """When the columns of a measure stand for, by its values; grace notes have no time."""
    return {t.column - measure.column: start for t, start in zip(tokens, voice.starts) if start is not None}


def _share(
    upper: Sequence[Token], lower: Sequence[Token], measure: TabMeasure, clusters: Sequence[Cluster]
) -> tuple[dict[int, Cells], dict[int, Cells]] | None:
    """The notes of each value of the two rows: those of the nearest value, parted where both rows are as near."""
    rows = [[token.column for token in tokens] for tokens in (upper, lower)]
    shared: tuple[dict[int, Cells], dict[int, Cells]] = ({}, {})
    for cluster in clusters:
        (first, far), (second, farther) = (_nearest(row, measure.column + cluster.column) for row in rows)
        if min(far, farther) > REACH:
            return None
        above: Cells = cluster.cells if far <= farther else ()
        below: Cells = cluster.cells if farther <= far else ()
        if far == farther:
            above, below = _part(upper[first], lower[second], cluster.cells)
        for notes, index, cells in ((shared[0], first, above), (shared[1], second, below)):
            if cells and index in notes:
                return None
            if cells:
                notes[index] = cells
    return shared


def _part(upper: Token, lower: Token, cells: Cells) -> tuple[Cells, Cells]:
    """The notes of two values that stand one over the other.

    Where neither names its strings and both strike, the lower voice has the thickest, the upper one the others
    (house rule).
    """
    if lower.strings:
        below = tuple(cell for cell in cells if cell.string in lower.strings)
    elif upper.strings:
        below = () if lower.is_mute else tuple(cell for cell in cells if cell.string not in upper.strings)
    elif lower.is_mute:
        below = ()
    else:
        below = cells if upper.is_mute else cells[-1:]
    if upper.strings:
        return tuple(cell for cell in cells if cell.string in upper.strings), below
    return () if upper.is_mute else tuple(cell for cell in cells if cell not in below), below


def _build(tokens: Sequence[Token], notes: Mapping[int, Cells]) -> _Voice | None:
    """The events of one row; None when its tuplets, grace notes or length are none that can be written."""
    builder = _Builder()
    for index, token in enumerate(tokens):
        if not builder.add(token, notes.get(index, ())):
            return None
    if builder.tuplets or builder.graces or not _is_length(builder.length):
        return None
    return _Voice(builder.items, builder.length, builder.starts)


def _is_length(length: Fraction) -> bool:
    """Whether a measure can last so long."""
    fine = length.denominator <= _FINEST and length.denominator & (length.denominator - 1) == 0
    return fine and 0 < length.numerator <= _LONGEST


class _Open(NamedTuple):
    """A tuplet that is not closed yet: where it opens, and how long it lasts up to here without its own ratio."""

    item: int
    level: int
    ratio: tuple[int, int]
    start: Fraction
    factor: Fraction


class _Builder:
    """Puts the events of one voice one after the other."""

    def __init__(self) -> None:
        """Nothing yet."""
        self.items: list[Item] = []
        self.starts: list[Fraction | None] = []
        self.length = Fraction(0)
        self.factor = Fraction(1)
        self.tuplets: list[_Open] = []
        self.graces: list[Item] = []
        self.kind = ""

    def add(self, token: Token, cells: Cells) -> bool:
        """Add an event; False where it cannot stand."""
        held = token.held and not cells
        item = Item(
            token.value, cells, held, ties=token.ties, slash=token.slash and not cells, rest=token.rest
        )
        if token.grace:
            self.starts.append(None)
            return self._grace(token, item)
        if self.graces and not item.sounds:
            return False
        self.starts.append(self.length)
        opened = []
        for actual, normal in token.opens:
            opened.append(Tuplet(actual, normal, None))
            self.tuplets.append(
                _Open(len(self.items), len(opened) - 1, (actual, normal), self.length, self.factor)
            )
            self.factor *= Fraction(normal, actual)
        self.items.append(
            item._replace(opens=tuple(opened), before=tuple(self.graces), slashed=self.kind != "appoggiatura")
        )
        self.graces = []
        self.length += token.value.length * self.factor
        return all(self._close() for _ in range(token.closes))

    def _grace(self, token: Token, item: Item) -> bool:
        if token.value.dots or token.value.denominator not in _GRACES:
            return False
        if token.opens or token.closes or not item.sounds:
            return False
        if token.grace == "closing-grace":
            if self.graces or not self.items or not self.items[-1].sounds:
                return False
            self.items[-1] = self.items[-1]._replace(after=(*self.items[-1].after, item))
            return True
        if self.graces and self.kind != token.grace:
            return False
        self.kind = token.grace
        self.graces.append(item)
        return True

    def _close(self) -> bool:
        """Close the innermost tuplet; False where no note value can be what it counts by."""
        if not self.tuplets:
            return False
        opened = self.tuplets.pop()
        self.factor = opened.factor
        actual, normal = opened.ratio
        unit = _BY_LENGTH.get((self.length - opened.start) / opened.factor / normal)
        if unit is None:
            return False
        item = self.items[opened.item]
        opens = list(item.opens)
        opens[opened.level] = Tuplet(actual, normal, unit)
        last = self.items[-1]
        self.items[opened.item] = item._replace(opens=tuple(opens))
        self.items[-1] = self.items[-1]._replace(closes=last.closes + 1)
        return True
