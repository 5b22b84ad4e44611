"""Slurs in MusicXML: `slur` elements with `type` and `number` (MusicXML 4.0)."""

import pytest
from hypothesis import given, settings

from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.reading.losses import Loss
from engrave.exchange.musicxml.writer import write_musicxml
from engrave.score.slurs import EventAt, Slur, resolve_slurs
from tests.exchange.musicxml_helpers import FOUR, attributes, fretted, load, measures, note, score, strings
from tests.exchange.test_round_trips import loaded
from tests.reading.helpers import read
from tests.score.slur_music import slurred_scores


def slur(kind, number=1):
    return f'<slur type="{kind}" number="{number}"/>'


def notes(*notations):
    """Quarters, each with its notations."""
    return "".join(
        note(pitch, notations=own) for pitch, own in zip(("C4", "D4", "E4", "F4"), notations, strict=True)
    )


def written(*notations):
    return measures(notes(*notations))[0]["notes"]


def test_a_slur_is_written_at_both_its_notes():
    assert written(slur("start"), "", slur("stop"), "") == [{"1/4": ["C4 slur", "D4", "E4 end-slur", "F4"]}]


def test_a_slur_over_others_is_a_phrase():
    found = written(slur("start", 2), slur("start"), slur("stop"), slur("stop", 2))
    assert found == [{"1/4": ["C4 phrase", "D4 slur", "E4 end-slur", "F4 end-phrase"]}]


def test_of_two_that_cross_one_is_a_phrase():
    found = written(slur("start", 2), slur("start"), slur("stop", 2), slur("stop"))
    assert found == [{"1/4": ["C4 slur", "D4 phrase", "E4 end-slur", "F4 end-phrase"]}]


def test_of_three_that_stop_at_one_note_two_are_kept():
    """An event has each word once; found in fiddle tunes, whose slurs are sometimes left open."""
    stops = "".join(slur("stop", number) for number in (1, 2, 3))
    tree, losses = load(score(notes(slur("start"), slur("start", 2), slur("start", 3), stops)))
    assert tree["measures"][0]["notes"] == [{"1/4": ["C4 phrase", "D4 slur", "E4", "F4 end-phrase end-slur"]}]
    assert len(losses) == 1


def test_slurs_that_meet_at_one_note_stay_two():
    found = written(slur("start"), slur("start", 2) + slur("stop"), slur("stop", 2), "")
    assert found == [{"1/4": ["C4 slur", "D4 end-slur slur", "E4 end-slur", "F4"]}]


def test_a_slur_may_end_on_a_held_note():
    held = note("C4", notations='<tied type="stop"/>' + slur("stop"))
    body = note("C4", notations=slur("start")) + held + note("E4") + note("F4")
    assert measures(body)[0]["notes"][0]["1/4"][:2] == ["C4 slur", "tie end-slur"]


@pytest.mark.parametrize(
    ("notations", "loss"),
    [
        ((slur("start"), "", "", ""), Loss("slur without an end", "Song", "1")),
        (("", slur("stop"), "", ""), Loss("slur without a start", "Song", "1")),
        ((slur("start"), slur("start"), slur("stop"), ""), Loss("slur without an end", "Song", "1")),
    ],
)
def test_a_slur_with_one_end_is_told(notations, loss):
    assert load(score(notes(*notations)))[1] == [loss]


def test_a_slur_to_a_note_that_is_left_out_is_told():
    third = note("G4", 16, "whole", notations=slur("stop"), voice=3)
    back = "<backup><duration>16</duration></backup>"
    second = note("E3", 16, "whole", voice=2)
    tree, losses = load(score(notes(slur("start"), "", "", "") + back + second + back + third))
    assert Loss("slur from one voice to another", "Song", "1") in losses
    assert tree["measures"][0]["notes"] == [{"1/4": "C4 D4 E4 F4"}]


def test_slurs_of_the_notes_of_one_chord_are_one():
    first = note("C4", notations=slur("start")) + note("E4", notations=slur("start", 2), chord=True)
    second = note("D4", notations=slur("stop")) + note("F4", notations=slur("stop", 2), chord=True)
    tree, losses = load(score(first + second + note("E4") + note("F4")))
    assert tree["measures"][0]["notes"] == [{"1/4": ["C4+E4 slur", "D4+F4 end-slur", "E4", "F4"]}]
    assert losses == [Loss("slur between the same notes as another", "Song", "1")]


