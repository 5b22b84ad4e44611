"""`engrave make FOLDER`: every document in it, and of those that were made already only what has changed."""

import json
import os
import subprocess
import sys

import pytest

from engrave.cli import main
from engrave.commands.folders import RECORD, find_documents

SCORE = "score: 1\ntitle: {}\nmeasures:\n  - notes: [1/1: 3:2]\n"
NOTHING = "nothing has changed"


@pytest.fixture
def folder(tmp_path):
    """Two scores, a songbook of one of them, a style, and things that are no documents."""
    (tmp_path / "one.yaml").write_text(SCORE.format("One"), "utf-8")
    (tmp_path / "inner").mkdir()
    (tmp_path / "inner" / "two.yaml").write_text(SCORE.format("Two") + "style: ../own.yaml\n", "utf-8")
    (tmp_path / "book.yaml").write_text("songbook: 1\ntitle: Book\nsongs:\n  - one.yaml\n", "utf-8")
    (tmp_path / "own.yaml").write_text("style: 1\nstaff: {height_mm: 8}\n", "utf-8")
    (tmp_path / "notes.txt").write_text("score: 1\n", "utf-8")
    (tmp_path / ".hidden.yaml").write_text(SCORE.format("Hidden"), "utf-8")
    return tmp_path


def make(folder, capsys, *more):
    """The documents that were made, those of which nothing had changed, and what else was said."""
    status = main(["make", str(folder), *more])
    said = capsys.readouterr()
    made = {os.path.relpath(line, folder) for line in said.out.splitlines()}
    kept = {
        os.path.relpath(line.partition(": ")[0], folder) for line in said.err.splitlines() if NOTHING in line
    }
    return made, kept, status, [line for line in said.err.splitlines() if NOTHING not in line]


ALL = {"one.pdf", os.path.join("inner", "two.pdf"), "book.pdf"}


def test_documents_are_found_by_what_they_say_they_are(folder):
    found = [os.path.relpath(path, folder) for path in find_documents(str(folder))]
    assert found == ["book.yaml", "one.yaml", os.path.join("inner", "two.yaml")]


def test_every_document_is_made_and_then_none_again(folder, capsys):
    assert make(folder, capsys) == (ALL, set(), 0, [])
    pages = {name: (folder / name).read_bytes() for name in ALL}
    made, kept, status, _ = make(folder, capsys)
    assert (made, status) == (set(), 0)
    assert kept == {"one.yaml", os.path.join("inner", "two.yaml"), "book.yaml"}
    assert pages == {name: (folder / name).read_bytes() for name in ALL}


def test_a_file_that_was_only_touched_has_not_changed(folder, capsys):
    make(folder, capsys)
    os.utime(folder / "one.yaml", (1, 1))
    assert make(folder, capsys)[0] == set()


@pytest.mark.parametrize(
    ("changed", "made"),
    [
        ("one.yaml", {"one.pdf", "book.pdf"}),
        ("own.yaml", {os.path.join("inner", "two.pdf")}),
        (os.path.join("inner", "two.yaml"), {os.path.join("inner", "two.pdf")}),
        ("book.pdf", {"book.pdf"}),
    ],
)
def test_what_depends_on_a_changed_file_is_made(folder, capsys, changed, made):
    make(folder, capsys)
    with (folder / changed).open("ab") as stream:
        stream.write(b"\n# changed\n")
    assert make(folder, capsys)[0] == made


def test_a_result_that_is_gone_is_made_again(folder, capsys):
    make(folder, capsys)
    (folder / "one.pdf").unlink()
    assert make(folder, capsys)[0] == {"one.pdf"}


def test_what_is_asked_for_otherwise_is_made(folder, capsys):
    make(folder, capsys)
    assert make(folder, capsys, "--size", "A5")[0] == ALL
    assert make(folder, capsys, "--size", "A5")[0] == set()


def test_a_wrong_document_is_told_each_time_and_the_others_are_made(folder, capsys):
    (folder / "one.yaml").write_text(SCORE.format("One").replace("3:2", "9:2"), "utf-8")
    for made in ({os.path.join("inner", "two.pdf")}, set()):
        found, _, status, said = make(folder, capsys)
        assert (found, status) == (made, 1)
        assert any("one.yaml:4" in line for line in said)


def test_warnings_are_told_though_nothing_has_changed(folder, capsys):
    (folder / "one.yaml").write_text(SCORE.format("One").replace("3:2", "3:2 hammer-on"), "utf-8")
    first, second = make(folder, capsys), make(folder, capsys)
    assert first[3]
    assert second[0] == set()
    assert second[3] == first[3]


@pytest.mark.parametrize("record", [b"", b"{", b"[]", b'{"form": 1, "documents": {"one.yaml": 7}}', b"\xff"])
def test_a_spoilt_record_counts_as_none(folder, capsys, record):
    make(folder, capsys)
    (folder / RECORD).write_bytes(record)
    assert make(folder, capsys)[0] == ALL


def test_a_record_that_is_not_ours_is_believed_in_nothing(folder, capsys):
    make(folder, capsys)
    record = json.loads((folder / RECORD).read_text("utf-8"))
    for entry in record["documents"].values():
        entry["warnings"] = [{"what": 1}]
    (folder / RECORD).write_text(json.dumps(record), "utf-8")
    assert make(folder, capsys)[0] == ALL


def test_results_of_one_name_cannot_go_into_one_folder(folder, capsys):
    (folder / "inner" / "one.yaml").write_text(SCORE.format("Other"), "utf-8")
    (folder / "out").mkdir()
    made, _, status, said = make(folder, capsys, "-o", str(folder / "out"))
    assert (made, status) == (set(), 1)
    assert "would both become" in said[0]


def test_a_folder_without_documents_is_told(tmp_path, capsys):
    made, _, status, said = make(tmp_path, capsys)
    assert (made, status) == (set(), 1)
    assert "there is no document in this folder" in said[0]


def test_a_folder_makes_the_same_pages_as_its_files_one_by_one(folder, capsys):
    make(folder, capsys)
    together = (folder / "one.pdf").read_bytes()
    main(["make", str(folder / "one.yaml")])
    assert (folder / "one.pdf").read_bytes() == together


def test_the_record_is_no_clock(folder, capsys):
    make(folder, capsys)
    first = (folder / RECORD).read_bytes()
    for name in (*ALL, RECORD):
        (folder / name).unlink()
    subprocess.run([sys.executable, "-m", "engrave", "make", str(folder), "--quiet"], check=True)
    assert (folder / RECORD).read_bytes() == first
