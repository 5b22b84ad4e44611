"""Scores become plain-text tab that reads back. The ways of typing tab: common practice, no source."""

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engrave.exchange.text_tab.lines.blocks import read_tab_line
from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writer import write_text_tab
from engrave.problems import NOWHERE, ProblemLog
from engrave.reading.load import load_score, read_text_score
from engrave.score.structure import Barline, Score
from engrave.writing.dump import dump_score
from tests.reading.helpers import read

SAMPLES = Path(__file__).parents[2] / "samples"
FILES = sorted([*SAMPLES.glob("*.yaml"), *SAMPLES.glob("signs/*.yaml")])
QUIET = {"deadline": None, "suppress_health_check": list(HealthCheck)}


def back(text):
    """The score that is read from `text`."""
    log = ProblemLog("f")
    score = read_text_score(dump_score(read_text_tab(text.encode(), None).tree), log)
    assert score is not None, ([str(p) for p in log.in_order()], text)
    return score


def there(yaml, **more):
    """Text, losses and the score read back of a score in the score language."""
    text, lost = write_text_tab(read("score: 1\n" + yaml), **more)
    return text, lost, back(text)


def bare(value):
    """A value of a score without places in files, in dictionaries and lists."""
    if isinstance(value, tuple) and hasattr(value, "_fields"):
        return {name: bare(getattr(value, name)) for name in value._fields if name != "location"}
    if isinstance(value, list | tuple):
        return [bare(item) for item in value]
    if hasattr(value, "__dataclass_fields__") and "location" in value.__dataclass_fields__:
        return replace(value, location=NOWHERE, **({"tempo": bare(value.tempo)} if value.tempo else {}))
    return value


def whole(score: Score):
    """All that a score is made of."""
    return {name: bare(getattr(score, name)) for name in score.__dataclass_fields__ if name != "file"}


def struck(content):
    """(onset, {string: fret}) of what is struck in a measure, by onset."""
    found = {}
    for voice in content.voices:
        for event in voice.events:
            for note in event.notes:
                if note.string and not note.tie_from:
                    found.setdefault(event.onset, {}).setdefault(note.string, note.fret)
    return sorted(found.items())


def lines_of(text):
    return [line for line in text.split("\n") if read_tab_line(1, line)]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
@pytest.mark.parametrize("width", [60, 100])
def test_samples_are_written_within_the_width(path, width):
    score, _ = load_score(str(path))
    text, _ = write_text_tab(score, width)
    assert lines_of(text)
    for block in text.split("\n\n"):
        measures = [[i for i, sign in enumerate(line) if sign == "|"] for line in lines_of(block)]
        assert all(row == measures[0] for row in measures)
        for line in lines_of(block):
            body = line.split(" x")[0].rstrip("|")
            assert len(line) <= width or body.count("|") == 1


def torn(lost, number, *words):
    """Whether one of the sentences with one of the words names measure `number`."""
    for sentence in lost:
        for first, last in re.findall(r"(\d+)(?:-(\d+))?", sentence.rpartition("(measure")[2]):
            if int(first) <= number <= int(last or first) and any(word in sentence for word in words):
                return True
    return False


def in_both(path):
    """(losses, measure, what a part has in it, what is read back) for a sample."""
    score, _ = load_score(str(path))
    text, lost = write_text_tab(score)
    assert not any(": notes are lost" in sentence or "not read back" in sentence for sentence in lost)
    for part, other in zip(score.parts, back(text).parts, strict=True):
        for index, measure in enumerate(score.measures):
            content = part.measures[index]
            if not content.repeats and not torn(lost, measure.number, "slashes", "the rhythm"):
                yield lost, measure, content, other.measures[index]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_all_notes_of_the_samples_read_back(path):
    for _, measure, content, twin in in_both(path):
        assert struck(content) == struck(twin), measure.number


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_lengths_and_marks_of_one_voice_read_back(path):
    for lost, measure, content, twin in in_both(path):
        if len(content.voices) > 1 or torn(lost, measure.number, "ties are"):
            continue
        for event, like in zip(content.voices[0].events, twin.voices[0].events, strict=True):
            assert (event.onset, event.length) == (like.onset, like.length)
            for note, copy in zip(sorted(event.notes, key=lambda n: n.string), like.notes, strict=True):
                kept = {
                    t.sign for t in note.techniques if not torn(lost, measure.number, f"{t.sign} is lost")
                }
                assert kept <= {technique.sign for technique in copy.techniques}


