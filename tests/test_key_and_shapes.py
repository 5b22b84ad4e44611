"""The key to the signs and rows of chord shapes: even rows, letters that can be read, the player's own strings (house rule)."""

import pytest

from engrave.fonts.symbols import music_face
from engrave.layout.explained_signs import place_explained_signs
from engrave.layout.pages.grid_rows import place_grid_rows
from engrave.marks.mark import Line, Text
from engrave.marks.role import Role
from engrave.reading.sign_examples import read_sign_examples
from engrave.score.restrung import restrung
from engrave.score.structure import NamedShape, View
from engrave.style.load import load_style
from engrave.style.words import TextStyle
from engrave.theory.chord_name import parse_chord_name
from engrave.theory.chord_shape import parse_chord_shape
from engrave.theory.instrument import PRESETS

STYLE, _ = load_style("")
SIGNS = ("hammer-on", "bend", "dead", "natural-harmonic", "strum-down", "accent", "let-ring", "pluck", "rake")


def key(view=View.STAFF_AND_TAB, instrument=None, width=100.0, style=STYLE):
    return place_explained_signs(
        read_sign_examples(SIGNS), view, width, style, music_face(), instrument=instrument
    )


@pytest.mark.parametrize("style", ["", "large-print", "handout"])
def test_the_names_of_one_row_stand_on_one_line(style):
    for row in key(style=load_style(style)[0]):
        names = {
            round(layer.y + mark.y * layer.scale, 6)
            for layer in row.layers
            for mark in layer.marks
            if mark.role is Role.EXPLANATION_NAME
        }
        assert len(names) <= 1


def test_no_letter_of_an_example_is_smaller_than_the_smallest_of_the_style():
    smallest = min(kind.size for kind in STYLE.words if isinstance(kind, TextStyle) and kind.face != "music")
    sizes = [
        mark.size * layer.scale
        for row in key()
        for layer in row.layers
        for mark in layer.marks
        if isinstance(mark, Text)
    ]
    assert min(sizes) >= smallest - 1e-9


@pytest.mark.parametrize("width", [60.0, 100.0])
def test_examples_and_words_stay_in_their_columns(width):
    column = (width - STYLE.explanations.gap * 2) / 2
    for row in key(width=width):
        for layer in row.layers:
            lines = [mark for mark in layer.marks if isinstance(mark, Line) and mark.role is Role.TAB_LINE]
            assert all((line.x2 - line.x1) * layer.scale <= column / 2 + 1e-6 for line in lines)


@pytest.mark.parametrize("name", ["ukulele", "bass", "bass-5", "guitar-7", "guitar"])
def test_tabs_of_the_key_have_the_strings_of_the_part(name):
    instrument = PRESETS[name]
    for row in key(View.TAB, instrument):
        for layer in row.layers:
            heights = {mark.y1 for mark in layer.marks if mark.role is Role.TAB_LINE}
            assert len(heights) in (0, instrument.strings)


@pytest.mark.parametrize("name", ["ukulele", "bass", "mandolin", "guitar-8"])
def test_restrung_chords_have_each_string_once(name):
    for score in read_sign_examples(SIGNS).values():
        moved = restrung(score, PRESETS[name])
        for part in moved.parts:
            for measure in part.measures:
                for voice in measure.voices:
                    for event in voice.events:
                        strings = [note.string for note in event.notes]
                        assert len(set(strings)) == len(strings)
                        assert all(1 <= string <= PRESETS[name].strings for string in strings)


def grids(shapes, width, columns=0):
    named = [NamedShape(parse_chord_name(name), parse_chord_shape(frets)) for name, frets in shapes]
    return place_grid_rows(named, False, width, 0.0, STYLE, columns)[0]


SHAPES = [("C", "x 3 2 0 1 0"), ("G", "3 2 0 0 0 3"), ("Bm7b5", "x 2 3 2 3 x"), ("E", "0 7 6 4 0 0"), ("F", "1 3 3 2 1 1")]  # fmt: skip


def test_all_grids_of_a_row_have_one_height():
    marks = grids([*SHAPES[:2], ("D", "x 1 2 3 4 6")], 200.0)
    strings = [mark for mark in marks if mark.role is Role.GRID_LINE and mark.x1 == mark.x2]
    assert len({round(mark.y2, 6) for mark in strings}) == 1


def test_shapes_in_several_rows_stand_under_each_other():
    marks = grids(SHAPES * 3, 45.0)
    nuts = {}
    for mark in marks:
        if mark.role is Role.GRID_NUT:
            nuts.setdefault(round(mark.y1, 3), []).append(round((mark.x1 + mark.x2) / 2, 3))
    assert len(nuts) > 1
    places = {x for row in nuts.values() for x in row}
    assert len(places) == max(len(row) for row in nuts.values())
