"""Where processes cannot be used, or end before their work is done, a book is made all the same."""

import errno
import multiprocessing
import os
import signal
from multiprocessing.process import BaseProcess

import pytest

from engrave.cli import main
from engrave.products.workers import Workers
from tests.faults.works import lay

pytestmark = pytest.mark.skipif(os.name != "posix", reason="processes of POSIX")


def double(number):
    return 2 * number


def die_at_three(number):
    if number == 3 and multiprocessing.parent_process() is not None:
        os.kill(os.getpid(), signal.SIGKILL)
    return 2 * number


def send_much(number):
    return bytes(1_000_000 + number)


def refuse(number):
    raise ValueError(f"not {number}")


@pytest.mark.parametrize("count", [0, 1, 2, 3])
def test_results_come_in_the_order_of_their_jobs(count):
    remarks = []
    with Workers(count, remarks.append) as workers:
        assert list(workers.map(double, range(20))) == [2 * n for n in range(20)]
        assert [len(much) for much in workers.map(send_much, range(5))] == [1_000_000 + n for n in range(5)]
    assert remarks == []
    assert multiprocessing.active_children() == []


@pytest.mark.parametrize("count", [1, 2, 3])
def test_the_job_of_a_process_that_was_killed_is_done_here(count):
    remarks = []
    with Workers(count, remarks.append) as workers:
        assert list(workers.map(die_at_three, range(8))) == [2 * n for n in range(8)]
    assert remarks == (
        ["a process ended before its song was done, so that was made again"] if count > 1 else []
    )


def test_all_processes_may_end():
    with Workers(2, lambda words: None) as workers:
        assert list(workers.map(die_at_three, [3, 3, 3, 1, 3])) == [6, 6, 6, 2, 6]


def test_what_a_job_raises_is_raised_here_and_nobody_is_left():
    with pytest.raises(ValueError, match="not 0"), Workers(2, lambda words: None) as workers:
        list(workers.map(refuse, range(4)))
    assert multiprocessing.active_children() == []


@pytest.mark.parametrize("possible", [0, 1])
def test_a_book_is_made_where_no_more_processes_can_be_started(possible, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    lay(tmp_path)
    assert main(["make", "book.yaml", "-o", "right.pdf", "--jobs", "2"]) == 0
    starts = iter([True] * possible)

    def start(process, original=BaseProcess.start):
        if not next(starts, False):
            raise BlockingIOError(errno.EAGAIN, os.strerror(errno.EAGAIN))
        original(process)

    monkeypatch.setattr(BaseProcess, "start", start)
    assert main(["make", "book.yaml", "--jobs", "2"]) == 0
    remark = "no other processes can be used here, so all songs were made one after the other\n"
    assert capsys.readouterr().err == ("" if possible else remark)
    assert (tmp_path / "book.pdf").read_bytes() == (tmp_path / "right.pdf").read_bytes()


def test_a_book_is_made_where_there_are_no_pipes(tmp_path, monkeypatch, capsys):
    def none(*_):
        raise ImportError("this platform lacks a functioning sem_open implementation")

    monkeypatch.chdir(tmp_path)
    lay(tmp_path)
    monkeypatch.setattr(multiprocessing, "Pipe", none)
    assert main(["make", "book.yaml", "--jobs", "2"]) == 0
    assert "one after the other" in capsys.readouterr().err
