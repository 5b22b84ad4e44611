"""No file of the user's is ever lost: sources, what scores were read from, devices, links."""

import os
import subprocess
import sys

import pytest

from engrave.cli import main
from engrave.commands.delivery import deliver

SCORE = "score: 1\ntitle: Quay\nmeasures:\n  - notes: [1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]\n"
TAB = "e|-0-1-3-0-|\nB|---------|\nG|---------|\nD|---------|\nA|---------|\nE|---------|\n"


@pytest.fixture
def score(tmp_path):
    path = tmp_path / "quay.yaml"
    path.write_text(SCORE, "utf-8")
    return path


@pytest.mark.parametrize("command", [["make"], ["write", "--as", "midi"], ["write", "--as", "musicxml"]])
def test_a_result_never_replaces_its_source(tmp_path, monkeypatch, command, capsys):
    monkeypatch.chdir(tmp_path)
    source = tmp_path / "quay.score"  # an ending that tells nothing
    source.write_text(SCORE, "utf-8")
    assert main([*command, "quay.score", "-o", "./quay.score"]) == 1
    assert source.read_text("utf-8") == SCORE
    assert "not replaced" in capsys.readouterr().err


def test_a_typed_tab_is_not_replaced_by_its_score(tmp_path, capsys):
    tab = tmp_path / "tune"
    tab.write_text(TAB, "utf-8")
    assert main(["read", str(tab), "-o", str(tab)]) == 1
    assert tab.read_text("utf-8") == TAB


def test_a_tab_is_not_replaced_by_what_its_score_is_written_back_as(tmp_path, capsys):
    tab = tmp_path / "tune.txt"
    tab.write_text(TAB, "utf-8")
    assert main(["read", str(tab), "--quiet"]) == 0
    assert main(["write", str(tmp_path / "tune.yaml"), "--as", "text"]) == 1
    assert "name the result with -o" in capsys.readouterr().err
    assert tab.read_text("utf-8") == TAB


def test_sound_is_made_again_over_yesterdays(score):
    pytest.importorskip("numpy")
    for _ in range(2):
        assert main(["write", str(score), "--as", "wav", "--quiet"]) == 0


def test_a_trace_does_not_replace_the_page(score, tmp_path, capsys):
    page = tmp_path / "quay.pdf"
    assert main(["make", str(score), "--trace", str(page)]) == 1
    assert "cannot be one file" in capsys.readouterr().err
    assert not page.exists()


def test_two_scores_of_one_name_do_not_share_a_page(score, tmp_path, capsys):
    other = tmp_path / "more" / "quay.yaml"
    other.parent.mkdir()
    other.write_text(SCORE, "utf-8")
    with pytest.raises(SystemExit) as stop:
        main(["make", str(score), str(other), "-o", str(tmp_path)])
    assert stop.value.code == 2
    assert "would both become" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "right"),
    [
        (["make", "x.yaml", "-o", "x.png"], "x.pdf"),
        (["make", "x.yaml", "-o", "other.yaml"], "other.pdf"),
        (["write", "x.yaml", "--as", "midi", "-o", "x.txt"], "x.mid"),
        (["read", "x.txt", "-o", "y.txt"], "y.yaml"),
        (["place", "x.yaml", "-o", "y.pdf"], "y.yaml"),
        (["shapes", "C", "-o", "c.pdf"], "c.txt"),
        (["paper", "--as", "svg", "-o", "p.pdf"], "p.svg"),
    ],
)
def test_a_name_that_ends_like_another_form_is_wrong_use(arguments, right, capsys):
    with pytest.raises(SystemExit) as stop:
        main(arguments)
    assert stop.value.code == 2
    assert f"name it {right}" in capsys.readouterr().err


@pytest.mark.skipif(os.name != "posix", reason="links and pipes of POSIX")
def test_a_link_stays_a_link_and_a_pipe_a_pipe(tmp_path):
    real, link, pipe = tmp_path / "real.pdf", tmp_path / "link.pdf", tmp_path / "pipe"
    link.symlink_to(real)
    assert deliver({str(link): b"new"}) == ([], [str(link)])
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    os.mkfifo(pipe)
    with subprocess.Popen(
        [sys.executable, "-c", f"print(open({str(pipe)!r}).read(), end='')"], stdout=subprocess.PIPE
    ) as reader:
        assert deliver({str(pipe): b"music"}) == ([], [str(pipe)])
        assert reader.stdout.read() == b"music"
    assert pipe.is_fifo()


def test_a_name_as_long_as_the_system_allows(tmp_path):
    longest = tmp_path / ("n" * (os.pathconf(tmp_path, "PC_NAME_MAX") - 4) + ".pdf")
    assert deliver({str(longest): b"x"}) == ([], [str(longest)])
    assert list(tmp_path.iterdir()) == [longest]


def test_nothing_is_left_beside_a_folder_that_is_in_the_way(tmp_path):
    (tmp_path / "x.pdf").mkdir()
    problems, written = deliver({str(tmp_path / "x.pdf"): b"x"})
    assert "cannot be written" in str(problems[0])
    assert not written
    assert [path.name for path in tmp_path.iterdir()] == ["x.pdf"]
