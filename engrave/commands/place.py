"""Scores whose strings, frets and fingers are chosen, and the stretches that a score asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from engrave.commands.moving import move, tell_moved
from engrave.commands.outcome import Outcome, beside, write_result
from engrave.fingering.hand import Hand
from engrave.fingering.moments import NO_LIMITS, Limits, locate
from engrave.fingering.place import FingeredPart, change_notes, place_part, release
from engrave.fingering.plucking.place import pluck_part, release_strokes
from engrave.fingering.plucking.right_hand import RightHand
from engrave.fingering.plucking.why import explain_right_hand
from engrave.fingering.retune import follow_frets
from engrave.fingering.why import explain_way
from engrave.problems import NOWHERE, Problem, ProblemLog, did_you_mean
from engrave.products.on_instrument import find_parts
from engrave.products.reach import find_hand, find_right_hand, warn_of_reach
from engrave.reading.load import file_log, load_text, read_text_score
from engrave.reading.settle import say_nearest
from engrave.requests.fingering import PlaceRequest
from engrave.score.structure import Part, Score
from engrave.writing.rewrite import rewrite_score

_BROKEN = {
    "legato broken": (
        "a slur or slide has to leave its string here",
        "fix strings nearby, or remove the mark",
    ),
    "note let go": ("a note has to be released before it ends", "shorten it, or fix other strings"),
}


class Chosen(NamedTuple):
    """The score's text with everything in its place, None when something cannot be; `report` explains on request."""

    text: str | None
    problems: tuple[Problem, ...]
    report: tuple[str, ...] = ()


def place_document(request: PlaceRequest) -> Outcome:
    """Choose strings, frets and fingers for a score; its own file is only replaced when the request names it."""
    path = request.file
    chosen = place_notes(path, request)
    outcome = Outcome(chosen.problems, report=chosen.report)
    if chosen.text is None:
        return outcome
    data = chosen.text.encode("utf-8")
    return write_result(path, request.output, beside(path, word="placed"), data, outcome, path)


def place_notes(path: str, request: PlaceRequest) -> Chosen:
    """Choose strings, frets and fingers for the score at `path`."""
    log = file_log(path)
    text = load_text(path, log)
    unstrung = bool(request.move.instrument)
    score = read_text_score(text, log, unstrung) if text is not None else None
    if text is None or score is None:
        return Chosen(None, tuple(log.in_order()))
    hand = find_hand(request.hand, log)
    right = find_right_hand(request.right_hand, log) if request.right_hand else None
    if hand is None or log.has_errors:
        return Chosen(None, tuple(log.in_order()))
    return _place(text, score, _Hands(hand, right), request, log)


class _Hands(NamedTuple):
    """Whose hands are thought of; no right one unless it is asked for."""

    left: Hand
    right: RightHand | None


def _place(text: str, score: Score, hands: _Hands, request: PlaceRequest, log: ProblemLog) -> Chosen:
    hand = hands.left
    limits = Limits(
        request.avoid_open,
        request.highest_fret or NO_LIMITS.highest,
        request.position or 0,
        bool(request.move),
    )
    find = find_parts if request.move.instrument else _wanted
    wanted = find(score, request.parts, log)
    before = score
    report: list[str] = []
    if request.move and not log.has_errors:
        before, score = move(text, score, wanted, request.move, hand, log)
    if log.has_errors:
        return Chosen(None, tuple(log.in_order()))
    parts: list[Part] = []
    for part in score.parts:
        if part.id not in wanted:
            parts.append(part)
            continue
        opened = release(part) if request.anew else part
        placed = place_part(score, opened, hand, limits, request.fingers, request.why)
        _tell(score, placed, log)
        parts.append(fix_places(placed.part))
        old = before.parts[len(parts) - 1]
        if (request.move or request.anew) and not placed.unplayable and old.is_fretted:
            parts[-1] = follow_frets(old, parts[-1])
            if request.move:
                report.extend(tell_moved(before, old, parts[-1], log))
        if request.why:
            report.extend(explain_way(score, placed))
        if hands.right is not None and not placed.unplayable:
            kept = release_strokes(parts[-1]) if request.anew else parts[-1]
            plucked = pluck_part(score, kept, hands.right, hand.pace, request.why)
            parts[-1] = plucked.part
            if request.why:
                report.extend(explain_right_hand(score, plucked))
    after = replace(score, parts=tuple(parts))
    for part in parts:
        if part.id in wanted:
            warn_of_reach(after, part, hand, log)
    if log.has_errors:
        return Chosen(None, tuple(log.in_order()), tuple(report))
    try:
        new_text = rewrite_score(text, before, after)
    except ValueError as error:
        log.error(NOWHERE, str(error))
        return Chosen(None, tuple(log.in_order()), tuple(report))
    return Chosen(new_text, tuple(log.in_order()), tuple(report))


def _wanted(score: Score, names: Sequence[str], log: ProblemLog) -> set[str]:
    """The ids of the parts that are named, by id, name or number; of all that have strings when none are."""
    fretted = [part for part in score.parts if part.is_fretted]
    if not fretted:
        hint = "give one an instrument, or put all on one: --instrument guitar"
        log.error(NOWHERE, "no part of this score has strings", hint=hint)
    if not names:
        return {part.id for part in fretted}
    known = {key.lower(): part.id for part in fretted for key in (part.name, part.id)}
    known.update({str(score.parts.index(part) + 1): part.id for part in fretted})
    for name in names:
        if name.lower() not in known:
            choices = [part.id for part in fretted]
            log.error(NOWHERE, f'there is no part "{name}" with strings', hint=did_you_mean(name, choices))
    return {known[name.lower()] for name in names if name.lower() in known}


def _tell(score: Score, placed: FingeredPart, log: ProblemLog) -> None:
    """What cannot be played as errors, what cannot be played as written as warnings."""
    for failure in placed.unplayable:
        place, where = locate(score, placed.part, failure.moment)
        log.error(place, failure.reason.what, where, say_nearest(failure.reason.nearest))
    for term, (what, hint) in _BROKEN.items():
        for moment in placed.broken(term):
            place, where = locate(score, placed.part, moment)
            log.warning(place, what, where, hint)


def fix_places(part: Part) -> Part:
    """The part with every place taken as the author's own."""
    return change_notes(part, lambda note, _: note._replace(chosen=False) if note.chosen else note)
