"""A language is a language: what a page says of its own stands in the table of words of its language, and nowhere else.

Every letter of an author's text becomes an x, so that whatever else can be read on a page is the program's own. Italian
is the language of the trade everywhere (common practice, no source).
"""

import pdfplumber
import pytest

from engrave.cli import main
from engrave.marks.role import Role
from engrave.problems import ProblemLog, Severity
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap
from engrave.style.wordbook import load_wordbook
from tests import made
from tests.language_pages import (
    FOREIGN,
    INDEXES,
    LETTING,
    SAMPLES,
    SCORES,
    book_words,
    english_of,
    muted,
    placed_words,
    rich,
    strange,
    table_words,
    words_of,
    written,
)


@pytest.mark.parametrize("language", FOREIGN)
@pytest.mark.parametrize("source", SCORES, ids=lambda path: path.stem)
def test_a_score_says_nothing_but_the_words_of_its_language(tmp_path, source, language):
    path = written(source, tmp_path, language=language, **{"explain-signs": "used", "counting": True})
    assert strange(placed_words(path), language) == set()


@pytest.mark.parametrize("language", FOREIGN)
def test_a_handout_says_nothing_but_the_words_of_its_language(tmp_path, language):
    path = written(SAMPLES / "handouts" / "first-slides.yaml", tmp_path, language=language)
    found = placed_words(path)
    assert strange(found, language) == set()
    assert set(words_of(" ".join(load_wordbook(language).page[:7]))) & found


@pytest.mark.parametrize("language", FOREIGN)
def test_paper_says_nothing_but_the_words_of_its_language(tmp_path, language):
    path = written(
        SAMPLES / "paper" / "lesson-sheet.yaml", tmp_path, language=language, title=True, date=True
    )
    page = load_wordbook(language).page
    assert strange(placed_words(path), language) == set()
    assert {page.title.casefold(), page.date.casefold()} <= placed_words(path)


@pytest.fixture(scope="module", params=FOREIGN)
def book(request, tmp_path_factory):
    """(language, text of each page) of the sample book with all its indexes; no song names a language."""
    folder = tmp_path_factory.mktemp("book")
    path = written(SAMPLES / "books" / "harbour-songs.yaml", folder, language=request.param, indexes=INDEXES)
    return request.param, book_words(path)


def test_a_songbook_says_nothing_but_the_words_of_its_language(book):
    language, pages = book
    assert english_of(pages, language) == set()


@pytest.mark.parametrize("language", FOREIGN)
def test_a_songbook_in_english_would_be_noticed(tmp_path, language):
    (tmp_path / "song.yaml").write_text(LETTING.format(head=""), "utf-8")
    path = tmp_path / "book.yaml"
    path.write_text("songbook: 1\nsongs: [song.yaml]\nindexes: [key, tuning, writer]\n", "utf-8")
    assert {"contents", "keys", "words", "writers"} <= english_of(book_words(path), language)


def test_contents_and_indexes_are_headed_in_the_language_of_the_book(book):
    language, pages = book
    wordbook = load_wordbook(language)
    text = "\n".join(pages)
    for heading in (
        wordbook.page.contents,
        *wordbook.indexes.values(),
        wordbook.instruments["guitar"],
        wordbook.tunings["standard"],
    ):
        assert heading in text, heading


@pytest.mark.parametrize(
    ("language", "names"),
    [
        ("de", ["a-Moll", "C-Dur", "G-Dur"]),
        ("fr", ["la mineur", "do majeur", "sol majeur"]),
        ("es", ["La menor", "Do mayor", "Sol mayor"]),
    ],
)
def test_keys_are_indexed_by_their_names_in_the_language(book, language, names):
    if book[0] == language:
        text = " ".join(book[1])
        assert [name for name in names if name not in text] == []


@pytest.mark.parametrize("language", FOREIGN)
def test_a_page_in_english_would_be_noticed(tmp_path, language):
    """The tests above can fail: what they look for is found on the same page in English."""
    assert strange(placed_words(rich(tmp_path, f"language: {language}\n")), language) == set()
    english = strange(placed_words(rich(tmp_path, "language: en\n")), language)
    assert {
        "words",
        "music",
        "arranged",
        "by",
        "tuning",
        "capo",
        "guitar",
        "voice",
        "ring",
        "full",
        "signs",
    } <= english | table_words(language)
    assert len(english) > 20


