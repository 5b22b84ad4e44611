"""Plain-text tab as people type it, case by case: what columns, rhythm and signs are read, and what doubts are told where.

The cases are in typed_tabs/. How tab is typed: common practice, no source; what is read into doubtful ones: house rules.
"""

from pathlib import Path

import pytest
import yaml

from engrave.exchange.text_tab.reader import read_text_tab
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.score.techniques import technique_words
from engrave.writing.dump import dump_score

FOLDER = Path(__file__).parent / "typed_tabs"
CASES = [case for path in sorted(FOLDER.glob("*.yaml")) for case in yaml.safe_load(path.read_text())]
RHYTHM_IS_GUESSED = "rhythm guessed"


def read(text):
    """What is read from a typed tab, and its score."""
    found = read_text_tab(text.encode())
    log = ProblemLog("f")
    score = read_text_score(dump_score(found.tree), log)
    assert score is not None, [str(problem) for problem in log.in_order()]
    return found, score


def events(score):
    """The events of each measure of the first part."""
    return [measure.voices[0].events if measure.voices else () for measure in score.parts[0].measures]


def is_held(event):
    return bool(event.notes) and all(note.tie_from for note in event.notes)


def columns(score):
    """What is struck together, string:fret, measure by measure."""
    return [
        " ".join(
            "+".join(
                f"{note.string}:{note.fret}" for note in sorted(event.notes, key=lambda note: note.string)
            )
            for event in measure
            if event.notes and not is_held(event)
        )
        for measure in events(score)
    ]


def rhythm(score):
    """The values of each measure; r before a rest, _ before what is held."""
    return [
        " ".join(
            ("_" if is_held(event) else "" if event.notes else "r") + event.value.name.removeprefix("1/")
            for event in measure
        )
        for measure in events(score)
    ]


def marks(score):
    """Each sign of a note that is struck, with its fret."""
    return [
        f"{note.fret} {words}"
        for measure in events(score)
        for event in measure
        for note in event.notes
        for technique in note.techniques
        if (words := plain(technique)) and not note.tie_from
    ]


def plain(technique):
    """The words of a technique, without the number of a harmonic."""
    words = technique_words(technique)
    return words.split(" ")[0] if "harmonic" in words else words


def event_marks(score):
    """The marks of each event that is struck."""
    return [
        technique_words(technique)
        for measure in events(score)
        for event in measure
        for technique in event.techniques
        if not is_held(event)
    ]


def spans(score):
    """What lasts: its name, the moment where it starts and how long it lasts, in whole notes."""
    found, now = [], 0
    for measure, content in zip(score.measures, score.parts[0].measures):
        found.extend(f"{span.name.value} {now + span.onset} {span.length}" for span in content.spans)
        now += measure.length
    return found


def doubts(found):
    """Where something is told, and its kind, but for the rhythm that is guessed in every measure without a row."""
    return sorted(
        f"{remark.line}:{remark.column} {remark.kind}"
        for remark in found.notes
        if RHYTHM_IS_GUESSED not in remark.what
    )


def in_tree(key):
    return lambda found, score: [measure.get(key) for measure in found.tree["measures"]]


SEEN = {
    "columns": lambda found, score: columns(score),
    "rhythm": lambda found, score: rhythm(score),
    "marks": lambda found, score: sorted(marks(score)),
    "event-marks": lambda found, score: event_marks(score),
    "spans": lambda found, score: spans(score),
    "doubts": lambda found, score: doubts(found),
    "time": lambda found, score: score.measures[0].metre.text,
    "capo": lambda found, score: found.tree.get("capo"),
    "tempo": lambda found, score: found.tree.get("tempo"),
    "instrument": lambda found, score: found.tree.get("instrument"),
    "repeat": in_tree("repeat"),
    "times": in_tree("times"),
    "endings": in_tree("ending"),
    "labels": in_tree("label"),
    "chords": in_tree("chord"),
    "lyrics": in_tree("lyrics"),
}


@pytest.mark.parametrize(
    ("case", "what"),
    [
        pytest.param(case, what, id=f"{case['name']}: {what}")
        for case in CASES
        for what in case
        if what not in ("name", "tab")
    ],
)
def test_a_typed_tab_is_read_as_it_is_meant(case, what):
    found, score = read(case["tab"])
    expected = sorted(case[what]) if what in ("doubts", "marks") else case[what]
    assert SEEN[what](found, score) == expected
