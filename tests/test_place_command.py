"""The command that chooses strings, frets and fingers, as a stranger uses it."""

import re
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score

TUNE = """score: 1
# a comment that stays
title: Tune
key: G major
measures:
  - notes: [1/4: [G4, A4, B4, C5]]   # up
  - notes: [1/4: [D5, C5, {1: 3}, rest]]
"""


@pytest.fixture
def tune(tmp_path):
    path = tmp_path / "tune.yaml"
    path.write_text(TUNE, "utf-8")
    return path


def result(path):
    return path.with_name(f"{path.stem}-placed.yaml")


def test_a_new_file_is_written_beside_the_old_one(tune):
    assert main(["place", str(tune)]) == 0
    assert tune.read_text("utf-8") == TUNE
    text = result(tune).read_text("utf-8")
    assert "# a comment that stays" in text
    assert "# up" in text
    assert "G4" not in text
    assert main(["check", str(result(tune))]) == 0


def test_fingers_are_words_after_the_frets_that_were_typed(tune):
    tune.write_text("score: 1\nmeasures:\n  - notes: [1/4: 3:5 3:7 2:5 2:8]\n", "utf-8")
    assert main(["place", str(tune)]) == 0
    text = result(tune).read_text("utf-8")
    assert re.search(
        r"notes: \[1/4: \[3:5 finger \d, 3:7 finger \d, 2:5 finger \d, 2:8 finger \d\]\]", text
    ), text


def test_nothing_is_overwritten_unasked(tune, capsys):
    result(tune).write_text("mine", "utf-8")
    assert main(["place", str(tune)]) == 1
    assert result(tune).read_text("utf-8") == "mine"
    assert "name the result with -o" in capsys.readouterr().err
    assert main(["place", str(tune), "-o", str(result(tune))]) == 0


def test_reasons_come_in_words_and_numbers_with_the_second_best(tune, capsys):
    assert main(["place", str(tune), "--why"]) == 0
    said = capsys.readouterr().out
    assert "measure 1, beat 1: G4 string 3 open" in said
    assert "costs" in said
    assert "next best" in said


def test_strings_and_frets_alone(tune):
    main(["place", str(tune), "--no-fingers"])
    assert "finger" not in result(tune).read_text("utf-8")


def test_what_no_hand_can_play_is_an_error_with_ways_out_and_nothing_is_written(tmp_path, capsys):
    path = tmp_path / "wide.yaml"
    path.write_text("score: 1\nmeasures:\n  - notes: [1/1: {6: 1, 2: 6}]\n", "utf-8")
    assert main(["place", str(path)]) == 1
    said = capsys.readouterr().err
    assert f"{path}:3:" in said
    assert "154 mm" in said  # equal temperament: 650 (2^(-1/12) - 2^(-6/12))
    assert "possible:" in said
    assert "ask a teacher" in said
    assert not result(path).exists()


def test_a_check_warns_of_wide_stretches_with_the_usual_caution(tmp_path, capsys):
    path = tmp_path / "wide.yaml"
    path.write_text("score: 1\nmeasures:\n  - notes: [1/1: {6: 1, 2: 5}]\n", "utf-8")
    assert main(["check", str(path)]) == 0
    said = capsys.readouterr().err
    assert "a stretch of 127 mm, fret 1 to fret 5" in said
    assert said.count("ask a teacher") == 1


def test_a_check_says_how_hard_each_measure_is(tune, capsys):
    assert main(["check", str(tune), "--difficulty"]) == 0
    said = capsys.readouterr().out
    assert "difficulty" in said
    assert "measure 2:" in said


def test_another_tuning_is_written_at_the_head_and_what_moved_is_told(tune, capsys):
    assert main(["place", str(tune), "--tuning", "half step down", "--no-fingers"]) == 0
    assert "tuning:" in result(tune).read_text("utf-8")
    assert "of 7 notes lie elsewhere" in capsys.readouterr().out
    assert main(["check", str(result(tune))]) == 0


def test_another_key_is_written_at_the_head(tune):
    assert main(["place", str(tune), "--key", "A major"]) == 0
    assert "key: A major" in result(tune).read_text("utf-8")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--hand", "begginer"], 'did you mean "beginner"?'),
        (["--part", "9"], "there is no part"),
        (["--tuning", "drp D"], 'did you mean "drop D"?'),
        (["--key", "H major"], "is not a key"),
        (["--key", "G minor"], "only the tonic"),
        (["--capo", "40"], "a capo at fret 40 is not possible"),
        (["--instrument", "gitar"], 'did you mean "guitar"?'),
        (["--semitones", "99"], "too many"),
        (["--key", "A major", "--semitones", "3"], "do not lead"),
    ],
)
def test_wrong_wishes_are_told_and_nothing_is_written(tune, capsys, options, said):
    assert main(["place", str(tune), *options]) == 1
    assert said in capsys.readouterr().err
    assert not result(tune).exists()


