"""A method book: numbers by chapter, links and pages that are true, answers for whom they are for."""

import re

import pypdf
import pytest

from engrave.marks.mark import Anchor, Link, Text
from engrave.marks.role import Role
from engrave.requests.pages import Edition
from engrave.style.load import load_style
from tests import made
from tests.method_books import (
    NOTE,
    SAMPLE,
    book,
    chapter,
    drawn,
    example,
    links,
    marks,
    problems,
    read_back,
    texts,
    words,
)

POINTS = 72 / 25.4


@pytest.fixture(scope="module")
def walks(tmp_path_factory):
    path = tmp_path_factory.mktemp("walks") / "walks.pdf"
    outcome = made.make(SAMPLE, output=str(path))
    assert not outcome.failed
    return pypdf.PdfReader(path)


# Numbers


def test_examples_and_exercises_are_counted_apart_and_anew_in_each_chapter(tmp_path):
    first = chapter("One", example("a"), "exercise: Play.", example("b"), "exercise: Sing.")
    second = chapter("Two", example("c"), example(), "exercise: Write.", example(name="d"))
    pages = texts(read_back(book(tmp_path, first + second)))
    assert re.findall(r"Ex\w+ [\d.]+", pages[1]) == [
        "Example 1.1",
        "Exercise 1.1",
        "Example 1.2",
        "Exercise 1.2",
    ]
    assert re.findall(r"Ex\w+ [\d.]+", pages[2]) == ["Example 2.1", "Exercise 2.1", "Example 2.2"]


def test_the_words_of_a_book_are_those_of_its_language(tmp_path):
    chapters = chapter(
        "Eins", example("a", name="a"), "exercise: Siehe [](#a), [](#page:a).", "{exercise: x, answer: y}"
    )
    reader = read_back(book(tmp_path, chapters, "language: de\npreface: Guten Tag.\n"))
    whole = " ".join(texts(reader))
    for word in ("Vorwort", "Inhalt", "Kapitel 1", "Beispiel 1.1", "Übung 1.1", "Seite 3", "Lösungen"):
        assert word in whole, word


# References


def test_links_lead_to_the_page_on_which_the_thing_stands_and_say_its_name(tmp_path):
    far = "text: See [](#walk), [](#task), [](#two) and [](#tune); [](#page:tune)."
    near = chapter(
        "Two",
        example("Walk", "walk"),
        "{exercise: Play., name: task}",
        "{page: new}",
        f"{{piece: {NOTE}, title: Tune, name: tune}}",
        name="two",
    )
    reader = read_back(book(tmp_path, chapter("One", far) + near, "contents: false\n"))
    assert "See Example 2.1, Exercise 2.1, Chapter 2 and Tune; page 3." in texts(reader)[0]
    assert list(links(reader)) == [(1, 2), (1, 2), (1, 2), (1, 3), (1, 3)]


def test_a_page_that_is_named_before_it_is_known_is_named_truly(tmp_path):
    """The words that name a page may move it: they are set again until they are true."""
    lines = [
        f"text: 'Line {number} of page [](#page:end), [](#page:end), [](#page:end).'" for number in range(200)
    ]
    path = book(tmp_path, chapter("One", *lines, example("The end", "end")))
    pages = texts(read_back(path))
    (last,) = [number for number, text in enumerate(pages, start=1) if "The end" in text]
    assert len(pages) > 5
    named = re.findall(r"page (\d+)", " ".join(pages))
    assert set(named) == {str(last)}
    assert len(named) == 600


def test_a_link_over_chapters_in_files_of_their_own(tmp_path):
    one = "handout: 1\ntitle: One\ncontent:\n  - text: See [](#far).\n"
    two = f"handout: 1\ntitle: Two\ncontent:\n  - {example('Far', 'far')}\n"
    reader = read_back(book(tmp_path, "  - one.yaml\n  - two.yaml\n", "contents: false\n", one=one, two=two))
    assert "See Example 2.1." in texts(reader)[0]
    assert list(links(reader)) == [(1, 2)]


# Contents, indexes, outline


def test_the_contents_name_the_page_on_which_each_thing_begins(walks):
    pages = texts(walks)
    contents = next(text for text in pages if text.startswith("Contents"))
    rows = re.findall(r"([A-Z1-9][^.]*?) (?:\. ?)+ (\d+)", contents.removeprefix("Contents "))
    assert len(rows) == 15
    for title, page in rows:
        title = re.sub(r"^\d ", "", title)
        assert title in pages[int(page) - 1], title