def test_a_small_score_as_text():
    text, lost, _ = there(
        "title: Bass Lamps\ntempo: Slowly, 1/4. = 60\ncapo: 2\nkey: A minor\ntime: 6/8\nmeasures:\n"
        "  - {label: Guitar solo, text: softly, repeat: start and end, times: 3, chord: {1: Am, 4: G7},\n"
        "     notes: [1/8: [{3: 2}, {3: 4 hammer-on}, {3: 2 pull-off}], 1/4.: {1: 3, 2: 0}]}\n"
    )
    assert lost == []
    assert text.split("\n")[:-1] == [
        "Title: Bass Lamps",
        "Tempo: Slowly, 1/4. = 60",
        "Tuning: E A D G B E",
        "Capo: 2",
        "Key: A minor",
        "Time: 6/8",
        "",
        "[Guitar solo]",
        "softly",
        "    Am    G7",
        "    e e e q.",
        "e|--------3---|| x3",
        "B|--------0---||",
        "G|:-2h4p2----:||",
        "D|:----------:||",
        "A|------------||",
        "E|------------||",
    ]


ONE_MEASURE = [
    "[1/4: [{2: 5}, {2: 7 slide}, {2: 5 slide}, {1: 3 slide-from-below}]]",
    "[1/4: [{2: 15}, {2: 17 slide}, {2: 5 slide-away-down}, {1: 3 slide-from-above}]]",
    "[1/4: [{2: {fret: 7, bend: full}}, {2: {fret: 7, bend: full release}}, {3: {fret: 9, bend: pre full release}}, {3: x}]]",
    "[1/2: [{2: {fret: 7, bend: 1/4}}, {2: {fret: 7, bend: full release to 1/2}}]]",
    "[1/4: [{2: 7 vibrato}, {2: 7 ghost}, {2: 12 natural-harmonic}, {2: x ghost}]]",
    "[1/2: [{2: 7 staccato, 1: 5}, {1: 12 tap, 6: 10}]]",
    "[1/2: {1: 3, 2: 0}, 1/4: tie, 1/8: rest, 1/8: {4: 10}]",
    "[3 in 2 of 1/8: [1/4: {1: 3}, 1/8: {2: 1}], 1/4: tie, 3 in 2 of 1/4: [rest, {1: 1}, {1: 3 hammer-on}]]",
    "[5 in 3 of 1/8: [{1: 3}, {1: 3}, {1: 3}, {1: 3}, {1: 3}], 1/64: [{1: 3}, tie], 1/32: {2: 3}, 1/16: rest, 1/2: {1: 0}]",
]


@pytest.mark.parametrize("notes", ONE_MEASURE)
def test_signs_and_values_come_back(notes):
    score = read(f"score: 1\nmeasures:\n  - notes: {notes}\n  - notes: [1/1: {{1: 1}}]\n")
    text, lost = write_text_tab(score)
    assert lost == [], text
    twin = back(text)
    assert struck(twin.parts[0].measures[0]) == struck(score.parts[0].measures[0])


def test_ties_over_a_bar_line_and_a_measure_full_of_them():
    yaml = "measures:\n  - notes: [1/1: {1: 1, 2: 3}]\n  - notes: [1/1: tie]\n  - notes: rest\n  - notes: [1/2: [{1: 1}, tie]]\n"
    text, lost, twin = there(yaml)
    assert lost == [], text
    assert all(note.tie_from for note in twin.parts[0].measures[1].voices[0].events[0].notes)


def test_a_pickup_and_the_measure_that_completes_it():
    text, lost, twin = there(
        "measures:\n  - {pickup: true, chord: {4: C}, notes: [1/4: {1: 1}]}\n"
        "  - {chord: {1: F, 3: G}, notes: [1/1: {1: 1}]}\n  - notes: [1/2.: {1: 0}]\n"
    )
    assert lost == [], text
    assert [measure.length for measure in twin.measures] == [Fraction(1, 4), 1, Fraction(3, 4)]


