"""The chord shapes at the head of a score."""

from __future__ import annotations

from engrave.diagnostics.problem import Place, ProblemLog
from engrave.reading.held_shapes import OTHERS
from engrave.score.structure import NamedShape
from engrave.source.tree import SourceMap, Value
from engrave.theory.chord_name import ChordName, parse_chord_name, pitch_classes, root_semitone
from engrave.theory.chord_shape import ChordShape, parse_chord_shape
from engrave.theory.instrument import Instrument
from engrave.theory.pitch import SEMITONES

_LETTERS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")


def read_shapes(content: Value, instrument: Instrument, log: ProblemLog) -> tuple[NamedShape, ...]:
    """The shapes by chord name, in the order of the text; each must have a fret for every string of `instrument`."""
    shapes: list[NamedShape] = []
    for name, value, place in content.entries() if isinstance(content, SourceMap) else ():
        if name == OTHERS:
            continue
        try:
            chord = parse_chord_name(name)
        except ValueError as error:
            log.error(content.key_place(name), str(error))
            continue
        frets, fingers = value, ""
        if isinstance(value, SourceMap):
            frets, fingers = value.get("frets", ""), str(value.get("fingers", ""))
        if isinstance(frets, int):
            log.error(
                place,
                f"the shape of {name} is read as the number {frets}",
                hint="write spaces between the frets: 3 2 0 0 0 3",
            )
            continue
        try:
            shape = parse_chord_shape(str(frets), fingers, instrument.strings)
        except ValueError as error:
            log.error(place, f"the shape of {name}: {error}")
            continue
        _compare(chord, name, shape, instrument, place, log)
        shapes.append(NamedShape(chord, shape, place))
    return tuple(shapes)


def _compare(
    chord: ChordName, name: str, shape: ChordShape, instrument: Instrument, place: Place, log: ProblemLog
) -> None:
    """Warn where a shape sounds a tone that its chord does not have."""
    if chord.root is None:
        return
    tones = {(root_semitone(chord) + tone) % 12 for tone in pitch_classes(chord)}
    if chord.bass is not None:
        tones.add((SEMITONES[chord.bass[0]] + chord.bass[1]) % 12)
    sounding = {note % 12 for note in shape.pitches([pitch.midi for pitch in reversed(instrument.tuning)])}
    foreign = sorted(sounding - tones)
    if foreign:
        names = " and ".join(_LETTERS[tone] for tone in foreign)
        log.warning(
            place,
            f"this shape of {name} sounds {names}",
            hint="the chord has no such tone; check frets and tuning",
        )
