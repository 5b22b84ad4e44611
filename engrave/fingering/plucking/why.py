"""Each choice of a right hand explained in words and numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engrave.fingering.plucking.fingers_way import Plucking
from engrave.fingering.plucking.pick_way import PickStroke
from engrave.fingering.plucking.place import PluckedPart
from engrave.fingering.plucking.struck import Struck
from engrave.fingering.plucking.swing import Swing
from engrave.score.structure import Part, Score
from engrave.score.techniques import RightFinger
from engrave.theory.metre import beat_text

_MORE = {
    "fingers": "a weaker finger",
    "strings": "a finger away from its strings",
    "voices": "a voice that leaves its finger",
    "thumb across strings": "the thumb over several strings",
    "spread": "fingers spread or crowded",
    "arpeggio": "a finger on the string of another in the arpeggio",
    "tremolo": "not the order of a tremolo",
    "finger twice running": "a finger that plucks twice running",
    "hand moved": "more movement of the hand",
    "fingers crossed": "fingers that cross",
}
"""Each term of the cost as the reason against a way that pays more for it."""
_SWINGS = {
    Swing.BEAT: "on the beat",
    Swing.TRIPLET_BEAT: "on the beat of a triplet",
    Swing.DOWN: "where the hand swings down",
    Swing.UP: "where the hand swings up",
    Swing.FREE: "in a triplet",
}


def explain_right_hand(score: Score, placed: PluckedPart) -> Iterator[str]:
    """A line for each moment: what is plucked or struck how, what it costs, and the next best."""
    part = placed.part
    total = placed.fingers.cost + placed.strokes.cost
    yield f"{part.name}, right hand: all of it costs {total:.0f}"
    lines = [
        (_when(moment), f"  {_where(score, part, moment)}: {_say_fingers(moment, step)}")
        for moment, step in zip(placed.plucked, placed.fingers.steps, strict=True)
    ]
    lines += [
        (_when(moment), f"  {_where(score, part, moment)}: {_say_stroke(step)}")
        for moment, step in zip(placed.struck, placed.strokes.steps, strict=True)
    ]
    yield from (words for _, words in sorted(lines, key=lambda line: line[0]))


def _when(moment: Struck) -> tuple[int, float]:
    return moment.measure, float(moment.onset)


def _where(score: Score, part: Part, moment: Struck) -> str:
    measure = score.measures[moment.measure]
    beat = beat_text(moment.onset + measure.metre_offset, measure.metre)
    return f"{part.name}, measure {measure.number}, beat {beat}"


def _say_terms(terms: Sequence[tuple[str, float]]) -> str:
    if not terms:
        return "costs nothing"
    total = sum(value for _, value in terms)
    return f"costs {total:.1f} ({', '.join(f'{name} {value:.1f}' for name, value in terms)})"


def _say_fingers(moment: Struck, step: Plucking) -> str:
    spots = _spots(moment, step.fingers)
    if step.rival is None:
        return f"{spots}; {_say_terms(step.terms)}; there is no other way"
    reason = f": {_MORE[step.rival.mostly]}" if step.rival.mostly in _MORE else ""
    other = _spots(moment, step.rival.fingers)
    return f"{spots}; {_say_terms(step.terms)}; next best {other}, {step.rival.more:.1f} more{reason}"


def _spots(moment: Struck, fingers: Sequence[RightFinger | None]) -> str:
    return ", ".join(
        f"{finger.value if finger is not None else 'no finger'} on string {note.string}"
        for note, finger in zip(moment.notes, fingers, strict=True)
    )


def _say_stroke(step: PickStroke) -> str:
    words = f"{step.way.value}, {_SWINGS[step.swing]}; {_say_terms(step.terms)}"
    return f"{words}; as written" if step.more is None else f"{words}; the other way {step.more:.1f} more"
