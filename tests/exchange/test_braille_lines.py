"""Lines and pages of braille, what is told of it, and a second opinion: the translator of music21. House rules."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.commands.writing import write_score
from engrave.exchange.braille.measures import PartWriter, join_pieces
from engrave.exchange.braille.signs import as_ascii
from engrave.exchange.braille.writer import Sheet, write_braille
from engrave.exchange.musicxml.writer import write_musicxml
from engrave.exchange.words.speech import speaker_of
from engrave.reading.load import load_score
from engrave.requests.exchange import Foreign, WriteRequest
from tests.exchange.test_braille import piece
from tests.exchange.test_round_trips import ALL, sample
from tests.layout.test_random_scores import scores
from tests.reading.helpers import read

SPACE = "\u2800"


def sample_at(path):
    """The score in a file, which is right."""
    return load_score(str(path))[0]


# --- Lines and pages.


@pytest.mark.parametrize("width", [20, 32, 40])
@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_no_line_is_longer_than_asked(path, width):
    text, _ = write_braille(sample(path), Sheet(width))
    assert max(map(len, text.replace("\f", "").split("\n"))) <= width


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_no_page_is_longer_than_asked(path):
    text, _ = write_braille(sample(path), Sheet(height=12))
    assert all(page.count("\n") <= 12 for page in text.split("\f"))


@settings(max_examples=40)
@given(scores(), st.integers(20, 60))
def test_random_music_is_written_in_cells_of_six_dots_within_the_line(text, width):
    made, _ = write_braille(read(text), Sheet(width))
    assert all(ord(c) < 0x2840 for c in made)
    assert max(map(len, made.replace("\f", "").split("\n"))) <= width
    assert as_ascii(made).isascii()


def test_a_measure_too_long_for_a_line_goes_on_after_a_music_hyphen():
    score = piece(["1/32: " + " ".join(["C4 E4 G4 E4"] * 8)])
    text, _ = write_braille(score, Sheet(20))
    first, *rest = text.rstrip("\n").splitlines()[2:]
    assert rest
    assert first.endswith("⠐")
    assert all(line.startswith("     ⠐") for line in rest)


def test_parts_stand_under_each_other_measure_by_measure():
    score = read(
        "score: 1\nparts: [{id: anna, instrument: voice}, {id: ben, instrument: voice}]\nmeasures:\n"
        "  - parts: {anna: {notes: [1/8: C5 D5 E5 F5 G5 F5 E5 D5]}, ben: {notes: [1/1: E4]}}\n"
        "  - parts: {anna: {notes: [1/1: C5]}, ben: {notes: [1/1: C4]}}\n"
    )
    text, _ = write_braille(score, Sheet())
    upper, lower = text.splitlines()[-2:]
    assert upper == "⠼⠁ ⠁⠝⠝ ⠨⠙⠑⠋⠛⠓⠛⠋⠑ ⠽⠣⠅"
    assert lower == "   ⠃⠑⠝ ⠐⠯ ⠄⠄⠄⠄⠄⠄ ⠽⠣⠅"  # guide dots lead over the gap


# --- What is told.


def test_what_is_not_written_is_told(tmp_path):
    path = tmp_path / "quay.yaml"
    path.write_text(
        "score: 1\ntime: 3+2/8\nmeasures: [{chord: {1: C, 3: G}, notes: [1/8: slash slash slash 3:0 3:0]}]\n"
    )
    written = write_score(sample_at(path), str(path), WriteRequest(file=str(path), form=Foreign.BRF))
    told = " ".join(map(str, written.problems))
    for words in ("rhythm slashes", "chord names stand under their measure", "the sum of a time signature"):
        assert words in told


# --- A second opinion.

VALUES = {16: "1/1", 12: "1/2.", 8: "1/2", 6: "1/4.", 4: "1/4", 3: "1/8.", 2: "1/8", 1: "1/16"}
"""Values by how many sixteenths they last."""


@st.composite
def sounds(draw, altered):
    """A note, a rest, or a chord without unisons; `altered` says how each letter is."""
    kind = draw(st.sampled_from(["note", "note", "note", "rest", "chord"]))
    if kind == "rest":
        return "rest"
    many = draw(st.integers(2, 4)) if kind == "chord" else 1
    of = [f"{step}{altered[step]}{octave}" for step in "CDEFGAB" for octave in (2, 3, 4, 5, 6)]
    return "+".join(draw(st.lists(st.sampled_from(of), min_size=many, max_size=many, unique=True)))


@st.composite
def melodies(draw):
    """Measures of 4/4 for one voice. Letters are altered alike throughout: the other has courtesies of its own."""
    altered = draw(st.fixed_dictionaries({step: st.sampled_from(["", "#", "b"]) for step in "CDEFGAB"}))
    made = []
    for _ in range(draw(st.integers(1, 3))):
        left, items = 16, []
        while left:
            size = draw(st.sampled_from([s for s in VALUES if s <= left]))
            # the other has no triplet that begins with a rest, and no chords in groups of sixteenths
            one = sounds(altered).filter(lambda sound: "+" not in sound)
            if size == 4 and left % 4 == 0 and draw(st.booleans()):
                value, many = draw(st.sampled_from([("1/16", 4), ("3 in 2 of 1/8", 3)]))
                notes = [draw(one.filter("rest".__ne__)) for _ in range(many)]
                items.append(f"{value}: [{', '.join(notes)}]")
            else:
                items.append(f"{VALUES[size]}: {draw(one if size == 1 else sounds(altered))}")
            left -= size
        made.append(", ".join(items))
    return made


@settings(max_examples=40, deadline=None)
@given(melodies())
def test_a_second_opinion_on_melodies(made):
    pytest.importorskip("music21")
    from music21 import converter
    from music21.braille.translate import measureToBraille

    score = piece(made)
    xml = re.sub("<accidental [^>]*>[^<]*</accidental>", "", write_musicxml(score).decode())  # no courtesies
    stream = converter.parse(xml, format="musicxml")
    writer = PartWriter(score, score.parts[0], speaker_of("en"))
    for index, measure in enumerate(stream.parts[0].getElementsByClass("Measure")):
        for kind in ("Clef", "KeySignature", "TimeSignature"):
            measure.removeByClass(kind)
        measure.rightBarline = None
        other = measureToBraille(measure, showFirstMeasureNumber=False, descendingChords=True)
        own = join_pieces(writer.measure(index, (), True)).removesuffix("⠣⠅")
        assert own == other.replace(SPACE, " ").split()[-1]  # without the time signature
