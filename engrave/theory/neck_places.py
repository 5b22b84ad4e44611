"""Where the tones of a scale or chord lie on a neck: in a position, along the strings, in a range of frets, as one triad.

A place is (string, fret): string 1 is the thinnest, frets count as the tab counts them, 0 is the open string. The fret of a
short string (the banjo's fifth) counts from its own peg; its row says where it lies on the neck. Names are those of the
hand's shape, so a capo changes nothing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from engrave.theory.instrument import Instrument
from engrave.theory.scales import ToneSet

Place = tuple[int, int]
_FRETS_OF_A_HAND = 4
"""A finger to a fret (common practice, no source)."""
_FINGERS = {1: ("1",), 2: ("1", "3"), 3: ("1", "2", "4"), 4: ("1", "2", "3", "4")}


def row_of(instrument: Instrument, place: Place) -> int:
    """The fret of the neck at which a place lies; 0 for an open string."""
    string, fret = place
    return fret + _short(instrument, string)


def _short(instrument: Instrument, string: int) -> int:
    return instrument.first_frets[string - 1] if instrument.first_frets else 0


def fret_at(instrument: Instrument, string: int, row: int) -> int:
    """The number by which a tab calls the fret of the neck `row` on `string`; negative where a short string has none."""
    return row - _short(instrument, string)


def midi_of(instrument: Instrument, place: Place) -> int:
    """The MIDI number of a place as fingered, without the capo."""
    string, fret = place
    return instrument.open_midi(string) + fret


def places_between(
    tones: ToneSet, instrument: Instrument, strings: Sequence[int], low: int, high: int
) -> list[Place]:
    """Every place of the tones on `strings` at the frets `low` to `high` of the neck, string by string."""
    wanted = set(tones.by_pitch_class)
    found = []
    for string in strings:
        for row in range(low, min(high, instrument.frets) + 1):
            fret = fret_at(instrument, string, row)
            if fret >= 0 and midi_of(instrument, (string, fret)) % 12 in wanted:
                found.append((string, fret))
    return found


def frets_of_position(instrument: Instrument) -> int:
    """How many frets a position has: four, a finger to each; on instruments tuned in fifths six.

    So many that the step between most neighbouring strings leaves no tone out but one: on a mandolin a finger has two
    frets (common practice, no source).
    """
    steps = [abs(thicker.midi - thinner.midi) for thinner, thicker in pairwise(instrument.tuning)]
    (usual, _), *_ = Counter(steps).most_common(1)
    return max(_FRETS_OF_A_HAND, min(usual - 1, 6))


def places_in_position(
    tones: ToneSet, instrument: Instrument, strings: Sequence[int], position: int
) -> list[Place]:
    """The places of the tones in a position, which is named by the fret of the first finger.

    The rule: a position has four frets, a finger to each; position 1 has the open strings too. Each pitch has one place:
    of two that could take it, the thinner string does. A pitch that the four frets leave out between two others is reached
    by a stretch: of the first finger, a fret lower on the thinner string, or of the fourth, a fret higher on the thicker
    one. All stretches of a position go the same way: beyond the outer fret that has more tones of the scale, downwards
    where both have as many. So the five boxes of the pentatonic scale and the five forms of the major scale come out as
    method books print them (see tests/theory/test_neck_places.py).
    """
    last = position + frets_of_position(instrument) - 1
    first = 0 if position == 1 else position
    core = _one_place_a_pitch(instrument, places_between(tones, instrument, strings, first, last))
    if not core:
        return []
    reached = {midi_of(instrument, place) for place in core}
    missing = set(_pitches_between(tones, min(reached), max(reached))) - reached
    if missing:
        core += _stretches(
            tones, instrument, strings, core, missing=missing, rows=(position - 1, position, last)
        )
    return sorted(core, key=lambda place: (-place[0], place[1]))


def _stretches(
    tones: ToneSet,
    instrument: Instrument,
    strings: Sequence[int],
    core: Sequence[Place],
    *,
    missing: set[int],
    rows: tuple[int, int, int],
) -> list[Place]:
    """What the first or the fourth finger reaches beyond the frets of a position."""
    below, first, last = rows
    count = Counter(row_of(instrument, place) for place in core)
    upwards = below < 1 or count[last] > count[first]
    thickest, thinnest = max(strings), min(strings)
    sides = (
        [(last + 1, thinnest), (below, thickest)] if upwards else [(below, thickest), (last + 1, thinnest)]
    )
    found: list[Place] = []
    for number, (row, outer) in enumerate(sides):
        if row < 1:
            continue
        reach = places_between(tones, instrument, strings, row, row)
        is_free = number == 0  # the outer string of the side that is stretched to goes on by itself
        reached = {midi_of(instrument, place) for place in (*core, *found)}
        for place in reach:
            pitch = midi_of(instrument, place)
            if pitch not in reached and (pitch in missing or (is_free and place[0] == outer)):
                found.append(place)
    return found


def _pitches_between(tones: ToneSet, low: int, high: int) -> Iterator[int]:
    wanted = tones.by_pitch_class
    return (midi for midi in range(low, high + 1) if midi % 12 in wanted)


def _one_place_a_pitch(instrument: Instrument, places: Sequence[Place]) -> list[Place]:
    """Each pitch where the thinnest string has it."""
    found: dict[int, Place] = {}
    for place in sorted(places):
        found.setdefault(midi_of(instrument, place), place)
    return list(found.values())


def places_along_strings(
    tones: ToneSet, instrument: Instrument, strings: Sequence[int], each: int, position: int
) -> list[Place]:
    """`each` tones in a row on every string from the thickest, the first at `position` or the next fret with a tone.

    Position 0: from the lowest root of the thickest string that has a finger. Raises ValueError where the neck ends too soon.
    """
    thickest = max(strings)
    start = position
    if not position:
        roots = places_between(tones, instrument, [thickest], 1, instrument.frets)
        root = tones.root.pitch_class
        start = next(fret for place in roots if midi_of(instrument, place) % 12 == root for fret in place[1:])
    lowest = [fret for _, fret in places_between(tones, instrument, [thickest], start, instrument.frets)]
    if not lowest:
        raise ValueError(f"string {thickest} has no note of it from fret {start} up; write a lower position")
    pitch = midi_of(instrument, (thickest, lowest[0]))
    pitches = _pitches_between(tones, pitch, pitch + 12 * len(strings) * each)
    found = []
    for string in sorted(strings, reverse=True):
        for _ in range(each):
            place = string, next(pitches) - instrument.open_midi(string)
            if not 0 <= place[1] <= fret_at(instrument, string, instrument.frets):
                raise ValueError(
                    f"with {each} notes on each string, string {string} would need fret {place[1]}, "
                    f"and the neck has {instrument.frets}; write another position or fewer strings"
                )
            found.append(place)
    return found


def places_of_triad(
    tones: ToneSet, instrument: Instrument, strings: Sequence[int], inversion: int, position: int
) -> list[Place]:
    """A triad in close position on three strings, the lowest from the fret `position` up that the neck has.

    `inversion` 0 has the root lowest, 1 the third, 2 the fifth. Raises ValueError where there is no such shape.
    """
    count = len(tones.tones)
    if len(strings) != count:
        raise ValueError(f"a triad in one shape takes {count} strings; write for example strings 3 to 1")
    order = [tones.tones[(inversion + index) % count].pitch_class for index in range(count)]
    downwards = sorted(strings, reverse=True)
    lowest = instrument.open_midi(downwards[0]) + position
    for pitch in range(lowest, instrument.open_midi(downwards[0]) + instrument.frets + 1):
        if pitch % 12 != order[0]:
            continue
        pitches = [pitch]
        for wanted in order[1:]:
            pitches.append(pitches[-1] + (wanted - pitches[-1]) % 12)
        places = [
            (string, sound - instrument.open_midi(string))
            for string, sound in zip(downwards, pitches, strict=True)
        ]
        if all(position <= fret <= fret_at(instrument, string, instrument.frets) for string, fret in places):
            return places
    raise ValueError("this shape has no place on these strings; write other strings or a lower position")


def fingers_in_position(instrument: Instrument, places: Sequence[Place], position: int) -> dict[Place, str]:
    """The finger of each place: one to a fret (to two frets on instruments tuned in fifths), 0 for open strings."""
    share = frets_of_position(instrument) // _FRETS_OF_A_HAND or 1
    if frets_of_position(instrument) > _FRETS_OF_A_HAND:
        share = 2
    found = {}
    for place in places:
        finger = (row_of(instrument, place) - position) // share + 1
        found[place] = "0" if place[1] == 0 else str(max(1, min(_FRETS_OF_A_HAND, finger)))
    return found


def fingers_along_strings(places: Sequence[Place]) -> dict[Place, str]:
    """The fingers of up to four notes in a row on a string; of three, the middle one is nearer the note that is nearer."""
    found: dict[Place, str] = {}
    for string in dict.fromkeys(string for string, _ in places):
        own = sorted(fret for other, fret in places if other == string)
        fingers = list(_FINGERS.get(len(own), ()))
        if len(own) == 2:
            fingers[1] = str(min(4, own[1] - own[0] + 1))
        elif len(own) == 3 and own[1] - own[0] > own[2] - own[1]:
            fingers[1] = "3"
        found.update(((string, fret), finger) for fret, finger in zip(own, fingers, strict=False))
    return found
