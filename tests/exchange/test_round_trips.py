"""Scores that leave and come back, and damaged files: MusicXML, MIDI and plain-text tab.

What comes back through MusicXML is compared whole but for where things stand in the text.
The order of the notes of a chord and of the marks of an event says nothing and is not compared, nor is on which note of
a chord a mark of the whole event is written. Signs that last are compared by where they start and stop.
"""

import time
from dataclasses import fields
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engrave.exchange.midi.reader import read_midi
from engrave.exchange.midi.writer import write_midi
from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml, write_mxl
from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writer import write_text_tab
from engrave.playing.performance import perform
from engrave.problems import ProblemLog
from engrave.reading.load import load_score, read_text_score
from engrave.score.excerpt import excerpt
from engrave.score.sign_list import SIGNS, Carrier
from engrave.score.spans import resolve_spans
from engrave.score.techniques import technique_words
from engrave.writing.dump import dump_score

FOLDER = Path(__file__).parents[2] / "samples"
SAMPLES = sorted(FOLDER.glob("*.yaml"))
ALL = [*SAMPLES, *sorted((FOLDER / "signs").glob("*.yaml"))]
SECONDS = 10
"""A damaged file of some kilobytes must not take longer (house rule)."""
LEFT_BEHIND = {"location", "parts", "spans", "strum", "is_strummed", "strums"}
"""Strum patterns come back as the slashes that they make."""


@cache
def sample(path):
    found, _ = load_score(str(path))
    assert found is not None
    return found


def loaded(tree):
    """The score of a tree, which must be right."""
    log = ProblemLog("f")
    found = read_text_score(dump_score(tree), log)
    assert found is not None, [str(problem) for problem in log.in_order()]
    return found


# --- MusicXML: what is compared.


def is_shared(technique):
    return technique.sign in SIGNS and SIGNS[technique.sign].carrier is Carrier.EVENT


def plain(value):
    """A piece of a score without its places; notes and techniques in an order of their own."""
    if isinstance(value, tuple) and hasattr(value, "_fields"):
        if {"notes", "techniques"} <= set(value._fields):
            return plain_event(value)
        return {name: plain(getattr(value, name)) for name in value._fields if name not in LEFT_BEHIND}
    return [plain(entry) for entry in value] if isinstance(value, tuple) else value


def plain_techniques(techniques):
    return sorted(technique_words(technique) for technique in techniques)


def plain_event(event):
    """An event: its notes from the lowest, the marks of the whole event once, wherever they are written."""
    notes = sorted(event.notes, key=lambda note: (note.pitch.midi, -note.string))
    shared = {t for note in notes for t in note.techniques if is_shared(t)} | set(event.techniques)
    rows = [
        {
            **{
                name: plain(getattr(note, name))
                for name in note._fields
                if name not in ("techniques", "location")
            },
            "techniques": plain_techniques(t for t in note.techniques if not is_shared(t)),
        }
        for note in notes
    ]
    names = [name for name in event._fields if name not in ("notes", "techniques", "location")]
    found = {name: plain(getattr(event, name)) for name in names}
    return {**found, "notes": rows, "techniques": sorted(set(plain_techniques(shared)))}


def plain_spans(score, part):
    spans = resolve_spans([m.length for m in score.measures], [m.spans for m in part.measures])
    return sorted((s.first, s.onset, s.last, s.end, s.sign.name, s.sign.detail) for s in spans)


_HEAD = (
    "title",
    "subtitle",
    "credits",
    "copyright",
    "language",
    "view",
    "style",
    "grids",
    "left_handed",
    "shapes",
    "explain_signs",
)


def essence(score):
    """Everything of a score that is compared, by where it stands."""
    found = {name: plain(getattr(score, name)) for name in _HEAD}
    for measure in score.measures:
        for field in fields(measure):
            if field.name not in LEFT_BEHIND:
                found["measure", measure.index, field.name] = plain(getattr(measure, field.name))
    for part in score.parts:
        found[part.id, "instrument"] = (part.name, part.instrument)
        found[part.id, "spans"] = plain_spans(score, part)
        for index, measure in enumerate(part.measures):
            found[part.id, index] = plain(measure)
    return found


def differences(one, other):
    """What is not equal in two scores: where, and both values."""
    left, right = essence(one), essence(other)
    pairs = {place: (left.get(place), right.get(place)) for place in left.keys() | right.keys()}
    return {place: pair for place, pair in pairs.items() if pair[0] != pair[1]}


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_samples_come_back_through_musicxml(path):
    found = sample(path)
    back, _ = read_musicxml(write_musicxml(found))
    assert differences(found, loaded(back)) == {}


@pytest.mark.parametrize("path", [path for path in ALL if path.stem != "rhythm"], ids=lambda path: path.stem)
def test_songs_and_signs_come_back_through_musicxml_without_a_loss(path):
    found = sample(path)
    data = write_musicxml(found)
    assert read_musicxml(data)[1] == []
    assert read_musicxml(write_mxl(data, "song.musicxml")) == read_musicxml(data)


@pytest.mark.parametrize(
    "note", ["{fret: 5, trill: 7}", "{fret: 0, trill: 1}", "2.7 natural-harmonic", "3.2 natural-harmonic"]
)
def test_fine_points_of_a_note_come_back_through_musicxml(note):
    found = read_text_score(f"score: 1\nmeasures:\n  - notes: [1/1: {{2: {note}}}]\n", ProblemLog("f"))
    tree, losses = read_musicxml(write_musicxml(found))
    assert losses == []
    assert differences(found, loaded(tree)) == {}


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_what_came_back_once_comes_back_the_same_for_ever(path):
    once = loaded(read_musicxml(write_musicxml(sample(path)))[0])
    assert differences(once, loaded(read_musicxml(write_musicxml(once))[0])) == {}


