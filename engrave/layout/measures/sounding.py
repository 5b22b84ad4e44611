"""A chord on a five-line staff before it is measured, and how long its stem is without a beam."""

from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.direction import Direction
from engrave.layout.measures.tremolo import Tremolo, decide_struck_tip, measure_strokes, stem_leaves
from engrave.layout.notes.stems import decide_stem_tip
from engrave.style.sections import Style


class Sounding(NamedTuple):
    """A chord before it is measured: all that its shape depends on.

    `positions` ascend, `heads` are their symbols; `accidentals` are (position, symbol, in parentheses). `flags` is
    0 for notes under a beam. `voice` is the side of the voice where a staff has two. `ghosts` are the positions of
    heads that stand in parentheses, `unlike` those of augmented unisons, which share no head. `tremolo` crosses the stem.
    """

    positions: tuple[int, ...]
    heads: tuple[str, ...]
    accidentals: tuple[tuple[int, str, bool], ...]
    direction: Direction
    dots: int
    flags: int
    voice: Direction | None
    ghosts: frozenset[int] = frozenset()
    unlike: frozenset[int] = frozenset()
    tremolo: Tremolo | None = None


def decide_free_tip(chord: Sounding, style: Style, face: MusicFace) -> float:
    """The y of the free end of a stem without a beam, long enough for the strokes of a tremolo."""
    way = chord.direction
    tip = decide_stem_tip(chord.positions, way, chord.flags, style.notes)
    ink = measure_strokes(chord.tremolo, style, face) if chord.tremolo is not None else None
    if ink is None:
        return tip
    edge = (chord.positions[-1] + 1) / 2 if way is Direction.UP else (chord.positions[0] - 1) / 2
    accidentals = ((position, glyph) for position, glyph, _ in chord.accidentals)
    free_from = stem_leaves(edge, way, accidentals, face)
    return decide_struck_tip(tip, free_from, way, ink.height, chord.flags, style=style)
