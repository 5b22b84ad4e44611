"""Which heads a chord has on a five-line staff, and where: harmonics by the house convention, octave lines, slashes; and their symbols."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import Enum
from typing import NamedTuple

from engrave.layout.measures.bent_pitches import BentPitches
from engrave.marks.mark import Source
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Note
from engrave.score.techniques import StoppedHarmonic
from engrave.theory.clef import Clef, staff_position
from engrave.theory.harmonics import touched_pitch

_NOT_BENT: Mapping[int, BentPitches] = {}
_NONE: frozenset[int] = frozenset()
_MIDDLE_LINE = 4
"""The middle line's staff position (fact)."""
_HEADS = {1: "noteheadWhole", 2: "noteheadHalf"}
_DEAD_HEADS = {1: "noteheadXWhole", 2: "noteheadXHalf"}
_DIAMOND_HEADS = {1: "noteheadDiamondWhole", 2: "noteheadDiamondHalf"}
_SLASH_HEADS = {1: "noteheadSlashWhiteWhole", 2: "noteheadSlashWhiteHalf"}


class HeadKind(Enum):
    """What a head shows of its note."""

    FINGERED = "fingered"
    """What the hand holds."""
    SOUNDING = "sounding"
    """What a harmonic sounds."""
    NODE = "node"
    """Where a string is touched."""


class Head(NamedTuple):
    """One head on a staff: its position, the note and where that comes from."""

    position: int
    note: Note
    source: Source
    kind: HeadKind = HeadKind.FINGERED
    is_new: bool = False
    """The note is tied to one before it, but a bend takes it to another pitch."""


def by_position(
    event: Event,
    sources: tuple[Source, ...],
    clef: Clef,
    shift: int,
    harmonics: str,
    bent: Mapping[int, BentPitches] = _NOT_BENT,
) -> tuple[Head, ...]:
    """The heads of a chord, lowest first. Two strings that sound one pitch have two heads, and more of them have no more.

    A stem has two sides (common practice, no source). The bent one of a unison comes first.
    `shift` moves all of them by staff positions; `harmonics` is `touched` or `sounding`; `bent` are the strings that show
    to what they are bent.
    """
    members: list[Head] = []
    for note, source in zip(event.notes, sources, strict=True):
        if note.is_slash:
            return (Head(_MIDDLE_LINE, note, source),)
        if note.string in bent:
            pitches = bent[note.string]
            head = note._replace(pitch=pitches.main)
            position = staff_position(head.pitch, clef) + shift
            members.append(Head(position, head, source, is_new=pitches.is_new))
            continue
        written = _written(note, harmonics)
        members.extend(
            Head(staff_position(head.pitch, clef) + shift, head, source, kind) for head, kind in written
        )
    if len(members) < 2:
        return tuple(members)
    members.sort(
        key=lambda member: (member.position, member.note.pitch.alter, member.note.string not in bent)
    )
    return tuple(
        member for i, member in enumerate(members) if i < 2 or member.note.pitch != members[i - 2].note.pitch
    )


def _written(note: Note, harmonics: str) -> tuple[tuple[Note, HeadKind], ...]:
    """The heads of a note. Those of a harmonic: what sounds, or what the hands do (the stopped note and a diamond where it is touched)."""
    if note.sounding is not None and harmonics == "sounding":
        return ((note._replace(pitch=note.sounding), HeadKind.SOUNDING),)
    for technique in note.techniques:
        if isinstance(technique, StoppedHarmonic):
            touched = touched_pitch(note.pitch, technique.touched - note.fret)
            return (note, HeadKind.FINGERED), (Note(touched, location=note.location), HeadKind.NODE)
    return ((note, HeadKind.FINGERED),)


def find_contested(chords: Sequence[tuple[Head, ...]]) -> frozenset[int]:
    """The places at which `chords` that start together have two alterations: augmented unisons."""
    if sum([len(chord) for chord in chords]) < 2:
        return _NONE
    alters: dict[int, int] = {}
    found = set()
    for chord in chords:
        for _, note, *_ in chord:
            place = note.pitch.diatonic
            if alters.setdefault(place, note.pitch.alter) != note.pitch.alter:
                found.add(place)
    return frozenset(found)


def decide_slash(denominator: int) -> str:
    """The symbol of a rhythm slash by value (1 whole, 2 half, ...)."""
    return _SLASH_HEADS.get(denominator, "noteheadSlashHorizontalEnds")


def decide_head(head: Head, denominator: int) -> str:
    """The symbol of a head by value (1 whole, 2 half, ...): crosses, diamonds and slashes for what they mean (common practice, no source)."""
    note = head.note
    if not note.techniques and head.kind is HeadKind.FINGERED:
        return _HEADS.get(denominator, "noteheadBlack")
    if note.is_slash:
        return decide_slash(denominator)
    if head.kind is HeadKind.NODE:
        return "noteheadDiamondHalf"
    if note.has(SignName.NATURAL_HARMONIC) and head.kind is HeadKind.FINGERED:
        return _DIAMOND_HEADS.get(denominator, "noteheadDiamondBlack")
    if note.has(SignName.DEAD):
        return _DEAD_HEADS.get(denominator, "noteheadXBlack")
    return _HEADS.get(denominator, "noteheadBlack")
