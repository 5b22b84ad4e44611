"""Scores for tests, from their measures alone."""

from engrave.fingering.hand import load_hand
from engrave.fingering.moments import find_moments
from engrave.fingering.neck import build_neck
from engrave.fingering.place import place_part
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from tests.fingering.hands import USUAL


def read(measures, head=""):
    log = ProblemLog("test.yaml")
    score = read_text_score(f"score: 1\n{head}\nmeasures:\n" + measures, log)
    assert score is not None, log.problems
    return score


def moments_of(score, number=0):
    part = score.parts[number]
    return find_moments(score, part, build_neck(part.instrument, USUAL), USUAL.pace)


def placed(score, hand="intermediate", number=0, **more):
    return place_part(score, score.parts[number], load_hand(hand), **more)


def notes_of(part, voice=0):
    return [
        [(note.string, note.fret, note.finger) for note in event.notes]
        for content in part.measures
        if voice < len(content.voices)
        for event in content.voices[voice].events
    ]
