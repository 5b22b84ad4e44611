"""Bent notes on a staff, read back from the page: heads, angular slurs, accidentals, ties. Common practice, no source."""

import pytest

from engrave.fonts.symbols import music_face
from engrave.layout.document import place_score
from engrave.marks.mark import Curve, Glyph, Polygon
from engrave.marks.role import Role
from engrave.score.structure import View
from engrave.style.load import load_style
from engrave.theory.clef import staff_position
from engrave.theory.pitch import parse_pitch
from tests.reading.helpers import read

STYLE = load_style("")[0]
FRETTED = STYLE._replace(notes=STYLE.notes._replace(bends="fretted"))
SMALL = STYLE.notes.grace_size
ALL_STAVES = pytest.mark.parametrize("view", [View.STAFF, View.STAFF_AND_TAB])


def place(notes, view=View.STAFF_AND_TAB, style=STYLE, key="A minor", more=""):
    """All marks of the staff groups, in the order of their groups."""
    score = read(f"score: 1\nkey: {key}\nmeasures:\n  - notes: {notes}\n{more}")
    pages = place_score(score, style, view).pages
    return [mark for page in pages for group in page.groups for mark in group.marks]


def heads(marks):
    """(position, size) of the heads from left to right."""
    found = sorted((m for m in marks if m.role is Role.NOTEHEAD), key=lambda mark: mark.x)
    return [(round(mark.y * 2), mark.size) for mark in found]


def written(*names):
    """The staff positions of sounding pitches on the guitar's staff, which is written an octave higher."""
    clef = read("score: 1\nmeasures: [{notes: [1/1: 1:0]}]\n").parts[0].instrument.clef
    return [staff_position(parse_pitch(name).transposed_octaves(1), clef) for name in names]


def of(marks, role, kind=object):
    return [mark for mark in marks if mark.role is role and isinstance(mark, kind)]


@ALL_STAVES
@pytest.mark.parametrize(
    ("note", "names", "sizes"),
    [
        ("2:8 bend full", ("G4", "A4"), (SMALL, 1)),
        ("2:8 bend full release", ("G4", "A4", "G4"), (SMALL, 1, SMALL)),
        ("1:8 bend pre full release", ("C5", "D5", "C5"), (SMALL, 1, SMALL)),
        ("2:10 bend full then 1 1/2", ("A4", "B4", "C5"), (SMALL, 1, SMALL)),
        ("2:10 bend 2 release to 1", ("A4", "C#5", "B4"), (SMALL, 1, SMALL)),
        ("3:7 bend 1/4", ("D4",), (1,)),
    ],
)
def test_the_heads_of_a_bent_note_are_what_it_sounds(note, names, sizes, view):
    assert heads(place(f"[1/1: {note}]", view)) == list(zip(written(*names), sizes, strict=True))


@ALL_STAVES
def test_a_style_may_show_the_fretted_pitch_alone(view):
    marks = place("[1/1: 2:8 bend full release]", view, FRETTED)
    assert heads(marks) == [(*written("G4"), 1)]
    assert not of(marks, Role.BEND_SLUR)


@pytest.mark.parametrize(
    ("note", "count"), [("full", 1), ("full release", 2), ("full then 1 1/2 release", 3), ("1/4", 0)]
)
def test_an_angular_slur_joins_each_head_with_the_next(note, count):
    marks = place(f"[1/1: 2:8 bend {note}]")
    slurs = sorted(of(marks, Role.BEND_SLUR, Polygon), key=lambda mark: mark.points[0][0])
    assert len(slurs) == count
    xs = sorted(
        mark.x + music_face().glyph(mark.name).box.right * mark.size / 2 for mark in of(marks, Role.NOTEHEAD)
    )
    for slur, start, end in zip(slurs, xs, xs[1:], strict=False):
        (x1, y1), (x2, y2), (x3, y3) = slur.points[:3]
        assert (x1, x3) == (pytest.approx(start), pytest.approx(end))
        assert x1 < x2 < x3
        assert y2 > max(y1, y3)  # the stem points down


def test_a_slur_stands_away_from_the_stem():
    (slur,) = of(place("[1/2: 5:3 bend full, 1/2: rest]"), Role.BEND_SLUR, Polygon)
    (_, y1), (_, y2), (_, y3) = slur.points[:3]
    assert y2 < min(y1, y3)


def test_where_nobody_hears_the_fretted_pitch_it_stands_in_parentheses():
    parens = of(place("[1/1: 1:8 bend pre full]"), Role.GHOST_PARENTHESIS)
    head = min(of(place("[1/1: 1:8 bend pre full]"), Role.NOTEHEAD), key=lambda mark: mark.x)
    assert [mark.size for mark in parens] == [SMALL, SMALL]
    assert parens[0].x < head.x < parens[1].x
    assert not of(place("[1/1: 1:8 bend full]"), Role.GHOST_PARENTHESIS)


