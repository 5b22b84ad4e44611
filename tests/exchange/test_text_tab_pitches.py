"""Typed tab of what strings do not tell: parts without strings, written in pitches, and the spelling of single notes.

How the lines look: the project's own; see the guide.
"""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writer import write_text_tab
from engrave.theory.instrument import PRESETS
from engrave.theory.pitch import parse_pitch
from tests.exchange.test_round_trips import loaded
from tests.exchange.test_text_tab_rows import came_back, same
from tests.guide_texts import blocks
from tests.reading.helpers import read

VOICES = [name for name, preset in PRESETS.items() if not preset.tuning]
QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large]


def lines(written, name):
    """The lines of a text that begin with `name`."""
    return [line for line in written.split("\n") if line.strip().startswith(name)]


# --- Parts without strings.


@pytest.mark.parametrize("preset", VOICES)
def test_a_voice_is_written_in_pitches(preset):
    written = same("  - notes: [1/4: [A3, C#4, Eb4, rest]]\n", f"instrument: {preset}\n")
    assert lines(written, "pitches|") == ["pitches|-A3-C#4-Eb4---||"]


def test_a_voice_beside_a_guitar_keeps_its_words_and_chords():
    same(
        "  - {pickup: true, parts: {voice: {notes: [1/4: D4], lyrics: The}}}\n"
        "  - parts:\n      voice: {chord: {1: G, 3: C}, notes: [1/2: G4, 1/4: [tie, B4]], lyrics: wa-ter, dynamics: {3: p}}\n"
        "      guitar: {notes: [1/1: {1: 3, 6: 3}]}\n",
        "parts: [{id: voice, name: Voice, instrument: voice}, {id: guitar, name: Guitar}]\n",
    )


def test_pitches_sung_at_once_stand_with_plus_signs_between_them():
    written = same("  - notes: [1/2: [C4+E4+G4, tie]]\n", "instrument: voice\n")
    assert lines(written, "pitches|") == ["pitches|-C4+E4+G4----||"]


def test_two_voices_have_a_line_each():
    music = (
        "  - {notes: [1/4: [E5, D5], 1/2: C5], lower: [1/2: C4, 1/4: [C4, {pitch: B3, marks: [fermata]}]]}\n"
    )
    written = same(music + "  - notes: [1/1: C5]\n", "instrument: voice\n")
    assert len(lines(written, "pitches|")) == 2


def test_signs_of_whole_events_grace_notes_tuplets_and_slashes_of_a_voice_come_back():
    same(
        "  - notes: [grace 1/8: B4, 1/4: {pitch: C5, marks: [accent, staccato]}, 3 in 2 of 1/8: [C5, D5, E5],"
        " 1/4: {marks: [fermata]}, 1/4: slash accent]\n"
        "  - {repeat: start and end, times: 3, notes: [1/2.: G4, closing-grace 1/16: [A4, B4], 1/4: rest]}\n  - measure-repeat: 1\n",
        "instrument: voice\n",
    )


@pytest.mark.parametrize("pitch", ["C-1", "Cb0", "F##4", "Bbb7", "G9"])
def test_the_lowest_and_the_highest_pitches_and_double_accidentals_come_back(pitch):
    same(f"  - notes: [1/1: {pitch}]\n", "instrument: {preset: voice, name: Pipes, clef: bass}\n")


def test_a_line_of_pitches_needs_no_line_about_its_part():
    found = read_text_tab(b"         q  q  h\npitches|-c4-E4-G4-x--|\n")
    score = loaded(found.tree)
    assert [note.what for note in found.notes] == ['"x" is not a pitch; write C4 or C4+E4']
    assert score.parts[0].instrument == PRESETS["voice"]
    assert [event.notes[0].pitch.name for event in score.parts[0].measures[0].voices[0].events] == [
        "C4",
        "E4",
        "G4",
    ]


def test_what_is_held_in_a_voice_takes_no_mark():
    found = read_text_tab(b"  marks             accent\nr        h         _h\npitches|-C4-----------|\n")
    assert [note.kind for note in found.notes] == ["dropped"]
    loaded(found.tree)


# --- The spelling of single notes.


def spelled(written):
    return [entry for line in lines(written, "marks") for entry in line.split() if entry != "marks"]


def test_only_a_note_that_the_reader_would_spell_otherwise_carries_its_spelling():
    written = same("  - notes: [1/4: [{1: 2}, {1: {fret: 2, pitch: Gb5}}, {1: 3}, {1: 2}]]\n")
    assert spelled(written).count("pitch") == 1


