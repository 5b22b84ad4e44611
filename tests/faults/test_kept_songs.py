"""Songs kept between runs are never older than their text and their style."""

import pytest

from engrave.cli import main
from tests.faults.system import unfinished
from tests.faults.works import SCORE

STYLE = "style: 1\nbased-on: songbook\nstaff: {{height_mm: {height}}}\n"


@pytest.fixture
def book(tmp_path, monkeypatch):
    """A book in a folder of its own, made from the folder above."""
    (tmp_path / "books").mkdir()
    (tmp_path / "books" / "tune.yaml").write_text(SCORE.format(title="Tune"), "utf-8")
    (tmp_path / "books" / "book.yaml").write_text("songbook: 1\ntitle: B\nsongs: [tune.yaml]\n", "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def make(*more):
    assert main(["make", "books/book.yaml", "-o", "out.pdf", "--quiet", "--style", "my.yaml", *more]) == 0
    with open("out.pdf", "rb") as page:
        return page.read()


@pytest.mark.parametrize("folder", [".", "books"], ids=["working folder", "beside the book"])
def test_a_style_changed_anywhere_makes_its_songs_anew(folder, book):
    pages = set()
    for height in (7.5, 5.0, 7.5):
        (book / folder / "my.yaml").write_text(STYLE.format(height=height), "utf-8")
        kept = make("--cache", "kept")
        assert kept == make()
        pages.add(kept)
    assert len(pages) == 2


def test_a_style_laid_beside_the_book_takes_the_place_of_the_one_elsewhere(book):
    (book / "my.yaml").write_text(STYLE.format(height=7.5), "utf-8")
    make("--cache", "kept")
    (book / "books" / "my.yaml").write_text(STYLE.format(height=5), "utf-8")
    assert make("--cache", "kept") == make()


def test_a_song_changed_while_it_is_made_is_not_kept_under_its_old_text(book, monkeypatch):
    from engrave.products import songbook

    (book / "my.yaml").write_text(STYLE.format(height=7.5), "utf-8")
    song = book / "books" / "tune.yaml"
    old = song.read_text("utf-8")

    def make_changed(job, made=songbook.make_song):
        song.write_text(SCORE.format(title="Changed"), "utf-8")
        return made(job)

    with monkeypatch.context() as patch:
        patch.setattr(songbook, "make_song", make_changed)
        make("--cache", "kept", "--jobs", "1")
    song.write_text(old, "utf-8")
    assert make("--cache", "kept") == make()


def test_what_a_killed_run_has_left_in_the_cache_is_taken_away(book):
    from engrave.whole_files import discard, stage_file

    (book / "my.yaml").write_text(STYLE.format(height=7.5), "utf-8")
    make("--cache", "kept")
    left = stage_file(book / "kept" / "song", b"half a song")
    (book / "kept" / "unfinished").write_bytes(b"half a song")
    (book / "kept" / "unfinished").rename(book / "kept" / "mine.txt")
    discard(left)
    dead = left.replace(
        f"-{__import__('os').getpid()}-", "-4194305-"
    )  # beyond the greatest number of a process
    (book / "kept" / dead.rpartition("/")[2]).write_bytes(b"half a song")
    make("--cache", "kept")
    assert unfinished(book) == []
    assert (book / "kept" / "mine.txt").exists()
