"""Scores whose strings, frets and fingers are chosen, and the stretches that a score asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from engrave.fingering.difficulty import CAUTION, find_wide, rate_piece, rate_score
from engrave.fingering.hand import Hand, WrongHand, load_hand
from engrave.fingering.moments import Limits, locate
from engrave.fingering.place import FingeredPart, change_notes, place_part, release
from engrave.fingering.retune import follow_frets
from engrave.fingering.why import explain_way
from engrave.problems import NOWHERE, Problem, ProblemLog, did_you_mean
from engrave.products.moving import move, tell_moved
from engrave.products.place_wish import PlaceWish
from engrave.reading.load import file_log, load_score, load_text, read_text_score
from engrave.reading.settle import say_nearest
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


def place_notes(path: str, wish: PlaceWish) -> Chosen:
    """Choose strings, frets and fingers for the score at `path`."""
    log = file_log(path)
    text = load_text(path, log)
    score = read_text_score(text, log) if text is not None else None
    if text is None or score is None:
        return Chosen(None, tuple(log.in_order()))
    hand = find_hand(wish.hand, log)
    if hand is None:
        return Chosen(None, tuple(log.in_order()))
    return _place(text, score, hand, wish, log)


def find_hand(name: str, log: ProblemLog) -> Hand | None:
    """The hand called `name`; None, and why in `log`, when there is none."""
    try:
        return load_hand(name)
    except WrongHand as error:
        log.take(error.problems)
    except ValueError as error:
        log.error(NOWHERE, str(error))
    return None


def _place(text: str, score: Score, hand: Hand, wish: PlaceWish, log: ProblemLog) -> Chosen:
    limits = Limits(wish.avoid_open, wish.highest, wish.position, wish.moves)
    wanted = _wanted(score, wish.parts, log)
    before = score
    report: list[str] = []
    if wish.moves and not log.has_errors:
        before, score = move(text, score, wanted, wish, hand, log)
    if log.has_errors:
        return Chosen(None, tuple(log.in_order()))
    parts: list[Part] = []
    for part in score.parts:
        if part.id not in wanted:
            parts.append(part)
            continue
        opened = release(part) if wish.anew else part
        placed = place_part(score, opened, hand, limits, wish.fingers, wish.why)
        _tell(score, placed, log)
        parts.append(fix_places(placed.part))
        if wish.moves and not placed.unplayable:
            old = before.parts[len(parts) - 1]
            parts[-1] = follow_frets(old, parts[-1])
            report.extend(tell_moved(before, old, parts[-1], log))
        if wish.why:
            report.extend(explain_way(score, placed))
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
        log.error(NOWHERE, "no part of this score has strings", hint="give one an instrument such as guitar")
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


def warn_of_reach(score: Score, part: Part, hand: Hand, log: ProblemLog) -> None:
    """Warn of every stretch in `part` that is uncomfortable or too wide for `hand`, and once with the usual caution."""
    found = find_wide(score, part, hand)
    for wide in found:
        place, where = locate(score, part, wide.moment)
        more = f", and {wide.times - 1} more" if wide.times > 1 else ""
        if wide.reason is not None:
            log.warning(place, wide.reason.what, where + more, say_nearest(wide.reason.nearest))
        else:
            what = (
                f"a stretch of {wide.millimetres:.0f} mm, fret {wide.low} to fret {wide.high}; "
                f"{hand.reach.comfortable:.0f} mm are comfortable for the {hand.name} hand"
            )
            log.warning(place, what, where + more)
    if found:
        log.warning(NOWHERE, CAUTION)


def rate(path: str, name: str) -> tuple[str, ...]:
    """How hard the score at `path` is, in lines: all of it, a strip, and each measure with what makes it hard."""
    score, log = load_score(path)
    hand = find_hand(name, log)
    measures = rate_score(score, hand) if score is not None and hand is not None else []
    if score is None or hand is None or not measures:
        return ()
    strip = "".join(_STRIP[min(round(m.number * len(_STRIP) / 10), len(_STRIP) - 1)] for m in measures)
    lines = [f"difficulty {rate_piece(measures):g} of 10 for the {hand.name} hand", f"  {strip}"]
    for measure, rated in zip(score.measures, measures, strict=True):
        because = f": {rated.mostly}" if rated.mostly else ""
        lines.append(f"  measure {measure.number}: {rated.number:g}{because}")
    return tuple(lines)


_STRIP = " ▁▂▃▄▅▆▇█"
"""Blocks from nothing to full (Unicode, block elements)."""


def fix_places(part: Part) -> Part:
    """The part with every place taken as the author's own."""
    return change_notes(part, lambda note, _: note._replace(chosen=False) if note.chosen else note)
