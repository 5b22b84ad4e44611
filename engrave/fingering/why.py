"""Each choice of string, fret and finger explained in words and numbers."""

from __future__ import annotations

from collections.abc import Iterator

from engrave.fingering.grips import Grip
from engrave.fingering.moments import Moment, locate
from engrave.fingering.place import FingeredPart
from engrave.fingering.solve import Rival, Step
from engrave.score.structure import Score
from engrave.theory.numbering import roman

_MORE = {
    "position": "further up the neck",
    "stretch": "a wider stretch",
    "extension": "a finger out of its place",
    "fingers": "weaker fingers",
    "bend": "a bend with fewer fingers behind it",
    "open strings": "open strings that ring on",
    "barre": "a barre",
    "string changed": "another string than before",
    "shift": "more hand travel",
    "string crossing": "more strings to cross",
    "finger jump": "a finger that jumps",
    "kept fingers": "fewer fingers kept",
    "fingers changed": "another finger at the same place",
    "strings changed": "other strings for notes that move together",
    "string out of order": "a tune on a string out of the order of pitches",
    "legato broken": "a slur that leaves its string",
    "note let go": "a note released too early",
}
"""Each term of the cost as the reason against a way that pays more for it."""


def explain_way(score: Score, placed: FingeredPart) -> Iterator[str]:
    """A line for each moment: what is played where, what it costs (in millimetres of hand travel), and the next best."""
    yield f"{placed.part.name}: all of it costs {placed.way.cost:.0f} (millimetres of hand travel)"
    for moment, step in zip(placed.moments, placed.way.steps, strict=True):
        _, where = locate(score, placed.part, moment)
        yield f"  {where}: {_explain_step(moment, step) if step is not None else 'cannot be played'}"


def _explain_step(moment: Moment, step: Step) -> str:
    names = [want.pitch.name for want in moment.wants]
    spots = "; ".join(
        f"{name} {_say_spot(step.grip, index)}"
        for index, name in enumerate(names)
        if moment.wants[index].struck
    )
    total = sum(value for _, value in step.terms)
    if step.goes_on:
        return f"{spots}; held as one chord with what came before"
    terms = ", ".join(f"{name} {value:.1f}" for name, value in step.terms)
    position = f", position {roman(step.grip.position)}" if step.grip.position else ""
    cost = f"costs {total:.1f} ({terms})" if terms else "costs nothing"
    return f"{spots}{position}; {cost}; {_say_rival(step.rival)}"


def _say_rival(rival: Rival | None) -> str:
    if rival is None:
        return "there is no other way"
    spots = ", ".join(_say_spot(rival.grip, index) for index in range(len(rival.grip.spots)))
    reason = f": {_MORE[rival.mostly]}" if rival.mostly in _MORE else ""
    return f"next best {spots}, {rival.more:.1f} more{reason}"


def _say_spot(grip: Grip, index: int) -> str:
    string, fret, finger = grip.spots[index]
    if not fret:
        return f"string {string} open"
    return f"string {string} fret {fret} finger {finger}"
