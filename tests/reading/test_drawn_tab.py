"""A drawn tab reads into the same events as the notes form."""

import pytest

from tests.reading.helpers import events, problems

HEAD = "score: 1\ntime: 2/4\n"


def drawn(*rows, head=HEAD):
    return head + "measures:\n  - tab: |\n" + "".join(f"      {row}\n" for row in rows)


def notes(text, head=HEAD, bass=""):
    return head + f"measures:\n  - notes: {text}\n" + (f"    lower: {bass}\n" if bass else "")


def essence(text, voice=0):
    return [
        (
            e.onset,
            e.length,
            e.value.name,
            [t.ratio for t in e.tuplets],
            [
                (n.string, n.fret, n.pitch.name, n.tie_from, n.tie_to, [t.sign for t in n.techniques])
                for n in e.notes
            ],
        )
        for e in events(text, voice)
    ]


@pytest.mark.parametrize(
    ("rows", "written"),
    [
        (("rhythm 4 8 8", "1      0 - 3", "2      1 1 -"), "[1/4: {1: 0, 2: 1}, 1/8: [{2: 1}, {1: 3}]]"),
        (("rhythm 4 4", "3      2 -"), "[1/4: [{3: 2}, rest]]"),
        (
            ("rhythm 3(8 8 8) 4", "3        0 2 4  5"),
            "[3 in 2 of 1/8: [{3: 0}, {3: 2}, {3: 4}], 1/4: {3: 5}]",
        ),
        (
            ("rhythm 8. 16 4", "1      10 12 =", "2      8  -  x"),
            "[1/8.: {1: 10, 2: 8}, 1/16: {1: 12}, 1/4: {1: tie, 2: x}]",
        ),
        (
            ("rhythm 8 8  8  8", "1      0 h2 p0 /5~"),
            "[1/8: [{1: 0}, {1: 2 hammer-on}, {1: 0 pull-off}, {1: 5 slide vibrato}]]",
        ),
    ],
)
def test_both_forms_read_alike(rows, written):
    assert essence(drawn(*rows)) == essence(notes(written))


def test_a_bass_row_makes_a_second_voice():
    text = drawn("rhythm 8 8 4", "lower  2", "1      0 1 3", "6      3")
    other = notes("[1/8: [{1: 0}, {1: 1}], 1/4: {1: 3}]", bass="[1/2: {6: 3}]")
    assert essence(text) == essence(other)
    assert essence(text, 1) == essence(other, 1)


def test_barlines_and_dashes_are_filler():
    assert essence(drawn("rhythm | 4 4 |", "1      |-0-3-|")) == essence(notes("[1/4: [{1: 0}, {1: 3}]]"))


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        (("rhythm 4 4", "1      0 - - 5"), 'f:6:20: "5" stands under no value of the rhythm'),
        (("rhythm 4 5", "1      0 1"), "5 is not a note value"),
        (("rhythm 4 4", "7      0 1"), '"7" is not a row of a drawn tab'),
        (("rhythm 4 4", "1      0 ?"), '"?" does not belong on a string'),
        (("rhythm 3(8 8 8 4", "1        0 1 2 3"), "is not closed"),
        (("1      0 1",), "no rhythm row"),
        (("rhythm 4 4", "1      0 1", "1      2 3"), "is written twice"),
        (("rhythm 4   4", "1      5x- 1"), "string 1 has two frets under one value"),
    ],
)
def test_slips_in_a_grid_are_named(rows, message):
    assert any(message in problem for problem in problems(drawn(*rows))), problems(drawn(*rows))
