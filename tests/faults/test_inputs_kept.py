"""No result replaces anything that it is made from, whatever that is called, and then nothing is written at all."""

import io
import os
import shutil
import subprocess
import sys

import pytest

from engrave.cli import main
from engrave.resources import data_folder
from tests.faults.system import contents
from tests.faults.works import SCORE, TAB

FILES = {
    "tune.score": SCORE.format(title="Tune"),
    "tune.yaml": SCORE.format(title="Tune"),
    "book.yaml": "songbook: 1\ntitle: Book\nsongs: [tune.score]\n",
    "with-picture.yaml": "handout: 1\ncontent:\n  - {picture: dot.png, alt: a dot, width: 30}\n",
    "with-music.yaml": "handout: 1\ncontent:\n  - music: tune.score\n",
    "with-hand.yaml": "handout: 1\ncontent:\n  - music: tune.score\n    difficulty: true\n",
    "house.cfg": "style: 1\nbased-on: songbook\n",
    "styled.yaml": SCORE.format(title="Styled") + "style: house.cfg\n",
    "tab.txt": TAB,
    "signs.cfg": 'signs: {"v": pull-off}\n',
}


@pytest.fixture
def here(tmp_path, monkeypatch):
    from PIL import Image

    for name, text in FILES.items():
        (tmp_path / name).write_text(text, "utf-8")
    Image.new("L", (1, 1)).save(tmp_path / "dot.png")
    shutil.copy(data_folder() / "styles" / "hands" / "beginner.yaml", tmp_path / "hand.yaml")
    (tmp_path / "own-hand.yaml").write_text("hand: 1\nbased-on: hand.yaml\n", "utf-8")
    (tmp_path / "linked.score").symlink_to("tune.score")
    os.link(tmp_path / "tune.score", tmp_path / "same.score")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    "words",
    [
        "make tune.score -o tune.score",
        "make tune.score -o linked.score",
        "make tune.score -o same.score",
        "make linked.score -o tune.score",
        "make book.yaml -o tune.score",
        "make book.yaml -o tune.score --jobs 2",
        "make book.yaml -o tune.score --cache kept",
        "make book.yaml -o same.score --cache kept",
        "make book.yaml --style house.cfg -o house.cfg",
        "make with-picture.yaml --as png -o dot.png",
        "make with-picture.yaml --trace dot.png",
        "make with-music.yaml -o tune.score",
        "make with-music.yaml --trace tune.score",
        "make tune.score --trace tune.score",
        "make tune.yaml --trace tune.yaml",
        "make tune.score --trace linked.score",
        "make styled.yaml -o house.cfg",
        "make styled.yaml --trace house.cfg",
        "make tune.score --style house.cfg -o house.cfg",
        "paper --style house.cfg -o house.cfg",
        "shapes C --as pdf --style house.cfg -o house.cfg",
        "shapes C --as yaml --hand hand.yaml -o hand.yaml",
        "shapes C --as yaml --hand own-hand.yaml -o hand.yaml",
        "place tune.score --hand hand.yaml -o hand.yaml",
        "place tune.score --hand own-hand.yaml -o hand.yaml",
        "read tab.txt --table signs.cfg -o signs.cfg",
        "read tab.txt --table signs.cfg -o tab.score",
        "write tune.score --as midi -o same.score",
    ],
)
def test_nothing_is_written_over_an_input(words, here, capsys):
    if words.endswith("-o tab.score"):
        os.link(here / "tab.txt", here / "tab.score")
    main(["make", "book.yaml", "--cache", "kept", "-o", "yesterday.pdf", "--quiet"])
    before = contents(here)
    capsys.readouterr()
    assert main(words.split()) == 1
    said = capsys.readouterr()
    target = words.split()[words.split().index("--trace" if "--trace" in words else "-o") + 1]
    problem = (
        f"{target}: this is what the result is made from; it is not replaced; give the result another name\n"
    )
    assert said.err.endswith(problem)
    assert said.err.count("not replaced") == 1
    assert said.out == ""
    assert contents(here) == before


def test_a_score_placed_is_replaced_when_it_is_named_by_any_name(here):
    for name in ("tune.score", "linked.score", "./tune.score"):
        assert main(["place", "tune.score", "-o", name, "--quiet"]) == 0
        assert "title: Tune" in (here / name).read_text("utf-8")
    assert (here / "linked.score").is_symlink()


def test_a_trace_is_not_written_over_a_document(here, capsys):
    before = contents(here)
    assert main(["make", "styled.yaml", "--trace", "tune.yaml"]) == 1
    assert capsys.readouterr().err == (
        "tune.yaml: a trace is JSON, and this name ends like a document; name it tune.json\n"
    )
    assert contents(here) == before


def test_what_comes_in_by_standard_input_is_not_replaced_either(here):
    before = (here / "tune.score").read_bytes()
    with (here / "tune.score").open("rb") as stream:
        done = subprocess.run(
            [sys.executable, "-m", "engrave", "make", "-", "-o", "tune.score"],
            stdin=stream,
            capture_output=True,
            check=False,
        )
    assert (done.returncode, done.stdout) == (1, b"")
    assert b"tune.score: this is what the result is made from" in done.stderr
    assert (here / "tune.score").read_bytes() == before


def test_a_later_document_of_the_same_run_is_not_replaced(here, capsys):
    (here / "long.yaml").write_text(FILES["tune.score"] + "  - {new: page, notes: [1/1: {3: 0}]}\n", "utf-8")
    (here / "long-2.png").write_text(SCORE.format(title="Named like a picture"), "utf-8")
    before = contents(here)
    assert main(["make", "long.yaml", "long-2.png", "--as", "png", "--dpi", "20", "--quiet"]) == 1
    assert "long-2.png: this is what the result is made from" in capsys.readouterr().err
    after = contents(here)
    assert after.pop("long-2.png") == before.pop("long-2.png")
    assert "long-1.png" not in after


def test_two_pages_do_not_become_one_file_by_a_link(here, capsys):
    (here / "long.yaml").write_text(FILES["tune.score"] + "  - {new: page, notes: [1/1: {3: 0}]}\n", "utf-8")
    (here / "long-2.png").symlink_to("long-1.png")
    assert main(["make", "long.yaml", "--as", "png", "--dpi", "20"]) == 1
    assert "long-2.png: two files of the result cannot be one file" in capsys.readouterr().err
    assert not (here / "long-1.png").exists()


def test_one_run_does_not_remember_what_another_has_read(here, monkeypatch):
    assert main(["make", "book.yaml", "--quiet"]) == 0
    assert main(["make", "styled.yaml", "-o", "tune.score", "--quiet"]) == 0


def test_a_stream_of_a_program_is_no_file(here, monkeypatch):
    stdin = io.TextIOWrapper(io.BytesIO(FILES["tune.score"].encode()))
    monkeypatch.setattr(sys, "stdin", stdin)
    assert main(["make", "-", "-o", "new.pdf", "--quiet"]) == 0
