"""The indexes of a book say what a reader looks for, in the alphabet of the book (common practice, no source)."""

import io
import re

import pdfplumber
import pytest

from engrave.documents.songbook import NO_STRINGS, Index, Songbook, SongFacts
from engrave.products.indexes import Listed, index_rows, sort_key, writer_sort_name
from engrave.style.load import load_style
from tests.made import make

STYLE, _ = load_style("songbook")
BOOK = Songbook("Book", "", "", "en", "songbook", False, True, (), (), ())


def listed(title="Song", page=1, **facts):
    fields = {"writers": (), "first_line": "", "key": "", "tuning": NO_STRINGS, "signs": ()} | facts
    return Listed(SongFacts(title=title, **fields), page, f"entry-{page}")


def texts(index, *songs, book=BOOK):
    return [row.text for row in index_rows(index, songs, STYLE, book)]


@pytest.mark.parametrize(
    ("title", "language", "same"),
    [("The Water", "en", "Water"), ("L’Été", "fr", "Ete"), ("Das Boot", "de", "Boot"), ("A", "en", "a"), ("Theory", "en", "theory"), ("Die Hard", "en", "Die Hard"), ("La Paloma", "es-MX", "Paloma")],
)  # fmt: skip
def test_titles_are_sorted_without_the_articles_of_their_language(title, language, same):
    assert sort_key(title, "en", language)[0] == sort_key(same, "en", "")[0]


def test_titles_stand_in_the_alphabet_of_the_book():
    songs = [listed(title) for title in ("Øre", "Zoo", "Old Sea", "Łan", "Mist")]
    assert texts(Index.TITLE, *songs) == ["Łan", "Mist", "Old Sea", "Øre", "Zoo"]
    norwegian = BOOK._replace(language="nb")
    assert texts(Index.TITLE, *songs, book=norwegian)[-2:] == ["Zoo", "Øre"]


@pytest.mark.parametrize(
    ("name", "sorted_by"),
    [("Ann Keel", "Keel Ann"), ("Traditional", "Traditional"), ("Harbour Street evening class", "Harbour Street evening class"), ("Keel, Ann", "Keel, Ann"), ("The Quay Band and Friends", "Quay Band and Friends")],
)  # fmt: skip
def test_writers_stand_under_their_surname(name, sorted_by):
    assert writer_sort_name(name) == sorted_by


def test_a_book_may_say_under_what_a_writer_stands():
    songs = [listed("One", 1, writers=("Zoe van Ark",)), listed("Two", 2, writers=("Ann Keel",))]
    assert texts(Index.WRITER, *songs) == ["Zoe van Ark", "One", "Ann Keel", "Two"]
    book = BOOK._replace(sort_names={"Zoe van Ark": "van Ark, Zoe"})
    assert texts(Index.WRITER, *songs, book=book) == ["Ann Keel", "Two", "van Ark, Zoe", "One"]


def test_difficulty_has_one_form_from_the_easiest_on():
    songs = [listed("Hard", 1, difficulty=6.2), listed("Easy", 2, difficulty=0.4)]
    assert texts(Index.DIFFICULTY, *songs) == ["Easy (0.4 / 10)", "Hard (6.2 / 10)"]


SIGNED = """score: 1
title: Ferry
measures:
  - {notes: [1/4: 1:0 1:2 1:3 1:5], lyrics: Row the boat a}
  - {new: page, notes: [1/4: 1:3 1:5 slide 1:7 vibrato 1:5], lyrics: way to the Quay}
"""


def made(tmp_path, song, head, entry="song.yaml"):
    (tmp_path / "song.yaml").write_text(song, "utf-8")
    path = tmp_path / "book.yaml"
    path.write_text(f"songbook: 1\ntitle: B\ncontents: false\n{head}songs: [{entry}]\n", "utf-8")
    outcome = make(path, output=str(tmp_path / "book.pdf"))
    assert not outcome.failed, [str(problem) for problem in outcome.problems]
    pdf = pdfplumber.open(io.BytesIO((tmp_path / "book.pdf").read_bytes()))
    return [re.sub(r"[ .]+", " ", page.extract_text()) for page in pdf.pages]


def test_the_index_of_signs_names_the_page_where_the_sign_stands(tmp_path):
    pages = made(tmp_path, SIGNED, "indexes: [sign]\n")
    assert "Vibrato 3" in pages[-1]
    assert "Plucked slide 3" in pages[-1]


def test_a_chord_sheet_shows_no_signs_and_lists_none(tmp_path):
    pages = made(tmp_path, SIGNED, "indexes: [sign, title]\n", "{file: song.yaml, as: chord-sheet}")
    assert "Vibrato" not in pages[-1]


def test_a_first_line_ends_where_the_line_ends(tmp_path):
    song = "score: 1\ntitle: F\nmeasures:\n" + "".join(
        f"  - {{notes: [1/4: 1:0 1:2 1:3 1:5], lyrics: '{words}'}}\n"
        for words in ("The ri-ver is", "cold and the", "night is so", "deep, And all", "that I had")
    )
    pages = made(tmp_path, song, "indexes: [first-line]\n")
    assert "The river is cold and the night is so deep 2" in pages[-1]


def test_blank_pages_have_no_number(tmp_path):
    (tmp_path / "song.yaml").write_text(SIGNED, "utf-8")
    (tmp_path / "book.yaml").write_text("songbook: 1\ntitle: B\nsongs: [song.yaml]\n", "utf-8")
    make(tmp_path / "book.yaml", output=str(tmp_path / "book.pdf"))
    pdf = pdfplumber.open(io.BytesIO((tmp_path / "book.pdf").read_bytes()))
    assert pdf.pages[1].extract_text() == ""
