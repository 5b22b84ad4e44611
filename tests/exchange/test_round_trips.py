"""Scores that leave and come back, and damaged files: MusicXML, MIDI and plain-text tab.

What comes back through MusicXML is compared whole but for what the format has no place for, which is the page: subtitle,
style, view, chord shapes and where their grids stand, the key to the signs, new lines, and where things stand in the text.
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

from engrave.diagnostics.problem import ProblemLog
from engrave.exchange.midi.reader import read_midi
from engrave.exchange.midi.writer import write_midi
from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml, write_mxl
from engrave.exchange.text_tab.reader import read_text_tab
from engrave.reading.load import load_score, read_text_score
from engrave.score.performance import perform
from engrave.score.sign_list import SIGNS, Carrier
from engrave.score.spans import resolve_spans
from engrave.writing.dump import dump_score

FOLDER = Path(__file__).parents[2] / "samples"
SAMPLES = sorted(FOLDER.glob("*.yaml"))
SHEETS = sorted((FOLDER / "signs").glob("*.yaml"))
ALL = [*SAMPLES, *SHEETS]
SECONDS = 5
"""A damaged file of some kilobytes must not take longer (house rule)."""
LEFT_BEHIND = {"place", "parts", "spans", "new", "shape"}


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


def is_shared(mark):
    return mark.name in SIGNS and SIGNS[mark.name].carrier is Carrier.EVENT


def plain(value):
    """A piece of a score without its places; notes and marks in an order of their own."""
    if isinstance(value, tuple) and hasattr(value, "_fields"):
        if {"notes", "marks"} <= set(value._fields):
            return plain_event(value)
        return {name: plain(getattr(value, name)) for name in value._fields if name not in LEFT_BEHIND}
    return [plain(entry) for entry in value] if isinstance(value, tuple) else value


def plain_marks(marks):
    return sorted((mark.name, mark.amount) for mark in marks)


def plain_event(event):
    """An event: its notes from the lowest, the marks of the whole event once, wherever they are written."""
    notes = sorted(event.notes, key=lambda note: (note.pitch.midi, -note.string))
    shared = {mark for note in notes for mark in note.marks if is_shared(mark)} | set(event.marks)
    rows = [
        {
            **{name: plain(getattr(note, name)) for name in note._fields if name not in ("marks", "place")},
            "marks": plain_marks(mark for mark in note.marks if not is_shared(mark)),
        }
        for note in notes
    ]
    names = [name for name in event._fields if name not in ("notes", "marks", "place")]
    found = {name: plain(getattr(event, name)) for name in names}
    return {**found, "notes": rows, "marks": sorted(set(plain_marks(shared)))}


def plain_spans(score, part):
    spans = resolve_spans([m.length for m in score.measures], [m.spans for m in part.measures])
    return sorted((s.first, s.onset, s.last, s.end, s.sign.name, s.sign.detail) for s in spans)


def essence(score):
    """Everything of a score that is compared, by where it stands."""
    found = {
        name: plain(getattr(score, name)) for name in ("title", "credits", "copyright", "language")
    }
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
    return {
        place: (left.get(place), right.get(place))
        for place in left.keys() | right.keys()
        if left.get(place) != right.get(place)
    }