def test_a_later_note_of_the_measure_knows_the_accidental_of_a_bend():
    signs = of(place("[1/2: 2:8 bend 1/2, 1/2: 2:8]"), Role.ACCIDENTAL)
    assert [mark.name for mark in sorted(signs, key=lambda mark: mark.x)] == [
        "accidentalSharp",
        "accidentalNatural",
    ]
    again = of(place("[1/2: 2:8 bend 1/2, 1/2: 2:9]"), Role.ACCIDENTAL)
    assert [mark.name for mark in again] == ["accidentalSharp"]


def test_the_sounding_pitch_is_what_a_tie_holds():
    marks = place("[1/2: 2:8 bend full, 1/2: tie]")
    assert heads(marks) == [(*written("G4"), SMALL), (*written("A4"), 1), (*written("A4"), 1)]
    (tie,) = of(marks, Role.TIE, Curve)
    assert tie.outer[0][1] == pytest.approx(written("A4")[0] / 2, abs=1)
    assert len(of(marks, Role.BEND_SLUR)) == 1


def test_a_tied_note_that_is_released_has_an_angular_slur_for_a_tie():
    marks = place("[1/2: 2:8 bend full, 1/2: 2:tie bend release]", View.STAFF)
    assert heads(marks) == [(*written("G4"), SMALL), (*written("A4"), 1), (*written("G4"), 1)]
    assert not of(marks, Role.TIE)
    assert len(of(marks, Role.BEND_SLUR)) == 2


def test_over_the_end_of_a_line_each_line_has_its_half():
    more = "  - new: line\n    notes: [1/1: 2:tie bend release]\n"
    halves = [
        m
        for m in of(place("[1/1: 2:8 bend full]", View.STAFF, more=more), Role.BEND_SLUR)
        if len(m.points) == 4
    ]
    rising, falling = [(m.points[1][1] - m.points[0][1]) for m in halves]
    assert rising > 0 > falling


def test_a_double_stop_shows_both_strings():
    marks = place("[1/1: {2: 8 bend full, 3: 9 bend full}]")
    assert sorted(heads(marks)) == sorted(
        [(p, SMALL) for p in written("E4", "G4")] + [(p, 1) for p in written("F#4", "A4")]
    )
    low, high = sorted(of(marks, Role.BEND_SLUR), key=lambda mark: mark.points[0][1])
    assert low.points[1][1] < low.points[0][1] < high.points[0][1] < high.points[1][1]


def test_strings_that_sound_alike_have_a_head_each_also_when_one_is_bent():
    # common practice, no source
    bent = heads(place("[1/1: {2: 5, 3: 7 bend full}]"))
    assert bent == [(*written("D4"), SMALL), (*written("E4"), 1), (*written("E4"), 1)]
    marks = of(place("[1/1: {1: 0, 2: 5, 3: 9}]"), Role.NOTEHEAD)
    assert len({mark.x for mark in marks}) == len(marks) == 2


def test_the_slurs_to_and_from_a_bent_note_with_an_accidental_meet_in_one_point():
    # common practice, no source
    to, away = of(place("[1/4: 2:11, 1/4: 3:14 bend full release, 1/2: rest]"), Role.BEND_SLUR)
    ends = {point for point in to.points if point[0] == max(x for x, _ in to.points)}
    starts = {point for point in away.points if point[0] == min(x for x, _ in away.points)}
    middles = [sum(y for _, y in points) / 2 for points in (ends, starts)]
    assert middles[0] == pytest.approx(middles[1])


def test_the_accidental_of_a_small_head_clears_its_ledger_lines():
    # common practice, no source: as others stand from a head
    marks = place("[1/1: 1:20 bend full then 1 1/2]")
    (sign,) = of(marks, Role.ACCIDENTAL)
    right = sign.x + music_face().glyph(sign.name).box.right * SMALL
    lines = [line.x1 for line in of(marks, Role.LEDGER_LINE) if line.x1 > sign.x]
    assert lines
    assert min(lines) - right > 0.2


def test_small_heads_have_their_ledger_lines_and_no_stem():
    marks = place("[1/4: 1:15 bend full, 1/2.: rest]")
    assert len(of(marks, Role.STEM)) == 1
    lines = {(round(mark.x1, 2), mark.y1) for mark in of(marks, Role.LEDGER_LINE)}
    assert sorted(y for _, y in lines) == [5, 5, 6, 6, 7, 7, 8, 8]  # of the small G and of the A over it


def test_a_grace_note_may_be_bent():
    marks = place("[grace 1/8: 2:8 bend full, 1/1: 2:8]")
    assert heads(marks) == [(*written("G4"), SMALL), (*written("A4"), SMALL), (*written("G4"), 1)]


