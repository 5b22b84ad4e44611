"""What the vibrato bar does to a note: a dip, a dive, a scoop or a vibrato, and how far."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction
from typing import NamedTuple

from engrave.diagnostics.problem import did_you_mean
from engrave.theory.bends import amount_label, parse_bend


class BarMoveKind(Enum):
    """Which way the bar goes."""

    DIP = "dip"
    """Down and back at once."""
    DIVE = "dive"
    """Down, and it stays there."""
    SCOOP = "scoop"
    """Up from below."""
    VIBRATO = "vibrato"


KINDS = tuple(kind.value for kind in BarMoveKind)
"""The words for the moves of the bar."""
_EXAMPLE = "write for example dip 1/2, dive 2, scoop or vibrato"


class BarMove(NamedTuple):
    """A move of the bar; `semitones` below the note, 0 where no amount is given."""

    kind: BarMoveKind
    semitones: Fraction


def parse_bar_move(text: str) -> BarMove:
    """Read "dip 1/2", "dive 2", "scoop", "vibrato" (amounts in whole steps, as for bends). Raises ValueError."""
    word, _, amount = text.strip().partition(" ")
    if word not in KINDS:
        raise ValueError(f'"{word}" is no move of the vibrato bar; {did_you_mean(word, KINDS) or _EXAMPLE}')
    kind = BarMoveKind(word)
    if not amount:
        return BarMove(kind, Fraction(0))
    if kind is BarMoveKind.VIBRATO:
        raise ValueError(f"a vibrato of the bar has no amount; {_EXAMPLE}")
    steps = parse_bend(amount)
    if len(steps) > 1 or amount.startswith("pre"):
        raise ValueError(f'"{amount}" is more than an amount; {_EXAMPLE}')
    return BarMove(kind, steps[0].semitones)


def bar_move_words(move: BarMove) -> str:
    """The words that `parse_bar_move` reads as `move`."""
    return f"{move.kind.value} {amount_label(move.semitones)}" if move.semitones else move.kind.value