def test_every_row_of_contents_and_indexes_links_to_the_first_page_that_it_names(tmp_path):
    document = drawn(SAMPLE)
    where = {mark.name: page.number for page in document.pages for _, mark in marks(page, Anchor)}
    checked = 0
    for page in document.pages:
        rows = {
            round(group.y + mark.y * group.scale): mark.text
            for group, mark in marks(page, Text)
            if mark.role is Role.CONTENTS and re.fullmatch(r"[\d, ]+", mark.text)
        }
        for group, link in marks(page, Link):
            low, high = group.y + link.box.bottom * group.scale, group.y + link.box.top * group.scale
            for y, numbers in rows.items():
                if low <= y <= high:
                    assert where[link.target] == int(numbers.split(",")[0])
                    checked += 1
    assert checked > 30


def test_the_outline_leads_to_chapters_headings_pieces_and_lists(walks):
    def flat(entries):
        for entry in entries:
            yield from flat(entry) if isinstance(entry, list) else [entry]

    pages = texts(walks)
    titles = [(entry.title, walks.get_destination_page_number(entry)) for entry in flat(walks.outline)]
    assert [title for title, _ in titles][:4] == [
        "Preface",
        "1  One string",
        "The first four notes",
        "A little tune",
    ]
    for title, page in titles:
        assert re.sub(r"^\d  ", "", title) in pages[page]


def test_indexes_have_every_page_once_where_the_thing_is_found(tmp_path):
    hammer = "{measures: [{chord: Am, notes: [1/2: '3:0', 1/2: '3:2 hammer-on']}]}"
    first = chapter(
        "One", example("a", music=hammer), example("b", music=hammer), "shapes: {F#m: 2 4 4 2 2 2}"
    )
    second = chapter("Two", example("c"))
    third = chapter("Three", example("d", music=hammer), f"{{piece: {NOTE}, title: The Tune}}")
    head = "contents: false\nindexes: [technique, piece, chord, key]\n"
    reader = read_back(book(tmp_path, first + second + third, head))
    found = dict(re.findall(r"(\S[^.]*?) (?:\. ?)+ ((?:\d+(?:, )?)+)", texts(reader)[3]))
    found = {text.split()[-1]: pages for text, pages in found.items()}
    assert found["Hammer-on"] == "1, 3"
    assert found["Am"] == "1, 3"
    assert found["F♯m"] == "1"
    assert found["Tune"] == "3"


def test_a_piece_over_two_pages_is_indexed_where_each_sign_stands(tmp_path):
    plain = "{notes: [1/4: '1:0', 1/4: '1:1', 1/4: '1:3', 1/4: '1:1']}"
    bent = "{notes: [1/2: '3:0', 1/2: '3:2 hammer-on']}"
    measures = ", ".join([plain] * 40 + [bent])
    path = book(
        tmp_path,
        chapter("One", f"{{piece: {{measures: [{measures}]}}, title: Long}}"),
        "contents: false\nindexes: [technique]\n",
    )
    pages = texts(read_back(path))
    assert len(pages) == 3
    assert re.search(r"Hammer-on (?:\. ?)+ 2$", re.sub(r" \d+$| 3 ", " ", pages[2]).strip())


# Answers


ANSWERED = chapter(
    "One",
    "{exercise: Name it., answer: It is an E.}",
    "{exercise: Play it., answer: [{text: So}, {music: " + NOTE + "}]}",
)


def test_answers_stand_at_the_back_under_the_names_of_their_exercises(tmp_path):
    pages = texts(read_back(book(tmp_path, ANSWERED)))
    assert len(pages) == 3
    assert "It is an E" not in pages[1]
    assert re.search(r"Answers Exercise 1.1 It is an E. Exercise 1.2 So", pages[2])
    assert re.search(r"Answers (\. ?)+ 3", pages[0])


@pytest.mark.parametrize(("head", "looks"), [("for: student\n", {}), ("", {"edition": Edition.STUDENT})])
def test_students_have_no_answers(tmp_path, head, looks):
    document = drawn(book(tmp_path, ANSWERED, head), **looks)
    said = " ".join(mark.text for page in document.pages for _, mark in marks(page, Text))
    assert "Exercise 1.2" in said
    assert "Answers" not in said
    assert "It is an" not in said


def test_what_is_asked_for_outranks_what_the_book_says(tmp_path):
    document = drawn(book(tmp_path, ANSWERED, "for: student\n"), edition=Edition.TEACHER)
    assert any("Answers" in words(page, Role.HEADING) for page in document.pages)


