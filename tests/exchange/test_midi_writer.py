"""Scores as MIDI files: another reader finds the same notes."""

from fractions import Fraction

import pytest

from engrave.exchange.midi.writer import write_midi
from engrave.playing.performance import perform
from engrave.reading.load import load_score
from tests.exchange.midi_helpers import (
    ALTERED,
    SAMPLES,
    back,
    metas,
    onsets,
    parse,
    score,
    sounding,
    wheel_moves,
)


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
            if not wanted.signs & ALTERED and not any(gap < wanted.length for gap in struck):
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


def test_a_slurred_slide_comes_from_the_pitch_before():
    moves = wheel_moves(score("notes: [1/2: {1: 5}, 1/2: {1: 7 slurred-slide}]"))
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


def wheel_of(detail):
    return wheel_moves(score(f"notes: [1/1: {{3: {{fret: 12, {detail}}}}}]"))


def test_the_vibrato_bar_moves_the_wheel_down():
    # Bend range of 12 semitones (registered parameter 0, MIDI 1.0): a semitone is 8191 / 12 positions.
    dip, dive = wheel_of("vibrato-bar: dip 1/2"), wheel_of("vibrato-bar: dive 2")
    assert min(p for _, p in dip) == pytest.approx(-8191 / 12, abs=1)
    assert dip[-2][1] == dip[-1][1] == 0
    assert dive[-2][1] == pytest.approx(-4 * 8191 / 12, abs=1)
    assert dive[-1] == (1920, 0)


@pytest.mark.parametrize(("mark", "cents"), [("vibrato", 20), ("wide-vibrato", 50)])
def test_a_vibrato_swings_the_wheel_to_both_sides(mark, cents):
    moves = [p for _, p in wheel_of(f"marks: [{mark}]")]
    assert max(moves) == pytest.approx(cents / 100 * 8191 / 12, rel=0.05)
    assert min(moves) == pytest.approx(-max(moves), rel=0.05)


def test_the_wheel_is_back_when_the_next_note_starts():
    moves = wheel_moves(score("notes: [1/2: {3: 12 slide-away-down}, 1/2: {3: 12}]"))
    assert min(p for _, p in moves) < 0
    assert moves[-1] == (960, 0)


@pytest.mark.parametrize(
    ("mark", "first", "last"), [("fade-in", 0, 127), ("volume-swell", 0, 127), ("fade-out", 127, 0)]
)
def test_a_fade_is_the_controller_of_expression(mark, first, last):
    # MIDI 1.0, controller numbers: 11 is expression.
    track = parse(write_midi(score(f"notes: [1/2: {{3: 12 {mark}}}, 1/2: {{3: 12}}]"))).tracks[1]
    values = [m.value for m in track if m.type == "control_change" and m.control == 11]
    assert (values[0], values[-2], values[-1]) == (first, last, 127)


def test_a_fermata_is_a_slower_tempo_and_leaves_the_beats_where_they_are():
    data = write_midi(score("notes: [1/2: {1: 0 fermata}, 1/2: {1: 1}]", head="tempo: 1/4 = 120\n"))
    assert [(t, m.tempo) for t, m in metas(data, "set_tempo")] == [(0, 1_000_000), (960, 500_000)]
    assert [n[1] for n in sounding(parse(data))] == [0, Fraction(1, 2)]