def test_chord_names_between_the_notes():
    chords = "{1: Am, 2: G, 3: F#m7b5/E, 4: C}"
    _, lost, twin = there(
        f"measures:\n  - {{chord: {chords}, notes: [1/1: {{1: 1}}]}}\n  - {{chord: {chords}, notes: rest}}\n"
    )
    assert lost == []
    assert [chord.onset * 4 for chord in twin.parts[0].measures[1].chords] == [0, 1, 2, 3]


def test_changes_of_time_and_double_barlines():
    _, lost, twin = there(
        "time: C\nmeasures:\n  - {notes: [1/1: {1: 1}], barline: double}\n  - {time: 3+2/8, notes: [1/2: {1: 1}, 1/8: {1: 1}]}\n"
        "  - {time: cut C, notes: [1/1: {1: 1}]}\n"
    )
    assert lost == []
    assert [measure.metre.text for measure in twin.measures] == ["C", "3+2/8", "cut C"]
    assert twin.measures[0].barline is Barline.DOUBLE


PARTS = (
    "parts:\n  - {id: lead, name: Lead, instrument: guitar}\n  - {id: bass, instrument: bass}\nmeasures:\n"
    "  - {parts: {lead: {chord: Am, text: off we go, notes: [1/1: {1: 1}]}, bass: {notes: [1/2: [{4: 0}, {3: 2}]]}}}\n"
)


def test_parts_stand_block_by_block():
    text, lost, twin = there(PARTS + "  - parts: {lead: {notes: rest}, bass: {notes: [1/1: tie]}}\n")
    assert lost == [], text
    assert [part.name for part in twin.parts] == ["Lead", "Bass"]
    assert text.count("\nBass\n") == 1


FRET = st.integers(0, 24)
MARK = st.sampled_from(
    ["", " hammer-on", " pull-off", " slide", " vibrato", " ghost", " staccato", " slide-away-up", " tap"]
)
NOTE = st.tuples(FRET, MARK).map(lambda pair: f"{pair[0]}{pair[1]}") | st.just("x")
STRUCK = st.dictionaries(st.integers(1, 6), NOTE, min_size=1, max_size=4).map(
    lambda notes: "{" + ", ".join(f"{string}: {notes[string]}" for string in sorted(notes)) + "}"
)
VALUES = st.sampled_from(
    [
        ["1/1"],
        ["1/2", "1/4.", "1/8"],
        ["1/4"] * 4,
        ["1/8"] * 8,
        ["1/4", "1/16", "1/16", "1/8", "1/2"],
        ["1/2.", "1/8..", "1/32"],
    ]
)
CHORD = st.sampled_from(["", "Am", "{1: C, 3: G7/B}", "{2: F#m7b5, 4: D}"])


@st.composite
def measures(draw):
    """One measure in the score language: struck notes, rests and ties after notes, chord names."""
    items, sounding = [], False
    for value in draw(VALUES):
        kind = draw(st.sampled_from(["note", "note", "rest", "tie"])) if items else "note"
        event = draw(STRUCK) if kind == "note" or (kind == "tie" and not sounding) else kind
        sounding = event != "rest"
        items.append(f"{value}: {event}")
    keys = {"chord": draw(CHORD), "label": draw(st.sampled_from(["", "", "Verse 2", "A"]))}
    keys["repeat"] = draw(st.sampled_from(["", "", "start and end"]))
    keys["barline"] = "" if keys["repeat"] else draw(st.sampled_from(["", "", "double"]))
    extra = "".join(f", {key}: {value}" for key, value in keys.items() if value)
    return f"  - {{notes: [{', '.join(items)}]{extra}}}\n"


@given(st.lists(measures(), min_size=1, max_size=5), st.sampled_from([30, 60, 100]))
@settings(max_examples=60, **QUIET)
def test_a_score_of_one_voice_comes_back_equal(rows, width):
    head = "score: 1\ntitle: Any\ntempo: 1/4 = 90\nkey: G major\nmeasures:\n"
    first = "  - notes: [1/1: {1: 0, 2: 1, 3: 0, 4: 2, 5: 3, 6: 0}]\n"
    score = read(head + first + "".join(rows) + "  - notes: [1/1: {1: 0}]\n")
    text, lost = write_text_tab(score, width)
    assert lost == [], text
    assert whole(back(text)) == whole(score), text
