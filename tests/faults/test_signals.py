"""A program stopped at any moment leaves yesterday's result or today's, no unfinished file and no process of its own.

Exit statuses are those of shells: 128 and the number of the signal (POSIX, 2.8.2).
"""

import os
import signal
import subprocess
import sys
import time

import pytest

from engrave.cli import main
from tests.faults.system import contents, run_stopped, unfinished, watching
from tests.faults.works import SCORE, WORKS, lay

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="signals of POSIX")
STATUSES = {signal.SIGINT: 130, signal.SIGTERM: 143, signal.SIGKILL: -9}


@pytest.mark.parametrize("number", STATUSES, ids=lambda number: number.name)
@pytest.mark.parametrize("work", ["page and trace", "book", "place", "schema"])
def test_stopped_at_any_operation(work, number, tmp_path, monkeypatch):
    arguments, results = WORKS[work]
    folder = tmp_path / "here"
    folder.mkdir()
    monkeypatch.chdir(folder)
    before = lay(folder, results)
    with watching(folder) as seen:
        assert main([*arguments, "--quiet"]) == 0
    new = contents(folder)
    # Every second operation for one signal, the others for the next: what is left is the same for both.
    for at in range(1 + (number == signal.SIGINT), len(seen.names) + 1, 2):
        lay(folder, results)
        status = run_stopped(arguments, folder, at, number)
        assert status == STATUSES[number]
        assert (tmp_path / "said").read_bytes() == b""
        left = unfinished(folder)
        after = {key: data for key, data in contents(folder).items() if key not in left}
        assert [key for key in after if after[key] not in (before.get(key), new.get(key))] == [], at
        if number != signal.SIGKILL:
            assert left == [], seen.names[at - 1]
        elif work != "place" or after == before:
            assert main([*arguments, "--quiet"]) == 0
            assert contents(folder) == new, "the next run takes away what is left"


@pytest.fixture
def long_book(tmp_path):
    """A book that takes a while, in processes of its own."""
    measures = "  - notes: [1/16: [" + ", ".join(["{3: 0}"] * 16) + "]]\n"
    for name in ("one", "two", "three", "four"):
        (tmp_path / f"{name}.yaml").write_text(SCORE.format(title=name) + measures * 300, "utf-8")
    book = tmp_path / "long.yaml"
    book.write_text("songbook: 1\ntitle: L\nsongs: [one.yaml, two.yaml, three.yaml, four.yaml]\n", "utf-8")
    return book


def children(process):
    """The processes that a process has started (proc(5))."""
    try:
        with open(f"/proc/{process}/task/{process}/children") as listed:
            return listed.read().split()
    except FileNotFoundError:
        return []


@pytest.mark.skipif(not os.path.exists(f"/proc/{os.getpid()}/task"), reason="a list of processes")
@pytest.mark.parametrize("number", STATUSES, ids=lambda number: number.name)
def test_no_process_outlives_the_one_that_was_stopped(number, long_book, tmp_path):
    before = contents(tmp_path)
    arguments = [sys.executable, "-m", "engrave", "make", str(long_book), "--jobs", "2"]
    with subprocess.Popen(
        arguments, stderr=subprocess.PIPE, stdout=subprocess.PIPE, start_new_session=True
    ) as run:
        workers = []
        while len(workers) < 2 and run.poll() is None:
            workers = children(run.pid)
            time.sleep(0.01)
        run.send_signal(number)
        assert run.wait(20) == STATUSES[number]
        assert run.stderr.read() == b""
    assert len(workers) == 2
    ends = time.monotonic() + 20
    while any(is_running(worker) for worker in workers) and time.monotonic() < ends:
        time.sleep(0.01)
    assert not [worker for worker in workers if is_running(worker)]
    assert contents(tmp_path) == before


def is_running(process):
    """True for a process that has not ended, whoever is to hear of its end (proc(5), state)."""
    try:
        with open(f"/proc/{process}/stat") as told:
            return told.read().rpartition(")")[2].split()[0] not in "ZX"
    except (FileNotFoundError, ProcessLookupError):
        return False


def test_what_the_caller_ignores_is_ignored(tmp_path):
    """As behind nohup (POSIX, nohup)."""
    lay(tmp_path)
    code = (
        "import os, signal, sys; signal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
        "from engrave.__main__ import run\nos.kill(os.getpid(), signal.SIGHUP)\n"
        "sys.argv = ['engrave', 'make', 'one.yaml']; run()"
    )
    assert subprocess.run([sys.executable, "-c", code], cwd=tmp_path, check=False).returncode == 0
