"""Whatever the system refuses, yesterday's results stand or the new ones are whole, and the message names a file.

Every command is run once to see what it asks of the system, then once for each operation, which fails. Common practice of
careful programs, no source; the errors are those of POSIX (open, write, fsync, rename, unlink, mkdir).
"""

import pytest

from engrave.cli import main
from tests.faults.system import REASONS, contents, failing, unfinished, watching
from tests.faults.works import BOOK, OLD, WORKS, lay

TIDYING = {"os.unlink"}
"""What cannot be tidied up now is left to the next run."""


@pytest.mark.parametrize("lasting", [False, True], ids=["once", "lasting"])
@pytest.mark.parametrize("work", WORKS)
def test_where_an_operation_fails_every_result_is_yesterdays_or_todays(
    work, lasting, tmp_path, monkeypatch, capsys
):
    arguments, results = WORKS[work]
    monkeypatch.chdir(tmp_path)
    before = lay(tmp_path, results)
    with watching(tmp_path) as seen:
        assert main([*arguments, "--quiet"]) == 0
    new = contents(tmp_path)
    assert "os.replace" in seen.names
    for at, name in enumerate(seen.names, start=1):
        lay(tmp_path, results)
        capsys.readouterr()
        with failing(tmp_path, at, REASONS[at % len(REASONS)], lasting):
            status = main([*arguments, "--quiet"])
        said = capsys.readouterr().err
        left = unfinished(tmp_path)
        after = {key: data for key, data in contents(tmp_path).items() if key not in left}
        assert [key for key in after if after[key] not in (before.get(key), new.get(key))] == [], (name, at)
        assert status in (0, 1)
        if status == 0:
            assert after == new, (name, at)
        else:
            assert said, (name, at)
            assert "standard output" not in said
        if not lasting and name not in TIDYING:
            assert left == [], (name, at)
        if work != "place" or after == before:  # the source of other works is what it was
            assert main([*arguments, "--quiet"]) == 0
            assert contents(tmp_path) == new, "the next run mends everything"
            assert unfinished(tmp_path) == []


def test_of_several_files_none_is_replaced_when_one_has_no_room(tmp_path, monkeypatch, capsys):
    arguments, results = WORKS["pictures"]
    folder = tmp_path
    lay(folder, results)
    monkeypatch.chdir(folder)
    with watching(folder) as seen:
        main(arguments)
    writes = [at for at, name in enumerate(seen.names, start=1) if name == "os.write"]
    lay(folder, results)
    capsys.readouterr()
    with failing(folder, writes[-1], REASONS[0]):
        assert main(arguments) == 1
    assert capsys.readouterr().err == (
        "long-2.png: cannot be written: No space left on device; nothing was written\n"
    )
    assert [(folder / name).read_bytes() for name in results] == [OLD, OLD]


def test_of_several_files_the_message_says_which_were_written(tmp_path, monkeypatch, capsys):
    arguments, results = WORKS["pictures"]
    folder = tmp_path
    lay(folder, results)
    monkeypatch.chdir(folder)
    with watching(folder) as seen:
        main(arguments)
    renames = [at for at, name in enumerate(seen.names, start=1) if name == "os.replace"]
    lay(folder, results)
    capsys.readouterr()
    with failing(folder, renames[-1], REASONS[1]):
        assert main(arguments) == 1
    assert capsys.readouterr().err == (
        "long-2.png: cannot be written: Permission denied; written: long-1.png\n"
    )
    assert (folder / "long-1.png").read_bytes().startswith(b"\x89PNG")
    assert (folder / "long-2.png").read_bytes() == OLD


def test_many_files_with_one_reason_are_one_message(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    lay(tmp_path)
    assert main(["make", "long.yaml", "--as", "svg", "-o", "nowhere/page.svg"]) == 1
    assert capsys.readouterr().err == (
        "nowhere/page-1.svg: cannot be written, nor can nowhere/page-2.svg: No such file or directory\n"
    )


def test_a_cache_that_cannot_be_written_is_told_once_and_the_book_is_made(tmp_path, monkeypatch, capsys):
    folder = tmp_path
    lay(folder)
    (folder / "kept").write_text("not a folder", "utf-8")
    monkeypatch.chdir(folder)
    assert main([*BOOK, "--jobs", "1"]) == 0
    assert capsys.readouterr().err == "songs cannot be kept in kept: File exists\n"
    assert (folder / "book.pdf").read_bytes().startswith(b"%PDF")