# --- MIDI: pitches and onsets, as they are written (repeats not taken).

NOT_CARRIED = {
    "stepping-stones": "fives, sevens and threes within threes are on no grid",
    "right-hand": "sixes within a quarter are on no grid, and chords are spread in time",
    "crowded": "chords are spread in time",
    "swing": "swung sixteenths are on no grid",
    "quayside": "chords are spread in time",
    "rhythm": "chords are spread in time",
}
"""Samples whose onsets a grid of sixty-fourths and triplets cannot hold."""


def onsets(score, repeats):
    """Part, start in whole notes and MIDI number of every note; one pitch on two strings at once is one note."""
    return {(note.part, note.start, note.midi) for note in perform(score, repeats=repeats).notes}


@pytest.mark.parametrize(
    "path", [path for path in ALL if path.stem not in NOT_CARRIED], ids=lambda path: path.stem
)
def test_pitches_and_onsets_of_samples_come_back_through_midi(path):
    found = sample(path)
    back = loaded(read_midi(write_midi(found, repeats=False), finest=64)[0])
    assert onsets(back, True) == onsets(found, False)


def test_fives_and_sevens_keep_their_pitches_and_move_by_less_than_a_step():
    found = sample(FOLDER / "stepping-stones.yaml")
    back = loaded(read_midi(write_midi(found, repeats=False), finest=64)[0])
    wanted, moved = onsets(found, False), onsets(back, True)
    for _, start, midi in moved:
        assert min(abs(at - start) for _, at, other in wanted if other == midi) < Fraction(1, 64)


# --- Damaged files.

TAB = b"""Old Mill
Tuning: EADGBE
Time: 4/4

   Am          C/G
e|-0---3---2-2-2-|-0-----2~----0-|
B|-1h3-3-5p3-----|-1--/5-----x---|
G|-2------4b6r4--|-0-----<12>----|
D|---0-----2---0-|-2--\\0-----x---|
A|-0-2---3-2-----|-3-----(3)-----|
E|-----3-----3---|-3-----3-----0-|
"""


def whole_files():
    scores = [sample(FOLDER / f"{name}.yaml") for name in ("rope-walk", "iron-gate", "signs/crowded")]
    plain_xml = [write_musicxml(score) for score in scores]
    return {
        "musicxml": [*plain_xml, write_mxl(plain_xml[1], "song.musicxml")],
        "midi": [write_midi(excerpt(score, 0, 6)) for score in scores],
        "tab": [TAB],
    }


FILES = whole_files()
READERS = {
    "musicxml": lambda data: read_musicxml(data)[0],
    "midi": lambda data: read_midi(data, finest=16, triplets=True)[0],
    "tab": lambda data: read_text_tab(data, None).tree,
}
DIGITS = b"0123456789"
KINDS = st.sampled_from(["flip", "digit", "cut", "repeat"])
WRONG = st.tuples(KINDS, st.integers(0, 1 << 20), st.integers(1, 64), st.integers(0, 255))


def damaged(data, wrongs):
    """`data` with some bytes changed, cut out or repeated."""
    for kind, at, count, byte in wrongs:
        at %= max(1, len(data))
        if kind == "digit":
            at = next((index for index in range(at, len(data)) if data[index] in DIGITS), at)
        piece = data[at : at + count]
        if kind == "flip":
            data = data[:at] + bytes([data[at] ^ (byte or 1)] if piece else []) + data[at + 1 :]
        elif kind == "digit":
            data = data[:at] + DIGITS[byte % 10 :][:1] + data[at + 1 :]
        elif kind == "cut":
            data = data[:at] + data[at + count :]
        else:
            data = data[:at] + piece * (1 + byte) + data[at + count :]
    return data


@pytest.mark.parametrize("kind", sorted(READERS))
@given(st.integers(0, 3), st.lists(WRONG, min_size=1, max_size=8))
@settings(max_examples=60, suppress_health_check=list(HealthCheck))
def test_damaged_files_are_read_or_refused_in_time(kind, number, wrongs):
    files = FILES[kind]
    data = damaged(files[number % len(files)], wrongs)
    start = time.process_time()
    try:
        tree = READERS[kind](data)
    except ValueError:
        tree = None
    assert time.process_time() - start < SECONDS
    if tree is not None:
        loaded(tree)


def test_a_bend_that_is_released_in_parts_under_ties_comes_back_through_musicxml():
    text = "score: 1\nmeasures:\n  - notes: [1/4: 1:17 bend full, 1/4: tie, 1/4: 1:tie bend release to 1/2, 1/4: 1:tie bend release]\n"
    found = read_text_score(text, ProblemLog("f"))
    assert differences(found, loaded(read_musicxml(write_musicxml(found))[0])) == {}


@pytest.mark.parametrize("write", ["musicxml", "text"])
def test_a_strummed_measure_comes_back_as_the_slashes_it_was_made_of(write):
    text = "score: 1\nstrum: folk\nmeasures:\n  - chord: G\n  - chord: {1: C, 3: G}\n"
    score = read_text_score(text, ProblemLog("f"))
    if write == "musicxml":
        tree, _ = read_musicxml(write_musicxml(score))
    else:
        typed, lost = write_text_tab(score)
        assert lost == ["Guitar: the names of strum patterns are lost (measures 1-2)"]
        tree = read_text_tab(typed.encode()).tree
    back = loaded(tree)
    for one, other in zip(score.parts[0].measures, back.parts[0].measures, strict=True):
        assert plain(one.voices) == plain(other.voices)
