"""Swing in MusicXML 4.0: metronome-note, metronome-tuplet and the sound element swing."""

import pytest

from tests.exchange.musicxml_helpers import FOUR, load, score


def read_first(inner):
    tree, losses = load(score(inner + FOUR))
    return tree.get("swing"), [loss.what for loss in losses]


@pytest.mark.parametrize(
    ("swing", "found"),
    [
        ("<first>2</first><second>1</second>", "1/8"),
        ("<first>2</first><second>1</second><swing-type>16th</swing-type>", "1/16"),
        ("<straight/>", "none"),
        ("<first>1</first><second>1</second>", "none"),
    ],
)
def test_a_sound_says_what_is_swung(swing, found):
    assert read_first(f"<sound><swing>{swing}</swing></sound>") == (found, [])


def test_other_shares_are_told():
    found, losses = read_first("<sound><swing><first>3</first><second>2</second></swing></sound>")
    assert found == "1/8"
    assert losses == ["remark: swing of 3 to 2 is played two to one"]


@pytest.mark.parametrize(
    "shares", ["<first>1</first><second>2</second>", "<first>x</first><second>1</second>", ""]
)
def test_shares_that_are_none_are_told(shares):
    assert read_first(f"<sound><swing>{shares}</swing></sound>") == (None, ["swing"])


def equation(*types, tuplet=3):
    mark = f"<metronome-tuplet type='start'><actual-notes>{tuplet}</actual-notes></metronome-tuplet>"
    notes = [
        f"<metronome-note><metronome-type>{kind}</metronome-type>{{}}</metronome-note>" for kind in types
    ]
    row = "".join(text.format(mark if index == 2 else "") for index, text in enumerate(notes))
    return f"<direction><direction-type><metronome>{row}</metronome></direction-type></direction>"


def test_an_equation_of_notes_alone_is_swing_too():
    assert read_first(equation("eighth", "eighth", "quarter", "eighth")) == ("1/8", [])
    assert read_first(equation("16th", "16th", "eighth", "16th")) == ("1/16", [])


def test_other_equations_are_told():
    assert read_first(equation("eighth", "eighth", "quarter", "eighth", tuplet=5)) == (
        None,
        ["metronome mark"],
    )
    assert read_first(equation("quarter", "quarter")) == (None, ["metronome mark"])