def test_hammer_ons_and_slides_say_their_slurs_already():
    start = fretted(2, 3, "D4", '<hammer-on type="start"/>', slur("start"))
    reached = fretted(2, 5, "E4", '<hammer-on type="stop"/>', '<slide type="start"/>')
    slid = fretted(2, 7, "F#4", "", '<slide type="stop"/>' + slur("stop"))
    found = measures(attributes(strings()) + start + reached + slid + fretted(2, 3, "D4"))[0]["notes"]
    assert found == [{"1/4": ["2:3", "2:5 hammer-on", "2:7 slurred-slide", "2:3"]}]


def test_a_slur_over_more_than_hammer_ons_is_kept():
    start = fretted(2, 3, "D4", '<hammer-on type="start"/>', slur("start"))
    reached = fretted(2, 5, "E4", '<hammer-on type="stop"/>')
    body = (
        attributes(strings()) + start + reached + fretted(1, 1, "F4", "", slur("stop")) + fretted(2, 3, "D4")
    )
    assert measures(body)[0]["notes"] == [{"1/4": ["2:3 slur", "2:5 hammer-on", "1:1 end-slur", "2:3"]}]


def test_a_tab_takes_the_slurs_of_its_staff():
    def on(staff, ends):
        return "".join(
            f"<note><pitch><step>{step}</step><octave>4</octave></pitch><duration>8</duration><voice>{staff}</voice>"
            f"<type>half</type><staff>{staff}</staff><notations>{own}</notations></note>"
            for step, own in zip("DE", ends, strict=True)
        )

    frets = [f"<technical><string>2</string><fret>{fret}</fret></technical>" for fret in (3, 5)]
    clefs = '<staves>2</staves><clef number="1"><sign>G</sign><line>2</line></clef><clef number="2"><sign>TAB</sign></clef>'
    body = (
        attributes(clefs)
        + on(1, (slur("start"), slur("stop")))
        + "<backup><duration>16</duration></backup>"
        + on(2, frets)
    )
    assert measures(body)[0]["notes"] == [{"1/2": ["2:3 slur", "2:5 end-slur"]}]


def test_a_struck_slide_under_a_slur_of_ours_stays_struck():
    found = read(
        "score: 1\nmeasures:\n  - notes: [1/4: [2:3 slur, 2:5 slide end-slur, 2:3, 2:8 slurred-slide]]\n"
    )
    tree, losses = read_musicxml(write_musicxml(found))
    assert losses == []
    assert tree["measures"][0]["notes"] == [
        {"1/4": ["2:3 slur", "2:5 slide end-slur", "2:3", "2:8 slurred-slide"]}
    ]


@settings(max_examples=150)
@given(slurred_scores(deep=False))
def test_random_slurs_come_back(text):
    found = read(text)
    tree, losses = read_musicxml(write_musicxml(found))
    assert [loss for loss in losses if "same notes" not in loss.what] == []
    again = loaded(tree)
    assert set(resolve_slurs(again.parts[0].measures)) == set(resolve_slurs(found.parts[0].measures))


@settings(max_examples=25)
@given(slurred_scores(deep=False))
def test_another_reader_finds_the_same_slurs(text):
    """music21 as a second opinion: how many slurs there are, and over which pitches each goes."""
    music21 = pytest.importorskip("music21")
    found = read(text)
    parsed = music21.converter.parseData(write_musicxml(found).decode("utf-8"), format="musicxml")
    theirs = sorted(
        tuple(min(p.midi for p in end.pitches) for end in (slur.getFirst(), slur.getLast()))
        for slur in parsed.recurse().getElementsByClass(music21.spanner.Slur)
    )
    ours = sorted(
        tuple(_lowest(found, end) for end in (slur.start, slur.stop))
        for slur in resolve_slurs(found.parts[0].measures)
    )
    assert theirs == ours


def _lowest(found, at: EventAt):
    """The sounding pitch of the lowest note of an event; a guitar sounds an octave lower than written."""
    event = found.parts[0].measures[at.measure].voices[at.voice].events[at.event]
    return min(n.midi for n in event.notes) - 12


def test_two_voices_may_have_slurs_at_once():
    text = (
        "score: 1\nmeasures:\n  - {notes: [1/2: [1:0 slur, 1:3]], lower: [1/2: [5:0 slur, 5:2 end-slur]]}\n"
        "  - {notes: [1/2: [1:0 end-slur, 1:3]], lower: [1/2: [5:0 slur, 5:2 end-slur]]}\n"
    )
    tree, losses = read_musicxml(write_musicxml(read(text)))
    assert losses == []
    assert len(resolve_slurs(loaded(tree).parts[0].measures)) == 3
    assert Slur(EventAt(0, 0, 0), EventAt(1, 0, 0)) in resolve_slurs(loaded(tree).parts[0].measures)
    assert "slur" not in str(measures(FOUR))
