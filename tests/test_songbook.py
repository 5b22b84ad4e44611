"""A songbook: every song where the contents say, links that lead there, nothing half written, the same book from any number of processes."""

import io
import pickle
import re

import pdfplumber
import pikepdf
import pytest

from engrave.documents.songbook import Song
from engrave.problems import ProblemLog
from engrave.products.cache import SongCache, song_key
from engrave.products.songs import SongJob, make_song
from engrave.requests.pages import Format, Looks, Prepress
from engrave.resources import data_folder
from engrave.score.structure import View
from engrave.source.parse import parse_yaml
from tests import made

BOOK = data_folder() / "samples" / "books" / "harbour-songs.yaml"


def song(title, measures=4, extra="", notes="[1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]"):
    rows = "".join(f"  - notes: {notes}\n" for _ in range(measures))
    return f"score: 1\ntitle: {title}\n{extra}measures:\n{rows}"


def book(tmp_path, songs, head="", files=()):
    for name, text in files:
        (tmp_path / name).write_text(text, "utf-8")
    path = tmp_path / "book.yaml"
    path.write_text(f"songbook: 1\n{head}songs:\n{songs}", "utf-8")
    return path


def make(path, **values):
    output = path.with_suffix(".pdf")
    outcome = made.make(str(path), output=str(output), **values)
    assert not outcome.failed, [str(p) for p in outcome.problems]
    return output.read_bytes(), outcome


def page_texts(pdf):
    return [page.extract_text() or "" for page in pdfplumber.open(io.BytesIO(pdf)).pages]


@pytest.fixture(scope="module")
def harbour(tmp_path_factory):
    output = tmp_path_factory.mktemp("book") / "book.pdf"
    outcome = made.make(str(BOOK), output=str(output))
    assert not outcome.failed
    return output.read_bytes()


@pytest.fixture(scope="module")
def harbour_texts(harbour):
    return page_texts(harbour)


def test_every_song_starts_where_the_contents_say(harbour_texts):
    contents = next(text for text in harbour_texts if text.startswith("Contents"))
    rows = re.findall(r"^(.+?) \.[ .]*(\d+)$", contents, re.M)
    assert len(rows) == 3 + 15 + 6
    for title, page in rows:
        assert title.strip() in harbour_texts[int(page) - 1], (title, page)


def test_links_of_contents_and_indexes_lead_to_the_pages_they_name(harbour, harbour_texts):
    with pikepdf.open(io.BytesIO(harbour)) as pdf:
        numbers = {page.objgen: number for number, page in enumerate(pdf.pages, start=1)}
        checked = 0
        for number, page in enumerate(pdf.pages, start=1):
            text = harbour_texts[number - 1] if "/Annots" in page else ""
            printed = [int(n) for n in re.findall(r"\.[ .]*(\d+)(?:, \d+)*$", text, re.M)]
            targets = [numbers[annotation.Dest[0].objgen] for annotation in page.get("/Annots", [])]
            named = [target for target in targets if target in printed]
            assert sorted(named) == sorted(printed)
            checked += len(printed)
    assert checked > 60


def test_bookmarks_name_parts_songs_and_indexes(harbour):
    with pikepdf.open(io.BytesIO(harbour)) as pdf, pdf.open_outline() as outline:
        titles = [item.title for item in outline.root]
        assert titles == [
            "Contents",
            "By the water",
            "Dances and rounds",
            "Studies",
            "Titles",
            "Writers",
            "First lines",
            "Keys",
            "Tunings",
            "Signs",
        ]
        assert [child.title for child in outline.root[2].children] == [
            "Greensleeves",
            "Lantern Waltz",
            "Stepping Stones",
            "Rope Walk",
        ]


def test_indexes_stand_a_little_apart_in_the_contents(harbour):
    page = next(
        p
        for p in pdfplumber.open(io.BytesIO(harbour)).pages
        if (p.extract_text() or "").startswith("Contents")
    )
    tops = {line["text"].split(" .")[0]: line["top"] for line in page.extract_text_lines()}
    assert tops["Titles"] - tops["Gull Calls"] > 1.4 * (tops["Writers"] - tops["Titles"])


