"""Scores as MIDI files and back: other readers find the same notes, and nothing hostile breaks the reader."""

import random
from fractions import Fraction
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.diagnostics.problem import ProblemLog
from engrave.exchange.midi.messages import META, Message, encode
from engrave.exchange.midi.reader import read_midi
from engrave.exchange.midi.writer import write_midi
from engrave.reading.load import load_score, read_text_score
from engrave.score.performance import perform
from engrave.writing.dump import dump_score
from tests.reading.helpers import read

mido = pytest.importorskip("mido")
SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.yaml"))
SHEETS = sorted((Path(__file__).parents[2] / "samples" / "signs").glob("*.yaml"))
ALTERED = {"staccato", "staccatissimo", "palm-mute", "dead", "let-ring"}


def score(*measures, head=""):
    return read(f"score: 1\n{head}measures:\n" + "".join(f"  - {measure}\n" for measure in measures))


def parse(data):
    return mido.MidiFile(file=BytesIO(data))


def timed(track):
    """(tick, message) of a track."""
    tick, rows = 0, []
    for message in track:
        tick += message.time
        rows.append((tick, message))
    return rows


def sounding(file):
    """(track, start, length, pitch, velocity) with times in whole notes."""
    found = []
    for number, track in enumerate(file.tracks):
        open_notes = {}
        for tick, message in timed(track):
            if message.type == "note_on":
                assert (message.channel, message.note) not in open_notes
                open_notes[message.channel, message.note] = (tick, message.velocity)
            elif message.type == "note_off":
                start, velocity = open_notes.pop((message.channel, message.note))
                whole = 4 * file.ticks_per_beat
                found.append(
                    (number, Fraction(start, whole), Fraction(tick - start, whole), message.note, velocity)
                )
        assert not open_notes
    return sorted(found)


def metas(data, kind, track=0):
    return [(tick, message) for tick, message in timed(parse(data).tracks[track]) if message.type == kind]


def tree_score(tree):
    log = ProblemLog("f")
    found = read_text_score(dump_score(tree), log)
    assert found is not None, [str(problem) for problem in log.in_order()]
    return found


def back(data, **wish):
    return tree_score(read_midi(data, **wish)[0])


def made(*tracks, division=480, form=1):
    """A file of messages (tick, status, data, meta)."""
    data = encode([[Message(*row) for row in track] for track in tracks], division)
    return data[:8] + form.to_bytes(2, "big") + data[10:]


def note(start, stop, pitch, channel=0, velocity=80):
    return [(start, 0x90 | channel, bytes((pitch, velocity))), (stop, 0x80 | channel, bytes((pitch, 0)))]


def onsets(found):
    return sorted((n.start, n.midi) for n in perform(found).notes)


# --- Writing. Bytes and messages: Standard MIDI Files 1.0, General MIDI 1 (from memory), read back by other programs.


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_samples_sound_in_the_file_as_they_are_performed(path):
    found, _ = load_score(str(path))
    notes = sounding(parse(write_midi(found)))
    by_place = {}
    for number, start, length, pitch, _ in notes:
        by_place.setdefault((number, start, pitch), set()).add(length)
    performed = perform(found).notes
    for wanted in performed:
        if not wanted.delay:
            lengths = by_place[wanted.part + 1, wanted.start, wanted.midi]
            struck = {
                n.start - wanted.start
                for n in performed
                if n.part == wanted.part and n.string == wanted.string and n.start > wanted.start
            }
            if not wanted.marks & ALTERED and not any(gap < wanted.length for gap in struck):
                assert wanted.length in lengths
    assert sorted(n[3] for n in notes) == sorted(
        {(n.part, n.start, n.string, n.midi): n.midi for n in performed}.values()
    )


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_another_reader_finds_the_same_pitches(path):
    midi = pytest.importorskip("music21.midi")
    found, _ = load_score(str(path))
    data = write_midi(found)
    file = midi.MidiFile()
    file.readstr(data)
    pitches = [e.pitch for t in file.tracks for e in t.events if e.isNoteOn() and e.velocity]
    assert sorted(pitches) == sorted(n[3] for n in sounding(parse(data)))
    assert (file.format, file.ticksPerQuarterNote % 480) == (1, 0)


