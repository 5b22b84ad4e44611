"""What instrument a part is, what it is called, tempo as words, notes without a pitch: files as programs write them.

What an element means: MusicXML 4.0; the rest: common practice, no source.
"""

import pytest

from engrave.exchange.musicxml.reader import Loss
from engrave.exchange.musicxml.reading.music import Unpitched
from tests.exchange.musicxml_helpers import FOUR, attributes, direction, load, measures, note, score


def sounding(program):
    return score(FOUR, name="Melody").replace(
        "</score-part>",
        f'<midi-instrument id="I1"><midi-program>{program}</midi-program></midi-instrument></score-part>',
    )


@pytest.mark.parametrize(
    ("name", "preset"),
    [("Guitar", "guitar"), ("Gitarre 1", "guitar"), ("Ukulele", "ukulele"), ("Tenor Banjo", "banjo")],
)
def test_a_part_is_the_instrument_that_it_is_called_by(name, preset):
    value = load(score(FOUR, name=name))[0]["instrument"]
    assert (value if isinstance(value, str) else value["preset"]) == preset


@pytest.mark.parametrize(
    ("program", "preset"), [(25, "guitar"), (32, "guitar"), (24, "voice"), (41, "voice")]
)
def test_a_part_is_the_instrument_that_it_sounds_like(program, preset):
    """General MIDI 1: programs 25 to 32, counted from 1, are guitars."""
    assert load(sounding(program))[0]["instrument"]["preset"] == preset


def test_notes_of_a_named_guitar_are_written_as_pitches_an_octave_above_their_sound():
    tree, _ = load(score(FOUR, name="Guitar"))
    assert tree["instrument"] == "guitar"
    assert tree["measures"][0]["notes"] == [{"1/4": "C5 D5 E5 F5"}]


def test_a_named_guitar_keeps_notes_that_it_has_not_and_that_is_told():
    tree, losses = load(score(note("C2", 16, "whole"), name="Guitar"))
    assert tree["measures"][0]["notes"] == [{"1/1": "C2"}]
    what = "the guitar has no strings for 1 of its notes: it is written as pitches"
    assert losses == [Loss(f"remark: {what}; --instrument guitar --fit puts it there", "Guitar", "")]


def test_an_id_that_a_program_made_up_is_no_name():
    tree, _ = load(score(FOUR, name="").replace("P1", "P66a89e535a81e03691e091c0a3e3222e"))
    assert tree["instrument"] == "voice"


@pytest.mark.parametrize(
    ("head", "doubt"),
    [
        ("<movement-title>Quay -- a reel</movement-title>", 'the title has "--"; a dash is typed – or —'),
        ("<movement-title>FERRY BELL</movement-title>", "the title is in capitals"),
        (
            '<identification><creator type="composer">Penwright</creator>'
            "<encoding><software>Penwright 4.1</software></encoding></identification>",
            '"Penwright" among the credits is the name of the program that wrote the file',
        ),
    ],
)
def test_what_nobody_would_have_typed_is_kept_and_told(head, doubt):
    tree, losses = load(score(FOUR, head=head))
    assert tree.get("title", tree.get("credits")) in head
    assert losses == [Loss(f"remark: {doubt}", "", "")]


@pytest.mark.parametrize("title", ["Ferry Bell", "BWV 5", "D.C. Reel", "Ich bin – hier"])
def test_an_ordinary_title_is_not_remarked_on(title):
    assert load(score(FOUR, head=f"<movement-title>{title}</movement-title>"))[1] == []


@pytest.mark.parametrize(
    ("words", "tempo"),
    [
        ("1/4 = 100", "1/4 = 100"),
        ("♩ = 100", "1/4 = 100"),
        ("♩. = 60", "1/4. = 60"),
        ("Gently (♪=c. 132)", "Gently, 1/8 = 132"),
        ("\ueca5 = 88", "1/4 = 88"),
    ],
)
def test_words_that_are_a_metronome_mark_become_one(words, tempo):
    """Signs of notes: Unicode and SMuFL (metronome marks)."""
    assert load(score(direction(f"<words>{words}</words>") + FOUR))[0]["tempo"] == tempo


@pytest.mark.parametrize("words", ["Gently", "for 4 = all", "1/4 = fast", "1/4 = 4000"])
def test_other_words_stay_words(words):
    assert measures(direction(f"<words>{words}</words>") + FOUR)[0]["text"] == {1: words}


THIRD = "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"


@pytest.mark.parametrize("off", [-0.001, 0.001])
def test_triplets_whose_durations_are_rounded_are_triplets(off):
    row = "".join(
        note(pitch, round(3200 * (1 + off)), "eighth", THIRD)
        for pitch in ["C4", "D4", "E4", "F4", "G4", "A4", "C4", "D4", "E4", "F4", "G4", "A4"]
    )
    tree, losses = load(score(attributes().replace(">4</divisions>", ">9600</divisions>") + row))
    triplets = [{"3 in 2 of 1/8": row} for row in ("C4 D4 E4", "F4 G4 A4", "C4 D4 E4", "F4 G4 A4")]
    assert tree["measures"][0]["notes"] == triplets
    assert losses == []


def unpitched(step, octave):
    height = f"<display-step>{step}</display-step><display-octave>{octave}</display-octave>"
    return (
        f"<note><unpitched>{height}</unpitched><duration>8</duration><voice>1</voice><type>half</type></note>"
    )


def test_notes_without_a_pitch_become_slashes_or_dead_notes_on_wish():
    text = score(unpitched("E", 5) + unpitched("E", 4), name="Strum")
    assert load(text)[1] == [Loss("2 notes: unpitched", "Strum", "1")]
    slashes, _ = load(text, unpitched=Unpitched.SLASHES)
    assert slashes["measures"][0]["notes"] == [{"1/2": "slash slash"}]
    dead, _ = load(text, unpitched=Unpitched.DEAD_NOTES)
    assert dead["instrument"]["preset"] == "guitar"
    assert dead["measures"][0]["notes"] == [{"1/2": "1:x 4:x"}]


@pytest.mark.parametrize("words", ["N.C.", "N.C", "NC", "N. C.", "No chord"])
def test_words_for_no_chord_are_the_sign(words):
    """House rule: MusicXML 4.0 has a `harmony` of the kind `none` for it."""
    measure = measures(direction(f"<words>{words}</words>") + FOUR)[0]
    assert measure["chord"] == {1: "N.C."}
    assert "text" not in measure


def test_words_for_no_chord_beside_a_chord_stay_words():
    """House rule."""
    harmony = "<harmony><root><root-step>F</root-step></root><kind>major</kind></harmony>"
    measure = measures(harmony + direction("<words>N.C.</words>") + FOUR)[0]
    assert measure["chord"] == {1: "F"}
    assert measure["text"] == {1: "N.C."}
