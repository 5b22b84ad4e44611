"""Files that cannot be read: one clear message each. UTF-8 as in RFC 3629."""

import os

import pytest

from engrave.problems import ProblemLog
from engrave.source.files import LARGEST, decode, read_text


def messages(path):
    log = ProblemLog(str(path))
    assert read_text(str(path), log) is None
    return [str(problem) for problem in log.problems]


def test_a_missing_file(tmp_path):
    assert messages(tmp_path / "no.yaml")[0].endswith("there is no such file")


def test_a_folder(tmp_path):
    assert "a folder" in messages(tmp_path)[0]


def test_a_file_of_fifty_megabytes(tmp_path):
    path = tmp_path / "big.yaml"
    path.write_bytes(b"#" * 50_000_000)
    assert "1,500,000 bytes" in messages(path)[0]
    assert LARGEST < 50_000_000


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="needs a user without all rights")
def test_a_file_without_permission(tmp_path):
    path = tmp_path / "locked.yaml"
    path.write_text("score: 1")
    path.chmod(0)
    assert "may not be read" in messages(path)[0]


def test_the_first_wrong_byte_is_named():
    log = ProblemLog("f")
    assert decode(b"score: 1\ntitle: caf\xe9\n", log) is None
    assert str(log.problems[0]) == "f:2:11: byte 0xE9 is not UTF-8; save the file as UTF-8"


@pytest.mark.parametrize("data", [b"\xc0\xaf", b"\xed\xa0\x80", b"\xf5\x80\x80\x80", b"\xe2\x82"])
def test_overlong_and_surrogate_forms_are_refused(data):  # RFC 3629, section 3
    assert decode(data, ProblemLog("f")) is None


def test_a_byte_order_mark_is_taken_off():
    assert decode(b"\xef\xbb\xbfscore: 1", ProblemLog("f")) == "score: 1"


def test_null_characters_are_refused():
    log = ProblemLog("f")
    assert decode(b"a: 1\nb\x00", log) is None
    assert str(log.problems[0]).startswith("f:2:2:")
