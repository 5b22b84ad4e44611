"""Chord names as they stand over the music: alone, or over the grid of their shape."""

from __future__ import annotations

from typing import NamedTuple

from engrave.layout.grids.chord_grid import GridExtent, measure_grid
from engrave.layout.measures.chord_names import ChordNameMeasurer, ChordNameShape
from engrave.score.structure import ChordAt, Grids, Score
from engrave.style.sections import Style


class ChordBlock(NamedTuple):
    """A measured chord; x counts from its column, in staff spaces. `grid` is None where only the name stands."""

    name: ChordNameShape
    name_dx: float
    grid: GridExtent | None
    grid_dx: float
    left: float
    right: float


class ChordBlockMeasurer:
    """Measures the chords over one score."""

    def __init__(self, score: Score, style: Style, centre: float) -> None:
        """`centre` is the distance from a column to the middle of its heads, over which grids are centred."""
        self._names = ChordNameMeasurer(style.words)
        self._grids = style.grids
        self._centre = centre
        self._draws_grids = score.grids is Grids.ABOVE
        self.left_handed = score.left_handed

    def measure(self, chord: ChordAt) -> ChordBlock:
        """The block of one chord."""
        name = self._names.measure(chord.name)
        if chord.shape is None or not self._draws_grids:
            return ChordBlock(name, 0.0, None, 0.0, 0.0, name.width)
        grid = measure_grid(chord.shape, self._grids, self.left_handed)
        strings = (chord.shape.strings - 1) * self._grids.string_pitch
        grid_dx = self._centre - strings / 2
        name_dx = self._centre - name.width / 2
        left = min(name_dx, grid_dx - grid.left)
        right = max(name_dx + name.width, grid_dx - grid.left + grid.width)
        return ChordBlock(name, name_dx, grid, grid_dx, -left, right)
