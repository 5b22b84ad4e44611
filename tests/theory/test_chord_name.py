"""Chord names: pitch classes computed from the definitions of the qualities (kinds of MusicXML 4.0)."""

import pytest

from engrave.theory.chord_name import chord_letters, display_parts, parse_chord_name, pitch_classes

QUALITIES = {
    "C": "0 4 7",
    "Cmaj": "0 4 7",
    "Cm": "0 3 7",
    "Cmin": "0 3 7",
    "C+": "0 4 8",
    "Caug": "0 4 8",
    "Cdim": "0 3 6",
    "C°": "0 3 6",
    "C(b5)": "0 4 6",
    "C5": "0 7",
    "Csus2": "0 2 7",
    "Csus4": "0 5 7",
    "Csus": "0 5 7",
    "Csus2/4": "0 2 5 7",
    "Cadd9": "0 2 4 7",
    "Cm(add9)": "0 2 3 7",
    "Cadd11": "0 4 5 7",
    "C6": "0 4 7 9",
    "Cm6": "0 3 7 9",
    "C6/9": "0 2 4 7 9",
    "C7": "0 4 7 10",
    "Cmaj7": "0 4 7 11",
    "CM7": "0 4 7 11",
    "C△7": "0 4 7 11",
    "Cm7": "0 3 7 10",
    "Cm(maj7)": "0 3 7 11",
    "Cdim7": "0 3 6 9",
    "C°7": "0 3 6 9",
    "Cm7b5": "0 3 6 10",
    "Cø7": "0 3 6 10",
    "C7#5": "0 4 8 10",
    "C+7": "0 4 8 10",
    "Cmaj7#5": "0 4 8 11",
    "C7b5": "0 4 6 10",
    "C7sus4": "0 5 7 10",
    "C9": "0 2 4 7 10",
    "Cmaj9": "0 2 4 7 11",
    "Cm9": "0 2 3 7 10",
    "C7b9": "0 1 4 7 10",
    "C7#9": "0 3 4 7 10",
    "C7b5b9": "0 1 4 6 10",
    "C7#5#9": "0 3 4 8 10",
    "C7#11": "0 4 6 7 10",
    "C9#11": "0 2 4 6 7 10",
    "C11": "0 2 4 5 7 10",
    "Cm11": "0 2 3 5 7 10",
    "C13": "0 2 4 7 9 10",
    "C13b9": "0 1 4 7 9 10",
    "C13sus4": "0 2 5 7 9 10",
    "C7b13": "0 4 7 8 10",
}


@pytest.mark.parametrize(("name", "classes"), QUALITIES.items())
def test_qualities(name, classes):
    assert pitch_classes(parse_chord_name(name)) == {int(n) for n in classes.split()}


@pytest.mark.parametrize("text", ["H7", "Cmag7", "", "7", "Cx", "C/H", "Gfoo", "Hfoo", "Hello"])
def test_what_is_no_chord_is_refused(text):
    with pytest.raises(ValueError, match="not a chord name"):
        parse_chord_name(text)


def test_slash_and_root():
    name = parse_chord_name("F#m7b5/E")
    assert (name.root, name.bass) == ((3, 1), (2, 0))


def test_real_signs_and_raised_extensions():
    parts = display_parts(parse_chord_name("Bbm7b5/Ab"), "N.C.")
    assert [p.text for p in parts] == ["B", "♭", "m", "7", "♭", "5", "/", "A", "♭"]
    assert [p.raised for p in parts] == [False, False, False, True, True, True, False, False, False]
    assert [p.is_accidental for p in parts] == [False, True, False, False, True, False, False, False, True]


def test_no_chord_is_printed_as_the_page_has_it():
    assert display_parts(parse_chord_name("N.C."), "no chord")[0].text == "no chord"


def printed(name, says_h):
    return "".join(part.text for part in display_parts(parse_chord_name(name), "N.C.", says_h))


@pytest.mark.parametrize(
    ("name", "german"), [("B7", "H7"), ("Bb7", "B♭7"), ("E/B", "E/H"), ("Bbm/Bb", "B♭m/B♭"), ("C#m", "C♯m")]
)
def test_where_b_is_called_h_no_b_stands_without_its_flat(name, german):  # German usage, from memory
    assert printed(name, says_h=True) == german
    assert "H" not in printed(name, says_h=False)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("H", "B"),
        ("H7", "B7"),
        ("Hm", "Bm"),
        ("h", "Bm"),
        ("hm7", "Bm7"),
        ("H6/9", "B6/9"),
        ("Hsus2/4", "Bsus2/4"),
        ("E/H", "E/B"),
        ("H7/F#", "B7/F#"),
    ],
)
def test_the_h_of_german_is_answered_with_b(
    typed, meant
):  # German usage: H is B natural, B is B flat; a small letter is minor
    with pytest.raises(ValueError) as caught:
        parse_chord_name(typed)
    assert (
        str(caught.value)
        == f'"{typed}" is not a chord name; German H is B: write {meant} (and a German B is written Bb)'
    )
    assert parse_chord_name(meant)


def test_letters_of_chord_tones():
    assert chord_letters(parse_chord_name("E7"))[8] == (4, 1)  # G sharp, the third of E
    assert chord_letters(parse_chord_name("Cm"))[3] == (2, -1)  # E flat, the third of C minor
    assert chord_letters(parse_chord_name("C#dim7"))[10] == (6, -1)  # B flat, its diminished seventh
