"""Signs, words and recordings of a method book; and all that can be wrong with one, told at once."""

import re

import pytest
import segno

from engrave.marks.mark import Link, Polygon, Text
from engrave.marks.role import Role
from engrave.requests.pages import Edition
from tests import made
from tests.method_books import NOTE, book, chapter, drawn, example, marks, problems, read_back, texts, words

# Signs, glossary, recordings


HAMMER = example("a", music="{measures: [{notes: [1/2: '3:0', 1/2: '3:2 hammer-on']}]}")
PULL = example("b", music="{measures: [{notes: [1/2: '3:0', 1/4: '3:2 hammer-on', 1/4: '3:0 pull-off']}]}")


def explained(document):
    return [(page.number, text) for page in document.pages for text in words(page, Role.EXPLANATION_NAME)]


def test_signs_are_explained_where_they_are_first_met(tmp_path):
    chapters = chapter("One", HAMMER) + chapter("Two", PULL) + chapter("Three", PULL)
    document = drawn(book(tmp_path, chapters, "explain-signs: new\ncontents: false\n"))
    assert explained(document) == [(1, "Hammer-on"), (2, "Pull-off")]


def test_signs_are_explained_at_the_end_and_the_contents_say_so(tmp_path):
    chapters = chapter("One", HAMMER) + chapter("Two", PULL)
    document = drawn(book(tmp_path, chapters, "explain-signs: end\n"))
    assert explained(document) == [(4, "Hammer-on"), (4, "Pull-off")]
    assert "Signs used" in words(document.pages[0], Role.CONTENTS)


def test_the_glossary_is_sorted_and_explains_each_word(tmp_path):
    head = "contents: false\nglossary: {tab: Six lines., Étude: A study., barre: 'See [](#a).'}\n"
    pages = texts(read_back(book(tmp_path, chapter("One", example("x", "a")), head)))
    assert "Glossary barre See Example 1.1. Étude A study. tab Six lines." in pages[1]


def test_recordings_are_numbered_through_the_book_and_listed(tmp_path):
    chapters = chapter("One", example("First", more="recording: a.mp3"), example("Silent")) + chapter(
        "Two",
        f"{{piece: {NOTE}, title: Tune, recording: 'https://example.org/t.mp3'}}",
        example("Last", more="recording: true"),
    )
    document = drawn(book(tmp_path, chapters, "recordings: https://example.org/walk\n"))
    assert [
        text for page in document.pages[1:3] for text in words(page, Role.CAPTION) if "Track" in text
    ] == ["Track 1", "Track 2", "Track 3"]
    listed = [text for text in words(document.pages[3], Role.CONTENTS) if not text.isdigit()]
    assert [" ".join(text.split()) for text in listed] == [
        "Track 1 · Example 1.1: First",
        "Track 2 · Tune",
        "Track 3 · Example 2.1: Last",
    ]
    addresses = [
        mark.target for page in document.pages for _, mark in marks(page, Link) if ":" in mark.target
    ]
    assert addresses == ["https://example.org/walk/a.mp3", "https://example.org/t.mp3"]


def test_a_code_has_the_dark_squares_of_its_address_and_white_around_it(tmp_path):
    """ISO/IEC 18004: four squares of white on every side."""
    address = "https://example.org/walk/three-notes.mp3"
    document = drawn(
        book(tmp_path, chapter("One", example("a", more=f"recording: '{address}'")), "contents: false\n")
    )
    page = document.pages[0]
    squares = [(group, mark) for group, mark in marks(page, Polygon) if mark.role is Role.SCAN_CODE]
    wanted = [[bool(square) for square in row] for row in segno.make_qr(address, error="m").matrix]
    left = min(group.x + mark.points[0][0] for group, mark in squares)
    top = max(group.y + mark.points[0][1] for group, mark in squares)
    right = max(group.x + mark.points[1][0] for group, mark in squares)
    side = (right - left) / len(wanted)
    found = [[False] * len(wanted) for _ in wanted]
    for group, mark in squares:
        row = round((top - group.y - mark.points[0][1]) / side)
        for column in range(
            round((group.x + mark.points[0][0] - left) / side),
            round((group.x + mark.points[1][0] - left) / side),
        ):
            found[row][column] = True
    assert found == wanted
    bottom = top - side * len(wanted)
    for group, mark in marks(page, Text):
        x, y = group.x + mark.x * group.scale, group.y + mark.y * group.scale
        near = left - 4 * side < x < right and bottom - side < y < top + 4 * side
        assert not near or mark.text == "Track 1"
    lines = [
        group.x + max(mark.x1, mark.x2) * group.scale
        for group in page.groups
        for mark in group.marks
        if getattr(mark, "role", None) is Role.STAFF_LINE
    ]
    assert max(lines) <= left - 4 * side


# What goes wrong


