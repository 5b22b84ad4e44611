"""Results keep the rights, links and devices that stand where they go; what killed runs have left is taken away."""

import os
import stat
import subprocess
import sys
import time
from contextlib import suppress

import pytest

from engrave.cli import main
from engrave.commands.delivery import deliver
from engrave.whole_files import discard, discard_all, remove_leftovers, replace_file, stage_file
from tests.faults.system import contents, unfinished
from tests.faults.works import SCORE, lay

LONG = "n" * 300
"""Longer than any name may be on the file systems in use (255 bytes; common practice, no source)."""
NO_PROCESS = 4_194_305
"""Beyond the greatest number that Linux gives a process (proc(5), pid_max)."""


def mode(path):
    return stat.S_IMODE(path.stat().st_mode)


@pytest.mark.skipif(os.name != "posix", reason="rights of POSIX")
@pytest.mark.parametrize("mask", [0o022, 0o077, 0o002])
def test_a_new_file_has_the_rights_of_any_new_file_and_an_old_one_keeps_its_own(tmp_path, mask):
    before = os.umask(mask)
    try:
        assert deliver({str(tmp_path / "new.pdf"): b"x"})[0] == []
        assert mode(tmp_path / "new.pdf") == 0o666 & ~mask
        (tmp_path / "new.pdf").chmod(0o640)
        assert deliver({str(tmp_path / "new.pdf"): b"y"})[0] == []
        assert mode(tmp_path / "new.pdf") == 0o640
    finally:
        os.umask(before)


def test_a_file_that_may_not_be_written_is_not_replaced(tmp_path, monkeypatch):
    page = tmp_path / "page.pdf"
    page.write_bytes(b"old")
    monkeypatch.setattr(os, "access", lambda path, way: False)  # the superuser may write everything
    problems, written = deliver({str(page): b"new", str(tmp_path / "trace.json"): b"[]"})
    assert [str(problem) for problem in problems] == [
        f"{page}: cannot be written: Permission denied; nothing was written"
    ]
    assert (written, contents(tmp_path)) == ([], {"page.pdf": b"old"})


@pytest.mark.skipif(os.name != "posix", reason="links of POSIX")
def test_the_other_name_of_a_result_keeps_what_it_had(tmp_path):
    page, other = tmp_path / "page.pdf", tmp_path / "kept.pdf"
    page.write_bytes(b"old")
    os.link(page, other)
    assert deliver({str(page): b"new"})[0] == []
    assert (page.read_bytes(), other.read_bytes()) == (b"new", b"old")


@pytest.mark.skipif(os.name != "posix", reason="links of POSIX")
def test_links_that_lead_nowhere(tmp_path):
    (tmp_path / "round.pdf").symlink_to("round.pdf")
    (tmp_path / "ahead.pdf").symlink_to("later.pdf")
    (problem,), _ = deliver({str(tmp_path / "round.pdf"): b"x"})
    assert "Too many levels of symbolic links" in str(problem)
    assert (tmp_path / "round.pdf").is_symlink()
    assert deliver({str(tmp_path / "ahead.pdf"): b"x"})[0] == []
    assert (tmp_path / "ahead.pdf").is_symlink()
    assert (tmp_path / "later.pdf").read_bytes() == b"x"


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="devices of Linux")
def test_devices(tmp_path):
    lay(tmp_path)
    said = subprocess.run(
        [
            sys.executable,
            "-m",
            "engrave",
            "make",
            "one.yaml",
            "--as",
            "svg",
            "-o",
            "/dev/stdout",
            "--trace",
            "/dev/full",
        ],
        cwd=tmp_path,
        capture_output=True,
        check=False,
    )
    assert said.returncode == 1
    assert said.stdout.startswith(b"<")
    assert said.stderr.endswith(
        b"/dev/full: cannot be written: No space left on device; written: /dev/stdout\n"
    )
    assert unfinished(tmp_path) == []