def test_page_numbers_stand_on_the_outer_side_and_songs_that_ask_start_left(harbour, harbour_texts):
    pages = pdfplumber.open(io.BytesIO(harbour)).pages
    for number, page in enumerate(pages, start=1):
        found = [
            word
            for word in page.extract_words()
            if word["text"] == str(number) and word["top"] > page.height - 60
        ]
        for word in found:
            assert (word["x0"] < page.width / 2) is (number % 2 == 0)
    glass = next(n for n, text in enumerate(harbour_texts, start=1) if text.startswith("Storm Glass"))
    assert glass % 2 == 0


def test_the_inner_margin_is_on_the_side_of_the_spine(tmp_path):
    path = book(tmp_path, "  - a.yaml\n", "contents: false\n", [("a.yaml", song("A", 60))])
    pdf, _ = make(path)
    lefts = [min(line["x0"] for line in page.lines) for page in pdfplumber.open(io.BytesIO(pdf)).pages[:2]]
    assert lefts[0] - lefts[1] == pytest.approx((20 - 13) * 72 / 25.4, abs=0.1)


@pytest.mark.parametrize("jobs", [2, 3])
def test_any_number_of_processes_makes_the_same_book(tmp_path, jobs):
    names = [f"s{n}.yaml" for n in range(6)]
    path = book(
        tmp_path,
        "".join(f"  - {n}\n" for n in names),
        "title: B\nindexes: [title, key]\nexplain-signs: new\n",
        [(n, song(n, notes="[1/2: [{3: 0}, {3: 2 hammer-on}]]")) for n in names],
    )
    alone, _ = make(path, jobs=1)
    together, _ = make(path, jobs=jobs)
    assert alone == together


def test_a_new_sign_is_explained_once_in_the_book(tmp_path):
    files = [(f"s{n}.yaml", song(f"S{n}", 2, notes="[1/2: [{3: 0}, {3: 2 hammer-on}]]")) for n in range(3)]
    pdf, _ = make(
        book(
            tmp_path, "".join(f"  - {n}\n" for n, _ in files), "contents: false\nexplain-signs: new\n", files
        )
    )
    assert sum(text.count("Hammer-on") for text in page_texts(pdf)) == 1
    pdf, _ = make(
        book(
            tmp_path, "".join(f"  - {n}\n" for n, _ in files), "contents: false\nexplain-signs: used\n", files
        )
    )
    assert sum(text.count("Hammer-on") for text in page_texts(pdf)) == 3


def test_one_bad_song_stops_the_book_and_all_mistakes_are_told(tmp_path):
    files = [
        ("good.yaml", song("Good")),
        ("bad.yaml", song("Bad", notes="[1/2: {3: 0}]")),
        ("worse.yaml", song("Worse", 1, notes="[1/1: {9: 0}]")),
    ]
    path = book(tmp_path, "  - good.yaml\n  - bad.yaml\n  - worse.yaml\n  - gone.yaml\n", "", files)
    outcome = made.make(str(path), output=str(tmp_path / "book.pdf"))
    assert outcome.failed
    assert not (tmp_path / "book.pdf").exists()
    assert 'there is no file "gone.yaml"; paths start from' in str(outcome.problems[0])
    path = book(tmp_path, "  - good.yaml\n  - bad.yaml\n  - worse.yaml\n")
    said = "\n".join(
        str(problem) for problem in made.make(str(path), output=str(tmp_path / "book.pdf")).problems
    )
    assert said.count("bad.yaml:") == 4
    assert "worse.yaml:4" in said
    assert not (tmp_path / "book.pdf").exists()
    assert made.check(str(path)).failed


