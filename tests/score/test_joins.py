"""Ties and legato joins with their two ends.

What a tie and a slur join: MusicXML 4.0, tied, hammer-on, pull-off, slide. What cuts them is the rule of this house.
"""

from fractions import Fraction

import pytest
from hypothesis import given, settings

from engrave.score.joins import LEGATO, Legato, NoteAt, Tie, events_in_order, resolve_joins
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Note, PartMeasure, Voice
from engrave.score.techniques import Plain, parse_technique
from engrave.theory.duration import note_value
from engrave.theory.pitch import parse_pitch
from tests.layout.test_random_scores import scores
from tests.reading.helpers import read

QUARTER = note_value(4)


def part(*measures, head=""):
    return read(f"score: 1\n{head}measures:\n" + "".join(f"  - {measure}\n" for measure in measures)).parts[0]


def joins(*measures, head=""):
    return resolve_joins(part(*measures, head=head).measures)


def at(measure, event, note=0, voice=0):
    return NoteAt(measure, voice, event, note)


def note(pitch, string=0, fret=0, *, tie_from=False, tie_to=False, said=(), chosen=False):
    techniques = tuple(Plain(sign) if isinstance(sign, SignName) else sign for sign in said)
    return Note(
        parse_pitch(pitch),
        string,
        fret,
        tie_from=tie_from,
        tie_to=tie_to,
        techniques=techniques,
        chosen=chosen,
    )


def row(*chords, repeats=0):
    """A measure of one voice."""
    events = tuple(
        Event(Fraction(index, 4), Fraction(1, 4), QUARTER, notes=tuple(chord))
        for index, chord in enumerate(chords)
    )
    return PartMeasure((Voice(events),), repeats=repeats)


# --- Ties.


def test_a_tie_leads_from_a_note_to_the_next():
    found = joins("notes: [1/2: 3:2, 1/2: tie]")
    assert found.ties == (Tie(at(0, 0), at(0, 1)),)
    assert found.held_from == {at(0, 1): at(0, 0)}
    assert found.held_to == {at(0, 0): at(0, 1)}


def test_a_tie_goes_on_over_a_barline():
    assert joins("notes: [1/1: 3:2]", "notes: [1/1: tie]").ties == (Tie(at(0, 0), at(1, 0)),)


def test_a_chain_of_ties_is_one_tie_a_pair():
    found = joins("notes: [1/2: 3:2, 1/2: tie]", "notes: [1/1: tie]")
    assert found.ties == (Tie(at(0, 0), at(0, 1)), Tie(at(0, 1), at(1, 0)))


def test_every_note_of_a_chord_has_a_tie_of_its_own():
    found = joins("notes: [1/2: 3:0+2:1, 1/2: {2: tie, 1: 3}]")
    assert found.held_from == {at(0, 1, 0): at(0, 0, 1)}


def test_voices_keep_to_themselves():
    found = joins("{notes: [1/2: 1:0, 1/2: 1:3], lower: [1/2: 6:3, 1/2: tie]}")
    assert found.held_from == {at(0, 1, voice=1): at(0, 0, voice=1)}


def test_grace_notes_are_events_of_their_own():
    found = joins("notes: [1/2: 3:2, grace 1/8: 3:4, 1/2: 3:5 hammer-on]")
    assert found.reached[at(0, 2)].start == at(0, 1)


def test_a_tie_finds_its_pitch_on_another_string():
    start, stop = note("E4", 2, 5, tie_to=True), note("E4", 1, 0, tie_from=True)
    assert resolve_joins([row([start], [stop])]).held_from == {at(0, 1): at(0, 0)}


def test_of_two_strings_with_one_pitch_a_tie_keeps_to_its_own():
    both = [note("E4", 2, 5, tie_to=True), note("E4", 1, 0, tie_to=True)]
    held = [note("E4", 1, 0, tie_from=True)]
    found = resolve_joins([row(both, held)])
    assert found.held_from == {at(0, 1): at(0, 0, 1)}
    assert Tie(at(0, 0, 0), None) in found.ties


@pytest.mark.parametrize("between", [[], [note("G4", 1, 3)]])
def test_a_rest_or_another_note_cuts_a_tie(between):
    found = resolve_joins([row([note("E4", 1, 0, tie_to=True)], between, [note("E4", 1, 0, tie_from=True)])])
    assert found.ties == (Tie(at(0, 0), None), Tie(None, at(0, 2)))
    assert not found.held_from


def test_a_tie_at_the_end_leads_nowhere():
    assert resolve_joins([row([note("E4", 1, 0, tie_to=True)])]).ties == (Tie(at(0, 0), None),)


def test_a_measure_that_repeats_earlier_ones_cuts_all_joins():
    start, stop = row([note("E4", 1, 0, tie_to=True)]), row([note("E4", 1, 0, tie_from=True)])
    found = resolve_joins([start, row(repeats=1), stop])
    assert found.ties == (Tie(at(0, 0), None), Tie(None, at(2, 0)))


