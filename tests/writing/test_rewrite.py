"""A changed score goes back into its text: what differs is changed, all else stays as a person typed it."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engrave.problems import ProblemLog
from engrave.score.sign_list import SignName
from engrave.score.techniques import Plain
from engrave.source.parse import parse_yaml
from engrave.theory.chord_name import parse_chord_name
from engrave.theory.harmonics import transpose
from engrave.theory.key import Key
from engrave.theory.pitch import parse_pitch
from engrave.theory.spelling import spell_midi
from engrave.writing.dump import dump_score
from engrave.writing.music_tree import played_events
from engrave.writing.rewrite import rewrite_score
from tests.layout.test_random_scores import scores
from tests.reading.helpers import read
from tests.writing.helpers import HEAD, change_notes, finger_all, plain, rewritten, unchosen, with_note

FOLDER = Path(__file__).parents[2] / "samples"
SAMPLES = [*sorted(FOLDER.glob("*.yaml")), *sorted((FOLDER / "signs").glob("*.yaml"))]


def typed(path):
    """The text of a sample with the line ends it has."""
    return path.read_bytes().decode("utf-8")


def comments(text):
    return re.findall(r"(?<!\S)#.*", text)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_an_unchanged_score_leaves_its_text_as_it_is(path):
    text = typed(path)
    assert rewrite_score(text, read(text), read(text)) == text


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_fingers_are_added_to_a_sample_and_its_comments_stay(path):
    text = typed(path)
    new = rewritten(text, finger_all)
    assert comments(new) == comments(text)
    if "tab:" not in text:
        others = [line for line in text.split("\n") if "1/" not in line]
        assert [line for line in new.split("\n") if line in others] == others


# --- One note at a time.


@pytest.mark.parametrize(
    ("before", "changed", "after"),
    [
        ("1/1: {3: 0}", {"finger": "2"}, "1/1: {3: 0 finger 2}"),
        ("1/1: {3: 0}", {"finger": "T"}, "1/1: {3: 0 finger T}"),
        ("1/1: {3: 5}", {"string": 4, "fret": 10}, "1/1: {4: 10}"),
        ("1/1: { 3 : 5 , 2: 3}", {"string": 4, "fret": 10}, "1/1: { 4 : 10 , 2: 3}"),
        ("1/1: {'3': '5'}", {"string": 4, "fret": 10}, "1/1: {'4': 10}"),
        ('1/1: {"3":5}', {"string": 4, "fret": 10}, '1/1: {"4":10}'),
        ("1/1: {3: 4 staccato}", {"finger": "2"}, "1/1: {3: 4 staccato finger 2}"),
        ("1/1: {3: 5 staccato}", {"string": 4, "fret": 10}, "1/1: {4: 10 staccato}"),
        ("1/1: {3: {finger: 1, fret: 5}}", {"string": 4, "fret": 10}, "1/1: {4: {finger: 1, fret: 10}}"),
        ("1/1: {3: {finger: 1, fret: 5}}", {"finger": ""}, "1/1: {3: {fret: 5}}"),
        (
            "1/1: {3: {fret: 5, marks: [accent]}}",
            {"finger": "3"},
            "1/1: {3: {fret: 5, marks: [accent], finger: 3}}",
        ),
        (
            "1/1: {3: {fret: 5, finger: 4}}",
            {"techniques": (Plain(SignName.VIBRATO),)},
            "1/1: {3: 5 vibrato finger 4}",
        ),
        ("1/1: {3: 6}", {"pitch": parse_pitch("Db5")}, "1/1: {3: 6 pitch Db5}"),
        ("1/1: {3: {fret: 6, pitch: Db5}}", {"pitch": parse_pitch("C#5")}, "1/1: {3: {fret: 6}}"),
        ("1/1: {3: {fret: 6, pitch: C#5}}", {"finger": "2"}, "1/1: {3: {fret: 6, finger: 2, pitch: C#5}}"),
        ("1/1: F#5", {"string": 1, "fret": 2, "chosen": False}, "1/1: 1:2"),
        (
            "1/1: {pitch: [F#5], marks: [fermata]}",
            {"string": 2, "fret": 7, "chosen": False},
            "1/1: 2:7 fermata",
        ),
        ("1/1: {3: x}", {"finger": "1"}, "1/1: {3: x finger 1}"),
    ],
)
def test_only_the_note_that_changed_is_written_anew(before, changed, after):
    text = f"{HEAD}  - notes: [{before}]  # one\n\n# end\n"
    assert rewritten(text, with_note(0, **changed)) == f"{HEAD}  - notes: [{after}]  # one\n\n# end\n"


def test_a_tie_follows_the_note_that_it_holds():
    text = HEAD + "  - notes: [1/2: [{3: 5, 2: 3}, {3: tie, 1: 3}]]\n"
    assert (
        rewritten(text, with_note(0, string=4, fret=10))
        == HEAD + "  - notes: [1/2: [{4: 10, 2: 3}, {4: tie, 1: 3}]]\n"
    )


def test_the_word_tie_stays():
    text = HEAD + "  - notes: [1/2: {3: 5, 2: 3}, 1/4: [tie, rest]]\n"
    assert "1/4: [tie, rest]" in rewritten(text, with_note(0, string=4, fret=10))


def test_a_note_whose_neighbour_changes_keeps_its_spelling():
    """The reader spells a sharp where the melody goes up a semitone (tests/theory/test_spelling.py)."""
    text = HEAD + "  - notes: [1/2: [{2: 9}, {2: 10}]]\n"
    start = read(text).parts[0].measures[0].voices[0].events[0].notes[0].pitch
    new = rewritten(text, with_note(1, fret=8, pitch=parse_pitch("G5")))
    assert start.name == "G#5"
    assert "{2: 9 pitch G#5}" in new


def test_block_style_is_edited_in_its_lines():
    text = HEAD + (
        "  - notes:\n      - 1/2:\n          # both\n          3: 0  # open\n          2: 1\n\n      - 1/2:\n          - 1: 0\n"
        "    # what follows\n    label: A\n"
    )
    new = rewritten(text, with_note(1, finger="1"))
    assert new == text.replace("2: 1\n", "2: 1 finger 1\n")
    moved = rewritten(text, with_note(2, string=2, fret=5))
    assert moved == text.replace("- 1: 0\n", "- 2: 5\n")


def test_block_scalars_and_folded_words_are_replaced_whole():
    text = (
        HEAD
        + "  - notes:\n      - 1/2:\n          3: >-\n            5\n            staccato\n\n      - 1/2: rest\n"
    )
    new = rewritten(text, with_note(0, finger="1"))
    assert new == text.replace(">-\n            5\n            staccato", "5 staccato finger 1")


@pytest.mark.parametrize("line_end", ["\r\n", "\r", "\n"])
def test_line_ends_and_signs_outside_the_basic_plane_do_not_shift_places(line_end):
    text = (
        "\ufeffscore: 1\ntitle: 𝄞 Über 🎸\nmeasures:\n  - notes: [1/1: {3: 5}] # 𝄢\n  - text: é 🎸\n    notes: [1/1: {3: 5}]\n"
    ).replace("\n", line_end)
    new = rewritten(text, with_note(1, finger="3"))
    assert (
        new
        == line_end.join(text.split(line_end)[:-2])
        + line_end
        + "    notes: [1/1: {3: 5 finger 3}]"
        + line_end
    )


# --- Anchors.

AGAIN = (
    HEAD
    + "  - &first\n    notes: &music [1/2: [&note {3: 5}, *note]]\n  - *first\n  - {notes: *music, label: A}\n"
)


def test_an_anchor_whose_uses_change_alike_is_changed_once():
    new = rewritten(AGAIN, lambda s: change_notes(s, lambda p, e, n: n._replace(finger="1")))
    assert new == AGAIN.replace("{3: 5}", "{3: 5 finger 1}")


@pytest.mark.parametrize("number", range(6))
def test_an_alias_that_no_longer_says_the_same_is_written_out(number):
    new = rewritten(AGAIN, with_note(number, finger="1"))
    assert new.count("finger 1") == 1


def test_an_anchored_event_keeps_its_anchor():
    text = HEAD + "  - notes: [1/2: [&a F#5, *a]]\n"
    new = rewritten(text, unchosen)
    assert new == text.replace("F#5", "1:2")


# --- Grids.

GRID = (
    HEAD
    + "  - chord: C\n    tab: |\n      rhythm 4 8  8  2\n      2      1 h3 3~ =\n      lower  2       2\n      5      3       0\n    # after\n  - notes: rest\n"
)


def test_a_grid_whose_notes_change_becomes_lists():
    new = rewritten(GRID, with_note(0, finger="1"))
    assert "tab" not in new
    assert "    lower: [1/2: 5:3 5:0]\n    # after\n" in new


@pytest.mark.parametrize(("fret", "row"), [("8", "8 h3 3~ ="), ("13", "")])
def test_a_grid_keeps_its_columns_while_frets_change_and_find_room(fret, row):
    rise = int(fret) - 1
    text = GRID if row else GRID.replace("1 h3", "1h3")
    new = rewritten(
        text,
        with_note(0, fret=int(fret), pitch=transpose(parse_pitch("C5"), *{7: (4, 7), 12: (7, 12)}[rise])),
    )
    assert new == text.replace("1 h3 3~ =", row) if row else "tab" not in new


def test_a_shorter_number_leaves_its_column_to_the_next():
    text = HEAD + "  - tab: |\n      rhythm 2    2\n      1      12---3\n"
    new = rewritten(text, with_note(0, fret=7, pitch=parse_pitch("B5")))
    assert new == text.replace("12---3", "7----3")
    assert rewritten(new, with_note(0, fret=12, pitch=parse_pitch("E6"))) == text


def test_a_grid_stays_while_the_rest_changes():
    def change(score):
        part = score.parts[0]
        chord = part.measures[0].chords[0]._replace(name=parse_chord_name("D"))
        return replace(
            score,
            parts=(part._replace(measures=(part.measures[0]._replace(chords=(chord,)), part.measures[1])),),
        )

    assert rewritten(GRID, change) == GRID.replace("chord: C", "chord: D")


# --- Moved to another key.


def raised(score):
    """Everything a whole tone up: keys, pitches, frets, shapes left alone; chords lose their names, and what was strummed by a pattern is written out."""

    def note(part, event, old):
        if old.is_slash:
            return old
        pitch = transpose(old.pitch, 1, 2)
        return old._replace(pitch=pitch, fret=old.fret + 2) if old.string else old._replace(pitch=pitch)

    moved = change_notes(score, note)
    keys = [Key(m.key.fifths + 2, m.key.mode) for m in score.measures]
    measures = tuple(replace(m, key=key) for m, key in zip(moved.measures, keys))
    parts = tuple(
        part._replace(
            measures=tuple(content._replace(chords=(), is_strummed=False) for content in part.measures)
        )
        for part in moved.parts
    )
    return replace(unchosen(moved), measures=measures, parts=unchosen(replace(moved, parts=parts)).parts)


def can_be_raised(score):
    notes = [
        n
        for p in score.parts
        for c in p.measures
        for v in c.voices
        for e in played_events(v)
        for n in e.notes
    ]
    return all(isinstance(technique, Plain) for n in notes for technique in n.techniques) and all(
        -7 <= m.key.fifths <= 5 for m in score.measures
    )


@pytest.mark.parametrize(
    "path", [p for p in SAMPLES if can_be_raised(read(typed(p)))], ids=lambda path: path.stem
)
def test_a_sample_is_moved_to_another_key(path):
    text = typed(path)
    new = rewritten(text, raised)
    assert comments(new) == comments(text)
    assert "chord:" not in new


# --- Random music, changed at random.


@st.composite
def changes(draw):
    """A change of every note by its number: nothing, a finger, another place of its pitch, or an octave."""
    kinds = draw(st.lists(st.sampled_from(["", "", "", "finger", "move", "octave"]), min_size=1, max_size=40))

    def change(score):
        count = iter(range(1_000_000))

        def one(part, event, note):
            kind = kinds[next(count) % len(kinds)]
            taken = {other.string for other in event.notes}
            marked = not all(isinstance(technique, Plain) for technique in note.techniques)
            if kind == "finger" and note.string:
                return note._replace(finger="2")
            if kind in ("move", "octave") and note.string and not marked:
                rise = 12 if kind == "octave" else 0
                sounding = part.instrument.sounding_midi(note.string, note.fret) + rise
                for string, fret in part.instrument.places(sounding):
                    if string == note.string or string not in taken:
                        return note._replace(
                            string=string, fret=fret, pitch=note.pitch.transposed_octaves(rise // 12)
                        )
            return note

        return _without_clashes(score, change_notes(score, one))

    return change


def _without_clashes(before, after):
    """Measures whose strings the change uses twice stay as they were, the whole score if a tie would break."""
    for part in after.parts:
        for content in part.measures:
            starts = [(e.onset, n.string) for v in content.voices for e in v.events for n in e.notes]
            for voice in content.voices:
                for event in voice.events:
                    strings = [n.string for n in event.notes]
                    if len(set(strings)) < len(strings):
                        return before
            if len(set(starts)) < len(starts):
                return before
    return after


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(scores(), changes())
def test_random_changes_of_random_scores_are_read_back(text, change):
    rewritten(text, change)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(scores())
def test_random_scores_with_fingers_are_read_back_from_any_layout(text):
    laid_out = dump_score(parse_yaml(text, ProblemLog("f")))
    assert plain(read(rewritten(laid_out, finger_all))) == plain(read(rewritten(text, finger_all)))


@given(
    st.lists(
        st.tuples(st.integers(0, 24), st.integers(0, 24), st.sampled_from(["-", " ", "--", "~-"])),
        min_size=4,
        max_size=4,
    )
)
def test_random_frets_of_a_grid_are_read_back(rows):
    cells, rhythm = "", ""
    for old, _, gap in rows:
        cells, rhythm = cells + f"{old}{gap}", rhythm + "4".ljust(len(f"{old}{gap}"))
    text = (
        HEAD + f"  - tab: | # drawn\n      rhythm {rhythm}\n      2      {cells.rstrip()}\n\n    label: A\n"
    )

    def change(score):
        count = iter(range(4))

        def one(part, event, note):
            fret = rows[next(count)][1]
            pitch = spell_midi(part.instrument.written_midi(2, fret), Key(0))
            return note._replace(fret=fret, pitch=pitch)

        return change_notes(score, one)

    new = rewritten(text, change)
    assert "label: A" in new
