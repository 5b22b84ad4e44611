"""MIDI files as scores: quantised, spelled, and nothing hostile breaks the reader."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.exchange.midi.messages import META
from engrave.exchange.midi.reader import read_midi
from engrave.exchange.midi.writer import write_midi
from engrave.playing.performance import perform
from engrave.reading.load import load_score
from engrave.writing.dump import dump_score
from tests.exchange.midi_helpers import (
    SAMPLES,
    SHEETS,
    back,
    made,
    music,
    named,
    note,
    onsets,
    still_fine,
    sung_score,
    tree_score,
)
from tests.reading.helpers import read


@pytest.mark.parametrize("path", [*SAMPLES, *SHEETS], ids=lambda path: path.stem)
def test_trees_of_samples_are_scores_without_errors(path):
    found, _ = load_score(str(path))
    data = write_midi(found, repeats=False)
    texts = {
        dump_score(read_midi(data, finest=finest, triplets=triplets)[0])
        for finest, triplets in ((8, True), (16, False), (64, True))
    }
    for text in sorted(texts):
        assert read(text).measures


def test_what_a_file_does_not_say_is_common_time_c_and_96():
    tree, changes = read_midi(made(note(0, 1920, 64)))
    assert tree == {
        "score": 1, "instrument": "guitar", "key": "C major", "time": "4/4", "tempo": "1/4 = 96",
        "measures": [{"notes": [{"1/1": "E5"}]}],
    }  # fmt: skip
    assert changes == []


def test_notes_are_tied_over_barlines_and_rests_fill_measures():
    tree, _ = read_midi(made(note(960, 2400, 64)))
    assert [m["notes"] for m in tree["measures"]] == [
        [{"1/2": "rest E5"}],
        [{"1/4": "tie rest"}, {"1/2": "rest"}],
    ]


def test_a_note_without_an_end_lasts_a_whole_note():
    unended = note(0, 1, 64)[:1]
    tree, changes = read_midi(made(unended + note(9600, 11520, 67)))
    assert [m["notes"] for m in tree["measures"]] == [
        [{"1/1": "E5"}],
        "rest",
        "rest",
        "rest",
        "rest",
        [{"1/1": "G5"}],
    ]
    assert changes == ["a note without an end lasts a whole note"]


def test_chords_are_written_together_and_notes_that_are_held_under_others_are_a_voice():
    tree, changes = read_midi(made(sorted([*note(0, 1920, 52), *note(0, 1920, 55), *note(960, 1920, 64)])))
    assert tree["measures"][0] == {"notes": [{"1/2": "rest E5"}], "lower": [{"1/1": "E4+G4"}]}
    assert changes == []


def test_what_two_voices_cannot_hold_is_cut_and_told():
    held = [*note(0, 1920, 52), *note(480, 1920, 55), *note(960, 1920, 64)]
    changes = read_midi(made(sorted(held)))[1]
    assert changes == ["Part 1, measure 1: 1 note cut where the next note begins"]


def test_triplets_are_found_beat_by_beat():
    rows = (
        [row for n in range(3) for row in note(160 * n, 160 * n + 160, 60)]
        + note(480, 720, 60)
        + note(720, 960, 60)
    )
    tree, changes = read_midi(made(rows))
    assert tree["measures"][0]["notes"][:2] == [{"3 in 2 of 1/8": "C5 C5 C5"}, {"1/8": "C5 C5"}]
    assert changes == []
    assert "3 in" not in str(read_midi(made(rows), triplets=False))


def test_moved_notes_are_listed():
    _, changes = read_midi(made(note(70, 480, 60)), finest=8)
    assert changes == ["Part 1, measure 1: 1 note moved by more than a 64th"]


@pytest.mark.parametrize(
    ("program", "pitch", "instrument"),
    [
        (0, 60, "guitar"),
        (0, 30, "voice"),
        (30, 30, "guitar-8"),
        (33, 30, "bass"),
        (33, 24, "bass-5"),
        (52, 60, "voice"),
        (0, 100, "voice"),
    ],
)
def test_instruments_follow_program_and_range(program, pitch, instrument):
    data = made([(0, 0xC0, bytes((program,))), *note(0, 480, pitch)])
    tree, _ = read_midi(data)
    assert tree["instrument"] == instrument
    assert [n.midi for n in perform(tree_score(tree)).notes] == [pitch]


def test_parts_are_chosen_by_name_or_number():
    data = made(named("Lead", *note(0, 480, 60)), named("Low", *note(0, 480, 50)))
    tree, _ = read_midi(data)
    assert [part["name"] for part in tree["parts"]] == ["Lead", "Low"]
    assert onsets(tree_score(tree)) == [(0, 50), (0, 60)]
    assert onsets(back(data, wanted=["low"])) == [(0, 50)]
    assert onsets(back(data, wanted=["1"])) == [(0, 60)]
    with pytest.raises(ValueError, match='no part "High"; it has 1 Lead, 2 Low'):
        read_midi(data, wanted=["High"])


def test_channels_of_format_0_are_parts_and_percussion_is_left_out():
    data = made(named("Song", *note(0, 480, 60), *note(480, 960, 50, 1), *note(960, 1000, 40, 9)), form=0)
    tree, changes = read_midi(data)
    assert (tree["title"], len(tree["parts"])) == ("Song", 2)
    assert changes == ["percussion was left out"]


def test_chords_that_no_hand_can_hold_lose_notes():
    rows = sorted(row for pitch in (40, 41, 42, 60, 64) for row in note(0, 480, pitch))
    tree, changes = read_midi(made(rows))
    assert len(perform(tree_score(tree)).notes) == 3
    assert "2 notes dropped" in changes[0]


def test_files_that_cannot_be_read_say_why():
    whole = made(note(0, 480, 60))
    for data, why in (
        (b"", "not a MIDI file"),
        (b"MThd" + bytes(8), "not a MIDI file"),
        (whole[:-3], "cut off"),
        (made(note(0, 480, 60), form=2), "format 0 and 1"),
        (whole[:12] + b"\xe2\x50" + whole[14:], "SMPTE time"),
        (made([]), "no notes"),
        (made(note(0, 2**27, 60), division=1), "2000 measures"),
        (made([(0, 0xC0, b"\0")] * 200_001), "200000 events"),
        (bytes(2 * 1024 * 1024 + 1), "2 MB"),
        (made(*[[]] * 513), "512 tracks"),
    ):
        with pytest.raises(ValueError, match=why):
            read_midi(data)
    with pytest.raises(ValueError, match="1/5 is not"):
        read_midi(whole, finest=5)


@settings(max_examples=60, deadline=None)
@given(music(), st.sampled_from([16, 32, 64]))
def test_quantised_music_comes_back_with_its_pitches_and_onsets(found, finest):
    tree, changes = read_midi(write_midi(found), finest=finest)
    assert changes == []
    assert tree["instrument"] == "guitar"
    assert onsets(sung_score(tree)) == onsets(found)


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=300), st.sampled_from([1, 4, 16, 64]))
def test_random_bytes_are_read_or_refused(data, finest):
    still_fine(data)
    head = b"MThd\0\0\0\6\0\1\0\1\0\x60MTrk" + len(data).to_bytes(4, "big")
    still_fine(head + data, finest=finest)


@pytest.mark.parametrize("seed", range(40))
def test_damaged_files_are_read_or_refused(seed):
    chance = random.Random(seed)
    found, _ = load_score(str(SAMPLES[seed % len(SAMPLES)]))
    data = bytearray(write_midi(found))
    for _ in range(chance.randint(1, 12)):
        data[chance.randrange(len(data))] = chance.choice([0, 1, 0x7F, 0x80, 0xFF, chance.randrange(256)])
    still_fine(bytes(data), finest=chance.choice([1, 2, 4, 8, 16, 32, 64]))


@settings(max_examples=80, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 4000), st.integers(1, 2000), st.integers(0, 127), st.integers(0, 2)),
        min_size=1,
        max_size=40,
    ),
    st.sampled_from([1, 2, 4, 8, 16, 32, 64]),
    st.lists(st.tuples(st.integers(0, 4000), st.integers(1, 64), st.integers(0, 5)), max_size=3),
)
def test_any_playing_becomes_full_measures(played, finest, times):
    rows = [
        row for start, length, pitch, channel in played for row in note(start, start + length, pitch, channel)
    ]
    rows += [(tick, META, bytes((upper, lower, 24, 8)), 0x58) for tick, upper, lower in times]
    data = made(sorted(rows, key=lambda row: row[0]), form=0)
    tree_score(read_midi(data, finest=finest)[0])
