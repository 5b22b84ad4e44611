"""Why a hand cannot play what sounds together, and the nearest thing that it can."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from engrave.fingering.grips import NoteChoice, find_grips, least_reach
from engrave.fingering.hand import Hand
from engrave.fingering.moments import Want
from engrave.fingering.neck import Neck, build_neck
from engrave.theory.instrument import TUNINGS, Instrument, parse_tuning
from engrave.theory.pitch import Pitch, parse_pitch

_OCTAVE = 12


class Reason(NamedTuple):
    """Why not, in words, and what can be done instead, nearest first."""

    what: str
    nearest: tuple[str, ...]


def explain(wants: Sequence[Want], instrument: Instrument, hand: Hand) -> Reason:
    """The reason why `wants` have no grip on `instrument`."""
    neck = build_neck(instrument, hand)
    missing = [want for want in wants if not want.places]
    if missing:
        return Reason(_out_of_range(missing[0], neck, instrument), _advice(wants, instrument, neck, hand))
    clash = _clash(wants)
    what = clash or _out_of_reach(wants, neck, hand)
    return Reason(what, _advice(wants, instrument, neck, hand))


def _out_of_range(want: Want, neck: Neck, instrument: Instrument) -> str:
    lowest, highest = min(neck.open_midi), max(neck.open_midi) + neck.frets
    name = want.pitch.name
    if want.midi < lowest:
        return f"{name} lies below the lowest string of the {instrument.name}"
    if want.midi > highest:
        return f"{name} lies above the last fret of the {instrument.name}"
    return f"{name} cannot be played within the frets allowed"


def _clash(wants: Sequence[Want]) -> str:
    """The notes that want more strings than there are; "" when each can have its own."""
    for size in range(2, len(wants) + 1):
        for group in combinations(wants, size):
            strings = {string for want in group for string, _ in want.places}
            if len(strings) < size:
                names = _names([want.pitch for want in group])
                if len(strings) == 1:
                    return f"{names} both lie on string {min(strings)} alone"
                return f"{names} lie on {len(strings)} strings together"
    return ""


def _out_of_reach(wants: Sequence[Want], neck: Neck, hand: Hand) -> str:
    low, high = least_reach([NoteChoice(want.places) for want in wants], neck)
    names = _names([want.pitch for want in wants])
    reach = neck.reach(low, high)
    if reach > hand.reach.hard:
        return (
            f"{names}: the reach from fret {low} to fret {high} is {reach:.0f} mm, "
            f"beyond the {hand.reach.hard:.0f} mm of the {hand.name} hand"
        )
    return f"{names} need more fingers than a hand has, or fingers too far apart for the {hand.name} hand"


def _names(pitches: Sequence[Pitch]) -> str:
    names = [pitch.name for pitch in pitches]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _advice(wants: Sequence[Want], instrument: Instrument, neck: Neck, hand: Hand) -> tuple[str, ...]:
    """The first way out of each kind that works."""
    kinds: tuple[Iterator[_WayOut], ...] = (
        _other_places(wants, neck),
        _octaves(wants, neck),
        _without_inner(wants, neck),
        _capos(wants, instrument, hand),
        _retuned(wants, instrument, hand),
    )
    found = (next((words for words, notes, on in ways if find_grips(notes, on, hand)), "") for ways in kinds)
    return tuple(words for words in found if words)


_WayOut = tuple[str, list[NoteChoice], Neck]


def _without_inner(wants: Sequence[Want], neck: Neck) -> Iterator[_WayOut]:
    ordered = sorted(wants, key=lambda want: want.midi)
    for inner in ordered[1:-1]:
        kept = [NoteChoice(want.places, want.finger) for want in wants if want is not inner]
        yield f"leave out {inner.pitch.name}, an inner note", kept, neck


def _other_places(wants: Sequence[Want], neck: Neck) -> Iterator[_WayOut]:
    freed = [NoteChoice(neck.places(want.midi)) for want in wants]
    if any(note.places != want.places for note, want in zip(freed, wants)):
        limited = any(not want.places for want in wants)
        words = "higher frets" if limited else "the same pitches on other strings (engrave place --anew)"
        yield words, freed, neck


def _octaves(wants: Sequence[Want], neck: Neck) -> Iterator[_WayOut]:
    """One note an octave or two away, those without a place first."""
    for index in sorted(range(len(wants)), key=lambda index: (bool(wants[index].places), index)):
        for steps in (1, -1, 2, -2):
            moved = [NoteChoice(want.places, want.finger) for want in wants]
            moved[index] = NoteChoice(neck.places(wants[index].midi + _OCTAVE * steps))
            way = f"{'an octave' if abs(steps) == 1 else 'two octaves'} {'higher' if steps > 0 else 'lower'}"
            yield f"{wants[index].pitch.name} {way}", moved, neck


def _capos(wants: Sequence[Want], instrument: Instrument, hand: Hand) -> Iterator[_WayOut]:
    """All of it at the same sounding pitch with a capo further up."""
    for capo in range(instrument.capo + 1, hand.advice.capo_most + 1):
        other = build_neck(instrument._replace(capo=capo), hand)
        notes = [NoteChoice(other.places(want.midi - (capo - instrument.capo))) for want in wants]
        yield f"a capo at fret {capo}", notes, other


def _retuned(wants: Sequence[Want], instrument: Instrument, hand: Hand) -> Iterator[_WayOut]:
    """One string lowered, or a tuning that has a name."""
    strings = instrument.tuning
    lowest = min(range(len(strings)), key=lambda index: strings[index].midi)
    for steps in range(1, hand.advice.retuned_most + 1):
        pitch = _lowered(strings[lowest], steps)
        tuning = tuple(pitch if index == lowest else string for index, string in enumerate(strings))
        other = build_neck(instrument._replace(tuning=tuning), hand)
        notes = [NoteChoice(other.places(want.midi)) for want in wants]
        yield f"string {lowest + 1} tuned down to {pitch.name}", notes, other
    for name, names in TUNINGS.items():
        tuning = parse_tuning(names)
        near = all(
            abs(new.midi - old.midi) <= hand.advice.turned_most
            for new, old in zip(tuning, instrument.usual_tuning)
        )
        if len(names) == len(strings) and near:
            other = build_neck(instrument._replace(tuning=tuning), hand)
            yield f"the tuning {name}", [NoteChoice(other.places(want.midi)) for want in wants], other


def _lowered(pitch: Pitch, steps: int) -> Pitch:
    """A pitch some semitones lower, spelled with a flat where needed."""
    names = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
    midi = pitch.midi - steps
    return parse_pitch(f"{names[midi % _OCTAVE]}{midi // _OCTAVE - 1}")
