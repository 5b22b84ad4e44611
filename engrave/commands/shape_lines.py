"""Chord shapes and chord names as lines to read, and as a mapping for a score."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from engrave.fingering.shapes import RankedShape
from engrave.theory.chord_name import ChordName, chord_letters
from engrave.theory.chord_naming import FoundName
from engrave.theory.chord_shape import ChordShape
from engrave.theory.instrument import Instrument
from engrave.theory.numbering import roman
from engrave.theory.pitch import STEPS
from engrave.writing.dump import flow, key_text
from engrave.writing.rewrite_head import shape_tree

_LETTERS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
"""For tones that no chord spells (house rule)."""
_SIGNS = {0: "", 1: "#", -1: "b", 2: "##", -2: "bb"}


class Chord(NamedTuple):
    """A chord name and its shapes, the best first."""

    name: ChordName
    shapes: list[RankedShape]


def describe_instrument(instrument: Instrument) -> str:
    """What is played, in words like: Guitar, Tuning: D A D G A D, Capo II."""
    name = instrument.name.replace("-", " ")
    parts = [name[:1].upper() + name[1:]]
    if instrument.names_its_strings:
        parts.append("Tuning: " + " ".join(reversed(instrument.string_names)))
    if instrument.capo:
        parts.append(f"Capo {roman(instrument.capo)}")
    return "  ·  ".join(parts)


def shape_lines(found: Sequence[Chord], instrument: Instrument, caution: str) -> Iterator[str]:
    """Each chord with a line a shape: frets, fingers, tones, reach, and what is unusual about it."""
    yield describe_instrument(instrument)
    if instrument.capo:
        yield f"names and frets as fingered: the capo raises what sounds by {instrument.capo} semitones"
    tuning = _tuning(instrument)
    for chord in found:
        if not chord.shapes:
            continue
        yield ""
        yield chord.name.text
        rows = [_columns(chord.name, ranked, tuning) for ranked in chord.shapes]
        widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
        for row in rows:
            yield "   ".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()
    if caution:
        yield ""
        yield f"Caution: {caution}."


def _columns(name: ChordName, ranked: RankedShape, tuning: Sequence[int]) -> tuple[str, ...]:
    shape = ranked.shape
    return (
        "  " + shape.frets_text,
        "fingers " + _fingers(shape),
        _tones(name, shape, tuning),
        f"reach {ranked.reach:.0f} mm" if ranked.reach else "",
        ", ".join(_remarks(name, ranked, tuning)),
    )


def _remarks(name: ChordName, ranked: RankedShape, tuning: Sequence[int]) -> Iterator[str]:
    for barre in ranked.shape.barres:
        yield f"barre at fret {barre.fret}"
    if ranked.left_out:
        yield "without " + " and ".join(_letter(name, tone) for tone in sorted(ranked.left_out))
    if ranked.is_inverted:
        yield f"{_letter(name, ranked.shape.pitches(tuning)[0] % 12)} is lowest"


def shape_mapping(found: Sequence[Chord], instrument: Instrument, caution: str) -> Iterator[str]:
    """`shapes:` for the head of a score: the best shape of each chord, the others as comments under it."""
    yield f"# {describe_instrument(instrument)}"
    if caution:
        yield f"# Caution: {caution}."
    yield "shapes:"
    for chord in found:
        for number, ranked in enumerate(chord.shapes):
            held = flow(shape_tree(ranked.shape))
            yield f"  {'# ' if number else ''}{key_text(chord.name.text)}: {held}"


def shape_names(shape: ChordShape, tuning: Sequence[int], found: Sequence[FoundName]) -> Iterator[str]:
    """A shape and its names, the likeliest first."""
    first = found[0].name if found else None
    yield f"{shape.frets_text}   {_tones(first, shape, tuning)}"
    for item in found:
        missing = " and ".join(_letter(item.name, tone) for tone in sorted(item.missing))
        yield f"  {item.name.text}" + (f"   without {missing}" if missing else "")
    if not found:
        yield "  no chord name known here has these tones"


def _fingers(shape: ChordShape) -> str:
    return " ".join(finger or "-" for finger in shape.fingers)


def _tones(name: ChordName | None, shape: ChordShape, tuning: Sequence[int]) -> str:
    """What sounds, string by string from the thickest."""
    sounding = [note + fret for note, fret in zip(tuning, shape.frets, strict=True) if fret is not None]
    return " ".join(_letter(name, note % 12) for note in sounding)


def _letter(name: ChordName | None, tone: int) -> str:
    spelled = chord_letters(name).get(tone) if name is not None else None
    return _LETTERS[tone] if spelled is None else STEPS[spelled[0]] + _SIGNS[spelled[1]]


def _tuning(instrument: Instrument) -> list[int]:
    return [pitch.midi for pitch in reversed(instrument.tuning)]
