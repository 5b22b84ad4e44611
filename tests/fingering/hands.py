"""Hands, necks and moments for tests."""

from engrave.fingering.hand import load_hand
from engrave.fingering.moments import Moment, Want
from engrave.fingering.neck import Neck, build_neck
from engrave.score.joins import NoteAt
from engrave.theory.instrument import PRESETS
from engrave.theory.pitch import parse_pitch

USUAL = load_hand("intermediate")
GUITAR = build_neck(PRESETS["guitar"], USUAL)
NOWHERE_AT = NoteAt(0, 0, 0, 0)
MAJOR = (0, 2, 4, 5, 7, 9, 11)


def nothing(record, **but):
    return record._replace(**{**dict.fromkeys(record._fields, 0.0), **but})


TRAVEL = USUAL._replace(
    name="travel",
    reach=USUAL.reach._replace(per_mm=0.0, per_mm_far=0.0),
    shift=nothing(USUAL.shift, per_mm=1.0, while_open=1.0),
    position=nothing(USUAL.position),
    fingers=nothing(USUAL.fingers),
    strings=nothing(USUAL.strings),
    barre=nothing(USUAL.barre),
)
"""The model of the worked examples (after the layered graphs of Sayegh, Computer Music Journal 13:3, 1989): nothing counts but the frets by which the hand moves."""
EVEN_NECK = Neck(tuple(pitch.midi for pitch in PRESETS["guitar"].tuning), tuple(map(float, range(13))))
"""Twelve frets, one unit apart."""


def midi(names):
    return [parse_pitch(name).midi for name in names.split()]


def scale(root, notes=15):
    return [root + 12 * (step // 7) + MAJOR[step % 7] for step in range(notes)]


def melody(pitches, neck=GUITAR, opens=True, seconds=0.4):
    return [moment([pitch], neck, opens, seconds) for pitch in pitches]


def moment(pitches, neck=GUITAR, opens=True, seconds=0.4):
    wants = tuple(
        Want(
            tuple(place for place in neck.places(pitch) if opens or place[1]),
            0,
            True,
            False,
            -1,
            -1,
            False,
            NOWHERE_AT,
            midi=pitch,
        )
        for pitch in pitches
    )
    return Moment(seconds, wants, 0, 0)


def spots(way):
    return [tuple(tuple(spot) for spot in step.grip.spots) if step else None for step in way.steps]


def frets(way):
    return [step.grip.spots[0][:2] for step in way.steps]


def positions(way):
    return [step.grip.position for step in way.steps]