def test_the_same_score_gives_the_same_bytes():
    found, _ = load_score(str(SAMPLES[0]))
    assert write_midi(found) == write_midi(found)


def test_tempos_times_keys_and_names_stand_in_the_file():
    data = write_midi(
        score(
            "{notes: [1/1: {1: 0}]}",
            "{time: 6/8, key: C minor, tempo: 1/4. = 60, notes: [1/2.: {1: 0}]}",
            head="title: Ferry\ntempo: 1/4 = 120\nkey: D major\n",
        )
    )
    assert [(t, m.tempo) for t, m in metas(data, "set_tempo")] == [(0, 500_000), (1920, 666_667)]
    assert [(t, m.numerator, m.denominator) for t, m in metas(data, "time_signature")] == [
        (0, 4, 4),
        (1920, 6, 8),
    ]
    assert [(t, m.key) for t, m in metas(data, "key_signature")] == [(0, "D"), (1920, "Cm")]
    assert metas(data, "track_name")[0][1].name == "Ferry"
    assert metas(data, "track_name", 1)[0][1].name == "Guitar"


def test_repeats_are_unfolded_unless_they_are_not_wanted():
    found = score("{repeat: start, notes: [1/1: {1: 0}]}", "{repeat: end, notes: [1/1: {1: 1}]}")
    assert [n[3] for n in sounding(parse(write_midi(found)))] == [64, 65, 64, 65]
    assert [n[3] for n in sounding(parse(write_midi(found, repeats=False)))] == [64, 65]
    assert [n[3] for n in sounding(parse(write_midi(found, 1, 2)))] == [65, 65]


def test_each_string_has_a_channel_with_its_program_and_none_is_the_tenth():
    head = "parts:\n" + "".join(
        f"  - {{id: p{n}, instrument: {i}}}\n" for n, i in enumerate(("guitar", "bass", "voice", "guitar"))
    )
    file = parse(write_midi(score("{parts: {p0: {notes: [1/1: {1: 0}]}}}", head=head)))
    rows = [
        [(m.channel, m.program) for m in track if m.type == "program_change"] for track in file.tracks[1:]
    ]
    assert [len(row) for row in rows] == [6, 4, 1, 1]
    assert [row[0][1] for row in rows] == [24, 33, 52, 24]
    channels = [channel for row in rows for channel, _ in row]
    assert 9 not in channels
    assert len(set(channels)) == len(channels)


def wheel_moves(found):
    return [(t, m.pitch) for t, m in timed(parse(write_midi(found)).tracks[1]) if m.type == "pitchwheel"]


def test_a_full_bend_moves_the_wheel_two_of_twelve_semitones_and_back_after_the_note():
    moves = wheel_moves(score("notes: [1/2: {2: {fret: 3, bend: full}}, 1/2: {2: 3}]"))
    assert max(p for _, p in moves) == round(8191 * 2 / 12) == 1365
    assert moves[0] == (0, 0)
    assert moves[-1] == (960, 0)
    assert [p for _, p in moves[:-1]] == sorted(p for _, p in moves[:-1])
    moves = wheel_moves(score("notes: [1/1: {2: {fret: 3, bend: pre full release}}]"))
    assert moves[0] == (0, 1365)


def test_the_range_of_the_wheel_is_told_as_registered_parameter_nought():
    track = parse(write_midi(score("notes: [1/1: {1: 0}]"))).tracks[1]
    controls = [(m.control, m.value) for m in track if m.type == "control_change" and m.channel == 0]
    assert controls[:4] == [(101, 0), (100, 0), (6, 12), (38, 0)]


def test_a_legato_slide_comes_from_the_pitch_before():
    moves = wheel_moves(score("notes: [1/2: {1: 5}, 1/2: {1: 7 legato-slide}]"))
    assert moves[0] == (960, round(-2 * 8191 / 12))
    assert moves[-2][1] == 0


