"""Where pitches stand until fingers are thought of: this decides nothing (house rule)."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.fingering.first_guess import guess_places, written_places
from engrave.reading import pitches as reading
from engrave.theory.instrument import PRESETS
from engrave.theory.pitch import parse_pitch
from tests.fingering.scores import notes_of, read

GUITAR = PRESETS["guitar"]


def highest_places(instrument, pitches, taken):
    """A different string for each pitch, as far up the neck as can be."""
    ways = [
        way
        for way in product(*(written_places(instrument, pitch) for pitch in pitches))
        if len({string for string, _ in way} - taken) == len(pitches)
    ]
    return list(max(ways, key=lambda way: sum(fret for _, fret in way))) if ways else None


@pytest.mark.parametrize(
    "notes",
    [
        "[1/8: [C4, D4, E4, F4, G4, A4, B4, C5]]",
        "[1/2: [C5, tie]]",
        "[1/8: [G4, A4, C5, E5], 1/4: [D4, G4+B4]]",
        "[1/2: [C4+E4+G4, G3+B3+D4]]",
        "[1/4: [{3: 9}, E4, {1: 0}, G4]]",
    ],
)
def test_the_guess_does_not_decide_where_a_note_is_played(notes, monkeypatch):
    usual = notes_of(read(f"  - notes: {notes}").parts[0])
    monkeypatch.setattr(reading, "guess_places", highest_places)
    assert notes_of(read(f"  - notes: {notes}").parts[0]) == usual


@given(st.lists(st.integers(52, 76), min_size=1, max_size=6, unique=True), st.sets(st.integers(1, 6)))
def test_every_guess_sounds_as_written_on_free_strings(numbers, taken):
    wanted = [pitch for pitch in map(by_number, numbers) if pitch is not None]
    found = guess_places(GUITAR, wanted, frozenset(taken))
    if found is None:
        return
    strings = [string for string, _ in found]
    assert len(set(strings)) == len(strings)
    assert taken.isdisjoint(strings)
    assert [GUITAR.written_midi(*place) for place in found] == [pitch.midi for pitch in wanted]


def test_more_notes_than_strings_have_no_places():
    assert guess_places(GUITAR, [parse_pitch("E4")], frozenset(range(1, 7))) is None


def by_number(number):
    """The natural or sharp of a MIDI number."""
    names = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
    return parse_pitch(f"{names[number % 12]}{number // 12 - 1}")


def test_a_short_string_ends_with_its_neck():
    """The short string of a banjo starts at the fifth fret and has so many frets less (its making)."""
    banjo = PRESETS["banjo"]
    short = len(banjo.tuning)
    assert banjo.first_frets[short - 1]
    top = banjo.usable_frets - banjo.first_frets[short - 1]
    for fret, is_there in ((top, True), (top + 1, False)):
        number = banjo.written_midi(short, fret)
        assert ((short, fret) in written_places(banjo, by_number(number))) is is_there