def test_a_spelling_that_the_reader_would_choose_is_not_written():
    assert lines(same("  - notes: [1/1: {1: {fret: 2, pitch: F#5}}]\n", "key: G major\n"), "marks") == []


def test_notes_of_chords_grace_notes_held_notes_and_lower_voices_keep_their_spelling():
    same(
        "  - notes: [grace 1/8: {2: {fret: 2, pitch: Db5}}, 1/2: {1: {fret: 4, pitch: Ab5, marks: [accent]}, 2: {fret: 4, pitch: D#5}}, 1/2: tie]\n"
        "    lower: [1/2: {6: {fret: 1, pitch: E#3}}, 1/2: {5: {fret: x, pitch: Bbb3}}]\n"
    )


def test_pitches_that_were_given_places_come_back_as_strings_and_frets():
    found, twin, lost, _ = came_back("score: 1\nmeasures:\n  - notes: [1/4: [Gb4, F#4, Ab4, A4]]\n")
    assert lost == []
    assert str(twin) == str(found).replace("'chosen': True", "'chosen': False")


STEPS = [name + sign for name in "CDEFGAB" for sign in ("bb", "b", "", "#", "##")]


@st.composite
def melodies(draw):
    """A measure of single notes, each spelled in any way that its fret allows."""
    part = read("score: 1\nmeasures: [{notes: rest}]\n").parts[0].instrument
    events = []
    for _ in range(4):
        string, fret = draw(st.integers(1, 6)), draw(st.integers(0, 12))
        midi = part.written_midi(string, fret)
        names = [
            f"{step}{octave}"
            for step in STEPS
            for octave in range(2, 7)
            if parse_pitch(f"{step}{octave}").midi == midi
        ]
        events.append(f"{{{string}: {{fret: {fret}, pitch: {draw(st.sampled_from(names))}}}}}")
    return f"  - notes: [1/4: [{', '.join(events)}]]\n"


@settings(max_examples=60, suppress_health_check=QUIET)
@given(st.lists(melodies(), min_size=1, max_size=3), st.sampled_from(["C major", "Eb minor", "F# major"]))
def test_any_spelling_comes_back(rows, key):
    same("".join(rows), f"key: {key}\n")


SUNG = st.sampled_from(
    ["C4", "F#4+A4", "Gb4", "B3+D4+G4", "E5", "rest", "slash", "{pitch: Ab4, marks: [fermata]}"]
)


@st.composite
def sung_measures(draw):
    """A measure of a voice or of two."""
    found = {}
    for name in ["notes", "lower"][: draw(st.integers(1, 2))]:
        events, last = [], "rest"
        for _ in range(4):
            event = draw(SUNG if last in ("rest", "slash") else st.one_of(SUNG, st.just("tie")))
            last = event
            events.append(event)
        found[name] = f"[1/4: [{', '.join(events)}]]"
    return "  - {" + ", ".join(f"{name}: {music}" for name, music in found.items()) + "}\n"


@settings(max_examples=80, suppress_health_check=QUIET)
@given(st.lists(sung_measures(), min_size=1, max_size=4))
def test_any_voices_come_back(rows):
    same("".join(rows), "instrument: voice\n")


def test_a_choir_of_twelve_comes_back():
    parts = "".join(f"  - {{id: v{n}, name: Voice {n}, instrument: voice}}\n" for n in range(12))
    notes = ", ".join(f"v{n}: {{notes: [1/1: C{n % 5 + 2}]}}" for n in range(12))
    text, lost = write_text_tab(read(f"score: 1\nparts:\n{parts}measures:\n  - parts: {{{notes}}}\n"))
    assert lost == []
    assert text.count("pitches|") == 12


def test_the_line_of_pitches_in_the_guide_is_read_without_a_remark():
    (text,) = blocks("           q   e   e  h\n  pitches|")
    found = read_text_tab(text.encode())
    assert found.notes == []
    events = loaded(found.tree).parts[0].measures[0].voices[0].events
    assert [" ".join(note.pitch.name for note in event.notes) for event in events] == [
        "D4",
        "G4",
        "A4",
        "B3 D4",
    ]
    assert [event.lyrics[0].text for event in events] == ["Blow", "the", "wind", "south"]


def test_more_signs_on_lines_of_pitches_than_a_book_has_are_refused():
    with pytest.raises(ValueError, match="300000 are the most"):
        read_text_tab(b"pitches|" + b"C4--" * 75_001 + b"|\n")