def test_marks_change_how_long_notes_sound():
    notes = "notes: [1/4: {1: {fret: 0, marks: [staccato]}}, 1/4: {1: x}, 1/2: {1: 3}]"
    assert [n[2] for n in sounding(parse(write_midi(score(notes))))] == [
        Fraction(1, 8),
        Fraction(1, 32),
        Fraction(1, 2),
    ]
    ringing = "{spans: let-ring for 1/1, notes: [1/4: [{1: 0}, {2: 0}, {1: 3}, rest]]}"
    lengths = {(n[1], n[3]): n[2] for n in sounding(parse(write_midi(score(ringing))))}
    assert lengths[0, 64] == Fraction(1, 2)
    assert lengths[Fraction(1, 4), 59] > 1


def test_rolled_chords_are_spread_in_ticks():
    notes = sounding(
        parse(write_midi(score("notes: [1/1: {6: 3 arpeggiate-up, 1: 3}]", head="tempo: 1/4 = 60\n")))
    )
    assert [(n[1] * 1920, n[3]) for n in notes] == [(0, 43), (round(0.045 * 480), 67)]


def test_notes_end_before_others_start_and_are_neither_silent_nor_too_loud():
    data = write_midi(score("{dynamics: ffff, notes: [1/4: [{1: 0}, {1: 0}, {1: 0}, {1: 0 accent}]]}"))
    velocities = [n[4] for n in sounding(parse(data))]
    assert velocities == [127] * 4
    assert [
        n[4] for n in sounding(parse(write_midi(score("{dynamics: pppp, notes: [1/1: {1: 0 ghost}]}"))))
    ] == [6]


def test_ticks_are_fine_enough_for_septuplets():
    file = parse(
        write_midi(
            score(
                "notes: [7 in 4 of 1/16: [{1: 0}, {1: 1}, {1: 2}, {1: 3}, {1: 4}, {1: 5}, {1: 6}], 1/2.: rest]"
            )
        )
    )
    assert file.ticks_per_beat == 3360
    assert [n[1] for n in sounding(file)] == [Fraction(n, 28) for n in range(7)]


def test_a_pickup_has_a_time_of_its_own_and_is_a_pickup_again():
    found = score("{pickup: true, notes: [1/4: {1: 0}]}", "notes: [1/1: {1: 1}]", "notes: [1/2.: {1: 2}]")
    data = write_midi(found)
    assert [(t, m.numerator) for t, m in metas(data, "time_signature")] == [(0, 1), (480, 4), (2400, 3)]
    again = back(data)
    assert [m.length for m in again.measures] == [Fraction(1, 4), 1, Fraction(3, 4)]
    assert again.measures[0].pickup
    assert onsets(again) == onsets(found)


# --- Reading.


@pytest.mark.parametrize("path", [*SAMPLES, *SHEETS], ids=lambda path: path.stem)
@pytest.mark.parametrize("grid", [8, 16, 64])
def test_trees_of_samples_are_scores_without_errors(path, grid):
    found, _ = load_score(str(path))
    data = write_midi(found)
    assert back(data, grid=grid).measures
    assert back(data, grid=grid, triplets=False).measures


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
        [{"1/2": ["rest", "E5"]}],
        [{"1/4": ["tie", "rest"]}, {"1/2": "rest"}],
    ]


def test_chords_are_written_together_and_overlapping_notes_cut():
    tree, changes = read_midi(made(sorted([*note(0, 1920, 52), *note(0, 1920, 55), *note(960, 1920, 64)])))
    assert tree["measures"][0]["notes"] == [{"1/2": ["E4 G4", "E5"]}]
    assert changes == ["Part 1, measure 1: 1 note cut where the next note begins"]


