"""What a score says that is not heard: told to the user, not dropped in silence."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from engrave.playing.strummed import shape_at
from engrave.playing.tempos import source_measure
from engrave.score.sign_list import PARTS_OF_SLURS, SignName
from engrave.score.structure import Part, PartMeasure, Score

HAND_ONLY = frozenset(
    {
        *(
            SignName.PICK_DOWN,
            SignName.PICK_UP,
            SignName.PLUCK,
            SignName.FINGER,
            SignName.STRING_NUMBER,
            SignName.POSITION,
            SignName.BARRE,
            SignName.HALF_BARRE,
        ),
        *(SignName.SLUR, *PARTS_OF_SLURS),  # notes last until the next one anyway
        *(
            SignName.ACCIDENTAL_MARK,
            SignName.NON_ARPEGGIATE,
            SignName.OCTAVE_HIGHER,
            SignName.OCTAVE_LOWER,
            SignName.TWO_OCTAVES_HIGHER,
            SignName.TWO_OCTAVES_LOWER,
        ),
    }
)
"""Signs that say how a hand works or how a note is written: what sounds is the same without them."""
UNHEARD = frozenset({SignName.GOLPE})
"""Signs of sounds that no string makes."""
UNHEARD_IN_MIDI = UNHEARD | {SignName.FINGERNAILS, SignName.PINCH_HARMONIC}
"""Signs of tone: a MIDI file says how loud and how high a note is, not how it is plucked."""


class Unheard(NamedTuple):
    """What is not heard, of which part ("" for all), and the printed numbers of the measures it is in."""

    what: str
    part: str
    measures: tuple[str, ...]


def find_unheard(score: Score, first: int, stop: int, signs: frozenset[str]) -> list[Unheard]:
    """What is not heard in measures `first` to `stop` - 1 (indices), by part; `signs` are those that are not played."""
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for measure in score.measures[first:stop]:
        if measure.tempo is not None and measure.tempo.words and measure.tempo.per_minute is None:
            words = measure.tempo.words
            found[f'"{words}" changes no tempo without a number, such as {words}, 1/4 = 80', ""].append(
                str(measure.number)
            )
    for part in score.parts:
        for index in range(first, stop):
            content = part.measures[source_measure(part, index)]
            for what in sorted(set(_in_measure(part, content, signs))):
                found[what, part.name].append(str(score.measures[index].number))
    return [Unheard(what, part, tuple(numbers)) for (what, part), numbers in found.items()]


def _in_measure(part: Part, content: PartMeasure, signs: frozenset[str]) -> Iterator[str]:
    for voice in content.voices:
        for event in voice.events:
            graces = [graces for graces in (event.before, event.after) if graces is not None]
            for one in (event, *(grace for row in graces for grace in row.events)):
                yield from (f"{name} is not heard" for name in one.signs & signs)
            has_slash = any(note.is_slash for note in event.notes)
            if has_slash and shape_at(content.chords, event.onset, part.instrument) is None:
                yield "slashes are silent without a chord over them that can be held"
