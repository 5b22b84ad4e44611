"""The command line as its users meet it: results, messages, exit statuses, and files that are never left half written."""

import json
import os
import subprocess
import sys

import pypdf
import pytest

from engrave.cli import command, main

GOOD = "score: 1\ntitle: Quay\nmeasures:\n  - notes: [1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]\n"
BAD = "score: 1\nmeasures:\n  - notes: [1/4: {3: 0}]\n  - notes: [1/1: {9: 0}]\n"


@pytest.fixture
def score(tmp_path):
    path = tmp_path / "quay.yaml"
    path.write_text(GOOD, "utf-8")
    return path


def test_the_result_stands_beside_its_source(score, capsys):
    assert main(["make", str(score)]) == 0
    assert capsys.readouterr().out.strip() == str(score.with_suffix(".pdf"))
    assert len(pypdf.PdfReader(score.with_suffix(".pdf")).pages) == 1


@pytest.mark.parametrize(("kind", "start"), [("pdf", b"%PDF"), ("svg", b"<?xml"), ("png", b"\x89PNG")])
def test_every_format(score, tmp_path, kind, start):
    target = tmp_path / f"page.{kind}"
    assert main(["make", str(score), "--as", kind, "-o", str(target), "--quiet"]) == 0
    assert target.read_bytes().startswith(start)


@pytest.mark.parametrize("view", ["staff+tab", "rhythm-tab", "tab", "staff", "lead-sheet"])
def test_every_view(score, tmp_path, view):
    trace = tmp_path / "trace.json"
    assert main(["make", str(score), "--view", view, "--trace", str(trace), "--quiet"]) == 0
    roles = {record["role"] for record in json.loads(trace.read_text("utf-8"))}
    assert ("staff-line" in roles) == ("staff" in view or view == "lead-sheet")
    assert ("fret" in roles) == ("tab" in view)
    assert ("stem" in roles) == (view != "tab")


def test_several_files_into_a_folder(score, tmp_path):
    other = tmp_path / "lamp.yaml"
    other.write_text(GOOD, "utf-8")
    folder = tmp_path / "out"
    folder.mkdir()
    assert main(["make", str(score), str(other), "-o", str(folder), "--quiet"]) == 0
    assert sorted(p.name for p in folder.iterdir()) == ["lamp.pdf", "quay.pdf"]


def test_several_pages_are_numbered(tmp_path):
    path = tmp_path / "long.yaml"
    path.write_text(GOOD + "  - {new: page}\n", "utf-8")
    assert main(["make", str(path), "--as", "svg", "--quiet"]) == 0
    assert sorted(p.name for p in tmp_path.glob("*.svg")) == ["long-1.svg", "long-2.svg"]


def test_mistakes_are_all_reported_and_nothing_is_written(tmp_path, capsys):
    path = tmp_path / "bad.yaml"
    path.write_text(BAD, "utf-8")
    old = tmp_path / "bad.pdf"
    old.write_bytes(b"yesterday")
    assert main(["make", str(path)]) == 1
    messages = capsys.readouterr().err.splitlines()
    assert len(messages) == 2
    assert messages[0].startswith(f"{path}:3:18: this measure is too short")
    assert messages[1].startswith(f'{path}:4:19: there is no string "9"')
    assert old.read_bytes() == b"yesterday"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bad.pdf", "bad.yaml"]


def test_check_draws_nothing(score, capsys):
    assert main(["check", str(score)]) == 0
    assert "no problems" in capsys.readouterr().out
    assert not score.with_suffix(".pdf").exists()


def test_a_bad_file_does_not_keep_the_others_from_being_drawn(score, tmp_path):
    bad = tmp_path / "bad.yaml"
    bad.write_text(BAD, "utf-8")
    assert main(["make", str(bad), str(score), "--quiet"]) == 1
    assert score.with_suffix(".pdf").exists()


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe",
        b"a: [",
        b"[" * 1000,
        b"just words",
        b"- 1\n- 2\n",
        b"score: 1\nmeasures: [{notes: [1/4: 7]}]\n",
        b"\x00\x01\x02",
        b"score: [1]\nmeasures: {a: 1}\n",
        b"scroe: 1\n",
        b"score: 1\nmeasures: [{chord: {1: {2: 3}}}]\n",
        b"score: 1\nmeasures: [{lyrics: {0: x}}]\n",
        b"score: 1\nmeasures: [{tab: ''}]\n",
        b"? ? ?\n",
        b"score: 1\nmeasures: [~]\n",
    ],
)
def test_bad_input_gets_messages_and_no_traceback(tmp_path, content, capsys):
    path = tmp_path / "bad.yaml"
    path.write_bytes(content)
    assert main(["make", str(path)]) == 1
    error = capsys.readouterr().err
    assert error.startswith(str(path))
    assert "Traceback" not in error
    assert list(tmp_path.iterdir()) == [path]


