"""Signs where they belong: harmonics by the house convention, octave lines, grace notes in line, bends, repeats, the count."""

import pytest

from engrave.layout.document import place_score
from engrave.marks.role import Role
from engrave.score.structure import View
from engrave.style.load import load_style
from tests.layout.placed_marks import boxes, place_text
from tests.reading.helpers import read

STYLE = load_style("")[0]


def marks(text, role, view=None, style=STYLE):
    document = place_score(read(text), style, view)
    return [
        mark for page in document.pages for group in page.groups for mark in group.marks if mark.role is role
    ]


def score(notes, extra=""):
    return f"score: 1\nmeasures:\n  - notes: {notes}\n{extra}"


def test_a_natural_harmonic_is_a_diamond_at_the_touched_fret_and_a_number_in_brackets():
    text = score("[1/4: [{1: 12 natural-harmonic}, {1: 12}, {1: 5}, {1: 0}]]")
    heads = marks(text, Role.NOTEHEAD)
    assert heads[0].name == "noteheadDiamondBlack"
    assert heads[0].y == heads[1].y
    assert next(mark.text for mark in marks(text, Role.FRET)) == "<12>"


def test_a_house_style_may_write_harmonics_as_they_sound():
    sounding = STYLE._replace(notes=STYLE.notes._replace(harmonics="sounding"))
    text = score("[1/2: [{1: 5 natural-harmonic}, {1: 24}]]")
    heads = marks(text, Role.NOTEHEAD, style=sounding)
    assert heads[0].name == "noteheadHalf"
    assert (
        heads[0].y == heads[1].y
    )  # the fourth partial lies two octaves above the open string, as fret 24 does
    assert "stringsHarmonic" in [
        mark.name for mark in marks(text, Role.PLAYING_SIGN, style=sounding) if hasattr(mark, "name")
    ]


def test_an_artificial_harmonic_shows_the_stopped_note_and_where_it_is_touched():
    heads = marks(score("[1/1: {2: {fret: 3, artificial-harmonic: 15}}]"), Role.NOTEHEAD)
    assert sorted(head.name for head in heads) == ["noteheadDiamondHalf", "noteheadWhole"]
    assert abs(heads[0].y - heads[1].y) == pytest.approx(3.5)  # an octave is seven steps of half a space


@pytest.mark.parametrize(("line", "octaves"), [("8va", -1), ("15ma", -2), ("8vb", 1), ("15mb", 2)])
def test_an_octave_line_moves_the_staff_but_not_the_tab(line, octaves):
    notes = "[1/2: [{1: 12}, {1: 12}]]"
    text = score(notes, f"    spans: {{1: {line} for 1/2}}\n")
    first, second = marks(text, Role.NOTEHEAD)
    assert first.y - second.y == pytest.approx(octaves * 3.5)
    assert [mark.text for mark in marks(text, Role.FRET)] == ["12", "12"]
    assert [mark.text for mark in marks(text, Role.SPAN_TEXT)] == [line]


def test_grace_notes_line_up_on_staff_and_tab():
    text = score("[grace 1/16: [{2: 1}, {2: 3}], 1/1: {2: 5 hammer-on}]")
    heads = [mark.x for mark in marks(text, Role.NOTEHEAD)]
    digits = [mark.x for mark in marks(text, Role.FRET)]
    assert heads == sorted(heads)
    assert len(heads) == len(digits) == 3
    for head, digit in zip(heads[:2], digits[:2], strict=True):
        assert abs(head - digit) < 0.6


@pytest.mark.parametrize("others", ["counting: true", "parts"])
def test_grace_notes_after_a_long_note_stand_clear_of_it_and_before_what_follows(others):
    notes = "notes: [1/2: {2: 5}, closing-grace 1/16: [{2: 7}], 1/2: {2: 3}]"
    text = f"score: 1\nmeasures:\n  - {notes}\n    {others}\n"
    if others == "parts":
        rows = "notes: [1/8: [{3: 0}, {3: 2}, {3: 4}, {3: 5}, {3: 4}, {3: 2}, {3: 0}, {3: 2}]]"
        text = f"score: 1\nparts: [{{id: a}}, {{id: b}}]\nmeasures:\n  - parts: {{a: {{{notes}}}, b: {{{rows}}}}}\n"
    for role in (Role.NOTEHEAD, Role.FRET):
        main, grace, following = (mark.x for mark in marks(text, role)[:3])
        assert main + 1.0 < grace < following
        assert following - grace < grace - main  # it belongs to the end of its note


