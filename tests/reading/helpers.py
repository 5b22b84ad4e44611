"""Short ways to read a score in a test."""

from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score

HEAD = "score: 1\n"


def read(text):
    """The score of `text`, which must be right, and its warnings."""
    log = ProblemLog("f")
    score = read_text_score(text, log)
    assert score is not None, [str(p) for p in log.in_order()]
    return score


def read_if_right(text):
    """The score of `text`; None when it has a mistake. Warnings are no mistakes."""
    return read_text_score(text, ProblemLog("f"))


def problems(text):
    """Every message for `text`, in order."""
    log = ProblemLog("f")
    read_text_score(text, log)
    return [str(problem) for problem in log.in_order()]


def measure(notes, head="", bass=None):
    """A score of one measure of 4/4 (or what `head` says)."""
    lower = f"\n    lower: {bass}" if bass else ""
    return f"{HEAD}{head}measures:\n  - notes: {notes}{lower}\n"


def events(text, voice=0, measure=0, part=0):
    return read(text).parts[part].measures[measure].voices[voice].events


def names(text, **location):
    """The written pitches of each event, as text."""
    return [" ".join(note.pitch.name for note in event.notes) for event in events(text, **location)]
