"""Chord shapes: those at the head of a score, and the one of each chord name as it is met."""

from __future__ import annotations

from collections.abc import Iterable

from engrave.problems import Location, ProblemLog
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
    for name, value, location in content.entries() if isinstance(content, SourceMap) else ():
        if name == OTHERS:
            continue
        try:
            chord = parse_chord_name(name)
        except ValueError as error:
            log.error(content.key_location(name), str(error))
            continue
        frets, fingers = value, ""
        if isinstance(value, SourceMap):
            frets, fingers = value.get("frets", ""), str(value.get("fingers", ""))
        if isinstance(frets, int):
            log.error(
                location,
                f"the shape of {name} is read as the number {frets}",
                hint="write spaces between the frets: 3 2 0 0 0 3",
            )
            continue
        try:
            shape = parse_chord_shape(str(frets), fingers, instrument.strings)
        except ValueError as error:
            log.error(location, f"the shape of {name}: {error}")
            continue
        _compare(chord, name, shape, instrument, location, log)
        shapes.append(NamedShape(chord, shape, location))
    return tuple(shapes)


def _compare(
    chord: ChordName,
    name: str,
    shape: ChordShape,
    instrument: Instrument,
    location: Location,
    log: ProblemLog,
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
            location,
            f"this shape of {name} sounds {names}",
            hint="the chord has no such tone; check frets and tuning",
        )


AUTO = "auto"
"""What `shapes` says, or `others` in it, where shapes are to be found."""
OTHERS = "others"


class HeldShapes:
    """Shapes by chord name for one part; the same name has the same shape through the whole piece."""

    def __init__(self, own: Iterable[NamedShape] = (), finds_for: Instrument | None = None) -> None:
        """`own` shapes outrank all others. `finds_for`: the instrument for which others are found, None for none."""
        self._shapes: dict[ChordName, ChordShape | None] = {named.name: named.shape for named in own}
        self._finds_for = finds_for
        self.found: list[NamedShape] = []

    def get(self, name: ChordName, location: Location, where: str, log: ProblemLog) -> ChordShape | None:
        """The shape of a chord that stands at `location`; one that cannot be held goes to `log` once, as a warning."""
        if name not in self._shapes:
            self._shapes[name] = self._find(name, location, where, log)
        return self._shapes[name]

    def _find(self, name: ChordName, location: Location, where: str, log: ProblemLog) -> ChordShape | None:
        if self._finds_for is None or name.root is None:
            return None
        from engrave.fingering.shapes import find_best_shape

        shape = find_best_shape(name, self._finds_for)
        if shape is None:
            hint = f"write one of your own under shapes: {{{name.text}: ...}}"
            log.warning(location, f"no shape of {name.text} can be held on this instrument", where, hint)
        else:
            self.found.append(NamedShape(name, shape, location))
        return shape


def wants_shapes(content: Value, log: ProblemLog) -> bool:
    """True when shapes are to be found for chords that have none: `shapes: auto`, or `others: auto` among them."""
    if not isinstance(content, SourceMap):
        return bool(content == AUTO)
    if OTHERS not in content:
        return False
    if content[OTHERS] != AUTO:
        hint = f"write others: {AUTO}, or leave it out"
        log.error(content.value_location(OTHERS), f'"{OTHERS}" can only be {AUTO}', hint=hint)
    return True
