"""The rhythm of one voice in one measure: beams and tuplets, worked out once for every staff and view."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from engrave.score.structure import Event, Measure, Voice
from engrave.theory.duration import TupletRatio
from engrave.theory.metre import Metre, decide_beam_groups, decide_secondary_breaks


class BeamGroup(NamedTuple):
    """Events (by index in their voice) under one beam, and where the secondary beams are broken.

    `breaks` holds indices into `members`: only the primary beam goes on between i-1 and i.
    """

    members: tuple[int, ...]
    breaks: frozenset[int]


class TupletGroup(NamedTuple):
    """Events (by index in their voice) of one tuplet; `level` 0 is the outermost."""

    members: tuple[int, ...]
    ratio: TupletRatio
    level: int


class VoiceRhythm(NamedTuple):
    """Beams and tuplets of one voice in one measure. `beam_of[i]` is the beam group of event i, or -1.

    Voices of one `number` have the same values, rests and tuplets, in the same place of the same metre.
    """

    beams: tuple[BeamGroup, ...]
    beam_of: tuple[int, ...]
    tuplets: tuple[TupletGroup, ...]
    number: int


_Signature = tuple[object, ...]


class RhythmReader:
    """Works out the rhythm of voices; measures of the same rhythm are worked out once."""

    def __init__(self) -> None:
        self._known: dict[_Signature, VoiceRhythm] = {}

    def read(self, voice: Voice, measure: Measure) -> VoiceRhythm:
        """Beams and tuplets of `voice` in `measure`."""
        events = voice.events
        signature: _Signature = (
            measure.metre,
            measure.metre_offset,
            tuple(
                [(e.value.denominator, e.value.dots, not e.notes, e.whole_measure, e.tuplets) for e in events]
            ),
        )
        known = self._known.get(signature)
        if known is None:
            number = len(self._known)
            known = _decide_rhythm(events, measure.metre, measure.metre_offset, number)
            self._known[signature] = known
        return known


def _decide_rhythm(events: tuple[Event, ...], metre: Metre, offset: Fraction, number: int) -> VoiceRhythm:
    plain = [
        (
            event.onset + offset,
            event.length,
            event.value.flags,
            event.is_rest,
            tuple(tuplet.id for tuplet in event.tuplets),
        )
        for event in events
    ]
    beams: list[BeamGroup] = []
    beam_of = [-1] * len(events)
    for members in decide_beam_groups(metre, plain):
        onsets = [plain[i][0] for i in members]
        flags = [plain[i][2] for i in members]
        for member in members:
            beam_of[member] = len(beams)
        paths = [plain[i][4] for i in members]
        beams.append(BeamGroup(tuple(members), decide_secondary_breaks(metre, onsets, flags, paths)))
    return VoiceRhythm(tuple(beams), tuple(beam_of), _find_tuplets(events), number)


def _find_tuplets(events: tuple[Event, ...]) -> tuple[TupletGroup, ...]:
    members: dict[tuple[int, int], list[int]] = {}
    ratios: dict[tuple[int, int], TupletRatio] = {}
    for index, event in enumerate(events):
        for level, tuplet in enumerate(event.tuplets):
            members.setdefault((level, tuplet.id), []).append(index)
            ratios[level, tuplet.id] = tuplet.ratio
    return tuple(TupletGroup(tuple(m), ratios[key], key[0]) for key, m in members.items())