def test_a_handout_has_its_answers_on_a_page_of_their_own(tmp_path):
    path = tmp_path / "lesson.yaml"
    path.write_text(
        "handout: 1\ncontent:\n  - {exercise: Name it., answer: It is an E., name: a}\n  - text: See [](#a) on [](#page:a).\n",
        "utf-8",
    )
    pages = texts(read_back(path))
    assert "Exercise 1 Name it. See Exercise 1 on page 1." in pages[0]
    assert "Answers Exercise 1 It is an E." in pages[1]
    assert len(texts(read_back(path, looks=made.Looks(edition=Edition.STUDENT)))) == 1


# Pages


@pytest.fixture
def long_book(tmp_path):
    lines = [f"text: Line {number}." for number in range(120)]
    return drawn(
        book(tmp_path, chapter("First things", *lines) + chapter("Second things", *lines), "title: A Book\n")
    )


def test_left_pages_have_the_book_at_their_head_and_right_pages_the_chapter(long_book):
    """Chicago Manual of Style, 17th edition, 1.11 (from memory); the page on which a chapter opens has none."""
    heads = {page.number: words(page, Role.RUNNING_HEAD) for page in long_book.pages}
    openings = [
        page.number
        for page in long_book.pages
        if any(text.startswith("Chapter ") for text in words(page, Role.SUBTITLE))
    ]
    seen = set()
    for page in range(openings[0], len(heads) + 1):
        if page in openings:
            assert heads[page] == []
        elif page % 2 == 0:
            assert heads[page] == ["A Book"]
        else:
            seen.update(heads[page])
            assert heads[page] == ["1  First things" if page < openings[1] else "2  Second things"]
    assert seen == {"1  First things", "2  Second things"}


def test_numbers_stand_outside_and_margins_are_mirrored(long_book):
    style, _ = load_style("method")
    inner, outer = style.paper.margin_inner * POINTS, style.paper.margin_outer * POINTS
    for page in long_book.pages:
        numbers = [
            (group.x + mark.x * group.scale, mark.text)
            for group, mark in marks(page, Text)
            if mark.role is Role.PAGE_NUMBER
        ]
        body = [group.x + mark.x * group.scale for group, mark in marks(page, Text) if mark.role is Role.BODY]
        for x, text in numbers:
            assert text == str(page.number)
            assert (x < page.width / 2) == (page.number % 2 == 0)
        for x in body:
            assert x >= (outer if page.number % 2 == 0 else inner) - 0.01
        if body:
            assert min(body) == pytest.approx(outer if page.number % 2 == 0 else inner)


@pytest.mark.parametrize(("side", "odd"), [("right", 1), ("left", 0)])
def test_chapters_start_on_the_side_that_is_asked_for(tmp_path, side, odd):
    chapters = "".join(chapter(title, "text: x") for title in ("One", "Two", "Three"))
    document = drawn(book(tmp_path, chapters, f"chapter-start: {side}\n"))
    openings = [
        page.number
        for page in document.pages
        if any(text.startswith("Chapter ") for text in words(page, Role.SUBTITLE))
    ]
    assert len(openings) == 3
    assert all(page % 2 == odd for page in openings)


def test_a_piece_starts_on_the_side_that_is_asked_for(tmp_path):
    piece = f"{{piece: {NOTE}, title: Tune, start: left}}"
    document = drawn(book(tmp_path, chapter("One", piece, "text: After."), "contents: false\n"))
    assert [page.number for page in document.pages if "Tune" in words(page, Role.TITLE)] == [2]


def test_a_piece_that_must_be_turned_while_playing_is_told_of(tmp_path):
    busy = "{notes: [1/4: '1:0', 1/4: '1:1', 1/4: '1:3', 1/4: '1:1']}"
    piece = f"{{piece: {{measures: [{', '.join([busy] * 40)}]}}, title: Long}}"
    path = book(tmp_path, chapter("One", piece), "contents: false\n")
    (told,) = [text for text in problems(path) if "turned" in text]
    assert re.match(
        r"book.yaml:6:\d+: warning: page 1 must be turned while playing, after measure \d+ \(Long\)", told
    )
    path.write_text(path.read_text("utf-8").replace("title: Long", "title: Long, start: left"), "utf-8")
    assert problems(path) == []


def test_a_page_is_turned_where_the_hands_are_free_if_such_a_place_is_near(tmp_path):
    busy = "{notes: [1/4: '1:0', 1/4: '1:1', 1/4: '1:3', 1/4: '1:1']}"
    rest = "{notes: [1/2: '1:0', 1/2: rest]}"
    for free in range(1, 30):
        measures = [rest if number == free else busy for number in range(44)]
        piece = f"{{piece: {{measures: [{', '.join(measures)}]}}, title: Long}}"
        if not problems(book(tmp_path, chapter("One", piece), "contents: false\n")):
            return
    pytest.fail("no rest was used for turning the page")