def test_a_voice_that_is_not_there_cuts_its_joins():
    two = row([note("E4", 1, 0)])._replace(
        voices=(*row([note("E4", 1, 0)]).voices, *row([note("E2", 6, 0, tie_to=True)]).voices)
    )
    back = two._replace(voices=(two.voices[0], *row([note("E2", 6, 0, tie_from=True)]).voices))
    assert not resolve_joins([two, row([note("E4", 1, 0)]), back]).held_from


def test_joins_are_found_in_the_order_of_playing():
    """A second ending may be tied to what is played before it, not to what stands before it (common practice, no source)."""
    common, first = row([note("E4", 1, 0, tie_to=True)]), row([note("G4", 1, 3)])
    second = row([note("E4", 1, 0, tie_from=True)])
    assert not resolve_joins([common, first, second]).held_from
    assert resolve_joins([common, first, common, second]).held_from == {at(3, 0): at(2, 0)}


# --- Legato.


def test_a_technique_leads_from_the_note_before_on_its_string():
    found = joins("notes: [1/4: 2:5+1:3, 1/4: {1: 5 slide, 2: 6 hammer-on}, 1/2: rest]")
    assert {(join.start.note, join.stop.note, join.signs) for join in found.legato} == {
        (0, 1, ("hammer-on",)),
        (1, 0, ("slide",)),
    }


def test_legato_goes_on_over_a_barline():
    assert joins("notes: [1/1: 3:2]", "notes: [1/1: 3:4 hammer-on]").legato == (
        Legato(at(0, 0), at(1, 0), (SignName.HAMMER_ON,)),
    )


def test_a_note_may_lead_to_several():
    start = [note("E4", 0)]
    found = resolve_joins([row(start, [note("F4", said=[SignName.SLIDE])])])
    assert found.leading == {at(0, 0): [found.legato[0]]}


def test_a_string_that_did_not_sound_has_nothing_to_start_from():
    found = resolve_joins([row([note("E4", 2, 5)], [note("G4", 1, 3, said=[SignName.PULL_OFF])])])
    assert found.legato == (Legato(None, at(0, 1), (SignName.PULL_OFF,)),)


def test_without_strings_the_places_in_the_chords_are_joined():
    found = resolve_joins([row([note("E4"), note("G4")], [note("D4"), note("A4", said=[SignName.SLIDE])])])
    assert found.legato[0].start == at(0, 0, 1)


def test_a_string_that_is_still_to_be_found_is_reached_from_the_nearest_pitch():
    chord = [note("E4", 2, 5, chosen=True), note("B4", 1, 7, chosen=True)]
    reached = [note("A4", 2, 10, said=[SignName.SLIDE], chosen=True)]
    assert resolve_joins([row(chord, reached)], are_placed=False).legato[0].start == at(0, 0, 1)
    assert resolve_joins([row(chord, reached)]).legato[0].start == at(0, 0, 0)


# --- Bends under ties.


def test_a_tied_note_begins_as_far_bent_as_the_one_before_it_ends():
    found = joins("notes: [1/4: 3:7 bend full, 1/4: tie, 1/4: tie bend release to 1/2, 1/4: tie]")
    assert found.bent == {at(0, 1): 2, at(0, 2): 2, at(0, 3): 1}


def test_a_string_that_is_struck_anew_is_straight():
    assert joins("notes: [1/2: 3:7 bend full, 1/2: 3:7]").bent == {}


def test_a_released_string_is_straight():
    found = resolve_joins(
        [row([note("E4", 1, 5, tie_to=True, said=[parse_technique(SignName.BEND, "full release")])],
             [note("E4", 1, 5, tie_from=True)])]
    )  # fmt: skip
    assert found.bent == {}


# --- Any music.


@given(scores())
@settings(max_examples=25)
def test_every_tie_has_two_ends_of_one_pitch_one_event_apart(text):
    for part in read(text).parts:
        notes = {
            NoteAt(m, v, e, n): own
            for m, content in enumerate(part.measures)
            for v, voice in enumerate(content.voices)
            for e, event in enumerate(events_in_order(voice))
            for n, own in enumerate(event.notes)
        }
        found = resolve_joins(part.measures)
        for tie in found.ties:
            if tie.start is not None and tie.stop is not None:
                assert notes[tie.start].midi == notes[tie.stop].midi
                assert tie.stop.measure - tie.start.measure <= 1
                assert tie.start < tie.stop
                assert tie.start.voice == tie.stop.voice
        assert {tie.stop for tie in found.ties if tie.stop} == {a for a, own in notes.items() if own.tie_from}
        legato = {a for a, own in notes.items() if any(own.has(sign) for sign in LEGATO)}
        assert {join.stop for join in found.legato} == legato
