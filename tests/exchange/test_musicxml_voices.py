"""More voices than a part has, chords that are held in part, two staves in one part.

Common practice of arranging for one guitar, no source; what an element means: MusicXML 4.0.
"""

import pytest

from engrave.exchange.musicxml.reader import Loss, read_musicxml
from tests.exchange.musicxml_helpers import attributes, load, note, score

BACK = "<backup><duration>16</duration></backup>"
TIE, TIED = '<tie type="start"/>', '<tie type="stop"/>'


def voices(*rows):
    return score(BACK.join("".join(row) for row in rows))


def whole(pitch, voice):
    return [note(pitch, 16, "whole", voice=voice)]


def quarters(pitches, voice):
    return [note(pitch, voice=voice) for pitch in pitches.split()]


def test_a_third_voice_of_the_same_rhythm_joins_the_chords_that_start_with_it():
    tree, losses = load(voices(whole("G4", 1), whole("C4", 2), whole("E4", 3)))
    assert tree["measures"][0]["notes"] == [{"1/1": "E4+G4"}]
    assert tree["measures"][0]["lower"] == [{"1/1": "C4"}]
    assert losses == []


def test_a_third_voice_of_another_rhythm_takes_the_length_of_its_chord_and_that_is_told():
    tree, losses = load(
        voices(quarters("C5 D5 E5 F5", 1), whole("C4", 2), [note("E4", 8, "half", voice=3)] * 2)
    )
    assert tree["measures"][0]["notes"] == [{"1/4": "C5 D5 E4+E5 F5"}]
    assert tree["measures"][0]["lower"] == [{"1/1": "C4+E4"}]
    assert losses == [Loss("2 kept notes: a third voice", "Song", "1")]


def test_a_third_voice_fills_rests():
    above = [note("rest", 8, "half", voice=1), note("C5", 8, "half", voice=1)]
    tree, losses = load(voices(above, whole("C4", 2), quarters("rest E4 rest rest", 3)))
    assert tree["measures"][0]["notes"] == [{"1/4": "rest E4"}, {"1/2": "C5"}]
    assert losses == []


def test_what_finds_no_place_in_two_voices_is_told():
    syncopated = [note("rest", 2, "eighth", voice=3), note("E4", 2, "eighth", voice=3)]
    tree, losses = load(voices(quarters("C5 D5 E5 F5", 1), whole("C4", 2), syncopated))
    assert tree["measures"][0]["notes"] == [{"1/4": "C5 D5 E5 F5"}]
    assert losses == [Loss("1 note: a third voice", "Song", "1")]


def test_a_chord_may_be_held_in_part():
    first = (
        note("C4", 8, "half", TIE)
        + note("E4", 8, "half", chord=True)
        + note("G4", 8, "half", TIE, chord=True)
    )
    second = (
        note("C4", 8, "half", TIED)
        + note("F4", 8, "half", chord=True)
        + note("G4", 8, "half", TIED, chord=True)
    )
    tree, losses = load(score(first + second))
    assert tree["measures"][0]["notes"] == [{"1/2": ["C4+E4+G4", {"tie": "C4+G4", "pitch": "F4"}]}]
    assert losses == []


def test_of_a_chord_some_notes_may_go_on_alone():
    first = note("C4", 8, "half", TIE) + note("E4", 8, "half", chord=True)
    tree, losses = load(score(first + note("C4", 8, "half", TIED)))
    assert tree["measures"][0]["notes"] == [{"1/2": ["C4+E4", {"tie": "C4"}]}]
    assert losses == []


def grand(upper, lower):
    def on(staff, row):
        return "".join(row).replace("</type>", f"</type><staff>{staff}</staff>")

    start = attributes("<staves>2</staves>")
    return score(start + on(1, upper) + BACK + on(2, lower))


def test_two_staves_become_one_part_where_that_is_wished():
    text = grand(quarters("C5 D5 E5 F5", 1), whole("C3", 5))
    assert [part["name"] for part in load(text)[0]["parts"]] == ["Song 1", "Song 2"]
    tree, losses = load(text, merge=True)
    assert tree["instrument"] == {"preset": "voice", "name": "Song"}
    assert tree["measures"][0]["notes"] == [{"1/4": "C5 D5 E5 F5"}]
    assert tree["measures"][0]["lower"] == [{"1/1": "C3"}]
    assert losses == []


def test_the_lower_staff_stays_below_though_it_has_fewer_notes_than_a_second_voice_above():
    upper = quarters("C5 D5 E5 F5", 1) + [BACK] + [note("G4", 8, "half", voice=2)] * 2
    tree, _ = load(grand(upper, whole("C3", 5)), merge=True)
    assert tree["measures"][0]["lower"] == [{"1/1": "C3"}]
    assert tree["measures"][0]["notes"] == [{"1/4": "G4+C5 D5 G4+E5 F5"}]


def test_one_staff_alone_cannot_be_put_together():
    with pytest.raises(ValueError, match="--merge is for two staves, and this file has one staff"):
        read_musicxml(score(note("C4", 16, "whole")).encode(), merge=True)
