"""Music from elsewhere put on an instrument by options alone, as a teacher types them."""

import pytest

from engrave.cli import main
from engrave.fingering.place import all_notes
from engrave.reading.load import load_score

SONG = """score: 1
title: Quay Song
instrument: {preset: voice, name: Fiddle}
key: G major
time: 3/4
# sung in the evening
measures:
  - notes: [1/4: G3 B3 D4]
    chord: G
    lyrics: Down by the
  - notes: [1/2: G4, 1/4: tie]
    lyrics: quay
  - notes: [1/4: B4 A4+C5 rest]
    chord: D7
"""
PIANO = """score: 1
instrument: voice
measures:
  - notes: [1/2: [C4+E4+G4+C5+E5+G5+C6, {tie: C6, pitch: D5+F5}]]
    lower: [1/1: C2]
"""
GUITAR_PITCHES = "score: 1\nmeasures:\n  - notes: [1/4: E4 A4 B4 rest]\n"


@pytest.fixture
def song(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "song.yaml").write_text(SONG, "utf-8")
    (tmp_path / "piano.yaml").write_text(PIANO, "utf-8")
    (tmp_path / "pitches.yaml").write_text(GUITAR_PITCHES, "utf-8")
    return tmp_path


def placed(path):
    score, log = load_score(str(path))
    assert score is not None, [str(problem) for problem in log.in_order()]
    return score


def test_pitches_are_put_on_a_guitar_where_they_are_written(song, capsys):
    assert main(["place", "song.yaml", "--instrument", "guitar"]) == 0
    assert "an octave lower, as it is written (highest fret 3)" in capsys.readouterr().err
    score = placed("song-placed.yaml")
    assert score.parts[0].instrument.name == "guitar"
    names = [note.pitch.name for note in all_notes(score.parts[0]) if not note.tie_from]
    assert sorted(names) == ["A4", "B3", "B4", "C5", "D4", "G3", "G4"]
    assert "# sung in the evening" in (song / "song-placed.yaml").read_text("utf-8")


def test_what_does_not_fit_is_one_line_with_ways_out_and_nothing_is_written(song, capsys):
    assert main(["place", "song.yaml", "--instrument", "ukulele"]) == 1
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert "2 notes lie below the lowest open string of the ukulele (Fiddle, measure 1)" in told
    assert "--fit takes the first" in told
    assert not (song / "song-placed.yaml").exists()


@pytest.mark.parametrize("command", ["place", "make", "check"])
def test_fit_takes_the_way_that_is_proposed_first(song, command):
    assert main([command, "song.yaml", "--instrument", "ukulele", "--fit"]) == 0


def test_fit_moves_key_and_chord_names_with_the_notes(song, capsys):
    assert main(["place", "song.yaml", "--instrument", "ukulele", "--fit"]) == 0
    score = placed("song-placed.yaml")
    said = capsys.readouterr().err
    assert score.measures[0].key.name in said
    assert score.parts[0].measures[0].chords[0].name.text == score.measures[0].key.name.split()[0]
    assert len(list(all_notes(score.parts[0]))) == 8


def test_fit_leaves_out_inner_notes_that_nothing_can_hold_and_says_how_many(song, capsys):
    assert main(["place", "piano.yaml", "--instrument", "ukulele", "--fit", "-o", "out.yaml"]) == 0
    assert "notes left out of chords that cannot be held (Voice, measure 1)" in capsys.readouterr().err
    events = placed("out.yaml").parts[0].measures[0].voices[0].events
    assert all(event.notes for event in events)


def test_pitches_for_no_instrument_in_particular_go_straight_to_the_one_asked_for(tmp_path, monkeypatch):
    """E3 has no string on a ukulele, and A2 none that a guitar would have given it: nothing comes by way of a guitar."""
    monkeypatch.chdir(tmp_path)
    low = GUITAR_PITCHES.replace("E4 A4 B4", "D3 G2 B2")  # below a guitar, which these are not for
    (tmp_path / "low.yaml").write_text(low, "utf-8")
    assert main(["place", "low.yaml"]) == 1
    assert main(["place", "low.yaml", "--instrument", "bass"]) == 0
    score = placed("low-placed.yaml")
    assert [note.pitch.name for note in all_notes(score.parts[0])] == ["D3", "G2", "B2"]


def test_a_voice_beside_a_guitar_stays_a_voice(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    both = (
        "score: 1\nparts:\n  - {id: anna, instrument: voice}\n  - {id: ben, instrument: guitar}\nmeasures:\n"
        "  - parts:\n      anna: {notes: [1/1: C5]}\n      ben: {notes: [1/1: E5]}\n"
    )
    (tmp_path / "both.yaml").write_text(both, "utf-8")
    assert main(["place", "both.yaml", "--instrument", "ukulele"]) == 0
    assert [part.instrument.name for part in placed("both-placed.yaml").parts] == ["voice", "ukulele"]


def test_fit_and_a_key_of_ones_own_cannot_both_be_meant(song, capsys):
    with pytest.raises(SystemExit, match="2"):
        main(["place", "song.yaml", "--instrument", "guitar", "--fit", "--key", "A major"])
    assert "leave out --key" in capsys.readouterr().err


def test_an_instrument_is_for_scores_alone(tmp_path, capsys):
    book = tmp_path / "paper.yaml"
    book.write_text("paper: 1\nsystems: 2\n", "utf-8")
    assert main(["make", str(book), "--instrument", "guitar"]) == 1
    assert "--instrument is for scores, and this is a paper" in capsys.readouterr().err


def test_read_puts_a_typed_tab_on_another_instrument(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    rows = "".join(f"{name}|{row}|\n" for name, row in zip("eBGDAE", ("-3-0-", *["-----"] * 5), strict=True))
    (tmp_path / "tab.txt").write_text(rows, "utf-8")
    assert main(["read", "tab.txt", "--instrument", "ukulele"]) == 0
    score = placed("tab.yaml")
    assert score.parts[0].instrument.name == "ukulele"
    assert [note.pitch.name for note in all_notes(score.parts[0])] == ["G4", "E4"]
