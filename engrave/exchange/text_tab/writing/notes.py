"""One note as it stands on its string line: the fret with the signs before and after it."""

from __future__ import annotations

from typing import NamedTuple

from engrave.exchange.text_tab.lines.table import PAIRS, ReadingTable
from engrave.score.sign_list import SignName
from engrave.score.structure import Note
from engrave.score.techniques import NaturalHarmonic, signs_of
from engrave.theory.bends import BendKind

_QUARTERS = {"1/2": "1/4", "3/2": "3/4"}
"""Bends of odd semitones, in semitones, with the share of a whole step that the reader knows."""
_JOINS = (SignName.HAMMER_ON, SignName.PULL_OFF, SignName.TAP, SignName.LEFT_HAND_TAP)
_INTO = {SignName.SLIDE_FROM_BELOW: "slide-up", SignName.SLIDE_FROM_ABOVE: "slide-down"}
_OUT = {SignName.SLIDE_AWAY_UP: "slide-up", SignName.SLIDE_AWAY_DOWN: "slide-down"}
_BRACKETS = (SignName.GHOST, SignName.NATURAL_HARMONIC)


class Spelled(NamedTuple):
    """A note in text: what stands before its column, what stands from it on, and the sign of a slide towards it.

    `joins`: what stands before may touch the note before, as in 5h7. `leaves`: it ends
    with a slide out of the note, so that no other slide may touch it. `told`: the marks that all this tells.
    """

    before: str
    body: str
    slide: str = ""
    joins: bool = False
    leaves: bool = False
    told: frozenset[SignName] = frozenset()


def spell_note(note: Note, origin: int | None, table: ReadingTable) -> Spelled:
    """`note` as text; `origin` is the fret last played on its string: a slide starts there, and without it cannot be.

    In text, a slide leads from the fret that stands before it on its line, also over rests and in another voice. So this
    is not where the joins of the score find its start, but where a reader of the line does.
    """
    signs = _by_meaning(table)
    own = signs_of(note.techniques)
    opens = closes = ""
    told: set[SignName] = {SignName.DEAD} & own
    for sign in _BRACKETS:
        if sign in own and sign in signs and (sign is SignName.GHOST or _is_over_fret(note)):
            told.add(sign)
            opens += signs[sign]
            closes = PAIRS[signs[sign]] + closes
    fret, bend = _fret(note, signs)
    told |= {SignName.BEND} if bend else set()
    before, slide = "", ""
    join = next((sign for sign in _JOINS if sign in own and sign in signs), None)
    into = next((sign for sign in _INTO if sign in own), None)
    if join is not None:
        before = signs[join]
        told.add(join)
    elif origin is not None and SignName.SLIDE in own:
        slide = signs["slide-down" if note.fret < origin else "slide-up"]
        told.add(SignName.SLIDE)
    elif into is not None:
        before = signs[_INTO[into]]
        told.add(into)
    afters = [sign for sign in (SignName.VIBRATO, SignName.STACCATO) if sign in own and sign in signs]
    out = next((sign for sign in _OUT if sign in own), None)
    told.update(afters, {out} if out is not None else ())
    body = fret + closes + bend + "".join(signs[sign] for sign in afters)
    body += signs[_OUT[out]] if out is not None else ""
    return Spelled(before + opens, body, slide, join is not None, out is not None, frozenset(told))


def _is_over_fret(note: Note) -> bool:
    """True for a natural harmonic over the very fret of its note."""
    return any(isinstance(t, NaturalHarmonic) and t.node == note.fret for t in note.techniques)


def _by_meaning(table: ReadingTable) -> dict[str, str]:
    """The first sign for each meaning; brackets only for the marks that open a pair."""
    signs: dict[str, str] = {}
    for sign, meaning in table.signs.items():
        if (sign in PAIRS) == (meaning in _BRACKETS):
            signs.setdefault(meaning, sign)
    return signs


def _fret(note: Note, signs: dict[str, str]) -> tuple[str, str]:
    """The fret, and the bend after it; a string that is bent before it is struck has the fret that sounds."""
    if note.has(SignName.DEAD):
        return signs["dead"], ""
    plain, steps = str(note.fret), note.bend
    if not steps or note.tie_from:
        return plain, ""
    kinds = [step.kind for step in steps]
    top = steps[0].semitones
    whole = top.denominator == 1
    if kinds == [BendKind.PRE_BEND, BendKind.RELEASE]:
        if whole and not steps[1].semitones:
            return str(note.fret + int(top)), f"{signs['release']}{note.fret}"
        return plain, ""
    if kinds not in ([BendKind.BEND], [BendKind.BEND, BendKind.RELEASE]):
        return plain, ""
    share = str(note.fret + int(top)) if whole else _QUARTERS.get(str(top), "")
    if not share:
        return plain, ""
    bend = signs["bend"] + share
    if len(steps) > 1:
        goal = note.fret + steps[1].semitones
        if goal.denominator != 1:
            return plain, ""
        bend += f"{signs['release']}{goal}"
    return plain, bend
