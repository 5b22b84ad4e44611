"""The command that chooses fingers and strokes of the right hand, as a stranger uses it."""

import pytest

from engrave.cli import main

TUNE = """score: 1
title: Pool
measures:
  - notes: [1/8: 5:3 3:0 2:1 1:0 2:1 3:0 2:1 1:0]   # up and down
  - notes: [1/4: [C5, E5 accent, {5: 3, 1: 0}, slash]]
"""


@pytest.fixture
def tune(tmp_path):
    path = tmp_path / "pool.yaml"
    path.write_text(TUNE, "utf-8")
    return path


def placed(path, *more):
    """What `place` writes, without left-hand fingers."""
    assert main(["place", str(path), "--no-fingers", "-o", str(path.with_name("out.yaml")), *more]) == 0
    assert main(["check", str(path.with_name("out.yaml"))]) == 0
    return path.with_name("out.yaml").read_text("utf-8")


def test_letters_are_written_after_the_frets_and_comments_stay(tune):
    text = placed(tune, "--right-hand", "fingers")
    assert "[5:3 p, 3:0 i, 2:1 m, 1:0 a, 2:1 m, 3:0 i, 2:1 m, 1:0 a]]   # up and down" in text
    assert "{5: 3 p, 1: 0 " in text
    assert "slash strum-down" in text


def test_a_pick_writes_strokes(tune):
    text = placed(tune, "--right-hand", "pick")
    assert "[5:3 pick-down, 3:0 pick-up, 2:1 pick-down, 1:0 pick-up" in text
    assert "accent pick-down" in text


def test_a_right_hand_is_chosen_only_when_it_is_asked_for(tune):
    assert "3:0 i" not in placed(tune)


def test_what_was_chosen_is_chosen_again_the_same(tune):
    once = placed(tune, "--right-hand", "fingers")
    tune.write_text(once, "utf-8")
    assert placed(tune, "--right-hand", "fingers") == once


def test_anew_frees_what_was_written(tune):
    tune.write_text("score: 1\nmeasures:\n  - notes: [1/4: [3:0 a pick-up, 2:1 a, 3:0 a, 2:1 a]]\n", "utf-8")
    assert "a," in placed(tune, "--right-hand", "fingers")
    text = placed(tune, "--right-hand", "fingers", "--anew")
    assert "pick-up" not in text
    assert " a" not in text.split("notes:")[1]


def test_reasons_come_with_the_next_best(tune, capsys):
    placed(tune, "--right-hand", "fingers", "--why")
    said = capsys.readouterr().out
    assert "Guitar, right hand: all of it costs" in said
    assert "measure 1, beat 1: p on string 5; costs nothing; next best " in said
    assert "measure 2, beat 4: down, on the beat" in said


def test_of_a_part_that_is_not_named_nothing_changes(tmp_path):
    path = tmp_path / "two.yaml"
    parts = "parts: [{id: one, instrument: guitar}, {id: two, instrument: bass}]"
    music = "  - parts: {one: {notes: [1/1: 5:3]}, two: {notes: [1/2: 3:3 3:3]}}\n"
    path.write_text(f"score: 1\n{parts}\nmeasures:\n{music}", "utf-8")
    text = placed(path, "--right-hand", "fingers", "--part", "two")
    assert "one: {notes: [1/1: 5:3]}" in text
    assert "3:3 i" in text


def test_a_hand_that_there_is_not_is_told_with_the_nearest(tune, capsys):
    assert main(["place", str(tune), "--right-hand", "picks"]) == 1
    assert 'there is no right hand "picks"; did you mean "pick"?' in capsys.readouterr().err


def test_a_right_hand_file_is_never_replaced_by_a_result(tune, tmp_path):
    hand = tmp_path / "mine.yaml"
    hand.write_text("right-hand: 1\nbased-on: fingers\n", "utf-8")
    assert main(["place", str(tune), "--right-hand", str(hand), "-o", str(hand)]) != 0
    assert hand.read_text("utf-8") == "right-hand: 1\nbased-on: fingers\n"
