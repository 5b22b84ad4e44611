"""Bends, decided when they are measured. Rows and shared amounts: common practice, no source; places of arrows: house rules."""

import pytest

from engrave.fonts.symbols import music_face
from engrave.fonts.text_face import text_face
from engrave.layout.measures.bend_amounts import set_amount
from engrave.layout.measures.bend_room import (
    NO_BENDS,
    NOTHING,
    BendPlace,
    BentAt,
    BentNote,
    decide_arrow_over_digit,
    decide_bend_arrows,
    decide_low_tips,
    decide_upright_tip,
    ends_bent,
    find_held_strings,
    is_held,
    measure_bar,
    measure_bends,
    over_digit,
)
from engrave.score.joins import resolve_joins
from engrave.style.load import load_style
from engrave.theory.bends import BarMoveKind, parse_bend
from tests.reading.helpers import read

STYLE = load_style("")[0]
OPEN = BendPlace(0.0, 0.0, NOTHING, between_stems=False, has_rhythm=False)


def notes(event):
    """The notes of one event, thinnest string first."""
    score = read(f"score: 1\nmeasures:\n  - notes: [1/1: {{{event}}}]\n")
    found = score.parts[0].measures[0].voices[0].events[0].notes
    return sorted(found, key=lambda note: note.string)


def bends(event, place=OPEN):
    return measure_bends([BentNote(n, 0.5, -n.string, held=False) for n in notes(event)], place, STYLE)


def test_nothing_is_measured_where_nothing_is_bent():
    assert bends("3: 7, 2: 8") is NO_BENDS


def test_an_upright_arrow_stands_over_its_digit_unless_other_strings_are_in_its_way():
    assert decide_arrow_over_digit(notes("3: {fret: 7, bend: pre full}"))
    assert decide_arrow_over_digit(notes("1: {fret: 7, bend: pre full}"))
    assert not decide_arrow_over_digit(notes("3: {fret: 7, bend: pre full}, 2: 8"))
    assert decide_arrow_over_digit(notes("3: 7, 2: {fret: 8, bend: pre full}"))


def test_an_upright_arrow_is_long_enough_to_have_a_shaft():
    for y in (0.0, 6.0, 7.5):
        tip = decide_upright_tip(y, decide_low_tips(7.5, STYLE), STYLE)
        assert tip >= decide_low_tips(7.5, STYLE)
        assert tip - over_digit(y, STYLE) > STYLE.stacking.bend_arrow


def test_tips_between_stems_stand_over_the_tab():
    assert decide_low_tips(7.5, STYLE) == 7.5 + STYLE.stacking.rhythm_bend_height


@pytest.mark.parametrize(
    "words", ["full", "pre full", "1/2 then full", "full release", "full release to 1/2"]
)
def test_arrows_go_from_left_to_right_and_start_right_of_the_digit(words):
    arrows = decide_bend_arrows(parse_bend(words), 1.0, True, NOTHING, None, STYLE)
    assert all(before.x < after.x for before, after in zip([None, *arrows], arrows, strict=False) if before)
    assert arrows[0].x > 1.0


def test_the_first_amount_clears_the_stem():
    (arrow,) = decide_bend_arrows(parse_bend("full"), 0.0, True, 5.0, None, STYLE)
    assert arrow.label_left == 5.0 + STYLE.stacking.rhythm_bend_gap


def test_strings_bent_alike_share_their_amounts_which_the_highest_has():
    ink = bends("2: {fret: 8, bend: full}, 3: {fret: 7, bend: full}")
    assert [bend.has_labels for bend in ink.strings] == [True, False]
    assert ink.strings[0].arrows == ink.strings[1].arrows


def test_strings_bent_otherwise_stand_further_to_the_right():
    first, second = bends("2: {fret: 8, bend: 1/2}, 3: {fret: 7, bend: full}").strings
    assert first.has_labels
    assert second.has_labels
    assert second.arrows[0].label_left > first.arrows[0].x


