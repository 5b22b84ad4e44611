"""Rests between beamed notes: half a space of white to every beam over them (house rule), stems or rests giving way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.fonts.symbols import music_face
from engrave.layout.beams import Beam, BeamPiece, SlopeReason
from engrave.layout.direction import Direction
from engrave.layout.document import place_score
from engrave.layout.notes.rests import BeamedRest, beam_limits, decide_rest_retreat
from engrave.marks.role import Role
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]
WHITE = 0.5
PITCHES = ["D2", "F2", "A2", "C3", "E3", "G3", "B3", "D4", "F4"]
FIGURES = [
    "1/8: {0}, 1/16: [rest, {1}], 1/4: C3",
    "1/16: [{0}, rest, {1}, {2}], 1/4: C3",
    "1/32: [{0}, rest, {1}, {2}, {0}, {1}, rest, {2}], 1/4: C3",
]


def staff_marks(measure):
    score = read(
        f"score: 1\ninstrument: {{preset: voice, clef: bass}}\ntime: 2/4\nmeasures:\n  - {{{measure}}}\n"
    )
    return [mark for page in place_score(score, STYLE).pages for group in page.groups for mark in group.marks]


def height_at(polygon, x):
    """Lower and upper edge of a beam's piece at `x`, held at its ends."""
    (x1, low1), (x2, low2), (_, high2), (_, high1) = polygon.points
    share = min(1.0, max(0.0, (x - x1) / (x2 - x1)))
    return low1 + share * (low2 - low1), high1 + share * (high2 - high1)


def whites(measure):
    """The white between each rest and each piece of beam over or under it."""
    found = staff_marks(measure)
    for rest in (mark for mark in found if mark.role is Role.REST):
        box = music_face().glyph(rest.name).box
        left, right = rest.x + box.left, rest.x + box.right
        for beam in (mark for mark in found if mark.role is Role.BEAM):
            if beam.points[0][0] < right and left < beam.points[1][0]:
                for x in (left, right):
                    low, high = height_at(beam, x)
                    yield max(low - rest.y - box.top, rest.y + box.bottom - high)


def test_the_tail_of_a_rest_is_clear_of_a_sloping_beam_below_it():
    found = list(whites("notes: [1/8: C4, 1/16: [rest, B3], 1/4: C4]"))
    assert found
    assert min(found) >= WHITE - 1e-6


@given(st.sampled_from(FIGURES), st.lists(st.sampled_from(PITCHES), min_size=3, max_size=3))
def test_rests_of_a_voice_on_its_own_are_clear_of_their_beams(figure, pitches):
    assert all(white >= WHITE - 1e-6 for white in whites(f"notes: [{figure.format(*pitches)}]"))


@given(st.sampled_from(FIGURES), st.lists(st.sampled_from(PITCHES), min_size=3, max_size=3))
def test_rests_of_a_lower_voice_are_clear_of_their_beams(figure, pitches):
    assert all(
        white >= WHITE - 1e-6 for white in whites(f"notes: [1/2: G3], lower: [{figure.format(*pitches)}]")
    )


@pytest.mark.parametrize(("edge", "spaces"), [(2.0, 0), (1.5, 0), (1.0, 0), (0.75, 1), (-0.25, 2), (-3.0, 2)])
def test_stems_grow_half_a_space_before_a_rest_moves(edge, spaces):
    """The beam's inner edge lies at 1.5 under the rest, so that a rest down to 2 has its white."""
    beam = Beam(1.25, 1.25, SlopeReason.CONTOUR)
    limits = beam_limits(
        [BeamedRest(2.0, 3.0, edge + 0.5)], [BeamPiece(1, 0.0, 5.0)], Direction.DOWN, STYLE.beams
    )
    assert decide_rest_retreat(beam, (0.0, 5.0), limits, Direction.DOWN, STYLE.beams) == spaces


def test_a_rest_far_from_its_beam_stays_in_the_middle_of_the_staff():
    (rest,) = [
        m for m in staff_marks("notes: [3 in 2 of 1/8: [F3, rest, E3], 1/4: C3]") if m.role is Role.REST
    ]
    assert rest.y == 2.0
