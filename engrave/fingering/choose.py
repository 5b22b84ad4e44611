"""How a part is held: every moment for itself first, then chords kept down, then what repeats made alike."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.fingering.alike import hold_alike
from engrave.fingering.hand import Hand
from engrave.fingering.held import ShapeOf, hold_chords, take_places_of_grids
from engrave.fingering.moments import Moment
from engrave.fingering.solve import Solver, Way
from engrave.fingering.stretches import find_stretches
from engrave.score.structure import ChordAt, Part, Score
from engrave.theory.chord_shape import ChordShape


def choose_way(
    score: Score,
    part: Part,
    moments: Sequence[Moment],
    solver: Solver,
    hand: Hand,
    fingers: bool = True,
    explained: bool = False,
) -> Way:
    """A step for each of `moments`. Without `fingers` only places matter."""
    stretches = list(find_stretches(score, part, moments))
    moments = take_places_of_grids(moments, stretches)
    way = solver.solve(moments)
    chorded = hold_chords(moments, stretches, way, solver, _shape_finder(part) if fingers else None)
    if chorded.moments != moments:
        way = solver.solve(chorded.moments)
    fixed, changed = hold_alike(chorded.moments, way, fingers)
    if changed:
        alike = solver.solve(fixed)
        if alike.cost - way.cost <= hand.broken.alike * changed:
            way, chorded = alike, chorded._replace(moments=fixed)
    if explained:
        way = solver.solve(chorded.moments, explain=True)
    return chorded.spread(way)


def _shape_finder(part: Part) -> ShapeOf:
    """How the chord under a name is held: as its grid shows, else as its grid would."""

    def shape_of(chord: ChordAt) -> ChordShape | None:
        if chord.shape is not None and any(chord.shape.fingers):
            return chord.shape
        if chord.name.root is None:
            return None
        from engrave.fingering.shapes import find_best_shape

        return find_best_shape(chord.name, part.instrument)

    return shape_of
