"""Handouts and songbooks to be heard: a file for each piece of music, or one tour of all."""

import io
import wave
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.playing.taste import read_sound
from engrave.reading.load import load_score
from tests.exchange.midi_helpers import mido

pytest.importorskip("numpy")

TUNE = "score: 1\ntitle: Quay Side\ntempo: 1/4 = 240\nmeasures:\n  - notes: [1/4: 1:0 1:1 1:3 1:5]\n  - notes: [1/1: 2:1]\n"
OTHER = "score: 1\ntempo: 1/4 = 240\nmeasures:\n  - notes: [1/1: 3:0]\n"
HANDOUT = """handout: 1
title: Lesson
content:
  - text: Play slowly.
  - {music: tune.yaml, measures: 1, caption: First}
  - beside: [{music: tune.yaml, measures: 2}, {music: other.yaml}]
"""
BOOK = "songbook: 1\ntitle: Quays\nsongs: [tune.yaml, {file: other.yaml, title: A Pier}]\n"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name, text in {"tune": TUNE, "other": OTHER, "lesson": HANDOUT, "book": BOOK}.items():
        Path(f"{name}.yaml").write_text(text, "utf-8")
    return tmp_path


def seconds(path):
    with wave.open(io.BytesIO(Path(path).read_bytes())) as sound:
        return sound.getnframes() / sound.getframerate()


def played(path):
    return [
        m.note for m in mido.merge_tracks(mido.MidiFile(path).tracks) if m.type == "note_on" and m.velocity
    ]


def test_each_example_of_a_handout_is_a_file_in_its_order(folder):
    assert main(["write", "lesson.yaml", "--as", "midi", "--quiet"]) == 0
    made = sorted(path.name for path in folder.glob("*.mid"))
    assert made == ["lesson-1-first.mid", "lesson-2.mid", "lesson-3.mid"]
    assert [played(name) for name in made] == [[64, 65, 67, 69], [60], [55]]


def test_each_song_of_a_book_is_a_file_called_by_its_title(folder):
    assert main(["write", "book.yaml", "--as", "musicxml", "--quiet"]) == 0
    assert sorted(path.name for path in folder.glob("*.musicxml")) == [
        "book-1-quay-side.musicxml",
        "book-2-a-pier.musicxml",
    ]


def test_a_tour_is_one_sound_of_all_with_pauses(folder, capfd):
    assert main(["write", "lesson.yaml", "--as", "wav"]) == 0
    single = [seconds(path) for path in sorted(folder.glob("lesson-*.wav"))]
    assert capfd.readouterr().err.count("turn the volume down") == 1
    assert main(["write", "lesson.yaml", "--as", "wav", "--tour"]) == 0
    assert capfd.readouterr().err.count("turn the volume down") == 1
    assert seconds("lesson.wav") == pytest.approx(sum(single) + 2 * read_sound().tour_pause, abs=0.001)


def test_what_was_asked_for_the_music_holds_for_every_piece(folder):
    assert main(["write", "book.yaml", "--as", "midi", "--loop", "2", "-o", "twice.mid", "--quiet"]) == 0
    assert [len(played(f"twice-{name}.mid")) for name in ("1-quay-side", "2-a-pier")] == [10, 2]


def test_results_that_are_there_are_kept_unless_named(folder, capfd):
    Path("lesson-3.txt").write_text("mine", "utf-8")
    for name in ("lesson-1-first.txt", "lesson-2.txt"):
        Path(name).write_text("mine", "utf-8")
    assert main(["write", "lesson.yaml", "--as", "text"]) == 1
    assert "already exists" in capfd.readouterr().err
    assert Path("lesson-3.txt").read_text("utf-8") == "mine"


def test_a_song_that_is_wrong_is_told_and_nothing_is_written(folder, capfd):
    Path("other.yaml").write_text("score: 1\nmeasures:\n  - notes: [1/1: 9:0]\n", "utf-8")
    assert main(["write", "book.yaml", "--as", "midi"]) == 1
    assert "other.yaml:3" in capfd.readouterr().err
    assert not list(folder.glob("*.mid"))


def test_a_handout_without_music_has_nothing_to_write(folder, capfd):
    Path("words.yaml").write_text("handout: 1\ntitle: Words\ncontent:\n  - text: Sing.\n", "utf-8")
    assert main(["write", "words.yaml", "--as", "wav"]) == 1
    assert "there is no music in it" in capfd.readouterr().err


def test_what_is_written_is_read_again(folder):
    assert main(["write", "book.yaml", "--as", "musicxml", "--quiet"]) == 0
    assert main(["read", "book-1-quay-side.musicxml", "--quiet"]) == 0
    assert load_score("book-1-quay-side.yaml")[0].title == "Quay Side"


def test_one_piece_has_no_tour(folder, capfd):
    assert main(["write", "tune.yaml", "--as", "wav", "--tour"]) == 1
    assert "--tour is for handouts and songbooks" in capfd.readouterr().err
