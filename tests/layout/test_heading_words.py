"""Words at the head of a piece and in the margins. Common practice, no source, unless a test says otherwise."""

from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.pages.furniture import (
    decide_furniture,
    decide_number_share,
    place_furniture,
    score_places,
)
from engrave.layout.text.heading_words import (
    decide_credits,
    decide_heading,
    decide_instrument_phrases,
    decide_tuning_lines,
)
from engrave.marks.role import Role
from engrave.score.structure import Credits
from engrave.style.load import load_style
from engrave.theory.instrument import PRESETS
from tests.reading.helpers import read

STYLE = load_style("")[0]
SAY = STYLE.wordbook.page
SCORE = "score: 1\ntitle: Ferry\n{head}\nmeasures:\n  - notes: [1/1: {{1: 0}}]\n"


def test_music_alone_needs_no_label():
    assert decide_credits(Credits(music="Ada"), SAY) == ("", "Ada", "")


def test_one_name_for_words_and_music_is_said_once():
    left, right, _ = decide_credits(Credits(music="Ada", words="Ada"), SAY)
    assert left == ""
    assert right.count("Ada") == 1


def test_words_stand_left_and_music_right():
    left, right, under = decide_credits(Credits(music="Ada", words="Ben", arrangement="Cy"), SAY)
    assert ("Ben" in left, "Ada" in right, "Cy" in under) == (True, True, True)


def test_usual_strings_are_not_explained():
    assert decide_instrument_phrases(PRESETS["guitar"], STYLE) == []


def test_unusual_strings_and_a_capo_are_told_thickest_string_first():
    part = read(SCORE.format(head="tuning: D2 A2 D3 G3 A3 D4\ncapo: 2")).parts[0]
    tuning, capo = decide_instrument_phrases(part.instrument, STYLE)
    assert "D A D G A D" in tuning
    assert "II" in capo
    assert decide_tuning_lines([part], STYLE) == [f"{tuning},  {capo}"]
    assert decide_tuning_lines([part, part], STYLE)[0].startswith(STYLE.wordbook.part_name(part))


def test_a_heading_has_only_lines_that_say_something():
    (line,) = decide_heading(read(SCORE.format(head="")), STYLE)
    assert [(piece.role, piece.text) for piece in line] == [(Role.TITLE, "Ferry")]


def test_titles_come_first():
    score = read(SCORE.format(head="subtitle: A crossing\ncredits: {music: Ada}\ncapo: 3"))
    roles = [line[0].role for line in decide_heading(score, STYLE)]
    assert roles == [Role.TITLE, Role.SUBTITLE, Role.CREDIT, Role.TUNING_TEXT]


def test_a_single_page_has_no_number():
    assert decide_furniture(1, 1, "Ferry", "C 2026") == ("", "", "C 2026")


def test_the_title_is_repeated_from_the_second_page_on():
    assert decide_furniture(1, 2, "Ferry", "C 2026") == ("1", "", "C 2026")
    assert decide_furniture(2, 2, "Ferry", "C 2026") == ("2", "Ferry", "")


def test_numbers_stand_on_the_outer_side():
    assert decide_number_share(is_left=True) == 0.0
    assert decide_number_share(is_left=False) == 1.0


@given(st.text("abc ", min_size=1, max_size=300))
def test_no_running_head_is_wider_than_the_music(title):
    """House rule: long titles are made smaller, not cut."""
    places = score_places(2, 40.0, 300.0, STYLE)
    group = place_furniture(decide_furniture(2, 2, title), places)
    head = next(mark for mark in group.marks if mark.role is Role.RUNNING_HEAD)
    assert head.text == title
    assert 40.0 <= head.x <= 190.0 + 1e-9
    assert head.size <= places.head_style.size