@pytest.mark.skipif(os.name != "posix", reason="pipes of POSIX")
def test_a_reader_that_has_gone_is_no_mistake_on_standard_output_and_one_elsewhere(tmp_path):
    lay(tmp_path)
    make = f"{sys.executable} -m engrave make one.yaml"
    done = subprocess.run(f"{make} -o - | true", shell=True, cwd=tmp_path, capture_output=True, check=False)
    assert done.stderr == b""
    done = subprocess.run(f"{make} -o - >&-", shell=True, cwd=tmp_path, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (1, b"standard output: cannot be written: Bad file descriptor\n")


@pytest.mark.parametrize(
    ("words", "problem"),
    [
        (["make", LONG + ".yaml"], f"{LONG}.yaml: the file cannot be read"),
        (["make", "one.yaml", "-o", LONG + ".pdf"], f"{LONG}.pdf: cannot be written"),
        (["make", "one.yaml", "-o", f"{LONG}/one.pdf"], f"{LONG}/one.pdf: cannot be written"),
        (["make", "one.yaml", "--trace", LONG], f"{LONG}: cannot be written"),
        (["make", "one.yaml", "--style", LONG], f'one.yaml: there is no style "{LONG}"'),
        (["check", "one.yaml", "--hand", LONG], f'one.yaml: there is no hand "{LONG}"'),
        (["read", "tune.txt", "--table", LONG], f"the table {LONG}: the file cannot be read"),
        (["schema", "-o", LONG], f"{LONG}: cannot be made"),
        (["schema", "score", "-o", LONG + ".json"], f"{LONG}.json: cannot be written"),
        (["shapes", "C", "-o", LONG], f"{LONG}: cannot be written"),
        (["make", "picture.yaml"], "picture.yaml:3:15: there is no picture"),
        (["make", "music.yaml"], "music.yaml:3:12: there is no file"),
        (["make", "songs.yaml"], "songs.yaml:2:9: there is no file"),
        (["make", "folder.yaml"], "folder.yaml:3:12: there is no file"),
    ],
    ids=lambda value: " ".join(value).replace(LONG, "LONG") if isinstance(value, list) else "",
)
def test_a_name_that_is_too_long_is_told_with_what_it_is_for(words, problem, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    lay(tmp_path)
    (tmp_path / "picture.yaml").write_text(
        f"handout: 1\ncontent:\n  - {{picture: {LONG}.png, alt: a}}\n", "utf-8"
    )
    (tmp_path / "music.yaml").write_text(f"handout: 1\ncontent:\n  - music: {LONG}\n", "utf-8")
    (tmp_path / "folder.yaml").write_text(f"handout: 1\ncontent:\n  - music: {LONG}/a\n", "utf-8")
    (tmp_path / "songs.yaml").write_text(f"songbook: 1\nsongs: [{LONG}]\ntitle: T\n", "utf-8")
    before = contents(tmp_path)
    assert main(words) == 1
    said = capsys.readouterr().err
    assert said.startswith(problem), said.replace(LONG, "LONG")
    assert "standard output" not in said
    assert contents(tmp_path) == before


def test_what_killed_runs_have_left_is_taken_away_and_nothing_else(tmp_path):
    now = stage_file(tmp_path / "page.pdf", b"being written")
    machine, process, chance = os.path.basename(now).removeprefix(".engrave-").split("-")
    names = {
        "dead": f".engrave-{machine}-{NO_PROCESS}-{chance}",
        "alive": f".engrave-{machine}-{os.getppid()}-{chance}",
        "earlier process of this number": f".engrave-{machine}-{process}-{chance[::-1]}",
        "elsewhere": f".engrave-{'0' * 8}-{NO_PROCESS}-{chance}",
        "old, elsewhere": f".engrave-{'0' * 8}-{NO_PROCESS}-{chance[::-1]}",
        "somebody's": ".engrave-notes",
    }
    for name in names.values():
        (tmp_path / name).write_bytes(b"")
    two_days_ago = time.time() - 48 * 3600
    os.utime(tmp_path / names["old, elsewhere"], (two_days_ago, two_days_ago))
    remove_leftovers(tmp_path)
    kept = {names[which] for which in ("alive", "elsewhere", "somebody's")} | {os.path.basename(now)}
    assert {path.name for path in tmp_path.iterdir()} == kept
    discard(now)


def test_a_folder_that_is_not_there_has_nothing_left_in_it(tmp_path):
    remove_leftovers(tmp_path / "nowhere")


def test_all_unfinished_files_of_a_process_can_be_taken_away_at_once(tmp_path):
    for name in "ab":
        stage_file(tmp_path / name, b"x")
    discard_all()
    assert list(tmp_path.iterdir()) == []


def test_the_last_who_writes_a_file_is_the_one_who_is_read(tmp_path):
    replace_file(tmp_path / "a", b"1")
    replace_file(tmp_path / "a", b"2")
    assert contents(tmp_path) == {"a": b"2"}


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes of POSIX")
def test_several_runs_at_once_on_one_result_and_one_cache(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    lay(tmp_path)
    arguments = ["make", "book.yaml", "--cache", "kept", "--jobs", "1", "--quiet"]
    running = []
    for _ in range(4):
        child = os.fork()
        if not child:
            status = 99
            with suppress(BaseException):
                status = main(arguments)
            os._exit(status)
        running.append(child)
    seen = set()
    while running:
        with suppress(FileNotFoundError):
            seen.add((tmp_path / "book.pdf").read_bytes())
        child, status = os.waitpid(-1, os.WNOHANG)
        if child:
            running.remove(child)
            assert status == 0
    assert main([*arguments, "-o", "alone.pdf"]) == 0
    assert seen == {(tmp_path / "alone.pdf").read_bytes()}
    assert unfinished(tmp_path) == []


def test_a_line_is_told_when_the_system_refuses_what_nobody_foresaw(tmp_path, monkeypatch, capsys):
    def refuse(*_):
        raise OSError(5, "Input/output error", "somewhere.ttf")

    (tmp_path / "one.yaml").write_text(SCORE.format(title="One"), "utf-8")
    monkeypatch.setattr("engrave.commands.make.open_source", refuse)
    assert main(["make", str(tmp_path / "one.yaml")]) == 1
    assert capsys.readouterr().err == "somewhere.ttf: the system refuses it: Input/output error\n"