def test_heads_after_a_note_stand_over_the_tips_of_the_tab():
    marks = place("[1/1: 2:8 bend full release]")
    last = max(of(marks, Role.NOTEHEAD), key=lambda mark: mark.x)
    down = [m.points[2] for m in of(marks, Role.BEND_ARROW, Polygon) if m.points[2][1] < m.points[0][1]]
    middle = last.x + music_face().glyph(last.name).box.right * last.size / 2
    assert [x for x, _ in down] == [pytest.approx(middle)]


@pytest.mark.parametrize("view", [View.STAFF_AND_TAB, View.RHYTHM_TAB, View.TAB])
def test_a_bend_that_is_held_stays_up_until_its_release(view):
    notes = "[1/2: 2:8 bend full hold release, 1/2: 2:5]"
    marks = place(notes, view)
    (line,) = [m for m in of(marks, Role.BEND_ARROW) if hasattr(m, "dash")]
    up, down = sorted(m.points[2] for m in of(marks, Role.BEND_ARROW, Polygon))
    assert line.y1 == line.y2 == pytest.approx(up[1])
    assert up[0] <= line.x1 < line.x2 < down[0]
    first, second = sorted(m.x for m in of(marks, Role.FRET))
    assert (first + second) / 2 < down[0] < second


@ALL_STAVES
def test_over_a_staff_alone_an_arrow_stands_for_quarter_tones_only(view):
    only = view is View.STAFF
    assert bool(of(place("[1/1: 3:7 bend 1/4]", View.STAFF), Role.BEND_ARROW)) is True
    assert bool(of(place("[1/1: 3:7 bend full]", view), Role.BEND_ARROW)) is not only


@pytest.mark.parametrize("view", [View.STAFF_AND_TAB, View.TAB])
def test_the_slur_of_a_pull_off_starts_where_the_string_has_come_back(view):
    marks = place("[1/2: 2:8 bend full release, 1/2: 2:5 pull-off]", view)
    down = min(m.points[2][0] for m in of(marks, Role.BEND_ARROW, Polygon) if m.points[2][1] < m.points[0][1])
    for slur in of(marks, Role.SLUR, Curve):
        assert slur.outer[0][0] == pytest.approx(down)


def test_a_vibrato_on_a_bent_string_starts_at_its_peak():
    marks = place("[1/2: 2:8 bend full vibrato, 1/2: rest]")
    (amount,) = of(marks, Role.BEND_AMOUNT)
    (tip,) = [m.points[2] for m in of(marks, Role.BEND_ARROW, Polygon)]
    waves = of(marks, Role.VIBRATO, Glyph)
    assert min(wave.x for wave in waves) > max(tip[0], amount.x)
    assert all(wave.y > tip[1] for wave in waves)


@pytest.mark.parametrize("length", ["1/16", "1/32", "1/64"])
def test_beams_of_a_rhythm_tab_clear_the_amounts_under_them(length):
    marks = place(
        f"[{length}: [1:15 bend pre full, 1:12, 2:15 bend 1/2 then 1 1/2, 2:12], 1/4: rest]".replace(
            "1/4: rest",
            {
                "1/16": "1/2.: rest",
                "1/32": "1/8: rest, 1/2.: rest",
                "1/64": "1/16: rest, 1/8: rest, 1/2.: rest",
            }[length],
        ),
        View.RHYTHM_TAB,
    )
    lowest = min(y for beam in of(marks, Role.BEAM, Polygon) for _, y in beam.points)
    assert all(mark.y + mark.size * 0.66 < lowest for mark in of(marks, Role.BEND_AMOUNT))


def test_what_follows_a_release_that_has_waited_keeps_its_distance():
    wide = "    lower: [1/8: [6:0, 6:0, 6:0, 6:0, 6:0, 6:0, 6:0, 6:0]]\n"
    marks = place("[1/1: 2:8 bend full hold release then full]", View.TAB, more=wide)
    tips = sorted(m.points[2] for m in of(marks, Role.BEND_ARROW, Polygon))
    (_, up), (x_release, down), (x_last, last) = tips
    assert up == pytest.approx(last)
    assert up > down
    assert x_last - x_release >= STYLE.stacking.bend_arrow


def test_a_vibrato_goes_on_as_long_as_ties_hold_its_note():
    # common practice, no source
    def right(notes):
        return max(mark.x for mark in of(place(notes), Role.VIBRATO))

    def last(notes):
        return max(mark.x for mark in of(place(notes), Role.NOTEHEAD))

    tied = "[1/2: 2:10 bend full vibrato, 1/2: tie]"
    apart = "[1/2: 2:10 bend full vibrato, 1/2: 2:10]"
    assert right(tied) > last(tied)
    assert right(apart) < last(apart)
