"""Where time stands still, and how loud each note is."""

from fractions import Fraction

import pytest

from engrave.playing.performance import perform
from engrave.playing.taste import read_taste
from tests.reading.helpers import read


def performed(*measures, head="tempo: 1/4 = 60\n", **wish):
    rows = "".join(f"  - {measure}\n" for measure in measures)
    return perform(read(f"score: 1\n{head}measures:\n{rows}"), **wish)


def loud(*measures):
    return [note.loudness for note in performed(*measures).notes]


def test_a_fermata_holds_its_note_and_the_next_one_waits():
    # At 60 quarters a minute a quarter is a second; a held one lasts twice as long (common practice, no source).
    found = performed("notes: [1/4: [{1: 0}, {1: 1 fermata}, {1: 2}, {1: 3}]]")
    assert [found.seconds(note.start) for note in found.notes] == pytest.approx(
        [0, 1, 1 + read_taste().fermata, 2 + read_taste().fermata]
    )
    assert found.seconds(found.length) == pytest.approx(4 + read_taste().fermata - 1)


def test_a_fermata_in_two_parts_holds_once():
    head = "tempo: 1/4 = 60\nparts: [{id: a, instrument: guitar}, {id: b, instrument: bass}]\n"
    both = performed(
        "parts: {a: {notes: [1/1: {1: 0 fermata}]}, b: {notes: [1/1: {1: 0 fermata}]}}", head=head
    )
    assert both.seconds(both.length) == pytest.approx(4 * read_taste().fermata)


def test_the_tempo_goes_on_after_a_fermata_also_where_it_changes():
    found = performed("notes: [1/1: {1: 0 fermata}]", "{tempo: 1/4 = 120, notes: [1/1: {1: 0}]}")
    assert found.seconds(Fraction(2)) - found.seconds(Fraction(1)) == pytest.approx(2)


def test_a_repeated_fermata_holds_each_time():
    found = performed("{repeat: start, notes: [1/1: {1: 0 fermata}]}", "{repeat: end, notes: [1/1: {1: 0}]}")
    assert found.seconds(found.length) == pytest.approx(2 * (4 * read_taste().fermata + 4))


def test_a_caesura_is_silent_and_takes_its_time():
    found = performed("notes: [1/2: [{1: 0 caesura}, {1: 1}]]")
    first, second = found.notes
    assert found.seconds(second.start) == pytest.approx(2 + read_taste().caesura)
    assert found.seconds(second.start) - found.seconds(first.start + first.length) >= read_taste().caesura


def test_a_breath_shortens_its_note_and_takes_no_time():
    first, second = performed("notes: [1/2: [{1: 0 breath-mark}, {1: 1}]]").notes
    assert (first.length, second.start) == (Fraction(3, 8), Fraction(1, 2))


@pytest.mark.parametrize(("mark", "share"), [("staccato", 2), ("staccatissimo", 4)])
def test_detached_notes_are_shorter(mark, share):
    # Common practice, no source: half and a quarter of the value.
    first, _ = performed(f"notes: [1/2: [{{1: 0 {mark}}}, {{1: 1}}]]").notes
    assert first.length == Fraction(1, 2) / share


def test_the_last_of_tied_notes_is_the_one_that_is_cut():
    (note,) = performed("notes: [1/2: {2: 1}, 1/2: {2: {fret: tie, marks: [staccato]}}]").notes
    assert note.length == Fraction(3, 4)


def test_a_string_rings_until_it_is_struck_again():
    first, second, third = performed(
        "{spans: {1: let-ring for 1/1}, notes: [1/4: [{1: 0}, {2: 0}, {1: 3}, rest]]}"
    ).notes
    assert first.length == Fraction(1, 2)
    assert second.length == third.length == read_taste().ring


def test_an_appoggiatura_has_its_own_value_and_a_slashed_grace_note_is_short():
    # Common practice, no source: a long one takes its written value, up to half of its note.
    long, main = performed("notes: [appoggiatura 1/8: {1: 1}, 1/2: {1: 0}, 1/2: rest]").notes
    assert (long.length, main.start) == (Fraction(1, 8), Fraction(1, 8))
    long, main = performed("notes: [appoggiatura 1/4: {1: 1}, 1/4: {1: 0}, 1/2.: rest]").notes
    assert long.length == main.length == Fraction(1, 8)
    short, _ = performed("notes: [grace 1/8: {1: 1}, 1/2: {1: 0}, 1/2: rest]").notes
    assert short.length == read_taste().grace


def test_a_range_has_the_tempo_that_holds_there():
    measures = ["{tempo: 1/4 = 120, notes: [1/1: {1: 0}]}", "notes: [1/1: {1: 0}]"]
    found = performed("notes: [1/1: {1: 0}]", *measures, first=2)
    assert found.seconds(found.length) == pytest.approx(2)


def test_fp_is_loud_at_once_and_soft_afterwards_and_sfz_is_of_one_moment():
    first, second = loud("{dynamics: {1: fp}, notes: [1/2: [{1: 0}, {1: 0}]]}")
    assert (first, second) == (read_taste().attacks["fp"], read_taste().dynamics["p"])
    before, struck, after = loud("{dynamics: {1: p, 2: sfz}, notes: [1/4: [{1: 0}, {1: 0}], 1/2: {1: 0}]}")
    assert before == after < struck


def test_a_hairpin_leads_to_the_next_dynamic_or_stays_where_it_went():
    led = loud(
        "{dynamics: {1: p}, spans: {1: crescendo for 1/1}, notes: [1/2: [{1: 0}, {1: 0}]]}",
        "{dynamics: {1: ff}, notes: [1/1: {1: 0}]}",
    )
    assert led == pytest.approx([0.40, 0.64, 0.88])
    stays = loud(
        "{dynamics: {1: p}, spans: {1: crescendo for 1/1}, notes: [1/1: {1: 0}]}",
        "notes: [1/1: {1: 0}]",
        "notes: [1/1: {1: 0}]",
    )
    assert stays[0] < stays[1] == stays[2] == pytest.approx(0.40 + read_taste().hairpin_step)


def test_a_diminuendo_before_a_louder_dynamic_still_falls():
    found = loud(
        "{dynamics: {1: f}, spans: {1: diminuendo for 1/1}, notes: [1/4: [{1: 0}, {1: 0}, {1: 0}, {1: 0}]]}",
        "{dynamics: {1: ff}, notes: [1/1: {1: 0}]}",
    )
    assert found[:4] == sorted(found[:4], reverse=True)
    assert found[3] < found[0] < found[4]


def test_accents_are_louder_and_unstruck_notes_softer():
    plain, soft, usual, strong, hammered = loud(
        "notes: [1/8: [{1: 0}, {1: 0 soft-accent}, {1: 0 accent}, {1: 0 strong-accent}], 1/2: {1: 2 hammer-on}]"
    )
    assert hammered < plain < soft < usual < strong