def test_short_grace_notes_have_a_stroke_and_long_ones_none():
    assert len(marks(score("[grace 1/8: {2: 1}, 1/1: {2: 5}]"), Role.GRACE_SLASH)) == 1
    assert marks(score("[appoggiatura 1/8: {2: 1}, 1/1: {2: 5}]"), Role.GRACE_SLASH) == []


def test_a_bend_that_is_held_has_a_dashed_line_instead_of_a_second_arrow():
    text = score("[1/2: {2: {fret: 8, bend: full}}, 1/2: tie]")
    arrows = marks(text, Role.BEND_ARROW)
    assert [mark.text for mark in marks(text, Role.BEND_AMOUNT)] == ["full"]
    assert any(getattr(mark, "dash", None) for mark in arrows)


def test_a_release_points_down_again():
    arrows = [
        mark.points
        for mark in marks(score("[1/1: {2: {fret: 8, bend: full release}}]"), Role.BEND_ARROW)
        if hasattr(mark, "points")
    ]
    up, down = arrows
    assert up[2][1] > up[0][1]
    assert down[2][1] < down[0][1]


def test_two_strings_bent_alike_share_their_amount():
    assert (
        len(marks(score("[1/1: {2: {fret: 8, bend: full}, 3: {fret: 7, bend: full}}]"), Role.BEND_AMOUNT))
        == 1
    )
    assert (
        len(marks(score("[1/1: {2: {fret: 8, bend: 1/2}, 3: {fret: 7, bend: full}}]"), Role.BEND_AMOUNT)) == 2
    )


@pytest.mark.parametrize("count", [1, 2, 4])
def test_a_group_that_repeats_has_one_sign_a_staff(count):
    filler = "  - notes: [1/16: [{1: 0}, {1: 1}, {1: 3}, {1: 1}], 1/2.: {1: 0}]\n" * 9
    text = f"score: 1\nmeasures:\n{filler}" + f"  - measure-repeat: {count}\n" * count + filler
    signs = marks(text, Role.MEASURE_REPEAT)
    assert len([mark for mark in signs if hasattr(mark, "name")]) == 2


def test_the_count_stands_under_the_tab():
    text = "score: 1\ncounting: true\n" + score("[1/8: [{1: 0}, {1: 1}], 1/4: {1: 0}, 1/2: {1: 0}]")[9:]
    counted = marks(text, Role.COUNTING)
    assert [mark.text for mark in counted] == ["1", "&", "2", "3", "(4)"]
    assert len({mark.y for mark in counted}) == 1
    assert all(mark.y < 0 for mark in counted)


@pytest.mark.parametrize("view", [View.STAFF_AND_TAB, View.RHYTHM_TAB])
def test_rests_of_many_measures_show_their_number(view):
    text = "score: 1\nmeasures:\n  - multiple-rest: 12\n  - notes: [1/1: {1: 0}]\n"
    texts = [mark.text for mark in marks(text, Role.MULTIPLE_REST, view) if hasattr(mark, "text")]
    assert texts == ["\ue081\ue082"]  # SMuFL: timeSig1, timeSig2


def test_fingers_of_a_chord_stand_left_of_their_heads():
    text = score("[1/1: {5: {fret: 3, finger: 3}, 4: {fret: 2, finger: 2}, 2: {fret: 1, finger: 1}}]")
    heads, fingers = marks(text, Role.NOTEHEAD), marks(text, Role.FINGER)
    assert [mark.text for mark in fingers] == ["3", "2", "1"]
    assert max(mark.x for mark in fingers) < min(head.x for head in heads)


def test_a_rolled_chord_has_its_wave_on_both_staves():
    waves = marks(score("[1/1: {3: 0 arpeggiate, 2: 1, 1: 0}]"), Role.ARPEGGIO)
    assert len(waves) >= 8
    assert marks(score("[1/1: {3: 0 arpeggiate, 2: 1, 1: 0}]", ""), Role.ARPEGGIO, View.TAB)