def test_triplets_are_found_beat_by_beat():
    rows = (
        [row for n in range(3) for row in note(160 * n, 160 * n + 160, 60)]
        + note(480, 720, 60)
        + note(720, 960, 60)
    )
    tree, changes = read_midi(made(rows))
    assert tree["measures"][0]["notes"][:2] == [{"3 in 2 of 1/8": [{"1/8": "C5"}] * 3}, {"1/8": ["C5", "C5"]}]
    assert changes == []
    assert "3 in" not in str(read_midi(made(rows), triplets=False))


def test_moved_notes_are_listed():
    _, changes = read_midi(made(note(70, 480, 60)), grid=8)
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


def named(name, *rows):
    return [(0, META, name.encode(), 3), *rows]


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
    assert changes == ["a note of the percussion was left out"]


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
        (whole[:12] + b"\xe2\x50" + whole[14:], "film frames"),
        (made([]), "no notes"),
        (made(note(0, 2**27, 60), division=1), "5000 measures"),
        (made([(0, 0xC0, b"\0")] * 400_001), "400000 events"),
        (bytes(16 * 1024 * 1024 + 1), "16 MB"),
    ):
        with pytest.raises(ValueError, match=why):
            read_midi(data)
    with pytest.raises(ValueError, match="grid 5"):
        read_midi(whole, grid=5)


@st.composite
def music(draw):
    """Measures of 4/4 with chords, rests and triplets, as a score's text; onsets on sixteenths or triplets."""
    event = st.sampled_from(
        ["rest", "{1: 3}", "{2: 1, 1: 0}", "{3: 0}", "{6: 3, 2: 3}", "{5: 12}", "{4: 7, 3: 5, 2: 8}"]
    )
    measures = []
    for _ in range(draw(st.integers(1, 4))):
        beats = []
        for _ in range(4):
            kind = draw(st.sampled_from(["1/4", "1/8", "1/16", "3 in 2 of 1/8"]))
            count = {"1/4": 1, "1/8": 2, "1/16": 4}.get(kind, 3)
            beats.append(f"{kind}: [{', '.join(draw(st.lists(event, min_size=count, max_size=count)))}]")
        measures.append("{notes: [" + ", ".join(beats) + "]}")
    key = draw(st.sampled_from(["C major", "F# minor", "Cb major", "D dorian"]))
    return score("{notes: [1/1: {1: 0}]}", *measures, head=f"key: {key}\n")


@settings(max_examples=60, deadline=None)
@given(music(), st.sampled_from([16, 32, 64]))
def test_quantised_music_comes_back_with_its_pitches_and_onsets(found, grid):
    tree, changes = read_midi(write_midi(found), grid=grid)
    assert changes == []
    assert onsets(tree_score(tree)) == onsets(found)


def still_fine(data, **wish):
    """Reads or refuses; what is read is a score."""
    try:
        tree, _ = read_midi(data, **wish)
    except ValueError:
        return
    tree_score(tree)


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=300), st.sampled_from([1, 4, 16, 64]))
def test_random_bytes_are_read_or_refused(data, grid):
    still_fine(data)
    head = b"MThd\0\0\0\6\0\1\0\1\0\x60MTrk" + len(data).to_bytes(4, "big")
    still_fine(head + data, grid=grid)


@pytest.mark.parametrize("seed", range(40))
def test_damaged_files_are_read_or_refused(seed):
    chance = random.Random(seed)
    found, _ = load_score(str(SAMPLES[seed % len(SAMPLES)]))
    data = bytearray(write_midi(found))
    for _ in range(chance.randint(1, 12)):
        data[chance.randrange(len(data))] = chance.choice([0, 1, 0x7F, 0x80, 0xFF, chance.randrange(256)])
    still_fine(bytes(data), grid=chance.choice([1, 2, 4, 8, 16, 32, 64]))


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
def test_any_playing_becomes_full_measures(played, grid, times):
    rows = [
        row for start, length, pitch, channel in played for row in note(start, start + length, pitch, channel)
    ]
    rows += [(tick, META, bytes((upper, lower, 24, 8)), 0x58) for tick, upper, lower in times]
    data = made(sorted(rows, key=lambda row: row[0]), form=0)
    tree_score(read_midi(data, grid=grid)[0])
