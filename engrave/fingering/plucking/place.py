"""Right-hand fingers and strokes chosen for a part, and put into it; what the author wrote stays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from engrave.fingering.hand import Pace
from engrave.fingering.place import change_notes
from engrave.fingering.plucking.fingers_way import FingerSolver, FingerWay
from engrave.fingering.plucking.pick_way import PickWay, Way, solve_strokes
from engrave.fingering.plucking.right_hand import RightHand
from engrave.fingering.plucking.struck import Struck, find_struck
from engrave.score.joins import NoteAt
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Graces, Note, Part, Score, Voice
from engrave.score.techniques import Plain, Pluck, RightFinger, signs_of

_Events = dict[tuple[int, int, int], SignName]
_PICKED = {Way.DOWN: SignName.PICK_DOWN, Way.UP: SignName.PICK_UP}
_STRUMMED = {Way.DOWN: SignName.STRUM_DOWN, Way.UP: SignName.STRUM_UP}


class PluckedPart(NamedTuple):
    """One part with its right hand chosen: what fingers pluck and how, what is struck and how."""

    part: Part
    plucked: tuple[Struck, ...]
    fingers: FingerWay
    struck: tuple[Struck, ...]
    strokes: PickWay


def pluck_part(score: Score, part: Part, hand: RightHand, pace: Pace, explained: bool = False) -> PluckedPart:
    """`part`, whose notes have their strings, with a finger or a stroke for all that is struck.

    Slashes are strummed by every hand. With `explained` the steps know the next best way.
    """
    moments = find_struck(score, part, pace)
    plucked, struck = _share_out(moments, hand)
    fingers = FingerSolver(hand, part.instrument).solve(plucked, explained)
    strokes = solve_strokes(struck, score.measures, hand.strokes, explained)
    names: dict[NoteAt, RightFinger] = {}
    for moment, step in zip(plucked, fingers.steps, strict=True):
        for note, finger in zip(moment.notes, step.fingers, strict=True):
            if finger is not None and note.finger is None:
                names.update((at, finger) for at in (note.at, *note.also))
    signs: _Events = {}
    for moment, stroke in zip(struck, strokes.steps, strict=True):
        if moment.stroke is None:
            strummed = moment.is_slash or len(moment.notes) >= hand.strokes.chord
            signs[moment.events[0]] = (_STRUMMED if strummed else _PICKED)[stroke.way]
    changed = _put_strokes(_put_fingers(part, names), signs)
    return PluckedPart(changed, tuple(plucked), fingers, tuple(struck), strokes)


def _share_out(moments: Sequence[Struck], hand: RightHand) -> tuple[list[Struck], list[Struck]]:
    """What fingers pluck, and what a pick strikes or a hand strums."""
    if not hand.has_pick:
        return (
            [moment for moment in moments if moment.notes and moment.is_plucked],
            [moment for moment in moments if moment.is_slash and moment.takes_stroke],
        )
    struck = []
    for moment in moments:
        notes = tuple(note for note in moment.notes if note.finger is None)
        if moment.takes_stroke and (notes or moment.is_slash):
            struck.append(moment._replace(notes=notes))
    return [], struck


def _put_fingers(part: Part, names: Mapping[NoteAt, RightFinger]) -> Part:
    def put(note: Note, at: NoteAt) -> Note:
        finger = names.get(at)
        if finger is None or note.has(SignName.PLUCK):
            return note
        return note._replace(techniques=(*note.techniques, Pluck(finger)))

    return change_notes(part, put) if names else part


def _put_strokes(part: Part, signs: Mapping[tuple[int, int, int], SignName]) -> Part:
    """The part with a sign on each event that has one; a slash carries it on its head."""
    if not signs:
        return part
    measures = []
    for number, content in enumerate(part.measures):
        voices = tuple(
            _mark_voice(voice, (number, index), signs) for index, voice in enumerate(content.voices)
        )
        measures.append(content._replace(voices=voices))
    return part._replace(measures=tuple(measures))


def _mark_voice(
    voice: Voice, where: tuple[int, int], signs: Mapping[tuple[int, int, int], SignName]
) -> Voice:
    order = 0

    def marked(event: Event) -> Event:
        nonlocal order
        sign = signs.get((*where, order))
        order += 1
        if sign is None or sign in event.signs:
            return event
        if event.notes[0].is_slash:
            first = event.notes[0]
            slash = first._replace(techniques=(*first.techniques, Plain(sign)))
            return event._replace(notes=(slash, *event.notes[1:]))
        return event._replace(techniques=(*event.techniques, Plain(sign)))

    def graces(row: Graces | None) -> Graces | None:
        return None if row is None else row._replace(events=tuple(marked(grace) for grace in row.events))

    events = []
    for event in voice.events:
        before = graces(event.before)
        events.append(marked(event)._replace(before=before, after=graces(event.after)))
    return Voice(tuple(events))


def release_strokes(part: Part) -> Part:
    """The part without fingers and strokes of the right hand, those of strum patterns aside: all are open to choice."""
    signs = (SignName.PICK_DOWN, SignName.PICK_UP, SignName.STRUM_DOWN, SignName.STRUM_UP, SignName.PLUCK)

    def freed(event: Event) -> Event:
        notes = tuple(
            note._replace(techniques=tuple(t for t in note.techniques if t.sign not in signs))
            if signs_of(note.techniques) & set(signs)
            else note
            for note in event.notes
        )
        techniques = tuple(t for t in event.techniques if t.sign not in signs)
        before, after = (
            None if row is None else row._replace(events=tuple(freed(grace) for grace in row.events))
            for row in (event.before, event.after)
        )
        return event._replace(notes=notes, techniques=techniques, before=before, after=after)

    measures = tuple(
        content
        if content.is_strummed
        else content._replace(
            voices=tuple(Voice(tuple(freed(event) for event in voice.events)) for voice in content.voices)
        )
        for content in part.measures
    )
    return part._replace(measures=measures)
