"""The head of a score, its keys, chord names and spans put back into the text."""

from dataclasses import replace

import pytest

from engrave.theory.chord_name import parse_chord_name
from engrave.theory.instrument import PRESETS, TUNINGS, parse_tuning
from engrave.theory.key import parse_key
from engrave.writing.rewrite import rewrite_score
from tests.reading.helpers import read
from tests.writing.helpers import HEAD, rewritten, with_note


def tuned(score, tuning, capo=0, part=0):
    """The score with `part` tuned anew, frets kept; pitches follow the strings."""
    instrument = score.parts[part].instrument._replace(tuning=parse_tuning(tuning), capo=capo)
    parts = list(score.parts)
    parts[part] = parts[part]._replace(instrument=instrument)
    return replace(score, parts=tuple(parts))


SILENT = HEAD + "  - notes: rest\n"


def test_a_tuning_is_written_by_name_where_it_has_one():
    new = rewritten(
        "score: 1\ntitle: T # t\ntempo: 1/4 = 60\nmeasures:\n  - notes: rest\n",
        lambda s: tuned(s, TUNINGS["drop D"]),
    )
    assert new == "score: 1\ntitle: T # t\ntuning: drop D\ntempo: 1/4 = 60\nmeasures:\n  - notes: rest\n"


def test_a_tuning_without_a_name_is_a_list():
    new = rewritten(SILENT, lambda s: tuned(s, ("C2", "A2", "D3", "G3", "B3", "E4")))
    assert "tuning: [C2, A2, D3, G3, B3, E4]\n" in new


def test_the_usual_tuning_needs_no_key():
    text = "score: 1\ntuning: drop D  # low\ncapo: 2\nmeasures:\n  - notes: rest\n"
    assert rewritten(text, lambda s: tuned(s, TUNINGS["standard"])) == SILENT


def test_a_capo_is_put_changed_and_taken_away():
    usual = TUNINGS["standard"]
    one = rewritten(SILENT, lambda s: tuned(s, usual, 2))
    assert one == SILENT.replace("score: 1\n", "score: 1\ncapo: 2\n")
    assert rewritten(one, lambda s: tuned(s, usual, 3)) == one.replace("2", "3")
    assert rewritten(one, lambda s: tuned(s, usual, 0)) == SILENT


def test_a_part_loses_a_key_and_gets_another():
    text = "score: 1\ncapo: 1  # low\nparts:\n  - id: a\n  - id: b\n    tuning: drop D\n\n  - id: c\nmeasures:\n  - parts: {}\n"
    new = rewritten(text, lambda s: tuned(s, TUNINGS["standard"], 0, part=1))
    assert new == text.replace("    tuning: drop D\n", "").replace("id: b\n", "id: b\n    capo: 0\n")


def test_parts_that_share_a_key_of_the_head_share_its_change():
    text = "score: 1\ncapo: 1  # low\nparts:\n  - id: a\n  - id: b\n    tuning: drop D\nmeasures:\n  - parts: {}\n"
    new = rewritten(text, lambda s: tuned(tuned(s, TUNINGS["standard"], 3), TUNINGS["drop D"], 3, part=1))
    assert new == text.replace("1  # low", "3  # low")


def test_an_instrument_becomes_another():
    text = "score: 1\ninstrument: {preset: guitar, frets: 20}\nparts: [{id: a}, {id: b, instrument: bass}]\nmeasures: [{parts: {}}]\n"

    def change(score):
        parts = (
            score.parts[0]._replace(instrument=PRESETS["ukulele"]),
            score.parts[1]._replace(instrument=PRESETS["bass-5"]._replace(frets=21)),
        )
        return replace(score, parts=parts)

    new = rewritten(text, change)
    assert new == text.replace("{preset: guitar, frets: 20}", "ukulele").replace(
        "bass}", "{preset: bass-5, frets: 21}}"
    )


def test_an_instrument_that_cannot_be_written_is_refused():
    score = read(SILENT)
    strange = score.parts[0].instrument._replace(first_frets=(1, 0, 0, 0, 0, 0))
    with pytest.raises(ValueError, match="no way to write this instrument"):
        rewrite_score(SILENT, score, replace(score, parts=(score.parts[0]._replace(instrument=strange),)))


def with_keys(*names):
    def change(score):
        keys = [parse_key(name) for name in names]
        measures = [
            replace(m, key=key, key_changes=i == 0 or key.fifths != keys[i - 1].fifths)
            for i, (m, key) in enumerate(zip(score.measures, keys))
        ]
        return replace(score, measures=tuple(measures))

    return change


