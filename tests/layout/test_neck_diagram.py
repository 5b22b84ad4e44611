"""Neck diagrams on the page. Proportions and places: common practice, no source; ink is measured with the mark boxes."""

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.neck_diagram import NeckLook, decide_fret_pitch, decide_lying, measure_neck, place_neck
from engrave.layout.titled_neck import fit_neck
from engrave.marks.bounds import measure_box
from engrave.marks.role import Role
from engrave.style.load import load_style
from engrave.theory.instrument import PRESETS
from engrave.theory.neck_diagram import Direction, Labels, NeckRequest, build_neck

STYLES = {name: load_style(name)[0] for name in ("", "large-print", "handout", "songbook")}
STYLE = STYLES[""]
NUMBERS = STYLE.necks
FACES = InstalledFaces()


def build(show="", instrument="guitar", **asked):
    return build_neck(NeckRequest(show=show, **asked), PRESETS[instrument])


def look(lying=False, left_handed=False, says_h=False, numbers=NUMBERS):
    return NeckLook(numbers, numbers.fret_pitch, lying, left_handed, says_h)


def place(diagram, **how):
    return place_neck(diagram, look(**how), 0.0, 0.0)


def of(marks, role):
    return [mark for mark in marks if mark.role is role]


def middles(marks, *roles):
    boxes = [measure_box(mark, FACES) for mark in marks if mark.role in roles]
    return [((box.left + box.right) / 2, (box.bottom + box.top) / 2) for box in boxes]


def near(points):
    return {(round(x, 3) + 0.0, round(y, 3) + 0.0) for x, y in points}


BOX = build("A minor pentatonic, position 5")


def test_upright_the_thickest_string_stands_at_the_left_and_the_first_fret_at_the_top():
    points = middles(place(BOX), Role.NECK_DOT, Role.NECK_ROOT)
    across, along = NUMBERS.string_pitch, NUMBERS.fret_pitch
    expected = [((6 - dot.string) * across, -(dot.row - 5 + 0.5) * along) for dot in BOX.dots]
    assert near(points) == near(expected)


def test_lying_the_thinnest_string_stands_at_the_top_and_the_first_fret_at_the_left():
    points = middles(place(BOX, lying=True), Role.NECK_DOT, Role.NECK_ROOT)
    across, along = NUMBERS.string_pitch, NUMBERS.fret_pitch
    expected = [((dot.row - 5 + 0.5) * along, -(dot.string - 1) * across) for dot in BOX.dots]
    assert near(points) == near(expected)


@pytest.mark.parametrize("lying", [False, True])
def test_for_left_handed_players_the_neck_is_mirrored_from_left_to_right(lying):
    right = middles(place(BOX, lying=lying), Role.NECK_DOT, Role.NECK_ROOT)
    left = middles(place(BOX, lying=lying, left_handed=True), Role.NECK_DOT, Role.NECK_ROOT)
    width = 4 * NUMBERS.fret_pitch if lying else 5 * NUMBERS.string_pitch
    assert near(left) == near((width - x, y) for x, y in right)


def test_letters_of_mirrored_necks_are_not_mirrored():
    marks = place(build("A minor, position 5", labels=Labels.NOTES), left_handed=True)
    assert {text.text for text in of(marks, Role.NECK_LABEL)} == set("ABCDEFG")


def test_roots_are_squares_and_other_notes_rings_with_letters():
    marks = place(BOX)
    assert [len(mark.points) for mark in of(marks, Role.NECK_ROOT)] == [4, 4, 4]
    assert len(of(marks, Role.NECK_DOT)) == 9
    assert all(len(mark.points) > 8 for mark in of(marks, Role.NECK_DOT))
    white = [text for text in of(marks, Role.NECK_LABEL) if text.grey == 1.0]
    assert [text.text for text in white] == ["1", "1", "1"]


def test_strings_do_not_run_through_letters_in_rings():
    marks = place(BOX)
    for x, y in middles(marks, Role.NECK_DOT):
        for line in of(marks, Role.NECK_LINE):
            if line.x1 == line.x2 and abs(line.x1 - x) < 0.01:
                assert not min(line.y1, line.y2) < y < max(line.y1, line.y2)


def test_a_neck_without_letters_has_solid_dots():
    marks = place(build("A minor pentatonic, position 5", labels=Labels.NONE))
    assert of(marks, Role.NECK_LABEL) == []
    strings = [line for line in of(marks, Role.NECK_LINE) if line.x1 == line.x2]
    assert len(strings) == 6


def test_the_nut_is_drawn_where_the_neck_starts():
    assert len(of(place(build("C major, open position")), Role.NECK_NUT)) == 1
    assert of(place(BOX), Role.NECK_NUT) == []


def test_dots_of_open_strings_stand_clear_of_the_nut():
    marks = place(build("C major, open position"))
    (nut,) = [measure_box(mark, FACES) for mark in of(marks, Role.NECK_NUT)]
    opened = [y for _, y in middles(marks, Role.NECK_DOT, Role.NECK_ROOT) if y > 0]
    assert len(opened) == 6
    assert min(opened) - NUMBERS.dot / 2 >= nut.top + NUMBERS.open_gap / 2


def numbers_of(diagram, **how):
    return [text.text for text in of(place(diagram, **how), Role.NECK_FRET_NUMBER)]


