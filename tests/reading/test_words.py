"""Lyrics, chord names, tempo, titles, parts and repeats as they are read."""

from fractions import Fraction

import pytest

from engrave.reading.header import read_tempo
from engrave.score.structure import Barline, NewLine, View
from engrave.theory.duration import note_value
from tests.reading.helpers import read


def syllables(lyrics, notes="[1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]", verse=0):
    score = read(f"score: 1\nmeasures:\n  - notes: {notes}\n    lyrics: {lyrics}\n")
    row = []
    for event in score.parts[0].measures[0].voices[0].events:
        syllable = event.lyrics[verse] if verse < len(event.lyrics) else None
        row.append((syllable.text, syllable.hyphen, syllable.extends) if syllable else None)
    return row


def test_blanks_part_words_and_hyphens_part_syllables():
    assert syllables("the lan-tern burns") == [
        ("the", False, False),
        ("lan", True, False),
        ("tern", False, False),
        ("burns", False, False),
    ]


def test_a_trailing_hyphen_goes_on_in_the_next_measure():
    assert syllables("one two three a-")[3] == ("a", True, False)


def test_dots_hold_a_syllable():
    assert syllables("glo-o ... ria") == [
        ("glo", True, False),
        ("o", False, True),
        None,
        ("ria", False, False),
    ]


def test_rests_and_held_notes_have_no_syllable_and_the_last_one_is_held_over_ties():
    assert syllables("one two", "[1/4: [{3: 0}, rest, {2: 0}, tie]]") == [
        ("one", False, False),
        None,
        ("two", False, True),
        None,
    ]


def test_a_backslash_prints_a_hyphen():
    assert syllables('"x\\\\-ray"')[0] == ("x-ray", False, False)


def test_verses():
    assert syllables("{1: one, 2: uno}", verse=1)[0] == ("uno", False, False)


@pytest.mark.parametrize(
    ("text", "words", "value", "number"),
    [
        ("1/4 = 96", "", note_value(4), 96),
        ("Lively, 1/4. = 60", "Lively", note_value(4, 1), 60),
        ("Slowly", "Slowly", None, None),
        ("Slow, but not too slow", "Slow, but not too slow", None, None),
        ("1/2=72.5", "", note_value(2), Fraction(145, 2)),
    ],
)
def test_tempo_marks(text, words, value, number):
    tempo = read_tempo(text)
    assert (tempo.words, tempo.value, tempo.per_minute) == (words, value, number)


def test_chords_by_beat():
    score = read("score: 1\nmeasures:\n  - chord: {1: C, 2.5: G7, 4 1/2: D/F#}\n")
    assert [c.onset for c in score.parts[0].measures[0].chords] == [0, Fraction(3, 8), Fraction(7, 8)]


def test_a_pickups_beats_count_from_the_end_of_its_measure():
    score = read(
        "score: 1\nmeasures:\n  - {pickup: true, chord: {4: G}, notes: [1/4: {3: 0}]}\n  - notes: rest\n"
    )
    assert score.parts[0].measures[0].chords[0].onset == 0


def test_titles_view_and_language():
    score = read(
        "score: 1\ntitle: A\nsubtitle: B\ncredits: {music: C, words: D, arrangement: E}\ncopyright: F\nlanguage: de\n"
        "view: rhythm-tab\nmeasures: [{}]\n"
    )
    assert (score.title, score.subtitle, score.copyright, score.language) == ("A", "B", "F", "de")
    assert (score.credits.music, score.credits.words, score.credits.arrangement) == ("C", "D", "E")
    assert score.view is View.RHYTHM_TAB


def test_measures_carry_their_structure():
    score = read(
        "score: 1\nmeasures:\n  - {label: A, repeat: start, number: 5}\n  - {repeat: end, times: 3, barline: double}\n"
        "  - {new: page, key: D major, time: 3/4}\n"
    )
    first, second, third = score.measures
    assert (first.label, first.repeat.start, first.number) == ("A", True, 5)
    assert (second.repeat.end_times, second.barline, second.number) == (3, Barline.DOUBLE, 6)
    assert (third.new, third.key.fifths, third.metre.text, third.barline) == (
        NewLine.PAGE,
        2,
        "3/4",
        Barline.FINAL,
    )
    assert third.key_changes
    assert third.metre_changes
    assert not second.key_changes


def test_parts_from_the_top_down():
    score = read(
        "score: 1\nparts: [{id: v, name: Voice, instrument: voice}, {id: g, capo: 2, view: tab}]\n"
        "measures:\n  - parts: {v: {notes: [1/1: C5]}, g: {notes: [1/1: {3: 0}]}}\n  - parts: {v: {notes: rest}}\n"
    )
    assert [part.name for part in score.parts] == ["Voice", "G"]
    assert not score.parts[0].is_fretted
    assert score.parts[1].view is View.TAB
    assert score.parts[1].instrument.capo == 2
    assert score.parts[1].measures[1].voices[0].events[0].whole_measure
