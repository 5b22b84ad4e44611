"""Which heads a chord has on a five-line staff, and where: harmonics by the house convention, octave lines, slashes; and their symbols."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.marks.mark import Source
from engrave.score.spans import Span
from engrave.score.structure import Event, Mark, Note
from engrave.theory.clef import Clef, staff_position
from engrave.theory.harmonics import touched_pitch

NODE = "node"
"""The mark of a head that shows where a string is touched."""
SOUNDING = "sounding"
"""The mark of a harmonic written at the pitch that sounds."""
_MIDDLE_LINE = 4
_HEADS = {1: "noteheadWhole", 2: "noteheadHalf"}
_DEAD_HEADS = {1: "noteheadXWhole", 2: "noteheadXHalf"}
_DIAMOND_HEADS = {1: "noteheadDiamondWhole", 2: "noteheadDiamondHalf"}
_SLASH_HEADS = {1: "noteheadSlashWhiteWhole", 2: "noteheadSlashWhiteHalf"}
_STOPPED = ("artificial-harmonic", "tapped-harmonic", "touched-harmonic")
OCTAVE_LINES = {"8va": -7, "8vb": 7, "15ma": -14, "15mb": 14}
"""Octave lines by name, and how many staff positions the notes under them move."""

Head = tuple[int, Note, Source]
"""Staff position, note and source of one head."""


class OctaveShifts(NamedTuple):
    """The octave lines over one measure: (from, up to, staff positions)."""

    stretches: tuple[tuple[Fraction, Fraction, int], ...] = ()

    def at(self, onset: Fraction) -> int:
        """How many staff positions a note at `onset` moves."""
        return next((steps for start, stop, steps in self.stretches if start <= onset < stop), 0)


def find_octave_shifts(spans: Sequence[Span], lengths: Sequence[Fraction]) -> dict[int, OctaveShifts]:
    """The octave lines of a part by measure index; measures without one are left out."""
    found: dict[int, list[tuple[Fraction, Fraction, int]]] = {}
    for span in spans:
        steps = OCTAVE_LINES.get(span.sign.name)
        if steps is None:
            continue
        for index in range(span.first, span.last + 1):
            start = span.onset if index == span.first else Fraction(0)
            stop = span.end if index == span.last else lengths[index]
            found.setdefault(index, []).append((start, stop, steps))
    return {index: OctaveShifts(tuple(row)) for index, row in found.items()}


def by_position(
    event: Event, sources: tuple[Source, ...], clef: Clef, shift: int, harmonics: str
) -> tuple[Head, ...]:
    """The heads of a chord, lowest first. Two strings that sound one pitch share a head.

    `shift` moves all of them by staff positions; `harmonics` is `touched` or `sounding`.
    """
    members: list[Head] = []
    for note, source in zip(event.notes, sources, strict=True):
        if note.is_slash:
            return ((_MIDDLE_LINE, note, source),)
        written = _written(note, harmonics) if note.sounding is not None else (note,)
        members.extend((staff_position(head.pitch, clef) + shift, head, source) for head in written)
    if len(members) < 2:
        return tuple(members)
    members.sort(key=lambda member: (member[0], member[1].pitch.alter))
    return tuple(
        member for i, member in enumerate(members) if i == 0 or member[1].pitch != members[i - 1][1].pitch
    )


def _written(note: Note, harmonics: str) -> tuple[Note, ...]:
    """The heads of a harmonic: what sounds, or what the hands do (the stopped note and a diamond where it is touched)."""
    assert note.sounding is not None
    if harmonics == "sounding":
        return (note._replace(pitch=note.sounding, marks=(*note.marks, Mark(SOUNDING))),)
    for mark in note.marks:
        if mark.name in _STOPPED:
            touched = touched_pitch(note.pitch, int(mark.amount) - note.fret)
            return (note, Note(touched, marks=(Mark(NODE),), location=note.location))
    return (note,)


def decide_slash(denominator: int) -> str:
    """The symbol of a rhythm slash by value (1 whole, 2 half, ...)."""
    return _SLASH_HEADS.get(denominator, "noteheadSlashHorizontalEnds")


def decide_head(note: Note, denominator: int) -> str:
    """The symbol of a note's head by value (1 whole, 2 half, ...): crosses, diamonds and slashes for what they mean (common practice, no source)."""
    if note.is_slash:
        return decide_slash(denominator)
    if note.has(NODE):
        return "noteheadDiamondHalf"
    if note.has("natural-harmonic") and not note.has(SOUNDING):
        return _DIAMOND_HEADS.get(denominator, "noteheadDiamondBlack")
    if note.has("dead"):
        return _DEAD_HEADS.get(denominator, "noteheadXBlack")
    return _HEADS.get(denominator, "noteheadBlack")
