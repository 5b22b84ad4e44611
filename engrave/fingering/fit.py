"""Which octave, key and capo suit an instrument best: music from elsewhere seldom lies where its strings do.

A way of putting music on an instrument costs what `fit` in a hand's file says, in frets: how far its notes lie beyond the
usual ones on the average, and what is changed. Notes that no string has are dear.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import NamedTuple

from engrave.fingering.first_guess import lowest_places, most_on_strings
from engrave.fingering.hand import FitCost
from engrave.score.structure import Note, Part
from engrave.theory.instrument import Instrument
from engrave.theory.key import Key
from engrave.theory.transposition import NO_INTERVAL, Interval, interval_of

_OCTAVE = 12
_OCTAVES = (0, -1, 1, -2, 2, -3, 3)
"""Octaves that are tried: further apart lie no two instruments (algorithm)."""
_MOST_CHORDS = 1000
"""Different chords of a part that every way is tried with (house rule: more than a sonata has)."""
_KEYS = range(-5, 7)
"""Semitones to every other key (fact of theory)."""


class Lie(NamedTuple):
    """How music lies on an instrument: notes that no string has, and how high the others lie.

    `crowded`: notes of chords for which no string is left. `highest` is the highest fret, where every note lies as low as it
    can, `beyond` the sum of the frets beyond the usual ones.
    """

    notes: int = 0
    below: int = 0
    above: int = 0
    crowded: int = 0
    highest: int = 0
    beyond: int = 0

    @property
    def lost(self) -> int:
        """Notes that cannot be had."""
        return self.below + self.above + self.crowded

    def __add__(self, other: object) -> Lie:
        """Both together."""
        if not isinstance(other, Lie):
            return NotImplemented
        highest = max(self.highest, other.highest)
        return Lie(*(one + two for one, two in zip(self, other)))._replace(highest=highest)


class Way(NamedTuple):
    """One way of putting parts on an instrument: by how many octaves the sound of each moves, the key and the capo.

    `interval` is less than an octave and the same for all parts; `cost` is in frets.
    """

    octaves: tuple[int, ...]
    interval: Interval
    capo: int
    lie: Lie
    cost: float

    @property
    def kind(self) -> tuple[bool, bool]:
        """What it changes beside the octave: the key, and where the capo is."""
        return bool(self.interval.semitones), bool(self.capo)


class Sounds(NamedTuple):
    """What a part plays: chords of sounding MIDI numbers, and how often each comes."""

    chords: Mapping[tuple[int, ...], int]
    octave: int
    """How many octaves above sound it is written."""
    is_free: bool
    """It is written as pitches alone, so that it may be read as well as heard: it may sound where it is written."""


def sounds_of(part: Part) -> Sounds:
    """What `part` plays; a note that a tie holds counts once."""
    chords: Counter[tuple[int, ...]] = Counter()
    for content in part.measures:
        for voice in content.voices:
            for event in voice.events:
                for one in (
                    event,
                    *(grace for row in (event.before, event.after) if row for grace in row.events),
                ):
                    chord = sounding_pitches(part, one.notes)
                    if chord:
                        chords[chord] += 1
    return Sounds(chords, part.instrument.octave, not part.is_fretted)


def sounding_pitches(part: Part, notes: Sequence[Note]) -> tuple[int, ...]:
    """The MIDI numbers that sound when `notes` of `part` are struck, lowest first."""
    raised = part.instrument.capo - _OCTAVE * part.instrument.octave
    return tuple(sorted(note.pitch.midi + raised for note in notes if not (note.is_slash or note.tie_from)))


class Fitter:
    """Finds ways of putting some parts, which share their key, on one instrument."""

    def __init__(
        self, parts: Sequence[Sounds], instrument: Instrument, interval: Interval, key: Key, cost: FitCost
    ) -> None:
        """`key` is that of the parts; their music moves by `interval` in any case, and the capo stands where `instrument` has it."""
        self._parts = parts
        self._instrument = instrument
        self._base = interval
        self._key = key
        self._cost = cost

    @cached_property
    def usual(self) -> Way:
        """Nothing is changed, but that parts written as pitches may sound where they are written."""
        return self._way(self._base, self._instrument.capo, only_home=True)

    def ways(self, only_octaves: bool = False) -> list[Way]:
        """The best way of each kind, the cheapest first; with `only_octaves` key and capo stay."""
        capo = self._instrument.capo
        tried = [(self._base, capo)]
        if not only_octaves:
            tried += [(self._base, other) for other in range(self._cost.capo_most + 1) if other != capo]
            if self._base == NO_INTERVAL:
                tried += [(interval_of(steps, self._key), capo) for steps in _KEYS if steps]
        sample = [part._replace(chords=_commonest(part.chords)) for part in self._parts]
        best: dict[tuple[bool, bool], Way] = {}
        for way in sorted((self._way(*one, parts=sample) for one in tried), key=lambda way: way.cost):
            best.setdefault(way.kind, way)
        exact = (self._way(way.interval, way.capo) for way in best.values())
        return sorted(exact, key=lambda way: way.cost)

    def _way(
        self, interval: Interval, capo: int, only_home: bool = False, parts: Sequence[Sounds] = ()
    ) -> Way:
        instrument = self._instrument._replace(capo=capo)
        octaves, lie, cost = [], Lie(), 0.0
        for part in parts or self._parts:
            choices = [self._part(part, instrument, interval, octave) for octave in _OCTAVES]
            home = [choice for choice in choices if choice[0] == 0 or (part.is_free and not choice[3])]
            moved, own, price, _ = min(home if only_home else choices, key=lambda choice: choice[2])
            octaves.append(moved)
            lie += own
            cost += price
        return Way(tuple(octaves), interval, capo, lie, cost + self._changes(interval, capo))

    def _part(
        self, part: Sounds, instrument: Instrument, interval: Interval, octaves: int
    ) -> tuple[int, Lie, float, int]:
        """A part so many octaves away: how it lies, what that costs, and its octaves away from sound and writing."""
        lie = _lie(part.chords, instrument, interval.semitones + _OCTAVE * octaves, self._cost.usual_fret)
        written = octaves + instrument.octave - part.octave
        away = min(abs(octaves), abs(written)) if part.is_free else abs(octaves)
        price = lie.beyond / max(1, lie.notes - lie.lost) + away * self._cost.octave
        if lie.lost:
            price += self._cost.lost + self._cost.lost_share * lie.lost / lie.notes
        return octaves, lie, price, away

    def _changes(self, interval: Interval, capo: int) -> float:
        """What key and capo cost, and open strings that the key which is fingered does not use."""
        cost = self._cost
        price = 0.0
        if interval != self._base:
            price += cost.key + cost.key_semitone * abs(interval.semitones)
        if capo != self._instrument.capo:
            price += cost.capo + cost.capo_fret * abs(capo - self._instrument.capo)
        fifths = self._key.fifths + interval.fifths
        shift = capo - self._instrument.capo
        scale = {(7 * (fifths - 7 * shift + step)) % _OCTAVE for step in range(-1, 6)}
        strings = [pitch.midi % _OCTAVE for pitch in self._instrument.tuning]
        return price + cost.foreign_strings * sum(name not in scale for name in strings) / len(strings)


def _commonest(chords: Mapping[tuple[int, ...], int]) -> Mapping[tuple[int, ...], int]:
    """As many chords as decide where music lies best: all of a song's, the commonest of a long piece."""
    if len(chords) <= _MOST_CHORDS:
        return chords
    return dict(sorted(chords.items(), key=lambda pair: -pair[1])[:_MOST_CHORDS])


def _lie(chords: Mapping[tuple[int, ...], int], instrument: Instrument, move: int, usual: int) -> Lie:
    pitches = {pitch + move for chord in chords for pitch in chord}
    places = {midi: sorted(instrument.places(midi), key=lambda place: place[1]) for midi in pitches}
    bottom = min(pitch.midi for pitch in instrument.tuning) + instrument.capo
    found = Lie()
    for chord, times in chords.items():
        moved = [pitch + move for pitch in chord]
        there = tuple(midi for midi in moved if places[midi])
        kept = most_on_strings(instrument, there) if len(there) > 1 else there
        frets = [fret for _, fret in lowest_places([places[midi] for midi in kept]) or ()]
        below = sum(midi < bottom for midi in moved)
        found += Lie(
            notes=len(chord) * times,
            below=below * times,
            above=(len(chord) - len(there) - below) * times,
            crowded=(len(there) - len(kept)) * times,
            highest=max(frets, default=0),
            beyond=sum(max(0, fret + instrument.capo - usual) for fret in frets) * times,
        )
    return found