def test_a_score_without_strings_has_nothing_to_place(tmp_path, capsys):
    path = tmp_path / "song.yaml"
    path.write_text("score: 1\ninstrument: voice\nmeasures:\n  - notes: [1/1: C5]\n", "utf-8")
    assert main(["place", str(path)]) == 1
    assert "no part of this score has strings" in capsys.readouterr().err


@pytest.mark.parametrize("sample", sorted(Path("samples").glob("*.yaml")), ids=lambda path: path.stem)
def test_every_sample_is_placed_and_reads_again(sample, tmp_path):
    out = tmp_path / "out.yaml"
    assert main(["place", str(sample), "-o", str(out), "--quiet"]) == 0
    assert main(["check", str(out)]) == 0


def test_an_own_hand_file_is_taken(tune, tmp_path):
    hand = tmp_path / "mine.yaml"
    hand.write_text("hand: 1\nbased-on: advanced\nreach: {hard: 140}\n", "utf-8")
    assert main(["place", str(tune), "--hand", str(hand)]) == 0


def test_mistakes_in_a_hand_file_are_told_with_their_places(tune, tmp_path, capsys):
    hand = tmp_path / "mine.yaml"
    hand.write_text("hand: 1\nbased-on: advanced\nreach: {hrad: 140}\nshft: {}\n", "utf-8")
    assert main(["place", str(tune), "--hand", str(hand)]) == 1
    said = capsys.readouterr().err
    assert f"{hand}:3:9" in said
    assert 'did you mean "hard"?' in said
    assert f"{hand}:4:1" in said


def test_a_tuning_written_as_one_line_of_pitches_is_changed(tune):
    tune.write_text(TUNE.replace("key:", "tuning: D2 A2 D3 G3 B3 E4\nkey:"), "utf-8")
    assert main(["place", str(tune), "--tuning", "E2 A2 D3 G3 B3 D4", "--quiet"]) == 0
    assert main(["check", str(result(tune))]) == 0
    assert "E4" not in result(tune).read_text("utf-8").split("measures:")[0]


def test_what_does_not_fit_another_instrument_is_told_without_strings_that_are_none(tune, capsys):
    tune.write_text(TUNE.replace("[G4,", "[C4,"), "utf-8")
    assert main(["place", str(tune), "--instrument", "ukulele"]) == 1
    told = capsys.readouterr()
    assert "notes lie below the lowest open string of the ukulele" in told.err
    assert "bass" not in told.err
    assert "string 0" not in told.out


@pytest.mark.parametrize(
    "numbers",
    [
        "difficulty: {notes: 0}",
        "difficulty: {travel: -1}",
        "reach: {relaxed: 100, comfortable: 100, hard: 100}",
        "reach: {hard: 900}",
        "shift: {hurry: .nan}",
        "shapes: {thin: .inf}",
        "barre: {each: 1e300}",
    ],
)
def test_numbers_that_no_hand_has_are_a_mistake(tune, tmp_path, capsys, numbers):
    hand = tmp_path / "mine.yaml"
    hand.write_text(f"hand: 1\nbased-on: intermediate\n{numbers}\n", "utf-8")
    assert main(["check", "--difficulty", str(tune), "--hand", str(hand)]) == 1
    assert "must" in capsys.readouterr().err


def test_on_standard_output_there_is_the_score_alone(tune, capfd):
    assert main(["place", str(tune), "--semitones", "2", "--why", "-o", "-"]) == 0
    said = capfd.readouterr()
    assert read_text_score(said.out, ProblemLog("out")) is not None
    assert "of 7 notes lie elsewhere" in said.err
    assert "costs" in said.err


def test_a_trill_keeps_its_interval_where_its_note_goes_to_another_fret(tune):
    """A trill is played to the upper neighbour, a whole or half step away, wherever it is held (Grove, "trill", from memory)."""
    tune.write_text("score: 1\nmeasures:\n  - notes: [1/1: {3: {fret: 5, trill: 7}}]\n", "utf-8")
    assert main(["place", str(tune), "--anew"]) == 0
    score = read_text_score(result(tune).read_text("utf-8"), ProblemLog("tune"))
    (note,) = score.parts[0].measures[0].voices[0].events[0].notes
    (trill,) = note.techniques
    assert (note.string, note.fret) != (3, 5)
    assert trill.to == note.fret + 2
    assert main(["check", str(result(tune))]) == 0
