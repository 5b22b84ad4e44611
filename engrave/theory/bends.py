"""How a string is bent, and what the vibrato bar does to a note: their words read, and what steps are called elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from engrave.problems import did_you_mean

_WHOLE_STEP = 2
"""Semitones in a whole step, which is a "full" bend."""

_HIGHEST = Fraction(3 * _WHOLE_STEP)
"""The widest bend that is accepted, in semitones (house rule: strings hardly bend three whole steps)."""

_UNBENT = Fraction(0)
_NAMED = {
    "quarter": Fraction(1, 4),
    "half": Fraction(1, 2),
    "three quarters": Fraction(3, 4),
    "full": Fraction(1),
}
"""Amounts by name, in whole steps (common practice, no source)."""

AMOUNT_WORDS = tuple(word for name in _NAMED for word in name.split())
"""Words of which amounts are made, beside numbers and fractions."""
BEND_WORDS = ("pre", "then", "hold", "release", "to", *AMOUNT_WORDS)
"""Words of which bends are made, beside numbers and fractions."""

_AMOUNT = rf"{'|'.join(_NAMED)}|[0-9]+ [0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+"
_STEP = re.compile(
    rf"(?:(?P<pre>pre )?(?P<amount>{_AMOUNT})|(?P<release>release)(?: to (?P<partly>{_AMOUNT}))?|hold)(?: |$)"
)
_FRACTIONS = ("1/4", "1/2", "3/4")
_HINT = "write full, pre full release, 1/2 then full, or full release to 1/2"


class BendKind(Enum):
    """What happens to the string."""

    PRE_BEND = "pre-bend"
    """It is bent before it is struck."""
    BEND = "bend"
    """It is bent further while it sounds."""
    RELEASE = "release"
    """It goes back, wholly or partly, while it sounds."""
    HOLD = "hold"
    """It keeps its bend."""


class BendStep(NamedTuple):
    """One step of a bend and the pitch it leads to, in semitones above the fretted pitch (full = 2)."""

    kind: BendKind
    semitones: Fraction


@lru_cache(maxsize=256)
def parse_bend(text: str, held: bool = False) -> tuple[BendStep, ...]:
    """Read "full", "pre full release", "1/2 then full", "full release to 1/2", "1 1/2 hold".

    Amounts are in whole steps, in quarters up to 3, or "quarter", "half", "three quarters", "full". "then" may stand
    between any two steps and must stand before an amount that is not the first step. With `held` the string is
    already bent from a tied note, by an amount that is not known here, so that "release" may come first.

    Raises ValueError that says what is wrong and what would be right.
    """
    steps: list[BendStep] = []
    for phrase in _split_phrases(text):
        for index, match in enumerate(_match_steps(text, phrase)):
            if index and match["amount"]:
                right = match[0].strip().removeprefix("pre ")
                raise _wrong(
                    text, f'"then" is missing before "{match[0].strip()}"', f"write ... then {right}"
                )
            step = _build_step(text, match, steps)
            _check_step(text, step, steps, held)
            steps.append(step)
    return tuple(steps)


def amount_label(semitones: Fraction, whole_step: str = "full") -> str:
    """What is written at a bend of `semitones`: "1/4", "1/2", "3/4", "full", "1 1/2", "2".

    `whole_step` is the word for a bend of one whole step; the score language has "full". Raises ValueError when it is
    not a positive number of quarter steps of a whole step.
    """
    amount = Fraction(semitones) / _WHOLE_STEP
    if amount <= 0 or (amount * 4).denominator != 1:
        raise ValueError(
            f"a bend of {semitones} semitones has no label; bends go by 1/2 semitone, such as 1/2, 1 or 2"
        )
    whole, part = divmod(amount, 1)
    if amount == 1:
        return whole_step
    return " ".join(str(number) for number in (whole, part) if number)


_SIGNS = {Fraction(1, 4): "\u00bc", Fraction(1, 2): "\u00bd", Fraction(3, 4): "\u00be"}
"""The fractions as single characters (Unicode, Latin-1 Supplement)."""
FRACTION_SIGNS = frozenset(_SIGNS.values())
"""Characters that are fractions."""


def amount_sign(semitones: Fraction, whole_step: str = "full") -> str:
    """What is printed at a bend of `semitones`: as `amount_label`, the fractions each as one character."""
    label = amount_label(semitones, whole_step)
    whole, part = divmod(Fraction(semitones) / _WHOLE_STEP, 1)
    return f"{whole or ''}{_SIGNS[part]}" if part else label


def share_of_step(steps: Sequence[BendStep], number: int) -> Fraction:
    """At which share of its note the step `number` begins: all that move or hold the string last equally long."""
    moves = [index for index, step in enumerate(steps) if step.kind is not BendKind.PRE_BEND]
    return Fraction(moves.index(number), len(moves)) if number in moves else Fraction(0)


def bend_words(steps: Sequence[BendStep]) -> str:
    """The words that `parse_bend` reads as `steps`: "full", "pre full release", "1/2 then full hold"."""
    words: list[str] = []
    for step in steps:
        if step.kind is BendKind.HOLD:
            words.append("hold")
        elif step.kind is BendKind.RELEASE:
            words.append(f"release to {amount_label(step.semitones)}" if step.semitones else "release")
        else:
            words += ["then"] if words else []
            words += ["pre"] if step.kind is BendKind.PRE_BEND else []
            words.append(amount_label(step.semitones))
    return " ".join(words)


def bend_alters(steps: Sequence[BendStep], held: Fraction = _UNBENT) -> list[Fraction]:
    """The bend-alter value of each step, in semitones: how far it goes from the step before.

    Bends and pre-bends are positive, a release is negative and not zero, as it is the way back that is told; a hold
    is 0. `held` is how far the string is bent before the first step, in semitones. Source: MusicXML 4.0, bend-alter,
    for the release; it would let negative values stand for pre-bends too and leaves it to an element of their own to
    tell them apart, so that here a pre-bend rises like a bend (house rule).

    Raises ValueError when a bend does not rise or a release does not fall, as when `held` is missing.
    """
    alters: list[Fraction] = []
    before = held
    for step in steps:
        alter = step.semitones - before
        rises = step.kind in (BendKind.BEND, BendKind.PRE_BEND)
        if (rises and alter <= 0) or (step.kind is BendKind.RELEASE and alter >= 0):
            raise ValueError(
                f"a {step.kind.value} cannot go from {before} to {step.semitones} semitones; "
                "held is how far the string is bent before the first step, such as 2"
            )
        alters.append(alter)
        before = step.semitones
    return alters


def _split_phrases(text: str) -> list[str]:
    """The parts between the words "then"."""
    words = " ".join(text.lower().split())
    if not words:
        raise _wrong(text, "a bend says how far", _HINT)
    phrases = [phrase.strip() for phrase in re.split(r"\bthen\b", words)]
    if not all(phrases):
        raise _wrong(text, '"then" stands between two steps', "write 1/2 then full")
    return phrases


def _match_steps(text: str, phrase: str) -> Iterator[re.Match[str]]:
    position = 0
    while position < len(phrase):
        match = _STEP.match(phrase, position)
        if match is None:
            raise _wrong(text, f'"{phrase[position:]}" is not understood', _HINT)
        yield match
        position = match.end()


def _build_step(text: str, match: re.Match[str], before: Sequence[BendStep]) -> BendStep:
    if match["amount"]:
        return BendStep(
            BendKind.PRE_BEND if match["pre"] else BendKind.BEND, _read_amount(text, match["amount"])
        )
    if match["release"]:
        return BendStep(BendKind.RELEASE, _read_amount(text, match["partly"]) if match["partly"] else _UNBENT)
    return BendStep(BendKind.HOLD, before[-1].semitones if before else _UNBENT)


def _read_amount(text: str, words: str) -> Fraction:
    """An amount in whole steps, as semitones."""
    if words in _NAMED:
        return _NAMED[words] * _WHOLE_STEP
    *whole, last = words.split()
    if "/" in last and last not in _FRACTIONS:
        raise _wrong(
            text, f'"{words}" is not an amount', "amounts are 1/4, 1/2, 3/4, full, 1 1/2, 2, 2 1/2, 3"
        )
    if any(len(number) > 2 for number in (*whole, last) if "/" not in number):
        raise _wrong(text, "no string bends that far", "the widest is 3 whole steps, as in 1 1/2")
    amount = sum((Fraction(number) for number in (*whole, last)), _UNBENT) * _WHOLE_STEP
    if amount > _HIGHEST:
        raise _wrong(text, f'"{words}" is more than 3 whole steps', "amounts are whole steps, as in 1 1/2")
    if amount == _UNBENT:
        raise _wrong(text, f'"{words}" is not a bend', "write release to go back, as in full release")
    return amount


def _check_step(text: str, step: BendStep, steps: Sequence[BendStep], held: bool) -> None:
    """Refuse a step that makes no sense after `steps`. Raises ValueError."""
    if step.kind is BendKind.PRE_BEND:
        if steps:
            raise _wrong(text, '"pre" comes before the first amount only', "write pre 1/2 then full")
        if held:
            raise _wrong(
                text, "a tied note is not struck, so that it has no pre-bend", "write full, or release"
            )
    elif step.kind is BendKind.HOLD:
        _check_hold(text, steps, held)
    elif steps or not held:
        _check_move(text, step, steps)


def _check_hold(text: str, steps: Sequence[BendStep], held: bool) -> None:
    if not steps and held:
        raise _wrong(text, "a tied note keeps its bend without a word", "remove the bend, or write release")
    if not steps:
        raise _wrong(text, '"hold" needs a bend before it', "write full hold")
    if steps[-1].kind is BendKind.HOLD:
        raise _wrong(text, '"hold" is written twice', "write full hold")
    if steps[-1].semitones == _UNBENT:
        raise _wrong(text, "after a full release there is no bend to hold", "write full release")


def _check_move(text: str, step: BendStep, steps: Sequence[BendStep]) -> None:
    """Refuse a bend that does not rise and a release that does not fall, from a bend that is known."""
    before = steps[-1].semitones if steps else _UNBENT
    if step.kind is BendKind.RELEASE:
        if not steps:
            raise _wrong(
                text, "there is no bend to release", "write full release; only a tied note starts so"
            )
        if step.semitones == before:
            raise _wrong(text, "the release goes nowhere", "write full release, or full release to 1/2")
        if step.semitones > before:
            raise _wrong(text, "a release cannot rise", f"write ... then {amount_label(step.semitones)}")
    elif step.semitones == before:
        raise _wrong(text, "two steps have the same amount", f"write {amount_label(before)} hold")
    elif step.semitones < before:
        raise _wrong(text, "going back is a release", f"write release to {amount_label(step.semitones)}")


def _wrong(text: str, what: str, right: str) -> ValueError:
    return ValueError(f'the bend "{text}": {what}; {right}')


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
