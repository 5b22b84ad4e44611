"""The hands that are asked for, and the stretches that a score asks of the left one."""

from __future__ import annotations

from engrave.fingering.difficulty import CAUTION, find_wide
from engrave.fingering.hand import Hand, load_hand
from engrave.fingering.hand_files import WrongHand
from engrave.fingering.moments import locate
from engrave.fingering.plucking.right_hand import RightHand, load_right_hand
from engrave.problems import NOWHERE, ProblemLog
from engrave.reading.settle import say_nearest
from engrave.score.structure import Part, Score


def find_hand(name: str, log: ProblemLog) -> Hand | None:
    """The hand called `name`; None, and why in `log`, when there is none."""
    try:
        return load_hand(name)
    except WrongHand as error:
        log.take(error.problems)
    except ValueError as error:
        log.error(NOWHERE, str(error))
    return None


def find_right_hand(name: str, log: ProblemLog) -> RightHand | None:
    """The right hand called `name`; None, and why in `log`, when there is none."""
    try:
        return load_right_hand(name)
    except WrongHand as error:
        log.take(error.problems)
    except ValueError as error:
        log.error(NOWHERE, str(error))
    return None


def check_reach(score: Score, name: str, log: ProblemLog) -> None:
    """Warn of stretches anywhere in `score` that are too wide for the hand called `name`."""
    hand = find_hand(name, log)
    for part in score.parts:
        if hand is not None and part.is_fretted:
            warn_of_reach(score, part, hand, log)


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