def test_all_problems_of_all_chapters_are_told_at_once(tmp_path):
    one = f"handout: 1\ntitle: One\ncontent:\n  - {example(name='a')}\n  - {example(name='a')}\n"
    two = "handout: 1\ntitle: Two\ncontent:\n  - txt: x\n  - music: missing.yaml\n"
    chapters = "  - one.yaml\n  - two.yaml\n  - three.yaml\n  - {title: Four}\n  - {title: Five, content: [{music: {measures: [{notes: [1/1: '9:0']}]}}]}\n"
    assert problems(book(tmp_path, chapters, one=one, two=two)) == [
        'book.yaml:5:5: there is no file "three.yaml"; paths start from the folder of this file',
        "book.yaml:6:5: this chapter is empty; write content: and its items, or file: and a handout",
        "book.yaml:7:64: there is no string 9 (Guitar, measure 1, beat 1); strings count from 1, the thinnest, to 8",
        'one.yaml:5:56: two examples are called "a"; give one of them another name',
        'two.yaml:4:5: "txt" is not known here; did you mean "text"?',
        'two.yaml:5:12: there is no file "missing.yaml"; paths start from the folder of this file',
    ]  # fmt: skip


def test_a_reference_to_nothing_is_told_with_what_was_probably_meant(tmp_path):
    chapters = chapter("One", "text: See [](#scal).") + chapter("Two", example("x", "scale"))
    assert problems(book(tmp_path, chapters, "preface: See [](#page:scales).\n")) == [
        'book.yaml:2:10: nothing is called "scales"; did you mean "scale"?',
        'book.yaml:6:15: nothing is called "scal"; did you mean "scale"?',
    ]


@pytest.mark.parametrize(
    ("items", "message"),
    [
        (["answer: E"], "this answer has no exercise; write it beside exercise:"),
        (["{text: x, answer: E}"], '"answer" does not belong to text; it belongs to exercise'),
        (["{exercise: x, answer: [{exercise: y}]}"], "an answer cannot hold an exercise; write it as an item of its own"),
        (["{exercise: x, answer: [" + example("y") + "]}"], "what stands in an answer has no number of its own; remove caption:"),
        ([f"{{piece: {NOTE}}}"], "this piece has no title; write title: in its score, or beside piece:"),
        ([example("x", more="recording: a.mp3")], 'this recording has no address, only the name "a.mp3"; write recordings: https://... at the head, or the whole address here'),
        ([example("x", more="recording: ''")], "this recording has no address; write recordings: https://... at the head, or the whole address here"),
        ([example("x", more="recording: 'ftp://a/b'")], '"ftp://a/b" is not the address of a recording; it starts with https:// and has no blanks'),
        ([example("x", more=f"recording: 'https://example.org/{'a' * 300}'")], "this address has 320 letters, too many for a code 15 mm wide; shorten it, or make codes larger: house-style: {method: {code_size: 25}}"),
        ([example("x", "a"), "{exercise: x, name: a}"], 'two things are called "a"; give one of them another name'),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_with_what_would_be_right(tmp_path, items, message):
    (told,) = problems(book(tmp_path, chapter("One", *items)))
    assert re.sub(r"^book.yaml:\d+:\d+: ", "", told) == message


def test_two_things_of_one_name_in_two_files(tmp_path):
    one = f"handout: 1\ntitle: One\ncontent:\n  - {example(name='a')}\n"
    (told,) = problems(book(tmp_path, "  - one.yaml\n" + chapter("Two", example(name="a")), one=one))
    assert re.fullmatch(
        r'book.yaml:6:\d+: two examples are called "a", the first in .*one.yaml, line 4; give one of them another name',
        told,
    )


def test_a_chapter_that_is_no_handout(tmp_path):
    assert problems(book(tmp_path, "  - one.yaml\n", one="songbook: 1\nsongs: [x.yaml]\n")) == [
        "one.yaml:1:1: this is a songbook, and chapters are handouts; start with handout: 1"
    ]


def test_an_index_without_entries_is_left_out_with_a_word(tmp_path):
    path = book(tmp_path, chapter("One", example("a")), "indexes: [technique, key]\n")
    assert problems(path) == [
        'book.yaml:2:11: warning: the index "technique" is left out, as nothing in the book has an entry for it; remove technique from indexes, or use signs in the music'
    ]
    document = drawn(path)
    assert "Techniques" not in [text for page in document.pages for text in words(page, Role.CONTENTS)]


def test_only_handouts_and_methods_have_editions(tmp_path):
    path = tmp_path / "score.yaml"
    path.write_text("score: 1\nmeasures:\n  - notes: [1/1: '1:0']\n", "utf-8")
    (told,) = problems(path, looks=made.Looks(edition=Edition.STUDENT))
    assert told == "score.yaml: --for is for handouts and methods, and this is a score; leave it out"
