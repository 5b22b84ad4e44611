"""Neck diagrams of music that moves: to another key with their root and position, to other strings worked out anew."""

from __future__ import annotations

import re
from collections.abc import Sequence

from engrave.score.neck_over import NeckOver
from engrave.score.structure import Part
from engrave.theory.instrument import Instrument
from engrave.theory.neck_diagram import build_neck
from engrave.theory.neck_words import parse_neck
from engrave.theory.transposition import Interval, transpose_root

_OCTAVE = 12
_ROOT = re.compile(r"[A-Ga-g][#b♯♭]?")
_BASS = re.compile(r"(?<=/)[A-G][#b♯♭]?")
_POSITION = re.compile(r"\bposition +(\d+)|\bopen +position", re.IGNORECASE)
_FRETS = re.compile(r"\b(frets?) +(\d+)(?:( *(?:to|-|–) *)(\d+))?", re.IGNORECASE)
_FIRST_POSITION = 1


def move_necks(
    before: Part, part: Part, ways: Sequence[Interval], numbers: Sequence[int], remarks: list[str]
) -> Part:
    """`part`, which is `before` moved, with its necks; those that no longer can be are left out and told in `remarks`.

    `numbers` are the printed numbers of the measures. Dots by hand stay where they are.
    """
    if not any(content.neck is not None for content in part.measures):
        return part
    measures = []
    for content, way, number in zip(part.measures, ways, numbers, strict=True):
        if content.neck is not None and (way.semitones % _OCTAVE or before.instrument != part.instrument):
            where = f"{part.name}, measure {number}"
            content = content._replace(neck=_move(content.neck, part.instrument, way, where, remarks))
        measures.append(content)
    return part._replace(measures=tuple(measures))


def _move(
    neck: NeckOver, instrument: Instrument, way: Interval, where: str, remarks: list[str]
) -> NeckOver | None:
    request = neck.request
    if way.semitones % _OCTAVE:
        if not request.show:
            remarks.append(f"{where}: the dots of the neck diagram by hand stay where they are")
        else:
            request = request._replace(show=transpose_words(request.show, way, instrument.frets))
    try:
        return neck._replace(request=request, diagram=build_neck(request, instrument))
    except ValueError as error:
        remarks.append(f"{where}: the neck diagram is left out, for {error}")
        return None


def transpose_words(text: str, way: Interval, frets: int) -> str:
    """The words of a neck with its root moved, and its position and frets along the neck, an octave back where it ends."""
    tones, *where = text.split(",")
    root = parse_neck(text).tones.root
    tones = _BASS.sub(lambda found: transpose_root(_letter(found.group(0)), way), tones)
    tones = _ROOT.sub(transpose_root((root.step, root.alter), way), tones, count=1)
    return ",".join([tones, *(_shift(piece, way.semitones, frets) for piece in where)])


def _letter(text: str) -> tuple[int, int]:
    """The (step, alter) of a typed note."""
    root = parse_neck(f"{text} major").tones.root
    return root.step, root.alter


def _shift(piece: str, semitones: int, frets: int) -> str:
    """A position or a range of frets `semitones` higher, by an octave lower or higher where the neck has it only there."""
    position = _POSITION.search(piece)
    if position is not None:
        first = int(position.group(1) or _FIRST_POSITION)
        moved = _on_neck(first, first, semitones, frets)
        return f"{piece[: position.start()]}position {first + moved}{piece[position.end() :]}"
    found = _FRETS.search(piece)
    if found is None:
        return piece
    low, high = int(found.group(2)), int(found.group(4) or found.group(2))
    if min(low, high) == 0:
        return piece  # from the open strings: the neck as such
    moved = _on_neck(min(low, high), max(low, high), semitones, frets)
    ends = f"{low + moved}{found.group(3)}{high + moved}" if found.group(4) else f"{low + moved}"
    return f"{piece[: found.start()]}{found.group(1)} {ends}{piece[found.end() :]}"


def _on_neck(low: int, high: int, semitones: int, frets: int) -> int:
    """How far the frets `low` to `high` move: by `semitones`, or an octave less or more so that they stay on the neck."""
    way = semitones % _OCTAVE - (_OCTAVE if semitones < 0 and semitones % _OCTAVE else 0)
    if low + way < 1:
        way += _OCTAVE
    return way - _OCTAVE if high + way > frets and low + way - _OCTAVE >= 1 else way