def test_keys_are_put_where_they_change():
    text = "score: 1\nkey: G major  # bright\ntime: 3/4\nmeasures:\n  - notes: rest\n  - key: D major\n    notes: rest\n  - notes: rest\n"
    new = rewritten(text, with_keys("A minor", "E minor", "Eb major"))
    assert new == (
        "score: 1\nkey: A minor  # bright\ntime: 3/4\nmeasures:\n  - notes: rest\n  - key: E minor\n    notes: rest\n"
        "  - key: Eb major\n    notes: rest\n"
    )


def test_a_key_is_put_at_a_head_that_has_none():
    assert (
        rewritten("{score: 1, measures: [{notes: rest}]}", with_keys("E major"))
        == "{score: 1, key: E major, measures: [{notes: rest}]}"
    )


def test_a_key_is_put_into_a_measure_without_braces():
    text = "score: 1\nmeasures: [notes: rest, notes: rest]\n"
    assert (
        rewritten(text, with_keys("C major", "G major"))
        == "score: 1\nmeasures: [notes: rest, {key: G major, notes: rest}]\n"
    )


def test_chord_names_and_shapes_are_renamed_together():
    text = (
        "score: 1\nshapes:\n  # open\n  C: {frets: x 3 2 0 1 0, fingers: 0 3 2 0 1 0}\n  G: 3 2 0 0 0 3\nmeasures:\n"
        "  - chord: {1: C, 3: 'G'}\n    notes: rest\n"
    )

    def change(score):
        d = parse_chord_name("D7/F#")
        barred = score.shapes[0].shape._replace(
            frets=(None, 5, 4, 2, 3, 2), fingers=("", "4", "3", "1", "2", "1")
        )
        content = score.parts[0].measures[0]
        chords = (content.chords[0]._replace(name=d, shape=barred), content.chords[1])
        part = score.parts[0]._replace(measures=(content._replace(chords=chords),))
        return replace(
            score, shapes=(score.shapes[0]._replace(name=d, shape=barred), score.shapes[1]), parts=(part,)
        )

    new = rewritten(text, change)
    assert "  # open\n  D7/F#: {frets: x 5 4 2 3 2, fingers: 0 4 3 1 2 1}\n  G: 3 2 0 0 0 3\n" in new
    assert "chord: {1: D7/F#, 3: 'G'}" in new


def test_shapes_that_the_reader_finds_are_left_to_it_unless_one_is_another():
    text = "score: 1\nshapes: auto  # please\nmeasures:\n  - chord: {1: C, 3: G}\n    notes: rest\n"

    def change(score):
        shape = score.shapes[0].shape._replace(frets=(None, 3, 5, 5, 5, 3), fingers=("",) * 6)
        content = score.parts[0].measures[0]
        chords = (content.chords[0]._replace(shape=shape), content.chords[1])
        part = score.parts[0]._replace(measures=(content._replace(chords=chords),))
        return replace(score, shapes=(score.shapes[0]._replace(shape=shape), score.shapes[1]), parts=(part,))

    once = rewritten(text, change)
    assert once == text.replace("auto", "{C: x 3 5 5 5 3, others: auto}")


def test_the_fret_of_a_span_is_changed_and_its_length_stays_as_typed():
    text = HEAD + "  - spans: {3: [position  5 for 1/4 + 1/8, let-ring for 1/4]}\n    notes: rest\n"

    def change(score):
        content = score.parts[0].measures[0]
        spans = tuple(span._replace(detail="7") if span.detail else span for span in content.spans)
        return replace(score, parts=(score.parts[0]._replace(measures=(content._replace(spans=spans),)),))

    assert rewritten(text, change) == text.replace("position  5", "position  7")


def test_what_is_no_music_of_the_hand_is_refused():
    score = read(SILENT)
    with pytest.raises(ValueError, match="the title cannot be changed here"):
        rewrite_score(SILENT, score, replace(score, title="Another"))


def test_a_fret_that_does_not_sound_its_pitch_is_refused():
    text = HEAD + "  - notes: [1/1: {3: 5}]\n"
    score = read(text)
    with pytest.raises(ValueError, match="measure 1: string 3 fret 6 does not sound C5"):
        rewrite_score(text, score, with_note(0, fret=6)(score))