def test_the_room_of_a_bend_ends_with_its_last_ink():
    ink = bends("3: {fret: 7, bend: full release}")
    arrows = ink.strings[0].arrows
    ends = [arrow.x + STYLE.stacking.bend_arrow / 2 for arrow in arrows]
    ends += [arrow.label_left + set_amount(arrow.label, STYLE.words.bend, STYLE).width for arrow in arrows]
    assert ink.right == max(ends)


@pytest.mark.parametrize(
    ("words", "held", "bent"),
    [("full", False, True), ("full release", False, False), ("full release to 1/2", False, True)],
)
def test_a_string_stays_bent_until_it_is_released(words, held, bent):
    assert ends_bent(parse_bend(words), held) is bent


def test_without_steps_a_string_ends_as_it_started():
    assert ends_bent((), held=True)
    assert not ends_bent((), held=False)


def held(notes):
    """The strings held bent in a measure of `notes`."""
    score = read(f"score: 1\nmeasures:\n  - notes: {notes}\n")
    contents = score.parts[0].measures
    return find_held_strings(contents, resolve_joins(contents)).get(0, {})


def test_a_string_is_held_bent_through_ties_and_no_longer():
    found = held("[1/4: 3:7 bend full, 1/4: tie, 1/4: tie bend release, 1/4: 3:7]")
    assert found == {BentAt(0, 1): {3: 2}, BentAt(0, 2): {3: 2}}


def test_only_the_bent_string_of_a_tied_chord_is_held():
    assert held("[1/2: {3: {fret: 7, bend: full}, 2: 8}, 1/2: tie]") == {BentAt(0, 1): {3: 2}}


def test_grace_notes_do_not_count_among_the_events_that_are_held():
    assert held("[1/4: 3:5, grace 1/8: 3:5, 1/4: 3:7 bend full, 1/2: tie]") == {BentAt(0, 2): {3: 2}}


def test_grace_notes_that_are_held_count_from_their_event():
    after = held("[1/2: 3:7 bend full, closing-grace 1/16: tie, 1/2: 3:5]")
    assert after == {BentAt(0, 0, grace=1): {3: 2}}
    before = held("[1/2: 3:7 bend full, grace 1/8: tie, grace 1/8: 3:5, 1/2: 3:5]")
    assert before == {BentAt(0, 1, grace=-2): {3: 2}}


def test_a_note_is_held_bent_only_where_it_is_tied():
    (plain,) = notes("3: 7")
    assert is_held(plain._replace(tie_from=True), {3: 2})
    assert not is_held(plain._replace(tie_from=True), {2: 2})
    assert not is_held(plain, {3: 2})


# --- Moves of the vibrato bar.


def bar(event):
    """The move of the bar that is measured for an event."""
    return measure_bar(notes(event), STYLE, music_face())


def test_without_a_move_of_the_bar_nothing_is_measured():
    assert bar("3: 7, 2: 8") is None


def test_letters_symbol_and_amount_of_a_move_are_within_its_width():
    ink = bar("3: {fret: 7, vibrato-bar: dip 1/2}")
    words = STYLE.words.technique
    letters = STYLE.signs["vibrato-bar"].letters
    assert ink.label
    assert ink.inner > text_face(words.face).width(ink.label, words.size)
    assert ink.width >= max(ink.inner, text_face(words.face).width(letters, words.size))


def test_of_several_moves_in_a_chord_that_of_the_highest_note_is_shown():
    ink = bar("3: {fret: 7, vibrato-bar: dip}, 2: {fret: 8, vibrato-bar: scoop}")
    assert ink.move.kind is BarMoveKind.SCOOP
    ink = bar("3: {fret: 7, vibrato-bar: dip}, 2: {fret: 1, vibrato-bar: scoop}")
    assert ink.move.kind is BarMoveKind.DIP