def test_a_chord_sheet_has_the_words_with_the_chords_over_their_syllables(tmp_path):
    text = "score: 1\ntitle: Ferry\nmeasures:\n  - label: Verse\n    chord: {1: C, 3: G7}\n    notes: [1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]\n    lyrics: O-ver the wa-\n  - chord: Am\n    notes: [1/2: [{3: 0}, {3: 2}]]\n    lyrics: ter, low.\n"
    pdf, _ = make(
        book(tmp_path, "  - {file: f.yaml, as: chord-sheet}\n", "contents: false\n", [("f.yaml", text)])
    )
    page = pdfplumber.open(io.BytesIO(pdf)).pages[0]
    words = {word["text"]: word for word in page.extract_words(x_tolerance=1.5)}
    assert "Verse" in words
    assert not page.lines
    first = next(word for text, word in words.items() if text.startswith("O"))
    assert words["C"]["bottom"] <= first["top"] + 2
    assert words["C"]["x0"] == pytest.approx(first["x0"], abs=1)
    seventh = next(word for text, word in words.items() if text.startswith("G"))
    assert seventh["x0"] == pytest.approx(words["the"]["x0"], abs=1)


def test_a_song_without_words_is_no_chord_sheet(tmp_path):
    path = book(tmp_path, "  - {file: f.yaml, as: chord-sheet}\n", "", [("f.yaml", song("F"))])
    (problem,) = made.make(str(path), output=str(tmp_path / "b.pdf")).problems
    assert "no lyrics for a chord sheet" in str(problem)


def test_awkward_turns_are_reported_and_easy_ones_are_not(tmp_path):
    busy = song("Busy", 160)
    path = book(tmp_path, "  - {file: b.yaml, start: right}\n", "contents: false\n", [("b.yaml", busy)])
    _, outcome = make(path)
    assert any("must be turned while playing" in str(problem) for problem in outcome.problems)
    path = book(
        tmp_path,
        "  - {file: b.yaml, start: right}\n",
        "contents: false\n",
        [("b.yaml", song("Free", 160, notes="[1/2: {3: 0}, 1/2: rest]"))],
    )
    _, outcome = make(path)
    assert not outcome.problems


