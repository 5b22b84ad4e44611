"""`engrave new`: what it writes is right as it is, says what it is, and replaces nothing."""

import pytest

from engrave.cli import main
from engrave.documents.kind import Kind
from engrave.problems import ProblemLog
from engrave.reading.load import document_kind, load_tree


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("kind", Kind)
def test_a_start_is_right_as_it_is(folder, kind, capsys):
    assert main(["new", kind.value]) == 0
    name = f"{kind.value}.yaml"
    tree, _ = load_tree(name, ProblemLog(name))
    assert document_kind(tree) is kind
    assert main(["check", name]) == 0
    assert main(["make", name]) == 0
    assert (folder / f"{kind.value}.pdf").read_bytes().startswith(b"%PDF")
    assert "warning" not in capsys.readouterr().err


@pytest.mark.parametrize("kind", Kind)
def test_a_start_says_how_it_is_made_and_what_may_be_changed(folder, kind):
    main(["new", kind.value, "-o", "own.yaml"])
    lines = (folder / "own.yaml").read_text("utf-8").splitlines()
    assert lines[0].startswith("# ")
    assert "engrave make own.yaml" in "".join(lines[:2])
    assert "{" not in lines[0] + lines[1]
    assert max(map(len, lines)) <= 110


def test_a_songbook_brings_a_song_that_lies_beside_it(folder):
    (folder / "class").mkdir()
    assert main(["new", "songbook", "-o", "class"]) == 0
    assert sorted(path.name for path in (folder / "class").iterdir()) == ["song.yaml", "songbook.yaml"]


@pytest.mark.parametrize("there", ["songbook.yaml", "song.yaml"])
def test_nothing_that_exists_is_replaced(folder, there, capsys):
    (folder / there).write_text("mine", "utf-8")
    assert main(["new", "songbook"]) == 1
    assert "this file exists already" in capsys.readouterr().err
    assert [path.name for path in folder.iterdir()] == [there]
    assert (folder / there).read_text("utf-8") == "mine"


def test_a_start_can_be_printed(folder, capfdbinary):
    assert main(["new", "score", "-o", "-"]) == 0
    assert b"engrave make score.yaml" in capfdbinary.readouterr().out
    assert list(folder.iterdir()) == []


def test_a_songbook_cannot_be_printed_for_it_is_two_files(folder):
    with pytest.raises(SystemExit):
        main(["new", "songbook", "-o", "-"])