@pytest.mark.parametrize(
    ("language", "credits"),
    [
        ("en", "Words: Xxx|Music: Xx|Arranged by Xxxx"),
        ("de", "Text: Xxx|Musik: Xx|Bearbeitung: Xxxx"),
        ("fr", "Paroles\u00a0: Xxx|Musique\u00a0: Xx|Arrangement\u00a0: Xxxx"),
        ("es", "Letra: Xxx|Música: Xx|Arreglo: Xxxx"),
    ],
)
def test_credits_speak_the_language(tmp_path, language, credits):
    assert texts(rich(tmp_path, f"language: {language}\n"), Role.CREDIT) == credits.split("|")


@pytest.mark.parametrize(
    ("language", "line", "names"),
    [
        ("en", "Guitar: Tuning: D A D G B E,  Capo II", "Guitar Voice Xxx"),
        ("de", "Gitarre: Stimmung: D A D G B E,  Kapodaster II", "Gitarre Gesang Xxx"),
        ("fr", "Guitare\u00a0: Accordage\u00a0: D A D G B E,  Capodastre II", "Guitare Chant Xxx"),
        ("es", "Guitarra: Afinación: D A D G B E,  Cejilla II", "Guitarra Voz Xxx"),
    ],
)
def test_tuning_capo_and_parts_without_a_name_speak_the_language(tmp_path, language, line, names):
    path = rich(tmp_path, f"language: {language}\n")
    assert texts(path, Role.TUNING_TEXT)[0] == line
    assert texts(path, Role.PART_NAME) == names.split()


def test_an_authors_name_for_a_part_stays(tmp_path):
    path = rich(tmp_path, "language: de\n")
    path.write_text(path.read_text("utf-8").replace("{id: guitar}", "{id: guitar, name: Guitar}"), "utf-8")
    assert texts(path, Role.PART_NAME)[0] == "Guitar"


def texts(path, role):
    document, outcome = made.place(str(path))
    assert document is not None, [str(problem) for problem in outcome.problems]
    marks = [mark for page in document.pages for group in page.groups for mark in group.marks]
    return [mark.text for mark in marks if mark.role is role]


def test_german_letters_for_notes_are_a_choice(tmp_path):
    head = "language: de\nhouse-style: {words: {note_letters: german}}\n"
    path = rich(tmp_path, head)
    path.write_text(path.read_text("utf-8").replace("N.C.", "{1: B7, 3: Bb}"), "utf-8")
    assert "".join(texts(path, Role.CHORD_NAME)) == "H7B♭"
    assert texts(path, Role.STRING_NAME) == ["E", "H", "G", "D", "A", "D"]
    assert "D A D G H E" in texts(path, Role.TUNING_TEXT)[0]


def warnings(path):
    return [
        str(problem) for problem in made.check(str(path)).problems if problem.severity is Severity.WARNING
    ]


@pytest.mark.parametrize("document", ["score", "handout", "songbook", "paper"])
def test_a_language_without_a_table_is_told_once(tmp_path, document):
    (tmp_path / "song.yaml").write_text(
        "score: 1\ntitle: X\nlanguage: cy\nmeasures: [{notes: [1/1: {1: 0}]}]\n", "utf-8"
    )
    bodies = {
        "score": "measures: [{notes: [1/1: {1: 0}]}]\n",
        "handout": "content: [{music: song.yaml}, {music: song.yaml}]\n",
        "songbook": "songs: [song.yaml, song.yaml]\n",
        "paper": "title: true\n",
    }
    path = tmp_path / "it.yaml"
    path.write_text(f"{document}: 1\nlanguage: cy\n{bodies[document]}", "utf-8")
    (warning,) = warnings(path)
    assert warning.startswith(
        f'{path}:2:11: warning: there is no table of words in "cy", so what the page says of its own is English'
    )
    assert "de, en, es, fr" in warning


@pytest.mark.parametrize(
    "document",
    [
        "handout: 1\ncontent: [{music: song.yaml}, {music: song.yaml}]\n",
        "songbook: 1\nsongs: [song.yaml, song.yaml]\n",
    ],
)
def test_a_song_in_a_language_without_a_table_is_told_once(tmp_path, document):
    (tmp_path / "song.yaml").write_text(
        "score: 1\ntitle: X\nlanguage: cy\nmeasures: [{notes: [1/1: {1: 0}]}]\n", "utf-8"
    )
    path = tmp_path / "it.yaml"
    path.write_text(document, "utf-8")
    (warning,) = warnings(path)
    assert 'no table of words in "cy"' in warning


@pytest.mark.parametrize("language", ["en", "en-GB", "de", "de-AT", "fr-CA", "es-MX"])
def test_a_language_with_a_table_is_not_told(tmp_path, language):
    assert warnings(rich(tmp_path, f"language: {language}\n")) == []


