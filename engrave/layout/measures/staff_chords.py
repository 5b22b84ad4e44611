"""Chords of one voice on a staff: the directions of their stems, and their ink from what has been decided and measured."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.layout.curves import TieStart
from engrave.layout.direction import Direction
from engrave.layout.measures.chords import Shape
from engrave.layout.measures.heads import Head
from engrave.layout.measures.ink import ChordInk
from engrave.layout.measures.rhythm import VoiceRhythm
from engrave.layout.measures.sounding import Sounding
from engrave.layout.notes.stems import decide_group_direction, decide_stem_direction
from engrave.marks.mark import Source
from engrave.score.structure import Event


def build_chord_ink(
    event: Event,
    index: int,
    column: int,
    source: Source,
    members: tuple[Head, ...],
    chord: Sounding,
    shape: Shape,
    ties: tuple[TieStart, ...],
    beam: int,
) -> ChordInk:
    """A measured chord with where it stands in its voice."""
    return ChordInk(
        event=event,
        number=index,
        column=column,
        source=source,
        sources=tuple([member.source for member in members]),
        direction=chord.direction,
        notes=tuple([member.note for member in members]),
        positions=chord.positions,
        heads=chord.heads,
        head_dx=shape.head_dx,
        shift=shape.shift,
        shared=shape.shared,
        accidentals=shape.accidentals,
        dot_positions=shape.dot_positions,
        dot_dx=shape.dot_dx,
        ghosts=shape.ghosts,
        stem_dx=shape.stem_dx,
        tip=shape.tip,
        ties=ties,
        beam=beam,
    )


def stem_directions(
    chords: Sequence[tuple[Head, ...]], rhythm: VoiceRhythm, side: Direction | None
) -> list[Direction]:
    """The stem direction of every event; a beamed group has one."""
    if side is not None:
        return [side] * len(chords)
    directions = [
        decide_stem_direction([member.position for member in chord]) if chord else Direction.UP
        for chord in chords
    ]
    for group in rhythm.beams:
        shared = decide_group_direction([[m.position for m in chords[i]] for i in group.members if chords[i]])
        for i in range(group.members[0], group.members[-1] + 1):
            directions[i] = shared
    return directions
