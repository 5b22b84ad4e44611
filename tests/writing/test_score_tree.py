"""The tree of a score is read back as the score."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from engrave.writing.dump import dump_score
from engrave.writing.score_tree import score_tree
from tests.exchange.test_musicxml_random import quiet_scores
from tests.layout.test_random_scores import scores
from tests.reading.helpers import measure, read
from tests.writing.helpers import plain, unchosen

FOLDER = Path(__file__).parents[2] / "samples"
SAMPLES = [*sorted(FOLDER.glob("*.yaml")), *sorted((FOLDER / "signs").glob("*.yaml"))]


def written(score):
    return dump_score(score_tree(score))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_comes_back_from_its_tree(path):
    score = read(path.read_text("utf-8"))
    assert plain(read(written(score))) == plain(score)


@settings(max_examples=100, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(scores())
def test_random_scores_come_back_from_their_tree(text):
    score = read(text)
    assert plain(read(written(score))) == plain(score)


@settings(max_examples=60)
@given(quiet_scores())
def test_silent_voices_come_back_from_their_tree(text):
    score = read(text)
    assert plain(read(written(score))) == plain(score)


@pytest.mark.parametrize(
    "notes",
    [
        "[1/4: [{3: 0}, {3: 2}], 1/2: {2: 1, 3: tie}]",
        "[1/2.: {3: 2 hammer-on}, 1/8: [rest, {3: x}]]",
        "[3 in 2 of 1/4: [{3: 0}, 3 in 2 of 1/8: [{3: 0}, {3: 2}, rest], {1/8: [{3: 0}, {3: 2}]}], 1/2: tie]",
        "[grace 1/16: [{3: 2}, {3: 4 hammer-on}], 1/1: {3: 5}]",
        "[appoggiatura 1/8: {3: 2}, 1/1: {3: 5}, closing-grace 1/16: {3: 4}]",
        "[1/2: {3: {fret: 5, bend: full then 1 1/2}}, 1/4: {3: {fret: tie, bend: release}}, 1/4: {3: {fret: 4, trill: 5}}]",
        "[1/2: [{3: 2.7 natural-harmonic}, {3: {fret: 5, touched-harmonic: 12, marks: [vibrato], finger: T, pluck: i}}]]",
        "[1/2: [{3: {fret: 6, pitch: Db5}, marks: [fermata]}, {marks: [fermata]}]]",
        "[1/4: [slash, slash strum-down, tie, F#5], 1/8: [C5+E5, {pitch: [C5, E5], marks: [accent]}]]",
        "[1/2: [{3: x}, tie]]",
    ],
)
def test_music_of_every_kind_comes_back(notes):
    text = measure(notes) if "C5+E5" not in notes else measure(notes, head="time: 5/4\n")
    score = read(text)
    assert plain(read(written(score))) == plain(score)


def test_runs_of_one_duration_share_a_list():
    tree = score_tree(read(measure("[1/4: {3: 0}, 1/4: {3: 2}, 1/8: rest, 1/8: {3: 4}, 1/4: rest]")))
    assert tree["measures"][0]["notes"] == [
        {"1/4": "3:0 3:2"},
        {"1/8": "rest 3:4"},
        {"1/4": "rest"},
    ]


def test_a_spelling_is_written_only_where_the_reader_would_choose_another():
    tree = score_tree(read(measure("[1/2: [{3: {fret: 6, pitch: C#5}}, {2: {fret: 2, pitch: Db5}}]]")))
    assert tree["measures"][0]["notes"] == [{"1/2": ["3:6", "2:2 pitch Db5"]}]


def test_numbers_repeats_and_words_come_back():
    text = (
        "score: 1\nlanguage: de\ntime: 3/4\ntempo: Ruhig, 1/4. = 56.5\ncounting: true\nparts: [{id: g, name: Guitar 1, view: tab, capo: 2}, "
        "{id: v, instrument: voice}]\nmeasures:\n  - {pickup: true, parts: {g: {notes: [1/4: {3: 0}], chord: {3: G}}}}\n"
        "  - {repeat: start, parts: {v: {notes: [1/4: [C5, D5, E5]], lyrics: {1: lan-tern 1\\-2, 2: a ... b}}}}\n"
        "  - {ending: 1, repeat: end, parts: {v: {notes: [1/2.: C5], lyrics: so}, g: {spans: {2: [barre 3 for 3/8, let-ring for 2 measures]}}}}\n"
        "  - {ending: [2, 3], counting: false, parts: {v: {notes: [1/2.: C5], lyrics: ...}}}\n"
        "  - {number: 20, time: C, key: Bb, label: 7, new: line, barline: dashed, multiple-rest: 4}\n  - {parts: {g: {measure-repeat: 1}}, coda: true}\n"
    )
    text = text.replace("repeat: end,", "repeat: end, times: 3,")
    score = read(text)
    assert plain(read(written(score))) == plain(score)


def test_places_taken_as_written_come_back():
    score = unchosen(read(measure("[1/4: [C5+E5, tie, F#5, A4]]")))
    assert "C5" not in written(score)
    assert plain(read(written(score))) == plain(score)