def test_numbers_tell_the_first_fret_and_those_with_dots_in_the_wood():
    assert numbers_of(build("A minor pentatonic, frets 8 to 11")) == ["8", "9"]
    assert numbers_of(build("C major, open position")) == ["3"]
    assert numbers_of(build("C major, whole neck")) == [
        "3",
        "5",
        "7",
        "9",
        "12",
        "15",
        "17",
        "19",
        "21",
        "24",
    ]


def test_twelve_has_two_dots_in_the_wood_and_notes_hide_them():
    empty = build(dots="6:10 6:14")
    assert len(of(place(empty), Role.NECK_INLAY)) == 2
    assert len(of(place(build(dots="6:8 6:10")), Role.NECK_INLAY)) == 1
    inlays = middles(place(build("C chromatic, frets 3 to 9")), Role.NECK_INLAY)
    notes = middles(place(build("C chromatic, frets 3 to 9")), Role.NECK_DOT, Role.NECK_ROOT)
    clear = (NUMBERS.dot + NUMBERS.inlay) / 2
    assert all(hypot(x - a, y - b) >= clear for x, y in inlays for a, b in notes)


def test_the_short_string_of_a_banjo_starts_at_the_fifth_fret():
    marks = place(build(dots="5:0 1:7 1:2", instrument="banjo"))
    (short,) = [line for line in of(marks, Role.NECK_LINE) if line.x1 == line.x2 == 0]
    assert max(short.y1, short.y2) == pytest.approx(-5 * NUMBERS.fret_pitch)


def test_arrows_lead_from_dot_to_dot_without_touching_them():
    marks = place(build(dots="6:5 5:5 5:7", arrows="as-written"))
    shafts = [mark for mark in of(marks, Role.NECK_ARROW) if hasattr(mark, "x1")]
    assert len(shafts) == 2
    across = NUMBERS.string_pitch
    first = shafts[0]
    assert first.y1 == first.y2 == pytest.approx(-NUMBERS.fret_pitch / 2)
    assert NUMBERS.dot / 2 < first.x1 < first.x2 < across - NUMBERS.dot / 2


def test_there_and_back_are_two_arrows_side_by_side():
    marks = place(build(dots="6:5 5:5 6:5", arrows="as-written"))
    there, back = (mark for mark in of(marks, Role.NECK_ARROW) if hasattr(mark, "x1"))
    assert abs(there.y1 - back.y1) > 2 * NUMBERS.arrow_line


def test_german_pages_may_say_h():
    diagram = build("C major, open position", labels=Labels.NOTES)
    letters = {text.text for text in of(place(diagram, says_h=True), Role.NECK_LABEL)}
    assert "H" in letters
    assert "B" not in letters


def test_many_frets_lie_unless_the_author_says_otherwise():
    assert decide_lying(build("A minor, whole neck"), NUMBERS)
    assert not decide_lying(BOX, NUMBERS)
    assert not decide_lying(build("A minor, whole neck", direction=Direction.UPRIGHT), NUMBERS)
    assert decide_lying(build("A minor, position 5", direction=Direction.LYING), NUMBERS)


@given(st.integers(1, 24), st.floats(10, 200))
def test_frets_come_nearer_before_a_neck_is_refused(rows, room):
    length = rows * NUMBERS.fret_pitch
    least = rows * NUMBERS.fret_pitch_least
    if room >= least:
        pitch = decide_fret_pitch(rows, length, room, NUMBERS)
        assert NUMBERS.fret_pitch_least <= pitch + 1e-9
        assert pitch * rows <= room + 1e-6 or pitch == NUMBERS.fret_pitch
    else:
        with pytest.raises(ValueError):
            decide_fret_pitch(rows, length, room, NUMBERS)


@pytest.mark.parametrize("name", STYLES)
@pytest.mark.parametrize("instrument", ["guitar", "bass", "ukulele", "guitar-7", "banjo"])
def test_a_fitted_neck_is_no_wider_than_its_room(name, instrument):
    style = STYLES[name]
    width = (style.paper.width - 30) / (style.staff.height_mm / 4)
    item = fit_neck(build("D dorian, frets 0 to 12", instrument), False, width, width, style)
    assert item.extent.width <= width + 1e-6
    assert measure_neck(item.diagram, item.look) == item.extent


@pytest.mark.parametrize("name", STYLES)
@pytest.mark.parametrize("labels", [Labels.DEGREES, Labels.NOTES])
def test_letters_stay_inside_their_dots(name, labels):
    numbers = STYLES[name].necks
    diagram = build("Cdim7 arpeggio, frets 5 to 9", labels=labels)
    marks = place(diagram, numbers=numbers)
    texts = [measure_box(mark, FACES) for mark in of(marks, Role.NECK_LABEL)]
    dots = [measure_box(mark, FACES) for mark in (*of(marks, Role.NECK_DOT), *of(marks, Role.NECK_ROOT))]
    for text in texts:
        assert any(
            dot.left < text.left
            and text.right < dot.right
            and dot.bottom < text.bottom
            and text.top < dot.top
            for dot in dots
        )


def test_large_print_has_letters_of_sixteen_points():
    # UKAAF: 16 points at least (from memory).
    style = STYLES["large-print"]
    for mark in place(build("Cdim7 arpeggio, frets 5 to 9"), numbers=style.necks):
        if hasattr(mark, "text"):
            assert mark.size * style.staff_space >= 15.9