def test_a_character_that_no_face_has_is_named(tmp_path, capsys):
    path = tmp_path / "bad.yaml"
    path.write_text(GOOD.replace("Quay", "Quay 漢") + "    lyrics: one two три 𝄞\n", "utf-8")
    assert main(["make", str(path)]) == 1
    error = capsys.readouterr().err
    assert '"漢" (U+6F22' in error
    assert ':5:25: "𝄞" (U+1D11E, musical symbol g clef) cannot be printed' in error
    assert "три" not in error


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["make"],
        ["mkae", "x"],
        ["make", "x", "--as", "gif"],
        ["make", "a", "b", "-o", "c.pdf"],
        ["make", "x", "--dpi", "5"],
        ["make", "x", "-o", "-", "--as", "png"],
    ],
)
def test_wrong_use_is_status_two(arguments, capsys):
    with pytest.raises(SystemExit) as stop:
        main(arguments)
    assert stop.value.code == 2
    assert "usage:" in capsys.readouterr().err


def run(arguments, **options):
    return subprocess.run(
        [sys.executable, "-m", "engrave", *arguments], capture_output=True, check=False, **options
    )


def test_standard_input_and_output():
    done = run(["make", "-", "-o", "-"], input=GOOD.encode())
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(b"%PDF")


def test_a_folder_that_is_not_there_is_one_message(score):
    done = run(["make", str(score), "-o", str(score.parent / "no" / "x.pdf")])
    assert done.returncode == 1
    assert b"cannot be written" in done.stderr
    assert b"Traceback" not in done.stderr


def test_two_runs_give_the_same_file(score, tmp_path):
    for name in ("a.pdf", "b.pdf"):
        assert (
            run(
                ["make", str(score), "-o", str(tmp_path / name)],
                env={**os.environ, "PYTHONHASHSEED": str(len(name) * ord(name[0]))},
            ).returncode
            == 0
        )
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_terminal_that_lacks_a_sign_gets_its_number(score, encoding):
    done = run(["check", "--difficulty", str(score)], env={**os.environ, "PYTHONIOENCODING": encoding})
    assert done.returncode == 0, done.stderr
    assert b"\\u2581" in done.stdout


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no device that is always full")
@pytest.mark.parametrize("arguments", [["make", "-o", "-"], ["check"], ["write", "--as", "text", "-o", "-"]])
def test_output_that_cannot_be_written_is_one_message(score, arguments):
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "engrave", *arguments, str(score)],
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
        )
    assert done.returncode == 1
    assert done.stderr.startswith((b"standard output: cannot be written", b"engrave: standard output cannot"))
    assert done.stderr.count(b"\n") == 1


@pytest.mark.skipif(os.name != "posix", reason="closes streams as POSIX shells do")
def test_closed_streams_are_no_traceback(score):
    for closing in ("make - <&-", f"check {score} >&-", f"check {score} 2>&-"):
        done = subprocess.run(
            f"{sys.executable} -m engrave {closing}", shell=True, capture_output=True, check=False
        )
        assert done.returncode == (1 if "<" in closing else 0)
        assert b"Traceback" not in done.stderr


def test_a_program_stopped_from_the_keyboard_says_nothing(monkeypatch, capsys):
    def stopped():
        raise KeyboardInterrupt

    monkeypatch.setattr("engrave.cli.main", stopped)
    with pytest.raises(SystemExit) as stop:
        command()
    assert stop.value.code == 130
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    "arguments",
    [
        ["make", "x", "--creep", "2"],
        ["make", "x", "--bleed", "5"],
        ["paper", "--crop-marks", "--bleed", "9999"],
        ["write", "x", "--as", "text", "--width", "0"],
        ["write", "x", "--as", "text", "--width", "-3"],
    ],
)
def test_options_that_do_nothing_or_cannot_be_are_wrong_use(arguments, capsys):
    with pytest.raises(SystemExit) as stop:
        main(arguments)
    assert stop.value.code == 2
    assert arguments[-2] in capsys.readouterr().err


@pytest.mark.parametrize(
    ("head", "notes", "options", "said"),
    [
        (
            "view: lead-sheet\n",
            "[1/4: [slash, slash, slash, slash]]",
            [],
            ":2:7: a lead sheet needs a tune, and no part has one; write the melody as notes",
        ),
        ("", "[1/4: [slash, slash, slash, slash]]", ["--view", "lead-sheet"], ": a lead sheet needs a tune"),
        (
            "view: lead-sheet\n",
            "[1/1: {1: 0}]",
            [],
            ":2:7: warning: this lead sheet has no chord names; write chord: G over the melody",
        ),
    ],
)
def test_what_is_odd_about_a_lead_sheet_is_told(tmp_path, capsys, head, notes, options, said):
    path = tmp_path / "quay.yaml"
    path.write_text(f"score: 1\n{head}measures:\n  - notes: {notes}\n", "utf-8")
    wrong = "warning" not in said
    assert main(["make", str(path), *options, "--quiet"]) == wrong
    assert f"{path}{said}" in capsys.readouterr().err
    assert path.with_suffix(".pdf").exists() is not wrong
    if not options:
        assert main(["check", str(path)]) == wrong
        assert said in capsys.readouterr().err


def test_one_part_of_several_is_no_lead_sheet(tmp_path, capsys):
    path = tmp_path / "quay.yaml"
    path.write_text("score: 1\nparts: [{id: a, view: lead-sheet}]\nmeasures: [{}]\n", "utf-8")
    assert main(["check", str(path)]) == 1
    assert '"view" cannot be "lead-sheet"' in capsys.readouterr().err