def test_a_kept_song_is_believed_only_when_nothing_has_changed_and_it_is_whole(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_text(song("A"), "utf-8")
    job = SongJob(Song(str(path)), "songbook", "", None)
    cache = SongCache(str(tmp_path / "kept"))
    assert cache.find(cache.key(job)) is None
    result = make_song(job)
    cache.keep(cache.key(job), result)
    found = cache.find(cache.key(job))
    assert found.pages.pages == result.pages.pages
    assert found.facts == result.facts
    assert cache.find(cache.key(job._replace(style="handout"))) is None
    assert cache.find(cache.key(job._replace(known=frozenset({"tap"})))) is None
    kept = tmp_path / "kept" / song_key(job)
    data = bytearray(kept.read_bytes())
    data[-1] ^= 1
    kept.write_bytes(bytes(data))
    assert cache.find(cache.key(job)) is None
    path.write_text(song("B"), "utf-8")
    assert cache.find(cache.key(job)) is None


def test_a_book_from_the_cache_is_the_same_book(tmp_path):
    path = book(
        tmp_path, "  - a.yaml\n  - b.yaml\n", "title: B\n", [("a.yaml", song("A")), ("b.yaml", song("B"))]
    )
    fresh, _ = make(path, cache=str(tmp_path / "kept"))
    again, _ = make(path, cache=str(tmp_path / "kept"))
    assert fresh == again


@pytest.mark.parametrize(
    ("songs", "message"),
    [
        ("  - {section: A, view: tab}\n", '"view" does not belong to a section'),
        ("  - {title: A}\n", "this song has no file"),
        ("  - {section: A}\n", "this book has no song"),
    ],
)
def test_books_that_cannot_be_are_refused(tmp_path, songs, message):
    outcome = made.check(str(book(tmp_path, songs)))
    assert outcome.failed
    assert message in str(outcome.problems[0])


def test_a_book_can_be_a_booklet_an_archive_file_and_pictures(tmp_path):
    path = book(tmp_path, "  - a.yaml\n", "title: B\n", [("a.yaml", song("A"))])
    plain, _ = make(path)
    pages = len(pdfplumber.open(io.BytesIO(plain)).pages)
    folded, _ = make(path, prepress=Prepress(booklet=True))
    assert len(pdfplumber.open(io.BytesIO(folded)).pages) == 2 * -(-pages // 4)
    kept, _ = make(path, prepress=Prepress(archive=True, attach_source=True))
    with pikepdf.open(io.BytesIO(kept)) as pdf:
        assert list(pdf.attachments) == ["book.yaml"]
    outcome = made.make(str(path), output=str(tmp_path / "p.png"), form=Format.PNG, dpi=20)
    assert len(outcome.written) == pages


def test_changes_of_a_style_can_be_sent_to_another_process():
    tree = parse_yaml("signs: {tap: {letters: '+'}}\n", ProblemLog("f"))
    again = pickle.loads(pickle.dumps(tree))
    assert again == tree
    assert again.key_location("signs") == tree.key_location("signs")


def test_a_view_asked_for_outranks_what_the_book_says(tmp_path):
    path = book(tmp_path, "  - {file: a.yaml, view: staff}\n", files=[("a.yaml", song("Quay"))])
    plain, tab = (make(path, looks=Looks(view=view))[0] for view in (None, View.TAB))
    frets = [sum(text.count(digit) for text in page_texts(pdf) for digit in "01") for pdf in (plain, tab)]
    assert frets[1] - frets[0] >= 3 * 4  # three of the four notes of each measure lie at fret 0 or 1


def test_a_song_that_is_missing_does_not_hide_the_mistakes_in_another(tmp_path):
    bad = song("Bad", measures=1, notes="[1/2: {1: 0}]")
    outcome = made.make(str(book(tmp_path, "  - gone.yaml\n  - bad.yaml\n", files=[("bad.yaml", bad)])))
    assert [problem.what for problem in outcome.problems] == [
        'there is no file "gone.yaml"',
        "this measure is too short by 1/2",
    ]
    assert not outcome.written


STRUM = "[1/4: [slash, slash, slash, slash]]"


def test_a_song_as_a_lead_sheet_has_no_tab_and_is_listed_at_its_sounding_key_without_a_tuning(tmp_path):
    text = song("Ferry Bell", extra="key: G major\ncapo: 2\ntuning: drop D\n").replace(
        "  - notes", "  - chord: G\n    notes"
    )
    path = book(
        tmp_path,
        "  - {file: a.yaml, view: lead-sheet}\n",
        "indexes: [key, tuning, sign, difficulty]\n",
        [("a.yaml", text)],
    )
    pdf, outcome = make(path)
    assert [problem.what for problem in outcome.problems] == [
        f'the index "{name}" is left out, as no song has an entry for it' for name in ("tuning", "sign")
    ]
    words = "\n".join(page_texts(pdf))
    assert "A major" in words
    assert "G major" not in words
    assert "Capo" not in words
    assert "drop D" not in words


def test_a_song_without_a_tune_is_no_lead_sheet_and_the_book_says_so(tmp_path):
    files = [("a.yaml", song("Ferry Bell", notes=STRUM)), ("b.yaml", song("Quay", notes=STRUM))]
    path = book(tmp_path, "  - {file: a.yaml, view: lead-sheet}\n  - b.yaml\n", files=files)
    problems = [str(problem) for problem in made.check(str(path)).problems]
    assert len(problems) == 1
    assert problems[0].startswith(f"{path}:3:5: a lead sheet needs a tune")


def test_a_song_without_words_is_no_chord_sheet_and_the_book_says_so(tmp_path):
    path = book(tmp_path, "  - {file: a.yaml, as: chord-sheet}\n", files=[("a.yaml", song("Ferry Bell"))])
    (problem,) = made.make(str(path), output=str(tmp_path / "out.pdf")).problems
    assert str(problem).startswith(f"{path}:3:5: this song has no lyrics")
