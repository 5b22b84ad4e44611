"""Chord grids (MusicXML 4.0, frame) and forced lines and pages (print): from our own files and from those of others."""

import pytest

from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml
from tests.exchange.musicxml_helpers import FOUR, attributes, load, measures, score, strings
from tests.reading.helpers import read


def frame(*notes, first="", count=6):
    """A grid; each note is (string, fret) or (string, fret, finger)."""
    first = f"<first-fret>{first}</first-fret>" if first else ""
    rows = "".join(
        f"<frame-note><string>{note[0]}</string><fret>{note[1]}</fret>"
        + "".join(f"<fingering>{finger}</fingering>" for finger in note[2:])
        + "</frame-note>"
        for note in notes
    )
    return f"<frame><frame-strings>{count}</frame-strings><frame-frets>4</frame-frets>{first}{rows}</frame>"


def harmony(grid, root="C", more=""):
    return f"<harmony{more}><root><root-step>{root}</root-step></root><kind>major</kind>{grid}</harmony>"


def guitar(*bodies):
    return score(attributes(strings()) + bodies[0], *bodies[1:])


C_MAJOR = frame((5, 3, 3), (4, 2, 2), (3, 0), (2, 1, 1), (1, 0))


def test_a_grid_becomes_the_shape_of_its_chord():
    tree, losses = load(guitar(harmony(C_MAJOR) + FOUR))
    assert tree["shapes"] == {"C": {"frets": "x 3 2 0 1 0", "fingers": "0 3 2 0 1 0"}}
    assert "grids" not in tree
    assert losses == []


def test_grids_that_are_not_printed_stay_so():
    assert load(guitar(harmony(C_MAJOR, more=' print-frame="no"') + FOUR))[0]["grids"] == "none"


def test_frets_count_from_the_nut():
    grid = frame((5, 3), (4, 5), (3, 5), (2, 5), first=3)
    assert load(guitar(harmony(grid) + FOUR))[0]["shapes"] == {"C": "x 3 5 5 5 x"}


def test_frets_that_would_lie_above_the_grid_count_from_its_first_row():
    grid = frame((5, 1), (4, 3), (3, 3), (2, 3), first=3)
    assert load(guitar(harmony(grid) + FOUR))[0]["shapes"] == {"C": "x 3 5 5 5 x"}


def test_the_first_of_two_grids_of_one_chord_stays():
    other = frame((5, 3), (4, 5), (3, 5), (2, 5), first=3)
    tree, losses = load(guitar(harmony(C_MAJOR) + FOUR, harmony(other) + FOUR))
    assert list(tree["shapes"]) == ["C"]
    assert [(loss.what, loss.measure) for loss in losses] == [("another grid of C", "2")]


def test_fingers_that_stop_nothing_are_left_out():
    grid = frame((5, 3, 3), (4, 2, 2), (3, 0, 4), (2, 1, 1), (1, 0))
    assert load(guitar(harmony(grid) + FOUR))[0]["shapes"] == {"C": "x 3 2 0 1 0"}


@pytest.mark.parametrize(
    ("grid", "told"),
    [
        (frame((4, 0), count=4), "grid of C"),
        (frame((1, 99)), "chord grid"),
        (frame((1, 3), count=0), "chord grid"),
        (frame((9, 3)), "chord grid"),
        (frame(), "chord grid"),
    ],
)
def test_grids_that_do_not_fit_are_told(grid, told):
    tree, losses = load(guitar(harmony(grid) + FOUR))
    assert "shapes" not in tree
    assert [loss.what for loss in losses] == [told]


def test_grids_of_a_part_without_strings_are_told_once():
    losses = load(score(harmony(C_MAJOR) + FOUR, harmony(C_MAJOR, root="D") + FOUR))[1]
    assert [loss.what for loss in losses] == ["chord grids, as no part has strings"]


OWN = """
score: 1
shapes: {F: {frets: 1 3 3 2 1 1, fingers: 1 3 4 2 1 1}, CM7: x 3 2 0 0 0, Gsus: 3 3 0 0 1 3}
measures:
  - chord: CM7
    notes: [1/1: {5: 3}]
  - new: line
    chord: {1: Gsus, 3: C-7}
    notes: [1/1: {6: 3}]
  - new: page
    notes: [1/1: {6: 3}]
"""


def test_shapes_names_and_breaks_of_our_own_files_come_back():
    tree, losses = read_musicxml(write_musicxml(read(OWN)))
    assert losses == []
    assert list(tree["shapes"].items()) == [
        ("F", {"frets": "1 3 3 2 1 1", "fingers": "1 3 4 2 1 1"}),
        ("CM7", "x 3 2 0 0 0"),
        ("Gsus", "3 3 0 0 1 3"),
    ]
    assert [measure.get("new") for measure in tree["measures"]] == [None, "line", "page"]
    assert [measure.get("chord") for measure in tree["measures"]] == [{1: "CM7"}, {1: "Gsus", 3: "C-7"}, None]


def test_breaks_of_others_belong_to_their_paper_and_are_no_loss():
    tree, losses = load(score(FOUR, '<print new-system="yes"/>' + FOUR, '<print new-page="yes"/>' + FOUR))
    assert all("new" not in measure for measure in tree["measures"])
    assert losses == []


def test_names_of_others_come_in_the_words_of_the_language():
    kind = '<harmony><root><root-step>C</root-step></root><kind text="Maj7">major-seventh</kind></harmony>'
    assert measures(kind + FOUR)[0]["chord"] == {1: "Cmaj7"}