def test_a_score_may_change_the_house_style():
    from engrave.problems import ProblemLog
    from engrave.reading.load import read_text_score

    text = "score: 1\nhouse-style: {signs: {tap: {letters: '+'}}}\n" + score("[1/1: {1: 5 tap}]")[9:]
    read_in = read_text_score(text, ProblemLog("f"))
    style, log = load_style("", "f", read_in.house_style)
    assert not log.problems
    assert style.signs["tap"].letters == "+"
    assert [m.text for m in marks(text, Role.PLAYING_SIGN, style=style)] == ["+"]


def test_wrong_changes_of_the_house_style_are_refused_where_they_stand():
    from engrave.problems import ProblemLog
    from engrave.reading.load import read_text_score

    text = "score: 1\nhouse-style:\n  signs:\n    tapp: {letters: '+'}\n" + score("[1/1: {1: 5 tap}]")[9:]
    style, log = load_style("", "f", read_text_score(text, ProblemLog("f")).house_style)
    assert style is None
    assert str(log.problems[0]).startswith('f:4:5: "tapp" is not a sign; did you mean "tap"')


@pytest.mark.parametrize(
    ("value", "mark", "strokes"),
    [
        ("1/4", "tremolo-eighths", 1),
        ("1/4", "tremolo-sixteenths", 2),
        ("1/8", "tremolo-sixteenths", 1),
        ("1/4", "tremolo", 3),
        ("1/8", "tremolo", 2),
    ],
)  # flags and strokes together: one for eighths, two for sixteenths, three and more unmeasured (common practice, no source)
def test_beams_and_strokes_of_a_tremolo_add_up(value, mark, strokes):
    rest = {"1/4": "1/2.: rest", "1/8": "1/8: rest, 1/2.: rest"}[value]
    found = marks(score(f"[{value}: {{2: 5 {mark}}}, {rest}]"), Role.TREMOLO)
    assert [mark.name for mark in found] == [f"tremolo{strokes}"]


def test_a_breath_stands_after_its_note():
    text = score("[1/2: {2: 5 breath-mark}, 1/2: {2: 5}]")
    first, second = (head.x for head in marks(text, Role.NOTEHEAD))
    (breath,) = marks(text, Role.PLAYING_SIGN)
    assert breath.x > (first + second) / 2


def test_lines_that_do_not_meet_share_one_height():
    text = score(
        "[1/4: [{6: 0}, {6: 3}, {1: 0}, {1: 3}]]", "    spans: {1: palm-mute for 1/2, 3: let-ring for 1/2}\n"
    )
    assert len({mark.y for mark in marks(text, Role.SPAN_TEXT)}) == 1


def test_a_dead_note_has_no_accidental():
    assert (
        marks("score: 1\nkey: C major\n" + score("[1/1: {6: {fret: 2, marks: [dead]}}]")[9:], Role.ACCIDENTAL)
        == []
    )


def test_the_fret_of_a_stopped_harmonic_stands_under_its_head():
    plain, harmonic = marks(score("[1/2: [{2: 3}, {2: {fret: 3, artificial-harmonic: 15}}]]"), Role.FRET)
    heads = [
        head.x
        for head in marks(score("[1/2: [{2: 3}, {2: {fret: 3, artificial-harmonic: 15}}]]"), Role.NOTEHEAD)
    ]
    assert harmonic.text == "3 <15>"
    assert harmonic.x - heads[1] == pytest.approx(plain.x - heads[0], abs=0.05)


@pytest.mark.parametrize("name", ["G", "G/B", "C(add9)"])
def test_an_octave_line_keeps_its_white_under_a_chord_name(name):
    """Common practice, no source."""
    marks = place_text(
        "score: 1\ninstrument: voice\nmeasures:\n"
        f"  - {{spans: {{1: 8va for 1/1}}, chord: {{1: {name}}}, notes: [1/1: G6]}}\n"
    )
    low = min(box.bottom for box in boxes(marks, Role.CHORD_NAME))
    high = max(box.top for box in boxes(marks, Role.SPAN_TEXT, Role.SPAN_LINE))
    assert low - high >= STYLE.stacking.sign_gap - 0.01
