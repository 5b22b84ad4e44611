"""Nothing leaves the margins: what is too wide is broken, set in more rows, made smaller to a stated limit, or refused (house rule)."""

import itertools

import pytest

from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.text.lines import TextFaces, break_paragraph
from engrave.marks.bounds import measure_page_marks
from engrave.marks.role import Role
from engrave.score.rich_text import Run
from engrave.style.load import load_style
from tests.made import check, make, place

MM = 72 / 25.4
STYLE, _ = load_style("")
FACES = TextFaces("serif", "serif-bold", "serif-italic", "serif-bold-italic", "sans")
SCALE = "{measures: [{notes: [1/8: 3:2 3:4 2:2 2:3 1:2 1:3 1:5 1:7]}]}"


def measure(value: int, count: int) -> str:
    frets = " ".join(f"1:{(0, 1, 10, 12)[number % 4]}" for number in range(count))
    return f"  - {{notes: [1/{value}: {frets}]}}\n"


def placed(tmp_path, text, **looks):
    path = tmp_path / "a.yaml"
    path.write_text(text, "utf-8")
    document, outcome = place(path, **looks)
    assert document is not None, [str(problem) for problem in outcome.problems]
    return document


def edges(document):
    """The left- and the rightmost ink of each page, in millimetres."""
    for page in document.pages:
        boxes = [box for _, _, box in measure_page_marks(page, InstalledFaces())]
        yield min(box.left for box in boxes) / MM, max(box.right for box in boxes) / MM


def test_a_measure_of_sixty_four_sixty_fourths_stays_on_the_page(tmp_path):
    document = placed(tmp_path, "score: 1\nmeasures:\n" + measure(4, 4) + measure(64, 64))
    for left, right in edges(document):
        assert left >= 14
        assert right <= 196
    scales = {round(group.scale, 3) for group in document.pages[0].groups if group.scale != 1}
    assert len(scales) == 2
    assert min(scales) / max(scales) >= STYLE.breaking.line_shrink


def test_a_measure_that_would_be_too_small_is_refused_with_its_place(tmp_path):
    path = tmp_path / "a.yaml"
    text = "score: 1\nsize: A5\nmeasures:\n" + measure(4, 4) + measure(64, 64)
    path.write_text(text, "utf-8")
    for outcome in (check(path), make(path)):
        (problem,) = outcome.problems
        assert problem.location.line == 5
        assert "times as wide as its line" in problem.what


@pytest.mark.parametrize(
    ("count", "style"), [(4, ""), (4, "large-print"), (2, "large-print"), (3, "large-print")]
)
def test_examples_beside_each_other_take_as_many_rows_as_they_need(tmp_path, count, style):
    rows = "".join(f"    - {{music: {SCALE}, view: staff+tab, caption: Up}}\n" for _ in range(count))
    document = placed(tmp_path, f"handout: 1\ncontent:\n  - beside:\n{rows}", style=style)
    for left, right in edges(document):
        assert left >= 14
        assert right <= 196


def test_two_small_examples_stay_in_one_row(tmp_path):
    rows = "".join(f"    - {{music: {SCALE}, caption: Up}}\n" for _ in range(2))
    document = placed(tmp_path, f"handout: 1\ncontent:\n  - beside:\n{rows}")
    captions = [
        group.y for group in document.pages[0].groups for mark in group.marks if mark.role is Role.CAPTION
    ]
    assert len(captions) >= 2
    assert len(set(captions)) == 1


def lines(text, width, **run):
    return break_paragraph([Run(text, **run)], width, FACES, 10, "en", STYLE.paragraphs, justified=False)


def test_an_address_is_cut_at_its_marks_without_a_hyphen():
    """The Chicago Manual of Style (17th edition, 7.46, from memory)."""
    address = "https://example.org/harbour/songs/index.html?of=the&old=town"
    found = lines(address, 120, link=address)
    assert "".join(line.text for line in found) == address
    assert not any(line.is_hyphenated for line in found)
    assert all(line.natural_width <= 120 for line in found)
    assert all(
        one.text[-1] == "/" or other.text[0] in "~.,-_?#%=&" for one, other in itertools.pairwise(found)
    )


def test_a_word_without_a_place_to_cut_is_cut_where_the_line_is_full():
    found = lines("w" * 80, 120)
    assert "".join(line.text for line in found) == "w" * 80
    assert all(line.natural_width <= 120 for line in found)


def test_other_words_of_links_stay_whole():
    (only,) = lines("hammer-on", 120, link="#a")
    assert only.text == "hammer-on"
    assert [line.text.strip() for line in lines("the hammer-on", 60, link="#a")] == ["the", "hammer-on"]


def test_words_over_the_staff_that_are_wider_than_the_line_are_broken(tmp_path):
    words = "let the bass ring through all of the measure, and then softly and evenly " * 3
    music = "".join(measure(4, 4) for _ in range(4)).replace("}\n", f", text: '{words}'}}\n", 1)
    document = placed(tmp_path, f"score: 1\nmeasures:\n{music}")
    for left, right in edges(document):
        assert left >= 14
        assert right <= 196.1
