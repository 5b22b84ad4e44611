"""Strum patterns in a score: where they hold, what they make, what is told."""

import pytest

from engrave.cli import main
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.score.techniques import technique_words
from engrave.writing.dump import dump_score
from engrave.writing.score_tree import score_tree


def read(measures, head=""):
    log = ProblemLog("f")
    rows = "".join(f"  - {measure}\n" for measure in measures)
    return read_text_score(f"score: 1\n{head}measures:\n{rows}", log), log


def words(content):
    """The events of a measure in words: "4 slash strum-down"."""
    found = []
    for event in content.voices[0].events:
        notes = event.notes[0] if event.notes else None
        marks = " ".join(technique_words(t) for t in notes.techniques) if notes else "rest"
        found.append(f"{'tie ' if notes and notes.tie_from else ''}{event.value.name[2:]} {marks}")
    return found


def texts(score, part=0):
    return [content.strum.text if content.strum else "" for content in score.parts[part].measures]


def test_a_measure_of_chord_names_alone_is_strummed():
    score, _ = read(["chord: G"], "strum: folk\n")
    assert words(score.parts[0].measures[0]) == [
        "4 slash strum-down",
        "8 slash strum-down",
        "8 slash strum-up",
        "tie 8 slash",
        "8 slash strum-up",
        "8 slash strum-down",
        "8 slash strum-up",
    ]


@pytest.mark.parametrize(
    "measure",
    [
        "{chord: G, notes: [1/1: 3:0]}",
        "{chord: G, notes: rest}",
        "notes: rest",
        "{text: wait}",
        "{chord: G, multiple-rest: 2}",
        "{chord: G, measure-repeat: 1}",
        "{chord: G, lower: [1/1: 6:3]}",
    ],
)
def test_other_measures_are_left_as_they_are(measure):
    score, log = read(["chord: C", measure], "strum: folk\n")
    assert score is not None, log.problems
    assert not score.parts[0].measures[1].is_strummed
    assert score.parts[0].measures[1].strum is not None


def test_a_pattern_holds_until_another_or_none():
    score, _ = read(
        ["chord: G", "{chord: C, strum: d u d u}", "chord: D", "{chord: G, strum: none}"], "strum: eighths\n"
    )
    assert texts(score) == ["eighths", "d u d u", "d u d u", ""]
    assert [content.is_strummed for content in score.parts[0].measures] == [True, True, True, False]


def test_parts_have_patterns_of_their_own_and_voices_none():
    head = "strum: folk\nparts: [{id: voice, instrument: voice}, {id: one, instrument: guitar}, {id: two, instrument: ukulele, strum: eighths}]\n"
    measure = "parts: {voice: {chord: G, notes: [1/1: C5]}, one: {chord: G}, two: {chord: G}}"
    score, log = read([measure], head)
    assert score is not None, log.problems
    assert [len(part.measures[0].voices[0].events) for part in score.parts] == [1, 7, 8]


def test_own_patterns_have_rows_by_time_and_go_before_others():
    head = "strum: folk\nstrums: {folk: {4/4: d d d d, 3/4: d d u d u -}}\n"
    score, log = read(["chord: G", "{time: 3/4, chord: G}"], head)
    assert score is not None, log.problems
    assert len(words(score.parts[0].measures[0])) == 4
    assert words(score.parts[0].measures[1])[-1] == "4 slash strum-up"


def test_a_chord_inside_a_measure_is_struck_where_it_stands():
    score, _ = read(["chord: {1: C, 3: G}"], "strum: folk\n")
    assert not any(word.startswith("tie") for word in words(score.parts[0].measures[0]))


