"""Examples that are printed as they are typed, with their music under them."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.text.rich_text import decide_typed_pieces, wrap_typed
from engrave.marks.role import Role
from engrave.style.load import load_style
from tests import made

SCORE = "score: 1\nkey: G major\nmeasures:\n  - notes: [1/4: 3:0 3:2 2:0 2:1]\n"


def handout(typed, more=""):
    rows = "".join(f"      {row}\n" if row else "\n" for row in typed.split("\n"))
    return f"handout: 1\ncontent:\n  - typed: |\n{rows}{more}"


def written(tmp_path, text):
    path = tmp_path / "lesson.yaml"
    path.write_text(text, "utf-8")
    return str(path)


def marks_of(tmp_path, text):
    document, outcome = made.place(written(tmp_path, text))
    assert document is not None, [str(problem) for problem in outcome.problems]
    return [mark for page in document.pages for group in page.groups for mark in group.marks]


def faults(tmp_path, text):
    return [
        (problem.location.line, problem.location.column, problem.what)
        for problem in made.check(written(tmp_path, text)).problems
    ]


def test_what_is_typed_is_printed_line_by_line_with_its_music_under_it(tmp_path):
    marks = marks_of(tmp_path, handout(SCORE))
    typed = [mark.text for mark in marks if mark.role is Role.BODY]
    assert typed == [line.strip() for line in SCORE.splitlines()]
    assert [mark.text for mark in marks if mark.role is Role.FRET] == ["0", "2", "0", "1"]


def test_the_inset_of_a_line_is_whole_letters_wide(tmp_path):
    marks = [mark for mark in marks_of(tmp_path, handout(SCORE)) if mark.role is Role.BODY]
    style, _ = load_style("handout")
    cell = (marks[3].x - marks[0].x) / 2
    assert cell > 0
    assert marks[3].x - marks[2].x == 2 * cell
    assert marks[0].face == style.prose.typed.face


def test_a_typed_example_has_a_number_and_is_linked_to_like_any_other(tmp_path):
    more = "    caption: Four quarters\n    name: four\n  - text: See [](#four).\n"
    words = " ".join(mark.text for mark in marks_of(tmp_path, handout(SCORE, more)) if hasattr(mark, "text"))
    assert "Example 1: Four quarters" in words
    assert "See Example 1 ." in " ".join(words.split())


def test_what_is_wrong_with_it_is_told_where_it_stands_in_the_handout(tmp_path):
    wrong = SCORE.replace("2:1", "2:z")
    (fault,) = faults(tmp_path, handout(wrong))
    line = handout(wrong).splitlines()[fault[0] - 1]
    assert line[fault[1] - 1 :].startswith("2:z")


def test_anything_may_be_printed_without_being_engraved(tmp_path):
    more = "    engraved: false\n"
    marks = marks_of(tmp_path, handout("engrave make first.yaml\n{", more))
    assert [mark.text for mark in marks if mark.role is Role.BODY] == ["engrave make first.yaml", "{"]


def test_only_a_score_can_be_engraved(tmp_path):
    assert [what for _, _, what in faults(tmp_path, handout("paper: 1\n"))] == [
        "only a score can be engraved here"
    ]


def test_engraved_belongs_to_what_is_typed(tmp_path):
    text = "handout: 1\ncontent:\n  - text: a\n    engraved: false\n"
    assert [what for _, _, what in faults(tmp_path, text)] == ['"engraved" does not belong to text']


def test_fenced_lines_in_words_are_printed_as_they_are_typed(tmp_path):
    text = "handout: 1\ncontent:\n  - text: |\n      Type\n\n      ```\n      engrave  make\n        x\n      ```\n"
    typed = [mark for mark in marks_of(tmp_path, text) if mark.role is Role.BODY]
    assert [mark.text for mark in typed] == ["Type", "engrave  make", "x"]
    assert typed[2].x > typed[1].x


@given(st.text("ab -:", max_size=80), st.integers(4, 40), st.integers(0, 6))
def test_a_long_line_is_broken_without_losing_a_letter(line, room, turn):
    rows = wrap_typed(line, room, turn)
    assert all(len(row) <= room for row in rows)
    assert "".join("".join(rows).split()) == "".join(line.split())


@given(st.lists(st.sampled_from(["", "e|-0-|"]), min_size=1, max_size=60), st.integers(2, 20))
def test_a_long_text_is_cut_into_pieces_without_losing_a_line(rows, most):
    pieces = decide_typed_pieces(rows, most)
    assert all(0 < len(piece) <= most for piece in pieces)
    assert [row for piece in pieces for row in piece] == rows


def test_a_long_text_is_cut_at_a_blank_line():
    assert decide_typed_pieces(["a", "b", "", "c", "d"], 4) == [["a", "b", ""], ["c", "d"]]


def test_the_lines_of_a_long_text_are_equally_far_apart_on_a_page(tmp_path):
    words = "\n".join(f"a{number}" for number in range(36))
    document, _ = made.place(written(tmp_path, handout(words, "    engraved: false\n")))
    assert len(document.pages) == 1
    marks = [(group, mark) for group in document.pages[0].groups for mark in group.marks]
    baselines = [group.y + mark.y * group.scale for group, mark in marks if mark.role is Role.BODY]
    steps = [round(upper - lower, 6) for upper, lower in pairwise(baselines)]
    assert len(steps) == 35
    assert len(set(steps)) == 1
