"""Several parts, their names and instruments, and measures shorter than their time go through plain-text tab."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.exchange.text_tab.reader import read_text_tab
from engrave.theory.instrument import PRESETS
from tests.exchange.test_round_trips import loaded
from tests.exchange.test_text_tab_voices import same

BARS = "  - parts: {{{}}}\n"


def ensemble(*parts):
    """The head and two measures of a score of these parts."""
    ids = [f"p{number}" for number in range(len(parts))]
    head = "parts:\n" + "".join(f"  - {{id: {i}, {part}}}\n" for i, part in zip(ids, parts, strict=True))
    first = ", ".join(f"{i}: {{notes: [1/4: [{{1: 3}}, {{4: 0}}], 1/2: {{2: 1}}]}}" for i in ids)
    second = ", ".join(f"{i}: {{notes: rest, lower: [1/1: {{3: 2}}]}}" for i in ids)
    return head, BARS.format(first) + BARS.format(second)


@pytest.mark.parametrize("preset", [name for name, preset in PRESETS.items() if preset.tuning])
def test_every_instrument_comes_back_alone_and_beside_others(preset):
    same("  - notes: [1/1: {1: 3}]\n", f"instrument: {preset}\ncapo: 2\n")
    head, measures = ensemble(
        f"name: Anna, instrument: {preset}, capo: 3", "name: Guitar, instrument: guitar"
    )
    same(measures, head)


@pytest.mark.parametrize(
    "own",
    [
        "instrument: {preset: guitar, name: Old Box, frets: 12, scale-length: 580.5, clef: treble, octave: 0}",
        "instrument: banjo, tuning: [A4, D3, F#3, A3, D4]",
        "instrument: guitar, tuning: [B0, F#1, B1, F#2, B2, D3]",
        "tuning: DADGAD, capo: 5, view: tab",
        "name: 'Verse: two, or q q h', instrument: bass",
    ],
)
def test_a_line_at_the_head_tells_what_names_and_strings_do_not(own):
    head, measures = ensemble(own, "name: Guitar, instrument: guitar")
    assert "\nPart: " in same(measures, head)
    same("  - notes: [1/1: {1: 3}]\n", f"parts:\n  - {{id: me, {own}}}\n")


def test_names_that_are_the_same_or_no_instruments_stay():
    head, measures = ensemble(
        "name: Twin", "name: Twin", "name: e, instrument: ukulele", "name: 'One, two'", "name: Bass"
    )
    written = same(measures, head)
    assert [line for line in written.split("\n") if line.startswith("Part:")] == [
        "Part: Twin; id p0; guitar",
        "Part: Part 2; id p1; name Twin; guitar",
        "Part: e; id p2; ukulele",
        "Part: One, two; id p3; guitar",
        "Part: Bass; id p4; guitar",
    ]


def test_twelve_parts_stay_in_their_order():
    head, measures = ensemble(*(f"name: Guitar {number % 5}, capo: {number % 3}" for number in range(12)))
    same(measures, head)


NAMES = st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=20)


@settings(max_examples=60)
@given(st.lists(NAMES.map(str.strip).filter(bool), min_size=1, max_size=3))
def test_parts_of_any_name_make_a_score(names):
    text = "".join(f"Part: {name}; id p{i}; ukulele; capo {i}\n" for i, name in enumerate(names)) + "\n"
    text += "\n".join(f"{name}:\n" + "A|-0--|\nE|-0--|\nC|-0--|\nG|-0--|\n" for name in names)
    loaded(read_text_tab(text.encode()).tree)


def test_a_pickup_inside_the_piece_and_the_measure_before_it():
    same(
        "  - {pickup: true, notes: [1/4: {1: 3}]}\n  - {notes: [1/1: {1: 3}]}\n  - {notes: [1/2.: {1: 3}]}\n"
        "  - {pickup: true, label: B, notes: [1/4: {1: 3}]}\n  - {notes: [1/1: {1: 3}]}\n  - {notes: [1/2.: {1: 3}]}\n"
    )


def test_a_part_that_is_silent_in_a_pickup():
    head, _ = ensemble("name: Guitar", "name: Bass, instrument: bass")
    same(
        "  - {pickup: true, parts: {p0: {notes: rest}, p1: {notes: [1/8: {1: 3}]}}}\n"
        "  - {parts: {p0: {notes: [1/1: {1: 3}]}, p1: {notes: [1/1: tie]}}}\n",
        head,
    )


def test_a_part_that_no_score_lists_keeps_the_name_of_its_instrument():
    written = same("  - notes: [1/1: {1: 3}]\n", "instrument: {preset: guitar, name: Electric Piano}\n")
    assert "Part: Electric Piano; guitar; called Electric Piano\n" in written


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("guitar; tuning DADGXD", '"DADGXD" is not a pitch'),
        ("guitar; capo 99", '"capo 99" is not understood'),
        ("gitar", 'did you mean "guitar"?'),
        ("guitar; clef tennor", '"tennor" is not a clef here'),
        ("guitar; view staf", 'did you mean "staff"?'),
        ("voice; capo 2", "a voice has no strings"),
        ("guitar; capo 1; capo 2", '"capo 2" says what is said already'),
        ("guitar; scale 3000 mm", "write 100 to 2000 mm"),
    ],
)
def test_a_wrong_line_about_a_part_is_told_and_is_no_title(line, told):
    strings = "".join(f"{name}|-0-2-3-|\n" for name in "eBGDAE")
    found = read_text_tab(f"Part: Anna; {line}\n\nAnna:\n{strings}".encode())
    assert "title" not in found.tree
    assert [note.line for note in found.notes if told in note.what] == [1]


def test_a_chord_name_of_one_letter_over_a_rest_is_no_section():
    same("  - {chord: B, notes: [1/4: [rest, {1: 3}, {1: 5}, {1: 7}]]}\n")