@pytest.mark.parametrize(
    ("measures", "head", "told"),
    [
        (["chord: G"], "strum: fork\n", 'f:2:8: there is no strum pattern "fork"; did you mean "folk"?'),
        (["chord: G"], "strums: {a: d q}\n", 'f:2:13: "q" is no stroke'),
        (["chord: G"], "strums: {a: {}}\n", "f:2:13: this strum pattern has no row"),
        (["chord: G"], 'strum: ""\n', 'there is no strum pattern ""'),
        (["chord: G"], "parts: [{id: a, instrument: voice, strum: folk}]\n", "f:2:43: the voice has no strings to strum"),
        (["chord: G"], "strums: {none: d u}\n", 'f:2:10: "none" cannot be the name'),
        (["{chord: G, strum: d d d}"], "", "f:3:13: a strum pattern of 3 counts does not fit 4/4 (Guitar, measure 1); write 1, 2, 4"),
        (["chord: G", "{time: 3/4, chord: G}"], "strum: folk\n", 'f:5:24: the strum pattern "folk" has no row for 3/4 (Guitar, measure 2)'),
        (["{strum: folk, notes: [1/1: C5]}"], "instrument: voice\n", "the voice has no strings to strum"),
    ],
)  # fmt: skip
def test_what_cannot_be_strummed_is_told_with_its_place(measures, head, told):
    score, log = read(measures, head)
    assert score is None
    assert any(told in str(problem) for problem in log.problems), [str(problem) for problem in log.problems]


def test_a_pattern_that_fits_nowhere_is_told_once():
    _, log = read(["{time: 3/4, chord: G}", "chord: C", "chord: D"], "strum: folk\n")
    assert len(log.problems) == 1


@pytest.mark.parametrize(
    "measures",
    [
        ["chord: G", "{chord: {1: C, 3: G}}", "{strum: none, chord: D, notes: rest}", "chord: D"],
        ["{chord: G, strum: ours}", "{time: 3/4, chord: D}"],
        ["{chord: G, strum: r u r u}", "notes: [1/2: 3:0, 1/2: rest]", "{chord: G, notes: rest}"],
    ],
)
def test_a_written_score_is_read_back_the_same(measures):
    head = "strum: eighths\nstrums: {ours: {4/4: d - d u, 3/4: d d d}, other: d u}\n"
    score, log = read(measures, head)
    assert score is not None, log.problems
    text = dump_score(score_tree(score))
    back = read_text_score(text, ProblemLog("f"))
    assert back is not None, text
    assert back.strums == score.strums
    assert texts(back) == texts(score)
    for one, other in zip(score.parts[0].measures, back.parts[0].measures, strict=True):
        assert words(one) == words(other)
        assert one.is_strummed == other.is_strummed
    assert "slash" not in text


def test_a_tie_holds_a_slash():
    score, _ = read(["notes: [1/2: slash accent, 1/2: tie]"])
    held = score.parts[0].measures[0].voices[0].events[1].notes[0]
    assert held.is_slash
    assert held.tie_from
    text = dump_score(score_tree(score))
    assert "[1/2: [slash accent, tie]]" in text


def test_a_strummed_part_goes_on_another_instrument(tmp_path):
    path, out = tmp_path / "quay.yaml", tmp_path / "out.yaml"
    path.write_text("score: 1\nmeasures:\n  - {chord: G, strum: folk}   # slowly\n  - chord: C\n", "utf-8")
    assert main(["place", str(path), "--instrument", "ukulele", "-o", str(out)]) == 0
    assert out.read_text("utf-8") == path.read_text("utf-8").replace(
        "score: 1", "score: 1\ninstrument: ukulele"
    )


def test_a_strummed_part_keeps_its_pattern_when_its_right_hand_is_chosen_anew(tmp_path):
    path, out = tmp_path / "quay.yaml", tmp_path / "out.yaml"
    path.write_text(
        "score: 1\nstrum: folk\nmeasures:\n  - chord: G\n  - notes: [1/4: 3:0 3:0 3:0 3:0]\n", "utf-8"
    )
    assert main(["place", str(path), "--right-hand", "pick", "--anew", "--no-fingers", "-o", str(out)]) == 0
    assert "  - chord: G\n" in out.read_text("utf-8")
    assert "pick-down" in out.read_text("utf-8")
