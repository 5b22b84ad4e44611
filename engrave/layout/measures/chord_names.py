"""Chord names as runs of text (real sharps and flats, raised extensions), alone or over the grid of their shape."""

from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.chord_grid import GridExtent, measure_grid
from engrave.score.structure import ChordAt, Grids, Score
from engrave.style.sections import Style
from engrave.style.words import WordsStyle
from engrave.theory.chord_name import ChordName, display_parts


class ChordRun(NamedTuple):
    """One piece of a chord name: text in a face, its start (dx, dy) from the name's origin, in staff spaces."""

    text: str
    face: str
    size: float
    dx: float
    dy: float


class ChordNameShape(NamedTuple):
    """A measured chord name: its runs, its width, and top and bottom of its ink from the baseline, in staff spaces."""

    runs: tuple[ChordRun, ...]
    width: float
    top: float
    bottom: float


class ChordNameMeasurer:
    """Measures chord names for one style; equal names are measured once."""

    def __init__(self, words: WordsStyle) -> None:
        """Use the faces and sizes of `words`."""
        self._words = words
        self._known: dict[ChordName, ChordNameShape] = {}

    def measure(self, name: ChordName) -> ChordNameShape:
        """The runs of `name` from its origin at the left end of the baseline."""
        known = self._known.get(name)
        if known is None:
            known = self._known[name] = self._measure(name)
        return known

    def _measure(self, name: ChordName) -> ChordNameShape:
        words = self._words
        size = words.chord_name.size
        pen = 0.0
        top = bottom = 0.0
        runs = []
        for part in display_parts(name, words.no_chord, words.says_h):
            raised = part.raised
            run_size = size * (words.chord_raised_size if raised else 1.0)
            dy = size * words.chord_raise if raised else 0.0
            face = words.chord_name.face
            if part.is_accidental:
                face = "music"
                dy += run_size * words.chord_sharp_top
                run_size *= words.chord_accidental_size
                dy -= text_face(face).ink("♯", run_size).top
            runs.append(ChordRun(part.text, face, run_size, pen, dy))
            measured = text_face(face)
            pen += measured.width(part.text, run_size)
            ink = measured.ink(part.text, run_size)
            top, bottom = max(top, dy + ink.top), min(bottom, dy + ink.bottom)
        return ChordNameShape(tuple(runs), pen, top, bottom)


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
