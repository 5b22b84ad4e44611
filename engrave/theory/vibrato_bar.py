"""What the vibrato bar does to a note: a dip, a dive, a scoop or a vibrato, and how far."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from engrave.diagnostics.problem import did_you_mean
from engrave.theory.bends import parse_bend

KINDS = ("dip", "dive", "scoop", "vibrato")
"""A dip goes down and back at once, a dive goes down and stays, a scoop comes up from below."""
_EXAMPLE = "write for example dip 1/2, dive 2, scoop or vibrato"


class BarMove(NamedTuple):
    """A move of the bar; `semitones` below the note, 0 where no amount is given."""

    kind: str
    semitones: Fraction


def parse_bar_move(text: str) -> BarMove:
    """Read "dip 1/2", "dive 2", "scoop", "vibrato" (amounts in whole steps, as for bends). Raises ValueError."""
    kind, _, amount = text.strip().partition(" ")
    if kind not in KINDS:
        raise ValueError(f'"{kind}" is no move of the vibrato bar; {did_you_mean(kind, KINDS) or _EXAMPLE}')
    if not amount:
        return BarMove(kind, Fraction(0))
    if kind == "vibrato":
        raise ValueError(f"a vibrato of the bar has no amount; {_EXAMPLE}")
    steps = parse_bend(amount)
    if len(steps) > 1 or amount.startswith("pre"):
        raise ValueError(f'"{amount}" is more than an amount; {_EXAMPLE}')
    return BarMove(kind, steps[0].semitones)