@pytest.mark.parametrize(
    ("own", "letters", "credit"),
    [("", "klingen lassen", "Text: Xx"), ("language: fr\n", "laissez vibrer", "Paroles : Xx")],
)
def test_a_song_speaks_its_own_language_and_the_books_where_it_names_none(tmp_path, own, letters, credit):
    (tmp_path / "song.yaml").write_text(LETTING.format(head=own), "utf-8")
    path = tmp_path / "book.yaml"
    path.write_text("songbook: 1\nlanguage: de\nsongs: [song.yaml]\nindexes: [key]\n", "utf-8")
    text = " ".join(book_words(path)).replace("\u00a0", " ")
    for words in (letters, credit, "Inhalt", "Tonarten", "C-Dur"):
        assert words in text, text


@pytest.mark.parametrize(
    ("own", "letters"),
    [("", "klingen lassen"), ("language: fr\n", "laissez vibrer"), ("language: en\n", "let ring")],
)
def test_music_in_a_handout_speaks_its_own_language(tmp_path, own, letters):
    (tmp_path / "song.yaml").write_text(LETTING.format(head=own), "utf-8")
    path = tmp_path / "handout.yaml"
    path.write_text(
        "handout: 1\nlanguage: de\nlesson: 3\ncontent: [{music: song.yaml, caption: x}]\n", "utf-8"
    )
    assert texts(path, Role.SPAN_TEXT) == [letters]
    assert texts(path, Role.SUBTITLE) == ["Stunde 3"]
    assert "Beispiel" in " ".join(texts(path, Role.CAPTION))


def test_the_same_song_in_two_books_is_kept_once_a_language(tmp_path):
    (tmp_path / "song.yaml").write_text(LETTING.format(head=""), "utf-8")
    found = []
    for language in ("de", "fr", "de"):
        path = tmp_path / "book.yaml"
        path.write_text(f"songbook: 1\nlanguage: {language}\nsongs: [song.yaml]\n", "utf-8")
        output = tmp_path / "book.pdf"
        assert not made.make(str(path), output=str(output), cache=str(tmp_path / "kept")).failed
        found.append(pdfplumber.open(output).pages[-1].extract_text())
    assert ["klingen" in text for text in found] == [True, False, True]


def test_words_are_hyphenated_as_english_where_no_language_is_named(tmp_path):
    cuts = []
    for head in ("", "language: en\n"):
        path = tmp_path / "handout.yaml"
        path.write_text(
            f"handout: 1\n{head}content: [{{text: '{'hyphenation of syllables ' * 60}'}}]\n", "utf-8"
        )
        cuts.append({text for text in " ".join(texts(path, Role.BODY)).split() if text.endswith("-")})
    assert cuts[0] == cuts[1] != set()


def test_keys_with_signs_can_be_indexed(tmp_path):
    """The text faces have no sharps and flats: these come from the music face."""
    (tmp_path / "song.yaml").write_text(
        "score: 1\ntitle: X\nkey: F# minor\ntuning: half step down\nmeasures: [{notes: [1/1: {1: 0}]}]\n",
        "utf-8",
    )
    path = tmp_path / "book.yaml"
    path.write_text("songbook: 1\nsongs: [song.yaml]\nindexes: [key, tuning]\n", "utf-8")
    text = " ".join(book_words(path))
    assert "♯" in text
    assert "minor" in text
    assert "half step down" in text


def test_paper_takes_its_language_from_an_option(tmp_path, capsys):
    target = tmp_path / "paper.pdf"
    assert main(["paper", "--title", "--date", "--language", "es", "-o", str(target)]) == 0
    text = pdfplumber.open(target).pages[0].extract_text()
    assert "Título" in text
    assert "Fecha" in text


def test_a_sheet_of_shapes_takes_its_language_from_an_option(tmp_path, capsys):
    target = tmp_path / "shapes.pdf"
    assert (
        main(
            [
                "shapes",
                "C",
                "--tuning",
                "DADGAD",
                "--capo",
                "2",
                "--as",
                "pdf",
                "--language",
                "de",
                "-o",
                str(target),
            ]
        )
        == 0
    )
    text = pdfplumber.open(target).pages[0].extract_text()
    assert "Griffbilder" in text
    assert "Gitarre · Stimmung: D A D G A D · Kapodaster II" in text


def test_trees_are_muted_where_the_author_speaks():
    tree = parse_yaml(
        "title: My song\nkey: G major\nmeasures: [{text: {1: softly}, notes: [1/4: [{2: 3 slide}]]}]\n",
        ProblemLog("x"),
    )
    assert isinstance(tree, SourceMap)
    assert muted(tree) == {
        "title": "xx xxxx",
        "key": "G major",
        "measures": [{"text": {"1": "xxxxxx"}, "notes": [{"1/4": [{"2": "3 slide"}]}]}],
    }
